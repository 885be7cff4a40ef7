"""What a drawing calls a taper, its angle tolerance, and the tool a reading is taken with, from text.

An angle must say whether it is the included or the half angle: ISO 3040 draws the cone angle, a
machine is set to half of it, and a bare '60 deg' has spoilt work both ways.
"""

import math
import re
from dataclasses import dataclass, replace
from typing import Any

from cardgen.bounds import most
from cardgen.spec.complaint import Refusal, did_you_mean, shown
from cardgen.spec.number import refuse_comma, tidy
from cardgen.spec.quantity import Figure, Tolerance, read_angle, read_length, read_slope, read_tolerance
from cardgen.terms import System


@dataclass(frozen=True)
class Callout:
    """A taper as called for: one of ratio, included angle, half angle (rad) or a standard's name.

    Once the specs are loaded a standard's `ratio` is filled in beside its name.
    """

    text: str
    ratio: Figure | None = None  # change of diameter per length along the axis
    included_angle: Figure | None = None
    half_angle: Figure | None = None
    standard: str | None = None


@dataclass(frozen=True)
class AngleTolerance:
    """A grade of ISO 1947, or how much shallower and steeper the taper may be, by an angle or a slope."""

    text: str
    grade: str | None = None  # 'AT6'
    included_angle_rad: Tolerance | None = None
    half_angle_rad: Tolerance | None = None
    diameter_mm: Tolerance | None = None  # of the difference of diameters
    over_mm: float | None = None  # the length `diameter_mm` holds over; None for the taper's whole length


@dataclass(frozen=True)
class ToolCallout:
    """The tool a reading is taken with, and one division of it."""

    name: str  # 'steel rule'
    division_mm: float
    unit: System
    denominator: int | None  # 64 for a rule in 64ths of an inch; None for a decimal scale
    division_text: str  # '1/64 in'
    text: str


@dataclass(frozen=True)
class TaperUncertainty:
    """Standard uncertainty of a gauge's taper, as a ratio or as an angle (rad)."""

    text: str
    ratio: float | None = None
    included_angle_rad: float | None = None
    half_angle_rad: float | None = None


KEYED_FORMS = {  # of a callout written as a group of one key, each with an example
    "ratio": "1:8",
    "per_foot": "0.602 in/ft",
    "per_cent": "5 %",
    "included_angle": "60 deg",
    "half_angle": "30 deg",
    "standard": "Morse 3",
}
CALLOUT_FORMS = "1:8, 0.602 in/ft, included angle 60 deg or Morse 3"
_WITH_TOLERANCE = re.compile(r"(.*\S) ?((?:±|\+ ?[0-9.]).*)")
_ITS_UNIT = re.compile(r"[0-9.] ?(%|[^0-9 .:]+(?: ?(?:/|per) ?[a-z]+)?)$")
_ANGLE_WORDS = re.compile(r"(?:(included|half)(?: angle)? )?(.*?)(?: (included|half)(?: angle)?)?")


def read_callout(entry: str | dict[str, Any]) -> Callout:
    """Any one form of callout: a text, or a mapping of one key (`{half_angle: 30 deg}`)."""
    if isinstance(entry, dict):
        return _keyed_callout(entry)
    if not isinstance(entry, str):
        raise Refusal("a taper is wanted here, not several", such_as=CALLOUT_FORMS)
    text = tidy(entry)
    if match := _WITH_TOLERANCE.fullmatch(text):
        raise _with_tolerance(text, *match.groups())
    which, angle = _which_angle(text)
    if which:
        return _angle_callout(which, angle, text)
    try:
        return _slope_callout(text)
    except Refusal as refusal:
        if _is_angle(text):
            raise _ambiguous(text) from refusal
        named = len(text) <= most("quantity") and text[:1] not in "±+-" and any(map(str.isalpha, text))
        if not named:
            raise
    return Callout(text, standard=text)


def _with_tolerance(text: str, taper: str, tolerance: str) -> Refusal:
    """The tolerance has a key of its own; where it has no unit it is meant in the taper's."""
    own = _ITS_UNIT.search(taper)
    unit = own.group(1) if own else "mm/mm" if ":" in taper else ""
    if re.search(r"[^\W\d]|[°′″%]", tolerance):
        unit = ""
    instead = f"{tolerance} {unit}".strip()
    right = f"write the taper alone here, and beside it 'angle_tolerance: {instead}'"
    return Refusal(f"the taper {shown(text)} holds a tolerance", right, tolerance)


def _keyed_callout(entry: dict[str, Any]) -> Callout:
    if len(entry) != 1:
        raise Refusal("a callout has one key", "write one of ratio, per_foot, included_angle, half_angle")
    ((key, value),) = entry.items()
    if key not in KEYED_FORMS:
        raise Refusal(f"{shown(key)} is not a form of callout", did_you_mean(key, KEYED_FORMS))
    if not isinstance(value, str):
        raise Refusal(f"{shown(key)} holds several entries", such_as=CALLOUT_FORMS)
    if key in ("included_angle", "half_angle"):
        return _angle_callout(key.removesuffix("_angle"), value, f"{key.replace('_', ' ')} {tidy(value)}")
    if key == "standard":
        return Callout(tidy(value), standard=tidy(value))
    return _slope_callout(tidy(value))


def _slope_callout(text: str) -> Callout:
    ratio = read_slope(text)
    if ratio.value <= 0:
        raise Refusal(f"{shown(text)} is no taper", "write a ratio above nothing, such as 1:8")
    return Callout(text, ratio=ratio)


def _angle_callout(which: str, angle: str, text: str) -> Callout:
    figure = replace(read_angle(angle), text=text)
    if not 0 < figure.value < (math.pi if which == "included" else math.pi / 2):
        raise Refusal(f"{shown(text)} is no angle of a taper", "the half angle lies between 0 and 90 deg")
    if which == "included":
        return Callout(text, included_angle=figure)
    return Callout(text, half_angle=figure)


def _which_angle(text: str) -> tuple[str, str]:
    """('included' or 'half' or '', the rest): 'half angle 30 deg' and '30 deg half angle' alike."""
    match = _ANGLE_WORDS.fullmatch(text)
    if match is None:
        return "", text
    before, rest, after = match.groups()
    if before and after:
        raise Refusal(f"{shown(text)} says twice which angle it is", "write such as included angle 60 deg")
    return before or after or "", rest


def _is_angle(text: str) -> bool:
    try:
        read_angle(text)
    except Refusal:
        return False
    return True


def _ambiguous(text: str) -> Refusal:
    return Refusal(
        f"{shown(text)} does not say which angle it is",
        f"write 'included angle {text}' or 'half angle {text}'",
    )


_ANGLE_TOLERANCE_FORMS = "write such as AT6, ± 8 arcsec, +0 / -10 arcsec or ± 0.003 mm over the length"
_TWO_SIDES = re.compile(r"([+–-]) ?([^+–-]+?) ?/? ?([+–-]) ?([^+–-]+)")
_SLOPE = re.compile(r"[/%]| per ")
_NO_UNIT, _ONE_UNIT = re.compile(r"[0-9.]+"), re.compile(r"[0-9.]+ ?([^0-9. ][^0-9.]*)")


def read_angle_tolerance(text: str) -> AngleTolerance:
    """`AT6`, `± 8 arcsec`, `+0 / -4 arcsec half angle`, `+.002 / -0 in/ft`, `± 0.003 mm over 50 mm`.

    + is more taper, - less. An angle that does not say which is one of the included angle, as in ISO 1947:
    the tighter reading.
    """
    if not isinstance(text, str):
        raise Refusal("an angle tolerance is wanted here, not several entries", _ANGLE_TOLERANCE_FORMS)
    text = tidy(text)
    grade = re.fullmatch(r"(?i)AT ?([0-9]{1,2})", text)
    if grade:
        return AngleTolerance(text, grade=f"AT{int(grade.group(1))}")
    size, over, length = text.partition(" over ")
    if over:
        return _tolerance_over(text, size, length)
    which, rest = _which_angle(text)
    signed = rest.startswith("±")
    rest = rest.removeprefix("±").strip()
    if signed and not which:
        which, rest = _which_angle(rest)
    less, more = (rest, rest) if signed else _less_and_more(text, rest)
    slope = not which and any(map(_SLOPE.search, (less, more)))
    limits = Tolerance(*(_side(each, slope=slope) for each in (less, more)))
    if min(limits.minus, limits.plus) < 0 or limits.minus == limits.plus == 0:
        raise Refusal(f"{shown(text)} is a tolerance of nothing", _ANGLE_TOLERANCE_FORMS)
    if slope:  # a ratio is a difference of diameters over a length of one
        return AngleTolerance(text, diameter_mm=limits, over_mm=1.0)
    if which == "half":
        return AngleTolerance(text, half_angle_rad=limits)
    return AngleTolerance(text, included_angle_rad=limits)


def _less_and_more(text: str, sides: str) -> tuple[str, str]:
    """What follows the minus and the plus; a side without a unit has that of the other."""
    match = _TWO_SIDES.fullmatch(sides)
    if match is None:
        if re.match(r"[+–-] ?[0-9.]", sides):
            raise Refusal(
                f"the angle tolerance {shown(text)} has one side only",
                "write the other too: +10 / -0 arcsec is more taper only, +0 / -10 arcsec less taper only",
            )
        raise Refusal(f"{shown(text)} is not an angle tolerance", _ANGLE_TOLERANCE_FORMS)
    sign, first, other_sign, second = match.groups()
    if (sign == "+") == (other_sign == "+"):
        raise Refusal(
            f"both sides of the angle tolerance {shown(text)} have the same sign",
            "call out the taper midway between the limits, and write ± half of the zone, such as ± 5 arcsec",
        )
    unit = next((found.group(1) for each in (first, second) if (found := _ONE_UNIT.fullmatch(each))), "")
    first, second = (
        f"{each} {unit}" if _NO_UNIT.fullmatch(each) and unit else each for each in (first, second)
    )
    return (second, first) if sign == "+" else (first, second)


def _side(text: str, *, slope: bool) -> float:
    """How far one way: an angle in rad or a change of the taper ratio; '0' needs no unit."""
    if _NO_UNIT.fullmatch(text) and not text.strip("0."):
        return 0.0
    try:
        return (read_slope if slope else read_angle)(text).value
    except Refusal as refusal:
        raise Refusal(refusal.wrong, _ANGLE_TOLERANCE_FORMS) from refusal


def _tolerance_over(text: str, size: str, length: str) -> AngleTolerance:
    limits = read_tolerance(size.replace(" / ", " ").replace("/-", " -").replace("/+", " +"))
    if length in ("the length", "length"):
        return AngleTolerance(text, diameter_mm=limits)
    over = read_length(length).value
    if over <= 0:
        raise Refusal(f"{shown(text)} holds over no length", _ANGLE_TOLERANCE_FORMS)
    return AngleTolerance(text, diameter_mm=limits, over_mm=over)


def read_taper_uncertainty(text: str) -> TaperUncertainty:
    """`0.000 02 mm/mm` as a ratio, or `half angle 2 arcsec`, `included angle 4 arcsec`."""
    if not isinstance(text, str):
        raise Refusal("an uncertainty is wanted here, not several entries", such_as="half angle 2 arcsec")
    text = tidy(text)
    which, rest = _which_angle(text)
    if not which and _is_angle(text):
        raise _ambiguous(text)
    value = (read_angle(rest) if which else read_slope(text)).value
    if value < 0:
        raise Refusal(f"{shown(text)} is negative", "write how far the taper may be off, without a sign")
    if which == "included":
        return TaperUncertainty(text, included_angle_rad=value)
    return TaperUncertainty(text, half_angle_rad=value) if which else TaperUncertainty(text, ratio=value)


_TOOL_FORMS = "steel rule 0.5 mm: the tool, and one division of it"
_DIVISION = re.compile(r"(?<![\w./,+±-])[0-9.][0-9./ ]*(?:mm|µm|um|in|inch|thou|\"|″)(?!\w)")


def read_tool(text: str) -> ToolCallout:
    """`steel rule 0.5 mm`, `1/64 in rule`, `caliper 0.02 mm`: a name and one division, in either order."""
    if not isinstance(text, str):
        raise Refusal("a reading tool is wanted here, not several entries", such_as=_TOOL_FORMS)
    text = tidy(text)
    refuse_comma(text)
    divisions = list(_DIVISION.finditer(text))
    if len(divisions) != 1:
        many = "more than one division" if divisions else "no division with its unit"
        raise Refusal(f"the reading tool {shown(text)} has {many}", such_as=_TOOL_FORMS)
    written = divisions[0].group()
    name = tidy(text.replace(written, " "))
    division = read_length(written)
    fraction = re.match(r"([0-9]+)/([0-9]+)", written)
    if division.value <= 0 or (fraction and fraction.group(1) != "1"):
        raise Refusal(f"{shown(written)} is not a division of a scale", such_as="0.5 mm or 1/64 in")
    if not any(letter.isalpha() for letter in name):
        raise Refusal(f"the reading tool {shown(text)} has no name", such_as=_TOOL_FORMS)
    return ToolCallout(
        name=name,
        division_mm=division.value,
        unit=division.system,
        denominator=int(fraction.group(2)) if fraction else None,
        division_text=division.text,
        text=text,
    )
