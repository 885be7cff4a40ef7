"""Sine bar, slip gauges, rolls, balls, discs: against contact found by bisection, and against all stacks."""

from collections.abc import Callable
from fractions import Fraction
from itertools import combinations
from math import cos, hypot, isclose, pi, radians, sin, tan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cardgen.compute import inspection

# 36 pieces in ten-thousandths of an inch, from memory (see tests/published for its standing)
INCH_36 = (
    *range(1001, 1010),
    *range(1010, 1100, 10),
    *range(1100, 2000, 100),
    *range(1000, 6000, 1000),
    *(10_000, 20_000, 40_000, 500),
)
HALF_ANGLES = [radians(a) for a in (0.5, 1.4377, 3.5763, 8.2971, 15, 30)]


def bisect(too_little: Callable[[float], bool], low: float, high: float) -> float:
    """The value at which a condition turns from true to false."""
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if too_little(middle) else (low, middle)
    return (low + high) / 2


def gap_to_cone(profile: Callable[[float], float], z: float, r: float) -> float:
    """Distance from a point to a straight profile r(z), found by walking along it, by no formula."""
    low, high = z - 100.0, z + 100.0
    for _ in range(200):
        a, b = low + (high - low) / 3, high - (high - low) / 3
        if hypot(a - z, profile(a) - r) < hypot(b - z, profile(b) - r):
            high = b
        else:
            low = a
    middle = (low + high) / 2
    return hypot(middle - z, profile(middle) - r)


def test_the_sine_bar_takes_the_included_angle_and_the_centres_the_half() -> None:
    """Ensures that tilting the piece by what each setting gives lays its upper side level."""
    half = radians(7)

    def upper_side_slope(tilt_of_axis: float) -> float:
        """Rise of the upper side when the axis falls by this angle towards the large end."""
        return tan(half - tilt_of_axis)

    on_bar = inspection.angle_from_sine_bar(100, inspection.sine_bar_height(100, 2 * half))
    assert isclose(upper_side_slope(on_bar - half), 0, abs_tol=1e-12)  # lying, its axis already rises by half
    between_centres = inspection.angle_from_sine_bar(100, inspection.sine_centres_height(100, half))
    assert isclose(upper_side_slope(between_centres), 0, abs_tol=1e-12)


@pytest.mark.parametrize("half", HALF_ANGLES)
@pytest.mark.parametrize("raised", [0.0, 25.0])
def test_rolls_touch_plate_and_cone(half: float, raised: float) -> None:
    """Ensures M₁ and M₂: the rolls are pushed in from outside until they touch the cone."""
    small, roll = 30.0, 12.0

    def cone(height: float) -> float:
        return small / 2 + height * tan(half)

    centre_height = raised + roll / 2
    out = bisect(lambda r: r < cone(centre_height) or gap_to_cone(cone, centre_height, r) < roll / 2, 15, 200)
    over = 2 * out + roll
    assert inspection.over_raised_rolls(small, roll, half, raised) == pytest.approx(over, abs=1e-6)


def test_the_formula_over_rolls_is_the_cotangent_of_theory() -> None:
    """Ensures that M₁ = d + w (1 + cot((90° − θ)/2)), as theory §10 writes it."""
    half = radians(8.2971)
    assert inspection.over_rolls(30, 12, half) == pytest.approx(30 + 12 * (1 + 1 / tan((pi / 2 - half) / 2)))


@pytest.mark.parametrize("half", HALF_ANGLES)
@pytest.mark.parametrize("ball", [28.0, 24.0])
def test_a_ball_comes_to_rest_where_it_touches_the_hole(half: float, ball: float) -> None:
    """Ensures the depth of a ball: it is lowered until it is no further from the wall than its radius."""
    mouth = 30.0

    def hole(depth: float) -> float:
        return mouth / 2 - depth * tan(half)

    centre = bisect(lambda z: hole(z) > 0 and gap_to_cone(hole, z, 0) > ball / 2, -40, mouth / 2 / tan(half))
    depth = inspection.ball_depth(mouth, half, 1000, ball)
    assert depth == pytest.approx(centre - ball / 2, abs=1e-5)


def test_a_ball_that_misses_the_taper_is_refused() -> None:
    """Ensures that a ball too small for the hole's length, or too large for its mouth, is told."""
    with pytest.raises(ValueError, match="does not touch"):
        inspection.ball_depth(30, radians(1.5), 60, 20)
    with pytest.raises(ValueError, match="does not touch"):
        inspection.ball_depth(30, radians(1.5), 60, 31)


@pytest.mark.parametrize("half", [radians(a) for a in (2, 5, 10, 15)])
def test_straightedges_on_two_discs_stand_at_the_included_angle(half: float) -> None:
    """Ensures the centre distance: a straightedge turned about until it touches both discs."""
    large, small = 40.0, 20.0
    centres = inspection.disc_centres(large, small, half)

    def cuts_the_large_disc(slope: float) -> bool:
        """A straightedge resting on top of the small disc, at this slope: how far from the large centre?"""
        touch = (-small / 2 * sin(slope), small / 2 * cos(slope))
        along = (cos(slope), sin(slope))
        to_centre = (centres - touch[0], 0 - touch[1])
        return abs(along[0] * to_centre[1] - along[1] * to_centre[0]) < large / 2

    assert bisect(cuts_the_large_disc, 0, radians(80)) == pytest.approx(half)


def test_discs_that_would_overlap_are_refused() -> None:
    """Ensures that two discs too nearly alike for a steep angle are told."""
    with pytest.raises(ValueError, match="overlap"):
        inspection.disc_centres(40, 38, radians(15))


def test_an_angle_grade_on_diameter_is_the_slender_limit_of_the_exact_change() -> None:
    """Ensures AT_D = AT_α L, right to 1/cos² θ: 0.4 % at 1:8, so nothing beside the tolerance itself."""
    exact = inspection.angle_change_on_diameter(160e-6, radians(3.576), 62)
    assert inspection.angle_tolerance_on_diameter(160e-6, 62) == pytest.approx(exact, rel=0.005)
    turned = 2 * 62 * (tan(radians(3.576) + 80e-6) - tan(radians(3.576)))
    assert exact == pytest.approx(turned)


def fewest_by_trying_all(sizes: tuple[int, ...], most: int) -> dict[int, int]:
    """For every height that up to so many pieces make: the least number of pieces."""
    found: dict[int, int] = {}
    for count in range(1, most + 1):
        for pieces in combinations(sizes, count):
            found.setdefault(sum(pieces), count)
    return found


def test_no_stack_has_fewer_pieces_than_the_one_given() -> None:
    """Ensures, against all stacks of up to four of 36 pieces: the fewest, none twice, the right height."""
    fewest = fewest_by_trying_all(INCH_36, 4)
    for height in list(fewest)[::211]:
        stack = inspection.closest_stack(height, INCH_36)
        assert len(stack.pieces) == fewest[height]
        assert len(set(stack.pieces)) == len(stack.pieces)
        assert set(stack.pieces) <= set(INCH_36)
        assert sum(stack.pieces) == height == stack.height
        assert stack.left_over == 0


@settings(max_examples=60, deadline=None)
@given(st.sets(st.integers(1, 60), min_size=1, max_size=9), st.fractions(Fraction(1, 10), 300))
def test_the_nearest_height_is_the_nearest(sizes: set[int], height: Fraction) -> None:
    """Ensures for any set that no stack comes nearer, and that what is left over is told with its sign."""
    fewest = fewest_by_trying_all(tuple(sizes), len(sizes))
    stack = inspection.closest_stack(height, tuple(sizes))
    assert abs(stack.left_over) == min(abs(height - made) for made in fewest)
    assert stack.height + stack.left_over == height
    assert len(stack.pieces) == fewest[int(stack.height)]


def test_fractions_of_a_millimetre_stack_exactly() -> None:
    """Ensures that sizes may be exact fractions: 1.0005 + 1.005 + 1.34 mm is no float's sum."""
    sizes = [Fraction(s) for s in ("1.0005", "1.005", "1.34", "6", "50")]
    stack = inspection.closest_stack(Fraction("58.345"), sizes)
    assert stack.pieces == (50, 6, Fraction("1.34"), Fraction("1.005"))


def test_a_height_finer_than_the_set_has_something_left_over() -> None:
    """Ensures that of a height between two of the set's steps the nearest one is told, and what is left."""
    assert inspection.closest_stack(20_000.4, INCH_36).pieces == (20_000,)
    assert inspection.closest_stack(20_000.4, INCH_36).left_over == pytest.approx(0.4)


@pytest.mark.parametrize("height", [0, -5])
def test_no_stack_is_made_for_nothing(height: int) -> None:
    """Ensures that a height that is not positive raises the named error."""
    with pytest.raises(inspection.HeightOutOfReachError):
        inspection.closest_stack(height, INCH_36)


@pytest.mark.parametrize(
    "call",
    [
        lambda: inspection.sine_bar_height(100, radians(90)),
        lambda: inspection.angle_from_sine_bar(100, 101),
        lambda: inspection.over_rolls(30, 0, 0.1),
        lambda: inspection.disc_centres(20, 40, 0.1),
        lambda: inspection.angle_tolerance_on_diameter(-1e-6, 60),
        lambda: inspection.closest_stack(5, (2, 2, 3)),
        lambda: inspection.closest_stack(5, (0, 3)),
    ],
)
def test_senseless_set_ups_are_refused(call) -> None:  # type: ignore[no-untyped-def]
    """Ensures that figures belonging to no taper, bar or set raise."""
    with pytest.raises(ValueError, match=r"\w"):
        call()


def test_the_wall_is_touched_square_to_it_not_square_to_the_axis() -> None:
    """Ensures that dropping the cosine at a ball would be seen: the two differ by more than a micrometre."""
    half = radians(8.2971)
    wrong = (30 / 2 - 14) / tan(half) - 14
    assert abs(inspection.ball_depth(30, half, 1000, 28) - wrong) > 0.001 / tan(half) / cos(half)
