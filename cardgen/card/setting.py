"""The swivel setting on this machine: scales, test bar, slip gauges, indicator, screw, wheel head."""

import math
import re
from dataclasses import dataclass

from cardgen import terms
from cardgen.card import values
from cardgen.card.facts import Facts
from cardgen.card.stacks import near_stack, shop_slip_set
from cardgen.compute import swivel
from cardgen.digits import engraved_mark
from cardgen.spec.models.tooling import MachineRecord, ScaleRecord, TestBar
from cardgen.terms import ARCSEC, INCH

TRAVELS_MM = (50.0, 100.0, 200.0, 300.0)
TRAVELS_IN = (2.0, 4.0, 8.0, 12.0)
FRACTION = re.compile(r"\d\s*/\s*\d")  # in a division's own text, where a unit may have a stroke too


def swivel_values(facts: Facts, starts: tuple[values.Start, ...]) -> values.Swivel:
    """How this machine's table, or its wheel head, is set to the half angle; starts: the ways, best first."""
    machine, half_angle = facts.records.machine, facts.geometry.aim_half_angle
    table = machine.swivel
    by_table = facts.set_by == "table"
    slips, screw = table.slips, table.screw
    slip_height = slips_show(machine, half_angle) if by_table else None
    screw_angle = screw_division(facts)
    return values.Swivel(
        machine=machine.id,
        machine_name=machine.name,
        set_by=facts.set_by,
        half_angle_deg=math.degrees(half_angle),
        limit_deg=math.degrees(table.limit_rad),
        beyond_limit=not swivel.within_limit(half_angle, table.limit_rad),
        more_taper_moves=_table_moves(facts),
        starts=starts,
        scales=tuple(_scale(facts, scale) for scale in table.scales),
        test_bar=(
            tuple(_rise(facts, travel) for travel in test_bar_travels(facts))
            if by_table or machine.wheel_head.test_bar is not None
            else ()
        ),
        bar_rise=_bar_rise(facts),
        slip_type=slips.type if slips is not None else None,
        slip_radius_mm=slips.radius_mm if slips is not None else None,
        slip_mm=slip_height,
        slip_stack=near_stack(slip_height, shop_slip_set(facts)) if slip_height is not None else None,
        indicator_radius_mm=table.indicator_radius_mm if by_table else machine.wheel_head.indicator_radius_mm,
        indicator_mm=indicator_travel(facts, 0.0, half_angle) if by_table else None,
        screw_division_arcsec=screw_angle * ARCSEC if screw_angle is not None else None,
        screw_more_turns=screw.more if screw is not None else None,
        screw_take_up_play=screw.take_up_play if screw is not None else None,
        wheel_head=_wheel_head(facts),
    )


def table_angle(facts: Facts) -> float:
    """Where the table stands when the taper is right: at the half angle; straight, if the head carries it."""
    return facts.geometry.aim_half_angle if facts.set_by == "table" else 0.0


def screw_division(facts: Facts) -> float | None:
    """What one division of the table's screw turns, rad; None without one, or where the head is turned."""
    screw = facts.records.machine.swivel.screw
    if screw is None or facts.set_by == "wheel head":
        return None
    return swivel.screw_division_angle(
        screw.type, screw.radius_mm, screw.lead_mm, screw.divisions, facts.geometry.aim_half_angle
    )


def indicator_travel(facts: Facts, turned_from: float, turned_to: float) -> float | None:
    """What an indicator shows between two angles, at the table's end or against the head; None without one.

    Against the head it is the chord at its radius, wherever the head stands.
    """
    if facts.set_by == "table":
        return indicator_shows(facts.records.machine, turned_from, turned_to)
    radius = facts.records.machine.wheel_head.indicator_radius_mm
    if radius is None:
        return None
    return swivel.indicator_travel("chord", radius, 0.0, turned_to - turned_from)


def indicator_shows(machine: MachineRecord, turned_from: float, turned_to: float) -> float | None:
    """The same on a machine, whatever the part: the one rule, for cards and booklets."""
    radius = machine.swivel.indicator_radius_mm
    if radius is None:
        return None
    return swivel.indicator_travel(indicator_type(machine), radius, turned_from, turned_to)


def indicator_type(machine: MachineRecord) -> terms.SwingType:
    """How the indicator measures the swing: as the record says, else as the screw does, else tangent."""
    table = machine.swivel
    return table.indicator_type or (table.screw.type if table.screw is not None else "tangent")


def screw_divisions(facts: Facts, turned_from: float, turned_to: float) -> float | None:
    """Divisions of the adjusting screw between two angles of the table; None as for `screw_division`."""
    if facts.set_by == "wheel head":
        return None
    return screw_turns(facts.records.machine, turned_from, turned_to)


def screw_turns(machine: MachineRecord, turned_from: float, turned_to: float) -> float | None:
    """The same on a machine, whatever the part; None without a screw."""
    screw = machine.swivel.screw
    if screw is None:
        return None
    return swivel.screw_divisions_between(
        turned_from, turned_to, screw.type, screw.radius_mm, screw.lead_mm, screw.divisions
    )


def slips_show(machine: MachineRecord, half_angle: float) -> float | None:
    """The height of slip gauges from straight to a half angle; None where the table has no place for them."""
    slips = machine.swivel.slips
    return swivel.slip_height(slips.type, slips.radius_mm, half_angle) if slips is not None else None


def within_wheel_head(machine: MachineRecord, half_angle: float) -> bool:
    """Whether the machine has a wheel head that swivels to a half angle."""
    head = machine.wheel_head
    return head.swivels and (head.limit_rad is None or swivel.within_limit(half_angle, head.limit_rad))


@dataclass(frozen=True)
class NearestMark:
    """The mark of a scale to set for a half angle, as a number, as it is engraved, and as a half angle."""

    number: float
    text: str
    half_angle: float  # rad


def mark_to_set(scale: ScaleRecord, half_angle: float, limit: float) -> NearestMark:
    """The mark nearest to a half angle that the swivel reaches: the one rule, for cards and booklets."""
    division = swivel.as_engraved(scale.shows, scale.division.value)
    number = swivel.reachable_mark(scale.shows, half_angle, division, limit)
    text = engraved_mark(number, terms.scale(scale.shows).unit, bool(FRACTION.search(scale.division.text)))
    return NearestMark(number, text, swivel.half_angle_at_mark(scale.shows, number))


def _scale(facts: Facts, scale: ScaleRecord) -> values.ScaleSetting:
    half_angle, limit = facts.geometry.aim_half_angle, facts.records.machine.swivel.limit_rad
    mark = mark_to_set(scale, half_angle, limit)
    at_mark = mark.half_angle
    return values.ScaleSetting(
        shows=scale.shows,
        unit=terms.scale(scale.shows).unit,
        exact=swivel.scale_value(scale.shows, half_angle),
        division=swivel.as_engraved(scale.shows, scale.division.value),
        division_text=scale.division.text,
        mark=mark.number,
        mark_text=mark.text,
        left_over_arcsec=swivel.left_over_angle(half_angle, at_mark) * ARCSEC,
        left_over_mm=swivel.left_over_diameter(half_angle, at_mark, facts.geometry.length),
        left_over_screw_divisions=screw_divisions(facts, at_mark, half_angle),
        within_limit=swivel.within_limit(half_angle, limit),
    )


def test_bar_travels(facts: Facts) -> tuple[float, ...]:
    """The round travels along a test bar that a rise is told for, mm."""
    return TRAVELS_MM if facts.metric else tuple(travel * INCH for travel in TRAVELS_IN)


def longest_travel(facts: Facts, bar: TestBar) -> float | None:
    """The longest of them for which this bar is long enough; None where none is.

    A bar between centres lies along the travel but for a few degrees, one on a swivelled head does not.
    """
    reach = bar.length_mm
    if bar is facts.records.machine.wheel_head.test_bar:
        reach *= math.cos(facts.geometry.aim_half_angle)
    return max((travel for travel in test_bar_travels(facts) if travel <= reach), default=None)


def _rise(facts: Facts, travel: float) -> values.TestBarRise:
    return values.TestBarRise(travel, swivel.test_bar_rise(travel, facts.geometry.aim_half_angle))


def _bar_rise(facts: Facts) -> values.TestBarRise | None:
    """Along the bar between centres, or on the spindle of a head that carries the angle."""
    bar = (
        facts.records.shop.proving.test_bar
        if facts.set_by == "table"
        else facts.records.machine.wheel_head.test_bar
    )
    travel = longest_travel(facts, bar) if bar is not None else None
    return _rise(facts, travel) if travel is not None else None


def _wheel_head(facts: Facts) -> values.WheelHead | None:
    head, half_angle = facts.records.machine.wheel_head, facts.geometry.aim_half_angle
    if not head.swivels:
        return None
    return values.WheelHead(
        half_angle_deg=math.degrees(half_angle),
        within_limit=head.limit_rad is None or swivel.within_limit(half_angle, head.limit_rad),
        more_taper_turns=_head_turns(facts.records.machine),
    )


def _head_turns(machine: MachineRecord) -> terms.Rotation:
    """How the wheel head turns for more taper: by its own record, else as the work that the table's suits.

    The head lays the wheel's face along the work: where the table would bring the tailstock end towards the
    wheel, the head turns clockwise, outside and on the operator's wall of a hole alike.
    """
    own = machine.wheel_head.more_taper
    if own is not None:
        return own
    towards = machine.swivel.more_taper == "tailstock end towards wheel"
    return "clockwise" if towards else "anticlockwise"


def _table_moves(facts: Facts) -> terms.TableMoves:
    """How the table turns for more taper; work that suits a swivelled head is held as the head needs it."""
    machine = facts.records.machine
    if facts.set_by == "table":
        return machine.swivel.more_taper
    towards = _head_turns(machine) == "clockwise"
    return "tailstock end towards wheel" if towards else "tailstock end away from wheel"
