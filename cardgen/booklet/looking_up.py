"""What taper is this? A question in words, as a callout or as three lengths → standard tapers.

Morse 3                      by name
collet                       by use
0.602 in/ft                  by how fast it tapers, in any form of callout
23.8 mm 19.8 mm 81 mm        by two diameters and the length between them
"""

import re
from collections.abc import Sequence

from cardgen import tapers
from cardgen.booklet.standard_sizes import standard_series, standard_size
from cardgen.booklet.tables import TaperAnswer, TaperMatch
from cardgen.card.called import ratio_of
from cardgen.compute import taper
from cardgen.spec.callout import Callout, read_callout
from cardgen.spec.complaint import Refusal
from cardgen.spec.quantity import read_length

OVER_MM = 100.0  # the length that differences are told over where the question names none
MOST = 8

_LENGTH = re.compile(r"([^a-z\"″]*\d[^a-z\"″]*)(mm|cm|inches|inch|in|\"|″)(?![a-z/])", re.IGNORECASE)
_BETWEEN = " ,;x×"
_WORDS = re.compile(r"\b(?:large|small|end|diameter|length|long|over|and|to|by|what|is|this|taper)\b:?", re.I)


def look_up(words: str) -> TaperAnswer:
    """Answer a question; nothing asked is everything. Raises Refusal for lengths that are no taper."""
    if not words.strip():
        return TaperAnswer("all", None, OVER_MM, _by_name(tapers.all_tapers()), (), ())
    named = tapers.by_words(words)
    if named:
        series = {each.series for each in named}
        told = tuple(standard_series(each) for each in tapers.all_series() if each.name in series)
        return TaperAnswer("name", None, OVER_MM, _by_name(named), told if len(told) == 1 else (), ())
    lengths = _lengths(words)
    if len(lengths) == 3:
        return _by_ends(*lengths)
    callout = _callout(_WORDS.sub(" ", words).strip())
    if callout is not None:
        asked = ratio_of(callout)
        return TaperAnswer("taper", asked.value, OVER_MM, _by_ratio(asked.value, asked.half_digit), (), ())
    return TaperAnswer("name", None, OVER_MM, (), (), tuple(tapers.suggestions(words)))


def _by_name(found: Sequence[tapers.StandardTaper]) -> tuple[TaperMatch, ...]:
    return tuple(_match(each) for each in found)


def _match(
    found: tapers.StandardTaper,
    alike: int = 1,
    difference_mm: float | None = None,
    agrees: bool = True,
    beyond_gauge_line_mm: float | None = None,
) -> TaperMatch:
    return TaperMatch(
        found.name,
        standard_size(found),
        found.gauge_line_at,
        alike,
        difference_mm,
        agrees,
        beyond_gauge_line_mm,
    )


def _by_ratio(ratio: float, half_digit: float) -> tuple[TaperMatch, ...]:
    return tuple(
        _match(family.tapers[0], len(family.tapers), family.difference_over(OVER_MM), family.within_rounding)
        for family in tapers.by_ratio(ratio, half_digit, MOST)
    )


def _by_ends(one: float, other: float, length: float) -> TaperAnswer:
    large, small = max(one, other), min(one, other)
    if large == small or length <= 0:
        raise Refusal(
            "these three lengths are no taper",
            "give the large diameter, the small diameter and the length between them",
        )
    # Three measured lengths carry doubts of their own: none agrees for certain, the difference is told.
    matches = tuple(
        _match(
            likeness.taper,
            difference_mm=likeness.difference_mm,
            agrees=False,
            beyond_gauge_line_mm=likeness.beyond_gauge_line_mm,
        )
        for likeness in tapers.by_ends(large, small, length, MOST)
    )
    return TaperAnswer("ends", taper.ratio_from_ends(large, small, length), length, matches, (), ())


def _lengths(words: str) -> list[float]:
    """The lengths of a question, mm; a unit said once, at the end, holds for all."""
    found = [
        (number.strip(_BETWEEN), unit) for number, unit in _LENGTH.findall(_WORDS.sub(" ", words.strip()))
    ]
    if len(found) == 1:
        numbers, unit = found[0]
        found = [(number, unit) for number in re.split(r"[\s,;x×]+", numbers)]
    try:
        return [read_length(f"{number} {unit}").value for number, unit in found]
    except Refusal:
        return []


def _callout(words: str) -> Callout | None:
    """The taper that the words call for, where they are a figure and no standard's name."""
    try:
        callout = read_callout(words)
    except Refusal:
        return None
    return callout if callout.standard is None else None
