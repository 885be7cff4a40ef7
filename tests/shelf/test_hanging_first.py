"""What hangs and is wrong is told before a large shop is read, and told as after it."""

import shutil
from collections.abc import Callable

import pytest

from cardgen.shop import hanging_first, specs_read
from tests.shelf.conftest import ROOT, Floor
from tests.shelf.test_what_hangs import LARGER, NEW_RING

REAL = specs_read.most


def write(floor: Floor, name: str, text: str) -> None:
    (floor.folder / "specs" / name).write_text(text, "utf-8")


def another(floor: Floor, part_id: str, **changes: str) -> str:
    """The spec of another part like the one that hangs."""
    text = (
        (floor.folder / "specs" / "spindle-nose.yaml")
        .read_text("utf-8")
        .replace("id: SN-204", f"id: {part_id}")
    )
    for old, new in changes.items():
        text = text.replace(f"{old}: ", f"{old}: {new}  # ", 1)
    return text


def in_braces(floor: Floor) -> None:
    """The ring's record in another of YAML's forms, which no line tells."""
    floor.edit(*NEW_RING)
    path = floor.folder / "specs" / "gauges.yaml"
    text = path.read_text("utf-8")
    (ring,) = (each for each in text.split("---\n") if "id: R-204\n" in each)
    rows = [line.partition(" #")[0].strip() for line in ring.splitlines() if line.strip()]
    write(floor, "gauges.yaml", text.replace(ring, "{" + ", ".join(rows) + "}\n"))


def of_one_piece(key: str) -> Callable[[Floor], None]:
    """Another part becomes an operation of its piece; how the key is written."""

    def change(floor: Floor) -> None:
        floor.edit("spindle-nose.yaml", "machine: CG-2", f"{key}: NOSE\noperation_number: 10\nmachine: CG-2")
        write(floor, "z.yaml", another(floor, "X-1").replace("number: 10", "number: 20"))

    return change


def wrong_elsewhere(floor: Floor) -> None:
    floor.edit(*NEW_RING)
    write(floor, "z.yaml", another(floor, "X-1", length="62"))


def behind_dots(floor: Floor) -> None:
    """A part of the same name in a document that the end of another begins."""
    floor.edit(*NEW_RING)
    write(floor, "z.yaml", another(floor, "X-1") + "...\n" + another(floor, "sn-204"))


def named(name: str) -> Callable[[Floor], None]:
    """A ring calibrated, and another part, its name written so."""

    def change(floor: Floor) -> None:
        floor.edit(*NEW_RING)
        write(floor, "z.yaml", another(floor, name))

    return change


def edited(old: str, new: str) -> Callable[[Floor], None]:
    return lambda floor: floor.edit("spindle-nose.yaml", old, new)


STATES: dict[str, tuple[Callable[[Floor], None], bool]] = {  # and whether anything is told early
    "nothing changed": (lambda floor: None, False),
    "a ring calibrated": (lambda floor: floor.edit(*NEW_RING), True),
    "a larger diameter": (lambda floor: floor.edit(*LARGER), True),
    "a ring in braces": (in_braces, True),
    "another of its piece": (of_one_piece("piece"), True),
    "another of its piece, a gap before the colon": (of_one_piece("piece "), True),
    "another of its piece, in quotes": (of_one_piece('"piece"'), True),
    "a mistake": (edited("length: 62 mm", "length: 62"), False),
    "figures that disagree": (edited("length: 62 mm", "length: 620 mm"), False),
    "a mistake elsewhere": (wrong_elsewhere, True),
    "a part of the same name": (lambda floor: write(floor, "z.yaml", another(floor, "sn-204")), False),
    "a part of the same name behind dots": (behind_dots, False),
    "a part of the same name, in signs": (named('"SN\\u002D204"'), False),
    "a part of the same name, below its key": (named(">-\n  SN-204"), False),
    "the part is gone": (lambda floor: (floor.folder / "specs" / "spindle-nose.yaml").unlink(), False),
    "no kind of record": (lambda floor: write(floor, "z.yaml", "kind: prt\nid: X-1\n"), False),
}


@pytest.mark.parametrize("state", STATES)
def test_what_is_told_first_is_what_is_told_of_the_whole(hung, monkeypatch, state):
    """Every line once, whatever the specs hold; what they leave in doubt waits for the rest."""
    change, early = STATES[state]
    change(hung)
    shutil.rmtree(hung.out)
    told = []
    find = hanging_first.copies_first
    monkeypatch.setattr(hanging_first, "copies_first", lambda folder: told.append(find(folder)) or told[-1])
    whole = hung.run("status")
    assert told == []
    monkeypatch.setattr(specs_read, "most", lambda name: 0 if name == "hanging.first" else REAL(name))
    first = hung.run("status")
    assert (first.stdout, first.stderr, first.returncode) == (whole.stdout, whole.stderr, whole.returncode)
    assert any(copy.needs_doing for copy in told[0]) == early


def test_no_spec_is_read_for_it_that_what_hangs_does_not_need(hung, monkeypatch):
    """Of a shop of many parts in a clone without papers."""
    for name in ("needle-valve", "hub-bore", "fan-shaft"):
        shutil.copy(ROOT / "specs" / f"{name}.yaml", hung.folder / "specs")
    hung.edit(*NEW_RING)
    parsed, parse = [], hanging_first.parsed
    monkeypatch.setattr(
        hanging_first, "parsed", lambda path, *rest: parsed.append(path.stem) or parse(path, *rest)
    )
    assert {copy.state for copy in hanging_first.copies_first(hung.folder)} == {"to be exchanged"}
    assert sorted(parsed) == ["gauges", "machines", "shop", "spindle-nose", "wheels"]
