"""A part: the taper its drawing calls for, how it is gauged, the stock on it, and where it is ground."""

from pydantic import Field

from cardgen.spec.models.fields import (
    AngleLimits,
    Count,
    CountOrNone,
    Diameter,
    Distance,
    Id,
    Keys,
    Length,
    Mm,
    MmOrNothing,
    MmRange,
    Notes,
    Reference,
    Rpm,
    Seconds,
    SignedMm,
    SizeTolerance,
    SizeWithTolerance,
    TaperCallout,
    Text,
    Texts,
    Tool,
    TwoMm,
    YesNo,
)
from cardgen.spec.models.toolroom import ShopRecord
from cardgen.spec.quantity import Figure
from cardgen.terms import ReadingKind, Side, Swivelled, Units


class PartGaugeLine(Keys):
    """The basic diameter of the taper and the plane it is measured in.

    `diameter` is None only where the large or the small diameter is given instead; `tolerance` is None
    where the finish reading's own tolerance is given instead.
    """

    diameter: Diameter | None = Field(None, description="basic diameter at the gauge line")
    tolerance: SizeTolerance | None = Field(None, description="tolerance of the diameter")
    from_shoulder: Distance | None = Field(None, description="plane of the diameter, from the shoulder")
    from_end: Distance | None = Field(None, description="the same for an internal taper, from its mouth")

    @property
    def from_face(self) -> Figure | None:
        """Distance of the plane from the shoulder (external) or the mouth (internal); None if unstated."""
        return self.from_shoulder if self.from_shoulder is not None else self.from_end


class PartTaper(Keys):
    """The taper. Once loaded, a standard taper has filled in what the spec leaves out.

    `callout` is None where two diameters and the length fix the taper; `length` is never None once loaded.
    """

    callout: TaperCallout | None = Field(None, description="the taper as the drawing calls for it")
    side: Side = Field(description="external: a shank or nose; internal: a socket or bore")
    gauge_line: PartGaugeLine = Field(default_factory=PartGaugeLine, description="the basic diameter")
    length: Length | None = Field(None, description="along the axis, shoulder side to small end")
    large_diameter: Diameter | None = Field(None, description="at the shoulder, or at the mouth")
    small_diameter: Diameter | None = Field(None, description="at the length from the shoulder or mouth")
    angle_tolerance: AngleLimits | None = Field(None, description="grade, or ±")
    relief_mm: MmOrNothing = Field(0.0, alias="relief", description="groove at the shoulder, 0 mm where none")
    open_both_ends: YesNo = Field(
        False,
        description="whether the wheel can run past the large end (a hole: the inner end), nothing standing "
        "there; unstated: no, so that it keeps clear of a shoulder or a bottom",
    )


class ReadWith(Keys):
    """The tools the reading is taken with, for roughing and for finishing."""

    rough: Tool = Field(description="tool and division, while roughing")
    finish: Tool = Field(description="tool and division, while finishing")


class Gauging(Keys):
    """How the piece is read: which gauge, which reading, what it shows on a finished piece."""

    gauge: Reference = Field(description="id of the ring or plug gauge")
    light_gauge: Reference | None = Field(None, description="id of the light gauge used for finishing")
    reading: ReadingKind = Field(description="what is measured at the bench")
    finish: SizeWithTolerance | None = Field(None, description="reading of a finished piece")
    read_with: ReadWith = Field(description="the tools, rough and finish")
    plane_mm: MmOrNothing = Field(
        0.0,
        alias="plane",
        description="plug_depth only: plane read from, measured from the mouth into the hole",
    )


class Infeed(Keys):
    """Infeed of a pass, on the diameter."""

    rough_mm: Mm = Field(alias="rough", description="on the diameter, a pass")
    finish_mm: Mm = Field(alias="finish", description="on the diameter, a pass")


class Stock(Keys):
    """Stock on the diameter, stage by stage."""

    blank: MmRange = Field(description="stock on a blank, from … to …")
    clean_up_mm: Mm = Field(alias="clean_up", description="stock needed to clean up")
    leave_for_finishing_mm: Mm = Field(alias="leave_for_finishing", description="stock left after roughing")
    infeed: Infeed = Field(description="infeed of a pass")
    spark_out_passes: CountOrNone = Field(description="passes without infeed at the end")


class Material(Keys):
    """What the part is made of; `group` decides speeds and expansion."""

    name: Text = Field(description="as the drawing names it")
    hardness: Text | None = Field(None, description="such as 60 HRC")
    group: Text = Field(description="group of material, such as hardened steel")


class PartBatch(Keys):
    """The batch that is ground in one setting."""

    pieces: Count | None = Field(None, description="how many pieces")
    centre_depth_spread_mm: MmOrNothing | None = Field(
        None, alias="centre_depth_spread", description="piece-to-piece spread of the centre holes' depth"
    )
    check_every: Count | None = Field(None, description="check each so-manyth piece")
    check_first: CountOrNone | None = Field(None, description="check every one of the first so many")
    gauging_time_s: Seconds | None = Field(None, alias="gauging_time", description="time to gauge one piece")


class Setup(Keys):
    """How the piece sits on the machine."""

    gauge_line_from_pivot_mm: SignedMm = Field(
        alias="gauge_line_from_pivot",
        description="along the work axis; positive when the gauge line is on the large-end side of the pivot",
    )
    set_by: Swivelled | None = Field(
        None, description="what is swivelled; unstated: the table, the wheel head beyond the table's limit"
    )
    overrun_mm: MmOrNothing | None = Field(None, alias="overrun", description="overrun at the open end")
    clearance: Length | None = Field(
        None,
        description="kept between the wheel's edge and a shoulder without relief, or the bottom of a hole, "
        "along the axis; unstated: 1 mm (.04 in for inch parts), an assumption",
    )
    wheel_speed_rpm: Rpm | None = Field(None, alias="wheel_speed", description="one of the machine's speeds")
    work_speed_rpm: Rpm | None = Field(None, alias="work_speed", description="one of the machine's speeds")


class PartInspection(Keys):
    """What the finished taper is measured with beyond the shop's usual means."""

    roll_mm: Mm | None = Field(None, alias="roll", description="external: diameter of two equal rolls")
    raise_mm: Mm | None = Field(None, alias="raise", description="external: height both are raised by")
    balls_mm: TwoMm | None = Field(None, alias="balls", description="internal: diameters of two balls")
    discs_mm: TwoMm | None = Field(None, alias="discs", description="diameters of two discs")


class PartRecord(Keys):
    """One operation on one part: everything its card is made from. Lengths in mm, angles in radians."""

    id: Id = Field(description="the part's number")
    name: Text = Field(description="what the part is")
    operation: Text | None = Field(None, description="what is done in this operation")
    revision: Text = Field(description="revision of the drawing or operation")
    units: Units = Field("metric", description="how this part's paper shows values")
    taper: PartTaper = Field(description="the taper")
    gauging: Gauging = Field(description="how it is read")
    stock: Stock = Field(description="stock on the diameter")
    material: Material = Field(description="what it is made of")
    batch: PartBatch = Field(default_factory=PartBatch, description="the batch")
    machine: Reference = Field(description="id of the machine")
    wheel: Reference = Field(description="id of the wheel")
    setup: Setup = Field(description="how it sits on the machine")
    inspection: PartInspection = Field(default_factory=PartInspection, description="means of inspection")
    shop: ShopRecord = Field(
        default_factory=ShopRecord, description="what differs from the shop's own record for this part"
    )
    posted_at: Texts = Field((), description="where copies of the card hang")
    notes: Notes = Field(
        (), description="remarks, printed whole and boxed on side one: at most 3 of 200 letters each"
    )
