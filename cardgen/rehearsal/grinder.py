"""The true grinder: where its wheel really cuts, whatever its scales, dials and makers say.

u runs along the axis from the swivel's pivot towards the large end of the taper. The table turns
about the pivot; the wheel's line keeps its distance h from it.
"""

import math
from dataclasses import dataclass
from functools import lru_cache
from random import Random
from typing import assert_never

from cardgen.rehearsal.contact import Generatrix, GroundSurface
from cardgen.rehearsal.errors import Day
from cardgen.terms import ScaleShows, SlideFed, SwingType

SPRING = 0.3  # part of a pass that the work gives way and leaves on, each pass anew; an assumption
DULL = 2.0  # times as much with a wheel that was not dressed; an assumption


@dataclass(frozen=True)
class Rod:
    """Something that turns, or tells, the table's angle by a length at a radius from the pivot."""

    type: SwingType
    radius: float

    def length(self, angle: float) -> float:
        """The length that stands for an angle."""
        match self.type:
            case "sine":
                return self.radius * math.sin(angle)
            case "tangent":
                return self.radius * math.tan(angle)
            case "chord":
                return 2 * self.radius * math.sin(angle / 2)
            case _:
                assert_never(self.type)

    def angle(self, length: float) -> float:
        """The angle that a length stands for."""
        match self.type:
            case "sine":
                return math.asin(length / self.radius)
            case "tangent":
                return math.atan(length / self.radius)
            case "chord":
                return 2 * math.asin(length / 2 / self.radius)
            case _:
                assert_never(self.type)


@dataclass(frozen=True)
class Grinder:
    """What stands on the floor, in plain numbers."""

    screw: Rod | None
    lead: float  # mm a turn of the swivel screw
    screw_divisions: int
    indicator: Rod
    slips: Rod | None
    feed_per_division: float  # true travel of the slide for one division of the cross-feed handwheel
    head_turns: SlideFed | None = None  # which slide is fed; None: the table is swivelled


def angle_engraved(shows: ScaleShows, mark: float) -> float:
    """The table's angle, if the scale told the truth, at a mark of a scale of this kind."""
    match shows:
        case "half_angle":
            return math.radians(mark)
        case "included_angle":
            return math.radians(mark) / 2
        case "taper_per_foot":
            return math.atan(mark / 12 / 2)
        case "mm_per_m":
            return math.atan(mark / 1000 / 2)
        case "per_cent":
            return math.atan(mark / 100 / 2)
        case _:
            assert_never(shows)


@lru_cache(maxsize=32)  # the angle stands still while pieces are ground
def _tangent_and_cosine(angle: float) -> tuple[float, float]:
    return math.tan(angle), math.cos(angle)


class Machine:
    """A grinder with its faults, its table at an angle and its wheel at a place."""

    def __init__(self, side: int, grinder: Grinder, day: Day, pivot: float, rng: Random) -> None:
        """side +1 grinds a shaft, −1 a hole; pivot is the place of the swivel's pivot in the work's z."""
        self.side, self.grinder, self.day, self.rng = side, grinder, day, rng
        self.pivot = pivot + day.pivot_along
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

    def line(self, shift: float, lag: float = 0.0) -> Generatrix:
        """The line now ground on a piece whose shoulder stands `shift` along the axis from its place."""
        h = self.home - self.side * (self.slide * self.feed_cosine - self.worn - lag)
        tangent, cosine = _tangent_and_cosine(self.table + self.head)
        slope = -tangent
        radius = self.day.pivot_across + h / cosine
        return Generatrix(radius + slope * (shift - self.pivot), slope)

    def slide_at_touch(self, surface: GroundSurface, shift: float) -> float:
        """The slide's travel at which the wheel just meets this surface."""
        line = self.line(shift)
        clear = -max(surface.excess(line))  # on the radius
        return self.slide + clear * math.cos(self.half_angle) / self.feed_cosine

    def travel(self, divisions: float) -> float:
        """True travel of the slide for so many divisions of its handwheel."""
        return divisions * self.grinder.feed_per_division * (1 + self.day.feed)

    def set_scale(self, shows: ScaleShows, mark: float) -> None:
        """Bring a mark of the table's scale to the line."""
        sight = self.rng.gauss(0, self.day.scale_sight)
        self.table = angle_engraved(shows, mark) + self.day.scale_zero + sight

    def set_head(self, degrees: float) -> None:
        """Turn the wheel head to an angle of its own scale, the table at its zero."""
        self.head = math.radians(degrees) + self.day.scale_zero + self.rng.gauss(0, self.day.scale_sight)

    def set_swing(self, rod: Rod, length: float, sure: float) -> None:
        """Turn the table until a length at a radius is there, as slips or an indicator tell it."""
        errors = self.day.errors
        true = Rod(rod.type, rod.radius * (1 + self.day.radius / 8))
        self.table = true.angle(length + errors.start * self.rng.gauss(0, sure / 2))

    def set_test_bar(self, travel: float, rise: float, sure: float, straightness: float) -> None:
        """Turn the table until an indicator on a parallel bar changes by `rise` over the travel."""
        self.table = self._along_a_bar(travel, rise, sure, straightness)

    def set_spindle_bar(self, travel: float, rise: float, sure: float, straightness: float) -> None:
        """Turn the head until an indicator on the table does so on a parallel bar on the wheel spindle."""
        self.head = self._along_a_bar(travel, rise, sure, straightness)

    def _along_a_bar(self, travel: float, rise: float, sure: float, straightness: float) -> float:
        """The angle so set; the travel, by slips to a stop, is as sure as the indicator is."""
        off = self.rng.gauss(0, sure / math.sqrt(8)) + self.rng.uniform(-1, 1) * straightness
        late = self.rng.gauss(0, sure / 2)
        start = self.day.errors.start
        return math.atan((rise + start * off) / (travel + start * late))

    def turn_screw(self, divisions: float) -> None:
        """Turn the swivel screw towards more taper by so many divisions."""
        rod = self.grinder.screw
        assert rod is not None
        felt = divisions + (self.rng.gauss(0, self.day.errors.screw) if divisions else 0)
        self._move(rod, felt * self.grinder.lead / self.grinder.screw_divisions)

    def turn_by_indicator(self, length: float, division: float) -> None:
        """Move the table's end, or the head, towards more taper by so much on an indicator set against it."""
        told = round(length / division) * division if division else length
        told += self.rng.uniform(-division, division) / 2
        if self.grinder.head_turns is not None:
            before = self.feed_cosine
            self.head += told / (self.grinder.indicator.radius * (1 + self.day.radius))
            # The slide unmoved, the wheel keeps its distance from the pivot: what the card takes for granted.
            self.home += self.side * self.slide * (self.feed_cosine - before)
        else:
            self._move(self.grinder.indicator, told)

    def _move(self, rod: Rod, length: float) -> None:
        true = Rod(rod.type, rod.radius * (1 + self.day.radius))
        self.table = true.angle(true.length(self.table) + length)
