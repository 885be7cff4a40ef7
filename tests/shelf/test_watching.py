"""make --watch: cards are remade as files are saved."""

import shutil
import signal
import threading
import time
from pathlib import Path

import pytest
from pypdf import PdfReader

from cardgen.shelf import watch as watch_module
from cardgen.shelf.trouble import ShelfError
from cardgen.shelf.watch import watch
from cardgen.shop.folder import Shop
from tests.shelf.conftest import ROOT

QUIET_MS = 60  # a hand that saves waits five times as long for its card


@pytest.fixture(autouse=True)
def soon(monkeypatch):
    monkeypatch.setattr(watch_module, "QUIET_MS", QUIET_MS)


@pytest.fixture
def watching(tmp_path):
    """A watch over specs, its makings counted; what it makes goes to out within the shop."""
    specs, out = tmp_path / "specs", tmp_path / "specs" / "out"
    out.mkdir(parents=True)
    made: list[str] = []
    stop = threading.Event()

    def make_once() -> None:
        made.append("".join(sorted(path.read_text() for path in specs.glob("*.yaml"))))
        (out / "card.pdf").write_text(made[-1])

    watcher = threading.Thread(target=watch, args=([specs], out, make_once, stop))
    watcher.start()
    yield specs, made
    stop.set()
    watcher.join(timeout=10)
    assert not watcher.is_alive()


def wait_for(condition, seconds: float = 10.0) -> bool:
    end = time.monotonic() + seconds
    while not condition() and time.monotonic() < end:
        time.sleep(0.02)
    return condition()


def test_it_makes_at_once_and_again_after_each_save(watching):
    """The first making needs no save; each save is followed by one with the new text."""
    specs, made = watching
    assert wait_for(lambda: made == [""])
    (specs / "a.yaml").write_text("one")
    assert wait_for(lambda: made[-1] == "one")
    (specs / "a.yaml").write_text("two")
    assert wait_for(lambda: made[-1] == "two")


def test_what_it_writes_itself_is_no_change(watching):
    """Nor is an editor's hidden or backup file: no endless round."""
    specs, made = watching
    assert wait_for(lambda: len(made) == 1)
    (specs / ".a.yaml.swp").write_text("x")
    (specs / "a.yaml~").write_text("x")
    time.sleep(4 * QUIET_MS / 1000)
    assert len(made) == 1


def test_an_editor_that_replaces_the_file_is_seen(watching):
    """Many editors write beside and rename, as we do."""
    specs, made = watching
    assert wait_for(lambda: len(made) == 1)
    (specs / "new.tmp").write_text("replaced")
    (specs / "new.tmp").rename(specs / "a.yaml")
    assert wait_for(lambda: made[-1] == "replaced")


def test_what_is_saved_while_cards_are_made_is_seen_afterwards(tmp_path: Path):
    """A save that falls into a making is followed by another making."""
    spec, made, stop = tmp_path / "a.yaml", [], threading.Event()
    spec.write_text("one")

    def make_once() -> None:
        made.append(spec.read_text())
        if made == ["one"]:
            spec.write_text("two")
            time.sleep(2 * QUIET_MS / 1000)
        else:
            stop.set()

    watch([tmp_path], tmp_path / "out", make_once, stop)
    assert made == ["one", "two"]


def test_trouble_that_no_save_can_mend_ends_it(tmp_path: Path):
    """Whoever called hears of it."""

    def make_once() -> None:
        raise ShelfError("the disk is full")

    with pytest.raises(ShelfError, match="full"):
        watch([tmp_path], tmp_path / "out", make_once)


def test_the_program_watches_until_it_is_interrupted(trial):
    """make --watch: all made, then the one whose spec was saved, its state true again; Ctrl-C ends it."""
    running = trial.start("make", "--shop", str(trial.folder), "--watch", strain={"quiet_ms": QUIET_MS})
    try:
        assert wait_for(lambda: (trial.out / "index.html").exists(), 30)
        old = trial.files()
        trial.edit("spindle-nose.yaml", "0.35 .. 0.50 mm", "0.35 .. 0.60 mm")
        assert wait_for(lambda: trial.files().get("SN-204.pdf") != old["SN-204.pdf"], 30)
        assert wait_for(lambda: trial.files()["index.html"] != old["index.html"], 30)
    finally:
        running.send_signal(signal.SIGINT)
        told = running.ended(30).stderr
    assert "Traceback" not in told
    assert trial.status()["SN-204"]["state"] == "current"
    assert not list(trial.out.rglob("*.half-written"))


@pytest.mark.parametrize("new_trial", ["cardgen"], indirect=True)  # the stand-in has no wording of its own
def test_a_template_saved_while_watching_is_what_the_card_then_says(trial):
    """A card whose code names the new wording must be drawn with it, in one process too."""
    shutil.copytree(ROOT / "templates", trial.folder / "templates")
    running = trial.start("make", "--shop", str(trial.folder), "--watch", strain={"quiet_ms": QUIET_MS})
    try:
        assert wait_for(lambda: (trial.out / "index.html").exists(), 30)
        old = trial.files()
        in_other_words(trial.folder)
        assert wait_for(lambda: trial.files().get("SN-204.pdf") != old["SN-204.pdf"], 30)
    finally:
        running.send_signal(signal.SIGINT)
        running.ended(30)
    pages = PdfReader(trial.out / "SN-204.pdf").pages
    assert any("Rough it." in page.extract_text() for page in pages)


def in_other_words(folder: Path) -> None:
    """The shop's own words for a step are saved anew."""
    steps = folder / "templates" / "step_rough.j2"
    steps.write_text(steps.read_text("utf-8").replace("<b>Rough.</b>", "<b>Rough it.</b>"), "utf-8")


@pytest.mark.parametrize("new_trial", ["cardgen"], indirect=True)
def test_a_template_saved_before_a_run_has_ended_is_seen_by_the_next(trial, monkeypatch):
    """What the next run may believe is of the words that it drew the cards with."""
    shutil.copytree(ROOT / "templates", trial.folder / "templates")
    (trial.out / ".cardgen" / "index").unlink(missing_ok=True)
    keep = Shop.keep_index

    def saved_meanwhile(shop: Shop, standings: object) -> None:
        in_other_words(trial.folder)
        keep(shop, standings)

    with monkeypatch.context() as meanwhile:
        meanwhile.setattr(Shop, "keep_index", saved_meanwhile)
        told = trial.run("make").stderr
    assert "step_rough.j2: edited while the cards were made; run make again" in told
    assert trial.status()["SN-204"]["state"] == "out of date"
