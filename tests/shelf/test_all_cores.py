"""Cards made on many cores are those made on one, in the same order, and nothing outlives the run."""

import os
import re
import signal
import subprocess
import time
from pathlib import Path

import pytest

from cardgen import cores
from cardgen.bounds import most
from cardgen.cores import OnAllCores
from cardgen.shelf.contents import is_sealed
from cardgen.shop import many_cards
from tests.bare import bare_python
from tests.calling import cardgen
from tests.shelf.conftest import lay_out

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="without forks one process does all")
MANY = range(40)


@pytest.fixture(autouse=True)
def three_cores(monkeypatch) -> None:
    monkeypatch.setattr(cores, "cores", lambda: 3)
    for room in (cores, many_cards):
        monkeypatch.setattr(room, "most", few)


def few(name: str) -> int:
    """Four things are many here."""
    return 4 if name == "cores.few" else most(name)


def test_results_come_in_the_order_of_the_things():
    """Each from a worker, and none twice."""
    with OnAllCores(lambda each: (each, os.getpid()), MANY) as spread:
        given = [spread.next() for _ in MANY]
    assert [each for each, _ in given] == list(MANY)
    assert len({process for _, process in given}) == 3
    assert os.getpid() not in {process for _, process in given}


def test_what_a_worker_fails_at_is_done_and_fails_here():
    """With the error that it always has; what cannot be given back is done here too."""

    def work(each: int) -> object:
        if each == 7:
            raise LookupError(os.getpid())
        return (lambda: each) if each == 8 else each

    with OnAllCores(work, MANY) as spread:
        assert [spread.next() for _ in range(7)] == list(range(7))
        with pytest.raises(LookupError, match=str(os.getpid())):
            spread.next()
        assert spread.next()() == 8
        assert spread.next() == 9


def test_a_worker_that_is_killed_leaves_its_work_to_be_done_here():
    with OnAllCores(lambda each: each, MANY) as spread:
        os.kill(spread._workers[1], signal.SIGKILL)
        assert [spread.next() for _ in MANY] == list(MANY)


def test_few_things_are_done_here():
    with OnAllCores(lambda each: os.getpid(), range(3)) as spread:
        assert {spread.next() for _ in range(3)} == {os.getpid()}


def test_no_worker_outlives_its_work():
    """Though half of it was never asked for."""
    with OnAllCores(lambda each: b"x" * 100_000, MANY) as spread:
        spread.next()
        workers = list(spread._workers)
    for worker in workers:
        with pytest.raises(ProcessLookupError):
            os.kill(worker, 0)


@pytest.fixture(scope="module")
def shop(tmp_path_factory) -> Path:
    """A shop of six parts, most of them alike but for their ids."""
    folder = lay_out("cardgen", tmp_path_factory.mktemp("many") / "shop").folder
    text = (folder / "specs" / "needle-valve.yaml").read_text("utf-8")
    for number in range(3):
        spec = text.replace("id: NV-30", f"id: NV-{100 + number}")
        (folder / "specs" / f"needle-{number}.yaml").write_text(spec, "utf-8")
    return folder


def papers(shop: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in (shop / "out").glob("*.*") if path.is_file()}


def test_many_cards_are_the_same_on_three_cores_and_on_one(shop, monkeypatch):
    """Bytes, lines and status."""
    on_three, three = cardgen("make", cwd=shop), papers(shop)
    for path in (shop / "out").glob("*.pdf"):
        path.unlink()
    monkeypatch.setattr(cores, "cores", lambda: 1)
    on_one = cardgen("make", cwd=shop)
    assert (on_three.stdout, on_three.stderr, on_three.returncode) == (on_one.stdout, on_one.stderr, 0)
    assert three == papers(shop)
    assert len(three) == 7


def lives(group: int) -> bool:
    """Whether any process of a group does."""
    try:
        os.killpg(group, 0)
    except ProcessLookupError:
        return False
    return True


def ended_amid(shop: Path, how: signal.Signals) -> subprocess.CompletedProcess:
    """A make on three cores, ended after its first card: by Ctrl-C all of it, else its first process."""
    for path in (shop / "out").glob("*.pdf"):
        path.unlink()
    code = (
        "import signal; signal.signal(signal.SIGINT, signal.default_int_handler);"
        "from cardgen import cores; cores.cores, cores.most = lambda: 3, lambda name: 4;"
        "from cardgen.commands.program import main; main()"
    )
    with subprocess.Popen(
        [bare_python(), "-c", code, "make"],
        cwd=shop,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    ) as run:
        first = run.stdout.readline()
        (os.kill if how is signal.SIGKILL else os.killpg)(run.pid, how)
        out, err = run.communicate()
    deadline = time.monotonic() + 20
    while lives(run.pid) and time.monotonic() < deadline:
        time.sleep(0.05)
    assert not lives(run.pid), "a worker outlived it"
    return subprocess.CompletedProcess(run.args, run.returncode, first + out, err)


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGINT])
def test_a_make_on_many_cores_that_is_ended_leaves_whole_cards_and_no_lock(shop, how):
    """The workers end with it; what is there is as it was made, and the next make makes the rest at once."""
    ended = ended_amid(shop, how)
    assert ended.returncode == (-how if how is signal.SIGKILL else 130)
    assert how is signal.SIGKILL or re.fullmatch(
        r"stopped; \d+ made \(.*\); run make again for the rest\n", ended.stderr
    )
    made = [path for path in (shop / "out").glob("*.pdf") if is_sealed(path.read_bytes())]
    assert len(made) == len(list((shop / "out").glob("*.pdf"))) >= 1
    begun = time.monotonic()
    assert cardgen("make", cwd=shop).returncode == 0
    assert time.monotonic() - begun < 25
    assert len(papers(shop)) == 7
