"""Ratio, angle and diameters of a taper: there and back again, and what cannot be is refused."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given

from cardgen.compute import correction, infeed, reading, seat, swivel, taper
from tests.compute.cases import between

SEAT = seat.seated("external", 1 / 8, 38.375, 62.0, 3.0, 3.0, 50.0, 88.0)


@given(between(0.001, 3.0))
def test_every_way_of_calling_out_a_taper_gives_the_same_taper(ratio: float) -> None:
    """Per foot, 1:x, half angle, included angle, two diameters and a length."""
    half_angle = taper.half_angle_from_ratio(ratio)
    ways = [
        taper.ratio_from_per_foot(taper.per_foot_from_ratio(ratio)),
        taper.ratio_from_one_in(taper.one_in_from_ratio(ratio)),
        taper.ratio_from_half_angle(half_angle),
        taper.ratio_from_half_angle(taper.half_angle_from_included(taper.included_angle(half_angle))),
        taper.ratio_from_ends(50.0, taper.diameter_at(50.0, ratio, 12.0), 12.0),
        taper.per_cent_from_ratio(ratio) / 100,
        taper.mm_per_m_from_ratio(ratio) / 1000,
    ]
    assert ways == pytest.approx([ratio] * len(ways), rel=1e-9)


@given(between(0.001, 3.0), between(-50.0, 50.0))
def test_a_distance_along_the_axis_and_its_diameter_belong_together(ratio: float, distance: float) -> None:
    """Towards the small end it gets smaller, towards the large end larger."""
    there = taper.diameter_at(40.0, ratio, distance)
    assert taper.distance_between(40.0, there, ratio) == pytest.approx(distance, abs=1e-9)


def test_two_callouts_part_at_the_far_end_by_their_difference_over_the_length() -> None:
    """0.0501 against 0.05 over 80 mm: 8 µm on the diameter, the first the steeper."""
    assert taper.far_end_disagreement(0.0501, 0.05, 80.0) == pytest.approx(0.008)


def test_the_nearest_mark_is_never_more_than_half_a_division_off() -> None:
    """Half way goes to the higher mark."""
    assert swivel.nearest_mark(8.2971, 1 / 6) == pytest.approx(8 + 2 / 6)
    assert swivel.nearest_mark(0.5, 1.0) == 1.0


def test_a_division_of_the_scale_is_engraved_in_its_own_unit() -> None:
    """Ten minutes, an eighth of an inch per foot, a millimetre per metre, a tenth of a per cent."""
    assert swivel.as_engraved("half_angle", math.radians(10 / 60)) == pytest.approx(10 / 60)
    assert swivel.as_engraved("included_angle", math.radians(10 / 60)) == pytest.approx(10 / 60)
    assert swivel.as_engraved("taper_per_foot", 1 / 8 / 12) == pytest.approx(1 / 8)
    assert swivel.as_engraved("mm_per_m", 0.001) == pytest.approx(1.0)
    assert swivel.as_engraved("per_cent", 0.001) == pytest.approx(0.1)


def test_the_table_reaches_its_limit_and_not_beyond() -> None:
    """The limit itself can still be set."""
    assert swivel.within_limit(math.radians(10), math.radians(10))
    assert not swivel.within_limit(math.radians(10.01), math.radians(10))


def test_the_relief_takes_its_width_off_the_taper_and_off_its_diameter() -> None:
    """A groove of 3 mm at 1:8: the ground taper begins 3 mm from the shoulder, 0.375 mm smaller."""
    assert SEAT.large_end == pytest.approx(85.0)
    assert SEAT.large_diameter == pytest.approx(38.0)


def test_the_contact_runs_from_the_rings_face_to_its_other_face() -> None:
    """A ring of 50 mm that stops 3 mm from the shoulder of a 62 mm taper touches over its whole length."""
    assert seat.contact_ends(SEAT) == pytest.approx((85.0, 35.0))
    assert seat.contact_length(SEAT, 0.25) == pytest.approx(50.0)


def test_a_ring_longer_than_the_taper_touches_as_far_as_the_taper_goes() -> None:
    """The small end lies inside the ring."""
    long_ring = seat.seated("external", 1 / 8, 38.375, 62.0, 3.0, 3.0, 80.0, 88.0)
    assert seat.contact_ends(long_ring) == pytest.approx((85.0, 26.0))
    assert seat.contact_ends(long_ring, 0.25) == pytest.approx((83.0, 26.0))


def test_everything_about_a_correction_agrees_with_its_parts() -> None:
    """Too shallow by 0.01 mm over the ring's 50 mm, the gauge line 85 mm on the large-end side."""
    made = correction.correct("shoulder_gap", SEAT, 0.01, 50.0, 85.0, 0.1)
    assert (made.turn, made.heavy_end) == ("more", "small")
    assert made.ratio_change == pytest.approx(0.0002)
    assert made.angle_change == pytest.approx(made.half_angle_after - made.half_angle_before)
    assert math.degrees(made.angle_change) * 3600 == pytest.approx(20.55, abs=0.01)
    assert made.size_shift == pytest.approx(2 * 85 * 0.0001, abs=0.0005)
    assert made.stock_shift == pytest.approx(made.reading_shift / 8)
    # The bearing face is 35 mm on the large-end side: the wheel leaves the work there.
    assert made.stock_shift == pytest.approx(2 * 35 * 0.0001, abs=0.0005)
    # The edge of the relief, 50 mm and a little from the bearing face, has 0.01 mm less on than is read.
    assert made.least_stock == pytest.approx(0.0100, abs=0.0001)
    assert made.under_end == "large"


def test_a_right_taper_asks_for_no_turn_and_no_stock() -> None:
    """Blue even over the whole length."""
    made = correction.correct("shoulder_gap", SEAT, 0.0, 50.0, 85.0, 0.1)
    assert (made.turn, made.heavy_end, made.under_end) == ("none", "both", "none")
    assert made.least_stock == 0.0
    assert made.angle_change == 0.0
    assert made.reading_shift == pytest.approx(0.0, abs=1e-12)


@given(half_angle=between(0.001, 1.2))
def test_a_small_change_of_the_half_angle_changes_the_ratio_by_its_slope(half_angle: float) -> None:
    """What a callout's rounding in degrees leaves open in the ratio: two ratios a little apart say it."""
    step = 1e-6
    above, below = (taper.ratio_from_half_angle(half_angle + way * step) for way in (1, -1))
    assert taper.ratio_change_per_angle(half_angle) == pytest.approx((above - below) / (2 * step), rel=1e-6)


@given(half_angle=between(0.001, 1.2), length=between(5, 500), diameter=between(0.0, 1.0))
def test_a_greater_difference_of_diameters_is_a_steeper_half_angle(
    half_angle: float, length: float, diameter: float
) -> None:
    """A tolerance given as a diameter over a length: the steeper cone's ends differ by that more."""
    steeper = half_angle + taper.half_angle_change(half_angle, diameter, length)
    more = (taper.ratio_from_half_angle(steeper) - taper.ratio_from_half_angle(half_angle)) * length
    assert more == pytest.approx(diameter, abs=1e-9)


@pytest.mark.parametrize(
    "cannot_be",
    [
        pytest.param(lambda: taper.ratio_from_half_angle(0.0), id="no half angle"),
        pytest.param(lambda: taper.ratio_from_half_angle(math.pi / 2), id="a half angle of 90 degrees"),
        pytest.param(lambda: taper.half_angle_from_ratio(0.0), id="no taper"),
        pytest.param(lambda: taper.included_angle(-0.1), id="an angle below zero"),
        pytest.param(lambda: taper.half_angle_from_included(math.pi), id="180 degrees included"),
        pytest.param(lambda: taper.ratio_from_per_foot(0.0), id="nothing per foot"),
        pytest.param(lambda: taper.ratio_from_one_in(0.0), id="1:0"),
        pytest.param(lambda: taper.one_in_from_ratio(0.0), id="1:x of no taper"),
        pytest.param(lambda: taper.ratio_from_ends(20.0, 10.0, 0.0), id="ends in one plane"),
        pytest.param(lambda: taper.ratio_from_ends(10.0, 20.0, 5.0), id="ends the wrong way round"),
        pytest.param(lambda: taper.distance_between(20.0, 10.0, 0.0), id="diameters of no taper"),
        pytest.param(lambda: reading.stock_per_reading("shoulder_gap", 0.0), id="reading without taper"),
        pytest.param(lambda: reading.stock_limits("external", -0.1, 0.1), id="allowance below zero"),
        pytest.param(
            lambda: reading.reading_tolerance_as_size("plug_depth", 0.1, 0.1, -0.1), id="tolerance below zero"
        ),
        pytest.param(lambda: reading.next_readable(1.0, 0.0, 0.1), id="no division to read"),
        pytest.param(lambda: reading.next_readable(1.0, 0.5, 0.0), id="reading that tells nothing"),
        pytest.param(lambda: infeed.depth_square_to_surface(0.1, -0.1), id="cut at a negative angle"),
        pytest.param(lambda: infeed.cross_feed_travel(0.1, math.pi / 2), id="feed along the surface"),
        pytest.param(
            lambda: infeed.handwheel_divisions(0.1, "radius", 0.0), id="handwheel without divisions"
        ),
        pytest.param(lambda: infeed.travel_per_division("radius", 0.0), id="division of nothing"),
        pytest.param(lambda: swivel.half_angle_at_mark("per_cent", -1.0), id="mark below zero"),
        pytest.param(lambda: swivel.nearest_mark(1.0, 0.0), id="scale without marks"),
        pytest.param(lambda: swivel.slip_height("sine", 0.0, 0.1), id="swing at the pivot"),
        pytest.param(lambda: swivel.half_angle_from_slips("sine", 100.0, 101.0), id="swing beyond its reach"),
        pytest.param(
            lambda: swivel.screw_divisions_between(0.1, 0.2, "sine", 100.0, 0.0, 60), id="screw without lead"
        ),
        pytest.param(
            lambda: swivel.screw_division_angle("sine", 100.0, 1.0, 0, 0.1), id="screw without divisions"
        ),
        pytest.param(lambda: correction.error_from_blue(0.005, 0.0), id="no mark at all"),
        pytest.param(lambda: correction.error_from_blue(0.005, 1.1), id="more than the whole marked"),
        pytest.param(lambda: correction.actual_ratio(0.1, 0.01, 0.0), id="error over no length"),
        pytest.param(lambda: correction.actual_ratio(0.1, 6.0, 50.0), id="error greater than the taper"),
        pytest.param(lambda: correction.least_stock(SEAT, 1 / 3), id="taper too far off"),
        pytest.param(lambda: seat.contact_ends(SEAT, 10.0), id="gauge that never reaches the work"),
    ],
)
def test_what_cannot_be_is_refused(cannot_be: Callable[[], object]) -> None:
    """A ValueError that says what is wrong, never a silent number."""
    with pytest.raises(ValueError, match=r"\w"):
        cannot_be()
