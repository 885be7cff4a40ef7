"""What holds for every test: the installed program is what is tried, and CI skips nothing."""

import fcntl
import gc
import os
import pickle
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from _pytest.runner import runtestprotocol
from hypothesis import settings

TO_BE_TOLD = 0.005  # s of setting up or clearing away, which --durations lists
MEMORY, ROOM = Path("/dev/shm"), 1 << 30  # bytes
TOP = Path(__file__).resolve().parents[1]


def put_the_checkout_last() -> None:
    """`python -m pytest` puts its folder first, where cardgen's source would hide the installed one."""
    for entry in [entry for entry in sys.path if Path(entry).resolve() == TOP]:
        sys.path.remove(entry)
    sys.path.append(str(TOP))


put_the_checkout_last()

settings.register_profile("any machine", deadline=None)  # a busy machine is no fault of the program's
settings.load_profile("any machine")

# What ten thousand tests are made of stays to the end: looked through at every turn for what nobody refers
# to any more, it took a fifth of all that the tests take. Left behind is what the tests themselves leave.
gc.set_threshold(100_000, 50, 100)


def pytest_configure() -> None:
    """A worker has a core of its own: what it forked for others would only be in their way, and unread here.

    tests/shelf/test_all_cores.py takes three cores, and processes of their own take what the machine has.
    Shops are laid down in memory where there is room: a disk takes longer to forget a file than a test does.
    """
    if "PYTEST_XDIST_WORKER" in os.environ:
        from cardgen import cores

        cores.cores = lambda: 1
    elif "TMPDIR" not in os.environ and os.access(MEMORY, os.W_OK) and shutil.disk_usage(MEMORY).free > ROOM:
        os.environ["TMPDIR"], tempfile.tempdir = str(MEMORY), None


def pytest_collection_finish() -> None:
    """All tests are found: none of them is rubbish."""
    gc.freeze()


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


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_protocol(item: pytest.Item, nextitem: pytest.Item | None) -> bool | None:
    """A worker tells the first process of a test once, not six times, but for what failed or took long.

    Of ten thousand tests most take less than what is told of them took.
    """
    if "PYTEST_XDIST_WORKER" not in os.environ:
        return None
    for report in runtestprotocol(item, log=False, nextitem=nextitem):
        if report.when == "call" or not report.passed or report.duration > TO_BE_TOLD:
            item.ihook.pytest_runtest_logreport(report=report)
    return True


MadeOnce = Callable[[str, Callable[[], Any]], Any]


@pytest.fixture(scope="session")
def made_once(tmp_path_factory: pytest.TempPathFactory) -> MadeOnce:
    """What is costly to make and the same for all: made by the worker that asks first, read by the others."""
    own = tmp_path_factory.getbasetemp()
    shared = own.parent if "PYTEST_XDIST_WORKER" in os.environ else own
    at_hand: dict[str, Any] = {}

    def made(name: str, make: Callable[[], Any]) -> Any:
        if name not in at_hand:
            kept = shared / f"{name}.pickle"
            with (shared / f"{name}.lock").open("w") as lock:
                fcntl.flock(lock, fcntl.LOCK_EX)  # the others wait; a worker that dies lets go of it
                if kept.exists():
                    at_hand[name] = pickle.loads(kept.read_bytes())
                else:
                    at_hand[name] = make()
                    kept.write_bytes(pickle.dumps(at_hand[name]))
        return at_hand[name]

    return made
