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
from cardgen.spec.models.keys import Keys, key
from cardgen.spec.models.toolroom import ShopRecord
from cardgen.spec.quantity import Figure
from cardgen.terms import ReadingKind, Side, Swivelled, ToolUse, Units


class PartGaugeLine(Keys):
    """The basic diameter of the taper and the plane it is measured in.

    `diameter` is None only where the large or the small diameter is given instead; `tolerance` is None
    where the finish reading's own tolerance is given instead.
    """

    diameter: Diameter | None = key(
        "basic diameter in the plane of the gauge line",
        "38.000 mm",
        unstated="the standard taper's, or it follows from large_diameter or small_diameter",
        usual=True,
    )
    tolerance: SizeTolerance | None = key(
        "tolerance of that diameter",
        "± 0.010 mm",
        unstated="it follows from that of gauging.finish",
        usual=True,
    )
    from_shoulder: Distance | None = key(
        "external: the plane of the diameter, along the axis from the shoulder",
        "3 mm",
        unstated="it follows from gauging.finish, or from large_diameter or small_diameter",
        usual=True,
    )
    from_end: Distance | None = key(
        "internal: the plane of the diameter, along the axis from the mouth",
        "0 mm",
        unstated="it follows from gauging.finish, or from large_diameter or small_diameter",
    )

    from_small_end: Distance | None = key(
        "the plane of the diameter, along the axis from the small end: 0 mm where that end is toleranced",
        "0 mm",
        unstated="the plane is told from the shoulder or the mouth",
    )


class PartTaper(Keys):
    """The taper. Once loaded, a standard taper has filled in what the spec leaves out.

    `callout` is None where two diameters and the length fix the taper; `length` is never None once loaded.
    """

    callout: TaperCallout | None = key(
        "the taper as the drawing calls for it",
        "1:8",
        unstated="large_diameter, small_diameter and length fix it",
        usual=True,
    )
    side: Side = key("external: a shank or nose; internal: a socket or bore", "external")
    gauge_line: PartGaugeLine = key(
        "the basic diameter and its plane",
        default={},
        unstated="the standard taper's, or the ends' diameters",
        usual=True,
    )
    length: Length | None = key(
        "along the axis from the shoulder (or mouth) to the small end",
        "62 mm",
        unstated="the standard taper's",
        usual=True,
    )
    large_diameter: EndDiameter | None = key(
        "at the shoulder, or at the mouth", "38.375 mm", unstated="reckoned from the gauge line"
    )
    small_diameter: EndDiameter | None = key(
        "at the length from the shoulder or mouth",
        "30.625 mm ± 0.010 mm",
        unstated="reckoned from the gauge line",
    )
    angle_tolerance: AngleLimits | None = key(
        "how far the taper may be off, + more taper and - less: of the included angle, unless it says half",
        "AT6",
        unstated="none is checked",
    )
    relief_mm: MmOrNothing = key(
        "width of the groove at the shoulder", "3 mm", default="0 mm", unstated="none", alias="relief"
    )
    open_both_ends: YesNo = key(
        "whether the wheel can run past the large end (a hole: the inner end), nothing standing there",
        "true",
        default="false",
        unstated="false: it keeps clear of a shoulder or a bottom",
    )

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

    rough: Tool = key("while roughing", "steel rule 0.5 mm")
    finish: Tool = key("while finishing", "slip gauges 0.01 mm")


class Gauging(Keys):
    """How the piece is read: which gauge, which reading, what it shows on a finished piece."""

    gauge: Reference = key("the ring or plug gauge that it is read with", "R-204")
    light_gauge: Reference | None = key("the light gauge used for finishing", "L-204", unstated="none")
    reading: ReadingKind = key("what is measured between gauge and piece", "shoulder_gap")
    finish: SizeWithTolerance | None = key(
        "reading of a finished piece, as the drawing gives it",
        "3.0 mm ± 0.2 mm",
        unstated="it follows from the diameter at the gauge line",
    )
    read_with: ReadWith = key("the tools that it is read with")
    plane_mm: MmOrNothing = key(
        "plug_depth only: the plane read from, from the mouth into the hole",
        "2 mm",
        default="0 mm",
        unstated="the mouth",
        alias="plane",
    )


class Infeed(Keys):
    """Infeed of a pass, on the diameter."""

    rough_mm: Mm = key("roughing, on the diameter, a pass", "0.02 mm", alias="rough")
    finish_mm: Mm = key("finishing, on the diameter, a pass", "0.005 mm", alias="finish")


class SemiFinish(Keys):
    """A stage between roughing and finishing: the whole batch once more, so that finishing begins alike."""

    leave_mm: Mm = key("stock that it leaves for finishing, on the diameter", "0.03 mm", alias="leave")
    infeed_mm: Mm = key("infeed of a pass, on the diameter", "0.010 mm", alias="infeed")
    read_with: ToolUse = key("which of the two reading tools it is read with", "rough", default="finish")


class Stock(Keys):
    """Stock on the diameter, stage by stage."""

    blank: StockRange = key(
        "stock on a blank, least to most; 'unknown' of worn pieces, with salvage", "0.35 .. 0.50 mm"
    )
    clean_up_mm: Mm = key(
        "stock that a blank needs to clean up (a worn piece: its wear and run-out together)",
        "0.10 mm",
        alias="clean_up",
    )
    leave_for_finishing_mm: Mm = key(
        "stock that roughing leaves for finishing, and for semi-finishing before it",
        "0.08 mm",
        alias="leave_for_finishing",
    )
    semi_finish: SemiFinish | None = key(
        "a stage between roughing and finishing", unstated="finishing follows on roughing"
    )
    infeed: Infeed = key("infeed of a pass")
    spark_out_passes: CountOrNone = key("passes without infeed at the end", "3")


class PartSalvage(Keys):
    """Worn pieces, or pieces with too little on: cleaned up with the least, each to a size of its own."""

    at_most_mm: Mm = key(
        "how far past the basic size a piece may be ground to clean up, on the diameter: below it outside, "
        "above it in a hole",
        "0.30 mm",
        alias="at_most",
    )


class Material(Keys):
    """What the part is made of; `group` decides speeds and expansion."""

    name: Text = key("as the drawing names it", "tool steel")
    hardness: Text | None = key("as the drawing gives it", "60 HRC", unstated="not told")
    group: Text = key("group of materials: it decides speeds, infeed and expansion", "hardened tool steel")


class PartBatch(Keys):
    """The batch that is ground in one setting."""

    pieces: Count | None = key("how many pieces", "40", unstated="no time of the batch is reckoned")
    centre_depth_spread_mm: MmOrNothing | None = key(
        "how unlike the depths of the centre holes are from piece to piece",
        "0.04 mm",
        unstated="taken for nothing",
        alias="centre_depth_spread",
    )
    check_every: Count | None = key(
        "gauge each so-manyth piece", "5", unstated="as often as the wear of the wheel asks for"
    )
    check_first: CountOrNone | None = key("gauge every one of the first so many", "5", unstated="3")
    gauging_time_s: Seconds | None = key(
        "time to gauge one piece", "1.5 min", unstated="40 s", alias="gauging_time"
    )


class Setup(Keys):
    """How the piece sits on the machine."""

    gauge_line_from_pivot_mm: SignedMm = key(
        "along the work axis from the swivel's pivot: positive where the gauge line is on the large-end side",
        "85 mm",
        alias="gauge_line_from_pivot",
    )
    set_by: Swivelled | None = key(
        "what is swivelled", "wheel head", unstated="the table, and the wheel head beyond the table's limit"
    )
    overrun_mm: MmOrNothing | None = key(
        "how far the wheel runs over the open end",
        "10 mm",
        unstated="a third of the wheel's width",
        alias="overrun",
    )
    clearance: Length | None = key(
        "kept along the axis between the wheel's edge and a shoulder without relief, or the bottom of a hole",
        "2 mm",
        unstated="1 mm (.04 in for inch parts), an assumption",
    )
    wheel_speed_rpm: Rpm | None = key(
        "one of the machine's wheel speeds",
        "1670 rpm",
        unstated="the fastest that the wheel may run at",
        alias="wheel_speed",
    )
    work_speed_rpm: Rpm | None = key(
        "one of the machine's work speeds",
        "90 rpm",
        unstated="the one nearest to usual practice for the material",
        alias="work_speed",
    )


class PartInspection(Keys):
    """What the finished taper is measured with beyond the shop's usual means."""

    roll_mm: Mm | None = key(
        "external: diameter of two equal rolls it is measured over",
        "10 mm",
        unstated="the first of the shop's rolls, else 10 mm or 1/2 in",
        alias="roll",
    )
    raise_mm: Mm | None = key(
        "external: height that both rolls are raised by",
        "25 mm",
        unstated="30 mm, 1 in for a part in inches; never more than half of the length",
        alias="raise",
    )
    balls_mm: TwoMm | None = key(
        "internal: diameters of the two balls that lie in it",
        ("33 mm", "36 mm"),
        unstated="not so measured",
        alias="balls",
    )
    discs_mm: TwoMm | None = key(
        "diameters of the two discs that its angle is compared by",
        ("20 mm", "26 mm"),
        unstated="not so measured",
        alias="discs",
    )


class PartHolding(Keys):
    """What holds, drives and cools the piece: each stands in the card's first steps as it is written."""

    driver: Text | None = key("what drives the piece", "bent-tail carrier 32 mm", unstated="not told")
    centres: Text | None = key("the centres it runs on", "dead, carbide-tipped", unstated="not told")
    steady: Text | None = key("what steadies it, and where", "two-jaw at mid length", unstated="not told")
    coolant: Text | None = key("the coolant", "4 % emulsion", unstated="not told")


class PartRecord(Keys):
    """One operation on one part: everything its card is made from. Lengths in mm, angles in radians."""

    id: Id = key("the part's number; it names the card's file", "SN-204")
    name: Text = key("what the part is", "Spindle nose")
    operation: Text | None = key(
        "what is done in this operation", "Rough and finish the 1:8 nose", unstated="not told"
    )
    operation_number: Count | None = key(
        "its number on the operation sheet; the operations of one piece stand in its order",
        "40",
        unstated="not told",
    )
    piece: Id | None = key(
        "the piece that this is an operation of: each operation is a part with its own id and number, names "
        "the same piece, and its card names the others",
        "FS-8",
        unstated="the part is the only operation",
    )
    drawing: Text | None = key("number of the drawing", "FS-8 sheet 1", unstated="not told")
    order: Text | None = key(
        "the works order or batch", "4417", unstated="a line to write it on the record sheet"
    )
    revision: Text = key("of the drawing or operation", "B")
    units: Units = key(
        "how this part's paper shows values",
        "both",
        default="metric",
        unstated="as the shop's record says, else metric",
    )
    taper: PartTaper = key("the taper")
    gauging: Gauging = key("how the piece is read")
    stock: Stock = key("stock, always on the diameter")
    salvage: PartSalvage | None = key(
        "worn pieces are ground only to clean up, at most so far; its mate is then fitted to each",
        unstated="no piece may be past its limits of size",
    )
    material: Material = key("what the part is made of")
    batch: PartBatch = key("the batch", default={})
    machine: Reference = key("the machine that it is ground on", "CG-2")
    wheel: Reference = key("the wheel that it is ground with", "W-A60")
    setup: Setup = key("how the piece sits on the machine")
    holding: PartHolding = key("what holds, drives and cools the piece, in the first steps", default={})
    inspection: PartInspection = key("means of inspection beyond the shop's usual ones", default={})
    shop: ShopRecord = key(
        "what differs from the shop's own record for this part",
        "{blue_film: 0.004 mm}",
        default={},
        unstated="the shop's own record holds",
    )
    posted_at: Texts = key(
        "where copies of the card hang", ("Grinder 2", "Toolroom binder"), default=(), unstated="nowhere"
    )
    notes: Notes = key(
        "remarks, printed whole and boxed on side one",
        ("Blow the centre hole out before each piece",),
        default=(),
        unstated="none",
    )
