"""The plan view: the table is shown turning the way that really grinds more taper."""

import math
from collections.abc import Callable
from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.paper.panels.plan_view import TOWARDS_WHEEL, plan_of
from cardgen.paper.pictures.plan import Plan, Point, TableEnd, external_plan, internal_plan
from cardgen.terms import ReadingKind, TableMoves
from tests.paper.made_cards import made_card

ENDS: tuple[TableEnd, ...] = ("headstock", "tailstock")
half_angles = st.floats(math.radians(0.3), math.radians(9))
A_LITTLE = math.radians(0.5)


def turned_with_the_table(point: Point, plan: Plan) -> Point:
    """Where a point of the work goes when the table turns a little the way the arrow says.

    Written out here by itself: the pivot is the origin, y runs down the paper, and counter-clockwise on
    the paper takes a point on the right upwards.
    """
    reach, bearing = math.hypot(*point), math.atan2(-point[1], point[0])
    bearing += plan.more * A_LITTLE
    return reach * math.cos(bearing), -reach * math.sin(bearing)


def cut_deeper(point: Point, plan: Plan, wheel_is_above: bool) -> float:
    """How much nearer to the wheel a point of the ground line has come, square to the ways."""
    rise = point[1] - turned_with_the_table(point, plan)[1]
    return rise if wheel_is_above else -rise


def radius_at(point: Point, plan: Plan) -> float:
    """Distance of a point from the work's axis, which passes through the pivot along the table."""
    return abs(point[0] * math.sin(plan.turn) + point[1] * math.cos(plan.turn))


@given(half_angles, st.sampled_from(ENDS))
def test_the_line_that_is_ground_is_parallel_to_the_ways(half_angle: float, towards: TableEnd) -> None:
    """Table swivelled: external work's far side, or the hole's wall, runs along the table's travel."""
    for plan in (
        external_plan(half_angle, towards, False, 30.0),
        internal_plan(half_angle, towards, False, 30.0, through=False),
    ):
        (_, left), (_, right) = plan.ground
        assert left == pytest.approx(right, abs=1e-9)


@given(half_angles, st.sampled_from(ENDS))
def test_turned_to_more_the_wheel_cuts_deeper_at_the_small_end_of_external_work(
    half_angle: float, towards: TableEnd
) -> None:
    """Whichever way round the work is held, its small end comes nearer to the wheel than its large end."""
    plan = external_plan(half_angle, towards, False, 30.0)
    small, large = sorted(plan.ground, key=lambda point: radius_at(point, plan))
    assert cut_deeper(small, plan, True) > cut_deeper(large, plan, True)


@given(half_angles, st.sampled_from(ENDS))
def test_turned_to_more_the_wheel_cuts_deeper_at_the_mouth_of_a_hole(
    half_angle: float, towards: TableEnd
) -> None:
    """On either wall: the wheel, within the hole, takes more off at the mouth than at the inner end."""
    plan = internal_plan(half_angle, towards, False, 30.0, through=False)
    wheel_y = sum(y for _, y in plan.wheel) / 4
    above = wheel_y < plan.ground[0][1]
    inner, mouth = sorted(plan.ground, key=lambda point: radius_at(point, plan))
    assert cut_deeper(mouth, plan, above) > cut_deeper(inner, plan, above)


@given(half_angles, st.sampled_from(ENDS))
def test_the_end_that_the_machine_names_is_the_one_that_goes_towards_the_wheel(
    half_angle: float, towards: TableEnd
) -> None:
    """The wheel head stands above: the named end of the table rises when it is turned to more."""
    side = 1 if towards == "tailstock" else -1
    for plan in (
        external_plan(half_angle, towards, False, 30.0),
        internal_plan(half_angle, towards, False, 30.0, through=False),
    ):
        end = (side * 30.0 * math.cos(plan.turn), -side * 30.0 * math.sin(plan.turn))
        assert turned_with_the_table(end, plan)[1] < end[1]


@given(st.floats(math.radians(10), math.radians(45)), st.sampled_from(ENDS))
def test_a_swivelled_wheel_head_leaves_the_table_straight_and_lays_the_wheel_on_the_cone(
    half_angle: float, towards: TableEnd
) -> None:
    """The wheel's face lies along the ground line, the table at nought."""
    plan = external_plan(half_angle, towards, True, 30.0)
    assert plan.turn == 0.0
    (x1, y1), (x2, y2) = plan.ground
    left, right = plan.wheel[0], plan.wheel[-1]
    slope = (right[1] - left[1]) / (right[0] - left[0])
    assert slope == pytest.approx((y2 - y1) / (x2 - x1))


@pytest.mark.parametrize("make", [external_plan, partial(internal_plan, through=False)])
@given(half_angle=st.floats(math.radians(10), math.radians(34)), towards=st.sampled_from(ENDS))
def test_a_wheel_head_turned_on_as_its_arrow_shows_grinds_more_taper(
    make: Callable[..., Plan], half_angle: float, towards: TableEnd
) -> None:
    """Clockwise where `more` is +1: the line that the wheel cuts then leans more to the work's axis."""
    plan = make(half_angle, towards, True, 30.0)
    (x1, y1), (x2, y2) = (turned_clockwise(point, plan.more * A_LITTLE) for point in plan.ground)
    (a1, b1), (a2, b2) = plan.ground
    assert abs((y2 - y1) / (x2 - x1)) > abs((b2 - b1) / (a2 - a1))


def turned_clockwise(point: Point, angle: float) -> Point:
    """A point of the wheel's face turned about the head, as seen from above: x right, y down."""
    x, y = point
    return x * math.cos(angle) - y * math.sin(angle), x * math.sin(angle) + y * math.cos(angle)


@pytest.mark.parametrize(("record", "end"), TOWARDS_WHEEL.items())
@pytest.mark.parametrize("reading", ["shoulder_gap", "plug_standoff"])
def test_each_choice_of_the_record_is_drawn_as_it_says(
    record: TableMoves, end: TableEnd, reading: ReadingKind
) -> None:
    """The tailstock's end, at the right, moves up the paper, to the wheel, where the record says so."""
    plan, towards = plan_of(made_card(reading, more_taper_moves=record), 120.0)
    right = turned_with_the_table((plan.half_length, 0.0), plan)
    assert towards == end
    assert (right[1] < 0) == (record == "tailstock end towards wheel")


def test_a_hole_that_goes_through_is_drawn_open_and_a_blind_one_with_its_bottom():
    """The wheel runs past the inner end of the one; a hand who sees a bottom there would not let it."""
    blind = internal_plan(0.05, "tailstock", False, 30.0, through=False)
    through = internal_plan(0.05, "tailstock", False, 30.0, through=True)
    assert any(y == pytest.approx(0.0) for _, y in _straight(blind.walls[0], blind.turn))
    assert all(y < -1.0 for _, y in _straight(through.walls[0], through.turn))


def _straight(outline, turn):
    """An outline as it stands on the unswung table."""
    return [
        (x * math.cos(turn) - y * math.sin(turn), y * math.cos(turn) + x * math.sin(turn)) for x, y in outline
    ]
