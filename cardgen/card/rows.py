"""Which rows a table gets: readings on the tool's own divisions, no more of them than there is room for."""

import math

from cardgen.card.values import ReadingTool
from cardgen.compute.reading import whole_down, whole_up
from cardgen.terms import INCH

MOST_DIGITS = 6  # decimals of a reading in words: a millionth is below what any tool shows

# How many divisions from row to row, the first that fits. A rule in fractions of an inch is halved and
# halved again, so its rows go by twos; a decimal scale goes by one, two and five.
_FRACTION_STEPS = (1, 2, 4, 8, 16, 32, 64)
_DECIMAL_STEPS = tuple(m * 10**e for e in range(7) for m in (1, 2, 5))


def readings_between(
    first_mm: float, last_mm: float, tool: ReadingTool, at_most: int
) -> tuple[int, tuple[float, ...]]:
    """The step in divisions, and the readings on whole steps from just outside one end to the other.

    Both ends are covered: the first and the last row lie on or beyond them.
    """
    low, high = min(first_mm, last_mm), max(first_mm, last_mm)
    steps = _FRACTION_STEPS if tool.denominator else _DECIMAL_STEPS
    for step in steps:
        start = whole_down(low / (tool.division_mm * step))
        end = whole_up(high / (tool.division_mm * step))
        if end - start + 1 <= at_most or step == steps[-1]:
            break
    rising = tuple(count * step * tool.division_mm for count in range(start, end + 1))
    return step, rising if first_mm <= last_mm else rising[::-1]


def on_division(reading_mm: float, tool: ReadingTool) -> bool:
    """Whether the tool has a division at this reading."""
    count = reading_mm / tool.division_mm
    return abs(count - round(count)) < 1e-6


def reading_text(reading_mm: float, tool: ReadingTool) -> str:
    """A reading as the tool shows it: '1 5/64 in', '3.50 mm'; one digit more where it is off a division."""
    shown = on_division(reading_mm, tool)
    if tool.denominator and shown:
        return f"{_fraction(round(reading_mm / tool.division_mm), tool.denominator)} {tool.unit}"
    value = reading_mm / INCH if tool.unit == "in" else reading_mm
    digits = _decimals(tool) + (0 if shown else 1)
    text = f"{value:.{digits}f}"
    return f"{text.lstrip('-') if not float(text) else text} {tool.unit}"


def _fraction(count: int, denominator: int) -> str:
    sign = "-" if count < 0 else ""
    whole, numerator = divmod(abs(count), denominator)
    if numerator == 0:
        return f"{sign}{whole}"
    common = math.gcd(numerator, denominator)
    part = f"{numerator // common}/{denominator // common}"
    return f"{sign}{whole} {part}" if whole else f"{sign}{part}"


def _decimals(tool: ReadingTool) -> int:
    if tool.denominator:
        return 3  # thousandths: enough beside a rule in fractions
    division = tool.division_mm / INCH if tool.unit == "in" else tool.division_mm
    exact = (
        digits
        for digits in range(MOST_DIGITS)
        if abs(division * 10**digits - round(division * 10**digits)) < 1e-6
    )
    return next(exact, MOST_DIGITS)  # an odd division is shown as near as anyone reads
