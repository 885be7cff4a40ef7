"""What taper is this? By words, by how fast it tapers, by two diameters and a length."""

from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from cardgen.tapers.lookup import all_series, all_tapers, find, index, words_of
from cardgen.tapers.series import StandardTaper


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


def by_ratio(ratio: float, half_digit: float = 0.0, count: int = 8) -> list[Family]:
    """The families of standard tapers nearest to a ratio, nearest first.

    `half_digit`: half a unit in the last digit of the figure asked about, as a ratio (0.602 in/ft:
    0.0005/12).
    """
    families: dict[tuple[str, float], list[StandardTaper]] = {}
    for taper in all_tapers():
        families.setdefault((taper.series, taper.ratio), []).append(taper)
    found = []
    for (series, standard), tapers in families.items():
        slack = half_digit + max(taper.ratio_half_digit for taper in tapers) + 1e-12
        difference = ratio - standard
        found.append(Family(series, tuple(tapers), difference, abs(difference) <= slack))
    return sorted(found, key=lambda family: abs(family.difference_ratio))[:count]


@dataclass(frozen=True)
class Likeness:
    """A standard taper beside a piece known by two diameters and a length."""

    taper: StandardTaper
    difference_mm: (
        float  # of taper, as a difference of diameters over the length; positive: the piece is steeper
    )
    beyond_gauge_line_mm: (
        float | None
    )  # how far the piece's large end lies past the gauge line, + towards the large end
    covers: bool  # the piece's large end lies on the standard's cone, as far as its ends are known


def by_ends(large_mm: float, small_mm: float, length_mm: float, count: int = 8) -> list[Likeness]:
    """The standard tapers nearest to a piece of two diameters and a length, nearest first.

    Formula: difference = (D − d) − C_standard L. Of the sizes of a series that taper alike, the one whose
    gauge line lies nearest to the piece's large end is named. ValueError where the length is not positive or
    the small end not the smaller.
    """
    if length_mm <= 0 or not 0 <= small_mm < large_mm:
        raise ValueError("a taper has a large end, a smaller small end and a length above zero")
    best: dict[tuple[str, float], Likeness] = {}
    for taper in all_tapers():
        likeness = _likeness(taper, large_mm, small_mm, length_mm)
        key = (taper.series, taper.ratio)
        if key not in best or _offset(likeness) < _offset(best[key]):
            best[key] = likeness
    return sorted(best.values(), key=lambda likeness: (abs(likeness.difference_mm), _offset(likeness)))[
        :count
    ]


def _likeness(taper: StandardTaper, large_mm: float, small_mm: float, length_mm: float) -> Likeness:
    difference = (large_mm - small_mm) - taper.ratio * length_mm
    gauge_line = taper.gauge_line_diameter_mm
    beyond = (large_mm - gauge_line) / taper.ratio if gauge_line is not None else None
    above = taper.large_diameter_mm is None or large_mm <= taper.large_diameter_mm * 1.02
    below = taper.small_diameter_mm is None or large_mm > taper.small_diameter_mm
    return Likeness(taper, difference, beyond, above and below)


def _offset(likeness: Likeness) -> float:
    return abs(likeness.beyond_gauge_line_mm) if likeness.beyond_gauge_line_mm is not None else float("inf")


def by_words(text: str) -> list[StandardTaper]:
    """The standard tapers that words point at: the one of that name, else all that have all the words.

    Words are looked for in names, spellings, callouts, notes and in what a series says it is for.
    """
    named = find(text)
    if named is not None:
        return [named]
    wanted = set(words_of(text))
    return [taper for taper, words in _described() if wanted and wanted <= words]


@cache
def _described() -> tuple[tuple[StandardTaper, frozenset[str]], ...]:
    """Every standard taper with all the words that speak of it."""
    spelled = {line.series: line.spelled for line in index()}
    found = []
    for series in all_series():
        shared = (series.name, series.title, *spelled[series.name])
        for taper in series.sizes:
            own = (taper.name, *taper.spellings, taper.callout_text, taper.note or "")
            found.append((taper, frozenset(word for text in (*shared, *own) for word in words_of(text))))
    return tuple(found)
