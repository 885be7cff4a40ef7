"""What holds for every test: the installed program is what is tried, and CI skips nothing."""

import os
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

TOP = Path(__file__).resolve().parents[1]


def put_the_checkout_last() -> None:
    """`python -m pytest` puts its folder first, where cardgen's source would hide the installed one."""
    for entry in [entry for entry in sys.path if Path(entry).resolve() == TOP]:
        sys.path.remove(entry)
    sys.path.append(str(TOP))


put_the_checkout_last()

settings.register_profile("any machine", deadline=None)  # a busy machine is no fault of the program's
settings.load_profile("any machine")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Iterator[None]:
    """In CI a test that is skipped, or expected to fail, has failed: what it needs has to be installed."""
    report: Any = yield
    if report.skipped and os.environ.get("CI"):
        why = getattr(report, "wasxfail", None) or report.longrepr[2]
        report.outcome = "failed"
        report.longrepr = f"{item.nodeid} did not run, and CI leaves no test out: {why}"
        vars(report).pop("wasxfail", None)
    return report
