"""What a plain install brings: whatever git tracks of the program, found and not listed."""

import importlib
import os
import subprocess
import tomllib
import zipfile
from pathlib import Path

import pytest

TOP = Path(__file__).parent.parent
STARTING = "cardgen/starting"


def tracked(*folders: str) -> set[str]:
    """The files under these folders of the checkout that git tracks, and that are still there."""
    if not (TOP / ".git").exists():
        pytest.skip("not a checkout: run in a clone, where git can be asked")
    listed = subprocess.run(["git", "ls-files", "-z", *folders], cwd=TOP, capture_output=True, check=True)
    return {name for name in listed.stdout.decode().split("\0") if name and (TOP / name).is_file()}


@pytest.fixture(scope="module")
def in_the_wheel(tmp_path_factory: pytest.TempPathFactory) -> set[str]:
    """The names in a wheel built from this checkout by the backend that pyproject.toml names."""
    told = tomllib.loads((TOP / "pyproject.toml").read_text("utf-8"))["build-system"]["build-backend"]
    folder = tmp_path_factory.mktemp("wheel")
    before = Path.cwd()
    os.chdir(TOP)  # a backend builds the folder that it stands in
    try:
        built = importlib.import_module(told).build_wheel(str(folder))
    finally:
        os.chdir(before)
    return set(zipfile.ZipFile(folder / built).namelist())


def test_a_plain_install_has_every_file_of_the_program(in_the_wheel: set[str]) -> None:
    """A room or a data file that git tracks under cardgen/ cannot be forgotten."""
    assert tracked("cardgen") - in_the_wheel == set()


def test_a_plain_install_has_the_shop_to_start_from(in_the_wheel: set[str]) -> None:
    """Specs and templates of the demo shop are what `cardgen new shop` lays down."""
    assert {f"{STARTING}/{name}" for name in tracked("specs", "templates")} - in_the_wheel == set()


def test_a_plain_install_has_nothing_else(in_the_wheel: set[str]) -> None:
    """No tests, no cards of ours, no leavings of an earlier build."""
    program = {name for name in in_the_wheel if ".dist-info/" not in name}
    shop = {f"{STARTING}/{name}" for name in tracked("specs", "templates")}
    assert program - tracked("cardgen") - shop == set()
