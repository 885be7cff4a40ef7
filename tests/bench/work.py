"""The bench with work on it: what a hand can do there, feel and see, and what comes off it in truth.

A hand calls these methods with figures from the card and gets back dial places, readings, rubs.
The true geometry stays inside; `verdict` is for the judge of the test alone.
"""

import math
from dataclasses import dataclass, field
from random import Random

from tests.bench.geometry import Cone, Line, Marks, Surface, light, rest, rub
from tests.bench.machine import SPRING, Faults, Grinder, Machine


@dataclass(frozen=True)
class Job:
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
    reading: str
    gauge: Cone  # as calibrated
    gauge_doubt: float
    blank: tuple[float, float]
    tools: tuple[float, float]  # one division of the roughing and of the finishing tool
    grinder: Grinder
    pivot: float  # u of the gauge line
    way: str  # how the swivel is first set: 'scale', 'bar', 'slips', 'head'
    relief: float = 0.0
    plane: float = 0.0
    light_gauge: float | None = None  # its length
    film: float = 0.005
    pieces: int = 20
    spread: float = 0.0  # of the centre depth
    wheel: tuple[float, float, float] = (380.0, 40.0, 20.0)  # diameter, width, metal removed per metal worn

    def nominal(self, z: float) -> float:
        """The print's diameter at z."""
        return self.gauge_line - self.ratio * (z - self.gauge_line_at)

    def ground(self) -> tuple[float, float]:
        """Where the ground length begins and ends."""
        return self.relief, self.length


@dataclass
class Truth:
    """What is true in one batch and not on the card."""

    faults: Faults
    gauge_error: float = 0.0
    film_gain: float = 1.0
    wear_gain: float = 1.0
    warm: float = 0.0  # K, work above gauge
    warmth: float = 0.0  # K, its standard deviation
    sight: float = 0.0  # of the marked fraction and the light gap, relative
    blank_taper: float = 0.0  # ± on the diameter over the length

    @classmethod
    def drawn(cls, job: Job, rng: Random) -> "Truth":
        """A usual day."""
        return cls(
            faults=Faults.drawn(rng),
            gauge_error=rng.gauss(0, job.gauge_doubt),
            film_gain=math.exp(rng.uniform(-0.35, 0.35)),
            wear_gain=math.exp(rng.uniform(-0.3, 0.3)),
            warmth=1.0,
            sight=0.1,
            blank_taper=0.015,
        )


@dataclass
class Piece:
    """One piece: its surface, and how far along the axis its centre hole lets it stand."""

    surface: Surface
    shift: float
    warm: float
    last: Line | None = None


@dataclass(frozen=True)
class Verdict:
    """What a finished piece truly is."""

    stock: float  # on the diameter at the gauge line
    least: float  # least stock anywhere on the ground length
    taper_error: float  # difference of diameters over the length, positive: too shallow
    clean: bool


@dataclass
class Bench:
    """Machine, gauges and the piece between centres."""

    job: Job
    truth: Truth
    rng: Random
    piece: Piece = field(init=False)
    zero: float = 0.0  # the slide's travel at the dial's zero
    cuts: int = 0
    turns: list[tuple[float, float]] = field(default_factory=list)  # true taper error before, after
    landings: dict[str, list[float]] = field(default_factory=dict)  # true stock when at a stage
    sanctioned: list[bool] = field(default_factory=list)  # turned with enough on by the card: spoilt or not
    feeds: list[tuple[float, float]] = field(default_factory=list)  # told to come off; how much did not

    def __post_init__(self) -> None:
        job = self.job
        pivot = job.gauge_line_at + job.pivot
        self.machine = Machine(job.side, job.grinder, self.truth.faults, pivot, self.rng)
        self.gauge = Cone(
            job.gauge.diameter + self.truth.gauge_error, job.gauge.ratio, job.gauge.length, job.gauge.behind
        )

    # --- work on and off

    def blank(self) -> Piece:
        """The next blank out of the box."""
        job, rng = self.job, self.rng
        low, high = job.ground()
        stock = rng.uniform(*job.blank)
        tilt = rng.uniform(-1, 1) * self.truth.blank_taper / job.length
        middle = (low + high) / 2
        radius = (job.nominal(0) + job.side * stock + tilt * middle) / 2
        surface = Surface(job.side, low, high, Line(radius, -(job.ratio + tilt) / 2))
        return Piece(
            surface, rng.uniform(-0.5, 0.5) * job.spread, rng.gauss(self.truth.warm, self.truth.warmth)
        )

    def mount(self, piece: Piece) -> None:
        """Put a piece between the centres."""
        self.piece = piece

    # --- wheel

    def touch(self) -> None:
        """Feed up to the first sparks and set the dial to zero there."""
        at_touch = self.machine.slide_at_touch(self.piece.surface, self.piece.shift)
        self.zero = self.machine.slide = at_touch + self.rng.uniform(0, self.truth.faults.touch)
        self._grind(0.0)

    def dial_at_touch(self) -> int:
        """Feed up to the first sparks and read the dial there, the zero left as it was."""
        at_touch = self.machine.slide_at_touch(self.piece.surface, self.piece.shift)
        self.machine.slide = at_touch + self.rng.uniform(0, self.truth.faults.touch)
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
        self.machine.turn_by_indicator(length)
        self.turns.append((before, self.taper_error()))

    def grind_to(self, dial: float, per_pass: float, spark_outs: int, told: float | None = None) -> None:
        """Feed to a place on the dial in passes and spark out; `told` is what the card says comes off."""
        machine = self.machine
        target = self.zero + machine.travel(dial)
        way = target - machine.slide_at_touch(self.piece.surface, self.piece.shift)
        machine.slide = target
        step = machine.travel(per_pass)
        passes = max(1, math.ceil(way / step)) if way > 0 else 0
        left_on = min(max(way, 0.0), step) * machine.feed_cosine * SPRING / (1 - SPRING) * SPRING**spark_outs
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
        machine.worn += removed / (ratio * self.truth.wear_gain * math.pi * diameter * width)

    def dress(self) -> None:
        """True the wheel: it comes out smaller by an amount that nobody knows to a micrometre."""
        self.machine.worn += self.rng.uniform(0.03, 0.05)

    def ground_all_over(self) -> bool:
        """What the eye sees: no patch of the old skin left."""
        return self.piece.last is not None and self.piece.surface.follows(self.piece.last)

    # --- gauges

    def read(self, tool: int) -> float:
        """The reading of the gauge, to the nearest division of the roughing (0) or finishing (1) tool."""
        division = self.job.tools[tool]
        return round(self.true_reading() / division) * division

    def true_reading(self) -> float:
        """The reading before any tool rounds it."""
        job, gauge = self.job, self._at_heat(self.gauge)
        place = rest(self.piece.surface, gauge)
        if job.reading == "shoulder_gap":
            return place
        if job.reading == "small_end_standout":
            return job.length - (place + gauge.length)
        return -place if job.reading == "plug_standoff" else place + gauge.length - job.plane

    def _at_heat(self, cone: Cone) -> Cone:
        """The gauge as warm work feels it: smaller."""
        return Cone(cone.diameter * (1 - 11.5e-6 * self.piece.warm), cone.ratio, cone.length, cone.behind)

    def rub(self) -> Marks:
        """Rub with blue: the part of the contact that is marked, as the eye judges it, and where."""
        marks = rub(self.piece.surface, self.gauge, self.job.film * self.truth.film_gain)
        if marks.end == "both":
            return marks
        judged = marks.fraction * (1 + self.rng.gauss(0, self.truth.sight))
        return Marks(min(judged, 0.96), marks.end)

    def light(self) -> tuple[float, str]:
        """Lay on the light gauge: width of the light at its open end and the dark end; 0 where none shows."""
        length = self.job.light_gauge
        assert length is not None
        cone = Cone(self.gauge.diameter, self.gauge.ratio, length, self.gauge.behind)
        width, dark = light(self.piece.surface, cone)
        if width < 0.0015:
            return 0.0, "both"
        return width * (1 + self.rng.gauss(0, self.truth.sight)), dark

    # --- for the judge, not for the hand

    def turned_on_the_card(self) -> None:
        """The hand says: the card had enough stock on for this turn. Keep whether the piece is spoilt."""
        self.sanctioned.append(self.spoilt(self.piece))

    def spoilt(self, piece: Piece) -> bool:
        """Whether too much metal is off anywhere."""
        verdict = self.verdict(piece)
        return verdict.stock < -self.job.metal_off or verdict.least < -self.job.metal_off - self.job.angle

    def taper_error(self) -> float:
        """What the machine now grinds wrong, as a difference of diameters over the length; + too shallow."""
        return (self.job.ratio - 2 * math.tan(self.machine.half_angle)) * self.job.length

    def landed(self, stage: str) -> None:
        """The hand says: this piece is now at that stage. Keep how much stock it truly has."""
        self.landings.setdefault(stage, []).append(self.stock_on(self.piece))

    def stock_on(self, piece: Piece) -> float:
        """The stock that is truly on, in the plane of the gauge line."""
        job, points = self.job, piece.surface.points
        at, (z0, r0) = job.gauge_line_at, points[0]
        inside = z0 <= at <= points[-1][0]
        radius = piece.surface.at(at) if inside else r0 + piece.surface.slope * (at - z0)
        return job.side * (2 * radius - job.gauge_line)

    def verdict(self, piece: Piece) -> Verdict:
        """Measure a piece as no shop can: at the gauge line, along its length, over its angle."""
        job, points = self.job, piece.surface.points
        over = [job.side * (2 * r - job.nominal(z)) for z, r in points]
        return Verdict(
            stock=self.stock_on(piece),
            least=min(over),
            taper_error=(job.ratio + 2 * piece.surface.slope) * job.length,
            clean=piece.last is not None and piece.surface.follows(piece.last),
        )
