"""How sure the figures are and how the work is proved: doubt, warmth, inspection, the batch."""

import math

from cardgen import tapers
from cardgen.card import values
from cardgen.card.facts import Facts
from cardgen.card.finding import told_at
from cardgen.card.rows import reading_text
from cardgen.card.stacks import ARCSEC, INCH, shop_slip_set, sine_stack
from cardgen.compute import batch, doubt, inspection, taper, warmth
from cardgen.spec.callout import TaperUncertainty

COVERAGE = 2.0  # k, for about 95 % (JCGM 100)
WARMER_K = (5.0, 10.0, 20.0, 30.0)
CHECK_FIRST = 3  # where the part does not say; common practice, no source
CHECK_EVERY_AT_MOST = 10
LAID_FLAT = 1.5  # rad: a steeper cone cannot be laid on a sine bar
ROLL_MM, RAISE_MM = 10.0, 30.0  # rolls and slips for parts that name none
ROLL_IN, RAISE_IN = 0.5 * INCH, 1.0 * INCH


def doubt_values(facts: Facts, rough_stock: float) -> values.Doubt:
    """The doubt of the stock: at finish size with the finishing tool, at the rough target with the other."""
    tools = facts.records.part.gauging.read_with
    at_finish = _stock_doubt(facts, 0.0, tools.finish.division_mm)
    at_rough = _stock_doubt(facts, rough_stock / facts.per_reading, tools.rough.division_mm)
    return values.Doubt(
        stock_standard_mm=at_finish.standard,
        reading_standard_mm=doubt.doubt_as_reading(at_finish.standard, facts.geometry.ratio),
        stock_expanded_mm=at_finish.expanded(COVERAGE),
        rough_stock_standard_mm=at_rough.standard,
        coverage_factor=COVERAGE,
        parts=dict(at_finish.parts),
    )


def _stock_doubt(facts: Facts, reading_from_finish: float, division: float) -> doubt.StockDoubt:
    gauge, geometry = facts.records.gauge, facts.geometry
    line = gauge.gauge_line
    return doubt.stock_doubt(
        ratio=geometry.ratio,
        reading_from_finish=reading_from_finish,
        diameter=geometry.line_diameter,
        expansion=facts.expansion.coefficient_per_k,
        reading=doubt.reading_uncertainty(division),
        gauge_ratio=_ratio_uncertainty(gauge.taper_uncertainty, geometry.half_angle),
        gauge_diameter=(
            doubt.standard_from_expanded(line.uncertainty_mm, line.coverage_factor)
            if line is not None
            else 0.0
        ),
        temperature=facts.records.shop.temperature_difference_k,
    )


def _ratio_uncertainty(given: TaperUncertainty | None, half_angle: float) -> float:
    """The standard uncertainty of the gauge's taper as a ratio; 0 where its record gives none."""
    if given is None:
        return 0.0
    if given.ratio is not None:
        return given.ratio
    on_half_angle = given.half_angle_rad or (given.included_angle_rad or 0.0) / 2
    return inspection.angle_change_on_diameter(2 * on_half_angle, half_angle, 1.0)


def warmth_rows(facts: Facts) -> tuple[values.WarmthRow, ...]:
    """What work still warm from grinding reads, against the same piece cold."""
    rows = []
    for warmer in WARMER_K:
        growth = warmth.growth(facts.geometry.line_diameter, facts.expansion.coefficient_per_k, warmer)
        shift = warmth.reading_when_warm(facts.kind, growth, facts.geometry.ratio)
        rows.append(values.WarmthRow(warmer, growth, shift))
    return tuple(rows)


def inspection_values(facts: Facts) -> values.Inspection:
    """Sine bar, rolls, balls, discs and angle grade for the finished taper."""
    geometry = facts.geometry
    included = taper.included_angle(geometry.half_angle)
    bar, slip_set = facts.records.shop.sine_bar_mm, shop_slip_set(facts)
    bar_height = inspection.sine_bar_height(bar, included) if included < LAID_FLAT else None
    centres_height = inspection.sine_centres_height(bar, geometry.half_angle)
    rolls = _rolls(facts)
    balls, depths = _balls(facts)
    discs, apart = _discs(facts)
    grade, limit = _grade(facts)
    return values.Inspection(
        sine_bar_length_mm=bar,
        sine_bar_mm=bar_height,
        sine_bar_stack=sine_stack(included, bar, slip_set) if bar_height is not None else None,
        sine_centres_mm=centres_height,
        sine_centres_stack=sine_stack(geometry.half_angle, bar, slip_set),
        roll_diameter_mm=rolls[0],
        roll_raise_mm=rolls[1],
        over_rolls_low_mm=rolls[2],
        over_rolls_high_mm=rolls[3],
        balls_mm=balls,
        ball_depths_mm=depths,
        discs_mm=discs,
        disc_centres_mm=apart,
        angle_grade=grade.grade if grade is not None else None,
        angle_grade_arcsec=grade.at_alpha_rad * ARCSEC if grade is not None else None,
        angle_grade_mm=limit,
        angle_grade_source=f"{grade.source} ({grade.confidence})" if grade is not None else None,
    )


def _rolls(facts: Facts) -> tuple[float | None, float | None, float | None, float | None]:
    """Roll, raise, and the sizes over rolls on the plate and raised; nothing for an internal taper."""
    if facts.records.part.taper.side == "internal":
        return None, None, None, None
    given, geometry = facts.records.part.inspection, facts.geometry
    in_shop = facts.records.shop.rolls_mm
    roll = given.roll_mm or (in_shop[0] if in_shop else ROLL_MM if facts.metric else ROLL_IN)
    raised = given.raise_mm or (RAISE_MM if facts.metric else RAISE_IN)
    raised = min(raised, geometry.length / 2)
    low = inspection.over_rolls(geometry.small_diameter, roll, geometry.half_angle)
    high = inspection.over_raised_rolls(geometry.small_diameter, roll, geometry.half_angle, raised)
    return roll, raised, low, high


def _balls(facts: Facts) -> tuple[tuple[float, float] | None, tuple[float, float] | None]:
    """Two balls in an internal taper and the depths of their tops below the mouth."""
    balls, geometry = facts.records.part.inspection.balls_mm, facts.geometry
    if balls is None or facts.records.part.taper.side == "external":
        return None, None
    with told_at("part", facts.records.part.id, "inspection.balls"):
        depths = [
            inspection.ball_depth(geometry.face_diameter, geometry.half_angle, geometry.length, ball)
            for ball in balls
        ]
    return balls, (depths[0], depths[1])


def _discs(facts: Facts) -> tuple[tuple[float, float] | None, float | None]:
    """Two discs that touch along the taper, and how far apart their centres then are."""
    discs = facts.records.part.inspection.discs_mm
    if discs is None:
        return None, None
    with told_at("part", facts.records.part.id, "inspection.discs"):
        return discs, inspection.disc_centres(discs[1], discs[0], facts.geometry.half_angle)


def _grade(facts: Facts) -> tuple[tapers.AngleGrade | None, float | None]:
    """The angle grade that the part names, and its width as a difference of diameters over the length."""
    given = facts.records.part.taper.angle_tolerance
    if given is None or given.grade is None:
        return None, None
    grade = tapers.angle_grade(given.grade, facts.geometry.length)
    width = inspection.angle_change_on_diameter(
        grade.at_alpha_rad, facts.geometry.half_angle, facts.geometry.length
    )
    return grade, width


def batch_values(
    facts: Facts, read: values.Reading, rough_mm: float, sure: values.Doubt, work: values.Speeds
) -> values.Batch:
    """How often to check the batch, how far it may drift, and what the centre depth does to it."""
    given, geometry = facts.records.part.batch, facts.geometry
    spread = given.centre_depth_spread_mm
    on_diameter = batch.spread_on_diameter(spread, geometry.ratio) if spread is not None else None
    band = geometry.size_minus + geometry.size_plus
    doubt_of_reading = COVERAGE * sure.reading_standard_mm
    drift = batch.allowed_drift(read.finish_low_mm, read.finish_high_mm, spread or 0.0, doubt_of_reading)
    rough_to = rough_mm + math.copysign(read.rough_tool.division_mm, facts.per_reading)
    every = given.check_every or batch.check_interval(work.pieces_between_corrections, CHECK_EVERY_AT_MOST)
    return values.Batch(
        pieces=given.pieces,
        reading_low_mm=read.finish_low_mm,
        reading_high_mm=read.finish_high_mm,
        rough_from_mm=rough_mm,
        rough_to_mm=rough_to,
        rough_from_text=reading_text(rough_mm, read.rough_tool),
        rough_to_text=reading_text(rough_to, read.rough_tool),
        check_first=given.check_first if given.check_first is not None else CHECK_FIRST,
        check_every=every,
        allowed_drift_mm=drift,
        centre_depth_spread_mm=spread,
        spread_on_diameter_mm=on_diameter,
        spread_of_tolerance=(
            batch.share_of_tolerance(on_diameter, band) if on_diameter is not None and band > 0 else None
        ),
    )
