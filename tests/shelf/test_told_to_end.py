"""A make that is told to end, has nobody to print to, no home or no letters: clear words, nothing torn."""

import os
import signal
import subprocess
from pathlib import Path

import pytest

from cardgen.shelf.contents import is_sealed
from tests.bare import bare_python
from tests.shelf.conftest import environment, lay_out

BARE = {"PATH": os.environ["PATH"], "LC_ALL": "C", "LANG": "C"}


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop nobody has made a card in yet."""
    return lay_out("cardgen", tmp_path_factory.mktemp("told") / "shop").folder


def making(shop: Path, **how) -> subprocess.Popen[str]:
    """The whole program, in a process of its own."""
    command = [bare_python(), "-m", "cardgen", "make", "--shop", str(shop)]
    return subprocess.Popen(command, stderr=subprocess.PIPE, text=True, encoding="utf-8", **how)


def whole(shop: Path) -> bool:
    papers = [*(shop / "out").glob("*.pdf")]
    return bool(papers) and all(is_sealed(path.read_bytes()) for path in papers)


def test_sigterm_ends_a_make_as_ctrl_c_does(shop: Path) -> None:
    """What was made is named, and no trace is shown; the next make makes the rest."""
    with making(shop, stdout=subprocess.PIPE, env=environment()) as run:
        first = run.stdout.readline()
        run.send_signal(signal.SIGTERM)
        _, told = run.communicate(timeout=60)
    assert first.startswith("made  DS-3.pdf")
    assert run.returncode in (130, 0)  # it may have been done by then
    assert run.returncode == 0 or told.startswith("stopped; ")
    assert "Traceback" not in told
    assert whole(shop)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no full device to print to")
def test_a_full_disk_under_what_is_printed_stops_no_making(shop: Path) -> None:
    """`make > file` on a full disk, by a job of the clock without home or letters: every card is made, and
    one line says that it was not printed."""
    for path in (shop / "out").glob("*.pdf"):
        path.unlink()
    with open("/dev/full", "w") as full, making(shop, stdout=full, env=BARE) as run:
        _, told = run.communicate(timeout=60)
    assert "3 made (DS-3.pdf, NV-30.pdf, SN-204.pdf) all the same" in told
    assert "Traceback" not in told
    assert "Exception ignored" not in told
    assert whole(shop)
