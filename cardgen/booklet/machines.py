"""The swivel of each machine: scales, slip gauges, indicator and screw; the screw for an error of taper."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from cardgen import tapers, terms
from cardgen.booklet.basis import (
    HALF_ANGLE,
    TAPER,
    Basis,
    Tools,
    grid,
    length,
    own_length,
    round_length,
    round_lengths,
)
from cardgen.booklet.cones import ConeLine
from cardgen.booklet.tables import Amount, BookColumn, BookTable, Cell, Way, Worded
from cardgen.card.setting import (
    indicator_shows,
    indicator_type,
    mark_to_set,
    screw_turns,
    slips_show,
    within_wheel_head,
)
from cardgen.card.stacks import near_stack
from cardgen.compute import swivel, taper
from cardgen.digits import on_scale
from cardgen.spec.models import MachineRecord
from cardgen.spec.models.tooling import Screw
from cardgen.terms import ARCSEC, System

ALL_BUT_ONE = 5e-5  # a factor that is printed 1.0000
Told = dict[str, str | Amount]


def swivels(basis: Basis) -> Iterator[BookTable]:
    """Every machine's settings for the cones that it reaches, then its screw for an error of taper."""
    for machine in basis.machines:
        limit = machine.swivel.limit_rad
        told: Told = {"machine": machine.id, "machine_name": machine.name}
        within = [cone for cone in basis.settable if swivel.within_limit(cone.half_angle, limit)]
        beyond = [cone for cone in basis.settable if cone not in within]
        by_head = [cone for cone in beyond if within_wheel_head(machine, cone.half_angle)]
        not_at_all = [cone.label for cone in beyond if cone not in by_head]
        by_scale = [_scales(machine, within, not_at_all, told)] if within else []
        by_other_ways = list(_other_ways(machine, within, basis.tools[0], basis.systems, told))
        if by_scale and by_other_ways and len(machine.swivel.scales) == 1 and machine.swivel.slips is None:
            by_scale, by_other_ways = [_joined(*by_scale, *by_other_ways)], []
        yield from by_scale
        if by_head:
            rows = tuple(
                (cone.label, math.degrees(cone.half_angle), math.degrees(cone.half_angle)) for cone in by_head
            )
            columns = TAPER, HALF_ANGLE, BookColumn("degrees", Way("number", 5))
            yield BookTable("wheel_head", columns, rows, told=told)
        yield from by_other_ways
        if (screw := machine.swivel.screw) is not None:
            yield _correction(screw, basis.systems, told)


def _joined(scale: BookTable, other: BookTable) -> BookTable:
    """One scale, and the other ways to set the same tapers, in one line each."""
    rows = tuple((*one, *more[1:]) for one, more in zip(scale.rows, other.rows, strict=True))
    notes = (*scale.notes, *other.notes)
    columns = (*scale.columns, *other.columns[1:])
    return replace(scale, name="settings", columns=columns, rows=rows, notes=notes)


def _scales(
    machine: MachineRecord, within: Sequence[ConeLine], beyond: Sequence[str], told: Told
) -> BookTable:
    """For each scale the exact setting, the nearest mark, and what that leaves over, as angle and on ⌀."""
    limit, columns = machine.swivel.limit_rad, [TAPER, HALF_ANGLE]
    for scale in machine.swivel.scales:
        ways = {"exact": Way("plain"), "mark": Way()}
        ways |= {"left_over": Way("number", 1, signed=True), "on_diameter": Way("number", 3, signed=True)}
        columns += [
            BookColumn(key, way, group=f"of_{scale.shows}", told=scale.division.text)
            for key, way in ways.items()
        ]
    rows: list[tuple[Cell, ...]] = []
    for cone in within:
        row: list[Cell] = [cone.label, math.degrees(cone.half_angle)]
        for scale in machine.swivel.scales:
            mark = mark_to_set(scale, cone.half_angle, limit)
            exact = swivel.scale_value(scale.shows, cone.half_angle)
            row += [on_scale(exact, terms.scale(scale.shows).unit), _bare(mark.text)]
            row.append(swivel.left_over_angle(cone.half_angle, mark.half_angle) * ARCSEC)
            row.append(swivel.left_over_diameter(cone.half_angle, mark.half_angle, 1000.0))
        rows.append(tuple(row))
    limits = {"limit": Amount(math.degrees(limit), Way("plain", 3))}
    notes = [Worded("table_limit", told | limits)]
    if beyond:
        notes.append(Worded("not_to_be_set", told | {"tapers": "; ".join(beyond)}))
    return BookTable(
        "scales", tuple(columns), tuple(rows), told=told, worked=(len(rows) // 2, 3), notes=tuple(notes)
    )


def _bare(mark: str) -> str:
    """A mark as it is engraved, without the unit that the head gives."""
    for unit in terms.SCALE_UNITS:
        mark = mark.removesuffix(f" {unit}")
    return mark


def _other_ways(
    machine: MachineRecord, within: Sequence[ConeLine], tools: Tools, systems: tuple[System, ...], told: Told
) -> Iterator[BookTable]:
    """Slip gauges with their pieces, indicator and screw from straight; what one division of it turns."""
    table = machine.swivel
    ways: list[tuple[BookColumn, Callable[[float], Cell]]] = []
    notes: list[Worded] = []
    if table.slips is not None:
        ways += [
            (BookColumn("slips", length(4, each)), lambda angle: slips_show(machine, angle))
            for each in systems
        ]
        ways.append((BookColumn("pieces"), lambda angle: _pieces(machine, angle, tools.slip_set)))
        notes.append(
            Worded("slips_at", {"type": table.slips.type, "radius": own_length(table.slips.radius_mm)})
        )
    if table.indicator_radius_mm is not None:
        ways += [
            (BookColumn("indicator", length(3, each)), lambda angle: indicator_shows(machine, 0.0, angle))
            for each in systems
        ]
        at = {"type": indicator_type(machine), "radius": own_length(table.indicator_radius_mm)}
        notes.append(Worded("indicator_at", at))
    if (screw := table.screw) is not None:
        turns = BookColumn("screw", Way("turns", screw.divisions))
        ways.append((turns, lambda angle: screw_turns(machine, 0.0, angle)))
        ways.append(
            (BookColumn("one_division", Way("number", 2)), lambda angle: _division(screw, angle) * ARCSEC)
        )
        if abs(_per_ratio(screw, table.limit_rad) / _per_ratio(screw, 0.0) - 1) > ALL_BUT_ONE:
            ways.append(
                (
                    BookColumn("factor", Way("number", 4)),
                    lambda angle: _per_ratio(screw, angle) / _per_ratio(screw, 0.0),
                )
            )
        notes.append(Worded("screw_at", {"divisions": str(screw.divisions)}))
    if ways and within:
        rows = tuple((cone.label, *(figure(cone.half_angle) for _, figure in ways)) for cone in within)
        columns = TAPER, *(column for column, _ in ways)
        yield BookTable("ways", columns, rows, told=told, notes=tuple(notes))


def _pieces(machine: MachineRecord, half_angle: float, slip_set: tapers.SlipSet | None) -> str | None:
    height = slips_show(machine, half_angle)
    stack = near_stack(height, slip_set) if height is not None else None
    return " + ".join(stack.pieces_text) if stack is not None else None


def _division(screw: Screw, half_angle: float) -> float:
    """What one division of the screw more turns the table by, rad."""
    of_screw = screw.type, screw.radius_mm, screw.lead_mm, screw.divisions
    return swivel.half_angle_after_screw(half_angle, 1.0, *of_screw) - half_angle


def _per_ratio(screw: Screw, half_angle: float) -> float:
    """Divisions for a change of the taper ratio, small, at this half angle.

    Less has to be turned as cos²θ falls, and a division turns more or less according to the screw's swing.
    """
    a_division = swivel.screw_division_angle(
        screw.type, screw.radius_mm, screw.lead_mm, screw.divisions, half_angle
    )
    return 1 / (taper.ratio_change_per_angle(half_angle) * a_division)


def _correction(screw: Screw, systems: tuple[System, ...], told: Told) -> BookTable:
    """Divisions of the screw for an error of taper over a length, at a taper of next to nothing."""
    per_ratio, columns, parts = _per_ratio(screw, 0.0), [], []
    for system in systems:
        lengths, errors = round_lengths("contacts", system), round_lengths("small_errors", system)
        columns.append(BookColumn(f"error_{system}", length(4, system)))
        columns += [
            BookColumn("divisions", Way("number", 2), round_length(over, system), f"divisions_{system}")
            for over in lengths
        ]
        parts.append(grid(errors, lengths, lambda error, over: error / over * per_ratio))
    rows = tuple(tuple(cell for part in line for cell in part) for line in zip(*parts, strict=True))
    return BookTable("screw", tuple(columns), rows, told=told, worked=(7, 3))
