"""Tables for setting up: readings and stock, the swivel, the test bar, correction."""

from dataclasses import dataclass

from cardgen.booklet.tables.taper_forms import LineFigures, TaperLine
from cardgen.card.values import SlipStack
from cardgen.terms import ScaleShows, ScaleUnit, SwingType, System


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

    shows: ScaleShows
    unit: ScaleUnit
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

    line: TaperLine
    by_wheel_head: bool  # beyond the table, within the wheel head
    marks: tuple[ScaleMark, ...]
    slip_mm: float | None
    slip_stack: SlipStack | None
    indicator_mm: float | None
    screw_divisions: float | None  # from straight


@dataclass(frozen=True)
class ScrewRow:
    """What one division of the adjusting screw does, towards more taper, the table standing at this taper."""

    line: TaperLine
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
    slip_type: SwingType | None
    slip_radius_mm: float | None
    set_name: str | None  # of the slip gauges
    indicator_type: SwingType | None
    indicator_radius_mm: float | None
    screw_turn_divisions: int | None
    rows: tuple[SwivelRow, ...]
    screw: tuple[ScrewRow, ...]  # at the common tapers


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

    line: TaperLine
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
