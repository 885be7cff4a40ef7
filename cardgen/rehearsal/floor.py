"""The bench with work on it: what a hand can do there, feel and see, and what comes off it in truth.

A hand calls these methods with figures from the card and gets back dial places, readings, rubs.
The true geometry stays inside; `verdict` is for the judge alone.
"""

import math
from dataclasses import dataclass, field
from random import Random
from typing import assert_never

from cardgen.rehearsal.contact import BlueMarks, GaugeCone, Generatrix, GroundSurface, light, rest, rub
from cardgen.rehearsal.errors import Day
from cardgen.rehearsal.grinder import DULL, SPRING, Grinder, Machine
from cardgen.terms import ReadingKind


@dataclass(frozen=True)
class Proving:
    """What the shop sets and proves with, and how sure each is (about two standard deviations), mm."""

    indicator: float = 0.001  # one division
    bar: float = 0.002  # straightness of the test bar between centres
    bar_length: float = 0.0  # 0: there is none
    spindle_bar: float = 0.002  # straightness of the bar on the wheel spindle
    spindle_bar_length: float = 0.0
    light: float = 0.0015  # width of light that is just seen
    rolls_apart: float = 0.0  # how far rolls are raised between two readings; 0: over the whole ground length
    sure: tuple[tuple[str, float], ...] = ()  # means of proof, and how sure one reading by it is


READY = {"mount the wheel", "set the stroke"}
STRAY = 0.1  # of their spread, that blanks lie beyond what they may have; an assumption


@dataclass(frozen=True)
class FloorJob:
    """A part, its gauge and its shop as they truly are, in plain numbers (mm, on the diameter)."""

    part: str
    side: int  # +1 shaft, −1 hole
    ratio: float
    gauge_line: float
    gauge_line_at: float  # from the shoulder or the mouth
    metal_off: float  # size tolerance towards less metal
    metal_on: float  # and towards more metal
    leave: float  # asked to be left for finishing
    angle: float  # ± difference of diameters over the length
    length: float
    reading: ReadingKind
    gauge: GaugeCone  # as calibrated
    gauge_doubt: float
    blank: tuple[float, float]
    tools: tuple[float, float]  # one division of the roughing and of the finishing tool
    grinder: Grinder
    pivot: float  # u of the gauge line
    relief: float = 0.0
    plane: float = 0.0
    light_gauge: float | None = None  # its length
    film: float = 0.005
    pieces: int = 20
    spread: float = 0.0  # of the centre depth
    wheel: tuple[float, float, float] = (380.0, 40.0, 20.0)  # diameter, width, metal removed per metal worn
    proving: Proving = Proving()
    collar: float = 0.0  # from a plug's line to the collar that is read from
    salvage: float | None = None  # least stock of a worn piece, where such are cleaned up with the least
    times: tuple[float, float, float] = (6.0, 40.0, 120.0)  # s: a pass, a gauging, a dressing

    def nominal(self, z: float) -> float:
        """The print's diameter at z."""
        return self.gauge_line - self.ratio * (z - self.gauge_line_at)

    def ground(self) -> tuple[float, float]:
        """Where the ground length begins and ends."""
        return self.relief, self.length


@dataclass
class WorkPiece:
    """One piece: its surface, and how far along the axis its centre hole lets it stand."""

    surface: GroundSurface
    shift: float
    warm: float
    last: Generatrix | None = None
    worn: bool = False  # ground only until it was clean


@dataclass(frozen=True)
class Measurement:
    """What a finished piece truly is."""

    stock: float  # on the diameter at the gauge line
    least: float  # least stock anywhere on the ground length
    taper_error: float  # difference of diameters over the length, positive: too shallow
    clean: bool


@dataclass
class Bench:
    """Machine, gauges and the piece between centres."""

    job: FloorJob
    day: Day
    rng: Random
    between: WorkPiece | None = None  # the centres
    zero: float = 0.0  # the slide's travel at the dial's zero
    cuts: int = 0
    turns: list[tuple[float, float]] = field(default_factory=list)  # true taper error before, after
    landings: dict[str, list[float]] = field(default_factory=dict)  # true stock when at a stage
    sanctioned: list[bool] = field(default_factory=list)  # turned with enough on by the card: spoilt or not
    settings: list[float] = field(default_factory=list)  # half angle less the right one, rad, as first set
    readings: int = 0
    dressings: int = 0
    dressed: bool = True
    ready: set[str] = field(default_factory=set)
    feeds: list[tuple[float, float]] = field(default_factory=list)  # told to come off; how much did not

    def __post_init__(self) -> None:
        job = self.job
        pivot = job.gauge_line_at + job.pivot
        self.machine = Machine(job.side, job.grinder, self.day, pivot, self.rng)
        self.gauge = GaugeCone(
            job.gauge.diameter + self.day.gauge, job.gauge.ratio, job.gauge.length, job.gauge.behind
        )

    # --- work on and off

    @property
    def piece(self) -> WorkPiece:
        """The piece between the centres."""
        if self.between is None:
            raise ArithmeticError("nothing is between the centres")
        return self.between

    def blank(self) -> WorkPiece:
        """The next blank out of the box."""
        job, rng = self.job, self.rng
        low, high = job.ground()
        least, most = job.blank
        stray = STRAY * (most - least)  # turned by somebody else
        stock = rng.uniform(least - stray, most + stray)
        tilt = rng.uniform(-1, 1) * self.day.errors.blank / job.length
        middle = (low + high) / 2
        radius = (job.nominal(0) + job.side * stock + tilt * middle) / 2
        surface = GroundSurface(job.side, low, high, Generatrix(radius, -(job.ratio + tilt) / 2))
        shift = rng.uniform(-0.5, 0.5) * job.spread * self.day.errors.centres
        return WorkPiece(surface, shift, rng.gauss(self.day.warm, self.day.errors.temperature))

    def mount(self, piece: WorkPiece) -> None:
        """Put a piece between the centres."""
        self.between = piece

    # --- wheel

    def touch(self) -> None:
        """Feed up to the first sparks and set the dial to zero there."""
        at_touch = self.machine.slide_at_touch(self.piece.surface, self.piece.shift)
        self.zero = self.machine.slide = at_touch + self.rng.uniform(0, self.day.errors.touch)
        self._grind(0.0)

    def dial_at_touch(self) -> int:
        """Feed up to the first sparks and read the dial there, the zero left as it was."""
        at_touch = self.machine.slide_at_touch(self.piece.surface, self.piece.shift)
        self.machine.slide = at_touch + self.rng.uniform(0, self.day.errors.touch)
        self._grind(0.0)
        return math.floor((self.machine.slide - self.zero) / self.machine.travel(1))

    def turn_screw(self, divisions: float) -> None:
        """Turn the swivel screw towards more taper."""
        before = self.taper_error()
        self.machine.turn_screw(divisions)
        self.turns.append((before, self.taper_error()))

    def turn_by_indicator(self, length: float) -> None:
        """Move the table towards more taper by an indicator at its end."""
        before = self.taper_error()
        self.machine.turn_by_indicator(length, self.job.proving.indicator * self.day.errors.start)
        self.turns.append((before, self.taper_error()))

    def grind_to(self, dial: float, per_pass: float, spark_outs: int, told: float | None = None) -> None:
        """Feed to a place on the dial in passes and spark out; `told` is what the card says comes off."""
        if self.ready != READY:
            raise ArithmeticError(f"nothing is ground: {sorted(READY - self.ready)}")
        machine = self.machine
        target = self.zero + machine.travel(dial)
        way = target - machine.slide_at_touch(self.piece.surface, self.piece.shift)
        machine.slide = target
        step = machine.travel(per_pass)
        passes = max(1, math.ceil(way / step)) if way > 0 else 0
        spring = SPRING * (1.0 if self.dressed else DULL)
        left_on = min(max(way, 0.0), step) * machine.feed_cosine * spring / (1 - spring) * spring**spark_outs
        left_on += self.rng.gauss(0, self.day.errors.repeatability / 2) * (1.0 if self.dressed else DULL)
        before = self.stock_on(self.piece) if told is not None else 0.0
        self._grind(left_on)
        self.cuts += passes + spark_outs
        if told is not None:
            off = before - self.stock_on(self.piece)
            division = 2 * machine.travel(1) * machine.feed_cosine / math.cos(machine.half_angle)
            self.feeds.append((told, (told - off) / division))

    def _grind(self, lag: float) -> None:
        machine, piece, job = self.machine, self.piece, self.job
        line = machine.line(piece.shift, lag)
        middle = (piece.surface.points[0][0] + piece.surface.points[-1][0]) / 2
        before = piece.surface.at(middle)
        piece.surface.cut(line)
        piece.last = line
        off = abs(before - piece.surface.at(middle))
        diameter, width, ratio = job.wheel
        removed = off * 2 * math.pi * abs(before) * (job.length - job.relief)
        machine.worn += removed / (ratio * self.day.wear * math.pi * diameter * width)

    def dress(self) -> None:
        """True the wheel: it comes out smaller by an amount that nobody knows to a micrometre."""
        self.machine.worn += self.rng.uniform(0.03, 0.05)
        self.dressed = True
        self.dressings += 1

    def ground_all_over(self) -> bool:
        """What the eye sees: no patch of the old skin left."""
        return self.piece.last is not None and self.piece.surface.follows(self.piece.last)

    # --- gauges

    def read(self, tool: int) -> float:
        """The reading of the gauge, to the nearest division of the roughing (0) or finishing (1) tool."""
        self.readings += 1
        division = self.job.tools[tool]
        if not self.day.errors.reading:
            return self.true_reading()
        return round(self.true_reading() / division) * division

    def true_reading(self) -> float:
        """The reading before any tool rounds it."""
        job, gauge = self.job, self._at_heat(self.gauge)
        place = rest(self.piece.surface, gauge)
        match job.reading:
            case "shoulder_gap":
                return place
            case "small_end_standout":
                return job.length - (place + gauge.length)
            case "plug_standoff":
                return -place
            case "collar_gap":
                return job.collar - place
            case "plug_depth":
                return place + gauge.length - job.plane
            case _:
                assert_never(job.reading)

    def _at_heat(self, cone: GaugeCone) -> GaugeCone:
        """The gauge as warm work feels it: smaller."""
        warm = self.piece.warm
        if not warm:
            return cone
        return GaugeCone(cone.diameter * (1 - 11.5e-6 * warm), cone.ratio, cone.length, cone.behind)

    def rub(self) -> BlueMarks:
        """Rub with blue: the part of the contact that is marked, as the eye judges it, and where."""
        marks = rub(self.piece.surface, self.gauge, self.job.film * self.day.film)
        if marks.end == "both":
            return marks
        judged = marks.fraction * (1 + self.rng.gauss(0, self.day.errors.sight))
        return BlueMarks(min(judged, 0.96), marks.end)

    def light(self) -> tuple[float, str]:
        """Lay on the light gauge: width of the light at its open end and the dark end; 0 where none shows."""
        length = self.job.light_gauge
        assert length is not None
        cone = GaugeCone(self.gauge.diameter, self.gauge.ratio, length, self.gauge.behind)
        width, dark = light(self.piece.surface, cone)
        if width < self.job.proving.light:
            return 0.0, "both"
        return width * (1 + self.rng.gauss(0, self.day.errors.sight)), dark

    def prove(self, means: str) -> float:
        """Measure the taper by two readings, rolls as they are raised: too shallow by, over the contact."""
        self.readings += 1
        doubt = dict(self.job.proving.sure)[means] / 2 * self.day.errors.proof
        (low, first), (high, last) = self.piece.surface.points[0], self.piece.surface.points[-1]
        apart = (self.job.proving.rolls_apart if means == "rolls" else 0.0) or high - low
        seen = self.job.ratio - 2 * (first - last) / (high - low)
        return (seen + self.rng.gauss(0, doubt * math.sqrt(2)) / apart) * self.contact

    @property
    def contact(self) -> float:
        """Length over which the gauge touches the piece as it is."""
        place = rest(self.piece.surface, self.gauge)
        ends = self.piece.surface.points[0][0], self.piece.surface.points[-1][0]
        return min(ends[1], place + self.gauge.length) - max(ends[0], place - self.gauge.behind)

    # --- for the judge, not for the hand

    def turned_on_the_card(self) -> None:
        """The hand says: the card had enough stock on for this turn. Keep whether the piece is spoilt."""
        self.sanctioned.append(self.spoilt(self.piece))

    def spoilt(self, piece: WorkPiece) -> bool:
        """Whether too much metal is off anywhere."""
        verdict = self.verdict(piece)
        least = -self.job.metal_off
        if piece.worn and self.job.salvage is not None:
            least = self.job.salvage
        return verdict.stock < least or verdict.least < least - self.job.angle

    def taper_error(self) -> float:
        """What the machine now grinds wrong, as a difference of diameters over the length; + too shallow."""
        return (self.job.ratio - 2 * math.tan(self.machine.half_angle)) * self.job.length

    def swivel_set(self) -> None:
        """The hand says: the swivel is set. Keep how far it is out."""
        self.settings.append(self.machine.half_angle - math.atan(self.job.ratio / 2))

    def landed(self, stage: str) -> None:
        """The hand says: this piece is now at that stage. Keep how much stock it truly has."""
        self.dressed = self.dressed and stage != "rough"  # roughing dulls the wheel
        self.landings.setdefault(stage, []).append(self.stock_on(self.piece))

    def stock_on(self, piece: WorkPiece) -> float:
        """The stock that is truly on, in the plane of the gauge line."""
        job, points = self.job, piece.surface.points
        at, (z0, r0) = job.gauge_line_at, points[0]
        inside = z0 <= at <= points[-1][0]
        radius = piece.surface.at(at) if inside else r0 + piece.surface.slope * (at - z0)
        return job.side * (2 * radius - job.gauge_line)

    def verdict(self, piece: WorkPiece) -> Measurement:
        """Measure a piece as no shop can: at the gauge line, along its length, over its angle."""
        job, points = self.job, piece.surface.points
        over = [job.side * (2 * r - job.nominal(z)) for z, r in points]
        return Measurement(
            stock=self.stock_on(piece),
            least=min(over),
            taper_error=(job.ratio + 2 * piece.surface.slope) * job.length,
            clean=piece.last is not None and piece.surface.follows(piece.last),
        )
