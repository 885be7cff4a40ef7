"""A week in a shop: what each command says of every mishap; no false alarm, none missed, nothing lost."""

import json
import re
import shutil
from collections import Counter
from collections.abc import Callable

import pytest

from cardgen.shelf.ledger import read_ledger
from tests.shelf.conftest import ROOT, Floor
from tests.shelf.test_what_hangs import LARGER, NEW_RING, back

PLACES = ("Grinder 2", "Grinder 3", "Setting bench", "Toolroom binder")
STRIPS = ("Grinder 2", "Setting bench")
TRUE = ["current  N papers", "right  N copies that hang"]
NOSE = "spindle-nose.yaml"
NEW_DIAL = ("machines.yaml", "division: 0.0025 mm}\nwork_speeds: 60", "division: 0.005 mm}\nwork_speeds: 60")


class Week:
    """The shop from day to day."""

    def __init__(self, floor: Floor) -> None:
        self.floor = floor

    def make(self, status: int = 0) -> list[str]:
        return self.floor.done("make", status=status)

    def post(
        self, part: str = "SN-204", cards: tuple[str, ...] = PLACES, strips: tuple[str, ...] = STRIPS
    ) -> None:
        self.floor.done("posted", part, *cards)
        self.floor.done("posted", part, *strips, "--paper", "strip")

    def post_all(self, part: str = "SN-204") -> None:
        """What each of the four papers says now hangs wherever it should."""
        self.post(part)
        self.floor.done("posted", part, "Setting bench", "--paper", "record")
        self.floor.done("posted", "toolroom", "Toolroom binder")

    def take_down(self, part: str) -> None:
        self.floor.done("withdraw", part, *PLACES)
        self.floor.done("withdraw", part, *STRIPS, "--paper", "strip")
        self.floor.done("withdraw", part, "Setting bench", "--paper", "record")

    def stands(self, **states: int) -> None:
        """How many copies are right, to be exchanged …; an exit status of 1 while any needs doing, and a line
        for all that is wrong: no alarm where there is nothing to do."""
        ended = self.floor.run("status", "--json")
        told = Counter(copy["state"].replace(" ", "_") for copy in json.loads(ended.stdout)["copies"])
        assert told == Counter(states)
        assert ended.returncode in ((0, 1) if set(states) == {"right"} else (1, 2))

    def calm(self) -> None:
        """All is as it should be, and in few words."""
        lines = [line for line in self.floor.done("status") if not line.startswith("warning  SN-305: specs/")]
        assert [re.sub(r"\d+", "N", line) for line in lines] == TRUE
        assert self.floor.notices() == set()

    def edit(self, spec: str, old: str, new: str) -> None:
        self.floor.edit(spec, old, new)

    def words(self, template: str, old: str, new: str) -> Callable[[], None]:
        """The shop's own template says it otherwise; how that is taken back."""
        own = self.floor.folder / "templates"
        own.mkdir()
        text = (ROOT / "templates" / template).read_text("utf-8")
        assert old in text
        (own / template).write_text(text.replace(old, new), "utf-8")
        return lambda: shutil.rmtree(own)


def warned(lines: list[str]) -> bool:
    return any("was not raised" in line for line in lines)


def begun(lines: list[str], *words: str) -> int:
    """How many lines begin so."""
    return sum(line.startswith(words) for line in lines)


@pytest.fixture
def week(floor: Floor) -> Week:
    """Cards at four places, strips at two, a record sheet, and a booklet of few tables in the binder."""
    text = (ROOT / "specs" / "toolroom-booklet.yaml").read_text("utf-8")
    few = re.sub(r"(?s)\nmachines: .*", "\nmachines: [CG-2]\ntapers: ['1:8']\ntables: [parts]\n", text)
    (floor.folder / "specs" / "toolroom-booklet.yaml").write_text(few, "utf-8")
    floor.edit(NOSE, "[Grinder 2, Toolroom binder]", f"[{', '.join(PLACES)}]")
    floor.done("make")
    for words in (("strip", "SN-204"), ("record", "SN-204"), ("booklet",)):
        floor.done(*words)
    found = Week(floor)
    found.post_all()
    found.make()
    return found


def test_a_week(week):
    """From the first card hung to the last taken down."""
    monday(week)
    tuesday(week)
    wednesday(week)
    thursday(week)
    friday(week)
    nothing_is_lost(week.floor)


def monday(week: Week) -> None:
    """A diameter changes, the revision is forgotten, then raised; half of what hangs is exchanged."""
    floor, first = week.floor, week.floor.code()
    week.stands(right=8)
    week.calm()
    week.edit(*LARGER)
    week.stands(to_be_exchanged=8)
    lines = floor.done("status", status=1)
    assert (
        begun(lines, "to be exchanged") == 4
    )  # card, strip, record sheet, booklet, each with all its places
    assert begun(lines, f"to be exchanged  {', '.join(PLACES)}: {first} by ") == 1
    assert begun(lines, "out of date") == 4
    lines = week.make()
    assert warned(lines)
    assert begun(lines, "remade") == 4
    assert begun(lines, "notice") == 2
    notices = floor.notices()
    week.edit(NOSE, "length: 62 mm", "length: 62")  # a slip while the revision is looked for: notices wait
    assert begun(week.make(status=2), "filed") == 0
    assert floor.notices() == notices
    week.edit(NOSE, "length: 62\n", "length: 62 mm\n")
    week.edit(NOSE, "revision: B", "revision: C")
    lines = week.make()
    assert not warned(lines)
    assert begun(lines, "notice", "filed") == 4  # those to the card that never hung are void
    assert {name for name in floor.notices() if name[0] == "S"} == {f"{first}-to-{floor.code()[-8:]}.pdf"}
    week.post(cards=PLACES[:2], strips=STRIPS[:1])
    week.stands(right=3, to_be_exchanged=5)


def tuesday(week: Week) -> None:
    """All of it was an error, and is put back: what was not exchanged is right."""
    floor, second = week.floor, week.floor.code()
    week.edit(*back(LARGER))
    week.edit(NOSE, "revision: C", "revision: B")
    week.stands(right=5, to_be_exchanged=3)
    assert not warned(week.make())
    assert floor.notices() == {f"{second}-to-{floor.code()[-8:]}.pdf"}
    week.post(cards=PLACES[:2], strips=STRIPS[:1])
    assert begun(week.make(), "filed") == 1
    week.stands(right=8)
    week.calm()


def wednesday(week: Week) -> None:
    """The ring comes back from calibration, and every paper is lost; the machine gets a new dial."""
    floor, first = week.floor, week.floor.code()
    week.edit(*NEW_RING)
    shutil.rmtree(floor.out)
    week.stands(to_be_exchanged=8)
    lines = week.make()
    assert not warned(lines)
    assert begun(lines, "made") == 4  # all that is to be carried to where another hangs
    assert f"{first}-to-{floor.code()[-8:]}.pdf" in floor.notices()
    week.post_all()
    week.make()
    week.stands(right=8)
    week.calm()
    issue = floor.status()["SN-204"]["issue"]
    week.edit(*NEW_DIAL)
    week.stands(to_be_exchanged=8)
    assert not warned(week.make())
    assert floor.status()["SN-204"]["issue"] == issue + 1
    week.post_all()
    week.make()
    week.calm()


def thursday(week: Week) -> None:
    """Words taken back, comments, a mistake, a key that no card shows; a copy torn down, one hung wrongly."""
    floor = week.floor
    as_before = week.words("code.j2", "qualified", "skilled")
    week.stands(to_be_exchanged=8)
    as_before()
    week.calm()
    as_before = week.words("gap_strip.j2", "stock on the diameter", "stock left on it")
    week.stands(right=6, to_be_exchanged=2)
    assert any("strip" in line and "by the same made anew" in line for line in floor.done("status", status=1))
    as_before()
    week.edit(NOSE, "machine: CG-2", "machine: CG-2  # as before")
    week.edit("machines.yaml", "name: Universal grinder 2", "name: Universal grinder 2  # by the door")
    week.stands(right=8)
    week.calm()
    week.edit(NOSE, "length: 62 mm", "length: 62")
    week.stands(unknown=8)
    lines = week.make(status=2)
    assert begun(lines, f"specs/{NOSE}:12:11: ") == 1
    assert begun(lines, "not made") == 4
    assert begun(lines, "notice", "filed", "remade") == 0
    week.edit(NOSE, "length: 62\n", "length: 62 mm\n")
    week.calm()
    week.edit(NOSE, "batch: {", "batch: {gauging_time: 45 s, ")  # on the part's page of the booklet alone
    assert not warned(week.make())
    week.stands(right=7, to_be_exchanged=1)
    assert {name.partition("-")[0] for name in floor.notices()} == {"toolroom"}
    week.edit(NOSE, "gauging_time: 45 s, ", "")
    week.make()
    week.calm()
    floor.done("withdraw", "SN-204", "Grinder 3")
    floor.done("posted", "SN-204", "Grinder 9")
    week.stands(right=7, to_be_hung=1, to_be_taken_down=1)
    floor.done("withdraw", "SN-204", "grinder 9 ")
    floor.done("posted", "SN-204", "GRINDER 3")
    week.stands(right=8)


def friday(week: Week) -> None:
    """The part is renamed; then it is given up, and the booklet after it."""
    floor, last = week.floor, week.floor.code()
    week.edit(NOSE, "id: SN-204", "id: SN-305")
    lines = week.make()
    assert f"notice  notices/{last}-taken-down.pdf" in [line.partition(":")[0] for line in lines]
    week.stands(to_be_hung=4, to_be_taken_down=7, to_be_exchanged=1)
    week.take_down("SN-204")
    for paper in ("SN-204", "SN-204-strip", "SN-204-record"):
        (floor.out / f"{paper}.pdf").unlink()
    for words in (("strip", "SN-305"), ("record", "SN-305")):
        floor.done(*words)
    week.post_all("SN-305")
    week.make()
    week.stands(right=8)
    week.calm()
    (floor.folder / "specs" / NOSE).unlink()
    week.make()
    week.stands(to_be_taken_down=7, to_be_exchanged=1)
    week.take_down("SN-305")
    floor.done("posted", "toolroom", "Toolroom binder")
    week.make()
    week.stands(right=1)
    (floor.folder / "specs" / "toolroom-booklet.yaml").unlink()
    week.stands(to_be_taken_down=1)
    floor.done("withdraw", "toolroom", "Toolroom binder")
    week.make()
    assert floor.copies() == {}
    assert floor.notices() == set()


def nothing_is_lost(floor: Floor) -> None:
    """Whatever hung is known to the letter, and each notice that led from it is filed."""
    ledger = read_ledger(floor.folder / "specs")
    assert ledger.unread == ()
    hung = [entry for entry in ledger.entries.values() if entry.hangs]
    assert {entry.kind for entry in hung} == {"card", "strip", "record", "booklet"}
    assert all(ledger.kept_of(entry) is not None for entry in hung)
    filed = {path.name for path in (floor.out / "notices" / "filed").iterdir()}
    (last,) = {entry.code for entry in hung if entry.part_id == "SN-305" and entry.kind == "card"}
    assert f"{last}-taken-down.pdf" in filed
