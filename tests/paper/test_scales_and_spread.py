"""Scales of drawings, and labels that keep clear of one another."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.paper.pictures.scales import STANDARD_SCALES, detail_scale
from cardgen.paper.pictures.spread import spread

labels = st.lists(st.tuples(st.floats(-20, 120), st.floats(0.5, 6)), min_size=1, max_size=12)


def test_drawings_use_the_standard_scales_from_the_largest_down() -> None:
    """ISO 5455:1979, table 1 (from memory): factors 1, 2, 5 and their powers of ten."""
    assert [scale.text for scale in STANDARD_SCALES[:9]] == [
        "50:1", "20:1", "10:1", "5:1", "2:1", "1:1", "1:2", "1:5", "1:10",
    ]  # fmt: skip
    assert all(larger.factor > smaller.factor for larger, smaller in pairwise(STANDARD_SCALES))


def test_a_detail_takes_the_smallest_scale_that_shows_it() -> None:
    """A gap of half a millimetre that shall be 3.5 mm wide on the paper."""
    assert detail_scale(0.5, 3.5).text == "10:1"
    assert detail_scale(3.0, 3.5).text == "2:1"
    assert detail_scale(0.001, 3.5).text == "50:1"


@given(labels)
def test_labels_never_overlap_and_stay_in_their_room(drawn: list[tuple[float, float]]) -> None:
    """Whatever they wish, they stand clear, in order, within 0 and 100."""
    wanted, sizes = [place for place, _ in drawn], [size for _, size in drawn]
    centres = spread(wanted, sizes, 0.0, 100.0)
    standing = sorted(zip(centres, sizes, strict=True))
    assert standing[0][0] - standing[0][1] / 2 >= -1e-6
    assert standing[-1][0] + standing[-1][1] / 2 <= 100 + 1e-6
    for (low, low_size), (high, high_size) in pairwise(standing):
        assert high - low >= (low_size + high_size) / 2 - 1e-6
    for one, other in pairwise(sorted(range(len(wanted)), key=lambda index: wanted[index])):
        assert centres[one] <= centres[other] + 1e-9


def test_labels_that_are_clear_already_stay_where_they_are() -> None:
    """No label is moved without need."""
    assert spread([10.0, 20.0, 30.0], [4.0, 4.0, 4.0], 0.0, 40.0) == [10.0, 20.0, 30.0]


def test_labels_that_cannot_fit_are_refused() -> None:
    """More labels than room is a fault of the layout, not to be drawn one over the other."""
    with pytest.raises(ValueError, match="do not fit"):
        spread([1.0, 2.0], [6.0, 6.0], 0.0, 10.0)
