"""The sizes a piece goes through, from the blank to the finish, each told in every way the hand can use.

'Low' means less stock and 'high' more, for the finish as for the blank: external work that is 'finish
high' is near its upper limit of size, internal work near its lower.
"""

from dataclasses import dataclass
from typing import Literal

from cardgen.compute import infeed, reading, taper

StageName = Literal["blank low", "blank high", "clean-up", "rough", "finish low", "finish", "finish high"]
Standing = Literal[
    "under size", "finished", "finishing", "roughing", "cleaning up", "blank", "too much stock"
]

# Stocks nearer to a limit than this stand on it, mm on the diameter: arithmetic noise, no more.
NOISE = 1e-9


@dataclass(frozen=True)
class Sizing:
    """What turns a stock into sizes, readings and handwheel divisions: the part, its gauge, its machine."""

    kind: reading.ReadingKind
    ratio: float
    finish_reading: float  # mm
    large_diameter: float  # mm, of the finished taper
    small_diameter: float  # mm, of the finished taper
    feed_angle: float  # rad, see infeed.feed_angle
    handwheel_reads: infeed.HandwheelReads
    handwheel_division: float  # mm as engraved


@dataclass(frozen=True)
class Allowances:
    """The stock a part is planned with, mm on the diameter."""

    blank_low: float  # least stock a blank may have
    blank_high: float  # most stock a blank may have
    clean_up: float  # what has to come off a blank before it is ground all over
    leave_for_finishing: float
    size_minus: float  # allowances of the finished gauge-line diameter, both ≥ 0
    size_plus: float


@dataclass(frozen=True)
class Stage:
    """One size on the way: stock on the diameter, what the gauge reads, diameters, what is left to feed."""

    name: StageName
    stock: float  # mm on the diameter above finish size, negative below it
    reading: float  # mm
    large: float  # mm, large diameter
    small: float  # mm, small diameter
    travel: float  # mm of cross-slide from here to finish size
    divisions: int  # of the handwheel from here to finish size, rounded down: never past it
    position: int  # divisions back from zero at finish size, rounded up: at least this stock stays on


def stage(name: StageName, stock: float, sizing: Sizing) -> Stage:
    """One stage told as reading, diameters, cross-feed travel and handwheel divisions.

    Reading g_f + S/k; external diameters D + S, internal D − S; travel (S/2) cos θ / cos φ.
    stock: mm on the diameter, negative below finish size. Result: a Stage, mm and whole divisions.
    Raises SumError as taper, reading and infeed do. Source: those modules.
    """
    half_angle = taper.half_angle_from_ratio(sizing.ratio)
    per_reading = reading.stock_per_reading(sizing.kind, sizing.ratio)
    metal = stock if reading.SIDE[sizing.kind] == "external" else -stock
    depth = infeed.depth_square_to_surface(stock, half_angle)
    travel = infeed.cross_feed_travel(depth, sizing.feed_angle)
    divisions = infeed.handwheel_divisions(travel, sizing.handwheel_reads, sizing.handwheel_division)
    return Stage(
        name=name,
        stock=stock,
        reading=reading.reading_from_stock(stock, sizing.finish_reading, per_reading),
        large=sizing.large_diameter + metal,
        small=sizing.small_diameter + metal,
        travel=travel,
        divisions=infeed.divisions_to_feed(divisions),
        position=infeed.position_back(divisions),
    )


def clean_up_stock(blank_low: float, clean_up: float) -> float:
    """The stock by which every blank that was accepted shows clean: the least blank less the clean-up.

    blank_low: mm on the diameter, least stock accepted; clean_up: mm on the diameter that comes off until
    the surface is ground all over. Result: mm on the diameter. Source: common practice, no source.
    """
    return blank_low - clean_up


def rough_stock(leave_for_finishing: float, sizing: Sizing, division: float) -> float:
    """The stock that the rough target really leaves: moved to the tool's next division, never leaving less.

    leave_for_finishing: mm on the diameter asked for; division: mm, of the tool roughing is read with.
    Result: mm on the diameter, at least what was asked, above it by less than C × division.
    Raises SumError when the division is not positive. Source: common practice, no source.
    """
    per_reading = reading.stock_per_reading(sizing.kind, sizing.ratio)
    asked = reading.reading_from_stock(leave_for_finishing, sizing.finish_reading, per_reading)
    target = reading.next_readable(asked, division, per_reading)
    return reading.stock_from_reading(target, sizing.finish_reading, per_reading)


def stages(sizing: Sizing, allowances: Allowances, rough_division: float) -> tuple[Stage, ...]:
    """The seven stages of a part in their order: blank low and high, clean-up, rough, finish low to high.

    rough_division: mm, of the tool roughing is read with. Result: seven Stages. Raises SumError as stage,
    rough_stock and reading.stock_limits do. Source: common practice, no source.
    """
    least, most = reading.stock_limits(reading.SIDE[sizing.kind], allowances.size_minus, allowances.size_plus)
    stocks: tuple[tuple[StageName, float], ...] = (
        ("blank low", allowances.blank_low),
        ("blank high", allowances.blank_high),
        ("clean-up", clean_up_stock(allowances.blank_low, allowances.clean_up)),
        ("rough", rough_stock(allowances.leave_for_finishing, sizing, rough_division)),
        ("finish low", least),
        ("finish", 0.0),
        ("finish high", most),
    )
    return tuple(stage(name, stock, sizing) for name, stock in stocks)


def standing(stock: float, planned: tuple[Stage, ...]) -> Standing:
    """Where a piece with this stock stands among the stages planned for it.

    stock: mm on the diameter; planned: from stages. Result: a word of the trade; a stock right on a limit
    counts as reached: 'finished' within the limits of size, 'finishing' up to the rough target, and so on.
    Raises KeyError when a stage is missing. Source: common practice, no source.
    """
    limit = {step.name: step.stock for step in planned}
    if stock < limit["finish low"] - NOISE:
        return "under size"
    reached: tuple[tuple[StageName, Standing], ...] = (
        ("finish high", "finished"),
        ("rough", "finishing"),
        ("clean-up", "roughing"),
    )
    for name, word in reached:
        if stock <= limit[name] + NOISE:
            return word
    if stock < limit["blank low"] - NOISE:
        return "cleaning up"
    return "blank" if stock <= limit["blank high"] + NOISE else "too much stock"
