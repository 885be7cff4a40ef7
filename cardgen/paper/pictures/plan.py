"""The machine in plan: where wheel, table and work stand, and which way the table turns for more taper.

The operator stands below, the wheel above, the headstock left, the tailstock right, as one looks down
on the machine. Lengths are mm on the paper from the table's pivot, x right, y down.

Why it turns so. The wheel's face is parallel to the ways, so the line of the work that is being
ground is too. External work is ground on the side towards the wheel: its axis lies D/2 from that line
at the large end and d/2 at the small end, so the small end's side of the table stands nearer to the
wheel, and more taper brings it nearer still. A hole, its mouth towards the tailstock, can be ground
on either wall. On the operator's wall the axis lies D/2 towards the wheel head at the mouth and d/2
at the inner end: more taper takes the mouth, the tailstock side, towards the wheel head. On the other
wall everything is reversed. What the table does so tells which way round the work is held, or which
wall of a hole is ground; either way more taper takes metal off external work at the small end, and
off a hole at its mouth.
"""

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

Point = tuple[float, float]
Outline = tuple[Point, ...]
TableEnd = Literal["headstock", "tailstock"]

LEAST_TURN, MOST_TURN = math.radians(6), math.radians(12)  # of the table, as drawn
TABLE_DEPTH = 0.3  # half the table's depth to half its length
MOST_HEAD_TURN = math.radians(35)  # of the wheel head, as drawn


@dataclass(frozen=True)
class Plan:
    """Outlines of the machine in plan, and how it is turned."""

    turn: float  # of the table, rad, counter-clockwise as seen from above
    table: Outline
    headstock: Outline
    tailstock: Outline | None  # None where the work is held in a chuck
    centres: tuple[Outline, ...]
    work: Outline  # a hole's work: its cut faces are `walls`
    walls: tuple[Outline, ...]
    wheel: Outline
    spindle: Outline | None  # of an internal wheel
    ground: tuple[Point, Point]  # the line being ground
    more: float  # +1: for more taper the table turns counter-clockwise (a wheel head clockwise)
    by_wheel_head: bool  # what carries the angle
    half_length: float  # of the table


def drawn_turn(half_angle: float, by_wheel_head: bool) -> float:
    """The half angle as drawn: kept between what shows and what fits (rad)."""
    if by_wheel_head:
        return min(max(half_angle, MOST_TURN), MOST_HEAD_TURN)
    return min(max(half_angle, LEAST_TURN), MOST_TURN)


@lru_cache(maxsize=64)
def external_plan(half_angle: float, towards: TableEnd, by_wheel_head: bool, half_length: float) -> Plan:
    """External work between centres; lengths follow from the table's `half_length` (mm on the paper)."""
    angle = drawn_turn(half_angle, by_wheel_head)
    sense = 1.0 if towards == "tailstock" else -1.0
    turn = 0.0 if by_wheel_head else sense * angle
    length = (0.15 if angle > MOST_TURN else 0.3) * half_length  # half the taper's
    mean = 0.075 * half_length + length * math.tan(angle)
    large, small = mean + length * math.tan(angle), mean - length * math.tan(angle)
    at_left, at_right = (large, small) if sense > 0 else (small, large)
    work = ((-length, -at_left), (length, -at_right), (length, at_right), (-length, at_left))
    turned_work = _turned(work, turn)
    middle = _middle(turned_work[0], turned_work[1])
    across = math.atan2(turned_work[0][1] - turned_work[1][1], turned_work[1][0] - turned_work[0][0])
    wide, deep = 0.2 * half_length, 0.37 * half_length
    wheel = ((-wide, 0.0), (-wide, -deep), (wide, -deep), (wide, 0.0))
    return Plan(
        turn=turn,
        table=_table(half_length, turn),
        headstock=_turned(_box(-0.88 * half_length, -0.52 * half_length, 0.18 * half_length), turn),
        tailstock=_turned(_box(0.58 * half_length, 0.88 * half_length, 0.13 * half_length), turn),
        centres=tuple(
            _turned(_centre(side * length, side * reach * half_length), turn)
            for side, reach in ((-1, 0.52), (1, 0.58))
        ),
        work=turned_work,
        walls=(),
        wheel=_moved(_turned(wheel, across), middle),
        spindle=None,
        ground=(turned_work[0], turned_work[1]),
        more=sense,
        by_wheel_head=by_wheel_head,
        half_length=half_length,
    )


@lru_cache(maxsize=64)
def internal_plan(
    half_angle: float, towards: TableEnd, by_wheel_head: bool, half_length: float, *, through: bool
) -> Plan:
    """A hole ground in a chuck, its mouth towards the tailstock's side; which wall follows from the turn.

    through: whether the hole goes on behind the taper; else it is drawn with a bottom.
    """
    angle = drawn_turn(half_angle, by_wheel_head)
    sense = 1.0 if towards == "tailstock" else -1.0  # +1: the operator's wall
    turn = 0.0 if by_wheel_head else sense * angle
    front, depth = 0.55 * half_length, 0.42 * half_length
    small = 0.1 * half_length
    mouth = small + depth * math.tan(angle)
    body = mouth + 0.1 * half_length
    back = front - depth - 0.1 * half_length
    behind = ((back, -small),) if through else ((front - depth, 0.0), (back, 0.0))
    wall = ((back, -body), (front, -body), (front, -mouth), (front - depth, -small), *behind)
    walls = tuple(_turned(each, turn) for each in (wall, tuple((x, -y) for x, y in wall)))
    inner, outer = (front - depth, sense * small), (front, sense * mouth)
    ground = (_turn(inner, turn), _turn(outer, turn))
    across = math.atan2(ground[0][1] - ground[1][1], ground[1][0] - ground[0][0])
    wheel_radius, wheel_length = 0.07 * half_length, 0.3 * half_length
    touch = _middle(*ground)
    low, high = sorted((0.0, -sense * 2 * wheel_radius))
    wheel = _box_between(-wheel_length / 2, wheel_length / 2, low, high)
    centre = (low + high) / 2
    spindle = _box_between(
        wheel_length / 2, half_length * 0.62, centre - 0.4 * wheel_radius, centre + 0.4 * wheel_radius
    )
    return Plan(
        turn=turn,
        table=_table(half_length, turn),
        headstock=_turned(_box(-0.88 * half_length, back, 0.2 * half_length), turn),
        tailstock=None,
        centres=(),
        work=_turned(((back, -body), (front, -body), (front, body), (back, body)), turn),
        walls=walls,
        wheel=_moved(_turned(wheel, across), touch),
        spindle=_moved(_turned(spindle, across), touch),
        ground=ground,
        more=sense,
        by_wheel_head=by_wheel_head,
        half_length=half_length,
    )


def _turn(point: Point, angle: float) -> Point:
    """A point turned about the pivot, counter-clockwise on the paper, whose y runs down."""
    return _turned((point,), angle)[0]


def _turned(outline: Outline, angle: float) -> Outline:
    cos, sin = math.cos(angle), math.sin(angle)
    return tuple([(x * cos + y * sin, y * cos - x * sin) for x, y in outline])


def _moved(outline: Outline, by: Point) -> Outline:
    return tuple([(x + by[0], y + by[1]) for x, y in outline])


def _middle(one: Point, other: Point) -> Point:
    return (one[0] + other[0]) / 2, (one[1] + other[1]) / 2


def _box(left: float, right: float, half: float) -> Outline:
    return _box_between(left, right, -half, half)


def _box_between(left: float, right: float, top: float, bottom: float) -> Outline:
    return ((left, top), (right, top), (right, bottom), (left, bottom))


def _table(half_length: float, turn: float) -> Outline:
    return _turned(_box(-half_length, half_length, TABLE_DEPTH * half_length), turn)


def _centre(tip: float, root: float) -> Outline:
    """A centre: a 60° point whose end lies a little inside the work, on a short shank."""
    half = 0.05 * abs(root)
    shoulder = tip + math.copysign(half, root - tip) * 1.2
    return ((tip, 0.0), (shoulder, -half), (root, -half), (root, half), (shoulder, half))
