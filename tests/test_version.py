"""The version tells which papers the program prints: it is raised, and a line written, when they change."""

from pathlib import Path

import pytest

from cardgen.card import values
from cardgen.shop.program_files import program_inputs
from cardgen.spec import models
from tests import kept_version
from tests.kept_version import CHANGES, NOT_OUT, headings, may_be_kept, papers, renew, version

WHAT_TO_DO = (
    "papers or values of the demo shop are not those kept for this version: raise the version in "
    "pyproject.toml (DEVELOPERS.md says which number), write a line in cardgen/CHANGES.md, then "
    "python -m tests.kept_version"
)


def test_papers_and_values_of_the_demo_shop_are_those_of_this_version() -> None:
    """What one version printed it prints for good: another figure or word is another version."""
    assert kept_version.kept() == {"version": version(), "papers": papers()}, WHAT_TO_DO


def test_the_newest_release_of_the_changelog_is_this_version() -> None:
    """Newest first, each once, each with its day or 'not out yet', which only the newest may say."""
    numbers = [tuple(map(int, number.split("."))) for number, _ in headings()]
    assert headings()[0][0] == version()
    assert numbers == sorted(set(numbers), reverse=True)
    assert NOT_OUT not in [day for _, day in headings()[1:]]


def test_the_changelog_names_the_formats_of_now() -> None:
    """Who reads specs or values by program finds there what a format changed."""
    said = CHANGES.read_text("utf-8")
    assert f"format of the values is {values.FORMAT}" in said
    assert f"format of the specs is {models.FORMAT}" in said


def test_a_version_that_is_out_is_not_kept_anew(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Its papers hang in shops: only another version, or one that nobody has, may print otherwise."""
    before = tmp_path / "kept.yaml"
    before.write_text("{version: 1.2.3, papers: {}}", "utf-8")
    monkeypatch.setattr(kept_version, "KEPT", before)
    monkeypatch.setattr(kept_version, "version", lambda: "1.2.3")
    monkeypatch.setattr(kept_version, "headings", lambda: [("1.2.3", "2026-01-01")])
    assert renew().startswith("1.2.3 is out: raise the version")
    assert before.read_text("utf-8") == "{version: 1.2.3, papers: {}}"
    assert may_be_kept("1.2.4", "1.2.3")
    monkeypatch.setattr(kept_version, "headings", lambda: [("1.2.3", NOT_OUT)])
    assert may_be_kept("1.2.3", "1.2.3")


def test_a_line_in_the_changelog_makes_no_card_out_of_date(monkeypatch: pytest.MonkeyPatch) -> None:
    """No paper is made from it."""
    read: list[str] = []
    whole = Path.read_bytes
    monkeypatch.setattr(Path, "read_bytes", lambda path: (read.append(path.name), whole(path))[1])
    program_inputs.__wrapped__()
    assert "values.py" in read
    assert CHANGES.name not in read
