"""The figures of one card: how many digits a figure gets depends on what it is for, its units on the card.

A diameter is shown to 0.001 mm or .0001 in, a reading to what its tool shows. How the digits
themselves are written stands in `digits`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from cardgen import terms
from cardgen.digits import (
    COARSE,
    DIAMETER,
    FINE,
    KINDS,
    LENGTH,
    NBSP,
    SLIP,
    STOCK,
    Digits,
    common_fraction,
    decimal,
    decimals_of,
    degrees_minutes_seconds,
    duration,
    in_system,
    inch_decimal,
    inch_plain,
    on_scale,
    plain_number,
    rpm_text,
    signed,
    speed_text,
    with_fractions,
)
from cardgen.terms import INCH, SYSTEMS, System, Units

if TYPE_CHECKING:  # of the values none is made here
    from cardgen.card.values import ReadingTool, ScaleSetting, SineStack, SlipStack

FOOT_M = 0.3048
STILL_EVEN = 0.8  # of a ± tolerance: where rounding leaves less of one side, the two are written apart


@dataclass(frozen=True)
class Figures:
    """The figures of one card: its units decide how every number is written."""

    units: Units

    @property
    def systems(self) -> tuple[System, ...]:
        """The systems of units shown, the leading one first."""
        return SYSTEMS[self.units]

    @property
    def leading(self) -> System:
        return self.systems[0]

    def _all(self, value_mm: float, digits: Digits, sign: bool = False) -> str:
        shown = []
        for system in self.systems:
            text = in_system(value_mm, digits, system)
            shown.append(f"{signed(text) if sign else text}{NBSP}{system}")
        return _beside(shown)

    # ---- lengths ---------------------------------------------------------------------------

    def size(self, value_mm: float) -> str:
        """A diameter, with its unit."""
        return self._all(value_mm, DIAMETER)

    def size_within(self, basic_mm: float, low_mm: float, high_mm: float, system: System) -> str:
        """A diameter with its tolerance, '24.000 ±0.010': it never reaches beyond the exact limits.

        The basic size is rounded as everywhere; its allowances are counted from what is then written, and
        rounded down.
        """
        basic = in_system(basic_mm, DIAMETER, system)
        written_mm = float(basic) * (1.0 if system == "mm" else INCH)
        plus, minus = high_mm - written_mm, written_mm - low_mm
        if plus >= 0 and minus >= 0:  # the side that rounding made wider keeps the tolerance of the drawing
            plus, minus = min(plus, high_mm - basic_mm), min(minus, basic_mm - low_mm)
            even = abs(high_mm - 2 * basic_mm + low_mm) < 1e-9
            if even and min(plus, minus) >= STILL_EVEN * (high_mm - basic_mm):
                return f"{basic} ±{_allowance_down(min(plus, minus), system)}"
        return f"{basic} {_deviation('+−', plus, system)} {_deviation('−+', minus, system)}"

    def stock(self, value_mm: float) -> str:
        """Stock on the diameter, or a difference of diameters."""
        return self._all(value_mm, STOCK)

    def stock_up(self, value_mm: float) -> str:
        """A doubt, or a stock that there must be at the least: never told smaller than it is."""
        return _beside(_whole_steps(value_mm, STOCK, system, math.ceil) for system in self.systems)

    def exact(self, value_mm: float) -> str:
        """A length that somebody chose: to a thousandth, without noughts that say nothing."""
        ways = {"mm": plain_number(value_mm, 3), "in": inch_plain(value_mm / INCH, 4)}
        return _beside(f"{ways[system]}{NBSP}{system}" for system in self.systems)

    def fine(self, value_mm: float) -> str:
        """A gap of light or a left-over, to a tenth of a micrometre or a hundred-thousandth."""
        return self._all(value_mm, FINE)

    def thickness(self, value_mm: float) -> str:
        """A film or a gap: 0.005 mm (.0002 in)."""
        return self._all(value_mm, STOCK)

    def slip(self, value_mm: float) -> str:
        """A height of slip gauges or a travel of an indicator."""
        return self._all(value_mm, SLIP)

    def pieces(self, stack: SlipStack | SineStack) -> str:
        """The pieces of a stack, with their unit where it is not the page's; the other roll's behind them."""
        from cardgen.card.values import SineStack

        unit = "" if stack.unit == self.leading else f"{NBSP}{stack.unit}"
        text = " + ".join(stack.pieces_text) + unit
        other = stack.other_pieces_text if isinstance(stack, SineStack) else ()
        return f"{text}, other roll on {' + '.join(other)}{unit}" if other else text

    def length(self, value_mm: float) -> str:
        """A length along the axis, a stroke, an overrun."""
        return self._all(value_mm, LENGTH)

    def length_down(self, value_mm: float) -> str:
        """A travel that must not be longer than worked out: the wheel would run into the shoulder."""
        return _beside(_whole_steps(value_mm, LENGTH, system, math.floor) for system in self.systems)

    def length_up(self, value_mm: float) -> str:
        """A clearance that must not be less than was asked for."""
        return _beside(_whole_steps(value_mm, LENGTH, system, math.ceil) for system in self.systems)

    def bare(self, value_mm: float, kind: str, system: System, sign: bool = False) -> str:
        """A length of a kind ('size', 'stock', 'fine', 'slip', 'length', 'travel') without its unit."""
        text = in_system(value_mm, KINDS[kind], system)
        return signed(text) if sign else text

    # ---- readings --------------------------------------------------------------------------

    def tool(self, tool: ReadingTool) -> str:
        """The tool's name with its division."""
        name = with_fractions(tool.name)
        division = with_fractions(tool.division_text).replace(" ", NBSP)
        return name if division.replace(NBSP, " ") in name else f"{name} {division}"

    def step(self, tool: ReadingTool, divisions: int) -> str:
        """So many divisions of a tool as a length, in the tool's own way of writing."""
        value = divisions * tool.division_mm
        if tool.denominator:
            return f"{common_fraction(value / INCH, tool.denominator)}{NBSP}in"
        if tool.unit == "in":
            return f"{inch_decimal(value / INCH, 4).rstrip('0').rstrip('.')}{NBSP}in"
        return f"{plain_number(value, 3)}{NBSP}mm"

    def reading(self, text: str) -> str:
        """A reading as the tool shows it, to be set: '7/32 in' → 7⁄32 in.

        One below nought has a word for it: −.020 and .020 are a small dash apart.
        """
        set_text = with_fractions(text).replace(" ", NBSP)
        return f"minus{NBSP}{set_text[1:]}" if set_text.startswith("-") else set_text

    def reading_alone(self, text: str) -> str:
        """A reading without its unit, for a table whose heading gives it."""
        return self.reading(text).removesuffix(f"{NBSP}mm").removesuffix(f"{NBSP}in")

    def reading_value(self, value_mm: float, tool: ReadingTool) -> str:
        """Any reading, to one digit beyond the tool's division, in the card's units."""
        return self._all(value_mm, _reading_digits(tool))

    def fed_alone(self, text: str) -> str:
        """A feed without its unit, for a table whose heading gives it: '4 turns + 31 div' → '4 + 31'."""
        turns, in_turns, rest = text.partition(" turn")
        count = f"{turns}{rest.removeprefix('s') or ' + 0'}" if in_turns else text
        return self.reading_alone(count).removesuffix(f"{NBSP}div")

    def limits(self, low: str, high: str) -> str:
        """Two readings as the tool shows them, the unit once: '2.94 to 3.09 mm'; one where they are alike."""
        return self.reading(high) if low == high else f"{self.reading_alone(low)} to {self.reading(high)}"

    # ---- angles and tapers -----------------------------------------------------------------

    def angle(self, degrees: float) -> str:
        """Degrees, minutes, seconds."""
        return degrees_minutes_seconds(degrees)

    def angle_set(self, degrees: float) -> str:
        """An angle to be set on a scale of degrees: minutes and seconds only where it has any."""
        return self.angle(degrees).removesuffix("00″").removesuffix("00′")

    def degrees(self, degrees: float) -> str:
        """Decimal degrees."""
        return f"{decimal(degrees, 4)}°"

    def arcsec(self, seconds: float) -> str:
        """Seconds of arc; from two minutes on, minutes and seconds."""
        if abs(seconds) < 120:
            return f"{decimal(seconds, 0 if abs(seconds) >= 10 else 1)}″"
        minutes, rest = divmod(round(abs(seconds)), 60)
        return f"{'−' if seconds < 0 else ''}{minutes}′{rest:02d}″"

    def ratio(self, ratio_1_to: float) -> str:
        """Taper ratio 1 : x."""
        return f"1{NBSP}:{NBSP}{plain_number(ratio_1_to, 4)}"

    def per_foot(self, value: float) -> str:
        """Taper per foot."""
        return f"{inch_decimal(value, 5)}{NBSP}in/ft"

    def mm_per_m(self, value: float) -> str:
        """Taper in mm on the metre."""
        return f"{decimal(value, 3)}{NBSP}mm/m"

    def per_cent(self, value: float) -> str:
        """Taper in per cent."""
        return f"{decimal(value, 4)}{NBSP}%"

    # ---- speeds, times, counts ----------------------------------------------------------------

    def wheel_speed(self, metres_per_second: float) -> str:
        """Surface speed of the wheel."""
        feet = metres_per_second / FOOT_M * 60
        return self._either(speed_text(metres_per_second).replace(" ", NBSP), f"{round(feet)}{NBSP}ft/min")

    def work_speed(self, metres_per_minute: float) -> str:
        """Surface speed of the work."""
        feet = metres_per_minute / FOOT_M
        return self._either(f"{decimal(metres_per_minute, 1)}{NBSP}m/min", f"{round(feet)}{NBSP}ft/min")

    def feed(self, mm_per_minute: float) -> str:
        """Traverse."""
        inches = mm_per_minute / INCH
        places = 1 if inches < 20 else 0
        return self._either(
            f"{decimal(mm_per_minute, 0)}{NBSP}mm/min", f"{inch_decimal(inches, places)}{NBSP}in/min"
        )

    def warmer(self, kelvin: float) -> str:
        """A difference of temperature."""
        return self._either(f"{plain_number(kelvin, 1)}{NBSP}°C", f"{plain_number(kelvin * 1.8, 1)}{NBSP}°F")

    def rpm(self, value: float) -> str:
        """Revolutions a minute."""
        return rpm_text(value).replace(" ", NBSP)

    def divisions(self, value: float) -> str:
        """Divisions of a handwheel or a screw, to the quarter that can be set between two lines."""
        return plain_number(round(value * 4) / 4, 2)

    def time(self, seconds: float) -> str:
        """A time, rounded up."""
        return duration(seconds)

    def number(self, value: float, digits: int = 2) -> str:
        """A plain number."""
        return plain_number(value, digits)

    def count(self, value: float) -> str:
        """A whole number with a true minus sign."""
        return decimal(value, 0)

    def ordinal(self, value: int) -> str:
        """1st, 2nd, 3rd, 4th …"""
        last = value % 10 if value % 100 not in (11, 12, 13) else 0
        return f"{value}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(last, 'th') }"

    def scale_value(self, scale: ScaleSetting) -> str:
        """What a swivel scale should show exactly."""
        text = on_scale(scale.exact, scale.unit)
        return text if scale.unit == "deg" else f"{text}{NBSP}{scale.unit}"

    def half_angles(self, scale: ScaleSetting) -> int:
        """How many half angles a scale of angles shows: 2 on one of included angles; 0 on one of tapers."""
        facts = terms.scale(scale.shows)
        return facts.half_angles if isinstance(facts, terms.ScaleOfAngle) else 0

    def travel_round(self, value_mm: float) -> str:
        """A round travel of the table: 100 mm, 4 in."""
        metric, inch = plain_number(value_mm, 1), plain_number(value_mm / INCH, 2)
        return f"{metric}{NBSP}mm" if self.leading == "mm" else f"{inch}{NBSP}in"

    def percent_of(self, fraction: float) -> str:
        """A fraction as whole per cent."""
        return f"{round(fraction * 100)}{NBSP}%"

    def text(self, text: str) -> str:
        """A text of the spec, its common fractions to be set as fractions."""
        return with_fractions(text)

    def _either(self, metric: str, inch: str) -> str:
        return {"metric": metric, "inch": inch, "both": f"{metric} ({inch})"}[self.units]


def _whole_steps(value_mm: float, digits: Digits, system: System, whole: Callable[[float], int]) -> str:
    """A length in whole steps of its last digit, to the side that `whole` takes it to, with its unit."""
    places, unit_mm = (digits.mm, 1.0) if system == "mm" else (digits.inch, INCH)
    noise = 1e-6 if whole is math.floor else -1e-6  # what is a whole step but for arithmetic stays one
    steps = whole(value_mm / unit_mm * 10**places + noise)
    write = decimal if system == "mm" else inch_decimal
    return f"{write(steps / 10**places, places)}{NBSP}{system}"


def _deviation(signs: str, allowance_mm: float, system: System) -> str:
    """An allowance with its sign; the other one where the written basic size lies beyond the limit."""
    text = _allowance_down(allowance_mm, system)
    return signs[1] + text[1:] if text.startswith("−") else signs[0] + text


def _allowance_down(value_mm: float, system: System) -> str:
    """An allowance rounded down: to the digits of the diameter, or one more where those take off much."""
    unit_mm = 1.0 if system == "mm" else INCH
    for digits in (DIAMETER, FINE):
        text = _whole_steps(value_mm, digits, system, math.floor).partition(NBSP)[0]
        if value_mm - float(text.replace("−", "-")) * unit_mm <= COARSE * abs(value_mm):
            break
    return text if text.strip("−.0") else "0"


def _beside(shown: Iterable[str]) -> str:
    first, *others = shown
    return f"{first} ({others[0]})" if others else first


def _reading_digits(tool: ReadingTool) -> Digits:
    """One digit beyond the tool's own, in both systems."""
    inches = tool.division_mm / INCH
    own_mm = (
        decimals_of(tool.division_mm)
        if tool.unit == "mm"
        else max(1, math.ceil(-math.log10(tool.division_mm)))
    )
    own_inch = (
        decimals_of(inches) if tool.unit == "in" and not tool.denominator else math.ceil(-math.log10(inches))
    )
    return Digits(min(3, own_mm + 1), min(4, own_inch + 1))
