"""The kinds of value a record's keys hold: how each is read from text, and how an editor is told of it.

A figure whose rounding matters stays a `Figure`; any other becomes a plain float in mm, radians,
seconds, rpm, mm/min or m/s, and its field's name says which.
"""

import re
import unicodedata
from collections.abc import Callable
from datetime import date
from typing import Annotated, Any, TypeVar

from pydantic import BaseModel, ConfigDict, PlainValidator, WithJsonSchema

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
    read_feed_range,
    read_length,
    read_length_range,
    read_number,
    read_rotation,
    read_rotation_steps,
    read_slope,
    read_speed,
    read_temperature_difference,
    read_time,
    read_tolerance,
    read_toleranced_length,
)

_Read = TypeVar("_Read")
LONGEST_TEXT = 500
LONGEST_ID = 60
LONGEST_NOTE, MOST_NOTES = 200, 3


class Keys(BaseModel):
    """A group of keys of a record: frozen, and no key but its own."""

    model_config = ConfigDict(frozen=True, extra="forbid")


def read_text(text: str) -> str:
    """A name or a remark: on one line, nothing invisible in it."""
    if not isinstance(text, str):
        raise Refusal("a text is wanted here, not several entries", "write one text, in quotes if need be")
    line = unicodedata.normalize("NFC", " ".join(text.split()))
    if not line:
        raise Refusal("nothing is written here", "write a text, or leave the key out")
    if len(line) > LONGEST_TEXT:
        raise Refusal(f"the text is longer than {LONGEST_TEXT} characters", "shorten it")
    for letter in line:
        if not letter.isprintable():
            raise Refusal(f"the text holds the invisible character U+{ord(letter):04X}", "take it out")
    return line


def read_id(text: str) -> str:
    """A record's name for references and file names: letters, digits and - _ . + only."""
    line = read_text(text)
    if len(line) > LONGEST_ID:
        raise Refusal(f"the id {shown(line)} is longer than {LONGEST_ID} characters", "shorten it")
    if not re.fullmatch(r"[^\W_][\w.+-]*", line):
        raise Refusal(
            f"the id {shown(line)} has a character that an id cannot have",
            "use letters, digits and - _ . + and start with a letter or a digit",
        )
    return line


def read_texts(entries: str | list[Any]) -> tuple[str, ...]:
    """A list of texts; one text alone is a list of one."""
    if isinstance(entries, dict):
        raise Refusal("a list of texts is wanted here", "write such as [Grinder 2, Toolroom binder]")
    return tuple(read_text(entry) for entry in ([entries] if isinstance(entries, str) else entries))


def read_notes(entries: str | list[Any]) -> tuple[str, ...]:
    """Remarks that are printed whole on the card: few and short enough for its smallest paper."""
    notes = read_texts(entries)
    if len(notes) > MOST_NOTES:
        raise Refusal(
            f"there are {len(notes)} notes; the card has room for {MOST_NOTES}", "join or drop some"
        )
    for note in notes:
        if len(note) > LONGEST_NOTE:
            wrong = f"the note {shown(note)} has {len(note)} letters; the card has room for {LONGEST_NOTE}"
            raise Refusal(wrong, "shorten it, or write the rest on the operation sheet")
    return notes


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
        raise Refusal("two lengths are wanted here", "write such as [10 mm, 16 mm]")
    first, second = sorted(above_nothing(read_length)(entry).value for entry in pair)
    if first == second:
        raise Refusal("the two are alike", "write two unlike lengths such as [10 mm, 16 mm]")
    return first, second


def read_lengths(entries: str | list[Any]) -> tuple[float, ...]:
    """A list of lengths → mm."""
    if isinstance(entries, dict):
        raise Refusal("a list of lengths is wanted here", "write such as [10 mm, 1/2 in]")
    each = [entries] if isinstance(entries, str) else entries
    return tuple(above_nothing(read_length)(entry).value for entry in each)


def schema(what: str, *examples: str) -> WithJsonSchema:
    """What an editor shows and completes for a quantity: a text, since the unit belongs to it."""
    return WithJsonSchema({"type": ["string", "number"], "description": what, "examples": list(examples)})


def _list_schema(what: str, *examples: str) -> WithJsonSchema:
    entry = {"type": ["string", "number"]}
    shape: list[dict[str, Any]] = [{"type": "array", "items": entry}, entry]
    return WithJsonSchema({"anyOf": shape, "description": what, "examples": list(examples)})


_MM = schema("a length with its unit", "38.1 mm", "1 1/2 in")
_CALLOUT_SCHEMA = WithJsonSchema(
    {
        "description": "the taper as the drawing calls for it, or a standard taper's name",
        "anyOf": [
            {
                "type": "string",
                "examples": ["1:8", "7:24", "0.602 in/ft", "included angle 60 deg", "Morse 3"],
            },
            {
                "type": "object",
                "minProperties": 1,
                "maxProperties": 1,
                "additionalProperties": False,
                "properties": {
                    name: {"type": "string", "examples": [example]}
                    for name, example in (
                        ("ratio", "1:8"),
                        ("per_foot", "0.602 in/ft"),
                        ("per_cent", "5 %"),
                        ("included_angle", "60 deg"),
                        ("half_angle", "30 deg"),
                        ("standard", "Morse 3"),
                    )
                },
            },
        ],
    }
)

Text = Annotated[str, PlainValidator(read_text), WithJsonSchema({"type": ["string", "number"]})]
Id = Annotated[str, PlainValidator(read_id), schema("names the record; unique within its kind", "SN-204")]
Reference = Annotated[str, PlainValidator(read_id), schema("the id of another record", "R-204")]
Texts = Annotated[tuple[str, ...], PlainValidator(read_texts), _list_schema("a list of texts")]
Notes = Annotated[tuple[str, ...], PlainValidator(read_notes), _list_schema("a list of remarks")]
References = Annotated[tuple[str, ...], PlainValidator(read_ids), _list_schema("a list of ids, or all")]
YesNo = Annotated[bool, PlainValidator(read_yes_no), WithJsonSchema({"type": "boolean"})]
Day = Annotated[date, PlainValidator(read_date), schema("year-month-day", "2027-03-31")]

Diameter = Annotated[Figure, PlainValidator(above_nothing(read_length)), _MM]
Length = Annotated[Figure, PlainValidator(above_nothing(read_length)), _MM]
Distance = Annotated[Figure, PlainValidator(not_negative(read_length)), _MM]
Mm = Annotated[float, PlainValidator(_value(above_nothing(read_length))), _MM]
MmOrNothing = Annotated[float, PlainValidator(_value(not_negative(read_length))), _MM]
SignedMm = Annotated[float, PlainValidator(_value(read_length)), _MM]
TwoMm = Annotated[tuple[float, float], PlainValidator(read_two_lengths), _list_schema("two lengths", "10 mm")]
ManyMm = Annotated[
    tuple[float, ...], PlainValidator(read_lengths), _list_schema("a list of lengths", "10 mm")
]
MmRange = Annotated[
    Span, PlainValidator(not_negative(read_length_range)), schema("from … to …", "0.35 .. 0.50 mm")
]
SizeTolerance = Annotated[
    Tolerance, PlainValidator(read_tolerance), schema("a tolerance", "± 0.010 mm", "+.0005 -0 in")
]
SizeWithTolerance = Annotated[
    Toleranced,
    PlainValidator(read_toleranced_length),
    schema("a length, with its tolerance where it has one", "3.0 mm ± 0.2 mm", "3/16 in +1/32 -0 in"),
]
Radians = Annotated[
    float, PlainValidator(_value(above_nothing(read_angle))), schema("an angle", "10 deg", "7 deg 30 min")
]
SlopeOrAngle = Annotated[
    TaperUncertainty,
    PlainValidator(read_taper_uncertainty),
    schema("a ratio, or an angle that says which", "0.00002 mm/mm", "half angle 2 arcsec"),
]
AngleLimits = Annotated[
    AngleTolerance,
    PlainValidator(read_angle_tolerance),
    schema("grade of ISO 1947, or ±", "AT6", "± 8 arcsec", "± 0.003 mm over the length"),
]
TaperCallout = Annotated[Callout, PlainValidator(read_callout), _CALLOUT_SCHEMA]
Tool = Annotated[
    ToolCallout, PlainValidator(read_tool), schema("a tool and one division", "steel rule 0.5 mm")
]
Count = Annotated[int, PlainValidator(_whole(1)), WithJsonSchema({"type": "integer", "minimum": 1})]
CountOrNone = Annotated[int, PlainValidator(_whole(0)), WithJsonSchema({"type": "integer", "minimum": 0})]
Factor = Annotated[
    float,
    PlainValidator(_value(above_nothing(read_number))),
    WithJsonSchema({"type": "number", "exclusiveMinimum": 0}),
]
Seconds = Annotated[float, PlainValidator(_value(not_negative(read_time))), schema("a time", "40 s")]
Rpm = Annotated[float, PlainValidator(_value(above_nothing(read_rotation))), schema("a rotation", "140 rpm")]
RpmSteps = Annotated[
    Steps,
    PlainValidator(read_rotation_steps),
    _list_schema(
        "the machine's speeds, or a range where it is stepless", "60, 90, 140, 210 rpm", "40 .. 300 rpm"
    ),
]
FeedRange = Annotated[
    Span, PlainValidator(not_negative(read_feed_range)), schema("from … to …", "50 .. 4000 mm/min")
]
MetresPerSecond = Annotated[
    float, PlainValidator(_value(above_nothing(read_speed))), schema("a speed", "35 m/s", "6500 ft/min")
]
Kelvin = Annotated[
    float, PlainValidator(_value(not_negative(read_temperature_difference))), schema("a difference", "1 K")
]
AngleFigure = above_nothing(read_angle)
SlopeFigure = above_nothing(read_slope)
