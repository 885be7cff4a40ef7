"""The booklet's figures worked out anew, at 50 digits, from the formulas of the theory.

Nothing here comes from the package: not the constants, not the rounding, not the writing of figures.
Lengths in mm, angles in radians unless a name says otherwise.
"""

from fractions import Fraction
from functools import cache

import mpmath
from mpmath import mpf

mpmath.mp.dps = 50
INCH = mpf("25.4")
TIE = mpf("1e-30")  # of the last digit: nearer to half way than this is half way, written away from nought
HALF = mpf("0.5") + TIE
ARCSEC = 180 * 3600 / mpmath.pi
MM = {"mm": mpf(1), "in": INCH}


@cache
def exact(number: str | Fraction | int) -> mpf:
    """'0.938', '3/16', '2 9/16', '.5' or a fraction, to 50 digits."""
    if isinstance(number, str):
        number = sum((Fraction(word) for word in number.split()), Fraction(0))
    return mpf(Fraction(number).numerator) / Fraction(number).denominator


def count_of(value: mpf, digits: int) -> int:
    """The value in its last digit, to the nearest."""
    size = mpmath.floor(abs(value) * 10**digits + HALF)
    return int(size) if value >= 0 else -int(size)


def fixed(value: mpf, digits: int, sign: bool = False) -> str:
    """With so many decimals; with `sign`, a plus is shown too."""
    count = count_of(value, digits)
    figures = str(abs(count)).zfill(digits + 1)
    text = figures[:-digits] + "." + figures[-digits:] if digits else figures
    return ("−" if count < 0 else "+" if sign and count else "") + text


def inches(value: mpf, digits: int, sign: bool = False) -> str:
    """Inches, or inches per foot: no nought before the point."""
    text = fixed(value, digits, sign)
    start = len(text) - len(text.lstrip("−+"))
    return text[:start] + text[start:].removeprefix("0") if text[start : start + 2] == "0." else text


def length(value: mpf, system: str, mm: int, inch: int) -> str:
    """A length in one of the systems."""
    return fixed(value, mm) if system == "mm" else inches(value / INCH, inch)


def short(value: mpf, digits: int) -> str:
    """Without decimals that say nothing."""
    text = fixed(value, digits)
    return text.rstrip("0").rstrip(".") if "." in text else text


def dms(angle: mpf) -> str:
    """Degrees, minutes and seconds, to the nearest second."""
    seconds = count_of(angle * ARCSEC, 0)
    return f"{seconds // 3600}°{seconds // 60 % 60:02d}′{seconds % 60:02d}″"


def degrees(angle: mpf, digits: int) -> str:
    return fixed(angle * 180 / mpmath.pi, digits)


def mixed(value: Fraction) -> str:
    """A common fraction: '2 9/16'."""
    whole, rest = divmod(value, 1)
    return f"{whole} {rest}" if whole and rest else str(rest if rest else whole)


def swing(kind: str, radius: mpf, angle: mpf) -> mpf:
    """Swing of the table at a radius: sine, tangent or chord type."""
    return {
        "sine": radius * mpmath.sin(angle),
        "tangent": radius * mpmath.tan(angle),
        "chord": 2 * radius * mpmath.sin(angle / 2),
    }[kind]


def angle_of_swing(kind: str, radius: mpf, height: mpf) -> mpf:
    return {
        "sine": lambda: mpmath.asin(height / radius),
        "tangent": lambda: mpmath.atan(height / radius),
        "chord": lambda: 2 * mpmath.asin(height / radius / 2),
    }[kind]()


def turn_for(ratio: mpf, error: mpf, over: mpf) -> mpf:
    """Growth of the half angle that puts right work too shallow by `error` over a length."""
    return mpmath.atan(ratio / 2) - mpmath.atan((ratio - error / over) / 2)


def over_rolls(roll: mpf, half_angle: mpf) -> mpf:
    """What two rolls on the plate add to the small end."""
    return roll * (1 + mpmath.cot((mpmath.pi / 2 - half_angle) / 2))


def sums_of(pieces: list[Fraction], unit: Fraction) -> int:
    """Every height a set makes, as bits: bit n is n units."""
    reached = 1
    for piece in pieces:
        count = piece / unit
        assert count.denominator == 1
        reached |= reached << int(count)
    return reached


def nearest_sum(reached: int, wanted: mpf, unit: Fraction) -> Fraction:
    """The height a set makes that lies nearest to the one wanted; of two the lower."""
    below = int(mpmath.floor(wanted / exact(unit)))
    low = (reached & ((1 << (below + 1)) - 1)).bit_length() - 1
    rest = reached >> (below + 1)
    high = below + (rest & -rest).bit_length() if rest else None
    choices = [count for count in (low, high) if count]
    return min(choices, key=lambda count: (abs(exact(unit) * count - wanted), count)) * unit
