"""The taper that a part's figures fix: one ratio, one diameter in each plane, one finish reading."""

from collections.abc import Iterable
from dataclasses import dataclass

from cardgen.card import agreement
from cardgen.card.called import AngleLimit, Called, called_for, sure
from cardgen.card.finding import Finding, PartErrors
from cardgen.compute import seat, taper
from cardgen.spec.models import GaugeRecord, PartRecord
from cardgen.spec.quantity import Tolerance


@dataclass(frozen=True)
class Geometry:
    """Everything that follows from the figures of the part and its gauge; mm and rad."""

    ratio: float
    half_angle: float
    aim_half_angle: float  # aimed at, the middle of the angle tolerance
    length: float
    face_diameter: float  # of the taper at its basic size, in the plane of the shoulder or the mouth
    small_diameter: float
    line_diameter: float
    line_from_face: float
    gauge_diameter: float
    gauge_length: float
    gauge_from_face: float  # where the gauge's own line lies on a piece at the size aimed at
    size_minus: float  # allowances of the gauge-line diameter
    size_plus: float
    aim_above_basic: float  # finish size aimed at, the middle of the limits, less the basic size
    finish_reading: float  # of a piece at the size aimed at
    angle_limit: AngleLimit | None
    marks_bound: bool  # whether a piece between the marks of its gauge is within its limits of size
    findings: tuple[Finding, ...]

    @property
    def size_half_band(self) -> float:
        """Half of the size tolerance: what the size may be off on either side of the size aimed at."""
        return (self.size_minus + self.size_plus) / 2

    @property
    def aim_ratio(self) -> float:
        """The taper ratio aimed at."""
        return taper.ratio_from_half_angle(self.aim_half_angle)

    def aimed_diameter(self, from_face: float) -> float:
        """Of a piece of basic size at its gauge line and of the taper aimed at, in a plane from the face."""
        return taper.diameter_at(self.line_diameter, self.aim_ratio, from_face - self.line_from_face)


@dataclass(frozen=True)
class _Cone:
    """The taper at its basic size."""

    line_diameter: float
    line_from_face: float
    face_diameter: float
    small_diameter: float


def resolve(part: PartRecord, gauge: GaugeRecord) -> Geometry:
    """The geometry of a part in its gauge; raises PartErrors with every disagreement found."""
    called = called_for(part, gauge)
    found = _sound([*agreement.gauge_taper(called), *agreement.placing(called)])
    cone = _cone(called)
    found = _sound(
        [
            *found,
            *agreement.diameters(called, cone.face_diameter),
            *agreement.extent(called, cone.line_diameter, cone.line_from_face, cone.small_diameter),
        ]
    )
    basic_reading = called.read_with_line_at(_gauge_line(called, cone.face_diameter))
    found = _sound([*found, *agreement.finish_reading(called, basic_reading), *agreement.tolerances(called)])
    marks = called.marks_as_limits(cone.face_diameter)
    found = _sound([*found, *agreement.marks(called, marks)])
    limits = _tightest(agreement.holding(called, marks))
    aim = (limits.plus - limits.minus) / 2
    half_angle = taper.half_angle_from_ratio(called.ratio.value)
    aim_half_angle = half_angle + (called.angle_limit.aim if called.angle_limit is not None else 0.0)
    gauge_from_face = _gauge_line_at_aim(called, cone, aim, aim_half_angle)
    return Geometry(
        ratio=called.ratio.value,
        half_angle=half_angle,
        aim_half_angle=aim_half_angle,
        length=called.length.value,
        face_diameter=cone.face_diameter,
        small_diameter=cone.small_diameter,
        line_diameter=cone.line_diameter,
        line_from_face=cone.line_from_face,
        gauge_diameter=called.gauge_diameter,
        gauge_length=gauge.length_mm,
        gauge_from_face=gauge_from_face,
        size_minus=limits.minus,
        size_plus=limits.plus,
        aim_above_basic=aim,
        finish_reading=called.read_with_line_at(gauge_from_face),
        angle_limit=called.angle_limit,
        marks_bound=marks is not None and not agreement.beyond_print(called, marks),
        findings=tuple(found),
    )


def _cone(called: Called) -> _Cone:
    """The taper as its first diameter places it, else the finish reading, else its standard at the face."""
    ratio, line = called.ratio.value, called.part.taper.gauge_line
    if called.diameters:
        first = called.diameters[0]
        face = taper.diameter_at(first.diameter.value, ratio, -first.plane.value)
        if called.part.taper.line_from_face is not None:
            plane = called.part.taper.line_from_face.value
        else:
            held = next((each for each in called.diameters if each.diameter.tolerance), None)
            plane = held.plane.value if held is not None else 0.0
            if line.diameter is not None:
                plane = taper.distance_between(face, line.diameter.value, ratio)
        diameter = taper.diameter_at(face, ratio, plane) if line.diameter is None else line.diameter.value
    else:
        diameter = sure(line.diameter).value
        plane = called.line_by_finish or 0.0
        face = taper.diameter_at(diameter, ratio, -plane)
    return _Cone(diameter, plane, face, taper.diameter_at(face, ratio, called.length.value))


def _gauge_line(called: Called, face_diameter: float) -> float:
    """Where the gauge's own line lies on a piece with this diameter in the plane of its face."""
    return taper.distance_between(face_diameter, called.gauge_diameter, called.ratio.value)


def _gauge_line_at_aim(called: Called, cone: _Cone, above_basic: float, half_angle: float) -> float:
    """The same on a piece as it is aimed at: so far above basic size, its taper perhaps not the gauge's."""
    if called.angle_limit is None or called.angle_limit.aim == 0:
        return _gauge_line(called, cone.face_diameter + above_basic)
    ratio, given = taper.ratio_from_half_angle(half_angle), called.part.taper
    face = taper.diameter_at(cone.line_diameter + above_basic, ratio, -cone.line_from_face)
    return seat.gauge_line_at_rest(
        given.side,
        called.ratio.value,
        called.gauge_diameter,
        called.gauge.length_mm,
        ratio,
        face,
        given.relief_mm,
        called.length.value,
    )


def _tightest(limits: Iterable[Tolerance]) -> Tolerance:
    """The tighter where the print gives two: it harms nobody."""
    each = list(limits)
    return Tolerance(min(given.minus for given in each), min(given.plus for given in each))


def _sound(found: list[Finding]) -> list[Finding]:
    """What was found, without an error among it; raises PartErrors otherwise."""
    if any(one.level == "error" for one in found):
        raise PartErrors(found)
    return found
