"""Text with a unit → numbers in mm and radians, each with the rounding it was written with.

A length, an angle, a slope (a change of diameter per length), a speed and a time are distinct: one
where another is wanted is refused by name. Every refusal says what is wrong and what would be right.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import TypeVar

from cardgen.bounds import table
from cardgen.spec.complaint import Refusal, shown
from cardgen.spec.number import Number, Token, tidy, tokens
from cardgen.spec.units import INCH_UNITS, UNITS, Measure, Reader, demanded, term, unit_at, worth
from cardgen.terms import System


@dataclass(frozen=True)
class Tolerance:
    """Allowances below and above, both counted positive: '± 0.010 mm', '+0.01 -0 mm'."""

    minus: float
    plus: float


@dataclass(frozen=True)
class Figure:
    """A figure read from text: mm, rad or a plain ratio, and half a unit of the last digit given."""

    value: float
    half_digit: float  # in the unit of the value; 0 for common fractions and ratios of whole numbers
    text: str
    tolerance: Tolerance | None = None  # where one may stand behind the figure, and does

    @property
    def system(self) -> System:
        """Whether a length is written in millimetres (micrometres, …) or in inches (thou, …)."""
        unit = re.findall(r"[^\d\s.,/+-]+", self.text)[-1]
        return "in" if UNITS["length"][unit] in INCH_UNITS else "mm"


UNKNOWN = "unknown"


@dataclass(frozen=True)
class Span:
    """From … to …: '0.35 .. 0.50 mm'; or 'unknown', where that may be written."""

    low: float
    high: float
    text: str

    @property
    def unknown(self) -> bool:
        """True where the text says no figures."""
        return self.text == UNKNOWN


@dataclass(frozen=True)
class Toleranced:
    """A length with its allowances, '3/16 in +1/32 -0 in'; both are 0 where the text states none."""

    nominal: float
    minus: float
    plus: float
    half_digit: float
    text: str

    @property
    def stated(self) -> bool:
        """True where the text states a tolerance."""
        return self.minus > 0 or self.plus > 0


@dataclass(frozen=True)
class Steps:
    """What a machine can be set to: its steps in rising order, or none and a range where it is stepless."""

    steps: tuple[float, ...]
    low: float
    high: float
    text: str


def _figure(text: str, wanted: str) -> Figure:
    """One quantity of the kind wanted, and nothing after it."""
    if not isinstance(text, str):
        Reader(text, wanted)  # which refuses it
    return _read_once(text, wanted)


@lru_cache(maxsize=4096)  # a shop writes the same few figures in each of its specs
def _read_once(text: str, wanted: str) -> Figure:
    return _read(Reader(text, wanted))


def _read(reader: Reader) -> Figure:
    sign = -1 if (reader.take("-", "–", "+") or Token("+", "+")).kind in "-–" else 1
    measure = demanded(reader, term(reader))
    reader.refuse_rest()
    return Figure(float(sign * measure.value), float(measure.half_digit), reader.text)


def read_length(text: str) -> Figure:
    """`38.1 mm`, `1 1/2 in`, `11/64 in`, `10 thou` → mm."""
    return _figure(text, "length")


def read_length_by(worths: Mapping[str, Fraction], text: str) -> Figure:
    """As `read_length`, where it is known already what some units are worth."""
    return _read(Reader(text, "length", lambda unit, kind: worths.get(unit) or worth(unit, kind)))


def read_slope(text: str) -> Figure:
    """`1:8`, `7:24`, `0.602 in/ft`, `5 %`, `0.05 mm/mm`, `50 mm/m` → change of diameter per length."""
    return _figure(text, "slope")


def read_time(text: str) -> Figure:
    """`40 s`, `1.5 min` → seconds."""
    return _figure(text, "time")


def read_rotation(text: str) -> Figure:
    """`1670 rpm`, `1670 rev/min` → revolutions per minute."""
    return _figure(text, "turn")


def read_speed(text: str) -> Figure:
    """`35 m/s`, `6500 ft/min` → m/s."""
    return _figure(text, "speed")


def _per_minute(metres_per_second: float) -> float:
    return float(Fraction(metres_per_second).limit_denominator(10**12) * 60000)


def read_temperature_difference(text: str) -> Figure:
    """`1 K`, `2 °C`, `2 °F` → kelvin, as a difference."""
    return _figure(text, "temperature")


def read_number(text: str) -> Figure:
    """A bare number: `20`, `0.5`, `1 1/2`."""
    if not isinstance(text, str):
        raise Refusal("a number is wanted here, not several entries", such_as="20")
    return _number_once(text)


@lru_cache(maxsize=1024)  # as those figures
def _number_once(text: str) -> Figure:
    found = tokens(text)
    sign = -1 if found[0].kind in ("-", "–") else 1
    found = found[1:] if found[0].kind in ("-", "–", "+") else found
    if len(found) != 2 or found[0].number is None:
        raise Refusal(f"{shown(text)} is not a plain number, without a unit", such_as="20")
    number = found[0].number
    if not table()["number"].allows(number.value):
        raise Refusal(f"{shown(text)} is beyond sense", f"it takes {table()['number'].told()}")
    return Figure(float(sign * number.value), float(number.half_digit), tidy(text))


def read_count(text: str) -> int:
    """A whole number, not negative: `40`."""
    figure = read_number(text)
    if figure.value < 0 or figure.value != int(figure.value) or not figure.text.isdecimal():
        raise Refusal(f"{shown(figure.text)} is not a whole number", such_as="40")
    return int(figure.value)


def read_angle(text: str) -> Figure:
    """`8.297 deg`, `7°7'30\"`, `7 deg 7 min 30 s`, `10 arcmin`, `0.1 rad` → radians.

    Parts go from degrees down, each once, minutes and seconds below 60, decimals in the last only.
    """
    reader = Reader(text, "angle")
    sign = -1 if (reader.take("-", "–", "+") or Token("+", "+")).kind in "-–" else 1
    value, half_digit, last = Fraction(0), Fraction(0), None
    while last is None or reader.next.kind != "end":
        above = reader.tokens[reader.at]
        measure = demanded(reader, term(reader))
        number = above.number.value if above.number else Fraction(0)
        unit = measure.value / number if number else _worth_of_zero(reader)
        if last is not None and not (unit < last and number < 60 and half_digit * 2 == last):
            raise Refusal(
                f"{shown(reader.text)} is not degrees, minutes and seconds in their order, each below 60",
                "write such as 7 deg 7 min 30 s",
            )
        value, half_digit, last = value + measure.value, measure.half_digit, unit
    return Figure(float(sign * value), float(half_digit), reader.text)


def _worth_of_zero(reader: Reader) -> Fraction:
    """The unit of a part that is nothing: the `0 min` of `7 deg 0 min 30 s`."""
    word = reader.tokens[reader.at - 1].text
    return worth(UNITS["angle"][word], "angle")


_Read = TypeVar("_Read")
_Parts = list[tuple[str, Measure]]


def _parts(reader: Reader, signs: tuple[str, ...]) -> _Parts:
    """Numbers parted by these signs; one without a unit takes the unit of the next that has one."""
    raw: list[tuple[str, Number, Measure | None]] = []
    while not raw or reader.next.kind != "end":
        sign = reader.take(*signs)
        if raw and sign is None:
            reader.refuse_rest()
        number = reader.number()
        if reader.next.kind == ":":
            raise reader.refusal(f"{shown(reader.text)} holds a ratio")
        raw.append((sign.kind if sign else "", number, unit_at(reader)))
    found: _Parts = []
    unit: Measure | None = None
    for sign_text, number, own in reversed(raw):
        unit = own or unit
        if unit is None:
            demanded(reader, Measure(number.value, number.half_digit, None))
            continue
        measure = Measure(number.value * unit.value, number.half_digit * unit.value, unit.kind)
        found.append((sign_text, demanded(reader, measure)))
    return found[::-1]


_BELOW_NOTHING = re.compile(r"(?:^|\.\.|…|–) ?-")
_LIMITS_OF_A_TABLE = re.compile(r"[A-Za-z]{1,2} ?[0-9]{1,2}")  # tolerance classes of ISO 286-1: h6, js7, H7


def _span(text: str, wanted: str) -> Span:
    """From … to …, the lower end first."""
    reader = Reader(text, wanted)
    if _BELOW_NOTHING.search(reader.text):
        wrong = f"the range {shown(reader.text)} goes below nothing"
        raise Refusal(wrong, "write two ends from 0 up, the lower end first", "-")
    parts = _parts(reader, ("..", "–"))
    if len(parts) != 2 or parts[0][0] or not parts[1][0]:
        raise Refusal(f"{shown(reader.text)} is not a range", such_as="0.35 .. 0.50 mm")
    low, high = parts[0][1].value, parts[1][1].value
    if low >= high:
        what = "is the wrong way round" if low > high else "has two equal ends"
        raise Refusal(f"the range {shown(reader.text)} {what}", "write the lower end first, then the higher")
    return Span(float(low), float(high), reader.text)


def read_length_range(text: str) -> Span:
    """`0.35 .. 0.50 mm` → mm."""
    return _span(text, "length")


def read_stock_range(text: str) -> Span:
    """`0.35 .. 0.50 mm` → mm, or `unknown` of worn pieces."""
    if isinstance(text, str) and text.strip().casefold() == UNKNOWN:
        return Span(0.0, 0.0, UNKNOWN)
    try:
        return read_length_range(text)
    except Refusal as refusal:
        if not refusal.wrong.endswith("below nothing"):
            raise
        right = f"{refusal.right}; for worn pieces write 'unknown', and salvage: {{at_most: 0.3 mm}}"
        raise Refusal(refusal.wrong, right, refusal.piece) from refusal


def read_feed_range(text: str) -> Span:
    """`50 .. 4000 mm/min` → mm/min."""
    span = _span(text, "speed")
    return Span(_per_minute(span.low), _per_minute(span.high), span.text)


def _allowances(reader: Reader, parts: _Parts) -> tuple[Fraction, Fraction]:
    """(minus, plus) from `± t` or from a `+` and a `-` part; both nothing is no tolerance."""
    by_sign = {sign.replace("–", "-"): measure.value for sign, measure in parts}
    if len(by_sign) == len(parts) and set(by_sign) == {"±"}:
        minus = plus = by_sign["±"]
    elif len(by_sign) == len(parts) and set(by_sign) == {"+", "-"}:
        minus, plus = by_sign["-"], by_sign["+"]
    else:
        raise Refusal(
            f"the tolerance of {shown(reader.text)} is not understood",
            "write ± 0.01 mm, or both sides with their signs: +0.01 -0 mm",
        )
    if minus == 0 and plus == 0:
        raise Refusal(
            f"the tolerance of {shown(reader.text)} is nothing", "write a tolerance that can be held"
        )
    return minus, plus


def read_tolerance(text: str) -> Tolerance:
    """`± 0.010 mm`, `+0.01 -0 mm` → mm."""
    reader = Reader(text, "length")
    if _LIMITS_OF_A_TABLE.fullmatch(reader.text):
        wrong = f"{shown(reader.text)} is a tolerance class, and its limits depend on the diameter (ISO 286)"
        raise Refusal(wrong, "write the limits that its table gives, with their signs: +0 -0.016 mm")
    minus, plus = _allowances(reader, _parts(reader, ("±", "+", "-", "–")))
    return Tolerance(float(minus), float(plus))


def read_toleranced_length(text: str) -> Toleranced:
    """`38 mm ± 0.01 mm`, `5/16 in +1/64 -0 in`, or `3.0 mm` without a tolerance → mm."""
    reader = Reader(text, "length")
    sign = -1 if reader.take("-", "–") else 1
    (first, nominal), *rest = _parts(reader, ("±", "+", "-", "–"))
    if first:
        raise Refusal(f"{shown(reader.text)} lacks the size itself", such_as="38 mm ± 0.01 mm")
    minus, plus = _allowances(reader, rest) if rest else (Fraction(0), Fraction(0))
    return Toleranced(
        float(sign * nominal.value), float(minus), float(plus), float(nominal.half_digit), reader.text
    )


def read_end_diameter(text: str) -> Figure:
    """`30.625 mm`, or with its tolerance behind it: `30.625 mm ± 0.010 mm`."""
    found = read_toleranced_length(text)
    tolerance = Tolerance(found.minus, found.plus) if found.stated else None
    return Figure(found.nominal, found.half_digit, found.text, tolerance)


def read_rotation_steps(entries: str | list[str]) -> Steps:
    """`[60, 90, 140, 210] rpm`, a list of speeds each with its unit, or `40 .. 300 rpm` where stepless."""
    if isinstance(entries, str) and ".." in entries:
        span = _span(entries, "turn")
        return Steps((), span.low, span.high, span.text)
    if not isinstance(entries, str) and not all(isinstance(entry, str) for entry in entries):
        raise Refusal("a list of speeds is wanted here", such_as="[60, 90, 140, 210] rpm")
    text = entries if isinstance(entries, str) else ", ".join(entries)
    pieces = [piece.strip() for piece in text.replace("[", " ").replace("]", " ").split(",") if piece.strip()]
    shared = _last_words(pieces[-1]) if pieces and isinstance(entries, str) else ""
    readers = [piece if _last_words(piece) else f"{piece} {shared}" for piece in pieces]
    steps = sorted({read_rotation(piece).value for piece in readers})
    if not steps or steps[0] <= 0:
        raise Refusal(f"{shown(text)} does not name speeds above nothing", such_as="[60, 90, 140, 210] rpm")
    return Steps(tuple(steps), steps[0], steps[-1], tidy(text))


def _last_words(piece: str) -> str:
    """The unit that a piece ends in: 'rpm' of '210 rpm'."""
    return piece.lstrip("0123456789./ ")


def above_nothing(read: Callable[[str], _Read]) -> Callable[[str], _Read]:
    """The same reading, refusing nothing and less: for lengths, leads, divisions, speeds."""
    return _bounded(read, lambda value: value > 0, "must be more than nothing")


def not_negative(read: Callable[[str], _Read]) -> Callable[[str], _Read]:
    """The same reading, refusing less than nothing."""
    return _bounded(read, lambda value: value >= 0, "must not be negative")


def _bounded(
    read: Callable[[str], _Read], fits: Callable[[float], bool], must: str
) -> Callable[[str], _Read]:
    def bounded(text: str) -> _Read:
        found = read(text)
        least = next(getattr(found, name) for name in ("value", "nominal", "low") if hasattr(found, name))
        if not fits(least):
            figure = tidy(text).lstrip("-– ")
            right = f"if the minus is mistaken, write {figure}" if least < 0 and fits(-least) else ""
            raise Refusal(f"{shown(text)} {must} here", right, such_as="a figure above nothing")
        return found

    return bounded
