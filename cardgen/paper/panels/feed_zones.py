"""The strip between readings and stocks: zones by hatching and words, limits by heavy lines."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import inf

from cardgen.card.values import Card, StockRow
from cardgen.paper.panels.feed_rows import Block
from cardgen.paper.pictures.zones import Zone, hatching, zones
from cardgen.paper.press.page import Looks
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typesetting import text_width

TO_BASE = 0.42  # of the letters' height: from the middle of a word with tails to its line


@dataclass(frozen=True)
class Places:
    """Where the columns stand (mm): right edges of figures, and the strip of zones between."""

    reading: float
    strip_left: float
    strip_right: float
    stocks: tuple[float, ...]
    heavy: float


def draw_zones(
    pen: Pen,
    card: Card,
    block: Block,
    rows: Sequence[StockRow],
    centres: Sequence[float],
    ends: tuple[float, float],
    places: Places,
    looks: Looks,
) -> None:
    """The zones of the rows, each from its own stock down to the next zone's."""
    if not rows:
        return
    at = _between([row.stock_mm for row in rows], centres, ends)
    top, bottom = ends
    if block.halt:
        bottom = centres[-1]
    for zone in _merged(zones(card), block):
        upper, lower = max(top, at(zone.high)), min(bottom, at(zone.low))
        if lower - upper > 0.05:
            _draw_zone(pen, zone, upper, lower, places, looks)
    pen.rectangle(places.strip_left, top, places.strip_right - places.strip_left, bottom - top, looks.outline)


def _between(
    stocks: Sequence[float], centres: Sequence[float], ends: tuple[float, float]
) -> Callable[[float], float]:
    """Where a stock stands among the rows: on a row's centre, or on the line between two."""
    known = [*zip(stocks, centres, strict=True)]

    def at(stock: float) -> float:
        if stock > known[0][0] + 1e-9:
            return ends[0]
        for (above, y), (below, lower) in pairwise(known):
            if stock >= below - 1e-9:
                share = (above - stock) / (above - below) if above > below else 0.0
                return y + min(1.0, max(0.0, share)) * (lower - y)
        return ends[1]

    return at


def _merged(found: Sequence[Zone], block: Block) -> Sequence[Zone]:
    """The zones of a block: once a piece is being finished, what roughing left more is finished off too."""
    if block.name == "rough":
        return found
    finishing = next((zone for zone in found if zone.name == "finishing"), None)
    if finishing is None:
        return found
    return (replace(finishing, high=inf), *(zone for zone in found if zone.high <= finishing.low))


def _draw_zone(pen: Pen, zone: Zone, top: float, bottom: float, places: Places, looks: Looks) -> None:
    left, right = places.strip_left, places.strip_right
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    for spacing, angle in hatching(zone.name):
        pen.hatch(corners, spacing, angle, 0.13)
    pen.line(left, bottom, right, bottom, looks.rule)
    _draw_zone_word(pen, looks.words.label("feeds", f"zone_{zone.name.replace(' ', '_')}"), corners, looks)


def _draw_zone_word(pen: Pen, text: str, corners: Sequence[tuple[float, float]], looks: Looks) -> None:
    """The zone's word where it has room, upright where only that has."""
    style = looks.label.bolder()
    (left, top), (right, bottom) = corners[0], corners[2]
    wide, tall = text_width(text, style) + 1.0, 1.3 * style.cap + 0.6  # tails of letters too
    turned = wide > right - left
    across, down = (tall, wide) if turned else (wide, tall)
    if down > bottom - top or across > right - left:
        return
    middle, centre = (left + right) / 2, (top + bottom) / 2
    pen.rectangle(middle - across / 2, centre - down / 2, across, down, 0, 1.0)
    if turned:
        pen.text(middle + TO_BASE * style.cap, centre, text, style, "centre", 90.0)
    else:
        pen.text(middle, centre + TO_BASE * style.cap, text, style, "centre")


def draw_limit_zones(
    pen: Pen, edges: Sequence[float], ends: tuple[float, float], places: Places, looks: Looks
) -> None:
    """White between the limits, a heavy line at each and at the aim; hatched aside; black beyond."""
    left, right = places.strip_left, places.strip_right
    top, bottom = ends

    def box(upper: float, lower: float) -> tuple[tuple[float, float], ...]:
        return ((left, upper), (right, upper), (right, lower), (left, lower))

    for spacing, angle in hatching("finishing"):
        pen.hatch(box(top, edges[0]), spacing, angle, 0.13)
    if len(edges) > 3:
        for spacing, angle in hatching("set aside"):
            pen.hatch(box(edges[2], edges[3]), spacing, angle, 0.13)
    pen.polygon(box(edges[-1], bottom), 0, fill=0.0)
    if len(edges) > 2:
        for upper, lower in ((edges[0], edges[1]), (edges[1], edges[2])):
            _draw_zone_word(pen, looks.words.label("feeds", "zone_finished"), box(upper, lower), looks)
    for number, edge in enumerate(edges[:3]):
        pen.line(left, edge, right, edge, looks.heavy * (2 if number == 1 else 1))
    pen.rectangle(left, top, right - left, bottom - top, looks.outline)
