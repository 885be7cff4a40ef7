"""Whether what a print gives beyond enough agrees with the rest, as far as rounding and tolerance explain."""

from collections.abc import Iterator

from cardgen.card.called import Called, GivenDiameter, ratio_of, sure
from cardgen.card.finding import Finding
from cardgen.compute import taper
from cardgen.spec.quantity import Tolerance
from cardgen.terms import Level

NOISE = 1e-9  # mm: what is nearer than this is alike
TOLD_FROM = 1e-6  # mm: the card's maker is told of any disagreement above this


def gauge_taper(called: Called) -> Iterator[Finding]:
    """The gauge's own taper against the part's, over what they share."""
    own, over = ratio_of(called.gauge.taper.callout), min(called.length.value, called.gauge.length_mm)
    apart = abs(taper.far_end_disagreement(called.ratio.value, own.value, over))
    explained = (called.ratio.half_digit + own.half_digit) * over + NOISE
    if apart > explained + called.angle_on_diameter(over):
        yield called.found("gauge-other-taper", apart=apart, over=over)
    elif apart > explained:
        yield called.found("gauge-taper-differs", apart=apart, over=over)


def placing(called: Called) -> Iterator[Finding]:
    """Something places the taper along its axis: a diameter in its plane, the finish reading, a standard."""
    if called.diameters or called.part.gauging.finish is not None:
        return
    line, callout = sure(called.part.taper.gauge_line.diameter), called.part.taper.callout
    if callout is not None and callout.standard:
        yield called.found("gauge-line-at-face", callout=callout.text)
    else:
        yield called.found("gauge-line-unplaced", line=line.value)


def diameters(called: Called, face_diameter: float) -> Iterator[Finding]:
    """Every further diameter against the first, in its own plane, the far end among them."""
    tolerance = called.part.taper.gauge_line.tolerance
    on_line = 0.0 if tolerance is None else max(tolerance.minus, tolerance.plus)
    for other in called.diameters[1:]:
        first = called.diameters[0]
        apart = other.diameter.value - taper.diameter_at(face_diameter, called.ratio.value, other.plane.value)
        if abs(apart) <= TOLD_FROM:
            continue
        between = abs(other.plane.value - first.plane.value)
        explained = _rounding(called, first) + _rounding(called, other) + called.ratio.half_digit * between
        yield called.found(
            "figures-disagree",
            at=other.key,
            level=_level(abs(apart), called.angle_on_diameter(between) + on_line, explained),
            first=first,
            other=other,
            apart=apart,
            explained=explained,
        )


def _rounding(called: Called, given: GivenDiameter) -> float:
    """What the last digits of a diameter and of its plane leave open."""
    return given.diameter.half_digit + called.ratio.value * given.plane.half_digit


def _level(apart: float, allowed: float, explained: float) -> Level:
    if apart > allowed + explained + NOISE:
        return "error"
    return "warning" if apart > allowed + NOISE else "note"  # a warning: only the rounding explains it


def extent(called: Called, line_diameter: float, line_from_face: float, small: float) -> Iterator[Finding]:
    """The gauge line lies on the taper, and the taper does not run out to a point."""
    if called.diameters and not -NOISE <= line_from_face <= called.length.value + NOISE:
        yield called.found("gauge-line-off-taper", line=line_diameter, from_face=line_from_face)
    if small <= 0:
        key = called.diameters[0].key if called.diameters else ""
        yield called.found("small-end-vanishes", at=key, line=line_diameter, length=called.length.value)


def finish_reading(called: Called, found: float) -> Iterator[Finding]:
    """The finish reading that the print gives against that of a piece at its basic size in this gauge."""
    given = called.part.gauging.finish
    if given is None or abs(found - given.nominal) <= NOISE:
        return
    apart = found - given.nominal
    if -given.minus - given.half_digit - NOISE <= apart <= given.plus + given.half_digit + NOISE:
        calibrated = called.gauge_diameter
        yield called.found("finish-from-gauge", found=found, given=given.text, calibrated=calibrated)
    else:
        allowed = max(given.minus, given.plus) + given.half_digit
        yield called.found(
            "finish-disagrees", given=given.text, found=found, apart=abs(apart), allowed=allowed
        )


def tolerances(called: Called) -> Iterator[Finding]:
    """The tolerance of the reading against that of the gauge line, where the print gives both."""
    finish = called.part.gauging.finish
    if finish is None or not finish.stated or len(called.size_limits) < 2:
        return
    on_size, *_, on_reading = called.size_limits
    worst = max(abs(on_size.minus - on_reading.minus), abs(on_size.plus - on_reading.plus))
    if worst > called.ratio.value * finish.half_digit + NOISE:
        yield called.found("tolerances-disagree", reading=on_reading, size=on_size)


def marks(called: Called, limits: Tolerance | None) -> Iterator[Finding]:
    """The gauge's least and most marks against the limits of size that the print gives."""
    given = called.gauge.marks
    if limits is None or given is None:
        return
    marked = {"least": given.least.text, "most": given.most.text}
    if any(limits.minus < -each.plus or limits.plus < -each.minus for each in called.size_limits):
        yield called.found("marks-miss-size", **marked)
    elif over := beyond_print(called, limits):
        yield called.found("marks-beyond-size", **marked, over=over)
    elif within := _left_out(called, limits):
        yield called.found("marks-within-size", **marked, within=within)


def holding(called: Called, limits: Tolerance | None) -> tuple[Tolerance, ...]:
    """The limits that hold: the print's, and those of the marks where they are closer or stand alone."""
    if limits is None or (called.size_limits and not _left_out(called, limits)):
        return called.size_limits
    return *called.size_limits, limits


def beyond_print(called: Called, limits: Tolerance) -> float:
    """How far pieces between the marks may lie outside the print's limits, mm; 0 where none does."""
    return _past(called, [(limits, each) for each in called.size_limits])


def _left_out(called: Called, limits: Tolerance) -> float:
    """How much of the print's limits the marks do not use, mm."""
    return _past(called, [(each, limits) for each in called.size_limits])


def _past(called: Called, pairs: list[tuple[Tolerance, Tolerance]]) -> float:
    """How far the wider of each pair goes past the other, beyond what the marks' last digits leave open."""
    given = sure(called.gauge.marks)
    open_ends = called.ratio.value * max(given.least.half_digit, given.most.half_digit) + NOISE
    worst = max((max(w.minus - n.minus, w.plus - n.plus) for w, n in pairs), default=0.0)
    return worst if worst > open_ends else 0.0
