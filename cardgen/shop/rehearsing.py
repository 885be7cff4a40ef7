"""A part's batch rehearsed: its outcome, what limits it, what would help, the least that may be left on.

The floor is as the records say it is, the hand has the card's values.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from cardgen.card.angle_proof import with_bars
from cardgen.card.facts import Facts, Records, facts_of
from cardgen.card.finding import PartErrors
from cardgen.card.gather import gather
from cardgen.card.proving import rolls_raise
from cardgen.card.salvaging import least_of_worn
from cardgen.card.values import Card, as_plain
from cardgen.rehearsal.contact import GaugeCone
from cardgen.rehearsal.errors import CAUSES, Errors
from cardgen.rehearsal.floor import FloorJob, Proving
from cardgen.rehearsal.grinder import Grinder, Rod
from cardgen.rehearsal.outcome import Tally, rehearse
from cardgen.spec.models import MachineRecord
from cardgen.terms import Swivelled

ARC_MINUTE = math.radians(1 / 60)
PIECES = 40  # of a batch that has no size
PLUG_BEHIND = 20.0  # mm that a plug's cone goes on beyond its line; an assumption


def job_of(facts: Facts, card: Card) -> FloorJob:
    """The part, its gauge, machine, wheel and shop in plain numbers."""
    records, geometry = facts.records, facts.geometry
    part, wheel = records.part, records.wheel
    outside = part.taper.side == "external"
    passes = card.speeds.finish
    return FloorJob(
        part=part.id,
        side=1 if outside else -1,
        ratio=geometry.aim_ratio,
        gauge_line=geometry.line_diameter + geometry.aim_above_basic,
        gauge_line_at=geometry.line_from_face,
        metal_off=geometry.size_half_band,
        metal_on=geometry.size_half_band,
        leave=part.stock.leave_for_finishing_mm,
        angle=card.taper.angle_tolerance_mm or float("inf"),
        length=geometry.length,
        reading=part.gauging.reading,
        gauge=GaugeCone(
            geometry.gauge_diameter, geometry.ratio, geometry.gauge_length, 0.0 if outside else PLUG_BEHIND
        ),
        gauge_doubt=facts.doubt.parts["gauge_diameter"],
        blank=_blanks(facts),
        salvage=least_of_worn(facts),
        tools=(part.gauging.read_with.rough.division_mm, part.gauging.read_with.finish.division_mm),
        grinder=_grinder(records.machine, facts.set_by, card),
        pivot=part.setup.gauge_line_from_pivot_mm,
        relief=part.taper.relief_mm,
        collar=records.gauge.face_from_line_mm or 0.0,
        plane=part.gauging.plane_mm,
        light_gauge=records.light_gauge.length_mm if records.light_gauge is not None else None,
        film=records.shop.blue_film_mm,
        pieces=part.batch.pieces or PIECES,
        spread=part.batch.centre_depth_spread_mm or 0.0,
        wheel=(wheel.diameter.worn_mm, wheel.width_mm, wheel.g_ratio or float("inf")),
        proving=_proving(facts),
        times=(
            passes.time_s / max(1, passes.passes + passes.spark_out_passes),
            card.speeds.gauging_time_s,
            card.speeds.dressing_time_s / 2,
        ),
    )


def _blanks(facts: Facts) -> tuple[float, float]:
    """The stock of what comes to the machine: where it is unknown, down to what cannot be saved."""
    has, worn = facts.allowances, least_of_worn(facts)
    unknown = facts.records.part.stock.blank.unknown
    return (worn if unknown and worn is not None else has.blank_low), has.blank_high


def _proving(facts: Facts) -> Proving:
    has, on_spindle = facts.records.shop.proving, facts.records.machine.wheel_head.test_bar
    sure = {"rolls": has.rolls_mm, "balls": has.balls_mm, "sine bar": has.sine_bar_mm}
    return Proving(
        indicator=has.indicator_mm or Proving.indicator,
        bar=has.test_bar.straightness_mm if has.test_bar is not None else 0.0,
        bar_length=has.test_bar.length_mm if has.test_bar is not None else 0.0,
        spindle_bar=on_spindle.straightness_mm if on_spindle is not None else 0.0,
        spindle_bar_length=on_spindle.length_mm if on_spindle is not None else 0.0,
        light=has.light_gauge_mm,
        rolls_apart=rolls_raise(facts),
        sure=tuple((name, doubt) for name, doubt in sure.items() if doubt is not None),
    )


def _grinder(machine: MachineRecord, set_by: Swivelled, card: Card) -> Grinder:
    table, head = machine.swivel, machine.wheel_head
    feed = machine.cross_feed
    kind = table.indicator_type or (table.screw.type if table.screw is not None else "tangent")
    by_head = set_by == "wheel head"
    radius = (head.indicator_radius_mm if by_head else table.indicator_radius_mm) or 1.0
    return Grinder(
        screw=Rod(table.screw.type, table.screw.radius_mm) if table.screw is not None else None,
        lead=table.screw.lead_mm if table.screw is not None else 0.0,
        screw_divisions=table.screw.divisions if table.screw is not None else 1,
        indicator=Rod("chord" if by_head else kind, radius),
        slips=Rod(table.slips.type, table.slips.radius_mm) if table.slips is not None else None,
        feed_per_division=feed.step.value / (2 if feed.reads == "diameter" else 1),
        head_turns=head.slide_fed if by_head else None,
    )


def errors_of(card: Card, job: FloorJob) -> Errors:
    """How far out this shop may be, as its card's values say."""
    out = card.out_by
    return Errors(
        scale=out.scale_arcmin * ARC_MINUTE,
        pivot=out.pivot_mm,
        film=out.film_factor,
        wear=out.wear_factor,
        gauge=job.gauge_doubt,
        temperature=out.temperature_k,
        repeatability=out.repeatability_mm,
    )


@dataclass(frozen=True)
class Rehearsal:
    """A batch rehearsed: the batches as the card has them; then with one thing otherwise each, best first."""

    outcome: Tally
    some: Tally  # the first of these batches: the very ones that are worked again with one thing otherwise
    job: FloorJob
    limits: tuple[tuple[str, Tally], ...]  # a cause switched off
    helps: tuple[tuple[str, Tally], ...]  # something else in its place
    least_blank_mm: float | None  # least stock on a blank, and least left for finishing, that hold as well
    least_finishing_mm: float | None


Tick = Callable[[], None]
SHARE = 10  # of the batches, one in so many is worked for each cause, each help, each allowance
ALLOWANCES = (0.9, 0.8, 0.7, 0.6, 0.5, 0.4)  # of what the part leaves on
AS_GOOD = 0.1  # per cent of pieces that a smaller allowance may lose more than the part's own


def rehearse_part(
    records: Records, today: date, batches: int, seed: int, tick: Tick = lambda: None
) -> Rehearsal:
    """So many batches as the card says, and a tenth of them for each thing that is changed."""
    job, card, errors = _made(records, today)
    plain, some = as_plain(card), max(1, batches // SHARE)
    outcome = rehearse(plain, job, errors, batches, seed, tick)
    as_it_is = rehearse(plain, job, errors, some, seed, tick)
    causes = [(cause, rehearse(plain, job, errors.without(cause), some, seed, tick)) for cause in CAUSES]
    helps = [(words, _worked(other, today, some, seed, tick)) for words, other in _otherwise(records, card)]
    sound = [(words, tally) for words, tally in helps if tally is not None]
    return Rehearsal(
        outcome,
        as_it_is,
        job,
        tuple(sorted(causes, key=_trouble)),
        tuple(sorted(sound, key=_trouble)),
        _least(records, "blank", as_it_is, today, some, seed, tick),
        _least(records, "leave_for_finishing", as_it_is, today, some, seed, tick),
    )


def steps_of(batches: int) -> int:
    """How many batches a rehearsal works at the most, for a bar that shows how far it is."""
    return batches + max(1, batches // SHARE) * (1 + len(CAUSES) + len(HELPS) + 2 * len(ALLOWANCES))


def _trouble(named: tuple[str, Tally]) -> tuple[float, float, float]:
    """What is lost first; then what is ground again, then corrections."""
    tally = named[1]
    return tally.lost(), tally.share("reground")[0], sum(tally.corrections) / max(1, tally.batches)


def _made(records: Records, today: date) -> tuple[FloorJob, Card, Errors]:
    card = gather(records, "", today).card
    job = job_of(facts_of(records), card)
    return job, card, errors_of(card, job)


def _worked(records: Records, today: date, batches: int, seed: int, tick: Tick) -> Tally | None:
    """The batches of a part that is planned otherwise; None where there is no card of it."""
    try:
        job, card, errors = _made(records, today)
    except PartErrors:
        return None
    return rehearse(as_plain(card), job, errors, batches, seed, tick)


HELPS = ("finishing tool", "proof", "start", "stock", "check")


def _otherwise(records: Records, card: Card) -> Iterator[tuple[str, Records]]:
    """The same part with something else that the shop may have, each in words."""
    part, shop = records.part, records.shop
    tool = part.gauging.read_with.finish
    finer = replace(tool, division_mm=tool.division_mm / 2)
    read_with = part.gauging.read_with.model_copy(update={"finish": finer})
    gauging = part.gauging.model_copy(update={"read_with": read_with})
    yield f"{tool.name} of half the division", _with_part(records, gauging=gauging)
    finest = card.proof.means[-1].means
    if card.proof.decided_by != finest:
        others = {"rolls_mm": None, "balls_mm": None} if finest == "sine bar" else {}
        proving = shop.proving.model_copy(update=others)
        alone = _with_shop(records, proving=proving)
        yield f"the angle proved by the {finest}", replace(alone, light_gauge=None)
    if card.swivel.starts and card.swivel.starts[0].way not in ("test bar", "spindle bar"):
        on_spindle = " on the wheel spindle" if card.swivel.set_by == "wheel head" else ""
        yield f"the swivel set by a test bar{on_spindle} and an indicator of 0.001 mm", with_bars(records)
    left = part.stock.leave_for_finishing_mm
    more = part.stock.model_copy(update={"leave_for_finishing_mm": 1.25 * left})
    yield "a quarter more left for finishing", _with_part(records, stock=more)
    if card.batch.check_every > 1:
        each = part.batch.model_copy(update={"check_every": 1})
        yield "every piece gauged", _with_part(records, batch=each)


def _with_part(records: Records, **changes: Any) -> Records:
    return replace(records, part=records.part.model_copy(update=changes))


def _with_shop(records: Records, **changes: Any) -> Records:
    return replace(records, shop=records.shop.model_copy(update=changes))


def _least(
    records: Records, key: str, whole: Tally, today: date, batches: int, seed: int, tick: Tick
) -> float | None:
    """The least of an allowance that loses no more pieces than the part's own; None where none less holds."""
    stock, held = records.part.stock, None
    if key == "blank" and stock.blank.unknown:
        return None
    for share in ALLOWANCES:
        if key == "blank":
            span = stock.blank
            least = share * span.low
            other = replace(span, low=least, high=span.high - (span.low - least))
            changed, figure = stock.model_copy(update={"blank": other}), least
        else:
            figure = share * stock.leave_for_finishing_mm
            changed = stock.model_copy(update={"leave_for_finishing_mm": figure})
        tally = _worked(_with_part(records, stock=changed), today, batches, seed, tick)
        if tally is None or tally.lost() > whole.lost() + AS_GOOD:
            break
        held = figure
    return held
