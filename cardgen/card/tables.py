"""What a booklet says: every figure of its tables, as plain frozen data that paper can draw.

Lengths are in mm, angles in degrees (small ones in arc seconds), diameters and stock on the diameter.
Nothing here is rounded: rounding happens once, where a figure is written.
"""

from dataclasses import dataclass
from typing import Literal

from cardgen.card.values import Card, SlipStack, Units

System = Literal["mm", "in"]


@dataclass(frozen=True)
class Line:
    """A taper with a line of its own in the tables: sizes of one series that taper alike, or a callout."""

    name: str
    callout: str
    ratio: float
    half_angle_deg: float
    series: str | None  # of the library; None for a taper of the shop that is no standard


@dataclass(frozen=True)
class Conversion:
    """One taper in every form of callout."""

    given: str  # the form it was chosen in: '5/8', '1:12'; empty for per cent and angles, which are plain
    per_foot_in: float
    ratio_1_to: float
    per_cent: float
    half_angle_deg: float
    included_angle_deg: float


@dataclass(frozen=True)
class Conversions:
    """The same conversion entered by each form of callout."""

    by_per_foot: tuple[Conversion, ...]
    by_ratio: tuple[Conversion, ...]
    by_per_cent: tuple[Conversion, ...]
    by_angle: tuple[Conversion, ...]


@dataclass(frozen=True)
class Printed:
    """A length of a standard taper, as its source prints it."""

    mm: float
    text: str
    unit: System


@dataclass(frozen=True)
class StandardSize:
    """One size of a standard taper."""

    size: str
    callout: str
    per_foot_in: float
    ratio_1_to: float
    half_angle_deg: float
    large: Printed | None
    small: Printed | None
    length: Printed | None
    projection: Printed | None


@dataclass(frozen=True)
class Remark:
    """What is to be told of a series, or of some of its sizes.

    `conflict`: what another source prints for a figure and why it is not used; `source`: figures that come
    from elsewhere than the series' own source; `disagrees`: figures that do not agree among themselves.
    """

    kind: Literal["conflict", "source", "disagrees", "note"]
    sizes: tuple[str, ...]  # none: of the series
    prints: tuple[str, ...]  # of a conflict: what the other source prints, for each size in turn
    text: str
    figure: str = ""
    source: str = ""


@dataclass(frozen=True)
class StandardSeries:
    """A series of standard tapers."""

    name: str
    title: str
    unit: System
    planes: str
    gauge_line_at: Literal["large", "small"] | None
    one_taper: bool  # whether all its sizes taper alike
    all_per_foot: bool  # whether every size's taper is given as a decimal taper per foot
    sizes: tuple[StandardSize, ...]
    source: str
    confidence: str
    remarks: tuple[Remark, ...]


@dataclass(frozen=True)
class ReadingStock:
    """A reading of so many divisions, and the stock on the diameter that it means."""

    count: int
    reading_mm: float
    stock_mm: float


@dataclass(frozen=True)
class StockScale:
    """The readings of one scale: 64ths or thousandths of an inch, tenths or halves of a millimetre."""

    unit: System
    denominator: int | None  # 64 for common fractions
    division_mm: float
    rows: tuple[ReadingStock, ...]


@dataclass(frozen=True)
class StockTable:
    """Reading → stock for one taper, with every name it goes by."""

    names: tuple[str, ...]
    parts: tuple[str, ...]  # ids of the shop's parts that have it
    ratio: float
    ratio_1_to: float
    per_foot_in: float
    half_angle_deg: float
    scales: tuple[StockScale, ...]


@dataclass(frozen=True)
class ScaleHead:
    """A scale of a machine's swivel."""

    shows: Literal["half_angle", "included_angle", "taper_per_foot", "mm_per_m", "per_cent"]
    unit: str
    division_text: str


@dataclass(frozen=True)
class ScaleMark:
    """What a scale must show for one taper, the mark nearest to it, and what that leaves over."""

    exact: float
    mark_text: str
    left_over_arcsec: float  # half angle wanted less half angle at the mark
    left_over_ratio: float  # taper ratio wanted less the ratio at the mark


@dataclass(frozen=True)
class SwivelRow:
    """One taper on one machine; without marks where the table does not reach it."""

    line: Line
    by_wheel_head: bool  # beyond the table, within the wheel head
    marks: tuple[ScaleMark, ...]
    slip_mm: float | None
    slip_stack: SlipStack | None
    indicator_mm: float | None
    screw_divisions: float | None  # from straight


@dataclass(frozen=True)
class ScrewRow:
    """What one division of the adjusting screw does, towards more taper, the table standing at this taper."""

    line: Line
    arcsec: float
    ratio: float  # change of the taper ratio
    indicator_mm: float | None


@dataclass(frozen=True)
class MachineTables:
    """The settings of one machine."""

    id: str
    name: str
    limit_deg: float
    wheel_head_limit_deg: float | None
    scales: tuple[ScaleHead, ...]
    slip_type: Literal["sine", "tangent", "chord"] | None
    slip_radius_mm: float | None
    set_name: str | None  # of the slip gauges
    indicator_type: Literal["sine", "tangent", "chord"] | None
    indicator_radius_mm: float | None
    screw_turn_divisions: int | None
    rows: tuple[SwivelRow, ...]
    screw: tuple[ScrewRow, ...]  # at the common tapers


@dataclass(frozen=True)
class LineFigures:
    """A taper and its figures, one for each column of the table."""

    line: Line
    figures: tuple[float, ...]


@dataclass(frozen=True)
class TestBarTable:
    """Rise of an indicator along a test bar, by travel of the table."""

    system: System
    travels_mm: tuple[float, ...]
    rows: tuple[LineFigures, ...]  # mm


@dataclass(frozen=True)
class TurnRow:
    """How far to turn the swivel for one error of taper over each length, in arc seconds."""

    error_mm: float
    arcsec: tuple[float | None, ...]  # None where the error would leave no taper


@dataclass(frozen=True)
class TurnTable:
    """Error of taper over a contact length → turn of the swivel, for one taper that came out too shallow."""

    line: Line
    system: System
    lengths_mm: tuple[float, ...]
    rows: tuple[TurnRow, ...]
    steep_differs_arcsec: float  # by how much at most the turn differs where it came out too steep


@dataclass(frozen=True)
class BlueTable:
    """Estimate of the error of taper from how far along the blue has marked."""

    system: System
    marked: tuple[tuple[int, int], ...]  # fractions of the length
    films_mm: tuple[float, ...]
    errors_mm: tuple[tuple[float, ...], ...]  # a row for each film


@dataclass(frozen=True)
class LightTable:
    """Error of taper from the width of light at the far end of the contact."""

    system: System
    gaps_mm: tuple[float, ...]
    rows: tuple[LineFigures, ...]  # mm


@dataclass(frozen=True)
class Corrections:
    """All that goes with putting the taper right."""

    turns: tuple[TurnTable, ...]
    blue: tuple[BlueTable, ...]
    light: tuple[LightTable, ...]
    shop_film_mm: float


@dataclass(frozen=True)
class SineRow:
    """Height under a sine bar or sine centres for one taper, and the slip gauges for it."""

    line: Line
    angle_deg: float  # the angle set
    height_mm: float
    stack: SlipStack | None
    stack_angle_arcsec: float | None  # angle wanted less angle the stack makes


@dataclass(frozen=True)
class SineTable:
    """Heights for one bar: a sine bar is set to the included angle, sine centres to the half angle."""

    kind: Literal["bar", "centres"]
    system: System
    length_mm: float
    set_name: str | None
    rows: tuple[SineRow, ...]


@dataclass(frozen=True)
class SineAngles:
    """Heights of a sine bar by degrees and minutes."""

    system: System
    length_mm: float
    minutes: tuple[int, ...]
    degrees: tuple[int, ...]
    heights_mm: tuple[tuple[float, ...], ...]  # a row for each degree


@dataclass(frozen=True)
class RollTable:
    """Over rolls: what two rolls add to the small end, and what raising them adds."""

    system: System
    rolls_mm: tuple[float, ...]
    raises_mm: tuple[float, ...]
    rows: tuple[LineFigures, ...]  # first the rolls, then the raises; mm


@dataclass(frozen=True)
class GradeRow:
    """One range of cone lengths; a figure for each grade."""

    over_mm: float
    to_mm: float
    microradians: tuple[float, ...]
    arcsec: tuple[float, ...]
    on_diameter_mm: tuple[float, ...]  # at the upper end of the range


@dataclass(frozen=True)
class AngleGrades:
    """Full widths of the tolerance zone of the included angle."""

    grades: tuple[str, ...]
    rows: tuple[GradeRow, ...]
    source: str
    confidence: str


@dataclass(frozen=True)
class GrowthRow:
    """Growth on one diameter for each rise of temperature."""

    diameter_mm: float
    growth_mm: tuple[float, ...]


@dataclass(frozen=True)
class ExpansionLine:
    """A group of material and its coefficient of expansion."""

    group: str
    value_for: str
    per_k: float
    source: str
    confidence: str


@dataclass(frozen=True)
class GrowthTable:
    """What warmth adds to the diameter of work of one coefficient of expansion."""

    system: System
    expansion: ExpansionLine
    warmer_k: tuple[float, ...]
    rows: tuple[GrowthRow, ...]


@dataclass(frozen=True)
class WarmReadings:
    """How far the reading of work moves that has grown by so much."""

    system: System
    growths_mm: tuple[float, ...]
    rows: tuple[LineFigures, ...]  # mm of reading


@dataclass(frozen=True)
class PartPage:
    """A part of the shop, with its card; without one, what keeps it from having one."""

    id: str
    name: str
    card: Card | None
    wrong: str


@dataclass(frozen=True)
class SourceLine:
    """Where figures come from."""

    what: str
    source: str
    confidence: str


@dataclass(frozen=True)
class Booklet:
    """Everything a booklet says."""

    id: str
    title: str
    shop: str
    units: Units
    paper: Literal["A4", "letter"]
    code: str
    lines: tuple[Line, ...]
    conversions: Conversions
    standards: tuple[StandardSeries, ...]
    stock: tuple[StockTable, ...]
    machines: tuple[MachineTables, ...]
    test_bars: tuple[TestBarTable, ...]
    corrections: Corrections
    sines: tuple[SineTable, ...]
    sine_angles: tuple[SineAngles, ...]
    rolls: tuple[RollTable, ...]
    grades: AngleGrades
    expansions: tuple[ExpansionLine, ...]
    growth: tuple[GrowthTable, ...]
    warm_readings: tuple[WarmReadings, ...]
    parts: tuple[PartPage, ...]
    sources: tuple[SourceLine, ...]


@dataclass(frozen=True)
class TaperMatch:
    """A standard taper that answers a question, or comes near it."""

    name: str
    size: StandardSize
    gauge_line_at: Literal["large", "small"] | None
    alike: int  # sizes of its series that taper alike, itself counted
    difference_mm: float | None  # asked about less standard, on the diameter over the length; None by name
    agrees: bool  # by name, or within what the rounding of the figures explains
    beyond_gauge_line_mm: float | None  # how far the piece's large end lies past the gauge line


@dataclass(frozen=True)
class TaperAnswer:
    """What was asked of the library of tapers, and what it has."""

    asked_by: Literal["all", "name", "taper", "ends"]
    ratio: float | None  # of the taper asked about
    over_mm: float  # the length that differences are told over
    matches: tuple[TaperMatch, ...]
    series: tuple[StandardSeries, ...]  # of the matches, where something is to be told of them
    suggestions: tuple[str, ...]  # names that look like the one asked about, where nothing was found
