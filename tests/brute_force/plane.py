"""Lines in the plane: through a point, along a direction; moved and turned as bodies are."""

import math
from dataclasses import dataclass

Vector = tuple[float, float]


def added(a: Vector, b: Vector, times: float = 1.0) -> Vector:
    """The point a moved by so many times b."""
    return a[0] + times * b[0], a[1] + times * b[1]


def turned(v: Vector, angle: float) -> Vector:
    """A vector turned anticlockwise about the origin."""
    c, s = math.cos(angle), math.sin(angle)
    return c * v[0] - s * v[1], s * v[0] + c * v[1]


@dataclass(frozen=True)
class Line:
    """All points through a point along a direction."""

    point: Vector
    along: Vector

    def moved(self, by: Vector, times: float = 1.0) -> "Line":
        return Line(added(self.point, by, times), self.along)

    def turned(self, angle: float) -> "Line":
        return Line(turned(self.point, angle), turned(self.along, angle))

    def height_at(self, x: float) -> float:
        """Where the line crosses the upright at x."""
        return self.point[1] + (x - self.point[0]) * self.along[1] / self.along[0]

    def distance_to(self, p: Vector) -> float:
        """How far a point lies from the line, square to it."""
        dx, dy = p[0] - self.point[0], p[1] - self.point[1]
        return abs(dx * self.along[1] - dy * self.along[0]) / math.hypot(*self.along)


def through(a: Vector, b: Vector) -> Line:
    """The line through two points."""
    return Line(a, (b[0] - a[0], b[1] - a[1]))
