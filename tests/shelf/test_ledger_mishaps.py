"""The ledger is never half-written: a full disk, a kill, two at once, a folder that may not be written."""

import errno
import json
import os
import subprocess

import pytest

from cardgen.shelf import writing
from cardgen.shelf.ledger import read_ledger
from cardgen.shop.entering import enter_posted, paper_named
from cardgen.shop.folder import Shop
from tests.shelf.conftest import Floor
from tests.shelf.test_nothing_torn import as_root
from tests.shelf.test_what_hangs import NEW_RING

PLACES = ("Grinder 2", "Toolroom binder")
MOMENTS_APART = 11  # 1: every single call to the system, as by hand


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


BOTH = ("SN-204", *PLACES, "--by", "Ada")


@pytest.mark.parametrize(
    ("done", "words"),
    [
        ((), ("posted", *BOTH)),
        ((("posted", *BOTH),), ("withdraw", *BOTH)),
        ((("posted", *BOTH), NEW_RING), ("make",)),
        ((("posted", *BOTH), NEW_RING, ("make",), ("posted", *BOTH)), ("make",)),
    ],
    ids=["posted", "withdraw", "make with a notice owed", "make with a notice void"],
)
def test_a_command_killed_at_any_moment_leaves_what_hangs_whole(floor, done, words):
    """SIGKILL at the writer's calls to the system, writes torn in the middle: each file is as before or as
    after a command never killed, no entry is there without what its paper says, none is lost, and the next
    run ends with the very files of the unhurt one."""
    for step in done:
        floor.edit(*step) if step is NEW_RING else floor.done(*step)
    before = floor.files()
    strain = {"every_moment": str(floor.folder), "step": MOMENTS_APART}
    told = floor.start(*words, strain=strain).ended(seconds=300)
    assert told.returncode == 0, told.stderr
    *moments, unhurt = map(json.loads, told.stdout.splitlines())
    after = unhurt["files"]
    assert unhurt["status"] == 0
    assert len(moments) >= 2
    for moment in moments:
        killed = {name: at for name, at in moment["killed"].items() if not name.endswith(".half-written")}
        for name, digest in killed.items():
            assert digest in (before.get(name), after.get(name)), (moment["moment"], name)
        assert {name for name in before if not name.startswith("notices/")} <= set(killed)
        entries = [name for name in killed if name.endswith(".json") and "/" not in name]
        assert not entries or any(name.startswith("papers/") for name in killed)
        assert (moment["again"], moment["files"]) == (0, after), moment["moment"]


@pytest.mark.parametrize("runs", [2, 5])
def test_those_who_enter_and_make_at_once_come_one_after_the_other(floor, runs):
    """Each place once, none lost, and the place that all name has one last entry; the page tells them all."""
    at, shop = [f"Bench {number}" for number in range(runs)], ("--shop", str(floor.folder))
    running = [floor.start("posted", "SN-204", "Toolroom binder", place, *shop) for place in at]
    running.append(floor.start("make", *shop))
    assert [run.ended().returncode for run in running] == [0] * (runs + 1)
    assert hanging(floor) == {"Toolroom binder", *at}
    last = read_ledger(floor.folder / "specs").last
    assert all(len(entries) == 1 for entries in last.values())
    page = (floor.out / "index.html").read_text("utf-8")
    assert all(place in page for place in at)


@as_root
def test_a_full_disk_loses_no_entry(floor):
    """A real one: told in one line, what was entered stands, and once there is room the rest is entered."""
    place = floor.folder / "specs" / "hanging"
    place.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=512k", "tmpfs", str(place)]
    if subprocess.run(mount, check=False, capture_output=True).returncode:
        pytest.skip("this machine lets no disk be mounted")
    try:
        floor.done("posted", "SN-204", "Grinder 2")
        disk = os.statvfs(place)
        (place / "filler").write_bytes(b"x" * disk.f_bavail * disk.f_frsize)
        (line,) = floor.done("posted", "SN-204", "Toolroom binder", status=2)
        assert "the disk is full" in line
        assert hanging(floor) == {"Grinder 2"}
        (place / "filler").unlink()
        floor.done("posted", "SN-204", "Toolroom binder")
        assert hanging(floor) == set(PLACES)
    finally:
        subprocess.run(["umount", place], check=True)


def test_a_place_for_the_ledger_that_is_none_is_told(floor):
    """One line, and nothing is changed."""
    (floor.folder / "specs" / "hanging").write_text("a file", "utf-8")
    (line,) = floor.done("posted", "SN-204", "Grinder 2", status=2)
    assert "hanging" in line
    assert "stands where a folder is needed" in line or "a file" in line
