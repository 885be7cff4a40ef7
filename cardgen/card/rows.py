"""Which rows a table gets: readings on the tool's own divisions, no more of them than there is room for."""

from collections.abc import Iterator
from itertools import count as counted

from cardgen.card.bench_values import Handwheel, ReadingTool
from cardgen.compute.infeed import whole_turns
from cardgen.compute.reading import whole_down, whole_up
from cardgen.digits import decimal, decimals_of, inch_decimal, plain_fraction
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


def feed_text(divisions: int, wheel: Handwheel) -> str:
    """A feed as the hand counts it: '66 div', '4 turns + 31 div', '1 turn'; by a readout '0.165 mm'.

    Divisions of a readout are its steps, so a feed rounded down to them, or a position rounded up, is the
    very figure that it shows.
    """
    if wheel.readout:
        step = wheel.division_mm / MM[wheel.readout]
        write = decimal if wheel.readout == "mm" else inch_decimal
        return f"{write(divisions * step, decimals_of(step))} {wheel.readout}"
    if wheel.turn_divisions is None or abs(divisions) < wheel.turn_divisions:
        return f"{decimal(divisions, 0)} div"
    turns, rest = whole_turns(abs(divisions), wheel.turn_divisions)
    words = f"{'−' if divisions < 0 else ''}{turns} turn{'' if turns == 1 else 's'}"
    return f"{words} + {rest} div" if rest else words
