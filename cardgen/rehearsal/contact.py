"""Work and gauge in the plane of the axis: straight pieces of generatrix, cut, gauged and rubbed.

A surface is a chain of points (z, r): z along the axis from the
shoulder or the mouth towards the small end, r the radius. The wheel leaves the inner of two lines
on a shaft and the outer of two in a hole. A gauge is a straight cone slid along the axis until it
touches; the contact lies at a corner of the work or at a face of the gauge, so it is found exactly.
"""

import math
from itertools import pairwise
from typing import NamedTuple

CLEAR = 1e-10  # mm: nearer than this is touching
APART = "the gauge does not come to rest on this work"


class Generatrix(NamedTuple):
    """A straight generatrix: radius at z = 0 and its change per unit of z."""

    radius: float
    slope: float

    def at(self, z: float) -> float:
        """The radius at z."""
        return self.radius + self.slope * z


class GaugeCone(NamedTuple):
    """A ring's bore or a plug's body: diameter at its gauge line, taper, reach to either side of it."""

    diameter: float
    ratio: float
    length: float  # from the gauge line to the small face
    behind: float = 0.0  # how far the cone runs on past the gauge line towards its large end

    def radius(self, z: float, place: float) -> float:
        """The cone's radius at z while its gauge line stands at `place`."""
        return (self.diameter - self.ratio * (z - place)) / 2


class GroundSurface:
    """The generatrix of a piece of work, of metal within (a shaft) or without (a hole)."""

    def __init__(self, side: int, start: float, end: float, line: Generatrix) -> None:
        """A plain straight surface from z = start to z = end; side is +1 for a shaft, −1 for a hole."""
        self.side = side
        self.points = [(start, line.at(start)), (end, line.at(end))]

    @property
    def slope(self) -> float:
        """Change of the radius per unit of z, from end to end."""
        (z0, r0), (z1, r1) = self.points[0], self.points[-1]
        return (r1 - r0) / (z1 - z0)

    def excess(self, line: Generatrix) -> list[float]:
        """How far the metal stands beyond the line at each corner, on the radius; positive is cut."""
        side, (radius, slope) = self.side, line  # asked a million times
        return [side * (r - (radius + slope * z)) for z, r in self.points]

    def cut(self, line: Generatrix) -> None:
        """Take everything off that stands beyond the line."""
        over = self.excess(line)
        if max(over) <= 0:
            return
        if min(over) >= 0:
            radius, slope, first, last = *line, self.points[0][0], self.points[-1][0]
            self.points = [(first, radius + slope * first), (last, radius + slope * last)]
            return
        left: list[tuple[float, float]] = []
        for i, (z, r) in enumerate(self.points):
            if i and (over[i] > 0) != (over[i - 1] > 0):
                z0 = self.points[i - 1][0]
                crossing = z0 + (z - z0) * over[i - 1] / (over[i - 1] - over[i])
                left.append((crossing, line.at(crossing)))
            if over[i] <= 0:
                left.append((z, r))
            elif i in (0, len(self.points) - 1):
                left.append((z, line.at(z)))
        self.points = left

    def follows(self, line: Generatrix) -> bool:
        """Whether the wheel on this line has touched the whole length: nothing stands clear of it."""
        return min(self.excess(line)) > -CLEAR

    def at(self, z: float) -> float:
        """The radius at z, between the corners by straight line."""
        points = self.points
        for (z0, r0), (z1, r1) in pairwise(points):
            if z <= z1:
                return r0 + (r1 - r0) * (z - z0) / (z1 - z0) if z1 > z0 else r1
        return points[-1][1]


def clearance(surface: GroundSurface, cone: GaugeCone, place: float) -> list[tuple[float, float]]:
    """(z, radial gap) at every corner of work or gauge along the length where both are."""
    low = max(surface.points[0][0], place - cone.behind)
    high = min(surface.points[-1][0], place + cone.length)
    if high <= low:
        return []
    inner = [(z, r) for z, r in surface.points if low < z < high]
    corners = [(low, surface.at(low)), *inner, (high, surface.at(high))]
    return [(z, surface.side * (cone.radius(z, place) - r)) for z, r in corners]


def candidates(surface: GroundSurface, cone: GaugeCone) -> list[float]:
    """Every place of the gauge line at which a corner of one comes to lie on a side of the other."""
    places = [z + (2 * r - cone.diameter) / cone.ratio for z, r in surface.points]
    for reach in (-cone.behind, cone.length):
        radius = (cone.diameter - cone.ratio * reach) / 2
        for (z0, r0), (z1, r1) in pairwise(surface.points):
            if min(r0, r1) <= radius <= max(r0, r1) and r0 != r1:
                places.append(z0 + (z1 - z0) * (radius - r0) / (r1 - r0) - reach)
    return places


def _rest_straight(surface: GroundSurface, cone: GaugeCone) -> float:
    """On work without a bend the gauge bears at one end of what they share: the work's end or its own."""
    (z0, r0), (z1, r1) = surface.points
    slope, half = (r1 - r0) / (z1 - z0), cone.ratio / 2
    heavy_at_start = surface.side * (half + slope) <= 0  # the gap grows with z
    z, r, reach = (z0, r0, -cone.behind) if heavy_at_start else (z1, r1, cone.length)
    place = z + (r - cone.diameter / 2) / half
    beyond = z - place < reach if heavy_at_start else z - place > reach
    if beyond:  # the work's end lies beyond the gauge's face
        place = z0 + (cone.diameter / 2 - half * reach - r0) / slope - reach
    if min(z1, place + cone.length) <= max(z0, place - cone.behind):
        raise ArithmeticError(APART)
    return place


def rest(surface: GroundSurface, cone: GaugeCone) -> float:
    """Where the gauge line comes to rest when the gauge is pushed home, in the work's z."""
    if len(surface.points) == 2:
        return _rest_straight(surface, cone)
    for place in sorted(candidates(surface, cone), reverse=surface.side < 0):
        gaps = clearance(surface, cone, place)
        if gaps and min(gap for _, gap in gaps) > -CLEAR:
            return place
    raise ArithmeticError(APART)


class BlueMarks(NamedTuple):
    """What a rub of blue shows: how much of the contact is marked, and at which end it begins."""

    fraction: float
    end: str  # 'large', 'small' or 'both'


def rub(surface: GroundSurface, cone: GaugeCone, film: float) -> BlueMarks:
    """Blue comes off where the gap square to the surface is thinner than the film."""
    square = math.cos(math.atan(cone.ratio / 2))
    gaps = clearance(surface, cone, rest(surface, cone))
    marked, moment = 0.0, 0.0
    for (z0, g0), (z1, g1) in pairwise(gaps):
        a, b = g0 * square - film, g1 * square - film
        if a > 0 and b > 0:
            continue
        start = z0 if a <= 0 else z0 + (z1 - z0) * a / (a - b)
        end = z1 if b <= 0 else z0 + (z1 - z0) * a / (a - b)
        marked += end - start
        moment += (end - start) * (start + end) / 2
    length = gaps[-1][0] - gaps[0][0]
    fraction = marked / length
    if fraction > 0.97:
        return BlueMarks(1.0, "both")
    middle = moment / marked
    return BlueMarks(fraction, "large" if middle < (gaps[0][0] + gaps[-1][0]) / 2 else "small")


def light(surface: GroundSurface, cone: GaugeCone) -> tuple[float, str]:
    """Width of the light at the wider end, square to the surface, and the end that shuts it out."""
    square = math.cos(math.atan(cone.ratio / 2))
    gaps = clearance(surface, cone, rest(surface, cone))
    at_large, at_small = gaps[0][1] * square, gaps[-1][1] * square
    return (at_small, "large") if at_small > at_large else (at_large, "small")
