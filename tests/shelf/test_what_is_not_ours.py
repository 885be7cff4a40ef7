"""Links, pipes, devices and other people's files in a shop: never written through, waited for, or lost."""

import json
import os
from pathlib import Path

import pytest

from cardgen.bounds import read_file
from cardgen.shelf.contents import VALUES, bind, read_card
from cardgen.shelf.run import INDEX, Action
from cardgen.shelf.state import State, survey
from cardgen.shelf.trouble import NotACardError, ShelfError
from cardgen.shelf.wanted import Wanted, file_name
from cardgen.shelf.writing import HALF_ENDING, LOCK_NAME, OUR_PDF, alone, make_folder, replace_own
from tests.shelf.stub_cardgen import pages
from tests.shelf.test_one_run import job, make_these


@pytest.mark.parametrize("kind", ["link", "pipe", "link to nowhere"])
def test_what_is_no_file_in_the_locks_place_is_told_and_left_alone(tmp_path: Path, kind: str) -> None:
    """A link there would have its target written over; a pipe would never open."""
    lock, target = tmp_path / "out" / LOCK_NAME, tmp_path / "target"
    lock.parent.mkdir()
    if kind == "pipe":
        os.mkfifo(lock)
    else:
        lock.symlink_to(target)
    if kind == "link":
        target.write_text("someone's")
    with pytest.raises(ShelfError, match=r"stands in its place; take it away\. Nothing was changed"):
        make_these(tmp_path / "out", job())
    assert target.exists() == (kind == "link")
    assert kind != "link" or target.read_text() == "someone's"


@pytest.mark.parametrize("place", ["P-1.pdf", INDEX, "notices/a.pdf"])
def test_pipes_and_devices_among_the_papers_are_not_waited_for(tmp_path: Path, place: str) -> None:
    """A run ends, says what it could not make, and makes the rest."""
    path = tmp_path / place
    path.parent.mkdir(exist_ok=True)
    os.mkfifo(path)
    if place == INDEX:
        with pytest.raises(ShelfError, match=r"it is no ordinary file; take it away"):
            make_these(tmp_path, job("P-1"))
        return
    first, second = make_these(tmp_path, job("P-1"), job("P-2")).outcomes
    assert second.action is Action.MADE
    assert first.action is (Action.NOT_MADE if place == "P-1.pdf" else Action.MADE)


def test_a_card_that_leads_to_an_endless_device_fills_no_memory(tmp_path: Path) -> None:
    """It is told as what it is."""
    (tmp_path / "P-1.pdf").symlink_to("/dev/zero")
    (standing,) = survey(Wanted((job(),)), tmp_path)
    assert (standing.state, standing.why) == (
        State.CHANGED_BY_HAND,
        "it cannot be read: it is no ordinary file",
    )
    big = tmp_path / "big"
    with big.open("wb") as file:
        file.truncate(200_000_000)
    with pytest.raises(OSError, match="larger than 100 megabytes"):
        read_file(big, "paper.file")


def test_a_file_where_the_papers_should_lie_is_told_once(tmp_path: Path) -> None:
    """And not as every card changed by hand."""
    (tmp_path / "out").write_text("a file")
    with pytest.raises(ShelfError, match="a file stands where the folder of papers should be"):
        survey(Wanted((job(),)), tmp_path / "out")
    with pytest.raises(ShelfError, match="stands in its place; take it away"):
        make_folder(tmp_path / "out")


def test_half_written_files_are_cleared_below_too(tmp_path: Path) -> None:
    """What a killed run left among notices and what was set aside."""
    for folder in ("notices", "set-aside"):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / f".x.pdf{HALF_ENDING}").write_bytes(b"half")
    with alone(tmp_path):
        pass
    assert not list(tmp_path.rglob(f"*{HALF_ENDING}"))


@pytest.mark.parametrize("part_id", ["CON", "prn", "Com1", "LPT9", "aux", "NUL.x"])
def test_no_paper_bears_the_name_of_a_device(part_id: str) -> None:
    """Which some systems open in place of a file, whatever its ending; another name is kept as it is."""
    assert file_name(part_id).startswith("%")
    assert file_name(f"x-{part_id}") == f"x-{part_id}.pdf"


def test_other_peoples_files_in_a_papers_place_are_set_aside(tmp_path: Path) -> None:
    """A strip or the out folder's page is ours by its mark; what is not is kept."""
    strip = tmp_path / "P-1-strip.pdf"
    strip.write_bytes(b"a planner's own")
    ours = b"%PDF " + OUR_PDF
    assert replace_own(strip, ours, OUR_PDF)
    assert not replace_own(strip, ours, OUR_PDF)
    assert replace_own(strip, ours + b" again", OUR_PDF)
    (tmp_path / INDEX).write_bytes(b"<html>somebody's page")
    make_these(tmp_path, job())
    kept = sorted(path.read_bytes() for path in (tmp_path / "set-aside").iterdir())
    assert kept == [b"<html>somebody's page", b"a planner's own"]


ODD_VALUES = [
    *(b"NaN", b"1e999", b"9" * 5000, b"[" * 900 + b"]" * 900, b"[" * 30 + b"]" * 30, b'"\\ud800"', b""),
    b'{"a": NaN}',
]


@pytest.mark.parametrize("odd", ODD_VALUES, ids=[each[:12].decode() for each in ODD_VALUES])
def test_a_foreign_pdfs_values_are_not_taken_at_their_word(odd: bytes) -> None:
    """Though its seal be right: what this program could not have written is no card of it."""
    told = job()
    manifest = {
        **{
            "paper": "card",
            "part": "P-1",
            "revision": "A",
            "code": told.code,
            "fingerprint": told.fingerprint,
        },
        **{"posted_at": [], "inputs": []},
    }
    sound = bind(pages("P-1", []), manifest, {VALUES: json.dumps({"title": {}}).encode()})
    assert read_card(sound).sealed
    for values in (odd, b'{"title": ' + odd + b"}"):
        with pytest.raises(NotACardError):
            read_card(bind(pages("P-1", []), manifest, {VALUES: values}))
