"""How sure the figures are and how the work is proved: doubt, warmth, inspection, the batch."""

import math
from collections.abc import Callable

from cardgen.card import values
from cardgen.card.facts import Facts
from cardgen.card.finding import told_at
from cardgen.card.rows import feed_text, reading_text
from cardgen.card.stacks import shop_slip_set, sine_stack
from cardgen.compute import batch, doubt, inspection, stages, taper, warmth
from cardgen.compute.conformity import COVERAGE
from cardgen.terms import INCH, StageName

WARMER_K = (5.0, 10.0, 20.0, 30.0)
CHECK_FIRST = 3  # where the part does not say; common practice, no source
CHECK_EVERY_AT_MOST = 10
LAID_FLAT = 1.5  # rad: a steeper cone cannot be laid on a sine bar
ROLL_MM, RAISE_MM = 10.0, 30.0  # rolls and slips for parts that name none
ROLL_IN, RAISE_IN = 0.5 * INCH, 1.0 * INCH


def doubt_values(facts: Facts, rough_stock: float) -> values.Doubt:
    """The doubt of the stock: at finish size with the finishing tool, at the rough target with the other."""
    at_finish, at_rough = facts.doubt, facts.doubt_at(rough_stock, "rough")
    return values.Doubt(
        stock_standard_mm=at_finish.standard,
        reading_standard_mm=doubt.doubt_as_reading(at_finish.standard, facts.geometry.ratio),
        stock_expanded_mm=at_finish.expanded(COVERAGE),
        rough_stock_standard_mm=at_rough.standard,
        parts=dict(at_finish.parts),
    )


def warmth_rows(facts: Facts) -> tuple[values.WarmthRow, ...]:
    """What work still warm from grinding reads, against the same piece cold."""
    rows = []
    for warmer in WARMER_K:
        growth = warmth.growth(facts.geometry.line_diameter, facts.expansion.coefficient_per_k, warmer)
        shift = warmth.reading_when_warm(facts.kind, growth, facts.geometry.ratio)
        rows.append(values.WarmthRow(warmer, growth, shift))
    return tuple(rows)


def inspection_values(facts: Facts) -> values.Inspection:
    """Sine bar, rolls, balls and discs for the finished taper."""
    geometry = facts.geometry
    included = taper.included_angle(geometry.aim_half_angle)
    bar, slip_set = facts.records.shop.sine_bar_mm, shop_slip_set(facts)
    bar_height = inspection.sine_bar_height(bar, included) if included < LAID_FLAT else None
    centres_height = inspection.sine_centres_height(bar, geometry.aim_half_angle)
    rolls = _rolls(facts)
    balls, depths = _balls(facts)
    discs, apart = _discs(facts)
    return values.Inspection(
        sine_bar_length_mm=bar,
        sine_bar_mm=bar_height,
        sine_bar_stack=sine_stack(included, bar, slip_set) if bar_height is not None else None,
        sine_centres_mm=centres_height,
        sine_centres_stack=sine_stack(geometry.aim_half_angle, bar, slip_set),
        roll_diameter_mm=rolls[0],
        roll_raise_mm=rolls[1],
        over_rolls=rolls[2],
        over_raised_rolls=rolls[3],
        rolls_differ_mm=inspection.rolls_differ(rolls[1], geometry.aim_ratio)
        if rolls[1] is not None
        else None,
        balls_mm=balls,
        ball_depths=depths,
        discs_mm=discs,
        disc_centres_mm=apart,
        balls_differ_mm=(
            inspection.balls_differ(max(balls), min(balls), geometry.aim_half_angle) if balls else None
        ),
    )


def _measured(facts: Facts, size: Callable[[float], float]) -> values.Measured:
    """A figure at the size aimed at and at the limits; `size` gives it for so much above basic size."""
    geometry = facts.geometry
    ends = size(-geometry.size_minus), size(geometry.size_plus)
    return values.Measured(size(geometry.aim_above_basic), min(ends), max(ends))


def _rolls(facts: Facts) -> tuple[float | None, float | None, values.Measured | None, values.Measured | None]:
    """Roll, raise, and the sizes over rolls on the plate and raised; nothing for an internal taper."""
    if facts.records.part.taper.side == "internal":
        return None, None, None, None
    given, geometry = facts.records.part.inspection, facts.geometry
    in_shop = facts.records.shop.rolls_mm
    roll = given.roll_mm or (in_shop[0] if in_shop else ROLL_MM if facts.metric else ROLL_IN)
    raised = rolls_raise(facts)
    small, half = geometry.aimed_diameter(geometry.length), geometry.aim_half_angle
    low = _measured(facts, lambda more: inspection.over_rolls(small + more, roll, half))
    high = _measured(facts, lambda more: inspection.over_raised_rolls(small + more, roll, half, raised))
    return roll, raised, low, high


def rolls_raise(facts: Facts) -> float:
    """How far the rolls are raised for the second measurement, mm."""
    given = facts.records.part.inspection.raise_mm
    return given or min(RAISE_MM if facts.metric else RAISE_IN, facts.geometry.length / 2)


def _balls(facts: Facts) -> tuple[tuple[float, float] | None, tuple[values.Measured, values.Measured] | None]:
    """Two balls in an internal taper and the depths of their tops below the mouth."""
    balls = facts.records.part.inspection.balls_mm
    if balls is None:
        return None, None
    with told_at("part", facts.records.part.id, "inspection.balls"):
        large, small = (_ball_depth(facts, ball) for ball in balls)
    return balls, (large, small)


def _ball_depth(facts: Facts, ball: float) -> values.Measured:
    geometry = facts.geometry
    mouth, half, length = geometry.aimed_diameter(0.0), geometry.aim_half_angle, geometry.length
    return _measured(facts, lambda more: inspection.ball_depth(mouth + more, half, length, ball))


def _discs(facts: Facts) -> tuple[tuple[float, float] | None, float | None]:
    """Two discs that touch along the taper, and how far apart their centres then are."""
    discs = facts.records.part.inspection.discs_mm
    if discs is None:
        return None, None
    with told_at("part", facts.records.part.id, "inspection.discs"):
        return discs, inspection.disc_centres(discs[1], discs[0], facts.geometry.aim_half_angle)


def batch_values(facts: Facts, growth: float | None) -> values.Batch:
    """Between which readings to accept, how often to gauge, when to move the stop, what centre depth costs.

    growth: mm on the work's diameter a piece, by the wear of the wheel; None where it is not known.
    """
    given, ratio, read = facts.records.part.batch, facts.geometry.ratio, facts.read
    tool = read.finish_tool
    stage = {each.name: each for each in facts.planned}
    aim = stage["finish"].reading
    accept = sorted(stage[name].reading for name in ("finish low", "finish high") if name in stage)
    rule = _stop_rule(facts, aim, accept, growth)
    low, high = accept or (None, None)
    aside = _set_aside(facts, stage)
    rough = stage["rough"].reading
    rough_to = rough + math.copysign(read.rough_tool.division_mm, facts.per_reading)
    first = given.check_first if given.check_first is not None else CHECK_FIRST
    every = min(rule.check_every, given.check_every or rule.check_every)
    moved = rule.drift * tool.division_mm
    move_at = aim + math.copysign(moved, facts.per_reading) if rule.by_stop else None
    spread = given.centre_depth_spread_mm
    on_diameter = batch.spread_on_diameter(spread, ratio) if spread is not None else None
    band = 2 * facts.geometry.size_half_band
    return values.Batch(
        pieces=given.pieces,
        reading_low_mm=low,
        reading_high_mm=high,
        reading_low_text=reading_text(low, tool) if low is not None else "",
        reading_high_text=reading_text(high, tool) if high is not None else "",
        set_aside_mm=aside,
        set_aside_text=reading_text(aside, tool) if aside is not None else "",
        rough_from_mm=rough,
        rough_to_mm=rough_to,
        rough_from_text=reading_text(rough, read.rough_tool),
        rough_to_text=reading_text(rough_to, read.rough_tool),
        check_first=min(first, given.pieces) if given.pieces else first,
        check_every=every,
        pieces_to_check=batch.pieces_to_check(given.pieces, first, every) if given.pieces else (),
        allowed_drift_mm=moved,
        allowed_drift_text=reading_text(moved, tool) if rule.by_stop else "",
        wear_moves_reading="up" if facts.per_reading > 0 else "down",
        move_at_mm=move_at,
        move_at_text=reading_text(move_at, tool) if move_at is not None else "",
        stop_divisions=rule.feed,
        stop_divisions_text=feed_text(rule.feed, facts.handwheel),
        pieces_between=rule.pieces,
        centre_depth_spread_mm=spread,
        spread_on_diameter_mm=on_diameter,
        spread_of_tolerance=(
            batch.share_of_tolerance(on_diameter, band) if on_diameter is not None and band > 0 else None
        ),
    )


def _set_aside(facts: Facts, stage: dict[StageName, stages.PlannedStage]) -> float | None:
    """The last reading within the limit of size that is no proof: down to it a piece is set aside."""
    if "finish low" not in stage:
        return None
    limit = stages.limit_with_least(facts.sizing, facts.allowances)
    return limit.reading if limit.stock < stage["finish low"].stock - stages.NOISE else None


def _stop_rule(facts: Facts, aim: float, accept: list[float], growth: float | None) -> batch.StopRule:
    """The rule of the batch, its figures as readings; with no limits to accept every piece is sized."""
    room = min(aim - accept[0], accept[1] - aim) if accept else 0.0
    spread = facts.records.part.batch.centre_depth_spread_mm or 0.0
    return batch.stop_rule(
        batch.allowed_drift(room, spread),
        facts.read.finish_tool.division_mm,
        facts.handwheel.stock_per_division_mm / facts.geometry.ratio,
        growth / facts.geometry.ratio if growth is not None else None,
        CHECK_EVERY_AT_MOST,
    )
