"""The taper that a part's figures fix: one ratio, one diameter in each plane, one finish reading.

A print often gives more figures than are needed. What is given beyond enough must agree with the
rest as far as the rounding of the printed figures and the stated tolerance explain.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from cardgen.card.angles import AngleLimit, Ratio, angle_limit, ratio_of
from cardgen.card.finding import Finding, PartErrors, Place
from cardgen.compute import inspection, reading, taper
from cardgen.digits import length_text, small_text
from cardgen.spec.models import GaugeRecord, PartRecord
from cardgen.spec.quantity import Figure
from cardgen.terms import Level

NOISE = 1e-9  # mm: what is nearer than this is alike
TOLD_FROM = 1e-6  # mm: the card's maker is told of any disagreement above this


@dataclass(frozen=True)
class Geometry:
    """Everything that follows from the figures of the part and its gauge; mm and rad."""

    ratio: float
    half_angle: float
    length: float
    face_diameter: float  # of the finished taper in the plane of the shoulder or the mouth
    small_diameter: float
    line_diameter: float
    line_from_face: float
    gauge_diameter: float
    gauge_length: float
    size_minus: float  # allowances of the gauge-line diameter
    size_plus: float
    aim_above_basic: float  # finish size aimed at, the middle of the limits, less the basic size
    basic_reading: float  # of a piece at its basic size
    finish_reading: float  # of a piece at the size aimed at
    angle_limit: AngleLimit | None
    findings: tuple[Finding, ...]

    @property
    def size_half_band(self) -> float:
        """Half of the size tolerance: what the size may be off on either side of the size aimed at."""
        return (self.size_minus + self.size_plus) / 2


@dataclass(frozen=True)
class _Known:
    """A diameter that the spec gives, in a plane counted from the face towards the small end."""

    key: str
    name: str
    diameter: Figure
    distance: float
    distance_half_digit: float


def resolve(part: PartRecord, gauge: GaugeRecord) -> Geometry:
    """The geometry of a part in its gauge; raises PartErrors with every disagreement found."""
    return _Resolver(part, gauge).resolve()


class _Resolver:
    """One part being resolved: its figures, and what was found so far.

    The spec has already refused a part without a taper, a length, a tolerance or a gauge that fits its
    side; what is asserted here it has made sure of.
    """

    def __init__(self, part: PartRecord, gauge: GaugeRecord) -> None:
        self.part = part
        self.gauge = gauge
        self.findings: list[Finding] = []

    def resolve(self) -> Geometry:
        ratio = self._ratio()
        length = self.part.taper.length
        assert length is not None
        half_angle = taper.half_angle_from_ratio(ratio.value)
        self.angle_limit = self._angle_limit(half_angle, length.value)
        self._compare_gauge_taper(ratio, length.value)
        known = list(self._known_diameters(length))
        line, line_from_face, face = self._gauge_line(ratio.value, known, length.value)
        self._compare_diameters(ratio, face, known)
        if known and not -NOISE <= line_from_face <= length.value + NOISE:
            self._error(
                "gauge-line-off-taper",
                "taper.gauge_line",
                f"the gauge line {self._mm(line)} would lie {self._mm(line_from_face)} from the face, "
                "which is off the taper",
                "correct the diameter that is wrong",
            )
        small = taper.diameter_at(face, ratio.value, length.value)
        if small <= 0:
            self._error(
                "small-end-vanishes",
                "taper.length",
                f"the taper runs out to a point before its length of {self._mm(length.value)} ends",
                "give the length and the diameters anew",
            )
        self._stop_on_errors()
        basic = self._reading_at(ratio.value, face, length.value)
        self._compare_finish(basic)
        minus, plus = self._size_tolerance(ratio.value)
        self._stop_on_errors()
        aim = (plus - minus) / 2
        return Geometry(
            ratio=ratio.value,
            half_angle=half_angle,
            length=length.value,
            face_diameter=face,
            small_diameter=small,
            line_diameter=line,
            line_from_face=line_from_face,
            gauge_diameter=self._gauge_diameter(),
            gauge_length=self.gauge.length_mm,
            size_minus=minus,
            size_plus=plus,
            aim_above_basic=aim,
            basic_reading=basic,
            finish_reading=self._reading_at(ratio.value, face + aim, length.value),
            angle_limit=self.angle_limit,
            findings=tuple(self.findings),
        )

    # what is called for

    def _ratio(self) -> Ratio:
        spec = self.part.taper
        if spec.callout is not None:
            return ratio_of(spec.callout)
        large, small, length = spec.large_diameter, spec.small_diameter, spec.length
        assert large is not None
        assert small is not None
        assert length is not None
        ratio = taper.ratio_from_ends(large.value, small.value, length.value)
        open_ends = (large.half_digit + small.half_digit + ratio * length.half_digit) / length.value
        return Ratio(ratio, open_ends)

    def _angle_limit(self, half_angle: float, length: float) -> AngleLimit | None:
        given = self.part.taper.angle_tolerance
        return None if given is None else angle_limit(given, half_angle, length)

    def _known_diameters(self, length: Figure) -> Iterator[_Known]:
        spec = self.part.taper
        line = spec.gauge_line
        if line.diameter is not None and line.from_face is not None:
            plane = line.from_face
            yield _Known("taper.gauge_line", "gauge line", line.diameter, plane.value, plane.half_digit)
        if spec.large_diameter is not None:
            yield _Known("taper.large_diameter", "large diameter", spec.large_diameter, 0.0, 0.0)
        if spec.small_diameter is not None:
            yield _Known(
                "taper.small_diameter", "small diameter", spec.small_diameter, length.value, length.half_digit
            )

    def _gauge_line(self, ratio: float, known: list[_Known], length: float) -> tuple[float, float, float]:
        """Basic diameter, its plane from the face, and the diameter in the plane of the face."""
        line = self.part.taper.gauge_line.diameter
        if known:
            face = known[0].diameter.value + ratio * known[0].distance
            if known[0].key == "taper.gauge_line":
                return known[0].diameter.value, known[0].distance, face
            if line is not None:
                return line.value, taper.distance_between(face, line.value, ratio), face
            return face, 0.0, face
        diameter = line.value if line is not None else self._gauge_diameter()
        plane = self._plane_at_finish(length)
        if plane is None and self.part.taper.callout is not None and self.part.taper.callout.standard:
            self._find(
                "note",
                "gauge-line-at-face",
                "taper.gauge_line",
                f"the gauge line of {self.part.taper.callout.text} is taken to lie at the "
                f"{'shoulder' if self.part.taper.side == 'external' else 'mouth'}",
                f"give {self._face_key()} in gauge_line if it lies elsewhere",
            )
            plane = 0.0
        if plane is None:
            self._error(
                "gauge-line-unplaced",
                "taper.gauge_line",
                f"nothing says where along the axis the diameter {self._mm(diameter)} lies",
                f"give {self._face_key()} in gauge_line, or gauging.finish, or large_diameter",
            )
            raise PartErrors(self.findings)
        return diameter, plane, diameter + ratio * plane

    def _plane_at_finish(self, length: float) -> float | None:
        """Where the gauge's own line lies on a finished piece, by the finish reading that the spec gives."""
        finish = self.part.gauging.finish
        if finish is None:
            return None
        gauging = self.part.gauging
        return reading.gauge_line_from_face(
            gauging.reading, finish.nominal, length, self.gauge.length_mm, gauging.plane_mm
        )

    def _reading_at(self, ratio: float, face: float, length: float) -> float:
        """What the gauge shows on a piece whose taper has this diameter in the plane of its face."""
        kind, plane = self.part.gauging.reading, self.part.gauging.plane_mm
        gauge_diameter, gauge_length = self._gauge_diameter(), self.gauge.length_mm
        return reading.finish_reading(kind, face, gauge_diameter, ratio, length, gauge_length, plane)

    def _size_tolerance(self, ratio: float) -> tuple[float, float]:
        """Allowances of the gauge-line diameter: what the print gives, the tighter where it gives two."""
        on_size = self.part.taper.gauge_line.tolerance
        given = self.part.gauging.finish
        on_reading = None
        if given is not None and given.stated:
            kind = self.part.gauging.reading
            on_reading = reading.reading_tolerance_as_size(kind, ratio, given.minus, given.plus)
        if on_size is None:
            assert on_reading is not None
            return on_reading
        if on_reading is None:
            return on_size.minus, on_size.plus
        return self._tighter((on_size.minus, on_size.plus), on_reading, ratio)

    def _tighter(
        self, on_size: tuple[float, float], on_reading: tuple[float, float], ratio: float
    ) -> tuple[float, float]:
        tight = (min(on_size[0], on_reading[0]), min(on_size[1], on_reading[1]))
        finish = self.part.gauging.finish
        rounding = ratio * finish.half_digit if finish is not None else 0.0
        worst = max(abs(a - b) for a, b in zip(on_size, on_reading, strict=True))
        if worst > rounding + NOISE:
            self._find(
                "warning",
                "tolerances-disagree",
                "gauging.finish",
                f"the tolerance of the reading is −{self._mm(on_reading[0])} +{self._mm(on_reading[1])} on "
                f"the diameter, that of the gauge line −{self._mm(on_size[0])} +{self._mm(on_size[1])}",
                "the tighter is used; correct the one that is wrong",
            )
        return tight

    # what must agree

    def _compare_gauge_taper(self, ratio: Ratio, length: float) -> None:
        own = ratio_of(self.gauge.taper.callout)
        over = min(length, self.gauge.length_mm)
        apart = taper.far_end_disagreement(ratio.value, own.value, over)
        explained = (ratio.half_digit + own.half_digit) * over
        allowed = self._angle_limit_on_diameter(ratio.value, over)
        if abs(apart) <= explained + NOISE:
            return
        if abs(apart) > explained + allowed + NOISE:
            self._error(
                "gauge-other-taper",
                "gauging.gauge",
                f"the gauge {self.gauge.id} has another taper: {self._mm(abs(apart))} on the diameter over "
                f"{self._mm(over)}",
                "name a gauge of this taper, or correct the callout that is wrong",
            )
            return
        self._find(
            "warning",
            "gauge-taper-differs",
            "gauging.gauge",
            f"the gauge {self.gauge.id} differs from the callout by {self._mm(abs(apart))} on the diameter "
            f"over {self._mm(over)}, within the angle tolerance",
            "know that the gauge uses up part of it",
        )

    def _compare_diameters(self, ratio: Ratio, face: float, known: list[_Known]) -> None:
        """Every further diameter against the first, at its own plane (the far end among them)."""
        for other in known[1:]:
            first = known[0]
            expected = taper.diameter_at(face, ratio.value, other.distance)
            apart = other.diameter.value - expected
            between = abs(other.distance - first.distance)
            explained = (
                first.diameter.half_digit
                + other.diameter.half_digit
                + ratio.value * (first.distance_half_digit + other.distance_half_digit)
                + ratio.half_digit * between
            )
            allowed = self._angle_limit_on_diameter(ratio.value, between) + self._line_tolerance()
            if abs(apart) <= TOLD_FROM:
                continue
            level: Level = "note"
            if abs(apart) > allowed + explained + NOISE:
                level = "error"
            elif abs(apart) > allowed + NOISE:
                level = "warning"  # only the rounding of the figures explains it
            self._find(
                level,
                "figures-disagree",
                other.key,
                f"the {other.name} {other.diameter.text} and the {first.name} {first.diameter.text} disagree "
                f"by {self._small(apart)} at the {other.name}; rounding explains {self._small(explained)}",
                "correct the figure that is wrong, or give it with more digits",
            )

    def _compare_finish(self, finish: float) -> None:
        given = self.part.gauging.finish
        if given is None:
            return
        apart = finish - given.nominal
        allowed = max(given.minus, given.plus) + given.half_digit
        if abs(apart) <= NOISE:
            return
        if not -given.minus - given.half_digit - NOISE <= apart <= given.plus + given.half_digit + NOISE:
            self._error(
                "finish-disagrees",
                "gauging.finish",
                f"the finish reading is given as {given.text}, the gauge line and the gauge's calibrated "
                f"diameter make it {self._mm(finish)}: {self._mm(abs(apart))} apart, {self._mm(allowed)} "
                "allowed",
                "correct the one that is wrong",
            )
            return
        self._find(
            "note",
            "finish-from-gauge",
            "gauging.finish",
            f"the finish reading is {self._mm(finish)}, not the {given.text} given: the gauge was calibrated "
            f"at {self._mm(self._gauge_diameter())}",
            "work to the reading on the card",
        )

    def _line_tolerance(self) -> float:
        tolerance = self.part.taper.gauge_line.tolerance
        return max(tolerance.minus, tolerance.plus) if tolerance is not None else 0.0

    def _angle_limit_on_diameter(self, ratio: float, length: float) -> float:
        if self.angle_limit is None:
            return 0.0
        half_angle = taper.half_angle_from_ratio(ratio)
        return inspection.angle_change_on_diameter(2 * self.angle_limit.half_angle, half_angle, length)

    def _gauge_diameter(self) -> float:
        assert self.gauge.gauge_line is not None
        return self.gauge.gauge_line.diameter.value

    # how it is told

    def _find(self, level: Level, code: str, key: str, wrong: str, right: str) -> None:
        self.findings.append(Finding(level, code, Place("part", self.part.id, key), wrong, right))

    def _error(self, code: str, key: str, wrong: str, right: str) -> None:
        self._find("error", code, key, wrong, right)

    def _stop_on_errors(self) -> None:
        if any(found.level == "error" for found in self.findings):
            raise PartErrors(self.findings)

    def _face_key(self) -> str:
        return "from_shoulder" if self.part.taper.side == "external" else "from_end"

    def _mm(self, value: float) -> str:
        return length_text(value, self.part.units)

    def _small(self, value: float) -> str:
        return small_text(value, self.part.units)
