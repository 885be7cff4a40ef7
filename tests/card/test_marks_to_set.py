"""The mark of the swivel's scale: one rule for card and booklet, and never a mark beyond the table."""

import math
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

from cardgen.booklet.basis import Basis, Tools
from cardgen.booklet.cones import ConeLine, cones
from cardgen.booklet.machines import swivels
from cardgen.shop.folder import Shop
from cardgen.spec.models import MachineRecord
from cardgen.spec.models.tooling import ScaleRecord
from tests.card.bench_shop import shop

TOP = Path(__file__).parents[2]
DEMO = Shop.read(TOP)
SHORT_TABLE = (
    ("limit: 10 deg", "limit: 3.6 deg"),
    ("{shows: half_angle, division: 10 arcmin}", "{shows: half_angle, division: 1 deg}"),
)


@cache
def every_cone() -> tuple[ConeLine, ...]:
    """Every cone of the library and of the demo."""
    cards = {part: DEMO.card(part).card for part in DEMO.part_ids}
    return cones(("all",), DEMO.library, cards)


@dataclass(frozen=True)
class Mark:
    """What the booklet says of one scale at one cone."""

    cone: ConeLine
    text: str
    left_over_arcsec: float

    @property
    def half_angle(self) -> float:
        return self.cone.half_angle - math.radians(self.left_over_arcsec / 3600)


def marks_of(machine: MachineRecord, among: tuple[ConeLine, ...]) -> list[list[Mark]]:
    """What the booklet says of a machine's scales at each cone that its table reaches."""
    tools = (Tools("mm", 100.0, None),)
    tables = swivels(Basis(("mm",), among, (), (machine,), (), tools, blue_film_mm=0.005))
    scales = next(table for table in tables if table.name in ("scales", "settings"))  # with other ways or not
    named = {cone.label: cone for cone in among}
    places = [at for at, column in enumerate(scales.columns) if column.key == "mark"]
    return [[Mark(named[row[0]], row[at], row[at + 1]) for at in places] for row in scales.rows]


def half_angle_of(scale: ScaleRecord, marks: int) -> float:
    """The half angle at so many divisions, from the definition of each scale."""
    turned = marks * scale.division.value
    if scale.shows == "half_angle":
        return turned
    if scale.shows == "included_angle":
        return turned / 2
    return math.atan(turned / 2)


def nearest_in_reach(scale: ScaleRecord, half_angle: float, limit: float) -> float:
    """The half angle at the best mark, every mark of the table tried."""
    engraved = (lambda at: at) if "angle" in scale.shows else math.tan
    marks = [half_angle_of(scale, count) for count in range(4000)]
    reached = [at for at in marks if at <= limit + 1e-9]
    return min(reached, key=lambda at: (round(abs(engraved(at) - engraved(half_angle)), 12), -at))


def test_a_mark_beyond_the_table_is_on_no_paper(tmp_path: Path) -> None:
    """Ensures that 1:8 (3°34′35″) on a table that stops at 3.6° is set to 3°, on card and booklet alike."""
    found = shop(tmp_path, *SHORT_TABLE)
    card = found.card("SN-204").card
    half_angle = math.radians(card.taper.half_angle_deg)
    cone = ConeLine(("Cone 1:8",), ("ISO 1119",), card.taper.ratio, half_angle, owned=True, seldom=False)
    ((mark, *_),) = marks_of(found.library.machines["CG-2"], (cone,))
    assert card.swivel.scales[0].mark_text == mark.text == "3°00′"
    assert mark.left_over_arcsec == pytest.approx((math.degrees(math.atan(1 / 16)) - 3) * 3600)


@pytest.mark.parametrize("machine", list(DEMO.library.machines.values()), ids=lambda machine: machine.id)
def test_every_taper_of_the_booklet_has_the_nearest_mark_in_reach(machine: MachineRecord) -> None:
    """Ensures that of all marks that the table can be turned to, the booklet prints the nearest."""
    limit = machine.swivel.limit_rad
    for row in marks_of(machine, every_cone()):
        for scale, mark in zip(machine.swivel.scales, row, strict=True):
            wanted = nearest_in_reach(scale, mark.cone.half_angle, limit)
            assert mark.half_angle == pytest.approx(wanted, abs=1e-9), mark


@pytest.mark.parametrize("part", sorted(DEMO.library.parts))
def test_card_and_booklet_set_the_same_mark(part: str) -> None:
    """Ensures that a part's card and the booklet's row of its taper name the same marks."""
    card = DEMO.card(part).card
    every = marks_of(DEMO.library.machines[card.swivel.machine], every_cone())
    rows = [row for row in every if row[0].cone.ratio == pytest.approx(card.taper.ratio, rel=2e-5)]
    assert rows or card.swivel.set_by == "wheel head"
    for row in rows:
        for setting, mark in zip(card.swivel.scales, row, strict=True):
            of_the_callout = setting.left_over_arcsec - card.taper.angle_aim_arcsec
            assert (setting.mark_text.removesuffix(f" {setting.unit}"), of_the_callout) == (
                mark.text,
                pytest.approx(mark.left_over_arcsec, abs=0.1),
            )
