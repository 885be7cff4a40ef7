"""The true grinder: where its wheel really cuts, whatever its scales, dials and makers say.

u runs along the axis from the swivel's pivot towards the large end of the taper. The table turns
about the pivot; the wheel's line keeps its distance h from it. Nothing here knows the package.
"""

import math
from dataclasses import dataclass
from random import Random

from tests.bench.geometry import Line, Surface

SPRING = 0.3  # part of a pass that the work gives way and leaves on, each pass anew


@dataclass(frozen=True)
class Rod:
    """Something that turns, or tells, the table's angle by a length at a radius from the pivot."""

    type: str  # 'sine', 'tangent' or 'chord'
    radius: float

    def length(self, angle: float) -> float:
        """The length that stands for an angle."""
        if self.type == "sine":
            return self.radius * math.sin(angle)
        return (
            self.radius * math.tan(angle) if self.type == "tangent" else 2 * self.radius * math.sin(angle / 2)
        )

    def angle(self, length: float) -> float:
        """The angle that a length stands for."""
        if self.type == "sine":
            return math.asin(length / self.radius)
        return (
            math.atan(length / self.radius)
            if self.type == "tangent"
            else 2 * math.asin(length / 2 / self.radius)
        )


@dataclass(frozen=True)
class Grinder:
    """What stands on the floor, in plain numbers."""

    screw: Rod | None
    lead: float  # mm a turn of the swivel screw
    screw_divisions: int
    indicator: Rod
    slips: Rod | None
    feed_per_division: float  # true travel of the slide for one division of the cross-feed handwheel
    head_turns: str | None = None  # None: the table is swivelled; else which slide is fed: 'below' or 'above'


def angle_engraved(shows: str, mark: float) -> float:
    """The table's angle, if the scale told the truth, at a mark of a scale of this kind."""
    if shows == "half_angle":
        return math.radians(mark)
    if shows == "included_angle":
        return math.radians(mark) / 2
    change_of_diameter = {"taper_per_foot": 1 / 12, "mm_per_m": 1 / 1000, "per_cent": 1 / 100}[shows] * mark
    return math.atan(change_of_diameter / 2)


@dataclass
class Faults:
    """What is wrong with this machine today; drawn anew for each batch."""

    scale_zero: float = 0.0  # rad
    scale_gain: float = 0.0
    scale_sight: float = 0.0  # rad, setting a mark to the line by eye
    radius_gain: float = 0.0  # of the swivel screw and indicator
    feed_gain: float = 0.0
    pivot_along: float = 0.0  # mm
    pivot_across: float = 0.0  # mm, from the line of centres towards the wheel
    indicator_step: float = 0.0  # mm, the least that the indicator tells
    screw_feel: float = 0.0  # of a division
    touch: float = 0.0  # mm, how deep the first sparks are

    @classmethod
    def drawn(cls, rng: Random) -> "Faults":
        """A machine in fair order: a scale some minutes out, a pivot not where the book says."""
        return cls(
            scale_zero=math.radians(rng.uniform(-4, 4) / 60),
            scale_gain=rng.gauss(0, 0.004),
            scale_sight=math.radians(0.7 / 60),
            radius_gain=rng.gauss(0, 0.004),
            feed_gain=rng.gauss(0, 0.001),
            pivot_along=rng.gauss(0, 2),
            pivot_across=rng.uniform(-3, 3),
            indicator_step=0.001,
            screw_feel=0.1,
            touch=0.002,
        )


class Machine:
    """A grinder with its faults, its table at an angle and its wheel at a place."""

    def __init__(self, side: int, grinder: Grinder, faults: Faults, pivot: float, rng: Random) -> None:
        """side +1 grinds a shaft, −1 a hole; pivot is the place of the swivel's pivot in the work's z."""
        self.side, self.grinder, self.faults, self.rng = side, grinder, faults, rng
        self.pivot = pivot + faults.pivot_along
        self.table = 0.0  # true angle of the table
        self.head = 0.0  # true angle of the wheel head
        self.slide = 0.0  # travel of the cross-slide towards the cut
        self.worn = 0.0  # how much the wheel's radius has shrunk
        self.home = 500.0 if side > 0 else -500.0  # h with the slide at zero and the wheel new

    @property
    def half_angle(self) -> float:
        """The true half angle that is ground."""
        return self.table + self.head

    @property
    def feed_cosine(self) -> float:
        """Cosine between the slide that is fed and the square to the wheel's line."""
        return math.cos(self.head) if self.grinder.head_turns == "below" else 1.0

    def line(self, shift: float, lag: float = 0.0) -> Line:
        """The line now ground on a piece whose shoulder stands `shift` along the axis from its place."""
        h = self.home - self.side * (self.slide * self.feed_cosine - self.worn - lag)
        slope = -math.tan(self.half_angle)
        radius = self.faults.pivot_across + h / math.cos(self.half_angle)
        return Line(radius + slope * (shift - self.pivot), slope)

    def slide_at_touch(self, surface: Surface, shift: float) -> float:
        """The slide's travel at which the wheel just meets this surface."""
        line = self.line(shift)
        clear = -max(surface.excess(line))  # on the radius
        return self.slide + clear * math.cos(self.half_angle) / self.feed_cosine

    def travel(self, divisions: float) -> float:
        """True travel of the slide for so many divisions of its handwheel."""
        return divisions * self.grinder.feed_per_division * (1 + self.faults.feed_gain)

    def set_scale(self, shows: str, mark: float) -> None:
        """Bring a mark of the table's scale to the line."""
        told = angle_engraved(shows, mark)
        sight = self.rng.gauss(0, self.faults.scale_sight)
        self.table = told * (1 + self.faults.scale_gain) + self.faults.scale_zero + sight

    def set_head(self, degrees: float) -> None:
        """Turn the wheel head to an angle of its own scale, the table at its zero."""
        self.table = self.faults.scale_zero / 2
        self.head = math.radians(degrees) + self.rng.gauss(0, 2 * self.faults.scale_sight)

    def set_slips(self, height: float) -> None:
        """Turn the table until a stack of slips of this height goes in at the table's end."""
        rod = self.grinder.slips
        assert rod is not None
        self.table = Rod(rod.type, rod.radius * (1 + self.faults.radius_gain / 10)).angle(
            height + self.rng.gauss(0, self.faults.indicator_step)
        )

    def set_test_bar(self, travel: float, rise: float) -> None:
        """Turn the table until an indicator on a parallel bar changes by `rise` over the travel."""
        seen = rise + self.rng.gauss(0, 2 * self.faults.indicator_step)
        self.table = math.atan(seen / travel)

    def turn_screw(self, divisions: float) -> None:
        """Turn the swivel screw towards more taper by so many divisions."""
        rod = self.grinder.screw
        assert rod is not None
        felt = divisions + (self.rng.gauss(0, self.faults.screw_feel) if divisions else 0)
        self._move(rod, felt * self.grinder.lead / self.grinder.screw_divisions)

    def turn_by_indicator(self, length: float) -> None:
        """Move the table's end towards more taper by so much on an indicator set against it."""
        step = self.faults.indicator_step
        told = round(length / step) * step if step else length
        self._move(self.grinder.indicator, told + self.rng.uniform(-step, step) / 2)

    def _move(self, rod: Rod, length: float) -> None:
        true = Rod(rod.type, rod.radius * (1 + self.faults.radius_gain))
        self.table = true.angle(true.length(self.table) + length)
