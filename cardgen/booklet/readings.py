"""Reading → stock for every taper that is unlike the others."""

from fractions import Fraction

from cardgen.booklet.lines import Alike
from cardgen.booklet.tables import ReadingStock, StockScale, StockTable, TaperLine
from cardgen.compute import reading, taper
from cardgen.terms import MM, System

ROWS = 25
SCALES: dict[System, tuple[tuple[Fraction, int | None], ...]] = {
    "in": ((Fraction(1, 64), 64), (Fraction(1, 1000), None)),
    "mm": ((Fraction(1, 2), None), (Fraction(1, 10), None)),
}


def stock_table(group: Alike, systems: tuple[System, ...]) -> StockTable:
    """The stock for readings on the scales of each system, counted from the finish reading."""
    line = group.first
    return StockTable(
        names=tuple(dict.fromkeys(each.name for each in group.lines)),
        parts=group.parts,
        ratio=line.ratio,
        ratio_1_to=taper.one_in_from_ratio(line.ratio),
        per_foot_in=taper.per_foot_from_ratio(line.ratio),
        half_angle_deg=line.half_angle_deg,
        scales=tuple(
            _scale(line, system, division, denominator)
            for system in systems
            for division, denominator in SCALES[system]
        ),
    )


def _scale(line: TaperLine, system: System, division: Fraction, denominator: int | None) -> StockScale:
    division_mm = float(division) * MM[system]
    per_reading = reading.stock_per_reading("shoulder_gap", line.ratio)
    rows = []
    for count in range(1, ROWS + 1):
        away = count * division_mm
        rows.append(ReadingStock(count, away, reading.stock_from_reading(away, 0.0, per_reading)))
    return StockScale(system, denominator, division_mm, tuple(rows))
