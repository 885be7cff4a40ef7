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


_ABOVE_NOTHING, _FROM_NOTHING = above_nothing(read_length), not_negative(read_length)
_FEW = {"entries": most("part.notes.entries"), "letters": most("part.notes")}

Text = Annotated[str, Written(read_text, "text")]
Texts = Annotated[tuple[str, ...], Written(read_texts, "texts")]
Notes = Annotated[tuple[str, ...], Written(read_texts, "texts, few", _FEW)]
Id = Annotated[str, Written(read_id, "id")]
Reference = Annotated[str, Written(read_id, "id, of another")]
References = Annotated[tuple[str, ...], Written(read_ids, "ids")]
YesNo = Annotated[bool, Written(read_yes_no, "yes or no")]
Day = Annotated[date, Written(read_date, "day")]

Diameter = Annotated[Figure, Written(_ABOVE_NOTHING, "length")]
Length = Annotated[Figure, Written(_ABOVE_NOTHING, "length")]
Distance = Annotated[Figure, Written(_FROM_NOTHING, "length")]
Mm = Annotated[float, Written(_value(_ABOVE_NOTHING), "length")]
MmOrNothing = Annotated[float, Written(_value(_FROM_NOTHING), "length")]
SignedLength = Annotated[Figure, Written(read_length, "length, signed")]
SignedMm = Annotated[float, Written(_value(read_length), "length, signed")]
EndDiameter = Annotated[Figure, Written(above_nothing(read_end_diameter), "length with tolerance")]
SizeWithTolerance = Annotated[Toleranced, Written(read_toleranced_length, "length with tolerance")]
SizeTolerance = Annotated[Tolerance, Written(read_tolerance, "tolerance")]
TwoMm = Annotated[tuple[float, float], Written(read_two_lengths, "two lengths")]
ManyMm = Annotated[tuple[float, ...], Written(read_lengths, "lengths")]
StockRange = Annotated[Span, Written(not_negative(read_stock_range), "stock range")]

AngleFigure = above_nothing(read_angle)
SlopeFigure = above_nothing(read_slope)
Radians = Annotated[float, Written(_value(AngleFigure), "angle")]
SlopeOrAngle = Annotated[TaperUncertainty, Written(read_taper_uncertainty, "angle said or slope")]
AngleLimits = Annotated[AngleTolerance, Written(read_angle_tolerance, "angle limits")]
TaperCallout = Annotated[Callout, Written(read_callout, "callout")]
Tool = Annotated[ToolCallout, Written(read_tool, "tool")]

Count = Annotated[int, Written(_whole(1), "count")]
CountOrNone = Annotated[int, Written(_whole(0), "count or none")]
Factor = Annotated[float, Written(_value(above_nothing(read_number)), "factor")]
Seconds = Annotated[float, Written(_value(not_negative(read_time)), "time")]
Rpm = Annotated[float, Written(_value(above_nothing(read_rotation)), "rotation")]
RpmSteps = Annotated[Steps, Written(read_rotation_steps, "rotations")]
FeedRange = Annotated[Span, Written(not_negative(read_feed_range), "feed range")]
MetresPerSecond = Annotated[float, Written(_value(above_nothing(read_speed)), "speed")]
Kelvin = Annotated[float, Written(_value(not_negative(read_temperature_difference)), "temperature")]
