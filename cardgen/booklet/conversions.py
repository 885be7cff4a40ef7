"""Per foot ⇄ ratio ⇄ per cent ⇄ angles, taper over a length, fractions of an inch, minutes of arc."""

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction

from cardgen.booklet.basis import Basis, across, grid
from cardgen.booklet.tables import BookColumn, BookTable, Cell, Way
from cardgen.compute import taper
from cardgen.digits import plain_fraction
from cardgen.terms import INCH

# Round figures of each form, finer where the trade's tapers lie close together: (step, up to) in turn.
PER_FOOT = ((1, 32), (1, 1)), ((1, 16), (2, 1)), ((1, 8), (4, 1)), ((1, 4), (8, 1))
PER_CENT = ((1, 1), (10, 1)), ((5, 1), (50, 1))
ANGLES = ((1, 2), (20, 1)), ((1, 1), (30, 1)), ((5, 1), (90, 1)), ((30, 1), (120, 1))
ONE_IN = (
    *(1000, 500, 200, 192, 150, 100, 96, 80, 75, 64, 60, 50, 48, 40, 36, 32, 30, 28, 26, 25, 24, 22),
    *range(20, 2, -1),
)
TAPERS_OVER_LENGTH = (
    "1/16",
    "3/32",
    "1/8",
    "1/4",
    "3/8",
    "1/2",
    "0.600",
    "5/8",
    "3/4",
    "1",
    "1 1/4",
    "3 1/2",
)
LENGTHS = ((1, 32), (1, 16)), ((1, 16), (1, 1)), ((1, 1), (24, 1))

FORMS = {
    "per_foot": Way("inches", 5),
    "one_in": Way("number", 4),
    "per_cent": Way("number", 5),
    "half": Way("dms"),
    "half_degrees": Way("number", 5),
    "included": Way("dms"),
    "included_degrees": Way("number", 5),
}
ANGLE_FORMS = ("half", "half_degrees", "included", "included_degrees")
GROUPS = {"per_foot": "ratios", "one_in": "ratios", "per_cent": "ratios", "half": "half_angles"}
GROUPS |= {
    "half_degrees": "half_angles",
    "included": "included_angles",
    "included_degrees": "included_angles",
}


def conversions(basis: Basis) -> Iterator[BookTable]:
    """The same conversion entered by each form of callout, and in inches what a taper makes over a length."""
    per_foot, ratios = ("per_foot", "one_in", "per_cent"), ("per_cent", "per_foot")
    given = [(_written(each), taper.ratio_from_per_foot(float(each))) for each in _steps(PER_FOOT)]
    yield _table("from_per_foot", (*per_foot, *ANGLE_FORMS), given)
    given = [(f"1:{each}", taper.ratio_from_one_in(each)) for each in ONE_IN]
    yield _table("from_ratio", (*ratios, *ANGLE_FORMS), given)
    given = [(f"{float(each):.1f}", float(each / 100)) for each in _steps(PER_CENT)]
    yield _table("from_per_cent", ("one_in", "per_foot", *ANGLE_FORMS), given)
    yield _from_angles()
    if "in" in basis.systems:
        yield _over_length()


def numbers(basis: Basis) -> Iterator[BookTable]:
    """Sixty-fourths of an inch in decimals and millimetres; minutes and seconds in decimals of a degree."""
    rows = tuple((plain_fraction(n, 64), n / 64, n / 64 * INCH) for n in range(1, 65))
    inch = BookColumn("fraction", Way("plain")), BookColumn("decimal", Way("inches", 6))
    yield BookTable("fractions", (*inch, BookColumn("millimetres", Way("number", 4))), rows, worked=(12, 2))
    degrees = (BookColumn(key, Way("number", 5)) for key in ("minutes", "seconds"))
    yield BookTable(
        "minutes",
        (BookColumn("count", Way("number")), *degrees),
        tuple((n, n / 60, n / 3600) for n in range(1, 61)),
        worked=(29, 1),
    )


def _steps(runs: tuple[tuple[tuple[int, int], tuple[int, int]], ...]) -> Iterator[Fraction]:
    """From nothing by (step, up to) to (step, up to), each run going on where the last one ended."""
    reached = Fraction(0)
    for step, upto in runs:
        while reached < Fraction(*upto):
            reached += Fraction(*step)
            yield reached


def _written(value: Fraction) -> str:
    return plain_fraction(*value.as_integer_ratio())


def _forms(half_angle: float, ratio: float) -> dict[str, float]:
    included = taper.included_angle(half_angle)
    return {
        "per_foot": taper.per_foot_from_ratio(ratio),
        "one_in": taper.one_in_from_ratio(ratio),
        "per_cent": taper.per_cent_from_ratio(ratio),
        "half": math.degrees(half_angle),
        "half_degrees": math.degrees(half_angle),
        "included": math.degrees(included),
        "included_degrees": math.degrees(included),
    }


def _columns(keys: tuple[str, ...]) -> tuple[BookColumn, ...]:
    return tuple(BookColumn(key, FORMS[key], group=GROUPS[key]) for key in keys)


def _table(name: str, keys: tuple[str, ...], given: Sequence[tuple[str, float]]) -> BookTable:
    """A row for each ratio given, in the form that it is round in and in the others."""
    rows: list[tuple[Cell, ...]] = []
    for text, ratio in given:
        forms = _forms(taper.half_angle_from_ratio(ratio), ratio)
        rows.append((text, *(forms[key] for key in keys)))
    return BookTable(
        name,
        (BookColumn("given", Way("plain"), group="ratios"), *_columns(keys)),
        tuple(rows),
        worked=(len(rows) // 3, len(keys) - 3),
    )


def _from_angles() -> BookTable:
    keys = ("included", "included_degrees", "half", "half_degrees", "one_in", "per_cent", "per_foot")
    rows = []
    for degrees in _steps(ANGLES):
        half_angle = taper.half_angle_from_included(math.radians(float(degrees)))
        forms = _forms(half_angle, taper.ratio_from_half_angle(half_angle))
        forms |= {"included": float(degrees), "included_degrees": float(degrees)}
        forms |= {"half": float(degrees) / 2, "half_degrees": float(degrees) / 2}
        rows.append(tuple(forms[key] for key in keys))
    return BookTable("from_angle", _columns(keys), tuple(rows), worked=(15, 4))


def _over_length() -> BookTable:
    """Inches of taper over a length, for tapers per foot: what a handbook's chapter begins with."""
    columns = across("over_length", Way("inches", 5), (text for text in TAPERS_OVER_LENGTH))
    ratios = [
        taper.ratio_from_per_foot(float(sum(Fraction(word) for word in text.split())))
        for text in TAPERS_OVER_LENGTH
    ]
    lengths = list(_steps(LENGTHS))
    rows = grid([*map(float, lengths)], ratios, lambda long, ratio: ratio * long, [*map(_written, lengths)])
    return BookTable("over_length", (BookColumn("length", Way("plain")), *columns), rows, worked=(18, 7))
