"""Warm work, against a cone scaled up and a gauge slid on until it touches."""

import pytest

from cardgen.compute import warmth

A = 11.5e-6


def touching(gauge_diameter: float, face_diameter: float, ratio: float, scale: float) -> float:
    """Where along the axis a cone, all its lengths scaled, has the gauge's diameter; found by bisection."""
    low, high = -500.0, 500.0
    for _ in range(200):
        middle = (low + high) / 2
        diameter = scale * (face_diameter - ratio * (middle / scale))
        low, high = (middle, high) if diameter > gauge_diameter else (low, middle)
    return low


@pytest.mark.parametrize("warmer", [10, 20, -5])
def test_warm_outside_work_shows_a_wider_gap(warmer: float) -> None:
    """Ensures the shift of a ring's gap against the shoulder, sign and size."""
    cold = touching(38, 38.4, 1 / 8, 1)
    warm = touching(38, 38.4, 1 / 8, 1 + A * warmer)
    shift = warmth.reading_when_warm("shoulder_gap", warmth.growth(38.4, A, warmer), 1 / 8)
    assert shift == pytest.approx(warm - cold, rel=1e-6)
    assert shift * warmer > 0


def test_warm_outside_work_stands_out_less() -> None:
    """Ensures that the small end comes out of the ring by less, the ring being further from the shoulder."""
    cold = 60 - (touching(38, 38.4, 1 / 8, 1) + 50)
    warm = 60 * (1 + 10 * A) - (touching(38, 38.4, 1 / 8, 1 + 10 * A) + 50)
    shift = warmth.reading_when_warm("small_end_standout", warmth.growth(38.4, A, 10), 1 / 8)
    # the piece itself is longer by 60 a ΔT, a fifteenth of the shift, which the trade's rule leaves out
    assert shift == pytest.approx(warm - cold, abs=60 * A * 10 * 1.01)
    assert shift < 0


def test_a_plug_goes_further_into_a_warm_hole() -> None:
    """Ensures both internal readings: less stand-off, more depth, as if there were less stock."""
    cold = -touching(30, 29.6, 1 / 10, 1)
    warm = -touching(30, 29.6, 1 / 10, 1 + 10 * A)
    grown = warmth.growth(29.6, A, 10)
    assert warmth.reading_when_warm("plug_standoff", grown, 1 / 10) == pytest.approx(warm - cold, rel=1e-6)
    assert warmth.reading_when_warm("plug_depth", grown, 1 / 10) == pytest.approx(cold - warm, rel=1e-6)


def test_a_straight_piece_gives_no_reading() -> None:
    """Ensures that a ratio of nothing is refused."""
    with pytest.raises(ValueError, match="straight"):
        warmth.reading_when_warm("shoulder_gap", 0.01, 0)
