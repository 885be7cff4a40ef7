"""What a reading at the bench is taken with and fed by, and what it means; `values` hands these on.

Apart from the other values of a card: `stock` answers with these alone, and a hand waits for it.
"""

from dataclasses import dataclass

from cardgen.terms import HandwheelReads, System


@dataclass(frozen=True)
class ReadingTool:
    """The tool a reading is taken with; one division in mm, and as its maker engraves it."""

    name: str
    division_mm: float
    unit: System
    denominator: int | None  # 64 for a rule in 64ths of an inch; None for a decimal scale
    division_text: str  # '1/64 in', '0.02 mm'
    stock_per_division_mm: float  # what one division is worth on the diameter


@dataclass(frozen=True)
class GaugeMarks:
    """Least and most marks of the gauge, as readings."""

    least_mm: float
    most_mm: float
    within_size: bool  # whether every piece between them is within its limits of size


@dataclass(frozen=True)
class Handwheel:
    """What a feed is counted in: divisions of the handwheel, or steps of a digital readout."""

    reads: HandwheelReads
    division_mm: float  # one division, or one step, as it reads
    division_text: str
    stock_per_division_mm: float
    turn_divisions: int | None  # in one turn of the handwheel, where the machine's record says
    readout: System | None  # the unit of the digital readout; None where divisions are counted


@dataclass(frozen=True)
class StockAnswer:
    """What one reading at the bench means."""

    reading_mm: float
    reading_text: str
    stock_mm: float
    cross_feed_mm: float
    divisions: int
    divisions_text: str
    divisions_to_rough: int
    divisions_to_rough_text: str
    left_on_mm: float  # stock that is still on once the divisions to finish size are fed
    stage: str
    past_size: bool


@dataclass(frozen=True)
class BenchAnswer:
    """What is told of one reading at the bench."""

    answer: StockAnswer
    first_feed_text: str  # fed towards size before the piece is read again; '' where one feed goes there
    worth_starting: bool | None  # of a worn piece, by its reading; None of one that is not worn
    between_marks: bool | None  # of the gauge; None where it has none
