"""A page of pictures of rehearsed batches: how they came out, each piece and its limits, what matters."""

from collections.abc import Sequence
from dataclasses import dataclass

from cardgen.paper.press.document import Drawing, Surface
from cardgen.paper.press.page import paper_format
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typesetting import TextStyle

TITLE, HEAD = TextStyle(16.0, bold=True), TextStyle(11.0, bold=True)
BODY, STRONG, SMALL = TextStyle(9.0), TextStyle(9.0, bold=True), TextStyle(8.0)
GREY, PALE, BLACK = 0.55, 0.93, 0.0
TALL, COLUMNS, BEYOND = 62.0, 60, 0.25  # mm of a picture; columns of it; how far beyond the limits it goes
GUTTER, ROW, GAP = 12.0, 5.2, 9.0  # mm between two pictures, from row to row, from block to block
NAMES, FIGURES = 74.0, 58.0  # mm for the names left of the bars, and for the figures right of them


@dataclass(frozen=True)
class Spread:
    """What was measured of every piece, in the unit that is shown, between which limits."""

    name: str
    unit: str
    measured: Sequence[float]
    limits: tuple[float, float]
    less: str  # what lies below the limits, and above them
    more: str


@dataclass(frozen=True)
class Worked:
    """Batches worked with one thing otherwise: how far their sizes spread, what is lost and ground again."""

    name: str
    spread: float  # two standard deviations of the size, in the unit shown
    lost: float  # % of the pieces
    again: float


@dataclass(frozen=True)
class Comparison:
    """What was changed, ranked, beside the very same batches as they are."""

    head: str
    changed: Sequence[Worked]


def rehearsal_page(
    title: str,
    told: str,
    outcome: Sequence[tuple[str, str, str]],
    spreads: Sequence[Spread],
    as_it_is: Worked,
    comparisons: Sequence[Comparison],
    notes: Sequence[str],
) -> Drawing:
    """The page: the outcome in figures, a picture for each spread, bars for what was changed, notes."""
    made = paper_format("A4")
    surface = Surface(made.width, made.height)
    pen, width = Pen(surface).at(made.margin, made.margin), made.width - 2 * made.margin
    pen.text(0, 6, title, TITLE)
    pen.text(0, 12, told, BODY)
    down = 17.0
    down += _draw_outcome(pen.at(0, down), outcome, width) + GAP
    wide = (width - GUTTER * (len(spreads) - 1)) / len(spreads)
    for number, spread in enumerate(spreads):
        _draw_spread(pen.at(number * (wide + GUTTER), down), spread, wide)
    down += TALL + 20 + GAP / 2
    longest = max(1e-9, as_it_is.spread, *(each.spread for one in comparisons for each in one.changed))
    for comparison in comparisons:
        pen.text(0, down + 4, comparison.head, HEAD)
        rows = (as_it_is, *comparison.changed)
        down += _draw_rows(pen.at(0, down), rows, longest, spreads[0].unit, width) + GAP
    for note in notes:
        down += pen.paragraph(0, down - GAP / 2, width, note, SMALL) + 0.8
    return Drawing((surface,), title, "rehearsal")


def _draw_outcome(pen: Pen, rows: Sequence[tuple[str, str, str]], width: float) -> float:
    """Rows of a name, a figure and how sure it is, in two columns; returns the height taken."""
    half, wide = (len(rows) + 1) // 2, (width - GUTTER) / 2
    for number, (name, figure, sure) in enumerate(rows):
        column, line = divmod(number, half)
        x, y = column * (wide + GUTTER), ROW * line
        if line % 2 == 0:
            pen.rectangle(x, y, wide, ROW, 0.0, PALE)
        pen.text(x + 1, y + 3.7, name, BODY)
        pen.text(x + wide - 36, y + 3.7, figure, STRONG, "right")
        pen.text(x + wide - 1, y + 3.7, sure, SMALL, "right")
    return half * ROW


def _draw_spread(pen: Pen, spread: Spread, width: float) -> None:
    """How many pieces came out how large: a column each, the limits as lines, what lies beyond in black."""
    low, high = spread.limits
    pen.text(0, 4, spread.name, HEAD)
    if high - low == float("inf"):
        pen.text(0, 12, "no tolerance is stated", BODY)
        return
    start, across = low - BEYOND * (high - low), (1 + 2 * BEYOND) * (high - low)
    counts = [0] * COLUMNS
    for figure in spread.measured:
        counts[min(COLUMNS - 1, max(0, int((figure - start) / across * COLUMNS)))] += 1
    most, one, foot = max(1, *counts), width / COLUMNS, 11 + TALL
    pen.rectangle((low - start) / across * width, 11, (high - low) / across * width, TALL, 0.0, PALE)
    for number, count in enumerate(counts):
        middle = start + (number + 0.5) / COLUMNS * across
        height = TALL * count / most
        if count:
            grey = GREY if low <= middle <= high else BLACK
            pen.rectangle(number * one, foot - height, 0.9 * one, max(height, 0.4), 0.0, grey)
    pen.line(0, foot, width, foot, 0.3)
    outside = (
        f"{sum(figure < low for figure in spread.measured)} {spread.less}",
        f"{sum(figure > high for figure in spread.measured)} {spread.more}",
    )
    pen.text(0, 9, outside[0], SMALL)
    pen.text(width, 9, outside[1], SMALL, "right")
    for place in (low, low / 2 + high / 2, high):
        x, aim = (place - start) / across * width, low < place < high
        pen.line(x, 11, x, foot + 1.5, 0.2 if aim else 0.5, (1.0, 1.0) if aim else ())
        shown = f"{place:+.1f}".replace("-", "−") if abs(place) >= 0.05 else "0"
        pen.text(x, foot + 5, shown if aim else f"{shown} {spread.unit}", BODY, "centre")


def _draw_rows(pen: Pen, rows: Sequence[Worked], longest: float, unit: str, width: float) -> float:
    """Bars of how far sizes spread, the batches as they are first and dashed; returns the height taken."""
    columns = (width - FIGURES + 24, width - 19, width - 1)
    for x, words in zip(columns, (f"size ± {unit}", "lost %", "again %"), strict=True):
        pen.text(x, 4, words, SMALL, "right")
    long, top = width - NAMES - FIGURES, 6.0
    for number, row in enumerate(rows):
        y, style = top + number * ROW, BODY if number else STRONG
        pen.text(0, y + 3.7, row.name, style)
        bar = max(0.2, long * row.spread / longest)
        pen.rectangle(NAMES, y + 1.0, bar, ROW - 2.0, 0.0, GREY if number else BLACK)
        figures = f"{row.spread:.1f}", f"{row.lost:.2f}", f"{row.again:.1f}"
        for x, figure in zip(columns, figures, strict=True):
            pen.text(x, y + 3.7, figure, style, "right")
    mark, foot = NAMES + long * rows[0].spread / longest, top + len(rows) * ROW
    pen.line(mark, top, mark, foot, 0.25, (1.0, 1.0))
    return foot
