"""The figures of the booklet's tables: each right to its last digit.

How a number is rounded is the business of paper/figures.py, for card and booklet alike.
"""

import math

from cardgen.booklet.tables import Printed
from cardgen.digits import (
    NBSP,
    decimal,
    degrees_minutes_seconds,
    in_last_digits,
    inch_decimal,
    on_scale,
    plain_fraction,
    with_fractions,
)
from cardgen.terms import INCH, SCALE_UNITS, SYSTEMS, ScaleUnit, System, Units


class TableFigures:
    """How the templates of one booklet write figures; `systems` are the systems of units it shows."""

    def __init__(self, units: Units) -> None:
        self.units = units
        self.systems = SYSTEMS[units]

    def num(self, value: float, digits: int) -> str:
        """A plain number."""
        return decimal(value, digits)

    def signed(self, value: float, digits: int) -> str:
        """A number whose sign is always shown; nought has none."""
        text = decimal(value, digits)
        return text if text.startswith("−") or not text.strip("0.") else "+" + text

    def inches(self, value: float, digits: int) -> str:
        """A number that is inches already: taper per foot."""
        return inch_decimal(value, digits)

    def size(self, value_mm: float, system: System, mm: int, inch: int) -> str:
        """A length in one system, bare, to so many decimals of a millimetre or of an inch."""
        return decimal(value_mm, mm) if system == "mm" else inch_decimal(value_mm / INCH, inch)

    def signed_size(self, value_mm: float, system: System, mm: int, inch: int) -> str:
        """A length in one system whose sign is always shown; nought has none."""
        text = self.size(value_mm, system, mm, inch)
        return text if text.startswith("−") or not text.strip("0.") else "+" + text

    def round_size(self, value_mm: float, system: System, unit: bool = True) -> str:
        """A round length that stands for itself in a heading: 25 mm, .5 in."""
        text = decimal(value_mm, 4) if system == "mm" else inch_decimal(value_mm / INCH, 5)
        text = text.rstrip("0").rstrip(".")
        return f"{text}{NBSP}{system}" if unit else text

    def dms(self, degrees: float) -> str:
        """Degrees, minutes and seconds."""
        return degrees_minutes_seconds(degrees)

    def plain(self, value: float, digits: int) -> str:
        """A number without decimals that say nothing: 31.5, 50."""
        text = decimal(value, digits)
        return text.rstrip("0").rstrip(".") if "." in text else text

    def up(self, value: float, digits: int) -> str:
        """A number rounded up: for 'within …'."""
        return decimal(math.ceil(value * 10**digits) / 10**digits, digits)

    def own(self, value_mm: float) -> str:
        """A length of the shop's in the unit that it is round in: 20 in, 250 mm."""
        return min((self.round_size(value_mm, system) for system in SYSTEMS["both"]), key=len)

    def scale(self, value: float, unit: ScaleUnit) -> str:
        """What a swivel's scale must show, bare: its heading has the unit."""
        return on_scale(value, unit)

    def mark(self, text: str) -> str:
        """A mark as the scale is engraved, without its unit: '5/8 in/ft' is set 5⁄8."""
        for unit in SCALE_UNITS:
            text = text.removesuffix(f" {unit}")
        return with_fractions(text)

    def printed(self, length: Printed | None, system: System) -> str:
        """A standard's length: as its source prints it, or worked out in the other system."""
        if length is None:
            return ""
        if length.unit != system and length.about:
            return self._as_roughly(length, system)
        if length.unit != system:
            return self.size(length.mm, system, 3, 4)
        text = with_fractions(length.text)
        return text.removeprefix("0") if system == "in" and text.startswith("0.") else text

    def _as_roughly(self, length: Printed, system: System) -> str:
        """A figure that its source rounds, in the other system with as many digits: 19.8 mm is .780 in."""
        in_system = length.mm if system == "mm" else length.mm / INCH
        digits = len(length.text.replace(".", "").lstrip("0"))
        decimals = max(0, digits - 1 - math.floor(math.log10(in_system)))
        return self.size(length.mm, system, decimals, decimals)

    def turns(self, divisions: float, in_turn: int) -> str:
        """Divisions of a screw as whole turns and divisions to a tenth: '5 + 12.4'."""
        turns, tenths = divmod(in_last_digits(divisions, 1), 10 * in_turn)
        return f"{turns}{NBSP}+{NBSP}{tenths // 10}.{tenths % 10}"

    def fractions(self, text: str) -> str:
        """A text whose common fractions are set as fractions: 'Morse 4 1/2'."""
        return with_fractions(text)

    def sixty_fourths(self, count: int, denominator: int) -> str:
        """So many 64ths of an inch, reduced: 7⁄32."""
        return with_fractions(plain_fraction(count, denominator))
