"""The drawing: the taper in its gauge at the finish reading, to a standard scale, with its dimensions.

One half of the pair is cut and hatched (the ring; for a hole, the piece), the other is seen whole.
The reading's arrows stand above, between the very faces that the hand measures between, with the
finish reading large beside them; diameter at the gauge line, length, relief and taper below. What
finds no room at its leader is said in the caption.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from cardgen.card.values import Card
from cardgen.paper.panels.drawing_notes import (
    NOTE_AIR,
    Note,
    finish_text,
    note_style,
    notes,
    symbol_width,
)
from cardgen.paper.panels.panel import Panel
from cardgen.paper.pictures.scales import STANDARD_SCALES, Scale, detail_scale
from cardgen.paper.pictures.section import Point, Section, section
from cardgen.paper.pictures.spread import spread
from cardgen.paper.press.page import Looks, draw_heading, heading_height
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typeface import PaperError
from cardgen.paper.press.typesetting import paragraph_height, text_width, wrapped

# Height of the view as a fraction of the panel's width: the least in a column and over the whole paper's
# width, where a small card has room for little else; and the best.
LEAST_IN_COLUMN, LEAST_ACROSS, BEST_VIEW = 0.24, 0.31, 0.55
ACROSS = 0.8  # of the paper's width
SIDE_AIR = 3.0  # mm left and right of the view, for the centre line to run out
CLEAR_GAP = 1.2  # mm: a reading that is smaller on the paper gets a detail
DETAIL_WIDTH, DETAIL_HEIGHT = 20.0, 14.0
THIN = 0.15
HATCH = 1.2
CENTRE_LINE = (5.0, 0.9, 0.7, 0.9)  # long dash, dot (ISO 128-2, line type 04.1)


@dataclass(frozen=True)
class Arrangement:
    """What goes where: the view's scale and place, and the bands above and below it."""

    scale: Scale
    section: Section
    detail: Scale | None
    notes: tuple[Note, ...]
    caption: str
    axis: Point  # where the section's (0, 0) lies in the panel
    above: float  # y of the reading's dimension line
    below: float  # y of the length's dimension line
    notes_top: float
    caption_top: float
    height: float

    def at(self, point: Point) -> Point:
        """A place of the section on the paper."""
        return self.axis[0] + point[0] * self.scale.factor, self.axis[1] + point[1] * self.scale.factor


def _height(card: Card, width: float, looks: Looks) -> float:
    return _best(card, width, looks, _least_view(width, looks)).height


def _least_view(width: float, looks: Looks) -> float:
    across = width >= ACROSS * looks.format.width
    return max(20.0, (LEAST_ACROSS if across else LEAST_IN_COLUMN) * width)


def _wish(card: Card, width: float, looks: Looks) -> float:
    return _best(card, width, looks, max(24.0, BEST_VIEW * width)).height


def _best(card: Card, width: float, looks: Looks, view: float) -> Arrangement:
    """The largest standard scale at which the view fits `width` and is at most `view` mm tall."""
    for plan in _arrangements(card, width, looks):
        if 2 * plan.section.radius * plan.scale.factor <= view:
            return plan
    raise PaperError(f"no standard scale draws a taper of {card.taper.length_mm:g} mm on {width:g} mm")


def best_in(card: Card, width: float, looks: Looks, height: float) -> Arrangement:
    """The largest standard scale at which the whole panel is at most `height` mm tall."""
    for plan in _arrangements(card, width, looks):
        if plan.height <= height + 1e-6:
            return plan
    return _best(card, width, looks, _least_view(width, looks))


def _arrangements(card: Card, width: float, looks: Looks) -> Iterator[Arrangement]:
    """The panel at each standard scale at which the view fits `width`, the largest first."""
    for scale in STANDARD_SCALES:
        if card.taper.length_mm * scale.factor <= width:  # nothing of the view is shorter than the taper
            key = (Arrangement, scale, width, looks.setting)
            plan = looks.words.once(key, partial(arranged, card, width, looks, scale))
            if plan is not None:
                yield plan


def arranged(card: Card, width: float, looks: Looks, scale: Scale) -> Arrangement | None:
    """The panel at one scale; None where the view is wider than `width`."""
    cut = section(card, scale.factor)
    detail = _detail(cut, scale)
    room = width - 2 * SIDE_AIR - (DETAIL_WIDTH + 3.0 if detail else 0.0)
    spare = room - (cut.right - cut.left) * scale.factor
    if spare < 0:
        return None
    placed, said = notes(card, cut, width, looks)
    caption = " ".join(said)
    heading = looks.words.label("pictures", "drawing")
    above = (
        heading_height(looks, heading, width, _scale_note(scale, looks))
        + paragraph_height(looks.words.label("pictures", "reading"), looks.body, width)
        + looks.hand.line
        + 1.8
    )
    half = max(cut.radius * scale.factor, (DETAIL_HEIGHT + looks.label.line) / 2 if detail else 0.0)
    axis_y = above + 2.2 + half
    below = axis_y + half + looks.label.line + 1.6
    notes_top = below + 3.5
    notes_height = max((len(note.lines) for note in placed), default=0) * looks.label.line
    caption_top = notes_top + notes_height + 0.8
    return Arrangement(
        scale=scale,
        section=cut,
        detail=detail,
        notes=placed,
        caption=caption,
        axis=(SIDE_AIR + spare / 2 - cut.left * scale.factor, axis_y),
        above=above,
        below=below,
        notes_top=notes_top,
        caption_top=caption_top,
        height=caption_top + (paragraph_height(caption, looks.body, width) + 0.4 if caption else 0.0),
    )


def _detail(cut: Section, scale: Scale) -> Scale | None:
    """The scale of a detail of the reading, where the view is too small to show it."""
    if cut.gap < 1e-6 or cut.gap * scale.factor >= CLEAR_GAP:
        return None
    return detail_scale(cut.gap, 3.5)


def _scale_note(scale: Scale, looks: Looks) -> str:
    return f"{looks.words.label('pictures', 'scale')} {scale.text}"


# ---- drawing ------------------------------------------------------------------------------------


def _draw(pen: Pen, card: Card, width: float, height: float, looks: Looks) -> None:
    plan = best_in(card, width, looks, height)
    draw_heading(pen, looks.words.label("pictures", "drawing"), width, looks, _scale_note(plan.scale, looks))
    _draw_section(pen, plan.section, plan.axis, plan.scale.factor, looks)
    _draw_centre_line(pen, plan)
    _draw_reading(pen, card, plan, width, looks)
    _draw_notes(pen, plan, width, looks)
    _draw_length(pen, card, plan, width, looks)
    if plan.caption:
        pen.paragraph(0, plan.caption_top, width, plan.caption, looks.body)
    if plan.detail:
        _draw_detail(pen, plan, width, looks)


def _draw_section(pen: Pen, cut: Section, axis: Point, factor: float, looks: Looks) -> None:
    def on_paper(outline: Sequence[Point]) -> list[Point]:
        return [(axis[0] + x * factor, axis[1] + y * factor) for x, y in outline]

    for face in cut.cut:
        pen.hatch(on_paper(face), HATCH, 45.0, 0.13)
    for edge in cut.edges:
        pen.polyline(on_paper(edge), looks.outline)
    for start, end in cut.breaks:
        (x, top), (_, bottom) = on_paper((start, end))
        _draw_break(pen, x, top, bottom)


def _draw_break(pen: Pen, x: float, top: float, bottom: float) -> None:
    """A freehand break line, thin (ISO 128-2, line type 01.1.18)."""
    count = max(1, round((bottom - top) / 7.0))
    step = (bottom - top) / count
    points: list[Point] = [(x, top)]
    for number in range(count):
        y = top + number * step
        points += [(x + 0.9, y + step * 0.3), (x - 0.9, y + step * 0.7), (x, y + step)]
    pen.curve(points, THIN)


def _draw_centre_line(pen: Pen, plan: Arrangement) -> None:
    left, y = plan.at((plan.section.left, 0.0))
    right, _ = plan.at((plan.section.right, 0.0))
    pen.line(left - 2.0, y, right + 2.0, y, THIN, CENTRE_LINE)


def _draw_reading(pen: Pen, card: Card, plan: Arrangement, width: float, looks: Looks) -> None:
    """The reading between its two faces: arrows, the finish reading large, what it is."""
    corners = sorted(plan.at((face.x, -face.radius)) for face in plan.section.faces)
    (low, _), (high, _) = corners
    y = plan.above
    for x, start in corners:
        pen.line(x, start - 0.6, x, y - 1.0, THIN)
    text = finish_text(card, looks)
    words = wrapped(looks.words.label("pictures", "reading"), looks.body, width)
    block = max(text_width(text, looks.hand), *(text_width(line, looks.body) for line in words))
    inside = high - low >= 5.5
    if inside:
        x = min((low + high - block) / 2, width - block)
    elif (low + high) / 2 < width / 2:
        x = min(high + 1.2, width - block)
    else:
        x = max(low - 1.2 - block, 0.0)
    x = max(0.0, x)
    _draw_dimension_line(pen, low, high, y, inside, (x, x + block))
    base = y - 1.6
    pen.text(x, base, text, looks.hand)
    words_base = base - looks.hand.cap - 1.6
    for line in reversed(words):
        pen.text(x, words_base, line, looks.body)
        words_base -= looks.body.line


def _draw_dimension_line(
    pen: Pen,
    low: float,
    high: float,
    y: float,
    inside: bool,
    shelf: tuple[float, float],
    width: float = 0.25,
    head: float = 2.4,
) -> None:
    """The dimension line with its heads, drawn on as far as the text above it needs a shelf."""
    if inside:
        pen.arrow(low, y, high, y, width, head, both=True)
        return
    out = 2 * head
    pen.arrow(low - out, y, low, y, width, head)
    pen.arrow(high + out, y, high, y, width, head)
    pen.line(low, y, high, y, width)
    if shelf[1] > high + out:
        pen.line(high + out, y, shelf[1], y, width)
    if shelf[0] < low - out:
        pen.line(shelf[0], y, low - out, y, width)


def _draw_length(pen: Pen, card: Card, plan: Arrangement, width: float, looks: Looks) -> None:
    """The taper's length along the axis, below the view."""
    cut = plan.section
    corners = sorted(plan.at(corner) for corner in zip(cut.ends, cut.end_radii, strict=True))
    low, high = corners
    _, outer = plan.at((0.0, cut.radius))
    for x, y in corners:
        # A hole's ends are dimensioned from outside the piece, a shank's from its own corners.
        start = outer if card.taper.side == "internal" else y
        pen.line(x, start + 0.6, x, plan.below + 1, THIN)
    text = looks.figures.length(card.taper.length_mm)
    wide = text_width(text, looks.label)
    within = high[0] - low[0] >= max(5.5, wide + 1.0)
    if within:
        x = (low[0] + high[0] - wide) / 2
    elif high[0] + 1.2 + wide <= width:
        x = high[0] + 1.2
    else:
        x = max(0.0, low[0] - 1.2 - wide)
    base = plan.below - 0.7
    pen.rectangle(x - 0.6, base - looks.label.cap - 0.2, wide + 1.2, looks.label.cap + 0.5, 0, 1.0)
    _draw_dimension_line(pen, low[0], high[0], plan.below, within, (x, x + wide), THIN, 2.0)
    pen.text(x, base, text, looks.label)


def _draw_notes(pen: Pen, plan: Arrangement, width: float, looks: Looks) -> None:
    """Gauge-line diameter, taper and relief, each with its leader."""
    sizes = [note.width(looks) + NOTE_AIR for note in plan.notes]
    places = [plan.at(note.place) for note in plan.notes]
    # Each note wants to begin at its leader; the air right of it belongs to it.
    wanted = [x + size / 2 for (x, _), size in zip(places, sizes, strict=True)]
    centres = spread(wanted, sizes, 0.0, width + NOTE_AIR)
    gauge_x, gauge_y = plan.at((plan.section.gauge_line.x, plan.section.gauge_line.radius))
    _draw_gauge_line(pen, gauge_x, 2 * plan.axis[1] - gauge_y, gauge_y)
    for note, (x, y), size, centre in zip(plan.notes, places, sizes, centres, strict=True):
        left = centre - size / 2
        knee = plan.notes_top - 1.6
        right = left + size - NOTE_AIR
        pen.polyline(((x, y), (x, plan.below + 1.0), (min(max(x, left), right), knee)), THIN)
        pen.line(left, knee, right, knee, THIN)
        if x != gauge_x:
            pen.arrow_head(x, y, 90.0, 1.8)
        text_x = left
        for number, line in enumerate(note.lines):
            base = plan.notes_top + number * looks.label.line + looks.label.baseline(looks.label.line)
            indent = 0.0
            if note.symbol and not number:
                indent = _draw_symbol(pen, text_x, base, looks, plan.section)
            pen.text(text_x + indent, base, line, note_style(looks, number))


def _draw_gauge_line(pen: Pen, x: float, top: float, bottom: float) -> None:
    """The diameter in the plane of the gauge line: heads on the cone's outline, both from within."""
    head = min(2.0, 0.4 * (bottom - top))
    pen.arrow(x, top, x, bottom, THIN, head, both=True)


def _draw_symbol(pen: Pen, x: float, base: float, looks: Looks, cut: Section) -> float:
    """The taper symbol (ISO 3040), pointing the way the cone narrows; returns the width taken."""
    tall, wide = looks.label.cap, 2.2 * looks.label.cap
    blunt, tip = (x, x + wide) if cut.ends[1] > cut.ends[0] else (x + wide, x)
    pen.polygon(((blunt, base), (blunt, base - tall), (tip, base - tall / 2)), 0.2)
    return symbol_width(looks)


def _draw_detail(pen: Pen, plan: Arrangement, width: float, looks: Looks) -> None:
    """The two faces enlarged, in a frame right of the view; a ring in the view says where."""
    assert plan.detail is not None
    spot_x, spot_y = plan.at(plan.section.spot)
    pen.circle(spot_x, spot_y, 2.2, THIN)
    letter_x, letter_y = spot_x + 2.4, spot_y + 2.2
    pen.rectangle(letter_x - 0.3, letter_y - 0.4, looks.label.cap + 0.6, looks.label.cap + 0.8, 0, 1.0)
    pen.text(letter_x, letter_y + looks.label.cap, "A", looks.label.bolder())
    left, top = width - DETAIL_WIDTH, plan.axis[1] - (DETAIL_HEIGHT + looks.label.line) / 2
    corners = (
        (left, top),
        (width, top),
        (width, top + DETAIL_HEIGHT),
        (left, top + DETAIL_HEIGHT),
    )
    factor = plan.detail.factor
    centre = (left + DETAIL_WIDTH / 2, top + DETAIL_HEIGHT / 2)
    axis = (centre[0] - plan.section.spot[0] * factor, centre[1] - plan.section.spot[1] * factor)
    with pen.clipped(corners):
        _draw_section(pen, plan.section, axis, factor, looks)
    pen.polygon(corners, THIN)
    base = top + DETAIL_HEIGHT + looks.label.baseline(looks.label.line)
    pen.text(centre[0], base, f"A  {plan.detail.text}", looks.label.bolder(), "centre")


PANEL = Panel(_height, _draw, wish=_wish)
