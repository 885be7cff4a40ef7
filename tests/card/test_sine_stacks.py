"""What goes under the rolls of a sine bar, for every standard taper."""

import math

import pytest

from cardgen import tapers
from cardgen.card.stacks import sine_stack

SECOND = math.pi / 648_000
# What half the set's smallest step turns the bar by, at the steepest: the best that any two stacks do.
BEST = {("88 metric", 100.0): 0.00025, ("81 inch", 127.0): 0.00005 * 25.4, ("88 metric", 200.0): 0.00025}


@pytest.mark.parametrize(("name", "length"), BEST)
@pytest.mark.parametrize("share", [1.0, 0.5], ids=["bar", "centres"])
def test_every_taper_is_set_within_a_second_or_as_near_as_the_set_goes(
    name: str, length: float, share: float
) -> None:
    """Ensures, by the pieces alone: within 1″, or half the set's step; and no piece is under both rolls."""
    slip_set = tapers.slip_set(name)
    angles = {
        round(taper.included_angle_rad * share, 12)
        for taper in tapers.all_tapers()
        if taper.included_angle_rad * share < math.radians(59)
    }
    for angle in angles:
        found = sine_stack(angle, length, slip_set)
        assert found is not None
        used = (*found.pieces_mm, *found.other_pieces_mm)
        assert len({round(piece, 6) for piece in used}) == len(used)
        stands_at = math.asin((sum(found.pieces_mm) - sum(found.other_pieces_mm)) / length)
        assert found.left_over_arcsec == pytest.approx((angle - stands_at) / SECOND, abs=1e-6)
        best = BEST[name, length] / length / math.cos(angle)
        assert abs(angle - stands_at) <= max(SECOND, best * (1 + 1e-6)), math.degrees(angle)


def test_one_stack_that_is_near_enough_is_left_alone() -> None:
    """Ensures that the other roll stands on the plate where one stack comes within a second."""
    found = sine_stack(math.radians(10), 100.0, tapers.slip_set("88 metric"))
    assert found is not None
    assert found.other_pieces_mm == ()
    assert sum(found.pieces_mm) == pytest.approx(100 * math.sin(math.radians(10)), abs=0.00025)


def test_a_pin_of_1_to_50_on_5_in_centres_needs_a_stack_under_each_roll() -> None:
    """Ensures that .0499975 in, 4″ from the only piece near it in the set of 81, is built by difference."""
    half_angle = math.atan(1 / 192)
    found = sine_stack(half_angle, 127.0, tapers.slip_set("81 inch"))
    assert found is not None
    assert found.other_pieces_text
    assert abs(found.left_over_arcsec) < 2.1
