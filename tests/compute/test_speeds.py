"""Speeds, passes, dressing, metal removed and wear, against counting, stacked discs and a wheel line."""

from math import cos, isclose, pi, radians, sin, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.compute import speeds


def test_a_wheel_never_gets_a_speed_above_its_marking() -> None:
    """Ensures that of the machine's speeds the fastest still within the marking of the NEW wheel is taken."""
    within = speeds.steps_within_marking([1430, 1670, 1910], new_diameter=400, maximum_m_s=35)
    assert max(within) == 1670
    assert not speeds.within_marking(400, 1910, 35)


def test_a_wheel_too_large_for_every_speed_is_refused() -> None:
    """Ensures that no speed is given where each one is above the marking."""
    assert speeds.steps_within_marking([1910], 400, 35) == ()


def test_a_worn_wheel_runs_slower_at_its_surface() -> None:
    """Ensures that surface speed goes with the diameter at the same revolutions."""
    assert speeds.surface_speed_m_s(320, 1670) == pytest.approx(0.8 * speeds.surface_speed_m_s(400, 1670))


def test_the_highest_wheel_speed_just_meets_the_marking() -> None:
    """Ensures that the bound is the bound: at it the wheel is within its marking, a turn above it is not."""
    rpm = speeds.highest_wheel_rpm(35, 400)
    assert speeds.within_marking(400, rpm, 35)
    assert not speeds.within_marking(400, rpm + 1, 35)


def test_work_speed_and_revolutions_are_each_others_inverse() -> None:
    """Ensures that the revolutions asked for give the surface speed asked for."""
    assert speeds.surface_speed_m_min(38, speeds.rpm_for_work_speed(15, 38)) == pytest.approx(15)


@pytest.mark.parametrize(("wanted", "step"), [(10, 60), (74, 60), (75, 60), (76, 90), (120, 140), (500, 210)])
def test_the_machine_takes_its_nearest_step(wanted: float, step: float) -> None:
    """Ensures the nearest step, and of two equally near the slower."""
    assert speeds.nearest_step(wanted, [60, 90, 140, 210]) == step


def test_a_machine_without_steps_has_none_to_choose() -> None:
    """Ensures that an empty list of steps is refused."""
    with pytest.raises(ValueError, match="steps"):
        speeds.nearest_step(100, [])


@pytest.mark.parametrize(("wanted", "rate"), [(10, 50), (900, 900), (9000, 4000)])
def test_a_stepless_drive_goes_no_further_than_its_range(wanted: float, rate: float) -> None:
    """Ensures that the traverse stays within what the machine has."""
    assert speeds.nearest_in_range(wanted, 50, 4000) == rate


def test_traverse_counts_turns_of_the_work_not_of_the_wheel() -> None:
    """Ensures a quarter of a 40 mm wheel at 90 turns of the work: 10 mm a turn, 900 mm a minute."""
    assert speeds.traverse_rate(0.25, 40, 90) == 900
    assert speeds.traverse_fraction(900, 40, 90) == 0.25


def test_passes_are_counted_up_and_floats_do_not_add_one() -> None:
    """Ensures 0.30 mm at 0.02 mm is 15 passes, and a hair more is 16."""
    assert speeds.passes(0.30, 0.02) == 15
    assert speeds.passes(0.30001, 0.02) == 16
    assert speeds.passes(0.0, 0.02) == 0


@given(st.integers(1, 400), st.integers(1, 100))
def test_passes_of_whole_steps_are_that_many(count: int, micrometres: int) -> None:
    """Ensures for any number of whole steps that exactly so many passes take the stock off."""
    step = micrometres / 1000
    assert speeds.passes(count * step, step) == count


@given(st.floats(0.001, 1), st.floats(0.001, 0.1))
def test_passes_take_all_the_stock_off_and_none_is_idle(stock: float, infeed: float) -> None:
    """Ensures that the passes suffice, and that one fewer would leave stock."""
    count = speeds.passes(stock, infeed)
    assert count * infeed >= stock * (1 - 1e-8)
    assert (count - 1) * infeed < stock


def test_time_of_a_pass_is_travel_at_the_traverse_and_the_dwell() -> None:
    """Ensures 75 mm at 900 mm/min and half a second: 5.5 s; by plunge 3 turns at 90: 2 s and the dwell."""
    assert speeds.traverse_pass_time(75, 900, 0.5) == pytest.approx(5.5)
    assert speeds.plunge_pass_time(90, 3, 0.5) == pytest.approx(2.5)


def test_the_batch_takes_its_pieces_times_the_piece() -> None:
    """Ensures that passes, sparking out, gauging and dressing all count, once a piece."""
    rough = speeds.phase_time(15, 0, 5.5)
    finish = speeds.phase_time(16, 3, 9.5)
    piece = speeds.piece_time(rough, finish, gauging=40, dressing=12)
    assert piece == pytest.approx(15 * 5.5 + 19 * 9.5 + 52)
    assert speeds.batch_time(40, piece) == pytest.approx(40 * piece)


def test_a_diamond_overlaps_as_asked() -> None:
    """Ensures that at the traverse given, each place of the wheel is cut as often as the overlap says."""
    width, rpm, overlap = 0.7, 1670, 2
    traverse = speeds.dressing_traverse(width, overlap, rpm)
    per_turn = traverse / rpm
    cuts = sum(1 for turn in range(-50, 50) if 0 <= 0.1 + turn * per_turn < width)
    assert cuts == overlap
    assert speeds.dressing_overlap(width, traverse, rpm) == pytest.approx(overlap)


def test_dressing_feeds_no_more_than_a_thousandth_of_an_inch() -> None:
    """Ensures the common practice: 0.001 in a pass at most, less where less is wanted."""
    assert speeds.dressing_infeed(0.1) <= 0.0254
    assert speeds.dressing_infeed(0.01) == 0.01


def stacked_discs(large: float, small: float, length: float) -> float:
    """Volume of a frustum as ten thousand thin discs, each taken at its middle."""
    count = 10_000
    radii = (large / 2 + (small - large) / 2 * (i + 0.5) / count for i in range(count))
    return sum(pi * r * r for r in radii) * length / count


def test_the_shell_ground_off_is_blank_less_finished_piece() -> None:
    """Ensures the exact volume on the outside, against two cones of thin discs."""
    shell = stacked_discs(38.4, 30.65, 62) - stacked_discs(38, 30.25, 62)
    assert speeds.metal_removed_outside(38, 30.25, 62, 0.4) == pytest.approx(shell, rel=1e-6)


def test_the_shell_ground_out_is_finished_hole_less_hole_before() -> None:
    """Ensures the exact volume in a hole, whose metal lies inside the finished size."""
    shell = stacked_discs(38, 30.25, 62) - stacked_discs(37.6, 29.85, 62)
    assert speeds.metal_removed_inside(38, 30.25, 62, 0.4) == pytest.approx(shell, rel=1e-6)


@pytest.mark.parametrize(("metal", "diameter", "width"), [(2650, 400, 40), (497, 8, 10)])
def test_the_wheel_loses_the_metal_over_g(metal: float, diameter: float, width: float) -> None:
    """Ensures that the ring worn off has the metal's volume over G, of a bore wheel too, which loses much."""
    wear = speeds.wheel_wear(metal, 20, diameter, width)
    ring = pi / 4 * (diameter**2 - (diameter - wear) ** 2) * width
    assert ring == pytest.approx(metal / 20)


def test_the_work_grows_by_the_wear_over_the_cosine() -> None:
    """Ensures, with a wheel line that draws back square to the surface, how much the diameter grows."""
    angle, wear, station = radians(15), 0.02, 30.0

    def diameter(away: float) -> float:
        # a line through (0, 20) at the half angle, shifted by `away` along its own normal
        foot_z, foot_r = -away * sin(angle), 20 + away * cos(angle)
        return 2 * (foot_r + (station - foot_z) * tan(angle))

    grown = diameter(wear / 2) - diameter(0.0)
    assert speeds.growth_from_wear(wear, angle) == pytest.approx(grown)
    assert not isclose(grown, wear, rel_tol=0.02)  # dropping the cosine would be seen


def test_the_stop_is_moved_before_the_wear_is_too_much() -> None:
    """Ensures that the pieces between corrections are counted down, and floats do not lose one."""
    assert speeds.pieces_within_growth(0.010, 0.0021) == 4
    assert speeds.pieces_within_growth(0.3, 0.1) == 3
    assert speeds.pieces_within_growth(0.010, 0.02) == 0
    assert speeds.pieces_within_growth(0.010, 0.0) is None


@pytest.mark.parametrize(
    "call",
    [
        lambda: speeds.rpm_for_work_speed(15, 0),
        lambda: speeds.nearest_in_range(1, 3, 2),
        lambda: speeds.traverse_fraction(900, 0, 90),
        lambda: speeds.passes(0.1, 0),
        lambda: speeds.traverse_pass_time(75, 0, 0.5),
        lambda: speeds.plunge_pass_time(0, 3, 0.5),
        lambda: speeds.batch_time(-1, 60),
        lambda: speeds.dressing_traverse(0.7, 0, 1670),
        lambda: speeds.dressing_overlap(0.7, 0, 1670),
        lambda: speeds.dressing_infeed(-0.01),
        lambda: speeds.metal_removed_outside(38, 30, 62, -0.1),
        lambda: speeds.metal_removed_inside(38, 30, 62, 31),
        lambda: speeds.wheel_wear(2650, 0, 400, 40),
        lambda: speeds.wheel_wear(1e9, 1, 400, 40),
        lambda: speeds.pieces_within_growth(-0.01, 0.001),
    ],
)
def test_senseless_figures_are_refused(call) -> None:  # type: ignore[no-untyped-def]
    """Ensures that a figure no machine or wheel can have raises, and never gives a number."""
    with pytest.raises(ValueError, match=r"\w"):
        call()
