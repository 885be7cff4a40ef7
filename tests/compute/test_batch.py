"""The batch: limits, drift and check plan, against pieces ground one after the other."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.compute import batch


def test_unequal_centre_depths_spread_the_size_by_the_taper() -> None:
    """Ensures, with a fixed wheel line, that a piece lying 0.1 mm further along comes out C × 0.1 larger."""
    ratio = 1 / 8

    def ground(centre_depth: float) -> float:
        wheel_line_at = 38.0  # diameter the wheel leaves at a place 50 mm from the machine's centre
        return wheel_line_at + ratio * (50 - (50 - centre_depth))  # the gauge line, in machine coordinates

    assert batch.spread_on_diameter(0.10, ratio) == pytest.approx(ground(0.10) - ground(0.0))


def test_the_spread_is_told_as_a_share_of_the_tolerance() -> None:
    """Ensures that 0.0125 mm of 0.020 mm is five eighths of it."""
    assert batch.share_of_tolerance(0.0125, 0.020) == pytest.approx(0.625)


def test_limits_are_drawn_in_by_the_doubt_on_both_sides() -> None:
    """Ensures the guard band, and that a tool coarser than the tolerance is refused."""
    assert batch.acceptance_limits(2.8, 3.2, 0.05) == pytest.approx((2.85, 3.15))
    with pytest.raises(ValueError, match="coarse"):
        batch.acceptance_limits(2.8, 3.2, 0.21)


@given(st.floats(0, 0.2), st.floats(0, 0.2), st.floats(-1, 1), st.floats(-1, 1))
def test_a_batch_within_its_drift_stays_within_its_limits(
    spread: float, doubt: float, along: float, misread: float
) -> None:
    """Ensures that no piece is out while its drift is one allowed, with spread and doubt at their worst."""
    low, high = 2.5, 3.5
    drift = batch.allowed_drift(low, high, spread, doubt)
    piece = 3.0 + drift + along * spread / 2 + misread * doubt
    assert low - 1e-12 <= piece <= high + 1e-12


def test_a_spread_as_wide_as_the_limits_leaves_no_drift() -> None:
    """Ensures that a stop that cannot hold the tolerance is told by a drift of nothing, never below."""
    assert batch.allowed_drift(2.9, 3.1, 0.4, 0.0) == 0


def test_the_stop_is_moved_before_the_drift_is_used_up() -> None:
    """Ensures that pieces are counted down; floats do not lose one; no wear means no end."""
    assert batch.pieces_before_moving_stop(0.10, 0.03) == 3
    assert batch.pieces_before_moving_stop(0.3, 0.1) == 3
    assert batch.pieces_before_moving_stop(0.0, 0.1) == 0
    assert batch.pieces_before_moving_stop(0.1, 0.0) is None


@pytest.mark.parametrize(("pieces", "interval"), [(None, 10), (100, 10), (9, 4), (1, 1), (0, 1)])
def test_a_piece_is_checked_twice_before_the_stop_moves(pieces: int | None, interval: int) -> None:
    """Ensures at least two checks within the pieces allowed, and never an interval below one."""
    assert batch.check_interval(pieces, 10) == interval


def test_the_first_few_then_every_so_manyth_then_the_last() -> None:
    """Ensures the check plan, the last piece always on it."""
    assert batch.pieces_to_check(40, 3, 10) == (1, 2, 3, 13, 23, 33, 40)
    assert batch.pieces_to_check(2, 3, 10) == (1, 2)
    assert batch.pieces_to_check(1, 0, 5) == (1,)


@pytest.mark.parametrize(
    "call",
    [
        lambda: batch.share_of_tolerance(0.1, 0),
        lambda: batch.allowed_drift(3.1, 2.9, 0, 0),
        lambda: batch.pieces_before_moving_stop(-0.1, 0.1),
        lambda: batch.check_interval(4, 0),
        lambda: batch.pieces_to_check(0, 3, 5),
        lambda: batch.pieces_to_check(5, 3, 0),
    ],
)
def test_senseless_plans_are_refused(call) -> None:  # type: ignore[no-untyped-def]
    """Ensures that a tolerance, limit, drift or interval that cannot be raises."""
    with pytest.raises(ValueError, match=r"\w"):
        call()
