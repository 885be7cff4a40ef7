"""The kinds of value a record's keys hold: how each is read from text, and how an editor is told of it.

A figure whose rounding matters stays a `Figure`; any other becomes a plain float in mm, radians,
seconds, rpm, mm/min or m/s, and its field's name says which.
"""

import re
import unicodedata
from collections.abc import Callable
from datetime import date
from typing import Annotated, Any

from cardgen.bounds import most
from cardgen.spec.callout import (
    AngleTolerance,
    Callout,
    TaperUncertainty,
    ToolCallout,
    read_angle_tolerance,
    read_callout,
    read_taper_uncertainty,
    read_tool,
)
from cardgen.spec.complaint import Refusal, shown
from cardgen.spec.models.keys import Written
from cardgen.spec.quantity import (
    Figure,
    Span,
    Steps,
    Tolerance,
    Toleranced,
    above_nothing,
    not_negative,
    read_angle,
    read_count,
    read_end_diameter,
    read_feed_range,
    read_length,
    read_number,
    read_rotation,
    read_rotation_steps,
    read_slope,
    read_speed,
    read_stock_range,
    read_temperature_difference,
    read_time,
    read_tolerance,
    read_toleranced_length,
)


def read_text(text: str) -> str:
    """A name or a remark: on one line, nothing invisible in it."""
    if not isinstance(text, str):
        raise Refusal("a text is wanted here, not several entries", "write one text, in quotes if need be")
    line = unicodedata.normalize("NFC", " ".join(text.split()))
    if not line:
        raise Refusal("nothing is written here", "write a text, or leave the key out")
    for letter in line:
        if not letter.isprintable():
            raise Refusal(f"the text holds the invisible character U+{ord(letter):04X}", "take it out")
    return line


# Devices to Windows, whatever follows a point ("Naming Files, Paths, and Namespaces", from memory).
_DEVICE = re.compile(r"(?i)(?:CON|PRN|AUX|NUL|(?:COM|LPT)[0-9])(?:\..*)?")


def read_id(text: str) -> str:
    """A record's name for references and file names: letters, digits and - _ . + only."""
    line = read_text(text)
    if len(line) > most("id"):
        raise Refusal(f"the id {shown(line)} is longer than {most('id')} characters", "shorten it")
    if not re.fullmatch(r"[^\W_][\w.+-]*", line):
        raise Refusal(
            f"the id {shown(line)} has a character that an id cannot have",
            "use letters, digits and - _ . + and start with a letter or a digit",
        )
    if _DEVICE.fullmatch(line):
        device, point, rest = line.partition(".")
        raise Refusal(
            f"the id {shown(line)} is a device to Windows, where no file can bear that name",
            f"write such as {device}-1{point}{rest}",
        )
    return line


def read_texts(entries: str | list[Any]) -> tuple[str, ...]:
    """A list of texts; one text alone is a list of one."""
    if isinstance(entries, dict):
        raise Refusal("a list of texts is wanted here", such_as="[Grinder 2, Toolroom binder]")
    return tuple(read_text(entry) for entry in ([entries] if isinstance(entries, str) else entries))


def read_ids(entries: str | list[Any]) -> tuple[str, ...]:
    """A list of ids, or `all`."""
    return tuple(read_id(entry) for entry in read_texts(entries))


def read_yes_no(text: str) -> bool:
    """true or false, yes or no."""
    word = text.strip().casefold() if isinstance(text, str) else ""
    if word not in ("true", "yes", "false", "no"):
        raise Refusal(f"{shown(str(text))} is neither true nor false", "write true or false")
    return word in ("true", "yes")


def read_date(text: str) -> date:
    """A date as ISO 8601 writes it: 2027-03-31."""
    try:
        if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text.strip()):
            raise ValueError
        return date.fromisoformat(text.strip())
    except (AttributeError, ValueError):
        raise Refusal(f"{shown(str(text))} is not a date", "write year-month-day: 2027-03-31") from None


def _value(read: Callable[[str], Figure]) -> Callable[[str], float]:
    """The figure's value alone, where its rounding does not matter."""
    return lambda text: read(text).value


def _whole(least: int) -> Callable[[str], int]:
    def whole(text: str) -> int:
        count = read_count(text)
        if count < least:
            raise Refusal(f"{shown(text)} is below {least}", f"write {least} or more")
        return count

    return whole


def read_two_lengths(entries: str | list[Any]) -> tuple[float, float]:
    """Two unlike lengths, `[10 mm, 16 mm]` → mm, the smaller first."""
    pair = entries if isinstance(entries, list) else []
    if len(pair) != 2:
        raise Refusal("two lengths are wanted here", such_as="[10 mm, 16 mm]")
    first, second = sorted(above_nothing(read_length)(entry).value for entry in pair)
    if first == second:
        raise Refusal("the two are alike", "write two unlike lengths such as [10 mm, 16 mm]")
    return first, second


def read_lengths(entries: str | list[Any]) -> tuple[float, ...]:
    """A list of lengths → mm."""
    if isinstance(entries, dict):
        raise Refusal("a list of lengths is wanted here", such_as="[10 mm, 1/2 in]")
    each = [entries] if isinstance(entries, str) else entries
    return tuple(above_nothing(read_length)(entry).value for entry in each)


def _length(read: Callable[[str], Any]) -> Written:
    return Written(read, "a length with its unit (mm, in)", "length")


_ABOVE_NOTHING, _FROM_NOTHING = above_nothing(read_length), not_negative(read_length)
_SIGNED = "a length with its unit (mm, in), and its sign"
_WITH_TOLERANCE = "a length with its unit, and its tolerance where it has one"

Text = Annotated[str, Written(read_text, "a text", "text")]
Id = Annotated[str, Written(read_id, "an id: letters, digits and - _ . +", "id")]
Reference = Annotated[str, Written(read_id, "the id of another record", "id")]
Texts = Annotated[tuple[str, ...], Written(read_texts, "a list of texts", "texts")]
_FEW = f"a list of at most {most('part.notes.entries')} texts of at most {most('part.notes')} letters"
Notes = Annotated[tuple[str, ...], Written(read_texts, _FEW, "texts")]
References = Annotated[tuple[str, ...], Written(read_ids, "a list of ids, or all", "ids")]
YesNo = Annotated[bool, Written(read_yes_no, "true or false", "yes or no")]
Day = Annotated[date, Written(read_date, "a date: year-month-day", "day")]

Diameter = Annotated[Figure, _length(_ABOVE_NOTHING)]
Length = Annotated[Figure, _length(_ABOVE_NOTHING)]
Distance = Annotated[Figure, _length(_FROM_NOTHING)]
Mm = Annotated[float, _length(_value(_ABOVE_NOTHING))]
MmOrNothing = Annotated[float, _length(_value(_FROM_NOTHING))]
SignedLength = Annotated[Figure, Written(read_length, _SIGNED, "length")]
SignedMm = Annotated[float, Written(_value(read_length), _SIGNED, "length")]
EndDiameter = Annotated[
    Figure, Written(above_nothing(read_end_diameter), _WITH_TOLERANCE, "length with tolerance")
]
TwoMm = Annotated[
    tuple[float, float], Written(read_two_lengths, "two unlike lengths, each with its unit", "two lengths")
]
ManyMm = Annotated[
    tuple[float, ...], Written(read_lengths, "a list of lengths, each with its unit", "lengths")
]
StockRange = Annotated[
    Span,
    Written(
        not_negative(read_stock_range),
        "two lengths with their unit (mm, in), from .. to; or unknown, with salvage",
        "stock range",
    ),
]
SizeTolerance = Annotated[
    Tolerance,
    Written(read_tolerance, "± a length, or + and - with a length each, with the unit", "tolerance"),
]
SizeWithTolerance = Annotated[
    Toleranced, Written(read_toleranced_length, _WITH_TOLERANCE, "length with tolerance")
]
Radians = Annotated[
    float,
    Written(_value(above_nothing(read_angle)), "an angle with its unit (deg, arcmin, arcsec)", "angle"),
]
SlopeOrAngle = Annotated[
    TaperUncertainty,
    Written(
        read_taper_uncertainty,
        "a slope, or an angle that says whether it is included or half",
        "angle said or slope",
    ),
]
AngleLimits = Annotated[
    AngleTolerance,
    Written(
        read_angle_tolerance,
        "a grade of ISO 1947, or ± (or + and -) an angle, a slope, or a length over a length",
        "angle limits",
    ),
]
TaperCallout = Annotated[
    Callout,
    Written(
        read_callout,
        "a ratio, a slope, an angle that says whether it is the included or the half angle, "
        "or a standard taper's name",
        "callout",
    ),
]
Tool = Annotated[ToolCallout, Written(read_tool, "a tool and one division of it with its unit", "tool")]
Count = Annotated[int, Written(_whole(1), "a whole number", "count")]
CountOrNone = Annotated[int, Written(_whole(0), "a whole number, or 0", "count or none")]
Factor = Annotated[float, Written(_value(above_nothing(read_number)), "a number without a unit", "factor")]
Seconds = Annotated[float, Written(_value(not_negative(read_time)), "a time with its unit (s, min)", "time")]
Rpm = Annotated[float, Written(_value(above_nothing(read_rotation)), "a speed in rpm", "rotation")]
RpmSteps = Annotated[
    Steps,
    Written(
        read_rotation_steps,
        "speeds in rpm, parted by commas; or from .. to where it is stepless",
        "rotations",
    ),
]
FeedRange = Annotated[
    Span,
    Written(
        not_negative(read_feed_range), "two feeds with their unit (mm/min, in/min), from .. to", "feed range"
    ),
]
MetresPerSecond = Annotated[
    float, Written(_value(above_nothing(read_speed)), "a speed with its unit (m/s, ft/min)", "speed")
]
Kelvin = Annotated[
    float,
    Written(
        _value(not_negative(read_temperature_difference)),
        "a difference of temperature with its unit (K, °C, °F)",
        "temperature",
    ),
]
AngleFigure = above_nothing(read_angle)
SlopeFigure = above_nothing(read_slope)
