"""Limits to accept: a piece that is let pass is good, whatever its reading is in doubt by."""

import math
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.compute import conformity, doubt


def test_of_pieces_that_read_right_at_the_limit_to_accept_few_are_out() -> None:
    """Drawn in by twice the standard uncertainty, one in 44 lies beyond: 2.28 % of a normal distribution."""
    rng, u = Random(3), 0.0012
    low, high = conformity.proved_within(-0.010, 0.010, 2 * u)
    out = sum(high + rng.gauss(0, u) > 0.010 for _ in range(20_000)) / 20_000
    assert out == pytest.approx(0.0228, abs=0.004)
    assert low == pytest.approx(-high)


def test_a_doubt_wider_than_the_tolerance_leaves_nothing_to_accept() -> None:
    """The limits cross: no reading proves anything."""
    low, high = conformity.proved_within(0.0, 0.004, 0.003)
    assert low > high


@given(st.floats(0.002, 0.1), st.floats(0.01, 1.2), st.floats(0.0, 0.02))
def test_the_division_that_would_do_does_and_the_next_coarser_does_not(
    band: float, ratio: float, other: float
) -> None:
    """By the budget worked out anew; where no division does, a perfect tool would not either."""

    def zone(division: float) -> float:
        return band - 4 * math.sqrt((ratio * division) ** 2 / 12 + other**2)

    found = conformity.coarsest_division(band, ratio, other, 0.25)
    if found is None:
        assert zone(0.0) < 1e-4 * band
        return
    assert ratio * found <= 0.25 * zone(found) * (1 + 1e-9)
    first = round(found / 10 ** math.floor(math.log10(found * 1.0001)))
    assert first in (1, 2, 5)
    coarser = found * {1: 2, 2: 2.5, 5: 2}[first]
    assert ratio * coarser > 0.25 * zone(coarser) * (1 - 1e-9)


@pytest.mark.parametrize(
    "call",
    [
        lambda: conformity.proved_within(0, 1, -0.1),
        lambda: conformity.coarsest_division(0.01, 0.0, 0.001, 0.25),
    ],
)
def test_what_cannot_be_proved_with_is_refused(call) -> None:  # type: ignore[no-untyped-def]
    """A doubt below nothing, a piece without a taper."""
    with pytest.raises(ValueError, match=r"\w"):
        call()


def test_a_division_is_read_to_half_of_it() -> None:
    """The tool's part of the doubt is the rectangle of a division (GUM F.2.2.1)."""
    assert doubt.reading_uncertainty(0.02) == pytest.approx(0.02 / math.sqrt(12))


@given(st.floats(0.002, 0.1), st.floats(0.0, 0.02))
def test_a_doubt_that_is_sure_enough_leaves_three_quarters_to_prove_in(band: float, others: float) -> None:
    """Drawn in by twice the whole doubt; beside others that take more, it adds an eighth to them at most."""
    enough = conformity.sure_enough(band, others)
    if enough is None:
        assert 4 * others >= band / 2
        return
    whole = doubt.combined(enough, others)
    low, high = conformity.proved_within(0.0, band, 2 * whole)
    assert high - low == pytest.approx(3 * band / 4) or whole <= 1.125 * others
