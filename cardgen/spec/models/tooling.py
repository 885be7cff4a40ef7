"""What stands in the shop: gauges, machines and wheels."""

from typing import Annotated

from pydantic import PlainValidator, ValidationInfo

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
from cardgen.spec.models.keys import Keys, Written, key
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

    callout: TaperCallout = key("the gauge's taper as it is marked", "1:8")


class GaugeLine(Keys):
    """The gauge's calibrated diameter at its gauge line."""

    diameter: Diameter = key("at its gauge line, as last calibrated", "37.998 mm")
    uncertainty_mm: MmOrNothing = key(
        "of that diameter, from the calibration certificate", "0.0015 mm", alias="uncertainty"
    )
    coverage_factor: Factor = key(
        "the certificate's factor k of that uncertainty",
        "2",
        default="1",
        unstated="1, a standard uncertainty",
    )


class Marks(Keys):
    """Two marks, or the two faces of a step, between which the edge of a good piece lies."""

    least: SignedLength = key(
        "the reading at the one that reads less, from the face or line the reading is taken at", "2.8 mm"
    )
    most: SignedLength = key("the reading at the one that reads more", "3.2 mm")


class GaugeRecord(Keys):
    """A ring, plug or light gauge, or the mating part itself.

    `gauge_line` is None only for a light gauge and a mating part.
    """

    id: Id = key("names the gauge, as it is marked", "R-204")
    name: Text | None = key(
        "what the gauge is", "Ring gauge of the spindle nose", unstated="its type and id tell"
    )
    type: GaugeType = key("what it is: it decides which side it reads", "ring")
    taper: GaugeTaper = key("the gauge's own taper")
    taper_uncertainty: SlopeOrAngle | None = key(
        "standard uncertainty of its taper, from the certificate",
        "half angle 2 arcsec",
        unstated="taken for nothing",
    )
    gauge_line: GaugeLine | None = key(
        "its calibrated diameter, at a ring's large face or a plug's line",
        unstated="only a light gauge and a mating part lack it",
        usual=True,
    )
    length_mm: Mm = key("length of its taper, along the axis", "50 mm", alias="length")
    face_from_line_mm: Mm | None = key(
        "plug: from its line out to the face of its collar or handle, for a collar_gap",
        "12 mm",
        unstated="no collar is read to",
        alias="face_from_line",
    )
    marks: Marks | None = key(
        "least / most marks of the gauge: a step or window of a ring, two lines of a plug", unstated="none"
    )
    calibration_due: Day | None = key(
        "when it must be calibrated again", "2027-03-31", unstated="no date is watched", usual=True
    )
    master: Reference | None = key("the master plug that proves it", "P-204", unstated="none is named")


def _read_scale_division(text: str, beside: ValidationInfo) -> Figure:
    """A division of a scale: an angle or a slope, as what the scale shows demands."""
    shows = beside.data.get("shows")  # absent where it is itself a mistake
    of_taper = shows is not None and isinstance(terms.scale(shows), terms.ScaleOfTaper)
    return SlopeFigure(text) if of_taper else AngleFigure(text)


class ScaleRecord(Keys):
    """One scale of the swivel.

    `division` is in radians for an angle, else a ratio on the diameter.
    """

    shows: ScaleShows = key("what the figures engraved on it are", "taper_per_foot")
    division: Annotated[
        Figure,
        PlainValidator(_read_scale_division),
        Written(
            "an angle with its unit (deg, arcmin); on a scale of tapers a slope (in/ft, mm/m, %)",
            "angle or slope",
        ),
    ] = key("one division of the scale", "1/8 in/ft")


class Screw(Keys):
    """The adjusting screw of the swivel."""

    radius_mm: Mm = key("from the pivot to the screw", "520 mm", alias="radius")
    lead_mm: Mm = key("travel of one turn", "1.5 mm", alias="lead")
    divisions: Count = key("divisions of its dial, in one turn", "60")
    type: SwingType = key("how its travel goes with the angle", "tangent")
    more: Rotation | None = key(
        "which way it is turned for more taper, looking at its dial", "clockwise", unstated="not told"
    )
    take_up_play: Towards | None = key(
        "its play is taken up by ending each setting with a turn to more, or to less, taper",
        "more",
        unstated="not told",
    )


class Slips(Keys):
    """The place for slip gauges at the end of the table."""

    radius_mm: Mm = key("from the pivot to the buttons", "250 mm", alias="radius")
    type: SwingType = key("sine, tangent, or chord where the stack goes between two equal buttons", "tangent")


class SwivelRecord(Keys):
    """The swivel of the table."""

    limit_rad: Radians = key("how far it swivels each way, as the half angle", "10 deg", alias="limit")
    scales: tuple[ScaleRecord, ...] = key("every scale that it can be set by")
    screw: Screw | None = key("its adjusting screw", unstated="none")
    slips: Slips | None = key("place for slip gauges", unstated="none")
    indicator_radius_mm: Mm | None = key(
        "from the pivot to an indicator at the table's end",
        "450 mm",
        unstated="none",
        alias="indicator_radius",
    )
    indicator_type: SwingType | None = key(
        "how what that indicator shows goes with the angle", "sine", unstated="as the screw, else tangent"
    )
    more_taper: TableMoves = key(
        "how the table turns for more taper: towards where outside work has its small end at the tailstock "
        "and a hole is ground on the operator's wall",
        "tailstock end away from wheel",
        default="tailstock end towards wheel",
    )


class CrossFeed(Keys):
    """The cross-feed, fed by the divisions of its handwheel or, where it has one, by a digital readout.

    Once loaded, one of `division` and `readout` is None.
    """

    reads: HandwheelReads = key("what the figures of the handwheel or the readout are counted on", "diameter")
    division: Diameter | None = key(
        "one division of the handwheel, as it reads",
        "0.0025 mm",
        unstated="must be given where there is no readout",
        usual=True,
    )
    divisions: Count | None = key(
        "divisions in one turn of the handwheel: paper tells turns + divisions",
        "100",
        unstated="paper tells divisions",
    )
    readout: Diameter | None = key(
        "one step of a digital readout, in place of division: paper tells what to feed, and what to stand "
        "at, in its unit",
        "0.001 mm",
        unstated="the feed is counted in divisions of the handwheel",
    )

    @property
    def step(self) -> Figure:
        """What a feed is counted in: a step of the readout, else a division of the handwheel."""
        counted = self.readout or self.division
        if counted is None:
            raise ValueError("a cross-feed without division and readout is refused before")
        return counted


class TestBar(Keys):
    """A parallel bar, between centres or on the wheel spindle, to set a swivel and to find its zero."""

    length_mm: Mm = key("that an indicator can travel along", "300 mm", alias="length")
    straightness_mm: Mm = key(
        "how far it is from straight and parallel over that length", "0.002 mm", alias="straightness"
    )


class WheelHeadRecord(Keys):
    """The wheel head, where it can be swivelled."""

    swivels: YesNo = key("whether it can be swivelled", "true", default="false")
    limit_rad: Radians | None = key(
        "how far it swivels each way", "45 deg", unstated="must be given where it swivels", alias="limit"
    )
    slide_fed: SlideFed = key(
        "whether the slide that feeds lies below the swivel or above it", "above", default="below"
    )
    more_taper: Rotation | None = key(
        "how the head turns for more taper, seen from above",
        "anticlockwise",
        unstated="clockwise where the table's more_taper is towards",
    )
    indicator_radius_mm: Mm | None = key(
        "from the head's pivot to an indicator against the head",
        "250 mm",
        unstated="the head cannot be turned by an indicator",
        alias="indicator_radius",
    )
    test_bar: TestBar | None = key(
        "a parallel bar that goes on the wheel spindle, to set the head by an indicator on the table; the "
        "wheel's face is dressed parallel to that spindle",
        unstated="the head is set by its scale",
    )


class MachineRecord(Keys):
    """A grinder: what can be turned on it, and how that is graduated."""

    id: Id = key("names the machine", "CG-2")
    name: Text = key("as the shop calls it", "Universal grinder 2")
    swivel: SwivelRecord = key("the table's swivel")
    cross_feed: CrossFeed = key("the cross-feed's handwheel")
    work_speeds: RpmSteps = key("speeds of the work", "60, 90, 140, 210, 320 rpm")
    traverse: FeedRange = key("traverse of the table, slowest to fastest", "50 .. 4000 mm/min")
    wheel_speeds: RpmSteps = key("speeds of the wheel", "1670, 1910 rpm")
    wheel_head: WheelHeadRecord = key("the wheel head", default={})
    dwell_s: Seconds = key("at each reversal of the table", "1 s", default="0.5 s", alias="dwell")


class WheelDiameter(Keys):
    """The wheel's diameter, new and worn."""

    new_mm: Mm = key("of a new wheel", "400 mm", alias="new")
    worn_mm: Mm = key("when it is taken off", "320 mm", alias="worn")


class Dresser(Keys):
    """The dressing tool."""

    type: Text = key("what it is", "single point diamond")
    effective_width_mm: Mm = key("width that its point cuts", "0.7 mm", alias="effective_width")


class Overlap(Keys):
    """How often the dresser passes each place of the wheel's face, at the least (common practice)."""

    rough: Factor = key("for roughing", "3", default="2")
    finish: Factor = key("for finishing", "6", default="4")


class WheelRecord(Keys):
    """A grinding wheel."""

    id: Id = key("names the wheel", "W-A60")
    name: Text | None = key(
        "what the wheel is", "Grey wheel of the universal grinder", unstated="its marking tells"
    )
    marking: Text = key("as ISO 525 or ANSI B74.13 marks it", "A60K5V")
    diameter: WheelDiameter = key("its diameter, new and worn")
    width_mm: Mm = key("of its face", "40 mm", alias="width")
    maximum_operating_speed_m_s: MetresPerSecond = key(
        "as it is marked on the wheel", "35 m/s", alias="maximum_operating_speed"
    )
    dresser: Dresser = key("what it is dressed with")
    overlap: Overlap = key("how often the dresser passes each place of its face", default={})
    g_ratio: Factor | None = key(
        "volume ground for a volume of wheel worn away", "20", unstated="wear and dressing are not reckoned"
    )
