"""The reversing dogs: where the wheel turns back at both ends, and how far the table travels between.

Not to scale: the figures count from the wheel's own edges, solid where it stands at the shoulder (a hole:
the inner end), dashed where it stands at the open end.
"""

from collections.abc import Sequence

from cardgen.card.values import Card
from cardgen.paper.panels.panel import Panel
from cardgen.paper.press.page import Looks
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typesetting import text_width
from cardgen.paper.words.figures import Figures

LOW, WHEEL = 3.2, 5.0  # mm: height of the wheel, the least and the usual
DROP, AIR = 2.5, 0.8  # mm: of the slope below it, air about figures
HEAD = 1.8  # mm, an arrow's
OUTSIDE = 5.0  # mm of arrow outside a narrow dimension
PAST, SHORT = 5.0, 3.0  # mm on paper that the wheel goes past an open end, and stays short of a shoulder


def _least(card: Card, width: float, looks: Looks) -> float:
    return 0.0 if card.stroke.plunge else _besides(looks) + LOW


def _wish(card: Card, width: float, looks: Looks) -> float:
    return 0.0 if card.stroke.plunge else _besides(looks) + WHEEL


def _besides(looks: Looks) -> float:
    """What is not the wheel: two lines of figures, and the slope."""
    return 2 * looks.hand.line + 1.4 + DROP + 2 * AIR


def _draw(pen: Pen, card: Card, width: float, height: float, looks: Looks) -> None:
    if card.stroke.plunge:
        return
    word = looks.words.label
    at_stop, past_open = _figures(card, looks)
    past = card.stroke.open_both_ends
    large = max(text_width(at_stop, looks.hand) / 2, OUTSIDE) + PAST  # x of the ground surface's ends
    small = width - max(text_width(past_open, looks.hand) / 2, OUTSIDE) - PAST
    wheel = 0.36 * (small - large)
    first = large - PAST if past else large + SHORT  # left edge of the wheel at either end of its travel
    last = small + PAST - wheel
    arrows = looks.hand.line + AIR
    top = arrows + 1.4
    tall = min(WHEEL, height - _besides(looks))
    floor = top + tall
    _draw_work(pen, large, small, floor, past, looks)
    pen.rectangle(first, top, wheel, tall, looks.outline, fill=looks.tint)
    pen.rectangle(last, top, wheel, tall, looks.outline, dash=(1.0, 0.7))
    pen.text(
        first + wheel / 2,
        top + tall / 2 + looks.label.cap / 2,
        word("pictures", "wheel"),
        looks.label,
        "centre",
    )
    for ends, text in (((large, first), at_stop), ((small, last + wheel), past_open)):
        _dimension(pen, sorted(ends), arrows, floor, looks)
        pen.text(sum(ends) / 2, looks.hand.cap + 0.4, text, looks.hand, "centre")
    _draw_travel(pen, card, floor + DROP + AIR + looks.hand.line / 2, width, looks)


def _draw_travel(pen: Pen, card: Card, y: float, width: float, looks: Looks) -> None:
    """Between the names of the two ends, how far the table goes; arrows where there is room for them."""
    word, style = looks.words.label, looks.label
    stop, open_end = word("pictures", "stop_end"), word("pictures", "open_end")
    left, right = text_width(stop, style) + 1.0, width - text_width(open_end, style) - 1.0
    pen.text(0, y + style.cap / 2, stop, style)
    pen.text(width, y + style.cap / 2, open_end, style, "right")
    travel = f"{word('pictures', 'travel')} {_figures_of(looks).length_down(card.stroke.travel_mm)}"
    half, middle = text_width(travel, looks.hand) / 2, (left + right) / 2
    pen.text(middle, y + looks.hand.cap / 2, travel, looks.hand, "centre")
    for start, end in ((middle - half - 1.0, left), (middle + half + 1.0, right)):
        if abs(end - start) > 1.5 * HEAD and (end - start) * (end - middle) > 0:
            pen.arrow(start, y, end, y, 0.3, HEAD)


def _figures(card: Card, looks: Looks) -> tuple[str, str]:
    """The wheel's edge from the shoulder (or past it, where nothing stands there), and past the open end."""
    figures, stroke = _figures_of(looks), card.stroke
    if stroke.open_both_ends:
        stop = figures.length_down(stroke.overrun_shoulder_mm)
    elif stroke.clearance_mm is not None:
        stop = figures.length_up(stroke.clearance_mm)
    else:
        stop = figures.length(stroke.reverse_at_shoulder_mm or 0.0)
    return stop, figures.length_down(stroke.overrun_open_mm)


def _figures_of(looks: Looks) -> Figures:
    """The wheel's way is told in the leading system alone."""
    return Figures("metric" if looks.figures.leading == "mm" else "inch")


def _draw_work(pen: Pen, large: float, small: float, floor: float, past: bool, looks: Looks) -> None:
    """The ground surface falling away from the wheel, and the shoulder or bottom where one stands."""
    low = floor + DROP
    pen.polyline(((large, floor), (small, low)), 2 * looks.outline)
    pen.line(small, low, small, low + 1.0, looks.outline)
    if past:
        pen.line(large, floor, large, low, looks.outline)
        return
    corner: Sequence[tuple[float, float]] = ((large - 6.0, floor - LOW), (large, floor - LOW), (large, floor))
    pen.polyline(corner, looks.outline)


def _dimension(pen: Pen, ends: Sequence[float], y: float, floor: float, looks: Looks) -> None:
    """Two arrows from outside upon a narrow gap, with its extension lines."""
    left, right = ends
    for x in (left, right):
        pen.line(x, y - 1.5, x, floor, looks.rule)
    pen.arrow(left - OUTSIDE, y, left, y, 0.3, HEAD)
    pen.arrow(right + OUTSIDE, y, right, y, 0.3, HEAD)


PANEL = Panel(_least, _draw, wish=_wish)
