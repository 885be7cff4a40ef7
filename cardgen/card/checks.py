"""What the card's maker and its reader must know: rules, each by a name of checks.toml."""

from collections.abc import Iterator
from datetime import date

from cardgen import terms
from cardgen.card import values
from cardgen.card.angle_checks import check_angle
from cardgen.card.facts import Facts
from cardgen.card.finding import Finding
from cardgen.card.nonsense import nonsense
from cardgen.card.piece_checks import check_piece
from cardgen.card.reversals import usual_clearance
from cardgen.card.salvaging import check_salvage
from cardgen.card.size_checks import DIVISION_AT_MOST, check_batch, check_sizes
from cardgen.compute import doubt
from cardgen.digits import rpm_text
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
    for gauge in filter(None, (facts.records.gauge, facts.records.light_gauge)):
        if gauge.calibration_due is not None and gauge.calibration_due < today:
            yield facts.found("gauge-lapsed", gauge=gauge.id, due=gauge.calibration_due.isoformat())
    ground = facts.geometry.length - facts.records.part.taper.relief_mm
    touching = facts.contact
    if touching < ENOUGH_CONTACT * ground:
        yield facts.found("gauge-short", touching=touching, ground=ground)
    closes = terms.reading(facts.kind).closes and card.reading.finish_low_mm <= 0
    if closes or _meets_shoulder(facts):
        yield facts.found("gauge-meets-shoulder")
    if facts.records.gauge.type == "mate":  # it proves the piece to itself alone: what it is off nobody knows
        off = DOUBT_MM if facts.metric else DOUBT_IN
        yield facts.found("sized-to-mate", off=off, reads=off / facts.geometry.ratio)


def _reach(facts: Facts, card: values.Card) -> Iterator[Finding]:
    """A plug hides what lies inside the hole: its own line there, and its end unless seen from behind."""
    if facts.kind == "plug_standoff" and card.reading.finish_high_mm < NOISE:
        yield facts.found("reading-out-of-reach")
    elif terms.reading(facts.kind).from_plane and not facts.records.part.taper.open_both_ends:
        yield facts.found("reading-out-of-reach/end")


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
        yield facts.found(
            "handwheel-too-coarse",
            at=f"cross_feed.{'readout' if by_readout else 'division'}",
            by_readout=by_readout,
            text=card.handwheel.division_text,
            division=division,
            asked=asked,
            zone=zone,
        )
    for stage in card.stages:
        key = {"rough": "stock.leave_for_finishing", "semi-finish": "stock.semi_finish.leave"}.get(stage.name)
        standard = facts.doubt_at(stage.stock_mm, stage.tool).standard
        if key is not None and not doubt.told_from_nothing(stage.stock_mm, standard):
            tool = card.reading.tool(stage.tool).name
            yield facts.found(
                "allowance-not-seen",
                at=key,
                tool=tool,
                left=stage.stock_mm,
                doubt=2 * standard,
                stage=stage.name,
            )


def _swivel(facts: Facts, card: values.Card) -> Iterator[Finding]:
    setting, head = card.swivel, card.swivel.wheel_head
    told = {"half_angle": setting.half_angle_deg, "limit": setting.limit_deg}
    if setting.set_by == "wheel head" and (head is None or not head.within_limit):
        yield facts.found("swivel-beyond-limit", **told)
    elif setting.set_by == "wheel head":
        yield facts.found("wheel-head-set", **told, beyond=setting.beyond_limit)
    elif setting.beyond_limit:
        yield facts.found("swivel-beyond-limit/table", **told)


def _wheel(facts: Facts, card: values.Card) -> Iterator[Finding]:
    run = card.speeds
    if run.wheel_m_s.new > run.maximum_m_s * (1 + 1e-9):
        yield facts.found("wheel-overspeed", rpm=run.wheel_rpm, runs=run.wheel_m_s.new, most=run.maximum_m_s)
    elif run.barred_wheel_rpm:
        barred, name = ", ".join(map(rpm_text, run.barred_wheel_rpm)), facts.records.machine.name
        yield facts.found("wheel-speed-barred", barred=barred, name=name, rpm=run.wheel_rpm)
    bore = facts.geometry.small_diameter - facts.allowances.blank_high
    widest = facts.records.wheel.diameter.new_mm
    if facts.records.part.taper.side == "internal" and widest > BORE_WHEEL_AT_MOST * bore:
        level: terms.Level = "error" if widest >= bore else "warning"
        yield facts.found("wheel-too-large-for-bore", level=level, widest=widest, bore=bore)


def _stroke(facts: Facts, card: values.Card) -> Iterator[Finding]:
    stroke = card.stroke
    head = card.swivel.set_by == "wheel head"
    if head and stroke.slant_mm > stroke.wheel_width_mm:
        yield facts.found("wheel-too-narrow", wide=stroke.wheel_width_mm, slant=stroke.slant_mm)
    elif stroke.plunge:
        yield facts.found("plunge", head=head)
    near, kept = stroke.reverse_at_shoulder_mm, stroke.clearance_mm
    if kept is not None:
        key = "taper.relief" if card.taper.side == "external" else "taper.open_both_ends"
        yield facts.found("no-relief", at=key, kept=kept)
    elif near is not None and not stroke.open_both_ends and near < usual_clearance(facts):
        yield facts.found("relief-narrow", near=near)


def _batch(facts: Facts, card: values.Card) -> Iterator[Finding]:
    share = card.batch.spread_of_tolerance
    if share is not None and share >= 0.5:
        yield facts.found("centre-depth-spread", share=share)
    drift = card.speeds.drift_per_piece_mm
    if drift is None:
        yield facts.found("wheel-wear-unknown")
    elif drift > DRIFT_AT_MOST * facts.zone > 0:
        yield facts.found("wheel-wears-fast", drift=drift, zone=facts.zone)
