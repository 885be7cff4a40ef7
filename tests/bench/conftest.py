"""The bench's table at the end of the test run."""

from typing import Any

from tests.bench.bars import HEAD
from tests.bench.judge import aligned


def pytest_terminal_summary(terminalreporter: Any) -> None:
    """Print the line of every part that was worked, under its headings."""
    outcomes = ("passed", "failed", "xfailed", "xpassed")
    reports = [report for outcome in outcomes for report in terminalreporter.getreports(outcome)]
    lines = [value for report in reports for name, value in report.user_properties if name == "bench line"]
    bars = [value for report in reports for name, value in report.user_properties if name == "bar line"]
    if bars:
        terminalreporter.section("the bars of the method")
        terminalreporter.write_line(HEAD)
        for bar in bars:
            terminalreporter.write_line(bar)
    if lines:
        terminalreporter.section("virtual bench")
        terminalreporter.write_line(aligned(lines))
