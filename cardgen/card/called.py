"""What a part's print and its gauge call for becomes one form each: ratio, diameters in planes, limits."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, TypeVar

from cardgen.card.finding import Finding, found
from cardgen.compute import inspection, reading, taper
from cardgen.spec.callout import AngleTolerance, Callout
from cardgen.spec.quantity import Figure, Tolerance
from cardgen.tapers import angle_grade

if TYPE_CHECKING:  # tapers are looked up without the models of records
    from cardgen.spec.models import GaugeRecord, PartRecord

Stated = TypeVar("Stated")
AT_FACE = Figure(0.0, 0.0, "")


@dataclass(frozen=True)
class Ratio:
    """A taper ratio and what the rounding of the figure it was called out with leaves open."""

    value: float
    half_digit: float


@dataclass(frozen=True)
class AngleLimit:
    """How far the half angle may lie off, and where that comes from."""

    less: float  # rad, ≥ 0
    more: float
    text: str
    source: str | None

    @property
    def aim(self) -> float:
        """The middle of the zone, above the half angle called for: a lopsided tolerance is aimed at there."""
        return (self.more - self.less) / 2

    @property
    def half_zone(self) -> float:
        """How far the half angle may lie off the one aimed at, each way."""
        return (self.more + self.less) / 2


@dataclass(frozen=True)
class GivenDiameter:
    """A diameter that the print gives, in a plane counted from the face towards the small end."""

    key: str
    name: str
    diameter: Figure
    plane: Figure


@dataclass(frozen=True)
class Called:
    """Everything that print and gauge call for; mm and rad."""

    part: "PartRecord"
    gauge: "GaugeRecord"
    ratio: Ratio
    length: Figure
    angle_limit: AngleLimit | None

    @cached_property
    def diameters(self) -> tuple[GivenDiameter, ...]:
        """Every diameter with its plane; the first places the taper, the others must agree with it."""
        return tuple(_given_diameters(self.part, self.length))

    @cached_property
    def gauge_diameter(self) -> float:
        """At the gauge's own line, as calibrated; a mating part has there what the work has at its gap."""
        if self.gauge.gauge_line is not None:
            return self.gauge.gauge_line.diameter.value
        if not self.diameters:
            return sure(self.part.taper.gauge_line.diameter).value
        first = self.diameters[0]
        between = sure(self.line_by_finish) - first.plane.value
        return taper.diameter_at(first.diameter.value, self.ratio.value, between)

    def marks_as_limits(self, face_diameter: float) -> Tolerance | None:
        """What the gauge-line diameter may be off between the gauge's marks; None where it has none.

        face_diameter: mm, of the taper at its basic size. An allowance is negative where a mark leaves the
        basic size itself out. Each mark is a reading, and the gauge's diameter lies where it is read.
        """
        marks, kind = self.gauge.marks, self.part.gauging.reading
        if marks is None:
            return None
        lines = [
            reading.gauge_line_from_face(kind, mark.value, *self._read_between)
            for mark in (marks.least, marks.most)
        ]
        off = [taper.diameter_at(self.gauge_diameter, self.ratio.value, -z) - face_diameter for z in lines]
        return Tolerance(-min(off), max(off))

    @cached_property
    def size_limits(self) -> tuple[Tolerance, ...]:
        """What the gauge-line diameter may be off: as the print tolerates it, an end, the finish reading."""
        on_size, finish = self.part.taper.gauge_line.tolerance, self.part.gauging.finish
        given = [on_size, *(end.tolerance for end in self.part.taper.ends)]
        limits = [each for each in given if each is not None]
        if finish is not None and finish.stated:
            kind = self.part.gauging.reading
            limits.append(
                Tolerance(
                    *reading.reading_tolerance_as_size(kind, self.ratio.value, finish.minus, finish.plus)
                )
            )
        return tuple(limits)

    def angle_on_diameter(self, length: float) -> float:
        """What the wider limit of the angle comes to as a difference of diameters over a length, else 0."""
        if self.angle_limit is None:
            return 0.0
        half_angle = taper.half_angle_from_ratio(self.ratio.value)
        widest = max(self.angle_limit.less, self.angle_limit.more)
        return inspection.angle_change_on_diameter(2 * widest, half_angle, length)

    def read_with_line_at(self, from_face: float) -> float:
        """What the gauge shows with its own line in this plane of the piece."""
        return reading.reading_from_gauge_line(self.part.gauging.reading, from_face, *self._read_between)

    @property
    def line_by_finish(self) -> float | None:
        """Where the gauge's own line lies by the finish reading that the print gives; None without one."""
        gauging = self.part.gauging
        if gauging.finish is None:
            return None
        return reading.gauge_line_from_face(gauging.reading, gauging.finish.nominal, *self._read_between)

    @property
    def _read_between(self) -> tuple[float, float, float, float]:
        """What else the reading goes by: lengths of taper and gauge, a depth's plane, the plug's collar."""
        collar = self.gauge.face_from_line_mm or 0.0
        return self.length.value, self.gauge.length_mm, self.part.gauging.plane_mm, collar

    def found(self, name: str, /, **case: Any) -> Finding:
        """A check of the print, with the figures of the case."""
        return found(name, self.part, gauge=self.gauge.id, **case)


def called_for(part: "PartRecord", gauge: "GaugeRecord") -> Called:
    """What a part is called out by, and read with."""
    length, tolerance = sure(part.taper.length), part.taper.angle_tolerance
    ratio = _ratio(part, length)
    half_angle = taper.half_angle_from_ratio(ratio.value)
    return Called(
        part=part,
        gauge=gauge,
        ratio=ratio,
        length=length,
        angle_limit=None if tolerance is None else angle_limit(tolerance, half_angle, length.value),
    )


def sure(given: Stated | None) -> Stated:
    """What the spec lets no part pass without: a length, a diameter, the gauge line of a ring or a plug."""
    if given is None:
        raise LookupError("the spec let a part pass that does not say enough")
    return given


def _ratio(part: "PartRecord", length: Figure) -> Ratio:
    if part.taper.callout is not None:
        return ratio_of(part.taper.callout)
    large, small = sure(part.taper.large_diameter), sure(part.taper.small_diameter)
    ratio = taper.ratio_from_ends(large.value, small.value, length.value)
    return Ratio(ratio, (large.half_digit + small.half_digit + ratio * length.half_digit) / length.value)


def _given_diameters(part: "PartRecord", length: Figure) -> Iterator[GivenDiameter]:
    given, line = part.taper, part.taper.gauge_line
    if line.diameter is not None and given.line_from_face is not None:
        yield GivenDiameter("taper.gauge_line", "gauge line", line.diameter, given.line_from_face)
    if given.large_diameter is not None:
        yield GivenDiameter("taper.large_diameter", "large diameter", given.large_diameter, AT_FACE)
    if given.small_diameter is not None:
        yield GivenDiameter("taper.small_diameter", "small diameter", given.small_diameter, length)


def ratio_of(callout: Callout) -> Ratio:
    """The taper ratio of a callout, whichever form it has, with its rounding."""
    if callout.ratio is not None:
        return Ratio(callout.ratio.value, callout.ratio.half_digit)
    figure = callout.included_angle or callout.half_angle
    if figure is None:
        raise ValueError(f"the callout {callout.text!r} has no figure")
    share = 0.5 if callout.included_angle else 1.0
    half_angle = figure.value * share
    per_angle = taper.ratio_change_per_angle(half_angle)
    return Ratio(taper.ratio_from_half_angle(half_angle), per_angle * figure.half_digit * share)


def angle_limit(given: AngleTolerance, half_angle: float, length: float) -> AngleLimit:
    """How far the half angle may lie off by a grade, an angle, or a difference of diameters."""
    if given.grade is not None:
        grade = angle_grade(given.grade, length)
        either_way = grade.at_alpha_rad / 4
        return AngleLimit(either_way, either_way, given.text, grade.source)
    for share, limits in ((2, given.included_angle_rad), (1, given.half_angle_rad)):
        if limits is not None:
            return AngleLimit(limits.minus / share, limits.plus / share, given.text, None)
    off, over = sure(given.diameter_mm), given.over_mm or length
    more = taper.half_angle_change(half_angle, off.plus, over)
    less = more if off.minus == off.plus else -taper.half_angle_change(half_angle, -off.minus, over)
    return AngleLimit(less, more, given.text, None)
