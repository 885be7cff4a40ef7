"""Figures as a table prints them: exact fractions, with the rounding that the printed digits carry."""

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from cardgen import terms
from cardgen.terms import MM, RateKind, System

Unit = System
UNITS: tuple[Unit, ...] = ("in", "mm")
MM_PER_UNIT: dict[str, Fraction] = {unit: Fraction(str(MM[unit])) for unit in UNITS}

_DECIMAL = re.compile(r"\d*\.?\d+")
_MIXED = re.compile(r"(?:(\d+) )?(\d+)/(\d+)")
_ANGLE = re.compile(r"(\d+(?:\.\d+)?) deg(?: (\d+(?:\.\d+)?) min)?(?: (\d+(?:\.\d+)?) s)?")


def exact(text: str) -> Fraction:
    """The number a table prints, as an exact fraction: '0.938', '3/16' or '2 9/16'; ValueError otherwise."""
    mixed = _MIXED.fullmatch(text)
    if mixed:
        return int(mixed[1] or 0) + Fraction(int(mixed[2]), int(mixed[3]))
    if not _DECIMAL.fullmatch(text):
        raise ValueError(f"{text!r} is not a number; a number looks like '0.938', '3/16' or '2 9/16'")
    return Fraction(text)


def half_digit(text: str) -> Fraction:
    """Half a unit in the last printed digit; nothing for whole numbers and common fractions."""
    if "/" in text or "." not in text:
        return Fraction(0)
    return Fraction(1, 2 * 10 ** len(text.partition(".")[2]))


@dataclass(frozen=True)
class Length:
    """A diameter or a length as printed, in the unit it was printed in."""

    text: str
    unit: Unit
    about: bool = False  # a figure that its source rounds: no digits are to be added to it

    @cached_property
    def exact_mm(self) -> Fraction:
        return exact(self.text) * MM_PER_UNIT[self.unit]

    @cached_property
    def half_digit_mm(self) -> Fraction:
        return half_digit(self.text) * MM_PER_UNIT[self.unit]

    @property
    def mm(self) -> float:
        return float(self.exact_mm)

    def __str__(self) -> str:
        return f"{self.text} {self.unit}"


@dataclass(frozen=True)
class Rate:
    """The one figure that defines how fast a standard taper tapers, in the form its standard uses."""

    kind: RateKind
    text: str

    @cached_property
    def exact_ratio(self) -> Fraction | None:
        """Change of diameter per unit of length, exact; None where the standard defines an angle.

        Formula: x:y → x/y; taper per foot → T/12; per cent → p/100.
        """
        if self.kind == "ratio":
            change, _, length = self.text.partition(":")
            return exact(change) / exact(length)
        scale = terms.scale(self.kind)
        return exact(self.text) / scale.of_ratio if isinstance(scale, terms.ScaleOfTaper) else None

    @cached_property
    def included_angle(self) -> float:
        """Included angle in radians: the angle given, or 2 atan(C/2)."""
        if self.exact_ratio is not None:
            return 2 * math.atan(float(self.exact_ratio) / 2)
        match = _ANGLE.fullmatch(self.text)
        if match is None:
            raise ValueError(f"{self.text!r} is not an angle; an angle looks like '7 deg 7 min 30 s'")
        seconds = sum(
            (Fraction(n or 0) * w for n, w in zip(match.groups(), (3600, 60, 1), strict=True)), Fraction(0)
        )
        angle = math.radians(float(seconds / 3600))
        return angle if self.kind == "included_angle" else 2 * angle

    @cached_property
    def ratio(self) -> float:
        """Change of diameter per unit of length (C = 2 tan θ)."""
        if self.exact_ratio is not None:
            return float(self.exact_ratio)
        return 2 * math.tan(self.included_angle / 2)

    @cached_property
    def half_digit(self) -> Fraction:
        """Half a unit in the last printed digit as a ratio; nothing where the standard's figure is exact.

        A ratio (7:24, 1:19.922), a per cent figure, a common fraction and an angle are definitions; a
        decimal taper per foot is a rounded figure.
        """
        return half_digit(self.text) / 12 if self.kind == "taper_per_foot" else Fraction(0)

    @cached_property
    def doubt(self) -> float:
        """What two figures of one cone may differ by: half a digit too of a ratio such as 1:20.020.

        Another standard gives the same cone with other last digits.
        """
        change, _, length = self.text.partition(":")
        if self.kind != "ratio" or "." not in length:
            return float(self.half_digit)
        return float(exact(change) * half_digit(length) / exact(length) ** 2)

    def __str__(self) -> str:
        if self.kind == "ratio":
            return self.text
        scale = terms.scale(self.kind)
        if isinstance(scale, terms.ScaleOfTaper):
            return f"{self.text} {scale.unit}"
        marks = self.text.replace(" deg", "°").replace(" min", "′").replace(" s", "″").replace(" ", "")
        return f"{marks} {'included' if self.kind == 'included_angle' else 'half angle'}"
