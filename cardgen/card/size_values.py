"""What a card says of gauge, readings, sizes and batch; `values` has the whole card, and hands these on."""

from dataclasses import dataclass

from cardgen.card.bench_values import GaugeMarks, ReadingTool
from cardgen.terms import GaugeType, ReadingKind, ReadingMoves, StageName, ToolUse


@dataclass(frozen=True)
class Gauge:
    id: str
    type: GaugeType
    gauge_line_diameter_mm: float
    length_mm: float
    stands_from_face_mm: float  # at finish: its gauge line (a ring's large face) inwards of shoulder or mouth
    uncertainty_mm: float | None  # None for a mating part, which nobody has calibrated
    calibration_due: str | None  # as the shop writes dates
    light_gauge: str | None  # id of the light gauge used for finishing, if any
    master: str | None  # id of the master plug that proves the gauge, if any
    name: str
    face_from_line_mm: float | None = None  # of a plug: from its gauge line out to its collar or handle


@dataclass(frozen=True)
class Reading:
    kind: ReadingKind
    per_mm: float  # stock on the diameter for 1 mm of reading, signed
    finish_mm: float  # of a piece in the middle of its limits of size, from which stock is counted
    finish_low_mm: float  # the limits of size as readings, exact; what the tool shows of them are stages
    finish_high_mm: float
    stock_low_mm: float  # stock at the smaller-metal limit of size (negative or zero)
    stock_high_mm: float  # stock at the larger-metal limit of size (positive or zero)
    rough_tool: ReadingTool
    finish_tool: ReadingTool
    plane_mm: float | None  # of a plug's depth: what it is read from, from the mouth into the hole
    marks: GaugeMarks | None = None

    def tool(self, use: ToolUse) -> ReadingTool:
        """The tool that roughing or finishing is read with."""
        return self.rough_tool if use == "rough" else self.finish_tool


@dataclass(frozen=True)
class Stage:
    """A size on the way, at a reading that its tool can show: everything else belongs to that reading."""

    name: StageName
    tool: ToolUse
    reading_mm: float
    reading_text: str
    stock_mm: float
    gauge_line_diameter_mm: float  # where the piece is measured: a relief may have taken the large end away
    small_diameter_mm: float
    cross_feed_mm: float  # travel of the slide from here to finish size
    divisions: int  # handwheel divisions to feed from here, rounded down: never past finish size
    divisions_text: (
        str  # the same as the hand counts it: '66 div', '4 turns + 31 div', '0.165 mm' by a readout
    )
    position_divisions: int  # handwheel position counted back from finish size, rounded up: stock stays on
    position_divisions_text: str


@dataclass(frozen=True)
class BetweenStages:
    """The semi-finish: what brings a roughed piece there. What it is then is told by its stage."""

    feed_divisions: int  # of the stop, from where roughing left it
    feed_divisions_text: str
    infeed_per_pass_mm: float  # on the diameter
    divisions_per_pass: int
    divisions_per_pass_text: str
    passes: int
    time_s: float


@dataclass(frozen=True)
class StockRow:
    """What a reading of the table tells; counts to feed are rounded down and never below nothing."""

    reading_mm: float
    reading_text: str
    stock_mm: float
    cross_feed_mm: float
    divisions: int  # to finish size
    divisions_text: str
    divisions_to_rough: int  # to the rough target, where that is still to come
    divisions_to_rough_text: str
    first_feed_divisions: int  # stops short of finish size, to be read again; 0 where one feed goes there
    first_feed_text: str
    stage: str  # the stage a piece with this reading stands at
    past_size: bool  # whether too much metal is gone
    tool: ToolUse
    at: StageName | None  # the stage that has this very reading


@dataclass(frozen=True)
class Salvage:
    """What holds of worn pieces, which are ground only until they are clean all over."""

    at_most_mm: float  # past the basic size, on the diameter, as the spec allows it
    start_mm: float  # the least that a piece must read to be worth starting
    start_text: str
    limit_mm: float  # the reading that none may be ground past
    limit_text: str
    stock_mm: float  # there, from finish size: below nothing
    gauge_line_diameter_mm: float
    small_diameter_mm: float
    divisions_past_finish: int  # that may be fed at most, from the finish reading to the limit
    divisions_past_finish_text: str
    divisions_per_pass: int
    divisions_per_pass_text: str


@dataclass(frozen=True)
class Batch:
    pieces: int | None
    reading_low_mm: float | None  # limits to accept: readings of the finishing tool; None where it shows none
    reading_high_mm: float | None
    reading_low_text: str  # the same as the tool shows them; empty where it shows none
    reading_high_text: str
    set_aside_mm: (
        float | None
    )  # from the limit to accept with less metal to here: set aside; beyond: past size
    set_aside_text: str
    rough_from_mm: float  # readings between which a roughed piece is left: the target and one division more
    rough_to_mm: float
    rough_from_text: str
    rough_to_text: str
    check_first: int  # every one of the first so many
    check_every: int  # then each so-manyth; 1: every piece
    pieces_to_check: tuple[int, ...]  # which ones these are, counted from 1; none where the batch has no size
    allowed_drift_mm: (
        float  # what the reading may move before the stop is moved; 0: size each piece by itself
    )
    allowed_drift_text: str  # the same as the tool shows it; empty where it is 0
    wear_moves_reading: ReadingMoves  # as the wheel wears and metal stays on
    move_at_mm: float | None  # the reading at which the stop is moved
    move_at_text: str
    stop_divisions: int  # of the handwheel, to feed the stop in then
    stop_divisions_text: str
    pieces_between: int | None  # about so many pieces between two moves; None where the wear is not known
    centre_depth_spread_mm: float | None
    spread_on_diameter_mm: float | None
    spread_of_tolerance: float | None  # fraction of the size tolerance that the spread uses up
