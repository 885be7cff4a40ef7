"""Reading → stock: one table for any taper, one for each cone of fixed use or of the shop's own."""

from collections.abc import Iterator
from fractions import Fraction

from cardgen.booklet.basis import HALF_ANGLE, TAPER, Basis, across, grid, length, round_lengths
from cardgen.booklet.cones import ALIKE_ARCSEC, ConeLine
from cardgen.booklet.conversions import ONE_IN
from cardgen.booklet.tables import Amount, BookColumn, BookTable, Cell, Way
from cardgen.compute import reading, taper
from cardgen.digits import plain_fraction
from cardgen.terms import ARCSEC, INCH, MM, System

SIXTY_FOURTHS = (1, 2, 3, 4, 6, 8, 12, 16, 24, 32)
# Scales that readings are taken on: name of their words, readings, denominator of common fractions. What lies
# between is put together: 7.3 mm is 7 mm and 0.3 mm.
TEN = tuple(range(1, 11))
ON_A_RULE = (1, 2, 3, 4, 5, 6, 8, 10, 12, 16)
SCALES: dict[System, tuple[tuple[str, tuple[Fraction, ...], int | None], ...]] = {
    "in": (
        ("by_64", tuple(Fraction(count, 64) for count in ON_A_RULE), 64),
        ("by_hundredth", tuple(Fraction(count, 100) for count in TEN), None),
        ("by_thou", tuple(Fraction(count, 1000) for count in TEN), None),
    ),
    "mm": (
        ("by_mm", tuple(Fraction(count) for count in TEN), None),
        ("by_tenth", tuple(Fraction(count, 10) for count in TEN), None),
    ),
}
DIVISIONS_AT = (50, 30, 20, 16, 12, 10, 8, 5, 4, Fraction(24, 7))  # 1 : x


def stock(basis: Basis) -> Iterator[BookTable]:
    """The general table, the same by sixty-fourths, then a table for each cone that has one of its own."""
    yield _general(basis)
    if "in" in basis.systems:
        yield _by_sixty_fourths(basis)
    for cone in basis.owned:
        yield _stock_of(cone, basis.systems)


def divisions(basis: Basis) -> Iterator[BookTable]:
    """What one division of the tool that a reading is taken with is worth on the diameter."""
    heads = [f"1:{each}" if isinstance(each, int) else "7:24" for each in DIVISIONS_AT]
    ratios = [float(1 / Fraction(each)) for each in DIVISIONS_AT]
    for system in basis.systems:
        rows = grid(round_lengths("divisions", system), ratios, lambda away, ratio: _stock(ratio, away))
        columns = across("worth", length(5, system), (head for head in heads))
        division = BookColumn("division", Way("round length", system=system))
        yield BookTable("divisions", (division, *columns), rows, system, worked=(1, 3))


def _stock(ratio: float, away: float) -> float:
    return reading.stock_from_reading(away, 0.0, reading.stock_per_reading("shoulder_gap", ratio))


def _any_taper(basis: Basis) -> list[tuple[str, float]]:
    """Every cone by its names and every round ratio that is none of them, the shallow first."""
    named = [(cone.label, cone.ratio, cone.half_angle) for cone in basis.cones]
    for x in ONE_IN:
        half_angle = taper.half_angle_from_ratio(1 / x)
        if all(abs(half_angle - known) * ARCSEC > ALIKE_ARCSEC for _, _, known in named):
            named.append((f"1:{x}", 1 / x, half_angle))
    return [(name, ratio) for name, ratio, _ in sorted(named, key=lambda each: each[1])]


def _general(basis: Basis) -> BookTable:
    """Stock for 1 … 9 units of reading, in the same unit: a reading is put together from its figures."""
    rows: list[tuple[Cell, ...]] = []
    for name, ratio in _any_taper(basis):
        rows.append((name, taper.one_in_from_ratio(ratio), *(_stock(ratio, float(n)) for n in range(1, 10))))
    columns = across("units", Way("number", 5), (str(n) for n in range(1, 10)))
    worked = next((row for row, each in enumerate(rows) if each[0] == "1:22"), len(rows) // 2)
    return BookTable(
        "general", (TAPER, BookColumn("one_in", Way("number", 4)), *columns), tuple(rows), worked=(worked, 4)
    )


def _by_sixty_fourths(basis: Basis) -> BookTable:
    """The cones that have no table of their own with a rule's divisions in it."""
    owned = {cone.label for cone in basis.owned}
    names, ratios = zip(*(each for each in _any_taper(basis) if each[0] not in owned), strict=True)
    rows = grid(ratios, [count / 64 * INCH for count in SIXTY_FOURTHS], _stock, names)
    columns = (BookColumn("stock", length(4, "in"), plain_fraction(count, 64)) for count in SIXTY_FOURTHS)
    return BookTable("sixty_fourths", (TAPER, *columns), rows, "in", worked=(len(rows) // 2, 6))


def _stock_of(cone: ConeLine, systems: tuple[System, ...]) -> BookTable:
    """Stock for readings on the scales of each system, counted from the finish reading."""
    columns: list[BookColumn] = []
    parts: list[list[tuple[Cell, ...]]] = []
    for system in systems:
        for key, readings, denominator in SCALES[system]:
            way = Way("plain") if denominator else Way("number", 1) if system == "mm" else Way("inches", 3)
            columns.append(BookColumn("reading", way, group=key))
            columns += [
                BookColumn("stock_in" if each == "in" else "stock_mm", length(4, each), group=key)
                for each in systems
            ]
            rows: list[tuple[Cell, ...]] = []
            for each in readings:
                left = _stock(cone.ratio, float(each) * MM[system])
                shown = plain_fraction(each.numerator, each.denominator) if denominator else float(each)
                rows.append((shown, *(left for _ in systems)))
            parts.append(rows)
    told: dict[str, str | Amount] = {
        "names": " · ".join(cone.names),
        "used_by": ", ".join(cone.used_by),
        "one_in": Amount(taper.one_in_from_ratio(cone.ratio), Way("number", 4)),
        "per_foot": Amount(taper.per_foot_from_ratio(cone.ratio), Way("inches", 5)),
        "half_angle": Amount(cone.half_angle * ARCSEC / 3600, HALF_ANGLE.way),
    }
    rows = [tuple(cell for part in line for cell in part) for line in zip(*parts, strict=True)]
    name = "stock_of_shop" if cone.used_by else "stock_of"
    return BookTable(name, tuple(columns), tuple(rows), told=told)
