"""A number and its unit in a text → what it measures, in mm, radians, seconds, rpm or m/s, exact.

Our own grammar (`cardgen.spec.number`) reads the numbers; Pint only says what a unit is worth, from the
definitions in units.txt, and is used in this file alone. A length, an angle and a slope (a change of
diameter per length) are distinct: 0.6 in/ft is no angle, though Pint's own definitions make it one.
"""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

from cardgen.bounds import table
from cardgen.spec.complaint import Refusal, nearest, shown
from cardgen.spec.number import Number, Token, tidy, tokens

# Unit of units.txt → the words that a spec may write for it, by kind: min and s, ′ and ″ are in two.
_WORDS = {
    "length": {
        "millimetre": "mm millimetre millimetres",
        "centimetre": "cm",
        "metre": "m",
        "micrometre": "µm um",
        "inch": 'in inch inches ″ "',
        "thou": "thou",
        "foot": "ft foot feet ′ '",
    },
    "angle": {
        "degree": "deg degree degrees °",
        "arcminute": "arcmin arcminutes min minute minutes ′ '",
        "arcsecond": 'arcsec arcseconds s sec second seconds ″ "',
        "radian": "rad",
        "milliradian": "mrad",
    },
    "time": {"second": "s sec second seconds", "minute": "min minute minutes", "hour": "h"},
    "turn": {"rpm": "rpm"},
    "speed": {"foot / minute": "sfpm sfm fpm", "inch / minute": "ipm"},
    "temperature": {"kelvin": "K", "celsius_degree": "°C", "fahrenheit_degree": "°F"},
}
UNITS = {
    kind: {word: unit for unit, words in units.items() for word in words.split()}
    for kind, units in _WORDS.items()
}
INCH_UNITS = ("inch", "thou", "foot")  # the lengths that are not metric
_TWO_MEANINGS = {
    "mil": ("a thousandth of an inch to some and a millimetre to others", "write thou or mm"),
    "tenth": (
        "a ten-thousandth of an inch to some and a tenth of a millimetre to others",
        "write 0.1 thou or 0.1 mm",
    ),
}


@dataclass(frozen=True)
class Quantity:
    """A kind of quantity: what messages call it, how it is written, what of it may lack, what it becomes."""

    called: str
    such_as: str
    units: str = ""  # to choose from, where a bare number says all but its unit
    base: str = ""  # of units.txt; a slope is a plain ratio


QUANTITIES = {
    "length": Quantity("a length", "38.1 mm or 1 1/2 in", "mm or in", "millimetre"),
    "angle": Quantity("an angle", "7 deg 7 min 30 s or 8.297 deg", "deg", "radian"),
    "slope": Quantity("a slope (a taper)", "1:8, 0.602 in/ft or 5 %", "in/ft, mm/m or %"),
    "time": Quantity("a time", "40 s", "s", "second"),
    "turn": Quantity("a rotation", "1670 rpm", "rpm", "rpm"),
    "speed": Quantity("a speed", "35 m/s or 400 mm/min", base="metre / second"),
    "temperature": Quantity("a difference of temperature", "1 K", base="kelvin"),
}


@cache
def _registry() -> Any:
    """Pint with the units of units.txt alone, made when first wanted, counting exactly in fractions."""
    from pint import UnitRegistry

    return UnitRegistry(str(Path(__file__).with_name("units.txt")), non_int_type=Fraction)


@cache
def worth(unit: str, kind: str) -> Fraction:
    """How many mm (rad, s, …) one of the unit is: exact, 1 in = 127/5 mm."""
    registry, base = _registry(), QUANTITIES[kind].base
    return Fraction(registry.Quantity(Fraction(1), registry.parse_units(unit)).to(base).magnitude)


def length_worths() -> dict[str, Fraction]:
    """How many mm one of each unit of length is."""
    return {unit: worth(unit, "length") for unit in _WORDS["length"]}


@dataclass(frozen=True)
class Measure:
    """A number whose unit has been resolved; `kind` is None for a bare number."""

    value: Fraction
    half_digit: Fraction
    kind: str | None


class Reader:
    """Walks over the tokens of one text; `wanted` decides what ' and \" and min and s stand for."""

    def __init__(self, text: str, wanted: str, worth: Callable[[str, str], Fraction] = worth) -> None:
        self.wanted, self.quantity, self.worth = wanted, QUANTITIES[wanted], worth
        if not isinstance(text, str):
            raise self.refusal(f"{self.quantity.called} is wanted here, not several entries")
        self.text = tidy(text)
        if not self.text:
            raise self.refusal(f"{self.quantity.called} is wanted here, and there is nothing")
        self.tokens = tokens(text)
        self.at = 0

    def refusal(self, wrong: str, right: str = "", piece: str = "") -> Refusal:
        """A refusal of the text; how such a quantity is written, where no more is known of what is right."""
        return Refusal(wrong, right, piece, such_as=self.quantity.such_as)

    @property
    def next(self) -> Token:
        return self.tokens[self.at]

    def take(self, *kinds: str) -> Token | None:
        """The next token if it is one of these kinds, and step past it."""
        token = self.next
        if token.kind not in kinds:
            return None
        self.at += 1
        return token

    def number(self) -> Number:
        token = self.take("number")
        if token is None or token.number is None:
            found = f"before {shown(self.next.text)}" if self.next.text else "at the end"
            raise self.refusal(f"{shown(self.text)} lacks a number {found}")
        return token.number

    def refuse_rest(self) -> None:
        """Nothing may follow: '3 in 5' is not 15 in, it is a mistake."""
        if self.next.kind != "end":
            raise self.refusal(
                f"{shown(self.next.text)} is left over in {shown(self.text)}", piece=self.next.text
            )


def unit_at(reader: Reader) -> Measure | None:
    """The unit at the reader's place, as the measure of one of it; None where no unit stands there.

    A length over a length is a slope, over a time a speed; `mm/100 mm` and `in per ft` are read too.
    """
    word = reader.take("word")
    if word is None:
        return None
    if word.text == "%":
        return Measure(Fraction(1, 100), Fraction(0), "slope")
    if word.text in ("rev", "r") and reader.take("/") and reader.next.text in ("min", "minute"):
        reader.take("word")
        return Measure(Fraction(1), Fraction(0), "turn")
    upper = _plain_unit(word.text, reader.wanted if reader.wanted != "slope" else "length", reader)
    if not (reader.take("/") or (reader.next.text == "per" and reader.take("word"))):
        return upper
    count = reader.number() if reader.next.kind == "number" else Number(Fraction(1), Fraction(0))
    below = reader.take("word")
    if below is None or count.value == 0:
        raise Refusal(f"{shown(reader.text)} lacks a unit after '/'", "write such as 0.602 in/ft or 35 m/s")
    lower = _plain_unit(below.text, "time" if below.text in UNITS["time"] else "length", reader)
    return _quotient(reader, upper, lower, count)


def _quotient(reader: Reader, upper: Measure, lower: Measure, count: Number) -> Measure:
    """Length over length is a slope, length over time a speed (m/s); nothing else is known here."""
    value = upper.value / (lower.value * count.value)
    if (upper.kind, lower.kind) == ("length", "length"):
        return Measure(value, Fraction(0), "slope")
    if (upper.kind, lower.kind) == ("length", "time"):
        return Measure(value / 1000, Fraction(0), "speed")
    raise reader.refusal(f"the unit of {shown(reader.text)} is not known")


def _plain_unit(word: str, wanted: str, reader: Reader) -> Measure:
    """One of the named unit, looked for first among the units of the kind that is wanted."""
    for kind in (wanted, *UNITS):
        if word in UNITS[kind]:
            return Measure(reader.worth(UNITS[kind][word], kind), Fraction(0), kind)
    singular = word.casefold().removesuffix("s")
    if singular in _TWO_MEANINGS:
        meanings, right = _TWO_MEANINGS[singular]
        raise Refusal(f"{shown(word)} is {meanings}", right)
    known = [name for name in UNITS[wanted] if name.isalpha() and len(name) > 1]
    every = [name for table in UNITS.values() for name in table if name.isalpha()]
    near = [name for name in every if name.casefold() == word.casefold()] or nearest(word, known, at_most=1)
    raise reader.refusal(
        f"{shown(word)} in {shown(reader.text)} is not a known unit",
        f"did you mean '{near[0]}'?" if near else "",
        word,
    )


def term(reader: Reader) -> Measure:
    """A number with its unit (`38.1 mm`), a ratio (`1:8`), or a bare number."""
    number = reader.number()
    if reader.take(":"):
        return _ratio(reader, number)
    unit = unit_at(reader)
    if unit is None:
        return Measure(number.value, number.half_digit, None)
    return Measure(number.value * unit.value, number.half_digit * unit.value, unit.kind)


def _ratio(reader: Reader, above: Number) -> Measure:
    """1:x. The rounding of 1:19.922 is that of its decimals; whole numbers such as 7:24 are exact."""
    below = reader.number()
    if below.value == 0:
        raise Refusal(f"{shown(reader.text)} divides by nothing", "write a ratio such as 1:8 or 7:24")
    value = above.value / below.value
    half_digit = Fraction(0)
    if above.value.denominator > 1:
        half_digit += above.half_digit / below.value
    if below.value.denominator > 1:
        half_digit += value * below.half_digit / below.value
    return Measure(value, half_digit, "slope")


def demanded(reader: Reader, measure: Measure) -> Measure:
    """The measure, if it is of the kind that is wanted; else a refusal that says what it is instead."""
    text, wanted = shown(reader.text), reader.quantity.called
    if measure.kind == reader.wanted:
        limit = table()[measure.kind]
        if not limit.allows(measure.value):
            raise Refusal(
                f"{text} is beyond sense for {wanted}",
                f"it takes {limit.told()}: correct it, its unit too",
            )
        return measure
    if measure.kind is None and reader.next.kind == "number":
        raise reader.refusal(f"{text} has two numbers side by side")
    if measure.kind is None:
        units = reader.quantity.units
        right = f"write it with its unit ({units})" if units else ""
        raise reader.refusal(f"{text} has no unit, and {wanted} is wanted here", right)
    raise reader.refusal(f"{text} is {QUANTITIES[measure.kind].called}, and {wanted} is wanted here")
