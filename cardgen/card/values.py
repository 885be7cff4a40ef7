"""What a card says: every value of the two sides, as plain frozen data that JSON can carry.

Lengths are in mm, angles in degrees (small ones in arc seconds), diameters and stock on the
diameter, times in seconds; every key that holds a bare number names its unit. A card read back
from its own JSON is equal to the card it was written from, so paper can draw either.
"""

from dataclasses import dataclass
from typing import Any

from cardgen.card.bench_values import BenchAnswer as BenchAnswer
from cardgen.card.bench_values import GaugeMarks as GaugeMarks
from cardgen.card.bench_values import Handwheel as Handwheel
from cardgen.card.bench_values import ReadingTool as ReadingTool
from cardgen.card.bench_values import StockAnswer as StockAnswer
from cardgen.card.exchange_values import Cause as Cause
from cardgen.card.exchange_values import Change as Change
from cardgen.card.exchange_values import LineChange as LineChange
from cardgen.card.exchange_values import Notice as Notice
from cardgen.card.exchange_values import path_words as path_words
from cardgen.card.method_values import MeansOfProof as MeansOfProof
from cardgen.card.method_values import Move as Move
from cardgen.card.method_values import OutBy as OutBy
from cardgen.card.method_values import Proof as Proof
from cardgen.card.method_values import Start as Start
from cardgen.card.size_values import Batch as Batch
from cardgen.card.size_values import BetweenStages as BetweenStages
from cardgen.card.size_values import Gauge as Gauge
from cardgen.card.size_values import Reading as Reading
from cardgen.card.size_values import Salvage as Salvage
from cardgen.card.size_values import Stage as Stage
from cardgen.card.size_values import StockRow as StockRow
from cardgen.card.stack_values import SineStack as SineStack
from cardgen.card.stack_values import SlipStack as SlipStack
from cardgen.card.swivel_values import BlueRow as BlueRow
from cardgen.card.swivel_values import CorrectionRow as CorrectionRow
from cardgen.card.swivel_values import LightRow as LightRow
from cardgen.card.swivel_values import PatternShown as PatternShown
from cardgen.card.swivel_values import ScaleSetting as ScaleSetting
from cardgen.card.swivel_values import Swivel as Swivel
from cardgen.card.swivel_values import TestBarRise as TestBarRise
from cardgen.card.swivel_values import WheelHead as WheelHead
from cardgen.terms import (
    Level,
    MoveId,
    PastSize,
    Side,
    StageName,
    ToolUse,
    Units,
)

FORMAT = 2  # of the JSON: raised where a key goes, is renamed or comes to mean something else (CHANGES.md)


@dataclass(frozen=True)
class OtherOperation:
    """Another operation on the same piece, which is a part of its own."""

    part: str
    operation_number: int | None
    operation: str


@dataclass(frozen=True)
class Title:
    shop: str
    part: str
    name: str
    operation: str
    operation_number: int | None
    piece: str  # whose operations this one and the others are; empty where it is the only one
    other_operations: tuple[OtherOperation, ...]  # in their order
    drawing: str
    order: str
    revision: str
    code: str
    issue: int  # of this card; the revision is the drawing's
    units: Units
    material: str
    hardness: str
    pieces: int | None
    posted_at: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Holding:
    """What holds, drives and cools the piece, as the spec writes it; empty where it says nothing."""

    driver: str
    centres: str
    steady: str
    coolant: str


@dataclass(frozen=True)
class Taper:
    callout: str  # as the spec gives it
    standard: str | None  # name of the standard taper, where the callout is one
    side: Side
    ratio: float
    per_foot_in: float
    per_cent: float
    ratio_1_to: float
    included_angle_deg: float
    half_angle_deg: float
    gauge_line_diameter_mm: float
    gauge_line_from_face_mm: float  # from the shoulder (external) or the mouth (internal)
    gauge_line_low_mm: float
    gauge_line_high_mm: float
    large_diameter_mm: float
    small_diameter_mm: float
    length_mm: float
    relief_mm: float
    angle_tolerance_arcsec: float | None  # ± on the half angle aimed at
    angle_tolerance_mm: float | None  # ± as a difference of diameters over the length
    angle_tolerance_text: str
    angle_aim_arcsec: float = 0.0  # half angle aimed at less the one called for; 0 where no side is wider
    angle_aim_mm: float = 0.0  # the same as a difference of diameters over the length


@dataclass(frozen=True)
class Stroke:
    slant_mm: float
    overrun_open_mm: float
    overrun_shoulder_mm: float  # past the shoulder's end (a hole: the inner end); negative: short of it
    wheel_width_mm: float
    travel_mm: float  # table travel; not positive where the taper is ground by plunge
    plunge: bool
    open_both_ends: bool  # nothing stands at the shoulder's end: the wheel runs past it
    clearance_mm: float | None  # kept at a shoulder without relief or a bottom, along the axis; else None
    reverse_at_shoulder_mm: float | None  # wheel's shoulder-side edge from the shoulder, along the slant
    reverse_at_open_mm: float | None  # wheel's open-side edge past the small end (or mouth), along the slant
    past_open_end_mm: float | None  # by plunge: how far the wheel reaches past the small end (or mouth)


@dataclass(frozen=True)
class Phase:
    """Roughing or finishing: what to set, how long it takes."""

    name: ToolUse
    infeed_per_pass_mm: float  # on the diameter
    divisions_per_pass: int
    divisions_per_pass_text: str
    work_rpm: float
    work_m_min_large: float
    work_m_min_small: float
    traverse_fraction: float
    traverse_mm_min: float
    passes: int
    spark_out_passes: int
    time_s: float
    dress_traverse_mm_min: float  # as the grinding, but no faster than the diamond cuts without a thread
    dress_overlap: float  # the overlap ratio at that rate
    dress_infeed_mm: float


@dataclass(frozen=True)
class NewWorn:
    new: float
    worn: float


@dataclass(frozen=True)
class Speeds:
    wheel: str
    wheel_marking: str
    wheel_name: str
    dresser: str
    wheel_diameter_mm: float  # new: a larger one is faster at the same rpm, beyond its marking maybe
    wheel_rpm: float
    wheel_m_s: NewWorn
    maximum_m_s: float
    barred_wheel_rpm: tuple[float, ...]  # the machine's speeds that this wheel must not run at when new
    work_rpm: float
    rough: Phase
    finish: Phase
    gauging_time_s: float
    dressing_time_s: float
    time_per_piece_s: float
    time_per_batch_s: float | None
    removed_per_piece_mm3: float
    wheel_wear_per_piece_mm: float | None  # on the wheel's diameter, of roughing and finishing together
    drift_per_piece_mm: float | None  # on the work's diameter, of finishing alone, on an unmoved stop


@dataclass(frozen=True)
class Doubt:
    stock_standard_mm: float  # at finish size, with the finishing tool
    reading_standard_mm: float
    stock_expanded_mm: float  # k = 2
    rough_stock_standard_mm: float
    parts: dict[str, float]  # standard uncertainties of the stock, mm on the diameter


@dataclass(frozen=True)
class WarmthRow:
    warmer_k: float
    diameter_mm: float
    reading_mm: float


@dataclass(frozen=True)
class Measured:
    """A figure to measure: at the size aimed at, the middle of the limits of size, and at the limits."""

    aim_mm: float
    least_mm: float
    most_mm: float


@dataclass(frozen=True)
class Inspection:
    sine_bar_length_mm: float
    sine_bar_mm: float | None  # None for a cone too steep to lie on a sine bar
    sine_bar_stack: SineStack | None
    sine_centres_mm: float
    sine_centres_stack: SineStack | None
    roll_diameter_mm: float | None
    roll_raise_mm: float | None
    over_rolls: Measured | None  # on the plate
    over_raised_rolls: Measured | None
    rolls_differ_mm: float | None  # the second less the first, whatever the size
    balls_mm: tuple[float, float] | None
    ball_depths: tuple[Measured, Measured] | None
    discs_mm: tuple[float, float] | None
    disc_centres_mm: float | None
    balls_differ_mm: float | None  # how much deeper the smaller ball lies, whatever the size


@dataclass(frozen=True)
class Check:
    level: Level
    code: str
    text: str
    on_card: str  # what the card prints of it, in the hand's words; '' where it is for the planner


@dataclass(frozen=True)
class Card:
    title: Title
    holding: Holding
    taper: Taper
    gauge: Gauge
    reading: Reading
    stages: tuple[Stage, ...]
    rough_step: int  # rows of the stock table are this many divisions of the tool apart
    finish_step: int
    stock_table: tuple[StockRow, ...]
    handwheel: Handwheel
    swivel: Swivel
    contact_length_mm: float
    correction: tuple[CorrectionRow, ...]
    blue_film_mm: float
    blue: tuple[BlueRow, ...]
    light: tuple[LightRow, ...]
    patterns: tuple[PatternShown, ...]
    proof: Proof
    stroke: Stroke
    speeds: Speeds
    doubt: Doubt
    warmth: tuple[WarmthRow, ...]
    inspection: Inspection
    batch: Batch
    out_by: OutBy
    procedure: tuple[Move, ...]  # the moves in their order, then what holds for every finished piece
    sources: tuple[str, ...]
    checks: tuple[Check, ...]
    past_size: PastSize  # what a piece is called that has too much metal gone
    semi_finish: BetweenStages | None = None  # where the part has such a stage
    salvage: Salvage | None = None  # of worn pieces, where the part has such

    @property
    def shows_minus(self) -> bool:
        """Whether any reading that the card prints lies below zero."""
        readings = [stage.reading_mm for stage in self.stages] + [row.reading_mm for row in self.stock_table]
        return min(readings) < 0

    def stage(self, name: StageName) -> Stage | None:
        """The stage of this name; None where its tool can show none."""
        return next((stage for stage in self.stages if stage.name == name), None)

    def move(self, name: MoveId) -> Move | None:
        """The move of this name; None where the procedure has none."""
        return next((move for move in self.procedure if move.id == name), None)


def as_plain(card: Card) -> dict[str, Any]:
    """The card as JSON can carry it, its format first; numbers to a billionth: beyond there is only noise."""
    return {"format": FORMAT, **_plain(card)}


def _plain(value: Any) -> Any:
    if isinstance(value, str | int | None):
        return value
    if isinstance(value, float):
        return round(value, 9) + 0.0
    if isinstance(value, tuple):
        return [_plain(held) for held in value]
    if isinstance(value, dict):
        return {key: _plain(held) for key, held in value.items()}
    return {name: _plain(getattr(value, name)) for name in value.__dataclass_fields__}
