"""Figures that can be reckoned with and hardly meant: a unit mistaken, a nought too many, a wrong record."""

from collections.abc import Iterator

from cardgen import terms
from cardgen.bounds import table
from cardgen.card import values
from cardgen.card.at_the_bench import can_be_read
from cardgen.card.facts import Facts
from cardgen.card.finding import Finding

SLOW_M_S, SLOW_IN_A_BORE_M_S = 15.0, 10.0  # least surface speed of a wheel; common practice, from memory
WIDEST = 2.0  # a wheel's width to its diameter; common practice, no source
APART = 3.0  # radii of one swivel, the largest to the smallest; common practice, no source
USUAL_RADII = 300.0, 800.0  # mm, of most tables; common practice, no source
LIKELY_RADII = 50.0, 3000.0  # mm, of any table; common practice, no source


def nonsense(facts: Facts, card: values.Card) -> Iterator[Finding]:
    """Everything about a part that looks like a slip of the pen."""
    yield from _readings(facts, card)
    yield from _gauge(facts, card)
    yield from _wheel(facts, card)
    yield from _radii(facts)


def _readings(facts: Facts, card: values.Card) -> Iterator[Finding]:
    """The fullest blank, and a finished piece at either limit of its size, show what a hand can read."""
    length, most = facts.geometry.length, facts.allowances.blank_high
    shown = facts.geometry.finish_reading + most / facts.per_reading
    before_plane = terms.reading(facts.kind).from_plane and shown < 0
    if before_plane or not can_be_read(facts.seat, facts.sizing, shown):
        yield facts.found("reading-off-piece", most=most, shown=shown, length=length)
    far = table()["reading.lengths"].most * length
    for limit in (card.reading.finish_low_mm, card.reading.finish_high_mm):
        off = facts.seat.gauge_large_end <= facts.seat.small_end  # a plug that falls through
        if off or abs(limit) > far or not can_be_read(facts.seat, facts.sizing, limit):
            yield facts.found("reading-off-piece/finished", limit=limit, length=length)
            return


def _gauge(facts: Facts, card: values.Card) -> Iterator[Finding]:
    """A gauge has a small end, and lies on what is ground."""
    gauge, shape, lies = facts.records.gauge, facts.geometry, facts.seat
    if shape.gauge_diameter - shape.ratio * gauge.length_mm <= 0:
        yield facts.found("small-end-vanishes/gauge", length=gauge.length_mm)
    outside, kept = lies.side == "external", card.stroke.clearance_mm
    off = lies.large_end - lies.gauge_large_end if outside else lies.gauge_small_end - lies.small_end
    if kept is not None and off < kept:  # the band that the wheel keeps clear of holds it off
        yield facts.found("gauge-on-unground", off=off, kept=kept)
    relief, plane = facts.records.part.taper.relief_mm, shape.line_from_face
    if relief > plane + 1e-9 and outside:
        yield facts.found("relief-over-gauge-line", relief=relief, plane=plane)


def _wheel(facts: Facts, card: values.Card) -> Iterator[Finding]:
    wheel, run = facts.records.wheel, card.speeds
    least = SLOW_M_S if card.taper.side == "external" else SLOW_IN_A_BORE_M_S
    if not table()["wheel.surface_speed"].allows(run.wheel_m_s.worn):
        yield facts.found("wheel-stands", rpm=run.wheel_rpm, runs=run.wheel_m_s.worn)
    elif run.wheel_m_s.new < least:
        yield facts.found("wheel-slow", rpm=run.wheel_rpm, runs=run.wheel_m_s.new, least=least)
    wide, across = wheel.width_mm, wheel.diameter.new_mm
    if wide > WIDEST * across:
        yield facts.found("wheel-out-of-shape", wide=wide, across=across)


def _radii(facts: Facts) -> Iterator[Finding]:
    """Screw, slips and indicator of one table act at places of the same table, none of them a mile off."""
    table = facts.records.machine.swivel
    given = {
        "swivel.screw.radius": table.screw.radius_mm if table.screw is not None else None,
        "swivel.slips.radius": table.slips.radius_mm if table.slips is not None else None,
        "swivel.indicator_radius": table.indicator_radius_mm,
    }
    radii = {key: radius for key, radius in given.items() if radius is not None}
    if len(radii) > 1 and max(radii.values()) > APART * min(radii.values()):
        told = ", ".join(f"{key} {facts.told(radius)}" for key, radius in radii.items())
        yield facts.found("radii-disagree", at=_odd_one(radii), times=APART, told=told)
        return
    least, most = LIKELY_RADII
    for key, radius in radii.items():
        if not least <= radius <= most:
            yield facts.found("radius-unlikely", at=key, which=key, radius=radius, least=least, most=most)


def _odd_one(radii: dict[str, float]) -> str:
    """The key of the radius that is likeliest wrong.

    Of three it is the one farthest from the middle one. Two say nothing about each other: there it is
    the one farther from what tables have.
    """
    if len(radii) > 2:
        middle = sorted(radii.values())[1]
        least, most = middle, middle
    else:
        least, most = USUAL_RADII
    return max(radii, key=lambda key: max(radii[key] / most, least / radii[key]))
