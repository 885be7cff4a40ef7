"""What the whole suite is run against, and that none of it is left out where it counts."""

import json
import os
import subprocess
import sys
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

import pytest

import cardgen
from tests.conftest import TOP

pytest_plugins = "pytester"
CONFTEST = (TOP / "tests" / "conftest.py").read_text("utf-8")


def test_the_installed_program_is_what_is_tested(tmp_path: Path) -> None:
    """Here and in every process started from here: never the source that lies beside the tests.

    (Where a developer installed it to be edited, the source is what is installed; in CI nobody did.)
    """
    try:
        installed = distribution("cardgen")
    except PackageNotFoundError:
        pytest.skip("cardgen is not installed: pip install '.[test]'")
    origin = json.loads(installed.read_text("direct_url.json") or "{}")
    editable = origin.get("dir_info", {}).get("editable", False)
    expected = TOP / "cardgen" if editable else Path(str(installed.locate_file("cardgen")))
    started = subprocess.run(
        [sys.executable, "-c", "import cardgen; print(cardgen.__path__[0])"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
    )
    assert [Path(cardgen.__path__[0]), Path(started.stdout.strip())] == [expected, expected]
    assert not (editable and os.environ.get("CI"))


LEFT_OUT = """
import pytest

def test_run(): pass

def test_skipped(): pytest.skip("there is no browser")

@pytest.mark.xfail(reason="not yet")
def test_expected_to_fail(): assert False
"""


@pytest.mark.parametrize(
    ("ci", "ended"), [("", {"passed": 1, "skipped": 1, "xfailed": 1}), ("1", {"passed": 1, "failed": 2})]
)
def test_in_ci_no_test_is_left_out(
    pytester: pytest.Pytester, monkeypatch: pytest.MonkeyPatch, ci: str, ended: dict[str, int]
) -> None:
    """A skip or an expected failure is a failure there, and says why; elsewhere it is what it is."""
    monkeypatch.setenv("CI", ci)
    pytester.makeconftest(CONFTEST)
    pytester.makepyfile(LEFT_OUT)
    result = pytester.runpytest_inprocess("-p", "no:xdist", "-rf")
    result.assert_outcomes(**ended)
    if ci:
        result.stdout.fnmatch_lines(
            ["*CI leaves no test out*there is no browser*", "*CI leaves no test out*not yet*"]
        )
