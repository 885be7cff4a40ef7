"""A page of pictures of a rehearsed batch: every piece against its limits, and the causes as ranked bars."""

from collections.abc import Sequence
from dataclasses import dataclass

from cardgen.paper.press.document import Surface, pdf_bytes
from cardgen.paper.press.page import paper_format
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typesetting import TextStyle

HEAD, BODY = TextStyle(13.0, bold=True), TextStyle(9.0)
TALL, COLUMNS, BEYOND = 62.0, 90, 0.25  # mm of a picture; columns of it; how far beyond the limits it goes
ROW, NAMES = 6.0, 62.0  # mm


@dataclass(frozen=True)
class Spread:
    """What was measured of every piece, mm, between which limits."""

    name: str
    measured: Sequence[float]
    limits: tuple[float, float]


def rehearsal_page(title: str, spreads: Sequence[Spread], causes: Sequence[tuple[str, float]]) -> bytes:
    """The PDF: a picture for each spread, then a bar for each cause that is switched off, the least first."""
    made = paper_format("A4")
    surface = Surface(made.width, made.height)
    pen, width = Pen(surface).at(made.margin, made.margin), made.width - 2 * made.margin
    pen.text(0, 6, title, HEAD)
    down = 16.0
    for spread in spreads:
        _draw_spread(pen.at(0, down), spread, width)
        down += TALL + 20
    pen.text(0, down, "Lost and ground again, % of the pieces, without each cause", HEAD)
    _draw_bars(pen.at(0, down + 4), causes, width)
    return pdf_bytes([surface], title=title, subject="rehearsal")


def _draw_spread(pen: Pen, spread: Spread, width: float) -> None:
    """How many pieces came out how large: a column each, the limits as lines, what lies beyond in black."""
    low, high = spread.limits
    pen.text(0, 0, spread.name, HEAD)
    if high - low == float("inf"):
        pen.text(0, 8, "no tolerance is stated", BODY)
        return
    start, across = low - BEYOND * (high - low), (1 + 2 * BEYOND) * (high - low)
    counts = [0] * COLUMNS
    for figure in spread.measured:
        counts[min(COLUMNS - 1, max(0, int((figure - start) / across * COLUMNS)))] += 1
    most, one = max(1, *counts), width / COLUMNS
    for number, count in enumerate(counts):
        middle = start + (number + 0.5) / COLUMNS * across
        height = TALL * count / most
        if count:
            grey = 0.6 if low <= middle <= high else 0.0
            pen.rectangle(number * one, 4 + TALL - height, 0.85 * one, max(height, 0.4), 0.0, grey)
    pen.line(0, 4 + TALL, width, 4 + TALL, 0.3)
    for limit in (low, 0.0, high):
        x = (limit - start) / across * width
        pen.line(x, 4, x, 6 + TALL, 0.4 if limit else 0.2, () if limit else (1.0, 1.0))
        pen.text(x, 10 + TALL, f"{1000 * limit:+.1f} µm" if limit else "0", BODY, "centre")


def _draw_bars(pen: Pen, causes: Sequence[tuple[str, float]], width: float) -> None:
    longest = max((share for _, share in causes), default=0.0) or 1.0
    for number, (name, share) in enumerate(causes):
        down = number * ROW
        pen.text(0, down + 4, name, BODY)
        pen.rectangle(NAMES, down + 1, max(0.2, (width - NAMES - 18) * share / longest), ROW - 2, 0.0, 0.5)
        pen.text(width, down + 4, f"{share:.2f}", BODY, "right")
