"""Whether what a print gives beyond enough agrees with the rest, as far as rounding and tolerance explain."""

from collections.abc import Iterator

from cardgen.card.called import Called, GivenDiameter, ratio_of, sure
from cardgen.card.finding import Finding
from cardgen.compute import taper
from cardgen.digits import small_text
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
        yield called.finding(
            "error",
            "gauge-other-taper",
            "gauging.gauge",
            f"the gauge {called.gauge.id} has another taper: {called.told(apart)} on the diameter over "
            f"{called.told(over)}",
            "name a gauge of this taper, or correct the callout that is wrong",
        )
    elif apart > explained:
        yield called.finding(
            "warning",
            "gauge-taper-differs",
            "gauging.gauge",
            f"the gauge {called.gauge.id} differs from the callout by {called.told(apart)} on the diameter "
            f"over {called.told(over)}, within the angle tolerance",
            "know that the gauge uses up part of it",
        )


def placing(called: Called) -> Iterator[Finding]:
    """Something places the taper along its axis: a diameter in its plane, the finish reading, a standard."""
    if called.diameters or called.part.gauging.finish is not None:
        return
    outside, callout = called.part.taper.side == "external", called.part.taper.callout
    line = sure(called.part.taper.gauge_line.diameter)
    key = "from_shoulder" if outside else "from_end"
    if callout is not None and callout.standard:
        yield called.finding(
            "note",
            "gauge-line-at-face",
            "taper.gauge_line",
            f"the gauge line of {callout.text} is taken to lie at the {'shoulder' if outside else 'mouth'}",
            f"give {key} in gauge_line if it lies elsewhere",
        )
        return
    yield called.finding(
        "error",
        "gauge-line-unplaced",
        "taper.gauge_line",
        f"nothing says where along the axis the diameter {called.told(line.value)} lies",
        f"give {key} in gauge_line, or gauging.finish, or large_diameter",
    )


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
        yield called.finding(
            _level(abs(apart), called.angle_on_diameter(between) + on_line, explained),
            "figures-disagree",
            other.key,
            f"the {other.name} {other.diameter.text} and the {first.name} {first.diameter.text} disagree by "
            f"{small_text(apart, called.part.units)} at the {other.name}; rounding explains "
            f"{small_text(explained, called.part.units)}",
            "correct the figure that is wrong, or give it with more digits",
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
        yield called.finding(
            "error",
            "gauge-line-off-taper",
            "taper.gauge_line",
            f"the gauge line {called.told(line_diameter)} would lie {called.told(line_from_face)} from the "
            "face, which is off the taper",
            "correct the diameter that is wrong",
        )
    if small <= 0:
        yield called.finding(
            "error",
            "small-end-vanishes",
            called.diameters[0].key if called.diameters else "taper.gauge_line.diameter",
            f"a taper of {called.told(line_diameter)} runs out to a point before its length of "
            f"{called.told(called.length.value)} ends",
            "correct the diameter, the length or the callout, their units too",
        )


def finish_reading(called: Called, found: float) -> Iterator[Finding]:
    """The finish reading that the print gives against that of a piece at its basic size in this gauge."""
    given = called.part.gauging.finish
    if given is None or abs(found - given.nominal) <= NOISE:
        return
    apart = found - given.nominal
    if -given.minus - given.half_digit - NOISE <= apart <= given.plus + given.half_digit + NOISE:
        yield called.finding(
            "note",
            "finish-from-gauge",
            "gauging.finish",
            f"the finish reading is {called.told(found)}, not the {given.text} given: the gauge was "
            f"calibrated at {called.told(called.gauge_diameter)}",
            "work to the reading on the card",
        )
        return
    allowed = max(given.minus, given.plus) + given.half_digit
    yield called.finding(
        "error",
        "finish-disagrees",
        "gauging.finish",
        f"the finish reading is given as {given.text}, the gauge line and the gauge's calibrated diameter "
        f"make it {called.told(found)}: {called.told(abs(apart))} apart, {called.told(allowed)} allowed",
        "correct the one that is wrong",
    )


def tolerances(called: Called) -> Iterator[Finding]:
    """The tolerance of the reading against that of the gauge line, where the print gives both."""
    finish = called.part.gauging.finish
    if finish is None or not finish.stated or len(called.size_limits) < 2:
        return
    on_size, *_, on_reading = called.size_limits
    worst = max(abs(on_size.minus - on_reading.minus), abs(on_size.plus - on_reading.plus))
    if worst > called.ratio.value * finish.half_digit + NOISE:
        yield called.finding(
            "warning",
            "tolerances-disagree",
            "gauging.finish",
            f"the tolerance of the reading is −{called.told(on_reading.minus)} "
            f"+{called.told(on_reading.plus)} on the diameter, that of the gauge line "
            f"−{called.told(on_size.minus)} +{called.told(on_size.plus)}",
            "the tighter is used; correct the one that is wrong",
        )


def marks(called: Called, limits: Tolerance | None) -> Iterator[Finding]:
    """The gauge's least and most marks against the limits of size that the print gives."""
    given = called.gauge.marks
    if limits is None or given is None:
        return
    told = f"the marks of {called.gauge.id}, {given.least.text} and {given.most.text},"
    if any(limits.minus < -each.plus or limits.plus < -each.minus for each in called.size_limits):
        yield called.finding(
            "error",
            "marks-miss-size",
            "gauging.gauge",
            f"{told} lie where no piece is within its limits of size",
            "correct the marks, the gauge's diameter or the limits",
        )
    elif over := beyond_print(called, limits):
        yield called.finding(
            "warning",
            "marks-beyond-size",
            "gauging.gauge",
            f"between {told} a piece may be {called.told(over)} outside its limits of size",
            "accept by the limits on the card, not by the marks; correct the one that is wrong",
        )
    elif within := _left_out(called, limits):
        yield called.finding(
            "note",
            "marks-within-size",
            "gauging.gauge",
            f"{told} leave out up to {called.told(within)} of the limits of size",
            "the card's limits are those of the marks",
        )


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
