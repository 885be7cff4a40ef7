"""Figures that can be reckoned with and hardly meant: a unit mistaken, a nought too many, a wrong record."""

from collections.abc import Iterator

from cardgen import terms
from cardgen.bounds import table
from cardgen.card import values
from cardgen.card.facts import Facts
from cardgen.card.finding import Finding, Place
from cardgen.compute import seat
from cardgen.compute.sum_error import SumError
from cardgen.digits import rpm_text, speed_text

SLOW_M_S, SLOW_IN_A_BORE_M_S = 15.0, 10.0  # least surface speed of a wheel; common practice, from memory
WIDEST = 2.0  # a wheel's width to its diameter; common practice, no source
APART = 3.0  # radii of one swivel, the largest to the smallest; common practice, no source
USUAL_RADII = 300.0, 800.0  # mm, of most tables; common practice, no source
LIKELY_RADII = 50.0, 3000.0  # mm, of any table; common practice, no source


def nonsense(facts: Facts, card: values.Card) -> Iterator[Finding]:
    """Everything about a part that looks like a slip of the pen."""
    yield from _off_piece(facts)
    yield from _finish_off_piece(facts, card)
    yield from _gauge_to_a_point(facts)
    yield from _unground(facts, card)
    yield from _relief(facts)
    yield from _wheel(facts, card)
    yield from _radii(facts)


def can_be_read(facts: Facts, reading_mm: float) -> bool:
    """Whether the gauge, anywhere on this piece, could show such a reading."""
    if terms.reading(facts.kind).closes and reading_mm < 0:
        return False
    try:
        seat.contact_ends(facts.seat, (reading_mm - facts.geometry.finish_reading) * facts.per_reading)
    except SumError:
        return False
    return True


def _off_piece(facts: Facts) -> Iterator[Finding]:
    """The fullest blank still shows a reading on this gauge."""
    most = facts.allowances.blank_high
    shown = facts.geometry.finish_reading + most / facts.per_reading
    if not can_be_read(facts, shown) or (terms.reading(facts.kind).from_plane and shown < 0):
        yield Finding(
            "error",
            "reading-off-piece",
            facts.place("stock.blank"),
            f"with {facts.told(most)} on, gauge {facts.records.gauge.id} would read {facts.told(shown)}, "
            f"which cannot be on a taper {facts.told(facts.geometry.length)} long",
            "correct the stock of the blank, its unit too, or name a gauge that takes it",
        )


def _finish_off_piece(facts: Facts, card: values.Card) -> Iterator[Finding]:
    """A finished piece, at either limit of its size, shows a reading that a hand can take."""
    length = facts.geometry.length
    far = table()["reading.lengths"].most * length
    for limit in (card.reading.finish_low_mm, card.reading.finish_high_mm):
        off = facts.seat.gauge_large_end <= facts.seat.small_end  # a plug that falls through
        if off or abs(limit) > far or not can_be_read(facts, limit):
            yield Finding(
                "error",
                "reading-off-piece",
                facts.place("gauging.gauge"),
                f"a finished piece would read {facts.told(limit)} on gauge {facts.records.gauge.id}, and the "
                f"taper is {facts.told(length)} long",
                "correct the gauge's length, the tolerance or the planes, their units too",
            )
            return


def _gauge_to_a_point(facts: Facts) -> Iterator[Finding]:
    """A gauge has a small end."""
    gauge, shape = facts.records.gauge, facts.geometry
    if shape.gauge_diameter - shape.ratio * gauge.length_mm <= 0:
        yield Finding(
            "error",
            "small-end-vanishes",
            Place("gauge", gauge.id, "length"),
            f"gauge {gauge.id} would run out to a point within its length of {facts.told(gauge.length_mm)}",
            "correct its length, its diameter or its taper, the unit too",
        )


def _unground(facts: Facts, card: values.Card) -> Iterator[Finding]:
    """Where the wheel keeps clear, a band stays as it was: a gauge that reaches it is held off by it."""
    kept, lies = card.stroke.clearance_mm, facts.seat
    if kept is None:
        return
    outside = lies.side == "external"
    off = lies.large_end - lies.gauge_large_end if outside else lies.gauge_small_end - lies.small_end
    if off < kept:
        yield Finding(
            "warning",
            "gauge-on-unground",
            facts.place("setup.clearance"),
            f"on a finished piece the gauge comes to {facts.told(off)} from the "
            f"{'shoulder' if outside else 'bottom'}; the wheel leaves the last {facts.told(kept)} unground",
            "give a relief there, or use a gauge that keeps farther off",
        )


def _relief(facts: Facts) -> Iterator[Finding]:
    relief, plane = facts.records.part.taper.relief_mm, facts.geometry.line_from_face
    if relief > plane + 1e-9 and facts.records.part.taper.side == "external":
        yield Finding(
            "warning",
            "relief-over-gauge-line",
            facts.place("taper.relief"),
            f"the relief of {facts.told(relief)} takes in the gauge line, {facts.told(plane)} "
            "from the shoulder",
            "correct the one that is wrong; if both are right, no diameter can be measured at the gauge line",
        )


def _wheel(facts: Facts, card: values.Card) -> Iterator[Finding]:
    wheel, run = facts.records.wheel, card.speeds
    least = SLOW_M_S if card.taper.side == "external" else SLOW_IN_A_BORE_M_S
    limit = table()["wheel.surface_speed"]
    if not limit.allows(run.wheel_m_s.worn):
        yield Finding(
            "error",
            "wheel-stands",
            facts.place("wheel"),
            f"at {run.wheel_rpm:g} rpm the worn wheel {wheel.id} would run at {run.wheel_m_s.worn:.2g} m/s, "
            "which grinds nothing",
            "correct its diameter or the speed, the unit too",
        )
    elif run.wheel_m_s.new < least:
        yield Finding(
            "warning",
            "wheel-slow",
            facts.place("wheel"),
            f"at {rpm_text(run.wheel_rpm)} the new wheel {wheel.id} runs at "
            f"{speed_text(run.wheel_m_s.new)}; below {speed_text(least)} it acts soft and wears away",
            "name the wheel that belongs to this machine, or set a faster speed within its marking",
        )
    if wheel.width_mm > WIDEST * wheel.diameter.new_mm:
        yield Finding(
            "warning",
            "wheel-out-of-shape",
            Place("wheel", wheel.id, "width"),
            f"the wheel is {facts.told(wheel.width_mm)} wide and {facts.told(wheel.diameter.new_mm)} across",
            "correct the one that is wrong, its unit too",
        )


def _radii(facts: Facts) -> Iterator[Finding]:
    """Screw, slips and indicator of one table act at places of the same table, none of them a mile off."""
    table, machine = facts.records.machine.swivel, facts.records.machine.id
    given = {
        "swivel.screw.radius": table.screw.radius_mm if table.screw is not None else None,
        "swivel.slips.radius": table.slips.radius_mm if table.slips is not None else None,
        "swivel.indicator_radius": table.indicator_radius_mm,
    }
    radii = {key: radius for key, radius in given.items() if radius is not None}
    if len(radii) > 1 and max(radii.values()) > APART * min(radii.values()):
        told = ", ".join(f"{key} {facts.told(radius)}" for key, radius in radii.items())
        yield Finding(
            "warning",
            "radii-disagree",
            Place("machine", machine, _odd_one(radii)),
            f"the radii of the table of {machine} lie more than {APART:g} times apart: {told}",
            "measure them, from the pivot; set by none of them until then",
        )
        return
    least, most = LIKELY_RADII
    for key, radius in radii.items():
        if not least <= radius <= most:
            yield Finding(
                "warning",
                "radius-unlikely",
                Place("machine", machine, key),
                f"{key} of {machine} is {facts.told(radius)}; tables have {facts.told(least)} to "
                f"{facts.told(most)}",
                "measure it, from the pivot; do not set by it until then",
            )


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
