"""What a card says of the swivel: how it is set, and what it is turned by where the taper comes out wrong."""

from dataclasses import dataclass

from cardgen.card.method_values import Start
from cardgen.card.stack_values import SlipStack
from cardgen.terms import (
    End,
    Meaning,
    Rotation,
    ScaleShows,
    ScaleUnit,
    SwingType,
    Swivelled,
    TableMoves,
    Towards,
    Turn,
)


@dataclass(frozen=True)
class ScaleSetting:
    shows: ScaleShows
    unit: ScaleUnit
    exact: float
    division: float
    division_text: str
    mark: float
    mark_text: str
    left_over_arcsec: float  # half angle wanted less half angle at the mark
    left_over_mm: float  # the same as a difference of diameters over the taper's length
    left_over_screw_divisions: float | None  # to turn on from the mark, towards more taper where positive
    within_limit: bool


@dataclass(frozen=True)
class TestBarRise:
    travel_mm: float
    rise_mm: float


@dataclass(frozen=True)
class WheelHead:
    half_angle_deg: float
    within_limit: bool
    more_taper_turns: Rotation  # seen from above


@dataclass(frozen=True)
class Swivel:
    machine: str
    machine_name: str
    set_by: Swivelled
    half_angle_deg: float
    limit_deg: float
    beyond_limit: bool
    more_taper_moves: TableMoves  # of the table, the work held as the card draws it
    starts: tuple[Start, ...]  # the one that leaves least over first
    scales: tuple[ScaleSetting, ...]
    test_bar: tuple[TestBarRise, ...]
    bar_rise: TestBarRise | None  # over the longest travel that the bar of the best way has
    slip_type: SwingType | None
    slip_radius_mm: float | None
    slip_mm: float | None
    slip_stack: SlipStack | None
    indicator_radius_mm: float | None
    indicator_mm: float | None
    screw_division_arcsec: float | None
    screw_more_turns: Rotation | None  # looking at its dial; None where the machine's record does not say
    screw_take_up_play: Towards | None  # by ending each setting with a turn this way
    wheel_head: WheelHead | None


@dataclass(frozen=True)
class CorrectionRow:
    error_mm: float  # difference of diameters over the contact length; positive: too shallow
    turn: Towards
    heavy_end: End
    arcsec: float
    screw_divisions: float | None
    indicator_mm: float | None
    per_foot_in: float
    mm_per_m: float
    size_shift_mm: float  # change of the gauge-line diameter with the cross-feed unmoved
    stock_shift_mm: float  # the same as stock: negative where metal comes off
    reading_shift_mm: float  # new reading less old, the old one taken while one end bears
    least_stock_mm: float  # stock the old reading must show so that nothing goes under
    least_reading_text: str  # of the roughing tool, with that stock or more; empty: the rough target has it
    measured_off_mm: float | None  # by this the two measurements over rolls, or of balls, are more apart
    under_end: End  # the end that goes under first with less


@dataclass(frozen=True)
class BlueRow:
    marked_fraction: float
    error_mm: float
    arcsec: float
    screw_divisions: float | None
    indicator_mm: float | None


@dataclass(frozen=True)
class LightRow:
    gap_mm: float  # width of the light gap at the far end, square to the surface
    error_mm: float
    arcsec: float
    screw_divisions: float | None
    indicator_mm: float | None


@dataclass(frozen=True)
class PatternShown:
    """One pattern of blue or light: where it shows, what it means, which way to turn."""

    heavy_end: End  # 'both' is the even pattern
    light_end: End
    meaning: Meaning
    turn: Turn
    may_be_right: bool  # a piece of the taper aimed at may show it: the proof decides
