"""Which rows a table gets: readings on the tool's own divisions, no more of them than there is room for."""

from collections.abc import Iterator
from itertools import count as counted

from cardgen.card.values import ReadingTool
from cardgen.compute.reading import whole_down, whole_up
from cardgen.digits import decimals_of, plain_fraction
from cardgen.terms import MM

LEAST_ROWS = 3  # both ends, and nought between them: so many there are at any step


def readings_between(
    first_mm: float, last_mm: float, tool: ReadingTool, at_most: int
) -> tuple[int, tuple[float, ...]]:
    """The step in divisions, and the readings on whole steps from just outside one end to the other.

    Both ends are covered: the first and the last row lie on or beyond them.
    """
    low, high = min(first_mm, last_mm), max(first_mm, last_mm)
    for step in _steps(tool):
        start = whole_down(low / (tool.division_mm * step))
        end = whole_up(high / (tool.division_mm * step))
        if end - start + 1 <= max(at_most, LEAST_ROWS):
            break
    rising = tuple(place * step * tool.division_mm for place in range(start, end + 1))
    return step, rising if first_mm <= last_mm else rising[::-1]


def _steps(tool: ReadingTool) -> Iterator[int]:
    """How many divisions from row to row, to take the first that fits.

    A rule in fractions of an inch is halved and halved again, so its rows go by twos; a decimal scale goes
    by one, two and five.
    """
    for exponent in counted():
        yield from (2**exponent,) if tool.denominator else (10**exponent * step for step in (1, 2, 5))


def on_division(reading_mm: float, tool: ReadingTool) -> bool:
    """Whether the tool has a division at this reading."""
    count = reading_mm / tool.division_mm
    return abs(count - round(count)) < 1e-6


def reading_text(reading_mm: float, tool: ReadingTool) -> str:
    """A reading as the tool shows it: '1 5/64 in', '3.50 mm'; one digit more where it is off a division."""
    shown = on_division(reading_mm, tool)
    if tool.denominator and shown:
        return f"{plain_fraction(round(reading_mm / tool.division_mm), tool.denominator)} {tool.unit}"
    value = reading_mm / MM[tool.unit]
    digits = _decimals(tool) + (0 if shown else 1)
    text = f"{value:.{digits}f}"
    return f"{text.lstrip('-') if not float(text) else text} {tool.unit}"


def _decimals(tool: ReadingTool) -> int:
    if tool.denominator:
        return 3  # thousandths: enough beside a rule in fractions
    return decimals_of(tool.division_mm / MM[tool.unit])
