"""From what the shop has: how near the swivel is first set, how the angle is proved, what may be out."""

import math
from collections.abc import Iterator
from dataclasses import replace

from cardgen.card import correcting, values
from cardgen.card.facts import Facts, Records
from cardgen.card.proving import rolls_raise
from cardgen.card.setting import longest_travel, screw_division
from cardgen.compute import correction, first_setting, inspection, proof, swivel
from cardgen.compute.sum_error import SumError
from cardgen.spec.models.tooling import TestBar
from cardgen.terms import INCH, ProofMeans, ScaleShows, StartWay

# What shows no figure, only whether work and gauge have one taper: it leads to no other that is aimed at.
BY_GAUGE: tuple[ProofMeans, ...] = ("blue", "light gauge")

Way = tuple[StartWay, ScaleShows | None, float]  # the angle that it may leave over, rad


def with_bars(records: Records) -> Records:
    """The same shop with what sets any swivel nearly: bars between centres and on the spindle, an indicator.

    What it has it keeps. How sure they are is common practice, no source.
    """
    has, head = records.shop.proving, records.machine.wheel_head
    metric = records.part.units != "inch"
    indicator = 0.001 if metric else 0.00005 * INCH
    proving = has.model_copy(
        update={
            "test_bar": has.test_bar or _bar(300.0 if metric else 12 * INCH, metric),
            "indicator_mm": min(has.indicator_mm or indicator, indicator),
        }
    )
    head = head.model_copy(update={"test_bar": head.test_bar or _bar(150.0 if metric else 6 * INCH, metric)})
    return replace(
        records,
        shop=records.shop.model_copy(update={"proving": proving}),
        machine=records.machine.model_copy(update={"wheel_head": head}),
    )


def _bar(length_mm: float, metric: bool) -> TestBar:
    return TestBar.model_construct(length_mm=length_mm, straightness_mm=0.002 if metric else 0.0001 * INCH)


def starts(facts: Facts) -> tuple[values.Start, ...]:
    """The ways to set the swivel in this shop, the one that leaves least over first."""
    half_angle, length = facts.geometry.aim_half_angle, facts.geometry.length
    found = []
    for way, scale, left in _ways(facts):
        over = first_setting.on_diameter(left, half_angle, length)
        found.append(values.Start(way, scale, over, _needed(facts, over)))
    return tuple(sorted(found, key=lambda start: start.leaves_mm))


def _ways(facts: Facts) -> Iterator[Way]:
    shop, table, half_angle = facts.records.shop, facts.records.machine.swivel, facts.geometry.aim_half_angle
    scale_error, indicator, bar = shop.rehearsal.scale_rad, shop.proving.indicator_mm, shop.proving.test_bar
    if facts.set_by == "wheel head":
        yield "wheel head", None, scale_error
        # The head stands to the ways, and so must the work: the table's nought is found by a bar of its own.
        head = _by_bar(facts, facts.records.machine.wheel_head.test_bar, half_angle)
        nought = _by_bar(facts, bar, 0.0)
        if head is not None and nought is not None:
            yield "spindle bar", None, head + nought
        return
    by_bar = _by_bar(facts, bar, half_angle)
    if by_bar is not None:
        yield "test bar", None, by_bar
    if indicator is not None and table.slips is not None:
        yield "slips", None, first_setting.by_swing(indicator, table.slips.radius_mm, half_angle)
    if indicator is not None and table.indicator_radius_mm is not None:
        # From the table's zero, which is no surer than its scale.
        left = first_setting.by_swing(indicator, table.indicator_radius_mm, half_angle)
        yield "indicator", None, scale_error + left
    screw = screw_division(facts)
    if swivel.within_limit(half_angle, table.limit_rad):
        for each in table.scales:
            division = swivel.as_engraved(each.shows, each.division.value)
            mark = swivel.scale_value(each.shows, half_angle)
            one = swivel.half_angle_at_mark(each.shows, mark + division) - half_angle
            yield "scale", each.shows, first_setting.by_scale(scale_error, one, screw)


def _by_bar(facts: Facts, bar: TestBar | None, half_angle: float) -> float | None:
    """What an indicator leaves over along the longest travel for a bar at this angle; None without."""
    indicator = facts.records.shop.proving.indicator_mm
    if bar is None or indicator is None:
        return None
    travel = longest_travel(facts, bar)
    if travel is None:
        return None
    return first_setting.by_test_bar(indicator, bar.straightness_mm, travel, half_angle)


def _needed(facts: Facts, over: float) -> float | None:
    """The stock to have on so that no end goes under when so large an error is put right."""
    error = over * facts.contact / facts.geometry.length
    if not correcting.leaves_a_taper(facts, error):
        return None
    try:
        return max(correcting.least_stock(facts, signed) for signed in (error, -error))
    except SumError:  # so far out that the gauge no longer meets the work
        return None


def proof_values(facts: Facts) -> values.Proof:
    """The means of proof that shop and part have, the coarsest first, and the one that can decide."""
    limit, contact = facts.geometry.angle_limit, facts.contact
    allowed = None
    if limit is not None:
        half_angle = facts.geometry.aim_half_angle
        allowed = inspection.angle_change_on_diameter(2 * limit.half_zone, half_angle, contact)
    means = []
    for name, sees in sorted(_seen(facts, contact), key=lambda each: -each[1]):
        misled = limit is not None and limit.aim != 0 and name in BY_GAUGE
        sees_enough = allowed is None or proof.decides(sees, allowed)
        means.append(values.MeansOfProof(name, sees, sees_enough and not misled))
    decided = next((each.means for each in means if each.decides), None)
    found = values.Proof(allowed, tuple(means), decided, None)
    by, turned = turned_above(found)
    off = correcting.measured_off(facts, turned) if by in ("rolls", "balls") else None
    return replace(found, measured_within_mm=abs(off) if off is not None else None)


def turned_above(proved: values.Proof) -> tuple[ProofMeans, float]:
    """The means by which the angle is proved, and the error shown above which the swivel is turned."""
    by = proved.decided_by or proved.means[-1].means
    sees = next(each.sees_mm for each in proved.means if each.means == by)
    if by in BY_GAUGE or proved.tolerance_mm is None:
        return by, sees
    return by, proof.turned_above(sees, proved.tolerance_mm)


def _seen(facts: Facts, contact: float) -> Iterator[tuple[ProofMeans, float]]:
    part, has = facts.records.part, facts.records.shop.proving
    yield "blue", correction.error_from_blue(facts.records.shop.blue_film_mm, 1.0)
    if facts.records.light_gauge is not None:
        yield "light gauge", correction.error_from_light_gap(has.light_gauge_mm, facts.geometry.half_angle)
    ground = facts.geometry.length - part.taper.relief_mm
    outside = part.taper.side == "external"
    if outside and has.rolls_mm is not None:
        yield "rolls", proof.two_readings_see(has.rolls_mm, rolls_raise(facts), contact)
    if not outside and has.balls_mm is not None:
        yield "balls", proof.two_readings_see(has.balls_mm, ground, contact)
    if has.sine_bar_mm is not None:
        yield "sine bar", proof.two_readings_see(has.sine_bar_mm, ground, contact)


def out_by(facts: Facts) -> values.OutBy:
    """How far shop and machine may be out, as the shop's record says or assumes."""
    known = facts.records.shop.rehearsal
    return values.OutBy(
        scale_arcmin=math.degrees(known.scale_rad) * 60,
        pivot_mm=known.pivot_mm,
        film_factor=known.film,
        temperature_k=known.temperature_k,
        repeatability_mm=known.repeatability_mm,
        wear_factor=known.wear,
    )
