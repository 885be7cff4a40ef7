"""Warm work: what a piece straight from the wheel reads, against what it will measure when cold."""

from cardgen import terms
from cardgen.compute.sum_error import SumError


def growth(diameter: float, expansion: float, warmer: float) -> float:
    """How much larger a piece is while it is warm, hole and outside alike.

    ΔD = D a ΔT. Diameter D in mm, coefficient of expansion a in 1/K, ΔT in K above the temperature at which
    D holds (20 °C, ISO 1); result in mm, negative for cold work. Source: law of linear expansion.
    """
    return diameter * expansion * warmer


def reading_when_warm(kind: terms.ReadingKind, diameter_growth: float, ratio: float) -> float:
    """How far the reading of a warm piece lies from what the same piece reads when cold.

    ± ΔD / C: warm outside work shows a wider gap and stands out less, as if it had more stock; a warm hole
    lets the plug further in, as if it had less. Growth ΔD in mm on the diameter, taper ratio C; result in mm
    of reading, warm less cold. Raises SumError where the ratio is nothing.
    Source: law of linear expansion and the taper's own ratio.
    """
    if ratio == 0:
        raise SumError("a straight piece gives no reading")
    sign = 1.0 if terms.reading(kind).grows_with_diameter else -1.0
    return sign * diameter_growth / abs(ratio)
