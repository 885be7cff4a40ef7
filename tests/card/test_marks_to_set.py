"""The mark of the swivel's scale: one rule for card and booklet, and never a mark beyond the table."""

import math
from functools import cache
from pathlib import Path

import pytest

from cardgen.booklet.machine_settings import machine_tables
from cardgen.booklet.tables import ScaleMark, SwivelRow, TaperLine
from cardgen.shop.booklet_pdf import booklet_tables
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
def lines() -> tuple[TaperLine, ...]:
    """Every taper of the demo's booklet."""
    return booklet_tables(DEMO, "toolroom").lines


def rows_of(machine: MachineRecord) -> tuple[SwivelRow, ...]:
    """What the booklet says of a machine at every taper of the demo."""
    return machine_tables(machine, lines(), (), None).rows


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


def at_mark(line: TaperLine, mark: ScaleMark) -> float:
    """The half angle at a mark of the booklet, by what it says is left over."""
    return math.radians(line.half_angle_deg - mark.left_over_arcsec / 3600)


def test_a_mark_beyond_the_table_is_on_no_paper(tmp_path: Path) -> None:
    """Ensures that 1:8 (3°34′35″) on a table that stops at 3.6° is set to 3°, on card and booklet alike."""
    found = shop(tmp_path, *SHORT_TABLE)
    card = found.card("SN-204").card
    machine = found.library.machines["CG-2"]
    line = TaperLine("Cone 1:8", "1:8", card.taper.ratio, card.taper.half_angle_deg, None)
    (row,) = machine_tables(machine, [line], [line], None).rows
    assert card.swivel.scales[0].mark_text == row.marks[0].mark_text == "3°00′"
    assert row.marks[0].left_over_arcsec == pytest.approx((math.degrees(math.atan(1 / 16)) - 3) * 3600)


@pytest.mark.parametrize("machine", list(DEMO.library.machines.values()), ids=lambda machine: machine.id)
def test_every_taper_of_the_booklet_has_the_nearest_mark_in_reach(machine: MachineRecord) -> None:
    """Ensures that of all marks that the table can be turned to, the booklet prints the nearest."""
    limit = machine.swivel.limit_rad
    for row in rows_of(machine):
        for scale, mark in zip(machine.swivel.scales, row.marks, strict=False):
            wanted = nearest_in_reach(scale, math.radians(row.line.half_angle_deg), limit)
            assert at_mark(row.line, mark) == pytest.approx(wanted, abs=1e-9), (row.line.name, mark)


@pytest.mark.parametrize("part", sorted(DEMO.library.parts))
def test_card_and_booklet_set_the_same_mark(part: str) -> None:
    """Ensures that a part's card and the booklet's row of its taper name the same marks."""
    card = DEMO.card(part).card
    every = rows_of(DEMO.library.machines[card.swivel.machine])
    rows = [row for row in every if row.line.ratio == pytest.approx(card.taper.ratio, rel=1e-9)]
    assert rows
    for row in rows:
        for setting, mark in zip(card.swivel.scales, row.marks, strict=False):
            assert (setting.mark_text, setting.left_over_arcsec) == (
                mark.mark_text,
                pytest.approx(mark.left_over_arcsec, abs=1e-6),
            )
