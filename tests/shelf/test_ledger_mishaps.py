"""The ledger is never half-written: a full disk, a kill, two at once, a folder that may not be written."""

import errno
import os
import threading

import pytest

from cardgen.shelf import writing
from cardgen.shelf.ledger import read_ledger
from cardgen.shop.entering import enter_posted, paper_named
from cardgen.shop.folder import Shop
from tests.shelf.conftest import Floor

PLACES = ("Grinder 2", "Toolroom binder")


class Killed(BaseException):
    """What ends a run at once."""


def hanging(floor: Floor) -> set[str]:
    ledger = read_ledger(floor.folder / "specs")
    assert ledger.unread == ()
    for last in ledger.last.values():
        assert all(ledger.kept_of(entry) is not None for entry in last.values())
    return {entry.place for last in ledger.last.values() for entry in last.values()}


@pytest.mark.parametrize(
    "mishap",
    [Killed(), OSError(errno.ENOSPC, "full"), OSError(errno.EROFS, "read-only")],
    ids=["killed", "full", "read-only"],
)
@pytest.mark.parametrize("moment", range(3))
def test_what_was_entered_before_a_mishap_is_whole_and_the_rest_is_entered_the_next_time(
    floor, monkeypatch, mishap, moment
):
    """What the card says first, then an entry a place: whenever it ends, none refers to what is not kept."""
    calls = iter(range(99))

    class Failing:
        def __getattr__(self, name):
            if name == "replace" and next(calls) == moment:
                raise mishap
            return getattr(os, name)

    monkeypatch.setattr(writing, "os", Failing())
    with pytest.raises((Killed, writing.ShelfError)):
        enter_posted(shop := Shop.read(floor.folder), paper_named(shop, "card", "SN-204"), PLACES, "Ada")
    monkeypatch.undo()
    assert len(hanging(floor)) == max(0, moment - 1)
    floor.done("posted", "SN-204", *PLACES)
    assert hanging(floor) == set(PLACES)
    assert not list(floor.folder.rglob("*.half-written"))
    assert not list(floor.out.glob(".cardgen-lock"))


def test_five_who_enter_at_once_enter_one_after_the_other(floor):
    """Each place once, none lost, and the place that all name has one last entry."""
    places = [("Toolroom binder", f"Bench {number}") for number in range(5)]
    shop = Shop.read(floor.folder)
    shop.job("SN-204")
    card = paper_named(shop, "card", "SN-204")
    runs = [threading.Thread(target=enter_posted, args=(shop, card, each, "Ada")) for each in places]
    for run in runs:
        run.start()
    for run in runs:
        run.join()
    assert hanging(floor) == {"Toolroom binder", *(f"Bench {number}" for number in range(5))}
    last = read_ledger(floor.folder / "specs").last
    assert all(len(entries) == 1 for entries in last.values())


def test_a_place_for_the_ledger_that_is_none_is_told(floor):
    """One line, and nothing is changed."""
    (floor.folder / "specs" / "hanging").write_text("a file", "utf-8")
    (line,) = floor.done("posted", "SN-204", "Grinder 2", status=2)
    assert "hanging" in line
    assert "stands where a folder is needed" in line or "a file" in line
