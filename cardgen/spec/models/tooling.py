"""What stands in the shop: gauges, machines and wheels."""

from typing import Annotated

from pydantic import ValidationInfo

from cardgen import terms
from cardgen.spec.models.fields import (
    AngleFigure,
    Count,
    Day,
    Diameter,
    Factor,
    FeedRange,
    Id,
    MetresPerSecond,
    Mm,
    MmOrNothing,
    Radians,
    Reference,
    RpmSteps,
    Seconds,
    SignedLength,
    SlopeFigure,
    SlopeOrAngle,
    TaperCallout,
    Text,
    YesNo,
)
from cardgen.spec.models.keys import Keys, WrittenBeside, left_out
from cardgen.spec.quantity import Figure
from cardgen.terms import (
    GaugeType,
    HandwheelReads,
    Rotation,
    ScaleShows,
    SlideFed,
    SwingType,
    TableMoves,
    Towards,
)


class GaugeTaper(Keys):
    """The gauge's own taper."""

    callout: TaperCallout


class GaugeLine(Keys):
    """The gauge's calibrated diameter at its gauge line."""

    diameter: Diameter
    uncertainty_mm: MmOrNothing
    coverage_factor: Factor = left_out("1")


class Marks(Keys):
    """Two marks, or the two faces of a step, between which the edge of a good piece lies."""

    least: SignedLength
    most: SignedLength


class GaugeRecord(Keys):
    """A ring, plug or light gauge, or the mating part itself.

    `gauge_line` is None only for a light gauge and a mating part.
    """

    id: Id
    name: Text | None = None
    type: GaugeType
    taper: GaugeTaper
    taper_uncertainty: SlopeOrAngle | None = None
    gauge_line: GaugeLine | None = None
    length_mm: Mm
    face_from_line_mm: Mm | None = None
    marks: Marks | None = None
    calibration_due: Day | None = None
    master: Reference | None = None


def _read_scale_division(text: str, beside: ValidationInfo) -> Figure:
    """A division of a scale: an angle or a slope, as what the scale shows demands."""
    shows = beside.data.get("shows")  # absent where it is itself a mistake
    of_taper = shows is not None and isinstance(terms.scale(shows), terms.ScaleOfTaper)
    return SlopeFigure(text) if of_taper else AngleFigure(text)


class ScaleRecord(Keys):
    """One scale of the swivel.

    `division` is in radians for an angle, else a ratio on the diameter.
    """

    shows: ScaleShows
    division: Annotated[Figure, WrittenBeside(_read_scale_division, "angle or slope")]


class Screw(Keys):
    """The adjusting screw of the swivel."""

    radius_mm: Mm
    lead_mm: Mm
    divisions: Count
    type: SwingType
    more: Rotation | None = None
    take_up_play: Towards | None = None


class Slips(Keys):
    """The place for slip gauges at the end of the table."""

    radius_mm: Mm
    type: SwingType


class SwivelRecord(Keys):
    """The swivel of the table."""

    limit_rad: Radians
    scales: tuple[ScaleRecord, ...]
    screw: Screw | None = None
    slips: Slips | None = None
    indicator_radius_mm: Mm | None = None
    indicator_type: SwingType | None = None
    more_taper: TableMoves = left_out("tailstock end towards wheel")


class CrossFeed(Keys):
    """The cross-feed, fed by the divisions of its handwheel or, where it has one, by a digital readout.

    Once loaded, one of `division` and `readout` is None.
    """

    reads: HandwheelReads
    division: Diameter | None = None
    divisions: Count | None = None
    readout: Diameter | None = None

    @property
    def step(self) -> Figure:
        """What a feed is counted in: a step of the readout, else a division of the handwheel."""
        counted = self.readout or self.division
        if counted is None:
            raise ValueError("a cross-feed without division and readout is refused before")
        return counted


class TestBar(Keys):
    """A parallel bar, between centres or on the wheel spindle, to set a swivel and to find its zero."""

    length_mm: Mm
    straightness_mm: Mm


class WheelHeadRecord(Keys):
    """The wheel head, where it can be swivelled."""

    swivels: YesNo = left_out("false")
    limit_rad: Radians | None = None
    slide_fed: SlideFed = left_out("below")
    more_taper: Rotation | None = None
    indicator_radius_mm: Mm | None = None
    test_bar: TestBar | None = None


class MachineRecord(Keys):
    """A grinder: what can be turned on it, and how that is graduated."""

    id: Id
    name: Text
    swivel: SwivelRecord
    cross_feed: CrossFeed
    work_speeds: RpmSteps
    traverse: FeedRange
    wheel_speeds: RpmSteps
    wheel_head: WheelHeadRecord = left_out({})
    dwell_s: Seconds = left_out("0.5 s")


class WheelDiameter(Keys):
    """The wheel's diameter, new and worn."""

    new_mm: Mm
    worn_mm: Mm


class Dresser(Keys):
    """The dressing tool."""

    type: Text
    effective_width_mm: Mm


class Overlap(Keys):
    """How often the dresser passes each place of the wheel's face, at the least (common practice)."""

    rough: Factor = left_out("2")
    finish: Factor = left_out("4")


class WheelRecord(Keys):
    """A grinding wheel."""

    id: Id
    name: Text | None = None
    marking: Text
    diameter: WheelDiameter
    width_mm: Mm
    maximum_operating_speed_m_s: MetresPerSecond
    dresser: Dresser
    overlap: Overlap = left_out({})
    g_ratio: Factor | None = None
