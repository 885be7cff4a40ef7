"""What an editor can check of a value while it is typed: for each way of writing one, a piece of JSON Schema.

A pattern refuses what lacks its unit or has another kind's, and accepts whatever the readers accept, with all
the typist's variants of a sign; the readers alone judge the rest. Only what every dialect of patterns knows
is used.
"""

import re
import unicodedata
from typing import Any

from cardgen import tapers
from cardgen.spec.callout import KEYED_FORMS
from cardgen.spec.units import UNITS
from cardgen.tapers.lookup import index, words_of

Shape = dict[str, Any]

_MINUS, _DASH, _STROKE = r"\-−", "–—", "/⁄∕"
_VULGAR = "".join(
    sign for sign in map(chr, range(0xBC, 0x218A)) if "⁄" in unicodedata.normalize("NFKC", sign)
)
NUMBER = rf"\s*[0-9.{_VULGAR}][0-9./⁄∕{_VULGAR}\s−-]*"
SIGN = rf"\s*(?:[+{_MINUS}{_DASH}])?"
ALLOWANCE = rf"\s*(?:±|\+[{_STROKE}][{_MINUS}]|[+{_MINUS}{_DASH}])"
ANY = r"[\s\S]*"
PER = rf"\s*(?:[{_STROKE}]|per)\s*"
WHICH = r"(?:included|half)(?:\s+angle)?"
# The variants of a sign that is, or is in, a unit.
_TYPED = {"″": "(?:[\"″”]|['′’]['′’])", "′": "['′’]", "°": "[°º]", "µ": "[µμ]", '"': "", "'": ""}


def _unit(kind: str) -> str:
    """Any unit of the kind, the longer before those that they begin with."""
    words = sorted(UNITS[kind], key=len, reverse=True)
    typed = ["".join(_TYPED.get(letter, letter) for letter in word) for word in words]
    return rf"\s*(?:{'|'.join(filter(None, typed))})"


LENGTH = _unit("length")
ANGLE = rf"(?:{NUMBER}{_unit('angle')})+"
SLOPE = rf"{NUMBER}(?:\s*[:∶]{NUMBER}|\s*%|{LENGTH}{PER}(?:{NUMBER})?{LENGTH})"
ROTATION = rf"\s*(?:rpm|(?:rev|r)\s*[{_STROKE}]\s*(?:minute|min))"
SPEED = rf"(?:{LENGTH}{PER}(?:{NUMBER})?{_unit('time')}|{_unit('speed')})"
ANGLE_SAID = rf"\s*(?:{WHICH}{SIGN}{ANGLE}|{SIGN}{ANGLE}\s*{WHICH})"


def _caseless(text: str) -> str:
    return "".join(f"[{c.upper()}{c.lower()}]" if c.isalpha() else re.escape(c) for c in text)


def _text(pattern: str) -> Shape:
    return {"type": "string", "pattern": rf"^(?:{pattern})\s*$"}


def _span(unit: str) -> str:
    return rf"{NUMBER}(?:{unit})?\s*(?:\.\.\.?|…|[{_DASH}]){NUMBER}{unit}"


def _allowances(unit: str) -> str:
    """Signed figures, of which the last at least has its unit."""
    return rf"(?:{ALLOWANCE}{NUMBER}(?:{unit})?)*{ALLOWANCE}{NUMBER}{unit}"


def _number(json_type: str, least: int) -> Shape:
    """A bare number, in quotes or not."""
    return {"type": [json_type, "string"], "minimum": least, "pattern": rf"^{SIGN}{NUMBER}$"}


def list_of(entry: Shape) -> Shape:
    """A list of these; one alone is a list of one."""
    return {"anyOf": [{"type": "array", "items": entry}, entry]}


def _standard() -> str:
    """The words of a series of standard tapers in their order, whatever stands between."""
    spelled = {words_of(spelling) for line in index() for spelling in line.spelled}
    shortest = (words for words in spelled if not any(set(other) < set(words) for other in spelled))
    return rf"{ANY}(?:{'|'.join(map(_words, sorted(shortest)))}){ANY}"


def _words(words: tuple[str, ...]) -> str:
    typed = ANY.join("(?:[Aa][Nn][Dd]|&)" if word == "and" else _caseless(word) for word in words)
    return f"{_edge(words[0], '(?:^|[^{}])')}{typed}{_edge(words[-1], '(?![{}])')}"


def _edge(word: str, form: str) -> str:
    return form.format("A-Za-z" if word[-1].isalpha() else "0-9")


def _grades() -> str:
    numbers = "|".join(grade.removeprefix("AT") for grade in tapers.grade_names())
    return rf"\s*[Aa][Tt]\s?0?(?:{numbers})"


def _angle_limits() -> Shape:
    unit = _unit("angle")
    sides = rf"(?:{ALLOWANCE}{NUMBER}(?:{LENGTH})?\s*[{_STROKE}]?)?{_allowances(LENGTH)}"
    over = rf"{sides}\s+over\s+(?:the\s+length|length|{NUMBER}{LENGTH})"
    size = rf"(?:{SLOPE}|{NUMBER}(?:{unit})?(?:{NUMBER}{unit})*)"
    side = rf"{ALLOWANCE}\s*(?:{WHICH}\s)?{SIGN}{size}\s*(?:{WHICH}\s*)?"
    has_unit = rf"(?={ANY}(?:{unit}|%|{LENGTH}{PER}))"
    return _text(rf"{_grades()}|{over}|{has_unit}(?:{WHICH}\s+)?{side}(?:[{_STROKE}]?{side})?")


def _steps() -> Shape:
    """Speeds parted by commas, in brackets or not, of which the last has its unit, or a range."""
    step = rf"[\s\[]*(?:{SIGN}{NUMBER}(?:{ROTATION})?[\s\]]*(?:{ROTATION})?[\s\]]*)?"
    last = rf"(?={ANY}{ROTATION}[\s\],]*$)"
    return _text(rf"{last}{step}(?:,{step})*|{_span(ROTATION)}")


def shapes() -> dict[str, Shape]:
    """The shape of each way of writing a value, by its name in the models."""
    text: Shape = {"type": ["string", "number"]}
    # No space, and nothing that is no letter, digit or - _ . + (letters of any script).
    name = {**text, "pattern": r"^\s*[^\s!-\/:-@\[-`{-~][^\s!-*,\/:-@\[-^`{-~]*\s*$"}
    callout = _text(rf"{SIGN}{SLOPE}|{ANGLE_SAID}|{_standard()}")
    form: Shape = {"type": "object", "minProperties": 1, "maxProperties": 1, "additionalProperties": False}
    form["properties"] = {
        key: {"type": "string", "examples": [example]} for key, example in KEYED_FORMS.items()
    }
    length = _text(rf"{SIGN}{NUMBER}{LENGTH}")
    rotation = rf"{SIGN}{NUMBER}{ROTATION}"
    return {
        "text": text,
        "texts": list_of(text),
        "id": name,
        "ids": list_of(name),
        "yes or no": {
            "type": ["boolean", "string"],
            "pattern": rf"^\s*(?:{'|'.join(map(_caseless, ('true', 'false', 'yes', 'no')))})\s*$",
        },
        "day": _text(r"\s*[0-9]{4}-[0-9]{2}-[0-9]{2}"),
        "date format": _text(rf"{ANY}%[YymdBb]{ANY}"),
        "paper": _text(
            r"\s*(?:[Aa][456]|(?:[Hh][Aa][Ll][Ff]\s+)?[Ll][Ee][Tt]{2}[Ee][Rr]|5\s*[x×]\s*8\s+[Ii][Nn])"
        ),
        "length": length,
        "lengths": list_of(length),
        "two lengths": {"type": "array", "items": length, "minItems": 2, "maxItems": 2},
        "stock range": _text(rf"{_span(LENGTH)}|\s*{_caseless('unknown')}"),
        "tolerance": _text(_allowances(LENGTH)),
        "length with tolerance": _text(
            rf"(?={ANY}{LENGTH}\s*$){SIGN}{NUMBER}(?:{LENGTH})?(?:{ALLOWANCE}{NUMBER}(?:{LENGTH})?\s*)*"
        ),
        "angle": _text(rf"{SIGN}{ANGLE}"),
        "angle or slope": _text(rf"{SIGN}(?:{ANGLE}|{SLOPE})"),
        "angle said or slope": _text(rf"{ANGLE_SAID}|{SIGN}{SLOPE}"),
        "angle limits": _angle_limits(),
        "callout": {"anyOf": [callout, form]},
        "tool": _text(rf"{ANY}{NUMBER}{LENGTH}(?![A-Za-z0-9_]){ANY}"),
        "count": _number("integer", 1),
        "count or none": _number("integer", 0),
        "factor": _number("number", 0),
        "time": _text(rf"{SIGN}{NUMBER}{_unit('time')}"),
        "rotation": _text(rotation),
        "rotations": {"anyOf": [{"type": "array", "items": _text(rotation)}, _steps()]},
        "feed range": _text(_span(SPEED)),
        "speed": _text(rf"{SIGN}{NUMBER}{SPEED}"),
        "temperature": _text(rf"{SIGN}{NUMBER}{_unit('temperature')}"),
    }
