"""Checking a finished taper: sine bar and slip gauges, rolls, balls, discs, angle grades."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import asin, cos, gcd, lcm, sin, tan

from cardgen.compute.sum_error import SumError

Height = int | Fraction


class HeightOutOfReachError(SumError):
    """A height that no choice of the set's slip gauges makes, each used at most once."""


@dataclass(frozen=True)
class Stack:
    """Slip gauges wrung together: the pieces, largest first, their height, and what they leave over."""

    pieces: tuple[Height, ...]
    height: Height
    left_over: Fraction


def sine_bar_height(bar_length: float, included_angle: float) -> float:
    """Height under one roll of a sine bar that lays the upper side of a resting taper level.

    h = B sin 2θ: the piece lies on its side, so the bar is set to the included angle. Bar length B between
    its rolls in mm, included angle 2θ in radians; result in mm.
    Raises SumError for an angle that is not between 0 and 90°. Source: US Army TC 9-524, appendix C.
    """
    if not 0 <= included_angle < asin(1):
        raise SumError("a sine bar sets angles below 90° only")
    return bar_length * sin(included_angle)


def angle_from_sine_bar(bar_length: float, height: float) -> float:
    """Angle to which a sine bar stands on a given height.

    asin(h / B). Both in mm; result in radians. Raises SumError for a height that the bar cannot stand on.
    Source: US Army TC 9-524, appendix C.
    """
    if not 0 <= height <= bar_length:
        raise SumError("the height must lie between nothing and the bar's length")
    return asin(height / bar_length)


def sine_centres_height(centres_length: float, half_angle: float) -> float:
    """Height under one roll of sine centres that lays the upper side of a taper between them level.

    h = B sin θ: the axis is held, so the half angle is set. Length B between the rolls in mm, half angle θ
    in radians; result in mm. Source: plane geometry.
    """
    return centres_length * sin(half_angle)


def closest_stack(height: float | Height, sizes: Sequence[Height]) -> Stack:
    """The fewest slip gauges of a set that come nearest to a height; of two equally near, the lower height.

    `left_over` is the height wanted less the height made, in the unit of the sizes (positive: the stack is
    too low). Raises HeightOutOfReachError for an empty set or a height that is not positive.
    Source: exact search over all sums of distinct sizes.
    """
    wanted = Fraction(height)
    if not sizes or wanted <= 0:
        raise HeightOutOfReachError(f"no slip gauges come near a height of {height}")
    unit, pieces = whole_pieces(sizes)
    steps = wanted / unit
    nearest = min(_neighbours(_all_sums(pieces), int(steps)), key=lambda n: (abs(n - steps), n))
    found = _fewest(nearest, pieces)
    if found is None:
        raise HeightOutOfReachError(f"no slip gauges come near a height of {height}")
    return _stack(found, unit, wanted)


def whole_pieces(sizes: Sequence[Height]) -> tuple[Fraction, tuple[int, ...]]:
    """The largest unit of which every size is a whole number, and the sizes in it, smallest first."""
    return _whole(tuple(size.as_integer_ratio() for size in sizes))  # a fraction is slow to look up by


@lru_cache(maxsize=16)  # a shop has a few sets, and asks for hundreds of heights
def _whole(sizes: tuple[tuple[int, int], ...]) -> tuple[Fraction, tuple[int, ...]]:
    fractions = sorted(Fraction(*size) for size in sizes)
    if fractions[0] <= 0 or len(set(fractions)) != len(fractions):
        raise SumError("the sizes of a set must be greater than nothing and all different")
    below = lcm(*(size.denominator for size in fractions))
    unit = Fraction(gcd(*(int(size * below) for size in fractions)), below)
    return unit, tuple(int(size / unit) for size in fractions)


@lru_cache(maxsize=16)
def _all_sums(pieces: tuple[int, ...]) -> str:
    """Character n is 1, not 0, where some of the pieces, each once at most, add up to n."""
    sums = 1
    for piece in pieces:
        sums |= sums << piece
    return f"{sums:b}"[::-1]


def _neighbours(sums: str, wanted: int) -> Iterator[int]:
    """The nearest sums at or below and above a wanted one, nothing at all not counted."""
    near = sums.rfind("1", 1, wanted + 1), sums.find("1", wanted + 1)
    return (place for place in near if place > 0)


def _fewest(wanted: int, pieces: Sequence[int]) -> list[int] | None:
    """The fewest pieces that add up to a height, largest piece first; None where there are none.

    `sums[k][i]` has bit n set where k of the i smallest pieces add up to n.
    """
    mask = (1 << (wanted + 1)) - 1
    usable = [piece for piece in pieces if piece <= wanted]
    sums = [[1] * (len(usable) + 1)]
    for count in range(1, len(usable) + 1):
        with_fewer, here = sums[-1], [0]
        for piece, before in zip(usable, with_fewer, strict=False):
            here.append(here[-1] | ((before << piece) & mask))
        sums.append(here)
        if here[-1] >> wanted & 1:
            return _walk_back(wanted, usable, sums, count)
        if not here[-1]:
            return None
    return None


def _walk_back(wanted: int, usable: Sequence[int], sums: Sequence[Sequence[int]], count: int) -> list[int]:
    """Take the largest piece that still leaves a height the smaller ones can make, until none is left."""
    found: list[int] = []
    for index in range(len(usable), 0, -1):
        rest = wanted - usable[index - 1]
        if count and rest >= 0 and sums[count - 1][index - 1] >> rest & 1:
            found.append(usable[index - 1])
            wanted, count = rest, count - 1
    return found


def _stack(pieces: Sequence[int], unit: Fraction, wanted: Fraction) -> Stack:
    height = sum(pieces) * unit
    return Stack(
        pieces=tuple(_plain(piece * unit) for piece in pieces),
        height=_plain(height),
        left_over=wanted - height,
    )


def _plain(value: Fraction) -> Height:
    return int(value) if value.denominator == 1 else value


def over_rolls(small_diameter: float, roll_diameter: float, half_angle: float) -> float:
    """Size over two equal rolls on the plate, the taper standing on its small end between them.

    M₁ = d + w (1 + cot((90° − θ) / 2)). Small-end diameter d (sharp, as if there were no chamfer), roll
    diameter w in mm, half angle θ in radians; result in mm.
    Raises SumError for a roll that is not positive. Source: plane geometry (circle between two lines); the
    same form, M = d + 2 R (1 + cot((90° − α) / 2)), in a trade paper on measuring small ends.
    """
    if roll_diameter <= 0:
        raise SumError("a roll's diameter must be greater than nothing")
    return small_diameter + roll_diameter * (1 + (1 + sin(half_angle)) / cos(half_angle))


def over_raised_rolls(
    small_diameter: float, roll_diameter: float, half_angle: float, raised_by: float
) -> float:
    """Size over the same two rolls when both stand on equal slip gauges.

    M₂ = M₁ + 2 H tan θ. Diameters and height H in mm, half angle θ in radians; result in mm.
    Raises SumError as `over_rolls` does. Source: plane geometry.
    """
    return over_rolls(small_diameter, roll_diameter, half_angle) + rolls_differ(
        raised_by, 2 * tan(half_angle)
    )


def rolls_differ(raised: float, ratio: float) -> float:
    """How much more is measured over raised rolls than on the plate, mm: C·h, whatever roll and size.

    `raised` (h): mm, height of the slip gauges under the rolls; `ratio` (C): taper, or the error of a taper.
    The difference of `over_raised_rolls` and `over_rolls`: 2·h·tan(α/2) = C·h.
    """
    return ratio * raised


def ball_depth(mouth_diameter: float, half_angle: float, length: float, ball_diameter: float) -> float:
    """Depth of the top of a ball below the mouth of the tapered hole it rests in.

    z = (D/2 − (w/2)/cos θ) / tan θ − w/2. Mouth diameter D, length of the hole, ball diameter w in mm, half
    angle in radians; result in mm, negative where the ball stands out of the mouth.
    Raises SumError where the ball does not touch the taper within its length.
    Source: plane geometry (circle between two lines).
    """
    radius = ball_diameter / 2
    centre = (mouth_diameter / 2 - radius / cos(half_angle)) / tan(half_angle)
    if not 0 <= centre + radius * sin(half_angle) <= length:
        raise SumError(f"a ball of {ball_diameter:g} mm does not touch the taper within its length")
    return centre - radius


def balls_differ(large_ball: float, small_ball: float, half_angle: float) -> float:
    """How much deeper the top of the smaller of two balls lies in a tapered hole, mm, whatever its size.

    z₂ − z₁ = (w₁ − w₂) (1 + 1 / sin θ) / 2, the difference of two `ball_depth`. Balls w₁ > w₂ in mm, half
    angle θ in radians. Raises SumError where the first ball is not the larger. Source: plane geometry.
    """
    if large_ball <= small_ball:
        raise SumError("the first ball must be the larger")
    return (large_ball - small_ball) / 2 * (1 + 1 / sin(half_angle))


def disc_centres(large_disc: float, small_disc: float, half_angle: float) -> float:
    """Centre distance of two discs whose common tangents stand at the included angle.

    a = (R − r) / sin θ. Disc diameters in mm, half angle in radians; result in mm.
    Raises SumError where the discs would overlap or there is no angle.
    Source: F. D. Jones, Turning and Boring (1914).
    """
    if half_angle <= 0 or large_disc <= small_disc:
        raise SumError("two unlike discs and an angle above nothing are needed")
    distance = (large_disc - small_disc) / (2 * sin(half_angle))
    if distance < (large_disc + small_disc) / 2:
        raise SumError("the discs would overlap: take discs more unlike")
    return distance


def angle_tolerance_on_diameter(at_angle: float, length: float) -> float:
    """An angle grade's tolerance as a difference of diameters over the cone length, as the standard counts.

    AT_D = AT_α L, for tapers up to 1:3; for steeper ones take `angle_change_on_diameter`. Width of the
    tolerance zone of the included angle in radians, length along the axis in mm; result in mm.
    Raises SumError for a negative figure. Source: ISO 1947, from memory; GOST 8908-81 as a handbook page
    gives it (AT_D ≈ AT_α L up to 1:3, AT_α L₁ / cos(α/2) above, L₁ along the surface).
    """
    if at_angle < 0 or length < 0:
        raise SumError("a tolerance and a length cannot be negative")
    return at_angle * length


def angle_change_on_diameter(included_change: float, half_angle: float, length: float) -> float:
    """What a change of the included angle does to the difference of the end diameters, exactly.

    Δ(D − d) = 2 L (tan(θ + Δα/2) − tan θ). Change Δα and half angle θ in radians, length L along the axis in
    mm; result in mm. Source: plane geometry; for a small change it is AT_α L / cos² θ, as the standards have
    it for steep cones.
    """
    return 2 * length * (tan(half_angle + included_change / 2) - tan(half_angle))
