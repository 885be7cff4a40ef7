"""Whether the angle is set near enough, aimed at in the right place, and proved by what the shop has."""

from collections.abc import Iterator

from cardgen.card import values
from cardgen.card.angle_proof import BY_GAUGE
from cardgen.card.called import AngleLimit
from cardgen.card.facts import Facts
from cardgen.card.finding import Finding, Place
from cardgen.compute import correction
from cardgen.compute.proof import PART_SEEN, two_readings_see
from cardgen.digits import plain_number, small_text
from cardgen.terms import ARCSEC, ProofMeans


def check_angle(facts: Facts, card: values.Card) -> Iterator[Finding]:
    """How near the swivel is first set; then what the angle is aimed at, and how it is proved."""
    yield from _start(facts, card)
    yield from _angle(facts, card)


def _start(facts: Facts, card: values.Card) -> Iterator[Finding]:
    """Even the best way to set the swivel may leave more over than a cleaned-up blank can bear."""
    if not card.swivel.starts:
        return
    best = card.swivel.starts[0]
    bears = next(stage.stock_mm for stage in card.stages if stage.name == "clean-up")
    if best.needs_mm is not None and best.needs_mm <= bears:
        return
    needed = f"needs {facts.told(best.needs_mm)} on" if best.needs_mm is not None else "has no stock enough"
    yield Finding(
        "warning",
        "start-beyond-stock",
        Place("machine", facts.records.machine.id, "swivel"),
        f"set by the {best.way} the taper may come out {facts.told(best.leaves_mm)} wrong over the length; "
        f"putting that right {needed}, a cleaned-up blank has {facts.told(bears)}",
        "prove the setting before the first cut, with test bar and indicator or slips"
        if facts.set_by == "table"
        else "prove the setting on a trial piece with more stock on before the first cut",
    )


def _angle(facts: Facts, card: values.Card) -> Iterator[Finding]:
    limit = facts.geometry.angle_limit
    if limit is None:
        yield Finding(
            "note",
            "no-angle-tolerance",
            facts.place("taper.angle_tolerance"),
            "the spec states no tolerance of the angle",
            "judge the taper by the gauge's bearing",
        )
        return
    proof = card.proof
    if limit.aim:
        yield _lopsided(facts, card, limit)
    if proof.decided_by is None and proof.tolerance_mm is not None:
        units = facts.records.part.units
        finest = proof.means[-1]
        yield Finding(
            "warning",
            "angle-not-proved",
            facts.place("taper.angle_tolerance"),
            f"the finest proof of the angle is the {finest.means}, which shows no less than "
            f"{small_text(finest.sees_mm, units)} over the contact; the tolerance there is ± "
            f"{small_text(proof.tolerance_mm, units)}{_of_the_aim(limit, finest.means)}",
            "have the angle inspected elsewhere before the batch is finished; "
            f"{_means_that_would_do(facts, card)} sure to {small_text(_sure_enough(facts, card), units)} "
            "would do",
        )


def _lopsided(facts: Facts, card: values.Card, limit: AngleLimit) -> Finding:
    """What is aimed at is not the gauge's taper: on it a right piece does not bear evenly, if that shows."""
    gauge, way = facts.records.gauge.id, "more" if limit.aim > 0 else "less"
    turn = f"{plain_number(abs(limit.aim) * ARCSEC, 1)}″ {way} taper"
    heavy = correction.heavy_end(card.taper.side, -card.taper.angle_aim_mm)
    return Finding(
        "note",
        "angle-lopsided",
        facts.place("taper.angle_tolerance"),
        f"the angle may be off {limit.text}, and is set to the middle of that, {turn} than called for",
        f"on {gauge} a right piece bears at the {heavy} end, if it shows at all"
        if card.proof.decided_by is not None
        else f"where it bears evenly on {gauge} it is at its limit: turn {turn} from there",
    )


def _of_the_aim(limit: AngleLimit, means: ProofMeans) -> str:
    """A gauge shows its own taper alone, and that lies at the edge of a lopsided tolerance or near it."""
    return " about a taper that is not the gauge's" if limit.aim and means in BY_GAUGE else ""


def _means_that_would_do(facts: Facts, card: values.Card) -> str:
    return (
        "two diameters over rolls, or a sine bar and indicator,"
        if card.taper.side == "external"
        else ("two balls, or a sine bar and indicator,")
    )


def _sure_enough(facts: Facts, card: values.Card) -> float:
    """How sure one of two readings has to be that their difference decides."""
    spacing = facts.geometry.length - card.taper.relief_mm
    seen = two_readings_see(1.0, spacing, card.contact_length_mm)
    return PART_SEEN * (card.proof.tolerance_mm or 0.0) / seen
