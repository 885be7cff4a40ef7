"""Stroke, speeds, dressing and time: what to set on this machine with this wheel."""

from cardgen.card import values
from cardgen.card.facts import Facts
from cardgen.card.sizes import handwheel
from cardgen.compute import speeds, stages, stroke
from cardgen.compute.sum_error import SumError
from cardgen.spec.quantity import Steps
from cardgen.terms import INCH

CLEARANCE_MM = 1.0  # at a shoulder or a bottom, where the part states none: an assumption, no source
CLEARANCE_IN = 0.04 * INCH
DRESSING_PASSES = 3  # a dressing, common practice, no source
DRESSING_OVERRUN_MM = 5.0  # the diamond clears the wheel at each side
PIECES_BETWEEN_DRESSINGS = 10  # where no grinding ratio tells better; common practice, no source
FINE_DRESSING_MM = 0.0125  # infeed of the diamond before finishing; common practice, from memory
GAUGING_TIME_S = 40.0  # where the part does not state its own; from memory
PLUNGE_TURNS = 2.0  # turns of the work for a step of infeed by plunge; common practice, no source


def stroke_values(facts: Facts) -> values.Stroke:
    """The table's travel and where it reverses; a swivelled wheel head leaves only plunge grinding.

    The table then travels along the axis, not along the taper's surface.
    """
    part, wheel = facts.records.part, facts.records.wheel
    stated, half_angle = part.setup.overrun_mm, facts.geometry.half_angle
    overrun = stroke.common_overrun(wheel.width_mm) if stated is None else stated
    kept = clearance_mm(facts)
    if kept is not None:
        at_shoulder = stroke.clearance_overrun(kept, half_angle)
    elif part.taper.open_both_ends:
        at_shoulder = overrun
    else:
        at_shoulder = stroke.relief_overrun(part.taper.relief_mm, half_angle)
    found = stroke.set_stroke(facts.geometry.length, half_angle, wheel.width_mm, overrun, at_shoulder)
    plunge = found.plunge or facts.set_by == "wheel head"
    return values.Stroke(
        slant_mm=found.slant,
        overrun_open_mm=found.overrun_open,
        overrun_shoulder_mm=found.overrun_shoulder,
        wheel_width_mm=found.wheel_width,
        travel_mm=found.travel,
        plunge=plunge,
        open_both_ends=part.taper.open_both_ends,
        clearance_mm=kept,
        reverse_at_shoulder_mm=None if plunge else found.reverse_at_shoulder,
        reverse_at_open_mm=None if plunge else found.reverse_at_open,
    )


def clearance_mm(facts: Facts) -> float | None:
    """What the wheel's edge keeps clear of a shoulder without relief or a bottom; None where neither is."""
    part = facts.records.part
    if part.taper.open_both_ends or part.taper.relief_mm > 0:
        return None
    stated = part.setup.clearance
    return stated.value if stated is not None else usual_clearance(facts)


def usual_clearance(facts: Facts) -> float:
    """What the wheel's edge keeps off whatever stands in its way, where the part does not say."""
    return CLEARANCE_MM if facts.metric else CLEARANCE_IN


def wheel_rpm(facts: Facts) -> float:
    """The wheel speed to set: the part's own, else the fastest that keeps a new wheel within its marking.

    Where the machine has none that does, its slowest: the check says that there must be no card.
    """
    chosen = facts.records.part.setup.wheel_speed_rpm
    if chosen is not None:
        return chosen
    wheel = facts.records.wheel
    offered = facts.records.machine.wheel_speeds
    if not offered.steps:
        highest = speeds.highest_whole_wheel_rpm(wheel.maximum_operating_speed_m_s, wheel.diameter.new_mm)
        return min(offered.high, max(offered.low, highest))
    try:
        return speeds.wheel_rpm_within_marking(
            offered.steps, wheel.diameter.new_mm, wheel.maximum_operating_speed_m_s
        )
    except SumError:
        return min(offered.steps)


def barred_wheel_rpm(facts: Facts) -> tuple[float, ...]:
    """The machine's wheel speeds that a new wheel of this kind must not run at."""
    wheel, offered = facts.records.wheel, facts.records.machine.wheel_speeds
    return tuple(
        rpm
        for rpm in offered.steps or (offered.high,)
        if not speeds.within_marking(wheel.diameter.new_mm, rpm, wheel.maximum_operating_speed_m_s)
    )


def work_rpm(facts: Facts) -> float:
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


def speed_values(
    facts: Facts, planned: tuple[stages.PlannedStage, ...], travel: values.Stroke
) -> values.Speeds:
    """Speeds, passes, times, metal removed and wear of the wheel."""
    part, wheel = facts.records.part, facts.records.wheel
    stock = {stage.name: stage.stock for stage in planned}
    rough = _phase(facts, "rough", stock["blank high"] - stock["rough"], 0, travel)
    finish = _phase(facts, "finish", stock["rough"], part.stock.spark_out_passes, travel)
    removed = _removed(facts, stock["blank high"])
    drift = _drift(facts, stock["rough"])
    dressing = _dressing_time(facts, rough) + _dressing_time(facts, finish)
    share = dressing / _pieces_between_dressings(facts, drift)
    gauging = part.batch.gauging_time_s if part.batch.gauging_time_s is not None else GAUGING_TIME_S
    piece = speeds.piece_time(rough.time_s, finish.time_s, gauging, share)
    rpm = wheel_rpm(facts)
    return values.Speeds(
        wheel=wheel.id,
        wheel_marking=wheel.marking,
        wheel_name=wheel.name or "",
        dresser=wheel.dresser.type,
        wheel_rpm=rpm,
        wheel_m_s=values.NewWorn(
            speeds.surface_speed_m_s(wheel.diameter.new_mm, rpm),
            speeds.surface_speed_m_s(wheel.diameter.worn_mm, rpm),
        ),
        maximum_m_s=wheel.maximum_operating_speed_m_s,
        barred_wheel_rpm=barred_wheel_rpm(facts),
        work_rpm=work_rpm(facts),
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


def _phase(facts: Facts, name: str, stock: float, spark_out: int, travel: values.Stroke) -> values.Phase:
    part, machine, wheel, practice = (
        facts.records.part,
        facts.records.machine,
        facts.records.wheel,
        facts.practice,
    )
    roughing = name == "rough"
    infeed_mm = part.stock.infeed.rough_mm if roughing else part.stock.infeed.finish_mm
    rpm = work_rpm(facts)
    fraction = practice.rough_fraction if roughing else practice.finish_fraction
    traverse = speeds.nearest_in_range(
        speeds.traverse_rate(fraction, wheel.width_mm, rpm), machine.traverse.low, machine.traverse.high
    )
    overlap = wheel.overlap.rough if roughing else wheel.overlap.finish
    # As the grinding, but never faster than the overlap that the wheel's record asks for.
    by_overlap = speeds.dressing_traverse(wheel.dresser.effective_width_mm, overlap, wheel_rpm(facts))
    dress_traverse = min(traverse, by_overlap)
    # What the hand can set: whole divisions, the nearest to the infeed asked for, one at the least.
    per_division = handwheel(facts).stock_per_division_mm
    divisions = max(1, round(infeed_mm / per_division))
    passes = speeds.passes(stock, divisions * per_division)
    if travel.plunge:
        pass_time = speeds.plunge_pass_time(rpm, PLUNGE_TURNS, 0.0)
    else:
        pass_time = speeds.traverse_pass_time(travel.travel_mm, traverse, machine.dwell_s)
    return values.Phase(
        name="rough" if roughing else "finish",
        infeed_per_pass_mm=divisions * per_division,
        divisions_per_pass=divisions,
        work_rpm=rpm,
        work_m_min_large=speeds.surface_speed_m_min(facts.geometry.face_diameter, rpm),
        work_m_min_small=speeds.surface_speed_m_min(facts.geometry.small_diameter, rpm),
        traverse_fraction=speeds.traverse_fraction(traverse, wheel.width_mm, rpm),
        traverse_mm_min=traverse,
        passes=passes,
        spark_out_passes=spark_out,
        time_s=speeds.phase_time(passes, spark_out, pass_time),
        dress_traverse_mm_min=dress_traverse,
        dress_overlap=speeds.dressing_overlap(
            wheel.dresser.effective_width_mm, dress_traverse, wheel_rpm(facts)
        ),
        dress_infeed_mm=speeds.dressing_infeed(
            speeds.DRESSING_INFEED_LIMIT if roughing else FINE_DRESSING_MM
        ),
    )


def _dressing_time(facts: Facts, phase: values.Phase) -> float:
    width = facts.records.wheel.width_mm
    return speeds.dressing_time(width, DRESSING_OVERRUN_MM, phase.dress_traverse_mm_min, DRESSING_PASSES)


def _removed(facts: Facts, stock: float) -> float:
    """Metal that comes off with this stock, down to the size aimed at, mm³."""
    geometry, aim = facts.geometry, facts.geometry.aim_above_basic
    shell = (
        speeds.metal_removed_outside
        if facts.records.part.taper.side == "external"
        else speeds.metal_removed_inside
    )
    return shell(geometry.face_diameter + aim, geometry.small_diameter + aim, geometry.length, stock)


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
