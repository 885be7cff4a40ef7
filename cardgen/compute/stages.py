"""The sizes a piece goes through, from the blank to the finish, each at a reading that its tool can show.

A stage is what a hand can read: the stock asked for is moved to a division of the tool, and everything
else that is told of the stage (stock, diameters, feed) belongs to that reading.

'Low' means less stock and 'high' more, for the finish as for the blank: external work that is 'finish
high' is near its upper limit of size, internal work near its lower.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from cardgen import terms
from cardgen.compute import conformity, infeed, reading, taper
from cardgen.terms import HandwheelReads, PastSize, ReadingKind, Side, StageName, StandsAt, ToolUse

# A piece with too much metal gone: a shank is then too small, a bore too large.
PAST_SIZE: dict[Side, PastSize] = {"external": "under size", "internal": "over size"}

# Stocks nearer to a limit than this stand on it, mm on the diameter: arithmetic noise, no more.
NOISE = 1e-9


@dataclass(frozen=True)
class Sizing:
    """What turns a reading into stock, sizes and handwheel divisions: the part, its gauge, tools, machine."""

    kind: ReadingKind
    ratio: float
    finish_reading: float  # mm
    line_diameter: float  # mm, of the finished taper in the plane of its gauge line
    small_diameter: float  # mm, of the finished taper
    feed_angle: float  # rad, see infeed.feed_angle
    handwheel_reads: HandwheelReads
    handwheel_division: float  # mm as engraved
    rough_division: float  # mm, of the tool that roughing is read with
    finish_division: float  # mm, of the tool that finishing is read with

    @cached_property
    def per_reading(self) -> float:
        """Stock on the diameter for a millimetre of reading, signed."""
        return reading.stock_per_reading(self.kind, self.ratio)

    def division(self, tool: ToolUse) -> float:
        """One division of a tool, mm."""
        return self.rough_division if tool == "rough" else self.finish_division


@dataclass(frozen=True)
class Allowances:
    """The stock a part is planned with, mm on the diameter."""

    blank_low: float  # least stock a blank may have
    blank_high: float  # most stock a blank may have
    clean_up: float  # what has to come off a blank before it is ground all over
    leave_for_finishing: float
    finish_low: float  # stock at the limit of size with less metal, ≤ 0
    finish_high: float  # stock at the limit of size with more metal, ≥ 0
    doubt: float = 0.0  # expanded uncertainty of the stock that the finishing tool tells
    semi_finish: tuple[float, ToolUse] | None = None  # what it leaves, and the tool that it is read with

    @property
    def accept_low(self) -> float:
        """The least stock of a piece that is surely within its limits of size."""
        return conformity.proved_within(self.finish_low, self.finish_high, self.doubt).low

    @property
    def accept_high(self) -> float:
        """The most stock of a piece that is surely within its limits of size."""
        return conformity.proved_within(self.finish_low, self.finish_high, self.doubt).high


@dataclass(frozen=True)
class Left:
    """What a reading says is left: on the diameter, and to feed."""

    stock: float  # mm on the diameter above finish size, negative below it
    travel: float  # mm of cross-slide from here to finish size; nothing below it
    divisions: int  # of the handwheel from here to finish size, rounded down: never past it
    position: int  # divisions back from zero at finish size, rounded up: at least this stock stays on


@dataclass(frozen=True)
class PlannedStage(Left):
    """One size on the way, all of it at a reading that the tool can show."""

    name: StageName
    tool: ToolUse
    reading: float  # mm, a whole number of the tool's divisions
    line: float  # mm, diameter at the gauge line
    small: float  # mm, small diameter


def left_at(shown: float, sizing: Sizing) -> Left:
    """What is left on a piece that gives this reading: stock, cross-feed travel, handwheel divisions.

    S = k (g − g_f); travel (S/2) cos θ / cos φ. shown: g, mm. Result: mm and whole divisions; at finish
    size or below it there is nothing to feed. Raises SumError as reading and infeed do.
    Source: those modules.
    """
    stock = reading.stock_from_reading(shown, sizing.finish_reading, sizing.per_reading)
    half_angle = taper.half_angle_from_ratio(sizing.ratio)
    travel = infeed.cross_feed_travel(infeed.depth_square_to_surface(stock, half_angle), sizing.feed_angle)
    count = infeed.handwheel_divisions(travel, sizing.handwheel_reads, sizing.handwheel_division)
    return Left(stock, max(0.0, travel), max(0, infeed.divisions_to_feed(count)), infeed.position_back(count))


def divisions_between(start: float, end: float, sizing: Sizing) -> int:
    """Handwheel divisions that bring a piece from one reading to another, rounded down: never past it.

    start, end: mm of reading. Result: whole divisions, 0 where the piece stands there or beyond.
    Raises SumError as left_at does. Source: the same sums, counted from the other reading.
    """
    moved = start - end + sizing.finish_reading
    return left_at(moved, sizing).divisions


def stage_at(name: StageName, shown: float, tool: ToolUse, sizing: Sizing) -> PlannedStage:
    """One stage at a reading: stock, diameters, what is left to feed.

    External diameters D + S, internal D − S. shown: mm. Result: a Stage. Raises SumError as left_at does.
    Source: left_at; the sign of the metal is the side's.
    """
    left = left_at(shown, sizing)
    metal = left.stock if terms.reading(sizing.kind).side == "external" else -left.stock
    return PlannedStage(
        left.stock,
        left.travel,
        left.divisions,
        left.position,
        name,
        tool,
        shown,
        sizing.line_diameter + metal,
        sizing.small_diameter + metal,
    )


def readable_stage(
    name: StageName, stock: float, tool: ToolUse, sizing: Sizing, *, more: bool
) -> PlannedStage:
    """The stage at the tool's next division from a stock: with more of it on, or with less.

    stock: mm on the diameter asked for; more: the side it is moved to. Result: a Stage whose stock is off
    what was asked by less than C × division. Raises SumError when the division is not positive.
    Source: common practice, no source.
    """
    asked = reading.reading_from_stock(stock, sizing.finish_reading, sizing.per_reading)
    move = reading.next_readable if more else reading.last_readable
    return stage_at(name, move(asked, sizing.division(tool), sizing.per_reading), tool, sizing)


def clean_up_stock(blank_low: float, clean_up: float) -> float:
    """The stock by which every blank that was accepted shows clean: the least blank less the clean-up.

    blank_low: mm on the diameter, least stock accepted; clean_up: mm on the diameter that comes off until
    the surface is ground all over. Result: mm on the diameter. Source: common practice, no source.
    """
    return blank_low - clean_up


def blank_stages(sizing: Sizing, allowances: Allowances) -> tuple[PlannedStage, PlannedStage]:
    """The least and the most that a blank may have on: by the roughing tool, where it can tell them apart.

    Both limits are moved inwards; where they then meet or cross, the finishing tool's are given instead.
    Result: least, most. Raises SumError as readable_stage does. Source: common practice, no source.
    """
    low, high = (_blank_limits(sizing, allowances, tool) for tool in _TOOLS)
    return low if low[0].stock < low[1].stock - NOISE else high


_TOOLS: tuple[ToolUse, ToolUse] = ("rough", "finish")


def _blank_limits(sizing: Sizing, allowances: Allowances, tool: ToolUse) -> tuple[PlannedStage, PlannedStage]:
    return (
        readable_stage("blank low", allowances.blank_low, tool, sizing, more=True),
        readable_stage("blank high", allowances.blank_high, tool, sizing, more=False),
    )


def clean_up_stage(
    sizing: Sizing, allowances: Allowances, least: PlannedStage, rough: PlannedStage
) -> PlannedStage:
    """The clean-up, at the first reading that stands between the least blank and the rough target.

    Tried in turn: the roughing tool's division with more stock on, with less, the finishing tool's with more.
    least, rough: the stages on either side. Result: a Stage; the first tried where none stands between.
    Raises SumError as readable_stage does. Source: common practice, no source.
    """
    asked = clean_up_stock(allowances.blank_low, allowances.clean_up)
    tried = [
        readable_stage("clean-up", asked, tool, sizing, more=more)
        for tool, more in ((_TOOLS[0], True), (_TOOLS[0], False), (_TOOLS[1], True))
    ]
    between = (step for step in tried if rough.stock + NOISE < step.stock < least.stock - NOISE)
    return next(between, tried[0])


def finish_stages(sizing: Sizing, allowances: Allowances) -> tuple[PlannedStage, ...]:
    """The limits to accept and the aim between them, as readings of the finishing tool.

    The limits of size are drawn in by the doubt, then moved inwards to a division. The aim is the next
    division from the middle with more stock on, or with less where that one lies beyond a limit. Result:
    low, aim, high; where no division lies within the limits to accept the aim alone, the last one before
    finish size. Raises SumError as readable_stage does. Source: ISO 14253-1, see conformity.
    """
    low = readable_stage("finish low", allowances.accept_low, "finish", sizing, more=True)
    high = readable_stage("finish high", allowances.accept_high, "finish", sizing, more=False)
    above, below = (readable_stage("finish", 0.0, "finish", sizing, more=more) for more in (True, False))
    if low.stock > high.stock + NOISE:
        return (above,)
    return low, above if above.stock <= high.stock + NOISE else below, high


def limit_with_least(sizing: Sizing, allowances: Allowances) -> PlannedStage:
    """The finishing tool's last division within the limit of size with less metal, whatever it proves.

    From there to the limits to accept a piece is neither proved good nor bad. Result: a Stage. Raises
    SumError as readable_stage does. Source: ISO 14253-1 (the range of uncertainty at a limit), from memory.
    """
    return readable_stage("finish low", allowances.finish_low, "finish", sizing, more=True)


def stages(sizing: Sizing, allowances: Allowances) -> tuple[PlannedStage, ...]:
    """The stages of a part in their order: blank low and high, clean-up, rough, semi-finish, finish.

    The targets of roughing and semi-finishing are moved to their tool's next division with more stock on.
    Result: seven Stages, eight with a semi-finish, two fewer where the finishing tool can show no reading
    within the limits. Raises SumError as readable_stage does. Source: common practice, no source.
    """
    least, most = blank_stages(sizing, allowances)
    rough = readable_stage("rough", allowances.leave_for_finishing, "rough", sizing, more=True)
    cleaned = clean_up_stage(sizing, allowances, least, rough)
    between: tuple[PlannedStage, ...] = ()
    if allowances.semi_finish is not None:
        left, tool = allowances.semi_finish
        between = (readable_stage("semi-finish", left, tool, sizing, more=True),)
    return least, most, cleaned, rough, *between, *finish_stages(sizing, allowances)


def out_of_order(planned: tuple[PlannedStage, ...]) -> Iterator[tuple[PlannedStage, PlannedStage]]:
    """Neighbouring stages that do not have less stock on, one after the other, as a batch needs them.

    Most blank > least blank > clean-up > rough > semi-finish > finish high ≥ finish ≥ finish low; where
    there are no limits to show, rough > finish. planned: from stages. Result: each pair that should be the
    other way round or apart. Source: common practice, no source.
    """
    by_name = {step.name: step for step in planned}
    down = [by_name[name] for name in _DOWNWARDS if name in by_name]
    for upper, lower in pairwise(down):
        may_meet = upper.name.startswith("finish")
        if upper.stock < lower.stock - NOISE or not (may_meet or upper.stock > lower.stock + NOISE):
            yield upper, lower


_DOWNWARDS: tuple[StageName, ...] = (
    *("blank high", "blank low", "clean-up", "rough", "semi-finish"),
    *("finish high", "finish", "finish low"),
)


def standing(stock: float, planned: tuple[PlannedStage, ...], allowances: Allowances, side: Side) -> StandsAt:
    """Where a piece with this stock stands among the stages planned for it.

    stock: mm on the diameter; planned: from stages, for these allowances. Result: a word of the trade; a
    stock right on a limit counts as reached: 'finished' within the limits to accept, 'set aside' below them
    but within the limit of size, 'finishing' up to the rough target, and so on. Where the tool can show no
    limits, the limits of size stand in for them.
    Raises KeyError when a stage is missing. Source: ISO 14253-1 for what is set aside; common practice.
    """
    limit = {"finish low": allowances.finish_low, "finish high": allowances.finish_high}
    limit |= {step.name: step.stock for step in planned}
    if stock < allowances.finish_low - NOISE:
        return PAST_SIZE[side]
    if stock < limit["finish low"] - NOISE:
        return "set aside"
    reached: tuple[tuple[StageName, StandsAt], ...] = (
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
