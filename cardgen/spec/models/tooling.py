"""What stands in the shop: gauges, machines and wheels."""

from typing import Annotated

from pydantic import Field, PlainValidator, ValidationInfo

from cardgen import terms
from cardgen.spec.models.fields import (
    AngleFigure,
    Count,
    Day,
    Diameter,
    Factor,
    FeedRange,
    Id,
    Keys,
    MetresPerSecond,
    Mm,
    MmOrNothing,
    Radians,
    Reference,
    RpmSteps,
    Seconds,
    SlopeFigure,
    SlopeOrAngle,
    TaperCallout,
    Text,
    YesNo,
    schema,
)
from cardgen.spec.quantity import Figure
from cardgen.terms import GaugeType, HandwheelReads, HeadTurns, ScaleShows, SlideFed, SwingType, TableMoves


class GaugeTaper(Keys):
    """The gauge's own taper."""

    callout: TaperCallout = Field(description="the gauge's taper, in any form")


class GaugeLine(Keys):
    """The gauge's calibrated diameter at its gauge line."""

    diameter: Diameter = Field(description="as calibrated")
    uncertainty_mm: MmOrNothing = Field(alias="uncertainty", description="from the calibration certificate")
    coverage_factor: Factor = Field(1.0, description="k of the uncertainty; 1 for a standard uncertainty")


class GaugeRecord(Keys):
    """A ring, plug or light gauge.

    `gauge_line` is None only for a light gauge.
    """

    id: Id = Field(description="names it for references")
    name: Text | None = Field(None, description="what it is")
    type: GaugeType = Field(description="ring, plug, or light gauge")
    taper: GaugeTaper = Field(description="its taper")
    taper_uncertainty: SlopeOrAngle | None = Field(None, description="standard uncertainty of its taper")
    gauge_line: GaugeLine | None = Field(None, description="its calibrated diameter")
    length_mm: Mm = Field(alias="length", description="of its taper, along the axis")
    calibration_due: Day | None = Field(None, description="when it must be calibrated again")
    master: Reference | None = Field(None, description="id of the master plug that proves it")


def _read_scale_division(text: str, beside: ValidationInfo) -> Figure:
    """A division of a scale: an angle or a slope, as what the scale shows demands."""
    shows = beside.data.get("shows")  # absent where it is itself a mistake
    of_taper = shows is not None and isinstance(terms.scale(shows), terms.ScaleOfTaper)
    return SlopeFigure(text) if of_taper else AngleFigure(text)


class ScaleRecord(Keys):
    """One scale of the swivel.

    `division` is in radians for an angle, else a ratio on the diameter.
    """

    shows: ScaleShows = Field(description="what its figures are")
    division: Annotated[
        Figure,
        PlainValidator(_read_scale_division),
        schema("one division", "10 arcmin", "1/8 in/ft", "0.5 %"),
    ] = Field(description="one division")


class Screw(Keys):
    """The adjusting screw of the swivel."""

    radius_mm: Mm = Field(alias="radius", description="from the pivot to the screw")
    lead_mm: Mm = Field(alias="lead", description="travel of one turn")
    divisions: Count = Field(description="divisions of its dial")
    type: SwingType = Field(description="how its travel goes with the angle")


class Slips(Keys):
    """The place for slip gauges at the end of the table."""

    radius_mm: Mm = Field(alias="radius", description="from the pivot to the buttons")
    type: SwingType = Field(description="sine, tangent, or chord for two equal buttons")


class SwivelRecord(Keys):
    """The swivel of the table."""

    limit_rad: Radians = Field(alias="limit", description="of the half angle, each way")
    scales: tuple[ScaleRecord, ...] = Field(description="every scale it can be set by")
    screw: Screw | None = Field(None, description="adjusting screw")
    slips: Slips | None = Field(None, description="place for slip gauges")
    indicator_radius_mm: Mm | None = Field(
        None, alias="indicator_radius", description="from the pivot to an indicator at the table's end"
    )
    indicator_type: SwingType | None = Field(None, description="unstated: as the screw, else tangent")
    more_taper: TableMoves = Field(
        "tailstock end towards wheel",
        description="how the table turns for more taper: towards where outside work has its small end at the "
        "tailstock and a hole is ground on the operator's wall",
    )


class CrossFeed(Keys):
    """The handwheel of the cross-feed."""

    reads: HandwheelReads = Field(description="what its figures are")
    division: Diameter = Field(description="one division, as it reads")


class WheelHeadRecord(Keys):
    """The wheel head, where it can be swivelled."""

    swivels: YesNo = Field(False, description="whether it can be swivelled")
    limit_rad: Radians | None = Field(None, alias="limit", description="each way")
    slide_fed: SlideFed = Field(
        "below", description="whether the slide that feeds lies below the swivel or above it"
    )
    more_taper: HeadTurns | None = Field(
        None,
        description="how the head turns for more taper, seen from above; unstated: clockwise where "
        "the table's more_taper is towards",
    )


class MachineRecord(Keys):
    """A grinder: what can be turned on it, and how that is graduated."""

    id: Id = Field(description="names it for references")
    name: Text = Field(description="as the shop calls it")
    swivel: SwivelRecord = Field(description="the table's swivel")
    cross_feed: CrossFeed = Field(description="the cross-feed's handwheel")
    work_speeds: RpmSteps = Field(description="work speeds, rpm")
    traverse: FeedRange = Field(description="table traverse, mm/min")
    wheel_speeds: RpmSteps = Field(description="wheel speeds, rpm")
    wheel_head: WheelHeadRecord = Field(default_factory=WheelHeadRecord, description="the wheel head")
    dwell_s: Seconds = Field(0.5, alias="dwell", description="at each reversal")


class WheelDiameter(Keys):
    """The wheel's diameter, new and worn."""

    new_mm: Mm = Field(alias="new", description="new")
    worn_mm: Mm = Field(alias="worn", description="when it is taken off")


class Dresser(Keys):
    """The dressing tool."""

    type: Text = Field(description="such as single point diamond")
    effective_width_mm: Mm = Field(alias="effective_width", description="of the dressing tool")


class Overlap(Keys):
    """How often the dresser passes each place of the wheel's face, at the least (common practice)."""

    rough: Factor = Field(2.0, description="for roughing; unstated: 2")
    finish: Factor = Field(4.0, description="for finishing; unstated: 4")


class WheelRecord(Keys):
    """A grinding wheel."""

    id: Id = Field(description="names it for references")
    name: Text | None = Field(None, description="what it is")
    marking: Text = Field(description="as ISO 525 or ANSI B74.13 marks it")
    diameter: WheelDiameter = Field(description="new and worn")
    width_mm: Mm = Field(alias="width", description="of its face")
    maximum_operating_speed_m_s: MetresPerSecond = Field(
        alias="maximum_operating_speed", description="marked on the wheel"
    )
    dresser: Dresser = Field(description="what it is dressed with")
    overlap: Overlap = Field(default_factory=Overlap, description="overlap ratio of dressing")
    g_ratio: Factor | None = Field(None, description="volume ground for a volume of wheel worn away")
