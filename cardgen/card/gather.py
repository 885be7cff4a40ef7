"""Specs and sums become one Card: everything that is printed, drawn or asked for comes from here."""

import math
from dataclasses import dataclass, replace
from datetime import date

from cardgen.card import (
    angle_proof,
    correcting,
    procedure,
    proving,
    reversals,
    salvaging,
    setting,
    sizes,
    values,
    work,
)
from cardgen.card.at_the_bench import GaugedPart
from cardgen.card.checks import check_card
from cardgen.card.facts import Facts, Records, facts_of
from cardgen.card.finding import Finding, PartErrors, told_at
from cardgen.card.meant import with_likely_slips
from cardgen.compute import inspection, taper
from cardgen.terms import ARCSEC


@dataclass(frozen=True)
class Gathered:
    """A card and what was found on the way; with an error among the findings it must not be printed."""

    card: values.Card
    findings: tuple[Finding, ...]
    gauged: GaugedPart  # what answers a reading

    @property
    def sound(self) -> bool:
        """Whether the card may be printed."""
        return all(found.level != "error" for found in self.findings)


def gather(records: Records, code: str, today: date) -> Gathered:
    """Everything the card of a part says; raises PartErrors where the figures cannot be made into one."""
    with told_at("part", records.part.id, "taper"):  # where nothing nearer is known
        try:
            facts = facts_of(records)
            touching = _contact(facts)
        except PartErrors as errors:
            raise with_likely_slips(records, errors) from None
        return _gather(facts, touching, code, today)


def _gather(facts: Facts, touching: float, code: str, today: date) -> Gathered:
    records = facts.records
    part_id = records.part.id
    with told_at("part", part_id, "stock"):
        rough, finish = facts.stage("rough"), facts.stage("finish")
    with told_at("part", part_id, "gauging"):
        read = facts.read
        rough_step, finish_step, rows = sizes.stock_table(facts)
        sure = proving.doubt_values(facts, rough.stock)
        wheel = facts.handwheel
    with told_at("part", part_id, "setup"):
        travel = reversals.stroke_values(facts)
    with told_at("wheel", records.wheel.id, ""):
        between = work.semi_finish_values(facts, travel)
        run = work.speed_values(facts, travel, between)
    worn = salvaging.salvage_values(facts, finish, run.finish.divisions_per_pass)
    with told_at("machine", records.machine.id, "swivel"):
        swivel = setting.swivel_values(facts, angle_proof.starts(facts))
    with told_at("part", part_id, "inspection"):
        inspected = proving.inspection_values(facts)
    with told_at("part", part_id, "batch"):
        batch = proving.batch_values(facts, run.drift_per_piece_mm)
    card = values.Card(
        title=_title(records, code),
        holding=values.Holding(
            **{key: stated or "" for key, stated in records.part.holding.model_dump().items()}
        ),
        taper=_taper(facts),
        gauge=_gauge(facts),
        reading=read,
        stages=sizes.stage_values(facts),
        rough_step=rough_step,
        finish_step=finish_step,
        stock_table=rows,
        handwheel=wheel,
        swivel=swivel,
        contact_length_mm=touching,
        correction=_corrections(facts),
        blue_film_mm=records.shop.blue_film_mm,
        blue=correcting.blue_rows(facts),
        light=correcting.light_rows(facts),
        patterns=correcting.patterns(facts),
        proof=angle_proof.proof_values(facts),
        stroke=travel,
        speeds=run,
        doubt=sure,
        warmth=proving.warmth_rows(facts),
        inspection=inspected,
        batch=batch,
        out_by=angle_proof.out_by(facts),
        procedure=(),
        sources=_sources(facts),
        checks=(),
        past_size=sizes.past_size(facts),
        semi_finish=between,
        salvage=worn,
    )
    return _with_moves(facts, card, today)


def _with_moves(facts: Facts, card: values.Card, today: date) -> Gathered:
    """The card with its checks, its moves and the feeds that come first."""
    findings = check_card(facts, card, today)
    card = replace(card, checks=tuple(found.as_check() for found in findings))
    card = replace(card, procedure=procedure.moves(facts, card))
    short = procedure.first_short(card)
    rows = sizes.with_first_feeds(card.stock_table, short, card.handwheel)
    gauged = GaugedPart(
        gauge=card.gauge.id,
        units=card.title.units,
        length=facts.geometry.length,
        seat=facts.seat,
        sums=facts.sums,
        short=short,
        worn_from=card.salvage.start_mm if card.salvage else None,
        marks=card.reading.marks,
    )
    return Gathered(replace(card, stock_table=rows), findings, gauged)


def _contact(facts: Facts) -> float:
    """How far gauge and finished work touch; raises PartErrors, with the figures, where they do not."""
    geometry = facts.geometry
    wrong = (
        f"gauge {facts.records.gauge.id}, {facts.told(geometry.gauge_length)} long, and the taper, "
        f"{facts.told(geometry.length)} long, do not meet at a finish reading of "
        f"{facts.told(geometry.finish_reading)}"
    )
    right = "correct the finish reading or the diameters, or name a gauge that takes the taper"
    with told_at("part", facts.records.part.id, "gauging.gauge", wrong, right):
        return facts.contact


def _corrections(facts: Facts) -> tuple[values.CorrectionRow, ...]:
    """The rows of corrections; raises PartErrors where the pivot lies so far off that none can be read."""
    part = facts.records.part
    wrong = (
        f"with the gauge line {facts.told(part.setup.gauge_line_from_pivot_mm)} from the pivot, a correction "
        "of the swivel moves the gauge off the work"
    )
    right = "give the distance along the work axis, in the right unit"
    with told_at("part", part.id, "setup.gauge_line_from_pivot", wrong, right):
        return correcting.correction_rows(facts)


def _title(records: Records, code: str) -> values.Title:
    part = records.part
    return values.Title(
        shop=records.shop.name or "",
        part=part.id,
        name=part.name,
        operation=part.operation or "",
        operation_number=part.operation_number,
        piece=part.piece or "",
        other_operations=tuple(
            values.OtherOperation(other.id, other.operation_number, other.operation or "")
            for other in records.other_operations
        ),
        drawing=part.drawing or "",
        order=part.order or "",
        revision=part.revision,
        code=code,
        issue=1,
        units=part.units,
        material=part.material.name,
        hardness=part.material.hardness or "",
        pieces=part.batch.pieces,
        posted_at=part.posted_at,
        notes=part.notes,
    )


def _taper(facts: Facts) -> values.Taper:
    part, geometry, limit = facts.records.part, facts.geometry, facts.geometry.angle_limit
    callout = part.taper.callout
    on_diameter = (
        inspection.angle_change_on_diameter(2 * limit.half_zone, geometry.aim_half_angle, geometry.length)
        if limit is not None
        else None
    )
    return values.Taper(
        callout=callout.text if callout is not None else "",
        standard=callout.standard if callout is not None else None,
        side=part.taper.side,
        ratio=geometry.ratio,
        per_foot_in=taper.per_foot_from_ratio(geometry.ratio),
        per_cent=taper.per_cent_from_ratio(geometry.ratio),
        ratio_1_to=taper.one_in_from_ratio(geometry.ratio),
        included_angle_deg=math.degrees(taper.included_angle(geometry.half_angle)),
        half_angle_deg=math.degrees(geometry.half_angle),
        gauge_line_diameter_mm=geometry.line_diameter,
        gauge_line_from_face_mm=geometry.line_from_face,
        gauge_line_low_mm=geometry.line_diameter - geometry.size_minus,
        gauge_line_high_mm=geometry.line_diameter + geometry.size_plus,
        large_diameter_mm=geometry.face_diameter,
        small_diameter_mm=geometry.small_diameter,
        length_mm=geometry.length,
        relief_mm=part.taper.relief_mm,
        angle_tolerance_arcsec=limit.half_zone * ARCSEC if limit is not None else None,
        angle_tolerance_mm=on_diameter,
        angle_tolerance_text=limit.text if limit is not None else "",
        angle_aim_arcsec=limit.aim * ARCSEC if limit is not None else 0.0,
        angle_aim_mm=(geometry.aim_ratio - geometry.ratio) * geometry.length,
    )


def _gauge(facts: Facts) -> values.Gauge:
    gauge, geometry = facts.records.gauge, facts.geometry
    due = gauge.calibration_due
    return values.Gauge(
        id=gauge.id,
        type=gauge.type,
        gauge_line_diameter_mm=geometry.gauge_diameter,
        length_mm=gauge.length_mm,
        stands_from_face_mm=geometry.gauge_from_face,
        uncertainty_mm=gauge.gauge_line.uncertainty_mm if gauge.gauge_line is not None else None,
        calibration_due=due.strftime(facts.records.shop.date_format) if due is not None else None,
        light_gauge=facts.records.part.gauging.light_gauge,
        master=(facts.records.light_gauge or gauge).master,  # of the gauge the piece is finished to
        name=gauge.name or "",
        face_from_line_mm=gauge.face_from_line_mm,
    )


def _sources(facts: Facts) -> tuple[str, ...]:
    """Where the card's figures come from that the specs do not give."""
    practice, expansion, limit = facts.practice, facts.expansion, facts.geometry.angle_limit
    sources = [
        f"Speeds: {practice.practice_for}, {_in_short(practice.source)}",
        f"Expansion: {expansion.value_for}, {_in_short(expansion.source)}",
        "Blue: the shop's film, from memory",
        "Doubt: JCGM 100",
    ]
    if limit is not None and limit.source is not None:
        sources.insert(0, f"Angle grade {limit.text}: {_in_short(limit.source)}")
    return tuple(sources)


def _in_short(source: str) -> str:
    """A source as there is room for on a card: the data file beside the figure has the whole of it."""
    head, _, _ = source.partition(" (")
    return head[:1].lower() + head[1:] if head.startswith("From memory") else head
