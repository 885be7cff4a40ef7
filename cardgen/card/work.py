"""Speeds, dressing and time: what to set on this machine with this wheel."""

from dataclasses import dataclass

from cardgen.card import values
from cardgen.card.facts import Facts
from cardgen.card.rows import feed_text
from cardgen.compute import infeed, speeds, stages
from cardgen.spec.quantity import Steps
from cardgen.terms import ToolUse

DRESSING_PASSES = 3  # a dressing, common practice, no source
DRESSING_OVERRUN_MM = 5.0  # the diamond clears the wheel at each side
PIECES_BETWEEN_DRESSINGS = 10  # where no grinding ratio tells better; common practice, no source
FINE_DRESSING_MM = 0.0125  # infeed of the diamond before finishing; common practice, from memory
GAUGING_TIME_S = 40.0  # where the part does not state its own; from memory
PLUNGE_TURNS = 2.0  # turns of the work for a step of infeed by plunge; common practice, no source


# What is set: the part's own speeds, else the machine's that suit wheel and work.


def _wheel_rpm(facts: Facts) -> float:
    """The wheel speed to set: the part's own, else the fastest that keeps a new wheel within its marking.

    Where the machine has none that does, its slowest: the check says that there must be no card.
    """
    chosen = facts.records.part.setup.wheel_speed_rpm
    if chosen is not None:
        return chosen
    wheel, offered = facts.records.wheel, facts.records.machine.wheel_speeds
    if not offered.steps:
        highest = speeds.highest_whole_wheel_rpm(wheel.maximum_operating_speed_m_s, wheel.diameter.new_mm)
        return speeds.nearest_in_range(highest, offered.low, offered.high)
    return max(_within_marking(facts, offered.steps), default=min(offered.steps))


def _barred_wheel_rpm(facts: Facts) -> tuple[float, ...]:
    """The machine's wheel speeds that a new wheel of this kind must not run at."""
    offered = facts.records.machine.wheel_speeds
    fastest = offered.steps or (offered.high,)
    within = _within_marking(facts, fastest)
    return tuple(rpm for rpm in fastest if rpm not in within)


def _within_marking(facts: Facts, offered: tuple[float, ...]) -> tuple[float, ...]:
    wheel = facts.records.wheel
    return speeds.steps_within_marking(offered, wheel.diameter.new_mm, wheel.maximum_operating_speed_m_s)


def _work_rpm(facts: Facts) -> float:
    """The work speed to set: the part's own, else the machine's nearest to what the material wants."""
    chosen = facts.records.part.setup.work_speed_rpm
    if chosen is not None:
        return chosen
    mean = (facts.geometry.face_diameter + facts.geometry.small_diameter) / 2
    wanted = speeds.rpm_for_work_speed(facts.practice.work_speed_m_min, mean)
    return _nearest(wanted, facts.records.machine.work_speeds)


def _nearest(wanted: float, offered: Steps) -> float:
    if offered.steps:
        return speeds.nearest_step(wanted, offered.steps)
    return speeds.nearest_in_range(wanted, offered.low, offered.high)


# Roughing and finishing: what is asked of each, and what comes of it on this machine.


@dataclass(frozen=True)
class _Demand:
    """What part, practice and wheel ask of roughing or of finishing."""

    name: ToolUse
    stock_mm: float
    infeed_mm: float  # a pass, on the diameter
    spark_out_passes: int
    traverse_fraction: float  # of the wheel's width, a turn of the work
    overlap: float  # of dressing, at the least
    dress_infeed_mm: float


def _asked(facts: Facts) -> tuple[_Demand, _Demand]:
    """Roughing, down to the rough target; finishing, from there."""
    given, practice, overlap = facts.records.part.stock, facts.practice, facts.records.wheel.overlap
    stock = {stage.name: stage.stock for stage in facts.planned}
    rough = _Demand(
        name="rough",
        stock_mm=stock["blank high"] - stock["rough"],
        infeed_mm=given.infeed.rough_mm,
        spark_out_passes=0,
        traverse_fraction=practice.rough_fraction,
        overlap=overlap.rough,
        dress_infeed_mm=speeds.DRESSING_INFEED_LIMIT,
    )
    finish = _Demand(
        name="finish",
        stock_mm=stock.get("semi-finish", stock["rough"]),
        infeed_mm=given.infeed.finish_mm,
        spark_out_passes=given.spark_out_passes,
        traverse_fraction=practice.finish_fraction,
        overlap=overlap.finish,
        dress_infeed_mm=FINE_DRESSING_MM,
    )
    return rough, finish


def _phase(facts: Facts, asked: _Demand, travel: values.Stroke) -> values.Phase:
    wheel, geometry, rpm = facts.records.wheel, facts.geometry, _work_rpm(facts)
    counted = facts.handwheel
    per_division = counted.stock_per_division_mm
    divisions = infeed.divisions_a_pass(asked.infeed_mm, per_division)
    passes = speeds.passes(asked.stock_mm, divisions * per_division)
    traverse = _traverse(facts, asked)
    dressing = _dressing_traverse(facts, asked, traverse)
    return values.Phase(
        name=asked.name,
        infeed_per_pass_mm=divisions * per_division,
        divisions_per_pass=divisions,
        divisions_per_pass_text=feed_text(divisions, counted),
        work_rpm=rpm,
        work_m_min_large=speeds.surface_speed_m_min(geometry.face_diameter, rpm),
        work_m_min_small=speeds.surface_speed_m_min(geometry.small_diameter, rpm),
        traverse_fraction=speeds.traverse_fraction(traverse, wheel.width_mm, rpm),
        traverse_mm_min=traverse,
        passes=passes,
        spark_out_passes=asked.spark_out_passes,
        time_s=speeds.phase_time(passes, asked.spark_out_passes, _pass_time(facts, travel, traverse)),
        dress_traverse_mm_min=dressing,
        dress_overlap=speeds.dressing_overlap(wheel.dresser.effective_width_mm, dressing, _wheel_rpm(facts)),
        dress_infeed_mm=speeds.dressing_infeed(asked.dress_infeed_mm),
    )


def _traverse(facts: Facts, asked: _Demand) -> float:
    offered = facts.records.machine.traverse
    wanted = speeds.traverse_rate(asked.traverse_fraction, facts.records.wheel.width_mm, _work_rpm(facts))
    return speeds.nearest_in_range(wanted, offered.low, offered.high)


def _dressing_traverse(facts: Facts, asked: _Demand, traverse: float) -> float:
    """As the grinding, but never faster than the overlap that the wheel's record asks for."""
    width = facts.records.wheel.dresser.effective_width_mm
    return min(traverse, speeds.dressing_traverse(width, asked.overlap, _wheel_rpm(facts)))


def _pass_time(facts: Facts, travel: values.Stroke, traverse: float) -> float:
    if travel.plunge:
        return speeds.plunge_pass_time(_work_rpm(facts), PLUNGE_TURNS, 0.0)
    return speeds.traverse_pass_time(travel.travel_mm, traverse, facts.records.machine.dwell_s)


# The whole.


def speed_values(facts: Facts, travel: values.Stroke, between: values.BetweenStages | None) -> values.Speeds:
    """Speeds, passes, times, metal removed and wear of the wheel."""
    part, wheel = facts.records.part, facts.records.wheel
    asked = _asked(facts)
    rough, finish = (_phase(facts, each, travel) for each in asked)
    removed = _removed(facts, facts.stage("blank high").stock)
    drift = _drift(facts, asked[1].stock_mm)
    dressing = _dressing_time(facts, rough) + _dressing_time(facts, finish)
    share = dressing / _pieces_between_dressings(facts, drift)
    gauging = part.batch.gauging_time_s if part.batch.gauging_time_s is not None else GAUGING_TIME_S
    roughing = rough.time_s + (between.time_s if between is not None else 0.0)
    piece = speeds.piece_time(roughing, finish.time_s, gauging, share)
    rpm = _wheel_rpm(facts)
    return values.Speeds(
        wheel=wheel.id,
        wheel_marking=wheel.marking,
        wheel_name=wheel.name or "",
        dresser=wheel.dresser.type,
        wheel_diameter_mm=wheel.diameter.new_mm,
        wheel_rpm=rpm,
        wheel_m_s=values.NewWorn(
            speeds.surface_speed_m_s(wheel.diameter.new_mm, rpm),
            speeds.surface_speed_m_s(wheel.diameter.worn_mm, rpm),
        ),
        maximum_m_s=wheel.maximum_operating_speed_m_s,
        barred_wheel_rpm=_barred_wheel_rpm(facts),
        work_rpm=_work_rpm(facts),
        rough=rough,
        finish=finish,
        gauging_time_s=gauging,
        dressing_time_s=dressing,
        time_per_piece_s=piece,
        time_per_batch_s=speeds.batch_time(part.batch.pieces, piece) if part.batch.pieces else None,
        removed_per_piece_mm3=removed,
        wheel_wear_per_piece_mm=_wear(facts, removed),
        drift_per_piece_mm=drift,
    )


def semi_finish_values(facts: Facts, travel: values.Stroke) -> values.BetweenStages | None:
    """What brings a roughed piece to the semi-finish, by the traverse of roughing, the wheel as it is."""
    given = facts.records.part.stock.semi_finish
    if given is None:
        return None
    rough, semi = facts.stage("rough"), facts.stage("semi-finish")
    counted = facts.handwheel
    divisions = infeed.divisions_a_pass(given.infeed_mm, counted.stock_per_division_mm)
    per_pass = divisions * counted.stock_per_division_mm
    passes = speeds.passes(max(0.0, rough.stock - semi.stock), per_pass)
    asked, _ = _asked(facts)
    feed = stages.divisions_between(rough.reading, semi.reading, facts.sizing)
    return values.BetweenStages(
        feed_divisions=feed,
        feed_divisions_text=feed_text(feed, counted),
        infeed_per_pass_mm=per_pass,
        divisions_per_pass=divisions,
        divisions_per_pass_text=feed_text(divisions, counted),
        passes=passes,
        time_s=speeds.phase_time(passes, 0, _pass_time(facts, travel, _traverse(facts, asked))),
    )


def _dressing_time(facts: Facts, phase: values.Phase) -> float:
    width, traverse = facts.records.wheel.width_mm, phase.dress_traverse_mm_min
    return speeds.dressing_time(width, DRESSING_OVERRUN_MM, traverse, DRESSING_PASSES)


def _removed(facts: Facts, stock: float) -> float:
    """Metal that comes off with this stock, down to the size aimed at, mm³."""
    geometry, aim = facts.geometry, facts.geometry.aim_above_basic
    shell = (
        speeds.metal_removed_outside
        if facts.records.part.taper.side == "external"
        else speeds.metal_removed_inside
    )
    on = max(0.0, stock)  # a tool so coarse that a stage lies below finish size: its checks tell of it
    return shell(geometry.face_diameter + aim, geometry.small_diameter + aim, geometry.length, on)


def _wear(facts: Facts, removed: float) -> float | None:
    """Wear of the wheel for so much metal, on its diameter; None where its grinding ratio is not known.

    The worn wheel loses more for the same metal, so that is the one reckoned with.
    """
    wheel = facts.records.wheel
    if wheel.g_ratio is None:
        return None
    return speeds.wheel_wear(removed, wheel.g_ratio, wheel.diameter.worn_mm, wheel.width_mm)


def _drift(facts: Facts, finishing_stock: float) -> float | None:
    """How much the finish size drifts for a piece on an unmoved stop, on the work's diameter.

    The batch is roughed first and the wheel dressed anew, so only the finishing stock counts.
    """
    wear = _wear(facts, _removed(facts, finishing_stock))
    return None if wear is None else speeds.growth_from_wear(wear, facts.geometry.half_angle)


def _pieces_between_dressings(facts: Facts, drift: float | None) -> int:
    """How many pieces a dressing lasts, for the time a piece takes: till wear uses a quarter of the zone."""
    pieces = speeds.pieces_within_growth(facts.geometry.size_half_band / 2, drift) if drift else None
    return PIECES_BETWEEN_DRESSINGS if pieces is None else max(1, pieces)
