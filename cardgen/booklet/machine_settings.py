"""The swivel of each machine for each taper: its scales, slip gauges, indicator and screw."""

import math
from collections.abc import Iterator, Sequence

from cardgen import tapers, terms
from cardgen.booklet.tables import MachineTables, ScaleHead, ScaleMark, ScrewRow, SwivelRow, TaperLine
from cardgen.card.setting import indicator_shows, indicator_type, mark_to_set
from cardgen.card.stacks import ARCSEC, near_stack
from cardgen.compute import swivel, taper
from cardgen.spec.models import MachineRecord
from cardgen.spec.models.tooling import ScaleRecord


def machine_tables(
    machine: MachineRecord,
    found: Sequence[TaperLine],
    common: Sequence[TaperLine],
    slip_set: tapers.SlipSet | None,
) -> MachineTables:
    """One machine's settings for every taper, and what its screw does at the common ones.

    A taper beyond the table is named, without marks.
    """
    table, head = machine.swivel, machine.wheel_head
    head_limit = head.limit_rad if head.limit_rad is not None else math.pi / 2
    return MachineTables(
        id=machine.id,
        name=machine.name,
        limit_deg=math.degrees(table.limit_rad),
        wheel_head_limit_deg=math.degrees(head_limit) if head.swivels else None,
        set_name=slip_set.name if slip_set is not None else None,
        scales=tuple(
            ScaleHead(scale.shows, terms.scale(scale.shows).unit, scale.division.text)
            for scale in table.scales
        ),
        slip_type=table.slips.type if table.slips is not None else None,
        slip_radius_mm=table.slips.radius_mm if table.slips is not None else None,
        indicator_type=indicator_type(machine) if table.indicator_radius_mm is not None else None,
        indicator_radius_mm=table.indicator_radius_mm,
        screw_turn_divisions=table.screw.divisions if table.screw is not None else None,
        rows=tuple(_row(machine, line, slip_set) for line in found),
        screw=tuple(_screw_rows(machine, common)),
    )


def _row(machine: MachineRecord, line: TaperLine, slip_set: tapers.SlipSet | None) -> SwivelRow:
    table, head = machine.swivel, machine.wheel_head
    half_angle = math.radians(line.half_angle_deg)
    if not swivel.within_limit(half_angle, table.limit_rad):
        reached = head.swivels and (head.limit_rad is None or swivel.within_limit(half_angle, head.limit_rad))
        return SwivelRow(line, reached, (), None, None, None, None)
    slips, screw = table.slips, table.screw
    slip = swivel.slip_height(slips.type, slips.radius_mm, half_angle) if slips is not None else None
    return SwivelRow(
        line=line,
        by_wheel_head=False,
        marks=tuple(_mark(scale, half_angle, table.limit_rad) for scale in table.scales),
        slip_mm=slip,
        slip_stack=near_stack(slip, slip_set) if slip is not None else None,
        indicator_mm=indicator_shows(machine, 0.0, half_angle),
        screw_divisions=(
            swivel.screw_divisions_between(
                0.0, half_angle, screw.type, screw.radius_mm, screw.lead_mm, screw.divisions
            )
            if screw is not None
            else None
        ),
    )


def _mark(scale: ScaleRecord, half_angle: float, limit: float) -> ScaleMark:
    mark = mark_to_set(scale, half_angle, limit)
    return ScaleMark(
        exact=swivel.scale_value(scale.shows, half_angle),
        mark_text=mark.text,
        left_over_arcsec=swivel.left_over_angle(half_angle, mark.half_angle) * ARCSEC,
        left_over_ratio=swivel.left_over_diameter(half_angle, mark.half_angle, 1.0),
    )


def _screw_rows(machine: MachineRecord, found: Sequence[TaperLine]) -> Iterator[ScrewRow]:
    """What one division does at each taper that the table reaches; nothing without a screw."""
    table, screw = machine.swivel, machine.swivel.screw
    if screw is None:
        return
    for line in found:
        half_angle = math.radians(line.half_angle_deg)
        if swivel.within_limit(half_angle, table.limit_rad):
            after = swivel.half_angle_after_screw(
                half_angle, 1.0, screw.type, screw.radius_mm, screw.lead_mm, screw.divisions
            )
            yield ScrewRow(
                line=line,
                arcsec=swivel.left_over_angle(after, half_angle) * ARCSEC,
                ratio=taper.ratio_from_half_angle(after) - line.ratio,
                indicator_mm=indicator_shows(machine, half_angle, after),
            )
