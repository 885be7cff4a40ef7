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


@given(st.floats(0, 0.2), st.floats(0, 1))
def test_a_batch_within_its_drift_stays_within_its_limits(spread: float, along: float) -> None:
    """Ensures that no piece is out while its drift is one allowed, the first piece the shallowest of all."""
    aim, high = 3.0, 3.5
    drift = batch.allowed_drift(high - aim, spread)
    piece = aim + drift + along * spread
    assert piece <= high + 1e-12


def test_a_spread_as_wide_as_the_limits_leaves_no_drift() -> None:
    """Ensures that a stop that cannot hold the tolerance is told by a drift of nothing, never below."""
    assert batch.allowed_drift(0.1, 0.4) == 0


@given(
    st.floats(0, 1.0),
    st.sampled_from((0.5, 0.02, 0.005, 25.4 / 64)),
    st.floats(0.001, 0.1),
    st.none() | st.floats(1e-6, 0.2),
)
def test_no_piece_passes_the_drift_between_two_looks(
    allowed: float, division: float, handwheel: float, growth: float | None
) -> None:
    """Ensures, piece by piece on a wearing wheel, that the stop is moved before the drift is passed."""
    rule = batch.stop_rule(allowed, division, handwheel, growth, 10)
    if not rule.by_stop:
        assert (rule.drift, rule.feed, rule.check_every, rule.pieces) == (0, 0, 1, None)
        return
    assert rule.feed * handwheel <= rule.drift * division + 1e-9, "the stop is fed past the aim"
    assert 1 <= rule.check_every <= 10
    drifted = 0.0
    for piece in range(1, 201):
        drifted += growth or 0.0
        assert drifted <= allowed + 1e-6
        if piece % rule.check_every == 0 and drifted >= rule.drift * division - 1e-9:
            fed = int(drifted / handwheel + 1e-9)
            assert fed >= rule.feed
            drifted -= fed * handwheel


@pytest.mark.parametrize(
    ("allowed", "growth", "rule"),
    [
        (0.065, 0.01, batch.StopRule(3, 1, 3, 3)),  # half of it is 3 of 0.01, worth 1 of 0.02 mm
        (0.035, 0.001, batch.StopRule(2, 1, 10, 20)),  # half of it would be no division of the handwheel
        (0.019, 0.001, batch.StopRule(0, 0, 1, None)),  # no division of the handwheel within it
        (0.035, 0.02, batch.StopRule(0, 0, 1, None)),  # the next piece might be beyond it
        (0.035, None, batch.StopRule(2, 1, 1, None)),  # nothing is known of the wear: each piece is gauged
        (0.035, 0.0, batch.StopRule(2, 1, 10, None)),  # a wheel that does not wear
    ],
)
def test_the_stop_is_moved_by_whole_divisions_of_both_scales(
    allowed: float, growth: float | None, rule: batch.StopRule
) -> None:
    """Ensures half of the drift, enough for the handwheel; with nought in either, every piece is gauged."""
    assert batch.stop_rule(allowed, 0.01, 0.02, growth, 10) == rule


def test_the_first_few_then_every_so_manyth_then_the_last() -> None:
    """Ensures the check plan, the last piece always on it."""
    assert batch.pieces_to_check(40, 3, 10) == (1, 2, 3, 13, 23, 33, 40)
    assert batch.pieces_to_check(2, 3, 10) == (1, 2)
    assert batch.pieces_to_check(1, 0, 5) == (1,)


@pytest.mark.parametrize(
    "call",
    [
        lambda: batch.share_of_tolerance(0.1, 0),
        lambda: batch.allowed_drift(-0.1, 0),
        lambda: batch.stop_rule(0.1, 0, 0.1, None, 10),
        lambda: batch.stop_rule(0.1, 0.01, 0.1, None, 0),
        lambda: batch.pieces_to_check(0, 3, 5),
        lambda: batch.pieces_to_check(5, 3, 0),
    ],
)
def test_senseless_plans_are_refused(call) -> None:  # type: ignore[no-untyped-def]
    """Ensures that a tolerance, limit, drift or interval that cannot be raises."""
    with pytest.raises(ValueError, match=r"\w"):
        call()
