"""A stack of slip gauges under each roll: against every choice of signed pieces."""

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cardgen import tapers
from cardgen.compute import inspection, two_stacks

MOST_PIECES = 5  # in both stacks together: what is tried below


def by_trying_all(sizes: tuple[int, ...]) -> dict[int, tuple[int, int]]:
    """Every difference of two stacks of up to five pieces: fewest pieces, then the lowest other stack."""
    found: dict[int, tuple[int, int]] = {}
    for signs in product((0, 1, -1), repeat=len(sizes)):
        count = sum(map(abs, signs))
        difference = sum(size * sign for size, sign in zip(sizes, signs, strict=True))
        other = sum(size for size, sign in zip(sizes, signs, strict=True) if sign < 0)
        if 2 <= count <= MOST_PIECES and difference > 0:
            found[difference] = min(found.get(difference, (9, 0)), (count, other))
    return found


@settings(max_examples=60, deadline=None)
@given(st.sets(st.integers(1, 40), min_size=3, max_size=7), st.fractions(Fraction(1, 10), 60))
def test_no_two_stacks_come_nearer(sizes: set[int], height: Fraction) -> None:
    """Ensures for any set: the nearest difference, by the fewest pieces, none of them used twice."""
    known = by_trying_all(tuple(sizes))
    try:
        found = two_stacks.closest_difference(height, tuple(sizes))
    except inspection.HeightOutOfReachError:
        step = inspection.whole_pieces(tuple(sizes))[0]
        assert all(abs(difference - height) >= two_stacks.WORTH_TRYING * step for difference in known)
        return
    assert abs(found.height - height) == min(abs(difference - height) for difference in known)
    assert sum(found.pieces) - sum(found.other) == found.height
    used = [*found.pieces, *found.other]
    assert len(set(used)) == len(used)
    assert set(used) <= sizes
    assert (len(used), sum(found.other)) == known[int(found.height)]


@pytest.mark.parametrize("name", ["81 inch", "36 inch", "88 metric", "112 metric", "47 metric"])
def test_a_height_lower_than_any_piece_is_made_to_the_sets_own_step(name: str) -> None:
    """Ensures that every low height, which no one stack makes, is reached to half a step of the set."""
    known = tapers.slip_set(name)
    assert known is not None
    step = inspection.whole_pieces(known.sizes)[0]
    for count in range(3, 900, 53):
        height = (count + Fraction(1, 3)) * step
        found = two_stacks.closest_difference(height, known.sizes)
        assert abs(found.height - height) <= step / 2
        assert not set(found.pieces) & set(found.other)
        assert {*found.pieces, *found.other} <= set(known.sizes)


@pytest.mark.parametrize("height", [0, -1])
def test_no_stacks_are_made_for_nothing(height: int) -> None:
    """Ensures that a height that is not positive raises the named error."""
    with pytest.raises(inspection.HeightOutOfReachError):
        two_stacks.closest_difference(height, (1, 2, 5))
