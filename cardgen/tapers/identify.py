"""What taper is this? By how fast it tapers, by its diameters, by two diameters and a length."""

import math
from dataclasses import dataclass
from typing import NamedTuple

from cardgen.tapers.lookup import all_tapers
from cardgen.tapers.series import StandardTaper

COARSE = 0.002  # share of a standard's ratio that the rounding of its own figure explains at the most
SAME_MM = 0.002  # ends that differ by less are one diameter, in inches and in millimetres
ROUND_MM = 0.05  # what the few digits of a printed end explain at the most: 1.6 in of a rule is 1.600
NOISE = 1e-12  # of a ratio, what reckoning in floats leaves
NEARLY = 0.01  # share of a diameter by which two measured ends may be off in all


class Nearest(NamedTuple):
    """A standard taper and how far another taper departs from it."""

    taper: StandardTaper
    difference_mm: float  # on the diameter over the length; positive: the taper asked about is steeper


def nearest(ratio: float, length_mm: float, count: int) -> list[Nearest]:
    """The standard tapers that a ratio is nearest to, with the difference of diameters over the length.

    Formula: (C − C_standard) L. Sizes of one series with one ratio count once, by the first of them.
    """
    first: dict[tuple[str, float], StandardTaper] = {}
    for taper in all_tapers():
        first.setdefault((taper.series, taper.ratio), taper)
    found = [Nearest(taper, (ratio - taper.ratio) * length_mm) for taper in first.values()]
    return sorted(found, key=lambda near: abs(near.difference_mm))[:count]


@dataclass(frozen=True)
class Family:
    """Sizes of one series that taper alike, and how far the taper asked about departs from them."""

    series: str
    tapers: tuple[StandardTaper, ...]
    difference_ratio: (
        float  # asked about less standard, diameter per length; positive: asked about is steeper
    )
    within_rounding: bool  # the printed digits of the two explain the difference

    def difference_over(self, length_mm: float) -> float:
        """Difference of diameters over a length, mm."""
        return self.difference_ratio * length_mm


def by_ratio(ratio: float, half_digit: float = 0.0) -> list[Family]:
    """The families of standard tapers, those that have the ratio first, then the nearest.

    `half_digit`: half a unit in the last digit of the figure asked about, as a ratio (0.602 in/ft:
    0.0005/12).
    """
    families: dict[tuple[str, float], list[StandardTaper]] = {}
    for taper in all_tapers():
        families.setdefault((taper.series, taper.ratio), []).append(taper)
    found = []
    for (series, standard), tapers in families.items():
        own = min(max(taper.rate.doubt for taper in tapers), COARSE * standard)
        slack = half_digit + own + NOISE
        difference = ratio - standard
        found.append(Family(series, tuple(tapers), difference, abs(difference) <= slack))
    return sorted(found, key=_departure)


def _departure(family: Family) -> tuple[int, float]:
    """The very cone first, then those that agree, in the library's order: none is nearer for certain."""
    off = abs(family.difference_ratio)
    return (0, 0.0) if off < NOISE else (1, 0.0) if family.within_rounding else (2, off)


@dataclass(frozen=True)
class Likeness:
    """A standard taper beside a piece known by two diameters and a length."""

    taper: StandardTaper
    difference_mm: float  # of taper, as a difference of diameters over the length; positive: piece is steeper
    beyond_gauge_line_mm: float | None  # the piece's large end past the gauge line, + towards the large end
    outside_mm: float  # how far the piece's large diameter lies outside the standard's cone; 0: on it


def by_ends(large_mm: float, small_mm: float, length_mm: float, count: int = 8) -> list[Likeness]:
    """The standard tapers nearest to a piece of two diameters and a length, nearest first.

    Formula: difference = (D − d) − C_standard L. Nearest is the least sum of that difference and of what
    the large diameter lies outside the standard's cone; a standard without fixed sizes has no outside. Of the
    sizes of a series that taper alike the nearest alone is named. ValueError where the length is not positive
    or the small end not the smaller.
    """
    if length_mm <= 0 or not 0 <= small_mm < large_mm:
        raise ValueError("a taper has a large end, a smaller small end and a length above zero")
    nearest_of: dict[tuple[str, float], Likeness] = {}
    for taper in all_tapers():
        likeness = _likeness(taper, large_mm, small_mm, length_mm)
        key = (taper.series, taper.ratio)
        if key not in nearest_of or _distance(likeness) < _distance(nearest_of[key]):
            nearest_of[key] = likeness
    return sorted(nearest_of.values(), key=_distance)[:count]


def _likeness(taper: StandardTaper, large_mm: float, small_mm: float, length_mm: float) -> Likeness:
    gauge_line = taper.gauge_line_diameter_mm
    return Likeness(
        taper=taper,
        difference_mm=(large_mm - small_mm) - taper.ratio * length_mm,
        beyond_gauge_line_mm=(large_mm - gauge_line) / taper.ratio if gauge_line is not None else None,
        outside_mm=_outside(taper, large_mm),
    )


def _outside(taper: StandardTaper, diameter_mm: float) -> float:
    """How far a diameter lies above the standard's large end, projection included, or below its small end."""
    projection = taper.projection.mm if taper.projection else 0.0
    top = taper.large_diameter_mm
    above = diameter_mm - (top + taper.ratio * projection) if top is not None else 0.0
    below = taper.small_diameter_mm - diameter_mm if taper.small_diameter_mm is not None else 0.0
    return max(above, below, 0.0)


def _distance(likeness: Likeness) -> tuple[float, float]:
    """Least first: what does not fit in diameter, then how far the large end is from the gauge line."""
    offset = likeness.beyond_gauge_line_mm
    return abs(likeness.difference_mm) + likeness.outside_mm, abs(offset) if offset is not None else 0.0


def by_diameter(diameter_mm: float, half_digit_mm: float) -> list[StandardTaper]:
    """The standard tapers that have an end of this diameter, as far as the digits of both tell."""
    return [
        taper
        for taper in all_tapers()
        if any(
            abs(end.mm - diameter_mm) <= half_digit_mm + min(max(float(end.half_digit_mm), SAME_MM), ROUND_MM)
            for end in (taper.large, taper.small)
            if end is not None
        )
    ]


def by_two_diameters(large_mm: float, small_mm: float) -> list[StandardTaper]:
    """The standard tapers whose two ends are nearly these, the nearest first."""

    def off(taper: StandardTaper) -> float:
        large, small = taper.large_diameter_mm, taper.small_diameter_mm
        return math.inf if large is None or small is None else abs(large - large_mm) + abs(small - small_mm)

    return sorted((taper for taper in all_tapers() if off(taper) <= NEARLY * large_mm), key=off)
