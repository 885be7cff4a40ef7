"""A grinder in plan: ways along x, the wheel on the side of y, the work's axis through the pivot at 0, 0.

The table swings so that the taper's large end goes away from the wheel; the head swings instead where the
table does not. External work is ground from outside, internal from inside, on the side towards the wheel.
"""

import math
from dataclasses import dataclass, replace

from tests.brute_force.plane import Line, Vector
from tests.brute_force.work import Profile, cut


@dataclass(frozen=True)
class Grinder:
    """Where everything stands: angles of table and head, the wheel's line, the way the fed slide goes."""

    side: str
    table_angle: float
    head_angle: float
    wheel: Line  # in the machine's frame
    slide: Vector  # one millimetre of infeed

    def wheel_on_work(self) -> Line:
        """The wheel's line seen from the work: the table's swing taken off again."""
        return self.wheel.turned(self.table_angle)

    def fed(self, travel: float) -> "Grinder":
        """The cross-slide moved in by so much."""
        return replace(self, wheel=self.wheel.moved(self.slide, travel))

    def table_swung(self, table_angle: float) -> "Grinder":
        """The table set to another angle, the cross-feed not touched."""
        return replace(self, table_angle=table_angle)

    def ground(self, work: Profile) -> Profile:
        """The work after the wheel has passed over all of it."""
        return cut(work, self.wheel_on_work(), self.side)

    def ground_from_solid(self, small_end: float, large_end: float) -> Profile:
        """A new piece with plenty of stock, ground to where the wheel stands."""
        plenty = 1e6 if self.side == "external" else -1e6
        return self.ground(((small_end, plenty), (large_end, plenty)))


def set_up(side: str, swung: str, slide_fed: str, angle: float, at: Vector) -> Grinder:
    """A grinder swung to an angle, its wheel's line through a point (place, radius) of the work."""
    inwards = -1.0 if side == "external" else 1.0
    if swung == "table":
        # The work's axis points along (cos, −sin) of the swing, so the wheel's line, along the ways,
        # is at the angle to it.
        wheel = Line(at, (math.cos(angle), math.sin(angle))).turned(-angle)
        return Grinder(side, angle, 0.0, wheel, (0.0, inwards))
    wheel = Line(at, (math.cos(angle), math.sin(angle)))
    square_to_face = (-math.sin(angle) * inwards, math.cos(angle) * inwards)
    slide = (0.0, inwards) if slide_fed == "below" else square_to_face
    return Grinder(side, 0.0, angle, wheel, slide)
