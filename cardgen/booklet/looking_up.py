"""What taper is this? A question in any words or figures → what the library has, for every sense of it.

Quantities come first, each by the cone that it makes and not by its letters: a taper per foot, a ratio, an
angle (as included and as half where it does not say), two diameters and a length, a diameter. Then names:
sizes, series, standards by number, uses.
"""

import math
import re
from collections.abc import Iterable, Sequence
from typing import assert_never

from cardgen import tapers
from cardgen.booklet.question import MOST_RATIO, Sense, loosely, of_an_end, senses
from cardgen.booklet.standard_records import standard_series, standard_size
from cardgen.booklet.tables import StandardSize, TaperAnswer, TaperMatch, TaperSense
from cardgen.compute import taper

OVER_MM = 100.0  # the length that differences are told over where the question names none
NEARLY_MM = 0.002  # over that length: an angle written to the second is no other cone
NEAR = 5  # families told where no standard cone is the one asked about
BESIDE = 3  # families told beside those that are
_NUMBERED = re.compile(r"(?:#|№|no\.?|nr\.?|number|size)\s*([\d /.]+?)(?:\s*tapers?)?|(\d+)[\s-]*tapers?")
MARKS = frozenset(":%°′'″\"")  # in a figure that is no number of a size
_WIDE = {0xFF01 + at: chr(0x21 + at) for at in range(94)} | {
    0x3000: " "
}  # ＭＴ３ as a Japanese keyboard has it
_BESIDE_KANA = re.compile(r"(?<=\d)(?=[぀-鿿])|(?<=[぀-鿿])(?=\d)")
MOST_SIZES = 24  # of one series that are told one by one; more of several series by families


def look_up(words: str) -> TaperAnswer:
    """Answer a question; nothing asked is everything."""
    words = _BESIDE_KANA.sub(" ", words.translate(_WIDE))
    if not words.strip():
        return TaperAnswer("", (_sense("series", _sizes(tapers.all_tapers())),), ())
    numbered = _NUMBERED.fullmatch(words.strip().casefold())
    of_size = tapers.sized(numbered[1] or numbered[2]) if numbered else ()
    if numbered and of_size:
        return TaperAnswer(words, (_sense("numbered", _sizes(of_size), numbered[1] or numbered[2]),), ())
    quantities = senses(words)
    if quantities:
        return _of_quantities(words, quantities)
    named = tapers.named(words) if any(map(str.isalpha, words)) else None
    if named is not None and (named.kind != "use" or not (quantities := loosely(words))):
        return _of_name(words, named)
    missing = tapers.size_missing(words)
    of_figures = bool(set(words) & MARKS) or of_an_end(words)
    if missing is not None and re.fullmatch(r"\d?\.\d{3,}", missing.size):
        quantities = senses(missing.size)  # '.602 morse' is no size
    elif missing is not None and missing.size[:1].isdigit() and not of_figures:
        wrong = f"{missing.series} has no size {missing.size}"
        return TaperAnswer(words, (), (), wrong, tuple(each.name for each in missing.nearest))
    quantities = quantities or loosely(words)
    if quantities:
        return _of_quantities(words, quantities)
    of_size = tapers.sized(words) if words.strip()[:1].isdigit() else ()
    if of_size:
        return TaperAnswer(words, (_sense("numbered", _sizes(of_size), words),), ())
    near = tapers.suggestions(words) if any(map(str.isalpha, words)) else ()
    return TaperAnswer(words, (), (), "", tuple(near))


def _of_quantities(words: str, quantities: Sequence[Sense]) -> TaperAnswer:
    """Each sense answered, those that the library has something for before the others."""
    found = _likelier_unit([_of_quantity(each) for each in quantities])
    # 24/29 is a joint; of 1/20 nobody asks as of a size.
    found = [sense for sense in found if sense.kind != "numbered" or sense.matches or "/" not in sense.told]
    return TaperAnswer(words, tuple(sorted(found, key=_usefulness)), ())


def _likelier_unit(found: list[TaperSense]) -> list[TaperSense]:
    """Three bare numbers are one taper in inches and in millimetres: the unit with nearer pieces is told."""
    ends = [sense for sense in found if sense.kind == "ends"]
    if len(ends) < 2:
        return found
    best = min(ends, key=lambda sense: min(map(_past, sense.matches), default=math.inf))
    return [sense for sense in found if sense.kind != "ends" or sense is best]


def _past(match: TaperMatch) -> float:
    """How badly a standard taper's own size fits the piece, as a share of its diameter."""
    own, beyond = match.size.large or match.size.small, match.beyond_gauge_line_mm
    return math.inf if own is None or beyond is None else abs(beyond) / match.size.ratio_1_to / own.mm


def _usefulness(sense: TaperSense) -> bool:
    """What the library has, or very nearly, comes before what it has not; 5/8 is in/ft first."""
    nearly = any(abs(each.difference_mm or 0.0) < NEARLY_MM for each in sense.near[:1])
    of_a_rule = sense.reading == "per foot" and "/" in sense.told.removesuffix("/ft")
    return not (sense.matches or sense.equal or nearly or of_a_rule)


def _of_name(words: str, named: tapers.Named) -> TaperAnswer:
    of = {each.series for each in named.tapers}
    one_by_one = len(of) == 1 or len(named.tapers) <= MOST_SIZES
    matches = _sizes(named.tapers) if one_by_one else _families(_grouped(named.tapers))
    first = named.tapers[0] if named.tapers else None
    alike = first is not None and len({each.ratio for each in named.tapers}) == 1
    equal = tapers.by_ratio(first.ratio, first.rate.doubt) if first is not None and alike else []
    others = [each for each in equal if each.within_rounding and each.series not in of]
    sense = _sense(named.kind, matches, named.told, equal=_families(others))
    series = tuple(standard_series(each) for each in tapers.all_series() if each.name in of)
    return TaperAnswer(words, (sense,), series if len(of) <= 2 else ())


def _grouped(found: Iterable[tapers.StandardTaper]) -> list[tapers.Family]:
    families: dict[tuple[str, float], list[tapers.StandardTaper]] = {}
    for each in found:
        families.setdefault((each.series, each.ratio), []).append(each)
    return [tapers.Family(series, tuple(sizes), 0.0, True) for (series, _), sizes in families.items()]


def _of_quantity(sense: Sense) -> TaperSense:
    match sense.reading:
        case "ends":
            return _of_ends(sense)
        case "diameter":
            found = tapers.by_diameter(sense.large_mm or 0.0, sense.half_digit_mm)
            return _sense("diameter", _sizes(found), sense.told)
        case "two diameters":
            found = tapers.by_two_diameters(sense.large_mm or 0.0, sense.small_mm or 0.0)
            return _sense("two diameters", _sizes(found), sense.told)
        case "size":
            return _sense("numbered", _sizes(tapers.sized(sense.told)), sense.told)
        case (
            "per foot"
            | "one in"
            | "ratio"
            | "share"
            | "per cent"
            | "per thousand"
            | "length"
            | "included"
            | "half"
        ):
            return _of_rate(sense, sense.ratio or 0.0)
        case _:
            assert_never(sense.reading)


def _of_rate(sense: Sense, ratio: float) -> TaperSense:
    families = tapers.by_ratio(ratio, sense.half_digit)
    equal = [each for each in families if each.within_rounding]
    near = [each for each in families if not each.within_rounding][: BESIDE if equal else NEAR]
    return TaperSense(
        "rate",
        sense.reading,
        sense.told,
        _asked(ratio),
        OVER_MM,
        (),
        _families(equal, True),
        _families(near, True),
    )


def _of_ends(sense: Sense) -> TaperSense:
    large, small, length = sense.large_mm or 0.0, sense.small_mm or 0.0, sense.length_mm or 0.0
    # Three measured lengths carry doubts of their own: none agrees for certain, the difference is told.
    near = tuple(
        TaperMatch(
            likeness.taper.name,
            (likeness.taper.name,),
            standard_size(likeness.taper),
            likeness.taper.gauge_line_at,
            likeness.taper.how_sure,
            likeness.difference_mm,
            agrees=False,
            beyond_gauge_line_mm=likeness.beyond_gauge_line_mm,
        )
        for likeness in tapers.by_ends(large, small, length)
    )
    return TaperSense("ends", "ends", sense.told, _asked(sense.ratio or 0.0), length, near, (), ())


def _asked(ratio: float) -> StandardSize | None:
    """The taper asked about in every form."""
    if not 0 < ratio <= MOST_RATIO:
        return None
    half_angle = math.degrees(taper.half_angle_from_ratio(ratio))
    per_foot, one_in = taper.per_foot_from_ratio(ratio), taper.one_in_from_ratio(ratio)
    return StandardSize("", "", per_foot, one_in, half_angle, None, None, None, None)


def _sense(
    kind: str, matches: tuple[TaperMatch, ...], told: str = "", equal: tuple[TaperMatch, ...] = ()
) -> TaperSense:
    return TaperSense(kind, kind, told, None, OVER_MM, matches, equal, ())  # type: ignore[arg-type]


def _sizes(found: Iterable[tapers.StandardTaper]) -> tuple[TaperMatch, ...]:
    return tuple(
        TaperMatch(each.name, (each.name,), standard_size(each), each.gauge_line_at, each.how_sure)
        for each in found
    )


def _families(found: Sequence[tapers.Family], differ: bool = False) -> tuple[TaperMatch, ...]:
    """One line a family; with how much the taper asked about differs from it."""
    return tuple(
        TaperMatch(
            _name(family.tapers),
            tuple(each.name for each in family.tapers),
            standard_size(family.tapers[0]),
            family.tapers[0].gauge_line_at,
            _confidence(family.tapers),
            family.difference_over(OVER_MM) if differ else None,
            family.within_rounding,
        )
        for family in found
    )


def _confidence(sizes: Sequence[tapers.StandardTaper]) -> str:
    of = {each.how_sure for each in sizes}
    return "in part from memory" if len(of) > 1 else of.pop()


def _name(sizes: Sequence[tapers.StandardTaper]) -> str:
    first, last = sizes[0].name, sizes[-1]
    if len(sizes) == 1:
        return first
    short = len(first.removesuffix(sizes[0].size)) > len("B")  # B22, B24; but Morse 4 1/2, 7
    return f"{first}, {last.size if short else last.name}" if len(sizes) == 2 else f"{first} … {last.size}"
