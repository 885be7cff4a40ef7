"""Parts with their gauges, right and wrong tapers, as the bare grinder grinds and reads them."""

import math
from dataclasses import dataclass

from cardgen.compute import correction, seat, taper
from cardgen.terms import ReadingKind, Side, SlideFed, Swivelled
from tests.brute_force import work
from tests.brute_force.grinder import Grinder, set_up
from tests.brute_force.plane import Line, through

NEAR = 1e-9  # mm on the diameter


@dataclass(frozen=True)
class Case:
    """A part, its gauge and how it stands in the grinder. Places are counted from the pivot."""

    kind: ReadingKind
    ratio: float
    face_diameter: float  # of the finished taper carried on to the shoulder, or at the mouth
    length: float
    face: float  # place of the shoulder or the mouth
    gauge_length: float
    line_off_face: float  # finish gap of the ring or finish standoff of the plug
    relief: float = 0.0
    plane: float = 0.0  # where plug_depth is read from
    collar: float = 0.0  # from the plug's line out to its collar
    swung: Swivelled = "table"
    slide_fed: SlideFed = "below"

    @property
    def side(self) -> Side:
        return "external" if self.kind in ("shoulder_gap", "small_end_standout") else "internal"

    @property
    def surface(self) -> Line:
        """The finished surface carried on without end."""
        small = (self.face - self.length, (self.face_diameter - self.ratio * self.length) / 2)
        return through(small, (self.face, self.face_diameter / 2))

    @property
    def half_angle(self) -> float:
        return math.atan2(self.surface.along[1], self.surface.along[0])

    @property
    def finished(self) -> work.Profile:
        return self.profile(self.surface)

    def profile(self, line: Line) -> work.Profile:
        """A piece whose whole taper lies along this line."""
        small, large = self.face - self.length, self.face - self.relief
        return work.straight((small, line.height_at(small)), (large, line.height_at(large)))

    @property
    def gauge_line(self) -> float:
        """Place of the gauge's line on a finished piece."""
        return self.face - self.line_off_face if self.side == "external" else self.face + self.line_off_face

    @property
    def gauge_diameter(self) -> float:
        return 2 * self.surface.height_at(self.gauge_line)

    @property
    def gauge(self) -> work.Profile:
        """The gauge with its line at place 0, of the right taper; a plug goes on beyond its line."""
        beyond = self.length if self.side == "internal" else 0.0
        ends = (-self.gauge_length, beyond)
        small, large = ((place, self.surface.height_at(self.gauge_line + place)) for place in ends)
        return work.straight(small, large)

    def read(self, piece: work.Profile) -> float:
        """What the hand reads with the gauge on this piece."""
        line = work.slid_on(self.gauge, piece, self.side)
        match self.kind:
            case "shoulder_gap":
                return self.face - line
            case "small_end_standout":
                return (line - self.gauge_length) - (self.face - self.length)
            case "plug_standoff":
                return line - self.face
            case "collar_gap":
                return (line + self.collar) - self.face
            case "plug_depth":
                return (self.face - self.plane) - (line - self.gauge_length)

    @property
    def read_between(self) -> tuple[float, float, float, float]:
        """What a reading goes by beside the place of the gauge's line."""
        return self.length, self.gauge_length, self.plane, self.collar

    def with_stock(self, stock: float) -> Line:
        """The right surface with this stock on the diameter still on it."""
        return self.surface.moved((0.0, stock / 2 if self.side == "external" else -stock / 2))

    def grinder(self, line: Line) -> Grinder:
        """The grinder with its wheel along this line of the work."""
        angle = math.atan2(line.along[1], line.along[0])
        return set_up(self.side, self.swung, self.slide_fed, angle, line.point)

    def ground(self, grinder: Grinder) -> work.Profile:
        """A new piece ground by it."""
        return grinder.ground_from_solid(self.face - self.length, self.face - self.relief)

    def stock_on(self, piece: work.Profile) -> float:
        """The stock that is truly on, at the large end."""
        return work.metal(piece, self.finished, self.side, self.face - self.relief)


def near(found: float, wanted: float, within: float = NEAR) -> None:
    """The two agree, or the comparison fails."""
    assert abs(found - wanted) <= within, f"{found!r} is not {wanted!r}: {found - wanted:.3e} apart"


def line_reading(case: Case, wanted: float, line: Line) -> Line:
    """The line moved square to the axis until the gauge on the piece reads what is wanted."""
    for _ in range(60):
        off = case.read(case.profile(line)) - wanted
        if abs(off) * case.ratio < 1e-12:
            return line
        grows = 1.0 if case.kind in ("shoulder_gap", "plug_standoff", "collar_gap") else -1.0
        outwards = 1.0 if case.side == "external" else -1.0
        line = line.moved((0.0, -off * case.ratio / 2 * grows * outwards))
    assert abs(off) * case.ratio < 1e-10, "the model finds no piece with this reading"
    return line


@dataclass(frozen=True)
class Wrong:
    """A taper that is wrong by an error over the contact length, as the package sees it."""

    case: Case
    error: float

    @property
    def seat(self) -> seat.Seat:
        case = self.case
        line = taper.distance_between(case.face_diameter, case.gauge_diameter, case.ratio)
        return seat.seated(
            case.side,
            case.ratio,
            case.face_diameter,
            case.length,
            case.relief,
            line,
            case.gauge_length,
            case.face,
        )

    @property
    def actual(self) -> float:
        return correction.actual_ratio(self.case.ratio, self.error, seat.contact_length(self.seat))

    def line(self, height: float = 0.0) -> Line:
        """The wrong surface, somewhere near the right one."""
        ratio = self.case.ratio - self.error / seat.contact_length(self.seat)
        through_point = (self.case.gauge_line, self.case.gauge_diameter / 2 + height)
        return Line(through_point, (1.0, ratio / 2))


def wrong_line_with(wrong: Wrong, stock: float) -> Line:
    """The wrong surface on a piece whose gauge reads as if this stock were on."""
    right = wrong.case.read(wrong.case.profile(wrong.case.with_stock(stock)))
    return line_reading(wrong.case, right, wrong.line())
