"""What the card's maker and its reader must know: each check with what is wrong and what to do.

The codes and what each means are listed in `codes`.
"""

from collections.abc import Iterator
from datetime import date

from cardgen import terms
from cardgen.card import values
from cardgen.card.angle_checks import check_angle
from cardgen.card.correcting import contact_length
from cardgen.card.facts import Facts
from cardgen.card.finding import Finding, Place
from cardgen.card.nonsense import nonsense
from cardgen.card.piece_checks import check_piece
from cardgen.card.reversals import usual_clearance
from cardgen.card.salvaging import check_salvage
from cardgen.card.size_checks import DIVISION_AT_MOST, check_batch, check_sizes
from cardgen.compute import doubt
from cardgen.digits import angle_text, rpm_text, speed_text
from cardgen.terms import INCH

DOUBT_MM, DOUBT_IN = 0.01, 0.0005 * INCH  # round figures, to tell what a mate's own error does
NOISE = 1e-9  # mm: what is nearer to nought than this is nought
ENOUGH_CONTACT = 2 / 3  # of the ground length; common practice, no source
DRIFT_AT_MOST = 1 / 4  # of the limits to accept, from piece to piece; common practice, no source
BORE_WHEEL_AT_MOST = 0.9  # of the small end of a bore; common practice, from memory


def check_card(facts: Facts, card: values.Card, today: date) -> tuple[Finding, ...]:
    """Every finding about a part, the gravest first."""
    found = [
        *facts.findings,
        *_gauge(facts, card, today),
        *_uncalibrated(facts, card),
        *_reach(facts, card),
        *_reading(facts, card),
        *check_sizes(facts, card),
        *_swivel(facts, card),
        *_wheel(facts, card),
        *_stroke(facts, card),
        *check_angle(facts, card),
        *_batch(facts, card),
        *nonsense(facts, card),
        *check_batch(facts, card),
        *check_salvage(facts, card),
        *check_piece(facts),
    ]
    order = {"error": 0, "warning": 1, "note": 2}
    return tuple(sorted(found, key=lambda finding: order[finding.level]))


def _gauge(facts: Facts, card: values.Card, today: date) -> Iterator[Finding]:
    used = [facts.records.gauge]
    if facts.records.light_gauge is not None:
        used.append(facts.records.light_gauge)
    for gauge in used:
        if gauge.calibration_due is not None and gauge.calibration_due < today:
            yield Finding(
                "warning",
                "gauge-lapsed",
                Place("gauge", gauge.id, "calibration_due"),
                f"the calibration of gauge {gauge.id} lapsed on {gauge.calibration_due.isoformat()}",
                "do not accept work by it until it has been calibrated",
            )
    ground = facts.geometry.length - facts.records.part.taper.relief_mm
    touching = contact_length(facts)
    if touching < ENOUGH_CONTACT * ground:
        yield Finding(
            "warning",
            "gauge-short",
            facts.place("gauging.gauge"),
            f"the gauge touches only {facts.told(touching)} of the ground {facts.told(ground)}",
            "it says nothing of the rest; use a longer gauge, or check the rest by other means",
        )
    outside = facts.records.part.taper.side == "external"
    closes = terms.reading(facts.kind).closes and card.reading.finish_low_mm <= 0
    if closes or _meets_shoulder(facts):
        yield Finding(
            "error",
            "gauge-meets-shoulder",
            facts.place("gauging.gauge"),
            f"{'the ring meets the shoulder' if outside else 'the plug’s collar meets the mouth'} within the "
            "tolerance of the size, and tells no more from there",
            f"use a gauge whose {'line lies further from the shoulder' if outside else 'collar keeps off'}",
        )


def _uncalibrated(facts: Facts, card: values.Card) -> Iterator[Finding]:
    """A mating part proves the piece to itself alone: what it is off itself nobody knows."""
    mate = facts.records.gauge
    if mate.type != "mate":
        return
    off = DOUBT_MM if facts.metric else DOUBT_IN
    yield Finding(
        "warning",
        "sized-to-mate",
        facts.place("gauging.gauge"),
        f"{mate.id} is the mating part, not a calibrated gauge: {facts.told(off)} off on its diameter "
        f"reads {facts.told(off / facts.geometry.ratio)} off, its own taper shows in the blue",
        "all holds for this mate alone; measure diameter and angle elsewhere",
    )


def _reach(facts: Facts, card: values.Card) -> Iterator[Finding]:
    """A plug hides what lies inside the hole: its own line there, and its end unless seen from behind."""
    if facts.kind == "plug_standoff" and card.reading.finish_high_mm < NOISE:
        hidden, instead = "the plug's line lies inside the mouth", ""
    elif terms.reading(facts.kind).from_plane and not facts.records.part.taper.open_both_ends:
        hidden = "the plug's end lies in a hole that is not open behind"
        instead = ", or say open_both_ends where the end is reached from behind"
    else:
        return
    yield Finding(
        "warning",
        "reading-out-of-reach",
        facts.place("gauging.reading"),
        f"{hidden}, where no hand can read it",
        "read collar_gap, to the face of the plug's collar or handle (face_from_line of the gauge)" + instead,
    )


def _meets_shoulder(facts: Facts) -> bool:
    """Whether a ring read at the small end meets the shoulder on a piece at its lower limit of size."""
    taper = facts.records.part.taper
    if facts.kind != "small_end_standout" or taper.open_both_ends:
        return False
    gap = facts.seat.large_end + taper.relief_mm - facts.seat.gauge_large_end
    return gap <= facts.geometry.size_half_band / facts.geometry.ratio


def _reading(facts: Facts, card: values.Card) -> Iterator[Finding]:
    division, zone = card.handwheel.stock_per_division_mm, facts.zone
    by_readout = card.handwheel.readout is not None
    asked = facts.records.part.stock.infeed.finish_mm
    if division > min(1.01 * asked, DIVISION_AT_MOST * zone * (1 + 1e-9)) and zone > 0:
        yield Finding(
            "warning",
            "handwheel-too-coarse",
            Place(
                "machine", facts.records.machine.id, f"cross_feed.{'readout' if by_readout else 'division'}"
            ),
            f"a {'step of the readout' if by_readout else 'division of the handwheel'}, "
            f"{card.handwheel.division_text}, takes off {facts.told(division)} "
            f"on the diameter, the finishing infeed is {facts.told(asked)}, the limits to accept are "
            f"{facts.told(zone)} apart",
            "feed the last by spark-out, gauge after each pass",
        )
    for stage in card.stages:
        key = {"rough": "stock.leave_for_finishing", "semi-finish": "stock.semi_finish.leave"}.get(stage.name)
        standard = facts.doubt_at(stage.stock_mm, stage.tool).standard
        if key is None or doubt.told_from_nothing(stage.stock_mm, standard):
            continue
        yield Finding(
            "warning",
            "allowance-not-seen",
            facts.place(key),
            f"with the {card.reading.tool(stage.tool).name} the {facts.told(stage.stock_mm)} left for "
            f"finishing cannot be told from nothing (two standard uncertainties are "
            f"{facts.told(2 * standard)})",
            f"leave more, or {stage.name} with a finer tool",
        )


def _swivel(facts: Facts, card: values.Card) -> Iterator[Finding]:
    setting, head = card.swivel, card.swivel.wheel_head
    machine = Place("machine", facts.records.machine.id, "swivel.limit")
    if setting.set_by == "wheel head" and (head is None or not head.within_limit):
        yield Finding(
            "error",
            "swivel-beyond-limit",
            machine,
            f"neither the table nor the wheel head of {setting.machine} reaches a half angle of "
            f"{angle_text(setting.half_angle_deg)}",
            "grind the part on another machine",
        )
    elif setting.set_by == "wheel head":
        yield Finding(
            "note",
            "wheel-head-set",
            machine,
            f"the half angle of {angle_text(setting.half_angle_deg)} is set at the wheel head, not at the "
            "table" + (f", whose limit is {angle_text(setting.limit_deg)}" if setting.beyond_limit else ""),
            "leave the table straight, and correct by turning the head",
        )
    elif setting.beyond_limit:
        yield Finding(
            "error",
            "swivel-beyond-limit",
            machine,
            f"the table of {setting.machine} goes to {angle_text(setting.limit_deg)}, the half angle is "
            f"{angle_text(setting.half_angle_deg)}",
            "grind the part on another machine, or set the wheel head if it can be swivelled",
        )


def _wheel(facts: Facts, card: values.Card) -> Iterator[Finding]:
    run = card.speeds
    if run.wheel_m_s.new > run.maximum_m_s * (1 + 1e-9):
        yield Finding(
            "error",
            "wheel-overspeed",
            facts.place("wheel"),
            f"at {rpm_text(run.wheel_rpm)} the new wheel {run.wheel} runs at "
            f"{speed_text(run.wheel_m_s.new)}; its marking allows {speed_text(run.maximum_m_s)}",
            "mount a wheel marked for the speed, or run a slower speed; there is no card till then",
        )
    elif run.barred_wheel_rpm:
        barred = ", ".join(map(rpm_text, run.barred_wheel_rpm))
        yield Finding(
            "warning",
            "wheel-speed-barred",
            facts.place("wheel"),
            f"never set {barred}, which {facts.records.machine.name} has too: it is beyond the new wheel's "
            "marking",
            f"set {rpm_text(run.wheel_rpm)}",
        )
    bore = facts.geometry.small_diameter - facts.allowances.blank_high
    widest = facts.records.wheel.diameter.new_mm
    if facts.records.part.taper.side == "internal" and widest > BORE_WHEEL_AT_MOST * bore:
        yield Finding(
            "error" if widest >= bore else "warning",
            "wheel-too-large-for-bore",
            facts.place("wheel"),
            f"the new wheel is {facts.told(widest)}, the small end of the blank's hole {facts.told(bore)}",
            "use a smaller wheel",
        )


def _stroke(facts: Facts, card: values.Card) -> Iterator[Finding]:
    stroke = card.stroke
    head = card.swivel.set_by == "wheel head"
    if head and stroke.slant_mm > stroke.wheel_width_mm:
        yield Finding(
            "error",
            "wheel-too-narrow",
            facts.place("wheel"),
            "with the wheel head swivelled the taper is ground by plunge, and the wheel is narrower "
            f"({facts.told(stroke.wheel_width_mm)}) than the taper is long "
            f"({facts.told(stroke.slant_mm)})",
            "use a wider wheel, or a machine whose table reaches the angle",
        )
    elif stroke.plunge:
        why = "the wheel head is swivelled" if head else "the wheel covers the whole taper"
        yield Finding("note", "plunge", facts.place("wheel"), why, "grind by plunge, with no table stroke")
    near = stroke.reverse_at_shoulder_mm
    if (
        stroke.clearance_mm is None
        and near is not None
        and not stroke.open_both_ends
        and near < usual_clearance(facts)
    ):
        yield Finding(
            "warning",
            "relief-narrow",
            facts.place("taper.relief"),
            f"in this relief the wheel's edge turns back only {facts.told(near)} from the shoulder",
            "try the reversal by hand, with the wheel stopped; widen the relief if the drawing allows",
        )
    if stroke.clearance_mm is not None:
        outside = card.taper.side == "external"
        stop = "shoulder" if outside else "bottom of the hole"
        yield Finding(
            "note",
            "no-relief",
            facts.place("taper.relief" if outside else "taper.open_both_ends"),
            f"there is {'no relief at the shoulder' if outside else 'a bottom to the hole'}: the wheel "
            f"cannot pass it, and keeps {facts.told(stroke.clearance_mm)} off",
            f"try the reversal at the {stop} by hand, with the wheel stopped; write open_both_ends where "
            "nothing stands there",
        )


def _batch(facts: Facts, card: values.Card) -> Iterator[Finding]:
    share = card.batch.spread_of_tolerance
    if share is not None and share >= 0.5:
        yield Finding(
            "warning",
            "centre-depth-spread",
            facts.place("batch.centre_depth_spread"),
            f"on a dead stop the spread of the centre depth uses up {share:.0%} of the size tolerance",
            "gauge each piece, or true the centres",
        )
    drift = card.speeds.drift_per_piece_mm
    if drift is None:
        yield Finding(
            "note",
            "wheel-wear-unknown",
            Place("wheel", facts.records.wheel.id, "g_ratio"),
            f"the record of wheel {facts.records.wheel.id} gives no grinding ratio: its wear is not known",
            "gauge every piece, or give the g_ratio that the shop has found",
        )
    elif drift > DRIFT_AT_MOST * facts.zone > 0:
        yield Finding(
            "warning",
            "wheel-wears-fast",
            Place("wheel", facts.records.wheel.id, "g_ratio"),
            f"wear moves the size {facts.told(drift)} a piece, the limits to accept are "
            f"{facts.told(facts.zone)} apart",
            "size every piece by itself; the stop only roughs",
        )
