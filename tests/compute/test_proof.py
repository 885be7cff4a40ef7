"""What is shown of an error of taper, and what is done about it; how near a bar sets the swivel."""

import math
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.compute import first_setting, proof


@given(st.floats(0.0005, 0.02), st.floats(0.001, 0.05))
def test_what_is_shown_and_let_be_stays_within_half_the_tolerance(sees: float, tolerance: float) -> None:
    """With the doubt of any means that can decide; nobody turns for what the means does not show."""
    let_be = proof.turned_above(sees, tolerance)
    assert let_be >= sees
    if proof.decides(2 * sees, tolerance):
        assert let_be + sees == pytest.approx(tolerance / 2)


@pytest.mark.parametrize("degrees", [0.0, 4.0, 15.0, 30.0])
def test_a_bar_sets_the_swivel_within_what_is_said_to_be_left_over(degrees: float) -> None:
    """Two readings to half a division, a bar that is bent, a travel sure to a division: worst of 2,000."""
    angle, travel, division, straight = math.radians(degrees), 100.0, 0.001, 0.002
    said = first_setting.by_test_bar(division, straight, travel, angle)
    rng, worst = Random(4), 0.0
    for _ in range(2000):
        reading = math.hypot(rng.uniform(-1, 1), rng.uniform(-1, 1)) / 2 * division
        rise = travel * math.tan(angle) + rng.choice((-1, 1)) * reading + rng.uniform(-1, 1) * straight
        set_to = math.atan(rise / (travel + rng.uniform(-1, 1) * division))
        worst = max(worst, abs(set_to - angle))
    assert 0.75 * said < worst <= 1.001 * said
