"""From what the shop has: how near the swivel is first set, how the angle is proved, what may be out."""

import math
from collections.abc import Iterator

from cardgen.card import correcting, values
from cardgen.card.facts import Facts
from cardgen.card.setting import screw_division, test_bar_travels
from cardgen.compute import correction, first_setting, inspection, proof, swivel
from cardgen.terms import ProofMeans, ScaleShows, StartWay

# What shows no figure, only whether work and gauge have one taper: it can hold the work to the gauge's alone.
BY_GAUGE: tuple[ProofMeans, ...] = ("blue", "light gauge")

Way = tuple[StartWay, ScaleShows | None, float]  # the angle that it may leave over, rad


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
        return
    if bar is not None and indicator is not None:
        travels = [travel for travel in test_bar_travels(facts) if travel <= bar.length_mm]
        if travels:
            left = first_setting.by_test_bar(indicator, bar.straightness_mm, max(travels), half_angle)
            yield "test bar", None, left
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


def _needed(facts: Facts, over: float) -> float | None:
    """The stock to have on so that no end goes under when so large an error is put right."""
    contact = correcting.contact_length(facts)
    error = over * contact / facts.geometry.length
    if not correcting.leaves_a_taper(facts, error):
        return None
    return max(correcting.least_stock(facts, signed, contact) for signed in (error, -error))


def proof_values(facts: Facts) -> values.Proof:
    """The means of proof that shop and part have, the coarsest first, and the one that can decide."""
    limit, contact = facts.geometry.angle_limit, correcting.contact_length(facts)
    if limit is None:
        allowed = against_gauge = None
    else:
        allowed, against_gauge = (
            inspection.angle_change_on_diameter(2 * off, half_angle, contact)
            for off, half_angle in (
                (limit.half_zone, facts.geometry.aim_half_angle),
                (limit.nearest, facts.geometry.half_angle),
            )
        )
    means = []
    for name, sees in sorted(_seen(facts, contact), key=lambda each: -each[1]):
        within = against_gauge if name in BY_GAUGE else allowed
        means.append(values.MeansOfProof(name, sees, within is None or proof.decides(sees, within)))
    return values.Proof(allowed, tuple(means), next((each.means for each in means if each.decides), None))


def _seen(facts: Facts, contact: float) -> Iterator[tuple[ProofMeans, float]]:
    part, has = facts.records.part, facts.records.shop.proving
    yield "blue", correction.error_from_blue(facts.records.shop.blue_film_mm, 1.0)
    if facts.records.light_gauge is not None:
        yield "light gauge", correction.error_from_light_gap(has.light_gauge_mm, facts.geometry.half_angle)
    ground = facts.geometry.length - part.taper.relief_mm
    outside = part.taper.side == "external"
    if outside and has.rolls_mm is not None:
        yield "rolls", proof.two_readings_see(has.rolls_mm, ground, contact)
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
