"""What a question about a taper may mean: text → its senses as quantities; names are the library's.

A drawing must say what it means (`spec/callout.py`); a question need not. Each sense that its figures can
have is given: `1°30'` as included and as half angle, `0.602` as a taper per foot, a ratio, a diameter …
"""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations
from typing import Literal

from cardgen import tapers
from cardgen.booklet.plain_question import NUM, OF_AN_END, plain
from cardgen.compute import taper
from cardgen.spec.complaint import Refusal
from cardgen.spec.number import Number, tokens
from cardgen.terms import INCH

Reading = Literal[
    "per foot", "one in", "ratio", "share", "per cent", "per thousand", "length", "ends",
    "included", "half", "diameter", "two diameters", "size",
]  # fmt: skip
LEAST_RATIO = 1e-5  # a hundredth of a millimetre on a metre: no taper that anybody grinds
MOST_RATIO = 2 * math.tan(math.radians(60))  # of a cone of 120 deg, the bluntest that is ground
PER_UNIT = 0.12  # a bare number below this is a taper per inch before it is one per foot
MOST_PER_FOOT = 9  # a bare number above this is no taper per foot
ROUNDING = Fraction(1, 500)  # the largest share of a figure that its few digits explain
TWO_ENDS = 0.5  # '30 mm to 25 mm' are two diameters: no taper is called out so steep by lengths
MOST_PARTS = 12  # words and figures among which a quantity is sought


@dataclass(frozen=True)
class Sense:
    """One thing that a question may mean."""

    reading: Reading
    told: str  # the question's figures in this sense: '0.602 in/ft'
    ratio: float | None = None  # change of diameter per length
    half_digit: float = 0.0  # of the ratio, by the digits of the question
    large_mm: float | None = None
    small_mm: float | None = None
    length_mm: float | None = None
    half_digit_mm: float = 0.0  # of a diameter


_UNITS = {
    **dict.fromkeys(("in", "inch", "inches", "ins", "in.", '"', "″", "''"), ("in", INCH)),
    **dict.fromkeys(("thou", "mil", "mils", "thousandths", "th"), ("thou", INCH / 1000)),
    **dict.fromkeys(("ft", "foot", "feet", "ft."), ("ft", 12 * INCH)),
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), ("mm", 1.0)),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeters"), ("cm", 10.0)),
    **dict.fromkeys(("m", "metre", "meter", "metres", "meters"), ("m", 1000.0)),
    # A small Greek mu, as case folding has it.
    **dict.fromkeys(("μm", "um", "micron", "microns"), ("µm", 0.001)),
}
_UNIT = "(?:" + "|".join(sorted(map(re.escape, _UNITS), key=len, reverse=True)) + ")(?![a-z])"
_LENGTH = rf"({NUM}) ?({_UNIT})?"
_PER = r"(?:per|/|for|over|in|to|on|each|every|a)"
_SIDE = (
    r"(?:a side|per side|each side|one side|/ ?side|(?:on |of |in )?(?:the )?radius|radial(?:ly)?"
    r"|on (?:the )?side)"
)
# One side against the axis by most standards, and the taper itself to others: both are told.
_OF_A_SLOPE = re.compile(
    r"\b(?:slope|inclination|neigung|pente|pendenza|inclinazione|pendiente|уклон|勾配)\b"
)
_RATIO = re.compile(rf"({NUM}) ?(?::|to|in|on|by|over|-|/) ?({NUM})")
_SLOPE = re.compile(rf"({NUM}) ?({_UNIT})? ?{_PER} ?({NUM})? ?({_UNIT})?")
_HUNDRED = re.compile(rf"({NUM}) ?(%|per ?cent|percent|pct)")
_THOUSAND = re.compile(rf"({NUM}) ?(‰|per ?mille?|per thousand)")
_DMS = re.compile(
    rf"(?:({NUM}) ?(?:°|deg(?:ree)?s?\.?|d(?![a-z])))?"
    rf"(?: ?-?({NUM}) ?(?:′|'|min(?:ute)?s?\.?|arcmin|m(?![a-z])))?"
    rf"(?: ?-?({NUM}) ?(?:″|\"|sec(?:ond)?s?\.?|arcsec|s(?![a-z])))?"
)
# 8-17-50; but 1-16 is a ratio
_SPACED = re.compile(r"(\d{1,2})(?: |[-:](?=\d+[-:]))(\d{1,2})(?:[ :-](\d{1,2}(?:\.\d+)?))?")
_RADIANS = re.compile(rf"({NUM}) ?(m|milli)?rad(?:ian)?s?")
_HALF = re.compile(
    r"\b(?:half|semi|setting|swivel|table|top ?slide|compound(?: rest)?|einstellwinkel"
    r"|halber (?:kegel)?winkel"
    rf"|(?:kegelwinkel|alpha|α) ?/ ?2)(?: angle)?\b|{_SIDE}"
)
_WHOLE = re.compile(
    r"\b(?:included|including|inclusive|incl|inc|total|full|whole|cone|apex|point|kegelwinkel|alpha|α"
    r"|both sides)\b\.?(?: angle)?"
)
_INCHES = re.compile(rf"{NUM} ?[\"″]")  # 1.748" is no angle
_DIAMETER = re.compile(
    rf"\b(?:dia|diam|diameter|large end|small end|gau?ge line|big end)\b|[⌀ø]|{OF_AN_END.pattern}",
    re.IGNORECASE,
)
_MEASURED = re.compile(rf"(?<![\w.])(?:\d*\.\d+ ?(?:{_UNIT})?|{NUM} ?{_UNIT})")  # with a point or a unit
_OF_A_RULE = re.compile(r"\b\d{1,2}/(?:2|4|8|16|32|64)$")


def senses(text: str) -> tuple[Sense, ...]:
    """Every sense that a question has as a quantity; none where it is no quantity (a name, nonsense)."""
    asked = plain(text)
    found: list[Sense] = []
    of_an_end = _DIAMETER.search(text.strip()) is not None and re.fullmatch(NUM, asked) is not None
    one_side, slope = re.search(_SIDE, asked) is not None, _OF_A_SLOPE.search(asked) is not None
    over_a_length = " ".join(_OF_A_SLOPE.sub(" ", re.sub(_SIDE, " ", asked)).split())
    ways = [_angles, _slopes, _ratios, _ends, *([] if one_side or slope else [_lengths, _bare])]
    if _OF_A_RULE.fullmatch(asked):
        ways.insert(0, ways.pop())  # 5/8 is in/ft before it is a ratio
    for reading in ways:
        if reading is _angles:
            read = reading(asked)
        else:
            read = (side for sense in reading(over_a_length) for side in _sides(sense, one_side, slope))
        for sense in read:
            likely = sense.ratio is None or LEAST_RATIO <= sense.ratio <= MOST_RATIO
            if of_an_end and sense.reading != "diameter":
                continue
            if likely and not any(_alike(sense, known) for known in found):
                found.append(sense)
    return tuple(found)


def _sides(sense: Sense, one_side: bool, slope: bool) -> Iterator[Sense]:
    """A change on one side, or a radius, counts twice on the diameter; a slope may be either."""
    large, small = sense.large_mm, sense.small_mm
    twice = replace(sense, ratio=sense.ratio and 2 * sense.ratio, half_digit=2 * sense.half_digit)
    if large is not None and small is not None:
        radii = replace(twice, told=f"{sense.told}, as radii", large_mm=2 * large, small_mm=2 * small)
        yield radii if one_side else sense
        return
    if one_side or slope:
        yield replace(twice, told=f"{sense.told} a side")
    if not one_side:
        yield replace(sense, told=f"{sense.told} on the diameter") if slope else sense


def loosely(text: str) -> tuple[Sense, ...]:
    """Every sense of the figures among other words; none of a bare number, or where another is left over."""
    kept = "|".join(tapers.asking("kept"))
    parts = re.sub(rf"\b(?!(?:{kept})\b)[^\W\d_]{{3,}}\b", " ", plain(text)).split()[:MOST_PARTS]
    for at, end in sorted(combinations(range(len(parts) + 1), 2), key=lambda run: run[0] - run[1]):
        asked, beside = " ".join(parts[at:end]), (*parts[:at], *parts[end:])
        if not re.fullmatch(NUM, asked) and not any(re.match(r"\.?\d", part) for part in beside):
            found = senses(asked)
            if found:
                return found
    measured = _MEASURED.findall(plain(text))
    return senses(f"dia {measured[0]}") if len(measured) == 1 and _DIAMETER.search(text) else ()


def of_an_end(text: str) -> bool:
    """Whether a question gives the measured diameter of an end: its number is no size then."""
    return _DIAMETER.search(text) is not None and _MEASURED.search(plain(text)) is not None


def _alike(one: Sense, other: Sense) -> bool:
    return one.reading == other.reading and one.told == other.told


def _number(written: str) -> Number | None:
    try:
        found = tokens(written.strip().removesuffix(".")) if written else []
    except Refusal:
        return None
    return found[0].number if len(found) == 2 else None


def _decimal_half(number: Number) -> float:
    """Half a unit in the last digit; nothing for a whole number, which a callout means as it stands.

    No more than a small share of the number: 0.6 in/ft is meant as 0.600 and is no Morse taper.
    """
    return (
        0.0 if number.half_digit == Fraction(1, 2) else float(min(number.half_digit, ROUNDING * number.value))
    )


def _angles(asked: str) -> Iterator[Sense]:
    """Degrees, minutes and seconds; as included and as half angle where the question does not say which."""
    rest = _HALF.sub(" ", asked)
    half, whole = _HALF.search(asked) is not None, _WHOLE.search(rest) is not None
    bare = " ".join(_WHOLE.sub(" ", rest).split())
    angle = _angle(bare)
    if angle is None and (half or whole) and re.fullmatch(NUM, bare):
        angle = _angle(f"{bare} deg")
    if angle is None:
        return
    radians, half_digit, told = angle
    readings: list[tuple[Reading, float]] = []
    if half or not whole:
        readings.append(("half", 1.0))
    if whole or not half:
        readings.insert(0, ("included", 0.5))
    for reading, share in readings:
        if 0 < radians * share < math.radians(89):
            per_angle = taper.ratio_change_per_angle(radians * share)
            ratio = taper.ratio_from_half_angle(radians * share)
            yield Sense(reading, told, ratio, half_digit * share * per_angle)


def _angle(written: str) -> tuple[float, float, str] | None:
    """An angle in radians, the doubt of its last figure, and how it is written; None where it is none.

    Minutes and seconds are often cut off and not rounded: a whole unit of the last is its doubt; whole
    degrees alone are meant as they stand.
    """
    radians = _RADIANS.fullmatch(written)
    if radians is not None and (number := _number(radians[1])):
        worth = 0.001 if radians[2] else 1.0
        return float(number.value) * worth, _decimal_half(number) * worth, written
    match = _DMS.fullmatch(written)
    match = match or _SPACED.fullmatch(written)
    if match is None or not any(match.groups()) or _INCHES.fullmatch(written):
        return None
    parts = [_number(part) if part else None for part in match.groups()]
    given = [(part, worth) for part, worth in zip(parts, (3600, 60, 1), strict=True) if part is not None]
    if len(given) != sum(1 for part in match.groups() if part) or any(
        part.value >= 60 for part, _ in given[1:]
    ):
        return None
    seconds = sum((part.value * worth for part, worth in given), Fraction(0))
    last, worth = given[-1]
    doubt = 2 * last.half_digit * worth if worth < 3600 else Fraction(_decimal_half(last)) * worth
    signs = zip(match.groups(), "°′″", strict=True)
    return _radians(seconds), _radians(doubt), "".join(f"{part}{sign}" for part, sign in signs if part)


def _radians(seconds: Fraction) -> float:
    return math.radians(float(seconds / 3600))


def _slopes(asked: str) -> Iterator[Sense]:
    """A change of diameter over a length, with units."""
    shares: tuple[tuple[re.Pattern[str], int, Reading], ...] = (
        (_HUNDRED, 100, "per cent"),
        (_THOUSAND, 1000, "per thousand"),
    )
    for pattern, parts, reading in shares:
        match = pattern.fullmatch(asked)
        number = _number(match[1]) if match else None
        if match is not None and number is not None:
            share = "%" if reading == "per cent" else "‰"
            ratio, half = float(number.value) / parts, _decimal_half(number) / parts
            yield Sense(reading, f"{match[1]} {share}", ratio, half)
    match = _SLOPE.fullmatch(asked)
    if match is None or not (match[4] or (match[2] and match[3])):
        return
    risen, unit, length, last = match.groups()
    change, over = _number(risen), _number(length or "1")
    if change is None or over is None or over.value == 0:
        return
    below, below_mm = _UNITS[last or unit]
    above, above_mm = _UNITS[unit] if unit else ("in" if below in ("in", "ft") else "mm", None)
    per = above_mm if above_mm is not None else INCH if below in ("in", "ft") else 1.0
    scale = per / (float(over.value) * below_mm)
    ratio, half = float(change.value) * scale, _decimal_half(change) * scale
    if ratio > TWO_ENDS and " to " in asked:
        return
    if above == "in" and below == "ft" and over.value == 1:
        yield Sense("per foot", f"{risen} in/ft", ratio, half)
    else:
        said = f"{risen} {above} per {f'{length} ' if length else ''}{below}"
        yield Sense("length", said, ratio, half)


def _ratios(asked: str) -> Iterator[Sense]:
    """1:20, 7/24, 1 in 16, 20:1 (turned about)."""
    match = _RATIO.fullmatch(asked)
    if match is None or re.fullmatch(r"\d+[ -]\d+/\d+", asked):
        return
    above, below = _number(match[1]), _number(match[2])
    if above is None or below is None or not above.value or not below.value:
        return
    ratio = float(above.value / below.value)
    half = _decimal_half(above) / float(above.value) + _decimal_half(below) / float(below.value)
    if ratio <= MOST_RATIO:
        yield Sense("ratio", f"{match[1]}:{match[2]}", ratio, ratio * half)
    if ratio > 1:
        yield Sense("ratio", f"{match[2]}:{match[1]}, turned about", 1 / ratio, half / ratio)


_PARTS = re.compile(rf"{_LENGTH}[\s,;x×|]*(?:to|by|over|in|for|long|and|→|->|-|/(?=[ .]))?[\s,;x×*|]*")
_LONG_BEFORE = re.compile(rf"\b(?:length\b|long\b|over\b|l\b|l(?=[\d.])) *:? *{_LENGTH}")
_LONG_BEHIND = re.compile(rf"{_LENGTH} *(?:length|long)\b")
_LETTERS = re.compile(r"\b(?:d[12](?= *[:=])|d[12]?\b|d(?=\d)|l\b) *[:=]? *(?=[\d.])")
# 30/25 x 100 is no fraction
_PAIR = re.compile(r"^(\d+(?:\.\d+)?)/(\d+(?:\.\d+)?)(?= ?(?:x|×|\*|over|l\b|l\d))")


def _ends(asked: str) -> Iterator[Sense]:
    """Two diameters and the length between them, or two diameters alone."""
    asked = _PAIR.sub(r"\1 \2", asked)
    named = _LONG_BEFORE.search(asked) or _LONG_BEHIND.search(asked)
    rest = f"{asked[: named.start()]} {asked[named.end() :]}" if named else asked
    lengths = _all_lengths(rest)
    if lengths is not None and named:
        lengths = [*lengths, (named[1], named[2] or "")]
    if lengths is None or len(lengths) not in (2, 3):
        return
    given = {unit for _, unit in lengths if unit}
    last = lengths[-1][1] or (next(iter(given)) if len(given) == 1 else "")
    numbers = [_number(number) for number, _ in lengths]
    if any(number is None for number in numbers):
        return
    for unit in (last,) if last else ("in", "mm"):
        sizes = [
            float(number.value) * _UNITS[own or unit][1]
            for number, (_, own) in zip(numbers, lengths, strict=True)
            if number is not None
        ]
        told = " × ".join(f"{number} {_UNITS[own or unit][0]}" for number, own in lengths)
        yield from _between(told, sizes)


def _between(told: str, sizes: list[float]) -> Iterator[Sense]:
    large, small = max(sizes[:2]), min(sizes[:2])
    if len(sizes) == 2:
        if large / 3 < small < large:
            yield Sense("two diameters", told, large_mm=large, small_mm=small)
    elif large > small and sizes[2] > 0:
        ratio = taper.ratio_from_ends(large, small, sizes[2])
        yield Sense("ends", told, ratio, large_mm=large, small_mm=small, length_mm=sizes[2])


def _all_lengths(written: str) -> list[tuple[str, str]] | None:
    """The numbers of a text with their units ('' where none is written); None where it holds more."""
    text, at, found = _LETTERS.sub("", written).strip(" ,;"), 0, []
    while at < len(text):
        match = _PARTS.match(text, at)
        if match is None or match.end() == at:
            return None
        found.append((match[1], match[2] or ""))
        at = match.end()
    return found


def _lengths(asked: str) -> Iterator[Sense]:
    """A diameter with its unit."""
    match = re.fullmatch(_LENGTH, asked)
    number = _number(match[1]) if match and match[2] else None
    if match and number is not None:
        unit, worth = _UNITS[match[2]]
        yield _diameter(match[1], unit, number, worth)


def _diameter(written: str, unit: str, number: Number, worth: float) -> Sense:
    half = _decimal_half(number) * worth
    return Sense("diameter", f"{written} {unit}", large_mm=float(number.value) * worth, half_digit_mm=half)


def _bare(asked: str) -> Iterator[Sense]:
    """A number with nothing beside it, in every sense that it can have."""
    number = _number(asked) if re.fullmatch(NUM, asked) else None
    if number is None or not number.value:
        return
    value, half, fraction = float(number.value), _decimal_half(number), "/" in asked
    if value <= PER_UNIT and not fraction:
        yield Sense("share", f"{asked} per unit of length", value, half)
    if value <= MOST_PER_FOOT:
        yield Sense("per foot", f"{asked} in/ft", value / 12, half / 12)
    if value > 1 and not fraction:
        yield Sense("one in", f"1:{asked}", 1 / value, half / value**2)
    if not fraction:
        if PER_UNIT < value <= 1:
            yield Sense("share", f"{asked} per unit of length", value, half)
        yield Sense("per cent", f"{asked} %", value / 100, half / 100)
        yield from _angles(f"{asked} deg")
    units = (("in", INCH), ("mm", 1.0))[: 1 if fraction else 2]
    for unit, worth in units if not fraction or _OF_A_RULE.search(asked) else ():
        yield _diameter(asked, unit, number, worth)
    yield Sense("size", asked)
