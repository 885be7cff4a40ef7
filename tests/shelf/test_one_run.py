"""One run over the shelf: specs that move, papers that cannot be drawn, the order of writing."""

import os
import threading
import time
from dataclasses import replace
from pathlib import Path

import pytest

from cardgen.shelf import run, writing
from cardgen.shelf.contents import read_card
from cardgen.shelf.digest import text_input
from cardgen.shelf.run import Action, Report, make
from cardgen.shelf.state import State, survey
from cardgen.shelf.telling import outcome_line
from cardgen.shelf.trouble import NotDrawnError, ShelfError
from cardgen.shelf.wanted import Job, Wanted
from tests.shelf.stub_cardgen import StubShop, pages


def job(part_id: str = "P-1", spec: str = "finish: 3.0 mm", kind: str = "card", **changes) -> Job:
    values = {"title": {"name": "Plug", "units": "metric"}, "reading": {"finish": spec}}
    inputs = (text_input(f"part {part_id}", spec, attach=True),)
    made = Job(part_id, "A", inputs, values, lambda code: pages(code, [spec]), ("Grinder 1",), kind)
    return replace(made, **changes)


def make_these(out: Path, *jobs: Job, **wanted) -> Report:
    return make(lambda: StubShop(Wanted(jobs, **wanted)), out, lambda outcome: None)


def test_specs_saved_while_they_were_read_are_read_again(tmp_path, monkeypatch):
    """What the card is made from is what the file said when nobody was saving it."""
    monkeypatch.setattr(run, "SETTLE_S", 0)
    spec = tmp_path / "p.yaml"
    spec.write_text("finish: 3.0 mm")
    readings = []

    def load() -> StubShop:
        text = spec.read_text()
        readings.append(text)
        if len(readings) < 3:
            spec.write_text(f"finish: 3.{len(readings)} mm")
        return StubShop(Wanted((job(spec=text),), sources={spec: text.encode()}))

    report = make(load, tmp_path / "out", lambda outcome: None)
    assert readings == ["finish: 3.0 mm", "finish: 3.1 mm", "finish: 3.2 mm"]
    assert read_card((tmp_path / "out" / "P-1.pdf").read_bytes()).ingredients[0].text == "finish: 3.2 mm"
    assert report.all_done


def test_specs_that_never_come_to_rest_are_told(tmp_path, monkeypatch):
    """After five readings, a second in all, the run gives up, with nothing made."""
    waits = []
    monkeypatch.setattr(run.time, "sleep", waits.append)
    wanted = Wanted((job(),), sources={tmp_path / "p.yaml": b"never what is there"})
    with pytest.raises(ShelfError, match=r"p.yaml: still being edited"):
        make(lambda: StubShop(wanted), tmp_path / "out", lambda outcome: None)
    assert waits == [0.2] * 5
    assert not list((tmp_path / "out").glob("*.pdf"))


def test_a_spec_edited_while_cards_are_drawn_is_told_and_the_card_shows_what_was_read(tmp_path):
    """The card is whole and true to what was read; the report names the file; the next survey finds it."""
    spec = tmp_path / "p.yaml"
    spec.write_text("finish: 3.0 mm")
    out = tmp_path / "out"

    def draw(code: str) -> bytes:
        spec.write_text("finish: 9.9 mm")
        return pages("P-1", [])

    read = spec.read_bytes()
    report = make_these(out, job(draw=draw), sources={spec: read})
    assert report.edited == (spec,)
    assert not report.all_done
    assert read_card((out / "P-1.pdf").read_bytes()).ingredients[0].text == "finish: 3.0 mm"
    (standing,) = survey(Wanted((job(spec=spec.read_text()),)), out)
    assert standing.state is State.OUT_OF_DATE


def test_a_paper_that_cannot_be_drawn_does_not_stop_the_others(tmp_path):
    """Its old card stays; it is told as not made, and why."""
    make_these(tmp_path, job("P-1"), job("P-2"))
    old = (tmp_path / "P-1.pdf").read_bytes()

    def cannot(code: str) -> bytes:
        raise NotDrawnError("the name has a sign that the type does not")

    report = make_these(tmp_path, job("P-1", "finish: 4 mm", draw=cannot), job("P-2", "finish: 4 mm"))
    first, second = report.outcomes
    assert (first.action, first.why_not) == (Action.NOT_MADE, "the name has a sign that the type does not")
    assert second.action is Action.REMADE
    assert (tmp_path / "P-1.pdf").read_bytes() == old
    assert not report.all_done


def test_of_many_mistakes_in_a_spec_a_line_tells_the_first_and_counts_the_rest(tmp_path):
    """One line a paper; the mistakes themselves are told elsewhere, all of them, and once."""
    wrong = "specs/p.yaml:3:1: no gauge\nspecs/p.yaml:5:1: no wheel\nspecs/p.yaml:6:1: no machine"
    (outcome,) = make_these(tmp_path, spoiled={"P-1": wrong}).outcomes
    assert outcome_line(outcome) == "not made  P-1.pdf: mistake at specs/p.yaml:3:1 and 2 more"


def test_a_booklet_is_kept_beside_a_card_of_the_same_name(tmp_path):
    """Other papers than cards stand on the same shelf; only cards owe notices."""
    make_these(tmp_path, job("toolroom"), job("toolroom", kind="booklet"))
    report = make_these(
        tmp_path, job("toolroom", "finish: 4 mm"), job("toolroom", "finish: 4 mm", kind="booklet")
    )
    assert sorted(path.name for path in tmp_path.glob("*.pdf")) == ["toolroom-booklet.pdf", "toolroom.pdf"]
    assert [bool(outcome.notice) for outcome in report.outcomes] == [True, False]


def test_each_file_is_forced_to_the_disk_before_it_takes_its_place(tmp_path, monkeypatch):
    """Write, force, rename, force the folder: in that order, or a power cut could leave an empty card."""
    calls = []

    class Recorder:
        def __getattr__(self, name):
            if name in ("write", "fsync", "replace"):
                calls.append(name)
            return getattr(os, name)

    monkeypatch.setattr(writing, "os", Recorder())
    writing.write_whole(tmp_path / "card.pdf", b"x" * 10)
    assert calls == ["write", "fsync", "replace", "fsync"]


def test_a_folder_in_a_cards_place_is_told_and_the_others_are_made(tmp_path):
    """It is not removed, and the outcome says why that card was not made."""
    (tmp_path / "P-1.pdf" / "keep").mkdir(parents=True)
    first, second = make_these(tmp_path, job("P-1"), job("P-2")).outcomes
    assert (first.action, second.action) == (Action.NOT_MADE, Action.MADE)
    assert "it cannot be read: it is no ordinary file" in outcome_line(first)
    assert (tmp_path / "P-1.pdf" / "keep").is_dir()


def test_a_link_in_a_cards_place_is_replaced_and_what_it_led_to_is_untouched(tmp_path):
    """A card is never written through a link into some other folder."""
    outside = tmp_path / "outside.pdf"
    outside.write_bytes(b"someone's")
    out = tmp_path / "out"
    out.mkdir()
    (out / "P-1.pdf").symlink_to(outside)
    make_these(out, job())
    assert outside.read_bytes() == b"someone's"
    assert not (out / "P-1.pdf").is_symlink()


def test_a_file_where_the_out_folder_should_be_is_told(tmp_path):
    """One clear line."""
    (tmp_path / "out").write_text("a file")
    with pytest.raises(ShelfError, match=r"out: .*(a file.* stands|file exists)"):
        make_these(tmp_path / "out", job())


def test_a_run_that_finds_another_writing_waits_until_it_is_done(tmp_path):
    """Within its patience a run that comes second loses nothing but the time."""
    order = []

    def first() -> None:
        with writing.alone(tmp_path):
            held.set()
            time.sleep(0.2)
            order.append("first")

    held = threading.Event()
    other = threading.Thread(target=first)
    other.start()
    held.wait()
    with writing.alone(tmp_path, patience_s=20):
        order.append("second")
    other.join()
    assert order == ["first", "second"]
