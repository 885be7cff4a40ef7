"""A week in a shop: what each command says of every mishap; no false alarm, none missed, nothing lost."""

import json
import shutil
from collections import Counter

from tests.shelf.conftest import ROOT, Floor
from tests.shelf.test_what_hangs import LARGER, NEW_RING, back

PLACES = ("Grinder 2", "Grinder 3", "Setting bench", "Toolroom binder")


def stands(floor: Floor, **states: int) -> None:
    """How many copies are right, to be exchanged …; and an exit status of 1 while any needs doing."""
    ended = floor.run("status", "--json")
    told = Counter(copy["state"].replace(" ", "_") for copy in json.loads(ended.stdout)["copies"])
    assert told == Counter(states)
    assert ended.returncode == (1 if set(states) - {"right"} else 0)


def warned(lines: list[str]) -> bool:
    return any("was not raised" in line for line in lines)


def test_a_week(floor):
    """From the first card hung to the last taken down."""
    floor.edit("spindle-nose.yaml", "[Grinder 2, Toolroom binder]", f"[{', '.join(PLACES)}]")
    floor.done("make")
    floor.done("posted", "SN-204", *PLACES)
    first = floor.code()
    stands(floor, right=4)

    # Monday: a diameter changed, the revision forgotten, then raised; two copies exchanged.
    floor.edit(*LARGER)
    stands(floor, to_be_exchanged=4)
    assert warned(floor.done("make"))
    floor.edit("spindle-nose.yaml", "revision: B", "revision: C")
    assert not warned(floor.done("make"))
    second = floor.code()
    assert floor.notices() == {f"{first}-to-{second[-8:]}.pdf"}
    floor.done("posted", "SN-204", *PLACES[:2])
    stands(floor, right=2, to_be_exchanged=2)

    # Tuesday: all of it was an error, and is put back: the two that were not exchanged are right.
    floor.edit(*back(LARGER))
    floor.edit("spindle-nose.yaml", "revision: C", "revision: B")
    stands(floor, right=2, to_be_exchanged=2)
    assert not warned(floor.done("make"))
    assert floor.code() == first
    assert floor.notices() == {f"{second}-to-{first[-8:]}.pdf"}
    floor.done("posted", "SN-204", *PLACES[:2])
    assert any(line.startswith("filed  ") for line in floor.done("make"))

    # Wednesday: the ring comes back from calibration, and every paper is lost.
    floor.edit(*NEW_RING)
    shutil.rmtree(floor.out)
    stands(floor, to_be_exchanged=4)
    assert not warned(floor.done("make"))
    ring = floor.code()
    assert floor.notices() == {f"{first}-to-{ring[-8:]}.pdf"}
    floor.done("posted", "SN-204", *PLACES)
    floor.done("make")

    # Thursday: other words, taken back; a comment; one copy is torn down and one hung where none should.
    (floor.folder / "templates").mkdir()
    words = (ROOT / "templates" / "code.j2").read_text("utf-8")
    (floor.folder / "templates" / "code.j2").write_text(words.replace("qualified", "skilled"), "utf-8")
    stands(floor, to_be_exchanged=4)
    shutil.rmtree(floor.folder / "templates")
    floor.edit("spindle-nose.yaml", "machine: CG-2", "machine: CG-2  # as before")
    stands(floor, right=4)
    floor.done("withdraw", "SN-204", "Grinder 3")
    floor.done("posted", "SN-204", "Grinder 9")
    stands(floor, right=3, to_be_hung=1, to_be_taken_down=1)
    floor.done("withdraw", "SN-204", "Grinder 9")
    floor.done("posted", "SN-204", "Grinder 3")
    stands(floor, right=4)

    # Friday: the part is renamed; then it is given up.
    floor.edit("spindle-nose.yaml", "id: SN-204", "id: SN-305")
    floor.done("make")
    stands(floor, to_be_hung=4, to_be_taken_down=4)
    assert floor.notices() == {f"{ring}-taken-down.pdf"}
    floor.done("withdraw", "SN-204", *PLACES)
    floor.done("posted", "SN-305", *PLACES)
    (floor.out / "SN-204.pdf").unlink()
    floor.done("make")
    stands(floor, right=4)
    (floor.folder / "specs" / "spindle-nose.yaml").unlink()
    floor.done("make")
    stands(floor, to_be_taken_down=4)
    floor.done("withdraw", "SN-305", *PLACES)
    floor.done("make")
    assert floor.copies() == {}
    assert floor.notices() == set()
    filed = {path.name for path in (floor.out / "notices" / "filed").iterdir()}
    assert f"{ring}-taken-down.pdf" in filed
