"""Per foot ⇄ ratio ⇄ per cent ⇄ angles: round figures of each form, and the standards' own ratios."""

import math
from collections.abc import Iterator
from fractions import Fraction

from cardgen.booklet.tables import Conversion, Conversions
from cardgen.compute import taper
from cardgen.digits import plain_fraction

# Round figures of each form, finer where the trade's tapers lie close together.
PER_FOOT = (
    (Fraction(1, 32), Fraction(1)),
    (Fraction(1, 16), Fraction(2)),
    (Fraction(1, 8), Fraction(4)),
    (Fraction(1, 4), Fraction(8)),
)
ONE_IN = (
    *(3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 22, 24, 25, 26, 28, 30, 32, 36),
    *(40, 48, 50, 60, 64, 75, 80, 96, 100, 150, 192, 200, 500, 1000),
)
PER_CENT = ((Fraction(1, 2), Fraction(10)), (Fraction(1), Fraction(20)), (Fraction(5), Fraction(50)))
# Included angles: every half degree to 20°, every degree to 30°, every 5° to 90°, and 120°.
ANGLES = ((Fraction(1, 2), Fraction(20)), (Fraction(1), Fraction(30)), (Fraction(5), Fraction(90)))


def conversions() -> Conversions:
    """The same conversion entered by each form of callout, from the shallow to the steep."""
    return Conversions(
        by_per_foot=tuple(
            _from_ratio(taper.ratio_from_per_foot(float(each)), plain_fraction(*each.as_integer_ratio()))
            for each in _steps(PER_FOOT)
        ),
        by_ratio=tuple(
            _from_ratio(taper.ratio_from_one_in(each), f"1:{each}") for each in sorted(ONE_IN, reverse=True)
        ),
        by_per_cent=tuple(_from_ratio(float(each / 100), "") for each in _steps(PER_CENT)),
        by_angle=tuple(_from_included(float(each)) for each in (*_steps(ANGLES), Fraction(120))),
    )


def _steps(runs: tuple[tuple[Fraction, Fraction], ...]) -> Iterator[Fraction]:
    """From nothing by (step, up to) to (step, up to), each run going on where the last one ended."""
    reached = Fraction(0)
    for step, upto in runs:
        while reached < upto:
            reached += step
            yield reached


def _from_ratio(ratio: float, given: str) -> Conversion:
    half_angle = taper.half_angle_from_ratio(ratio)
    return Conversion(
        given=given,
        per_foot_in=taper.per_foot_from_ratio(ratio),
        ratio_1_to=taper.one_in_from_ratio(ratio),
        per_cent=taper.per_cent_from_ratio(ratio),
        half_angle_deg=math.degrees(half_angle),
        included_angle_deg=math.degrees(taper.included_angle(half_angle)),
    )


def _from_included(degrees: float) -> Conversion:
    half_angle = taper.half_angle_from_included(math.radians(degrees))
    ratio = taper.ratio_from_half_angle(half_angle)
    return Conversion(
        given="",
        per_foot_in=taper.per_foot_from_ratio(ratio),
        ratio_1_to=taper.one_in_from_ratio(ratio),
        per_cent=taper.per_cent_from_ratio(ratio),
        half_angle_deg=degrees / 2,
        included_angle_deg=degrees,
    )
