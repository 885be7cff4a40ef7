"""Small pictures of a cone in its gauge: where blue comes off, where light comes through.

mm on the paper within a box, x right, y down. External work has its small end right, as it sits
between headstock and tailstock; a plug goes into its hole from the right, so its large end is there.
"""

from dataclasses import dataclass

from cardgen.terms import End, Side

Point = tuple[float, float]
Outline = tuple[Point, ...]

STUB_SHARE = 0.14  # of the box's width: the shank or handle
LARGE, SMALL = 0.5, 0.26  # diameters at the two ends, as fractions of the box's height
GAP = 0.11  # the widest light gap, as a fraction of the height; far larger than life
WALL = 0.13


@dataclass(frozen=True)
class Cone:
    """A cone seen from the side, with the stub it is held by."""

    outline: Outline
    stub: Outline  # open line
    left: float
    right: float
    left_radius: float
    right_radius: float
    middle: float  # y of the axis

    def radius(self, x: float) -> float:
        share = (x - self.left) / (self.right - self.left)
        return self.left_radius + share * (self.right_radius - self.left_radius)


def cone(side: Side, width: float, height: float) -> Cone:
    """The cone in a box of width × height with its top left corner at the origin."""
    stub = STUB_SHARE * width
    large, small = LARGE * height / 2, SMALL * height / 2
    left, right = (stub, width - 0.04 * width) if side == "external" else (0.04 * width, width - stub)
    at_left, at_right = (large, small) if side == "external" else (small, large)
    middle = height / 2
    if side == "external":
        held, end = left, 0.0
        half = 1.25 * large
    else:
        held, end = right, width
        half = 0.55 * large
    return Cone(
        outline=(
            (left, middle - at_left),
            (right, middle - at_right),
            (right, middle + at_right),
            (left, middle + at_left),
        ),
        stub=((end, middle - half), (held, middle - half), (held, middle + half), (end, middle + half)),
        left=left,
        right=right,
        left_radius=at_left,
        right_radius=at_right,
        middle=middle,
    )


def end_is_left(side: Side, end: End) -> bool:
    """Whether an end of the cone is the left one in these pictures."""
    return (end == "large") == (side == "external")


def marked(shape: Cone, side: Side, heavy: End, fraction: float) -> Outline:
    """The part of the cone that bears: `fraction` of its length from the heavy end; all of it for 'both'."""
    length = shape.right - shape.left
    if heavy == "both" or fraction >= 1:
        low, high = shape.left, shape.right
    elif end_is_left(side, heavy):
        low, high = shape.left, shape.left + fraction * length
    else:
        low, high = shape.right - fraction * length, shape.right
    top = [(x, shape.middle - shape.radius(x)) for x in (low, high)]
    bottom = [(x, shape.middle + shape.radius(x)) for x in (high, low)]
    return (*top, *bottom)


def walls(shape: Cone, side: Side, light: End, height: float) -> tuple[Outline, Outline]:
    """The gauge (or the hole) in section, above and below: touching at one end, open at the light one."""
    gap = GAP * height
    if light in ("none", "both"):
        at_left = at_right = 0.0
    else:
        at_left, at_right = (gap, 0.0) if end_is_left(side, light) else (0.0, gap)
    inset = 0.06 * (shape.right - shape.left)
    low, high = shape.left + inset, shape.right - inset
    inner_left, inner_right = shape.radius(low) + at_left, shape.radius(high) + at_right
    outer = max(inner_left, inner_right) + WALL * height
    upper = (
        (low, shape.middle - inner_left),
        (high, shape.middle - inner_right),
        (high, shape.middle - outer),
        (low, shape.middle - outer),
    )
    return upper, tuple((x, 2 * shape.middle - y) for x, y in upper)
