"""Numbers become text: the one place where digits and signs are chosen, for paper, values and messages.

Metric figures have a leading zero (0.117 mm); inch figures have none (.0046 in), as drawings write
them (ASME Y14.5). A minus is a true minus sign (U+2212); a number and its unit are held together by a
no-break space; common fractions carry the fraction slash (7⁄32), which the pen sets as a fraction.
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal
from fractions import Fraction
from functools import lru_cache
from typing import assert_never

from cardgen.terms import INCH, ScaleUnit, System, Units

NBSP = "\u00a0"

_INCH_NOUGHT = re.compile(r"(?<![\d.])0(?=\.\d+[ \u00a0]?in\b)")
_FRACTION = re.compile(
    r"(?<![\d.:/])(?:(\d+) )?(\d+)/((?!1\b)[1-9]\d*)(?![\d./])"
)  # a pin of size 7/0 is none


@dataclass(frozen=True)
class Digits:
    """Decimal places of a kind of length in millimetres and in inches."""

    mm: int
    inch: int


DIAMETER = Digits(3, 4)
STOCK = Digits(3, 4)
TRAVEL = Digits(3, 4)  # of the cross-feed
FINE = Digits(4, 5)  # errors and left-overs below a thousandth
SLIP = Digits(3, 4)
LENGTH = Digits(1, 3)  # strokes, overruns, lengths of gauges
COARSE = 0.02  # of a small figure: rounding that changes it by more takes a further digit
KINDS: Mapping[str, Digits] = {
    "size": DIAMETER,
    "stock": STOCK,
    "fine": FINE,
    "slip": SLIP,
    "length": LENGTH,
    "travel": TRAVEL,
}

# Half way goes away from nought. Sums in floating point end about a billionth of a last digit beside the
# true figure, so what lies that near to half way is half way: such figures come of round ratios.
NEAR_HALF = Decimal("1e-9")  # of the last digit
OF_ITSELF = Decimal("4e-15")  # what a float of many digits may be out by
FEW_DIGITS, FAR_FROM_HALF = 1e8, 1e-6  # where a float's own rounding, 1e-8 of a digit, decides nothing


@lru_cache(maxsize=65536)
def in_last_digits(value: float, digits: int) -> int:
    """A number as a whole count of its last digit: 2.86 mm to 1 digit is 29 tenths."""
    roughly = abs(value) * 10**digits
    if roughly < FEW_DIGITS and abs(roughly % 1 - 0.5) > FAR_FROM_HALF:
        return round(math.copysign(roughly, value))
    scaled = Decimal(value).scaleb(digits)
    size = abs(scaled)
    count = int((size + size * OF_ITSELF + NEAR_HALF + Decimal("0.5")).to_integral_value(ROUND_FLOOR))
    return -count if scaled < 0 else count


def decimal(value: float, digits: int) -> str:
    """A number with this many decimals, a leading zero, and a true minus sign."""
    count = in_last_digits(value, digits)
    text = f"{abs(count):0{digits + 1}d}"
    text = f"{text[:-digits]}.{text[-digits:]}" if digits else text
    return "−" + text if count < 0 else text


def inch_decimal(value_in: float, digits: int) -> str:
    """A number of inches without leading zero, as drawings write it."""
    text = decimal(value_in, digits)
    if text.startswith("0."):
        return text[1:]
    return "−" + text[2:] if text.startswith("−0.") else text


def signed(text: str) -> str:
    """A figure with its sign always shown; nought has none."""
    if text.startswith("−") or not text.strip("0."):
        return text
    return "+" + text


def in_system(value_mm: float, digits: Digits, system: System) -> str:
    """A length given in mm, in one system, without its unit.

    What is something in millimetres is not nothing in inches: 0.001 mm is .00004 in.
    """
    if system == "mm":
        return decimal(value_mm, digits.mm)
    vanishes = in_last_digits(value_mm, digits.mm) and not in_last_digits(value_mm / INCH, digits.inch)
    return inch_decimal(value_mm / INCH, digits.inch + bool(vanishes))


def inch_plain(value_in: float, digits: int) -> str:
    """A number of inches with at most so many decimals, none that say nothing: 1.25, .5, 0."""
    text = inch_decimal(value_in, digits)
    return text.rstrip("0").rstrip(".") or "0"


def with_fractions(text: str) -> str:
    """A text as drawings write it: '1 3/16' to be set as a fraction, '0.0005 in' without its nought.

    Ratios (7:24) are left alone.
    """

    def fraction(found: re.Match[str]) -> str:
        whole = found[1] + NBSP if found[1] else ""
        return f"{whole}{found[2]}⁄{found[3]}"

    if "/" in text:
        text = _FRACTION.sub(fraction, text)
    return _INCH_NOUGHT.sub("", text) if "0." in text else text


def plain_fraction(count: int, denominator: int) -> str:
    """So many of a common part, reduced, as it is typed: '1 7/32', '-3/4', '2'."""
    sign = "-" if count < 0 else ""
    whole, rest = divmod(abs(count), denominator)
    if not rest:
        return f"{sign}{whole}"
    shared = math.gcd(rest, denominator)
    fraction = f"{rest // shared}/{denominator // shared}"
    return f"{sign}{whole} {fraction}" if whole else f"{sign}{fraction}"


def common_fraction(value_in: float, denominator: int) -> str:
    """Inches to the nearest 1/denominator as a reduced common fraction, to be set: '1 7⁄32'."""
    text = plain_fraction(round(value_in * denominator), denominator)
    return with_fractions(text).replace("-", "−")


def degrees_minutes_seconds(degrees: float) -> str:
    """An angle as 7°07′30″, to the nearest second."""
    seconds = in_last_digits(degrees * 3600, 0)
    whole, rest = divmod(abs(seconds), 3600)
    return f"{'−' if seconds < 0 else ''}{whole}°{rest // 60:02d}′{rest % 60:02d}″"


def on_scale(value: float, unit: ScaleUnit) -> str:
    """What a swivel's scale must show, without its unit (an angle has its marks)."""
    match unit:
        case "deg":
            return degrees_minutes_seconds(value)
        case "in/ft":
            return inch_decimal(value, 5)
        case "mm/m":
            return decimal(value, 3)
        case "%":
            return decimal(value, 4)
        case _:
            assert_never(unit)


def engraved_mark(mark: float, unit: ScaleUnit, fractions: bool) -> str:
    """A mark as the scale is engraved: '3°30′', '5/8 in/ft' (where it has fractions), '12.5 %'."""
    if unit == "deg":
        degrees, minutes = divmod(round(mark * 60, 6), 60)
        return f"{degrees:.0f}°{minutes:02.0f}′" if minutes == round(minutes) else f"{mark:.3f}°"
    if fractions:
        return f"{plain_fraction(*Fraction(mark).limit_denominator(128).as_integer_ratio())} {unit}"
    return f"{round(mark, 6):g} {unit}"


@lru_cache(maxsize=256)  # the tools of a shop have few
def decimals_of(division: float) -> int:
    """Decimal places that show every division: 0.5 → 1, 0.02 → 2, .001 → 3, 0.0025 → 4."""
    for digits in range(6):
        scaled = division * 10**digits
        if abs(scaled - round(scaled)) < 1e-6 * max(1.0, scaled) and round(scaled) > 0:
            return digits
    return 6


def duration(seconds: float) -> str:
    """A time as a person says it, rounded up: 45 s, 4 min 10 s, 2 h 35 min."""
    whole = math.ceil(seconds - 1e-9)
    if whole < 60:
        return f"{whole}{NBSP}s"
    if whole < 3600:
        minutes, rest = divmod(whole, 60)
        return f"{minutes}{NBSP}min" + (f" {rest}{NBSP}s" if rest else "")
    hours, minutes = divmod(math.ceil(whole / 60), 60)
    return f"{hours}{NBSP}h" + (f" {minutes}{NBSP}min" if minutes else "")


def plain_number(value: float, digits: int) -> str:
    """A number with at most so many decimals, none that say nothing: 2, 2.5, 0.25."""
    text = decimal(value, digits)
    return text.rstrip("0").rstrip(".") if "." in text else text


def angle_text(degrees: float) -> str:
    """An angle of the machine for a message: '3.576°', '10°'."""
    return f"{plain_number(degrees, 3)}°"


def rpm_text(rpm: float) -> str:
    """Revolutions a minute, for a message."""
    return f"{plain_number(rpm, 0)} rpm"


def speed_text(metres_per_second: float) -> str:
    """Surface speed of a wheel, for a message."""
    return f"{decimal(metres_per_second, 1)} m/s"


def length_text(value_mm: float, units: Units) -> str:
    """'3.016 mm', or '.1187 in' without the leading zero, as drawings write inches: for a message.

    A small one has the digits it needs: a division of 0.0025 mm is neither 0.003 mm nor 0.002 mm.
    """
    if units != "inch":
        return f"{_needed(value_mm, 3)} mm"
    text = _needed(value_mm / INCH, 4)
    return f"{text.replace('0.', '.', 1) if text.lstrip('-').startswith('0.') else text} in"


def _needed(value: float, digits: int) -> str:
    """A number with so many decimals, or up to two more where fewer would make another number of it."""
    for places in (digits, digits + 1, digits + 2):
        if abs(round(value, places) - value) <= COARSE * abs(value):
            return f"{value:.{places}f}"
    return f"{value:.{digits}f}"  # so little is what arithmetic leaves of nought


def small_text(value_mm: float, units: Units) -> str:
    """A small difference, without its sign: '2.4 µm', or '0.9 tenths of a thou'."""
    if units != "inch":
        return f"{abs(value_mm) * 1000:.1f} µm"
    return f"{abs(value_mm) / INCH * 1e4:.1f} tenths of a thou"


def small_down_text(value_mm: float, units: Units) -> str:
    """The same for what may be no more than this: rounded down."""
    unit, name = (INCH * 1e-4, "tenths of a thou") if units == "inch" else (0.001, "µm")
    digits = 1 if value_mm >= unit / 10 else 3
    return f"{math.floor(value_mm / unit * 10**digits + 1e-9) / 10**digits:.{digits}f} {name}"
