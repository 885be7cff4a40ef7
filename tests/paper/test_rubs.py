"""Pictures of blue and light: contact where the words say contact, a gap where they say light."""

import pytest

from cardgen.paper.pictures import rubs
from cardgen.terms import End, Side

SIDES: tuple[Side, ...] = ("external", "internal")
ONE_SIDED: tuple[End, ...] = ("large", "small")


def gaps(side: Side, light: End) -> dict[str, float]:
    """Clear width between cone and gauge at the gauge's two ends."""
    shape = rubs.cone(side, 30.0, 16.0)
    upper, _ = rubs.walls(shape, side, light, 16.0)
    clear = [shape.middle - shape.radius(x) - y for x, y in upper[:2]]
    left = "large" if rubs.end_is_left(side, "large") else "small"
    return {left: clear[0], "small" if left == "large" else "large": clear[1]}


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("light", ONE_SIDED)
def test_light_comes_through_at_one_end_and_the_gauge_touches_at_the_other(side: Side, light: End) -> None:
    """The gap is drawn at the end that the pattern names."""
    found = gaps(side, light)
    heavy = "small" if light == "large" else "large"
    assert found[light] > 1.0
    assert found[heavy] == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("side", SIDES)
def test_an_even_pattern_shows_no_light(side: Side) -> None:
    """The gauge touches all along."""
    assert all(gap == pytest.approx(0.0, abs=1e-9) for gap in gaps(side, "none").values())


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("heavy", ONE_SIDED)
@pytest.mark.parametrize("fraction", [0.25, 0.5, 0.75])
def test_the_marked_part_is_the_fraction_told_and_lies_at_the_heavy_end(
    side: Side, heavy: End, fraction: float
) -> None:
    """Measured along the axis, from the end that bears."""
    shape = rubs.cone(side, 30.0, 16.0)
    xs = [x for x, _ in rubs.marked(shape, side, heavy, fraction)]
    assert max(xs) - min(xs) == pytest.approx(fraction * (shape.right - shape.left))
    assert (min(xs) == shape.left) == rubs.end_is_left(side, heavy)


@pytest.mark.parametrize("side", SIDES)
def test_the_cone_is_thicker_at_its_large_end(side: Side) -> None:
    """External work narrows to the right, a plug's large end is at the right."""
    shape = rubs.cone(side, 30.0, 16.0)
    assert (shape.left_radius > shape.right_radius) == rubs.end_is_left(side, "large")
