"""A part: the taper its drawing calls for, how it is gauged, the stock on it, and where it is ground."""

from cardgen.spec.models.fields import (
    AngleLimits,
    Count,
    CountOrNone,
    Diameter,
    Distance,
    EndDiameter,
    Id,
    Length,
    Mm,
    MmOrNothing,
    Notes,
    Reference,
    Rpm,
    Seconds,
    SignedMm,
    SizeTolerance,
    SizeWithTolerance,
    StockRange,
    TaperCallout,
    Text,
    Texts,
    Tool,
    TwoMm,
    YesNo,
)
from cardgen.spec.models.keys import Keys, left_out
from cardgen.spec.models.toolroom import ShopRecord
from cardgen.spec.quantity import Figure
from cardgen.terms import ReadingKind, Side, Swivelled, ToolUse, Units


class PartGaugeLine(Keys):
    """The basic diameter of the taper and the plane it is measured in.

    `diameter` is None only where the large or the small diameter is given instead; `tolerance` is None
    where the finish reading's own tolerance is given instead.
    """

    diameter: Diameter | None = None
    tolerance: SizeTolerance | None = None
    from_shoulder: Distance | None = None
    from_end: Distance | None = None
    from_small_end: Distance | None = None


class PartTaper(Keys):
    """The taper. Once loaded, a standard taper has filled in what the spec leaves out.

    `callout` is None where two diameters and the length fix the taper; `length` is never None once loaded.
    """

    callout: TaperCallout | None = None
    side: Side
    gauge_line: PartGaugeLine = left_out({})
    length: Length | None = None
    large_diameter: EndDiameter | None = None
    small_diameter: EndDiameter | None = None
    angle_tolerance: AngleLimits | None = None
    relief_mm: MmOrNothing = left_out("0 mm")
    open_both_ends: YesNo = left_out("false")

    @property
    def ends(self) -> tuple[Figure, ...]:
        """The diameters of its ends that are stated."""
        return tuple(end for end in (self.large_diameter, self.small_diameter) if end is not None)

    @property
    def line_from_face(self) -> Figure | None:
        """The gauge line's plane from the shoulder (external) or the mouth (internal); None if unstated."""
        line, length = self.gauge_line, self.length
        if line.from_small_end is None or length is None:
            return line.from_shoulder if line.from_shoulder is not None else line.from_end
        back = line.from_small_end
        return Figure(length.value - back.value, length.half_digit + back.half_digit, back.text)


class ReadWith(Keys):
    """The tools the reading is taken with, for roughing and for finishing."""

    rough: Tool
    finish: Tool


class Gauging(Keys):
    """How the piece is read: which gauge, which reading, what it shows on a finished piece."""

    gauge: Reference
    light_gauge: Reference | None = None
    reading: ReadingKind
    finish: SizeWithTolerance | None = None
    read_with: ReadWith
    plane_mm: MmOrNothing = left_out("0 mm")


class Infeed(Keys):
    """Infeed of a pass, on the diameter."""

    rough_mm: Mm
    finish_mm: Mm


class SemiFinish(Keys):
    """A stage between roughing and finishing: the whole batch once more, so that finishing begins alike."""

    leave_mm: Mm
    infeed_mm: Mm
    read_with: ToolUse = left_out("finish")


class Stock(Keys):
    """Stock on the diameter, stage by stage."""

    blank: StockRange
    clean_up_mm: Mm
    leave_for_finishing_mm: Mm
    semi_finish: SemiFinish | None = None
    infeed: Infeed
    spark_out_passes: CountOrNone


class PartSalvage(Keys):
    """Worn pieces, or pieces with too little on: cleaned up with the least, each to a size of its own."""

    at_most_mm: Mm


class Material(Keys):
    """What the part is made of; `group` decides speeds and expansion."""

    name: Text
    hardness: Text | None = None
    group: Text


class PartBatch(Keys):
    """The batch that is ground in one setting."""

    pieces: Count | None = None
    centre_depth_spread_mm: MmOrNothing | None = None
    check_every: Count | None = None
    check_first: CountOrNone | None = None
    gauging_time_s: Seconds | None = None


class Setup(Keys):
    """How the piece sits on the machine."""

    gauge_line_from_pivot_mm: SignedMm
    set_by: Swivelled | None = None
    overrun_mm: MmOrNothing | None = None
    clearance: Length | None = None
    wheel_speed_rpm: Rpm | None = None
    work_speed_rpm: Rpm | None = None


class PartInspection(Keys):
    """What the finished taper is measured with beyond the shop's usual means."""

    roll_mm: Mm | None = None
    raise_mm: Mm | None = None
    balls_mm: TwoMm | None = None
    discs_mm: TwoMm | None = None


class PartHolding(Keys):
    """What holds, drives and cools the piece: each stands in the card's first steps as it is written."""

    driver: Text | None = None
    centres: Text | None = None
    steady: Text | None = None
    coolant: Text | None = None


class PartRecord(Keys):
    """One operation on one part: everything its card is made from. Lengths in mm, angles in radians."""

    id: Id
    name: Text
    operation: Text | None = None
    operation_number: Count | None = None
    piece: Id | None = None
    drawing: Text | None = None
    order: Text | None = None
    revision: Text
    units: Units = left_out("metric")
    taper: PartTaper
    gauging: Gauging
    stock: Stock
    salvage: PartSalvage | None = None
    material: Material
    batch: PartBatch = left_out({})
    machine: Reference
    wheel: Reference
    setup: Setup
    holding: PartHolding = left_out({})
    inspection: PartInspection = left_out({})
    shop: ShopRecord = left_out({})
    posted_at: Texts = left_out(())
    notes: Notes = left_out(())
