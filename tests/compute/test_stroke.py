"""The stroke: travel and reversal places, against a wheel laid along the work millimetre by millimetre."""

from itertools import pairwise
from math import cos, isclose, radians

import pytest

from cardgen.compute import stroke
from cardgen.compute.sum_error import SumError


def ground_between(edge_from: float, edge_to: float, width: float) -> tuple[float, float]:
    """What the wheel's face sweeps when its shoulder-side edge runs from one place to the other."""
    return min(edge_from, edge_to), max(edge_from, edge_to) + width


def test_the_surface_is_longer_than_its_length_along_the_axis() -> None:
    """Ensures that the slant length is the length over the cosine, found here by stepping along the cone."""
    angle, steps = radians(20), 10_000
    rise = [40 - 2 * 60 * i / steps * 0.3639702342662024 for i in range(steps + 1)]  # tan 20°
    walked = sum(((60 / steps) ** 2 + ((a - b) / 2) ** 2) ** 0.5 for a, b in pairwise(rise))
    assert isclose(stroke.slant_length(60, angle), walked, rel_tol=1e-9)


def test_the_wheel_sweeps_the_whole_surface_and_its_overruns() -> None:
    """Ensures that reversing at the two places given sweeps from the shoulder past the open end, no more."""
    s = stroke.set_stroke(
        length=90, half_angle=radians(4), wheel_width=40, overrun_open=13, overrun_shoulder=0
    )
    assert s.reverse_at_shoulder is not None
    low, high = ground_between(s.reverse_at_shoulder, s.reverse_at_shoulder + s.travel, 40)
    assert isclose(low, 0)
    assert isclose(high, 90 / cos(radians(4)) + 13)


def test_the_wheel_keeps_clear_of_the_shoulder_where_there_is_a_groove() -> None:
    """Ensures that with a groove the wheel's edge turns back half a groove before the shoulder."""
    over = stroke.relief_overrun(relief=3, half_angle=radians(4))
    s = stroke.set_stroke(90, radians(4), 40, 13, over)
    assert s.reverse_at_shoulder == pytest.approx(1.5 / cos(radians(4)))
    low, high = ground_between(s.reverse_at_shoulder, s.reverse_at_shoulder + s.travel, 40)
    assert 0 < low < 3 / cos(radians(4))
    assert isclose(high, s.slant + 13)


def test_an_overrun_of_the_grooves_width_would_strike_the_shoulder() -> None:
    """Ensures that the length counts from the shoulder: a positive overrun there sweeps into the shoulder."""
    s = stroke.set_stroke(90, radians(4), 40, 13, overrun_shoulder=3)
    assert s.reverse_at_shoulder == -3


def test_without_a_groove_the_wheel_keeps_the_clearance_square_to_the_shoulder() -> None:
    """Ensures that the edge turns back a clearance short of the shoulder, along the axis, never at it."""
    angle = radians(15)
    s = stroke.set_stroke(90, angle, 40, 13, stroke.clearance_overrun(1.0, angle))
    assert s.reverse_at_shoulder is not None
    low, high = ground_between(s.reverse_at_shoulder, s.reverse_at_shoulder + s.travel, 40)
    assert isclose(low * cos(angle), 1.0)
    assert isclose(high, 90 / cos(angle) + 13)


@pytest.mark.parametrize("clearance", [0, -0.5])
def test_no_clearance_at_all_is_refused(clearance: float) -> None:
    """Ensures that where the wheel cannot pass its overrun is below nothing: o₂ < 0."""
    with pytest.raises(SumError, match="keep clear"):
        stroke.clearance_overrun(clearance, radians(4))


def test_a_wheel_wider_than_the_taper_grinds_it_by_plunge() -> None:
    """Ensures that a travel that is not positive is called plunge, with nothing to turn back."""
    s = stroke.set_stroke(
        length=25, half_angle=radians(8), wheel_width=40, overrun_open=10, overrun_shoulder=0
    )
    assert s.plunge
    assert s.travel < 0
    assert (s.reverse_at_shoulder, s.reverse_at_open) == (None, None)


def test_a_travel_of_nothing_is_plunge() -> None:
    """Ensures that the bound itself counts as plunge: the wheel just covers taper and overrun."""
    assert stroke.set_stroke(30, 0.0, 40, 10, 0).plunge


def test_the_wheel_must_not_leave_the_work() -> None:
    """Ensures that an overrun as wide as the wheel is refused."""
    with pytest.raises(SumError, match="leaves the work"):
        stroke.table_travel(90, 40, 0, 40)


def test_the_common_overrun_is_a_third_of_the_wheel() -> None:
    """Ensures the common practice of theory §7: a third of the width, so never the whole of it."""
    assert stroke.common_overrun(39) == 13


@pytest.mark.parametrize("length", [0, -1])
def test_a_taper_without_length_has_no_stroke(length: float) -> None:
    """Ensures that a length that is not positive is refused."""
    with pytest.raises(SumError, match="length"):
        stroke.slant_length(length, 0.1)


@pytest.mark.parametrize("width", [0, -1])
def test_a_groove_has_a_width(width: float) -> None:
    """Ensures that a groove of nothing is none: there the clearance holds, and no overrun of 0."""
    with pytest.raises(SumError, match="groove"):
        stroke.relief_overrun(width, 0.1)
