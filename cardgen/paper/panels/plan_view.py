"""The plan view: wheel, table and work from above, and which way table or wheel head turns for more taper.

Drawn from what the machine's record says that its table, or its wheel head, does; the picture says how
the work is held in it, for held the other way round everything is reversed.
"""

import math
from collections.abc import Mapping, Sequence

from cardgen.card.values import Card
from cardgen.paper.panels.panel import Panel
from cardgen.paper.pictures.plan import (
    TABLE_DEPTH,
    Outline,
    Plan,
    Point,
    TableEnd,
    external_plan,
    internal_plan,
)
from cardgen.paper.pictures.spread import spread
from cardgen.paper.press.page import Looks
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typesetting import TextStyle, paragraph_height, text_width
from cardgen.terms import TableMoves

ARROW_ROOM = 7.5  # mm at each end of the table, for the arrows
ARROW_OFF = 3.0  # mm between the table's end and the arrow
ARROW_HEAD = 3.2  # mm long and wide
ARROW_SWEEP = 13.0  # degrees to each side of the table's end
MOST_HALF_LENGTH, USUAL_TEXT = 17.5, 8.0  # mm, with words of so many points
LOWER = (1.0, 0.92, 0.85, 0.78)  # of the usual size, where a side has little room
HEAD_ARROW = 0.15  # of the table's half length: radius of the arrow on a swivelled wheel head
HEAD_SWEEP = 65.0  # degrees to each side of its top
THIN = 0.15
CENTRE_LINE = (4.0, 0.8, 0.6, 0.8)
TOWARDS_WHEEL: Mapping[TableMoves, TableEnd] = {
    "tailstock end towards wheel": "tailstock",
    "tailstock end away from wheel": "headstock",
}


def plan_of(card: Card, width: float, text: float = USUAL_TEXT, size: float = 1.0) -> tuple[Plan, TableEnd]:
    """The plan of a card's machine on this width, and which end of its table goes towards the wheel.

    text: points of its words; the picture is as large as they need; size: of that.
    """
    towards = TOWARDS_WHEEL[card.swivel.more_taper_moves]
    half_length = size * min(MOST_HALF_LENGTH * text / USUAL_TEXT, width / 2 - ARROW_ROOM)
    how = (math.radians(card.taper.half_angle_deg), towards, card.swivel.set_by == "wheel head", half_length)
    if card.taper.side == "external":
        return external_plan(*how), towards
    return internal_plan(*how, through=card.stroke.open_both_ends), towards


def _texts(card: Card, towards: TableEnd, looks: Looks) -> tuple[str, str]:
    """What more taper does on this machine, and how the work is held in the picture."""
    word = looks.words.label
    by_head = card.swivel.set_by == "wheel head"
    more = word("pictures", "more_taper_head" if by_head else "more_taper")
    return more, word("pictures", f"held_{card.taper.side}_{towards}")


def _least(card: Card, width: float, looks: Looks) -> float:
    return _height(card, width, looks, LOWER[-1])


def _height(card: Card, width: float, looks: Looks, size: float = 1.0) -> float:
    plan, towards = plan_of(card, width, looks.body.size, size)
    more, premise = _texts(card, towards, looks)
    return (
        _picture_height(plan, looks)
        + paragraph_height(more, looks.body.bolder(), width)
        + paragraph_height(premise, _premise_style(card, looks), width)
        + 0.8
    )


def _premise_style(card: Card, looks: Looks) -> TextStyle:
    """In a hole the wall that the wheel cuts turns everything round: that is no small print."""
    return looks.body.bolder() if card.taper.side == "internal" else looks.body


def _extent(plan: Plan, looks: Looks) -> tuple[float, float]:
    """Least and greatest y of all that is drawn, the arrows and their words too."""
    outlines = (plan.table, plan.headstock, plan.work, plan.wheel, plan.spindle or (), *plan.centres)
    ys = [y for outline in outlines for _, y in outline]
    if plan.spindle:
        ys.append(min(y for _, y in plan.spindle) - 1.2 - looks.label.cap)
    reach = _word_off(plan) + looks.value.cap
    names = _names_y(plan) + looks.label.cap
    return min(*ys, -reach) - 0.6, max(*ys, reach, names) + 0.6


def _word_off(plan: Plan) -> float:
    """How far above and below the pivot the words at the arrows begin: clear of table and arrow heads."""
    head = _arrow_radius(plan) * math.sin(abs(plan.turn) + math.radians(ARROW_SWEEP))
    return max(head, *(abs(y) for _, y in plan.table)) + 0.9


def _names_y(plan: Plan) -> float:
    """Middle of the names of the work's ends: just below the work."""
    return max(y for _, y in plan.work) + 1.6


def _arrow_radius(plan: Plan) -> float:
    return plan.half_length + ARROW_OFF


def _picture_height(plan: Plan, looks: Looks) -> float:
    top, bottom = _extent(plan, looks)
    return bottom - top + looks.label.line + 1.2


def _draw(pen: Pen, card: Card, width: float, height: float, looks: Looks) -> None:
    size = next((size for size in LOWER if _height(card, width, looks, size) <= height + 1e-6), LOWER[-1])
    plan, towards = plan_of(card, width, looks.body.size, size)
    more, premise = _texts(card, towards, looks)
    top, _ = _extent(plan, looks)
    _draw_machine(pen.at(width / 2, -top), card, plan, width, looks)
    y = _picture_height(plan, looks)
    y += pen.paragraph(0, y, width, more, looks.body.bolder())
    pen.paragraph(0, y, width, premise, _premise_style(card, looks))


def _draw_machine(pen: Pen, card: Card, plan: Plan, width: float, looks: Looks) -> None:
    """The machine about the pivot at the pen's origin."""
    half = plan.half_length
    for y in (-1.3 * TABLE_DEPTH * half, 1.3 * TABLE_DEPTH * half):
        pen.line(-half - 2.0, y, half + 2.0, y, THIN)
    pen.polygon(plan.table, looks.outline, fill=1.0)
    pen.line(-half - 3.0, 0, half + 3.0, 0, THIN, CENTRE_LINE)
    for outline in (plan.headstock, *((plan.tailstock,) if plan.tailstock else ()), *plan.centres):
        pen.polygon(outline, looks.outline * 0.7, fill=1.0)
    _draw_wheel(pen, plan, looks)
    _draw_work(pen, plan, looks)
    pen.line(*plan.ground[0], *plan.ground[1], 2 * looks.outline)
    _draw_pivot(pen)
    if not plan.by_wheel_head:  # else the table stays as it is, and its arrows would say otherwise
        _draw_arrows(pen, plan, width, looks)
    _draw_names(pen, card, plan, width, looks)


def _draw_work(pen: Pen, plan: Plan, looks: Looks) -> None:
    pen.polygon(plan.work, looks.outline, fill=1.0)
    for wall in plan.walls:
        pen.polygon(wall, 0, fill=1.0)
        pen.hatch(wall, 0.9, 45.0, 0.13)
        pen.polygon(wall, 0.7 * looks.outline)
    if plan.walls and plan.spindle:
        pen.polygon(plan.spindle, 0.7 * looks.outline, fill=1.0)
        pen.polygon(plan.wheel, looks.outline, fill=looks.tint)


def _draw_wheel(pen: Pen, plan: Plan, looks: Looks) -> None:
    """The grinding wheel, broken off at the back."""
    if plan.spindle:
        return
    pen.polygon(plan.wheel, 0, fill=looks.tint)
    front_left, back_left, back_right, front_right = plan.wheel
    pen.polyline((back_left, front_left, front_right, back_right), looks.outline)
    pen.curve((back_left, *_wave(back_left, back_right)), THIN)
    if _head_is_drawn(plan):
        x, y = _middle(plan.wheel)
        _draw_head_arrow(pen, plan, (x, y))
        word, style = looks.words.label("pictures", "more"), looks.value
        name = text_width(looks.words.label("pictures", "wheel"), looks.label) / 2
        edge = max(x + name, *(corner[0] for corner in plan.wheel)) + 1.0
        pen.rectangle(
            edge - 0.3, y - style.cap / 2 - 0.3, text_width(word, style) + 0.6, style.cap + 0.6, 0, 1.0
        )
        pen.text(edge, y + style.cap / 2, word, style)


def _head_is_drawn(plan: Plan) -> bool:
    """Whether the wheel head carries the angle, so that its arrow stands in place of the table's."""
    return plan.by_wheel_head and plan.spindle is None


def _draw_head_arrow(pen: Pen, plan: Plan, centre: Point) -> None:
    """How the head is swivelled from nought for this taper: about the wheel's name, seen from above."""
    radius, top = HEAD_ARROW * plan.half_length, 90.0
    turns = -plan.more  # the head turns against the table: clockwise where the table goes the other way
    start, end = top - turns * HEAD_SWEEP, top + turns * HEAD_SWEEP
    size = 0.7 * ARROW_HEAD
    neck = end - math.degrees(size / radius) * turns
    pen.arc(*centre, radius, start, neck, 0.6)
    corners = ((radius, end), (radius - 0.5 * size, neck), (radius + 0.5 * size, neck))
    tip, *sides = ((x + centre[0], y + centre[1]) for x, y in (_around(*corner) for corner in corners))
    pen.polygon((tip, *sides), 0, fill=0)


def _wave(start: Point, end: Point) -> tuple[Point, ...]:
    """Handles and end of a freehand break line."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    across = (dy * 0.12, -dx * 0.12)
    return (
        (start[0] + dx / 3 + across[0], start[1] + dy / 3 + across[1]),
        (start[0] + 2 * dx / 3 - across[0], start[1] + 2 * dy / 3 - across[1]),
        end,
    )


def _draw_pivot(pen: Pen) -> None:
    pen.circle(0, 0, 1.0, 0.25, fill=1.0)
    pen.line(-1.6, 0, 1.6, 0, THIN)
    pen.line(0, -1.6, 0, 1.6, THIN)


def _draw_arrows(pen: Pen, plan: Plan, width: float, looks: Looks) -> None:
    """An arc about the pivot at each end of the table: MORE at its black head, LESS at its white one."""
    radius = _arrow_radius(plan)
    for middle, side in ((math.degrees(plan.turn), 1), (180 + math.degrees(plan.turn), -1)):
        for key, way, fill in (("more", plan.more, 0.0), ("less", -plan.more, 1.0)):
            end = middle + way * ARROW_SWEEP
            neck = end - math.degrees(ARROW_HEAD / radius) * way
            pen.arc(0, 0, radius, middle, neck, 1.0 if fill == 0.0 else 0.4)
            tip = _around(radius, end)
            sides = (_around(radius - 0.5 * ARROW_HEAD, neck), _around(radius + 0.5 * ARROW_HEAD, neck))
            pen.polygon((tip, *sides), 0.3, fill=fill)
            _draw_way(pen, plan, looks.words.label("pictures", key), tip[1] < 0, side, width, looks)


def _draw_way(pen: Pen, plan: Plan, word: str, above: bool, side: int, width: float, looks: Looks) -> None:
    """The word at an arrow's head, out at the panel's edge."""
    style = looks.value
    wide = text_width(word, style)
    base = -_word_off(plan) if above else _word_off(plan) + style.cap
    left = width / 2 - wide if side > 0 else -width / 2
    pen.rectangle(left, base - style.cap - 0.3, wide, style.cap + 0.6, 0, 1.0)
    pen.text(left, base, word, style)


def _around(radius: float, degrees: float) -> Point:
    """A place on a circle about the pivot, counter-clockwise from the right."""
    return radius * math.cos(math.radians(degrees)), -radius * math.sin(math.radians(degrees))


def _draw_names(pen: Pen, card: Card, plan: Plan, width: float, looks: Looks) -> None:
    """What is what: wheel, ends of the work, headstock, tailstock, and where the operator stands."""
    word, style = looks.words.label, looks.label
    _, bottom = _extent(plan, looks)
    base = bottom + 0.4 + style.cap
    tail_x = _middle(plan.tailstock)[0] if plan.tailstock else 0.73 * plan.half_length
    names = (
        (_middle(plan.headstock)[0], word("pictures", "headstock"), style),
        (0.0, f"▲ {word('pictures', 'operator')}", style.bolder()),
        (tail_x, word("pictures", "tailstock" if plan.tailstock else "tailstock_end"), style),
    )
    sizes = [text_width(name, its_style) + 2.0 for _, name, its_style in names]
    places = spread([x for x, _, _ in names], sizes, -width / 2, width / 2)
    for place, (_, name, its_style) in zip(places, names, strict=True):
        pen.text(place, base, name, its_style, "centre")
    wheel_x, wheel_y = _middle(plan.wheel)
    if plan.spindle:
        wheel_x = max(x for x, _ in plan.spindle) - text_width(word("pictures", "wheel"), style) / 2
        wheel_y = min(y for _, y in plan.spindle) - 0.8 - style.cap / 2
        _blank(pen, wheel_x, wheel_y, word("pictures", "wheel"), looks)
    elif (
        max(x for x, _ in plan.wheel) - min(x for x, _ in plan.wheel)
        < text_width(word("pictures", "wheel"), style) + 1.0
    ):
        _blank(pen, wheel_x, wheel_y, word("pictures", "wheel"), looks)
    pen.text(wheel_x, wheel_y + style.cap / 2, word("pictures", "wheel"), style, "centre")
    _draw_end_names(pen, card, plan, looks)


def _draw_end_names(pen: Pen, card: Card, plan: Plan, looks: Looks) -> None:
    """Names of the work's two ends, on the table on the operator's side."""
    word, style = looks.words.label, looks.label
    names = [word("pictures", "large"), word("pictures", "small")]
    if card.taper.side == "internal":
        names = [word("pictures", "inner_end"), word("pictures", "mouth")]
    elif plan.more < 0:
        names.reverse()
    corners = sorted(sorted(plan.work, key=lambda corner: corner[1])[-2:])
    middle = (corners[0][0] + corners[1][0]) / 2
    y = _names_y(plan)
    for name, side in zip(names, (-1, 1), strict=True):
        x = middle + side * max((corners[1][0] - corners[0][0]) / 2, text_width(name, style) / 2 + 0.8)
        _blank(pen, x, y, name, looks)
        pen.text(x, y + style.cap / 2, name, style, "centre")


def _blank(pen: Pen, x: float, y: float, text: str, looks: Looks) -> None:
    """White ground for a label centred at (x, y) that stands over lines."""
    half, top = text_width(text, looks.label) / 2 + 0.3, y - looks.label.cap / 2 - 0.3
    pen.rectangle(x - half, top, 2 * half, 1.45 * looks.label.cap + 0.6, 0, 1.0)  # tails of letters too


def _middle(outline: Outline | Sequence[Point]) -> Point:
    return sum(x for x, _ in outline) / len(outline), sum(y for _, y in outline) / len(outline)


PANEL = Panel(_least, _draw, wish=_height)
