"""Where the table turns back: the stroke over the taper, and what the wheel keeps clear of."""

from cardgen.card import values
from cardgen.card.facts import Facts
from cardgen.compute import stroke
from cardgen.terms import INCH

CLEARANCE_MM = 1.0  # at a shoulder or a bottom, where the part states none: an assumption, no source
CLEARANCE_IN = 0.04 * INCH


def stroke_values(facts: Facts) -> values.Stroke:
    """The table's travel and where it reverses; a swivelled wheel head leaves only plunge grinding.

    The table then travels along the axis, not along the taper's surface.
    """
    part, wheel = facts.records.part, facts.records.wheel
    stated, half_angle = part.setup.overrun_mm, facts.geometry.half_angle
    overrun = stroke.common_overrun(wheel.width_mm) if stated is None else stated
    found = stroke.set_stroke(
        facts.geometry.length, half_angle, wheel.width_mm, overrun, _at_shoulder(facts, overrun)
    )
    plunge = found.plunge or facts.set_by == "wheel head"
    return values.Stroke(
        slant_mm=found.slant,
        overrun_open_mm=found.overrun_open,
        overrun_shoulder_mm=found.overrun_shoulder,
        wheel_width_mm=found.wheel_width,
        travel_mm=found.travel,
        plunge=plunge,
        open_both_ends=part.taper.open_both_ends,
        clearance_mm=_clearance(facts),
        reverse_at_shoulder_mm=None if plunge else found.reverse_at_shoulder,
        reverse_at_open_mm=None if plunge else found.reverse_at_open,
        past_open_end_mm=(
            stroke.past_open_end(found.slant, found.overrun_shoulder, found.wheel_width) if plunge else None
        ),
    )


def _at_shoulder(facts: Facts, overrun: float) -> float:
    """The overrun at the shoulder, or at a hole's inner end: as at the other end where nothing is."""
    kept, taper, half_angle = _clearance(facts), facts.records.part.taper, facts.geometry.half_angle
    if kept is not None:
        return stroke.clearance_overrun(kept, half_angle)
    return overrun if taper.open_both_ends else stroke.relief_overrun(taper.relief_mm, half_angle)


def _clearance(facts: Facts) -> float | None:
    """What the wheel's edge keeps clear of a shoulder without relief or a bottom; None where neither is."""
    part = facts.records.part
    if part.taper.open_both_ends or part.taper.relief_mm > 0:
        return None
    stated = part.setup.clearance
    return stated.value if stated is not None else usual_clearance(facts)


def usual_clearance(facts: Facts) -> float:
    """What the wheel's edge keeps off whatever stands in its way, where the part does not say."""
    return CLEARANCE_MM if facts.metric else CLEARANCE_IN
