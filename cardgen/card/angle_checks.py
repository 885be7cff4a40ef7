"""Whether the angle is set near enough, aimed at in the right place, and proved by what the shop has."""

from collections.abc import Iterator
from dataclasses import replace

from cardgen.card import values
from cardgen.card.angle_proof import BY_GAUGE, starts, turned_above, with_bars
from cardgen.card.called import AngleLimit
from cardgen.card.correcting import contact_length
from cardgen.card.facts import Facts
from cardgen.card.finding import Finding, Place
from cardgen.card.proving import rolls_raise
from cardgen.compute import correction
from cardgen.compute.proof import PART_SEEN, two_readings_see
from cardgen.digits import inch_plain, plain_number, small_down_text, small_text
from cardgen.terms import ARCSEC, INCH, ProofMeans

BOUND = 2.5  # what half the settings keep within, of what a way may leave over: between even and normal
WAYS = {"wheel head": "wheel head's scale", "spindle bar": "bar on the wheel spindle"}


def check_angle(facts: Facts, card: values.Card) -> Iterator[Finding]:
    """How near the swivel is first set; then what the angle is aimed at, and how it is proved."""
    yield from _start(facts, card)
    yield from _angle(facts, card)


def _start(facts: Facts, card: values.Card) -> Iterator[Finding]:
    """Even the best way to set the swivel may leave more than the stock bears, or the proof lets pass."""
    if not card.swivel.starts:
        return
    best, units = card.swivel.starts[0], facts.records.part.units
    bears = next(stage.stock_mm for stage in card.stages if stage.name == "clean-up")
    wrong = (
        f"set by the {WAYS.get(best.way, best.way)} the taper may come out {facts.told(best.leaves_mm)} "
        "wrong over the length"
    )
    place, needs = Place("machine", facts.records.machine.id, "swivel"), best.needs_mm
    if needs is None or needs > bears:
        needed = f"needs {facts.told(needs)} on" if needs is not None else "has no stock enough"
        yield Finding(
            "warning",
            "start-beyond-stock",
            place,
            f"{wrong}; putting that right {needed}, a cleaned-up blank has {facts.told(bears)}",
            f"prove the setting before the first cut: {_bars_that_would_do(facts)}",
        )
        return
    by, turned = turned_above(card.proof)
    if best.leaves_mm * contact_length(facts) / facts.geometry.length > BOUND * turned:
        yield Finding(
            "note",
            "start-far-off",
            place,
            f"{wrong}, and by {by} it is corrected from {small_text(turned, units)} over the contact on",
            f"reckon with corrections of the swivel, or set it nearer: {_bars_that_would_do(facts)}",
        )


def _bars_that_would_do(facts: Facts) -> str:
    """Test bars and an indicator, how sure each has to be, and what they would leave over."""
    records = with_bars(facts.records)
    bar, on_spindle = records.shop.proving.test_bar, records.machine.wheel_head.test_bar
    assert bar is not None
    assert on_spindle is not None
    assert records.shop.proving.indicator_mm is not None
    by_head = f" and one of {_round(facts, on_spindle.length_mm)} on the wheel spindle"
    left = starts(replace(facts, records=records))[0].leaves_mm
    return (
        f"a test bar of {_round(facts, bar.length_mm)} between centres"
        f"{by_head if facts.set_by == 'wheel head' else ''}, straight to "
        f"{_round(facts, bar.straightness_mm)}, and an indicator of "
        f"{_round(facts, records.shop.proving.indicator_mm)} would leave "
        f"{small_text(left, facts.records.part.units)}"
    )


def _round(facts: Facts, length_mm: float) -> str:
    """What a tool has for its length or division, in the words of a finding."""
    if facts.metric:
        return f"{plain_number(length_mm, 4)} mm"
    return f"{inch_plain(length_mm / INCH, 5)} in"


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
            f"{_means_that_would_do(card)} sure to "
            f"{small_down_text(_sure_enough(facts, card), units)} would do",
        )


def _lopsided(facts: Facts, card: values.Card, limit: AngleLimit) -> Finding:
    """What is aimed at is not the gauge's taper: on it a right piece does not bear evenly, if that shows."""
    gauge, way = facts.records.gauge.id, "more" if limit.aim > 0 else "less"
    turn = f"{plain_number(abs(limit.aim) * ARCSEC, 1)} seconds {way} taper"
    heavy = correction.heavy_end(card.taper.side, -card.taper.angle_aim_mm)
    return Finding(
        "note",
        "angle-lopsided",
        facts.place("taper.angle_tolerance"),
        f"the angle may be off {limit.text}: all figures are for the middle of that, {turn} than called for",
        f"on {gauge} a right piece may touch at the {heavy} end alone: leave it so, the proof decides"
        if card.proof.decided_by is not None
        else f"where it bears evenly on {gauge} it has the gauge's taper: turn {turn} from there",
    )


def _of_the_aim(limit: AngleLimit, means: ProofMeans) -> str:
    """A gauge shows its own taper alone, and that is not the one aimed at."""
    return " about a taper that is not the gauge's" if limit.aim and means in BY_GAUGE else ""


def _means_that_would_do(card: values.Card) -> str:
    return (
        "two diameters over rolls, or a sine bar and indicator,"
        if card.taper.side == "external"
        else ("two balls, or a sine bar and indicator,")
    )


def _sure_enough(facts: Facts, card: values.Card) -> float:
    """How sure one of two readings has to be that their difference decides."""
    ground = facts.geometry.length - card.taper.relief_mm
    spacing = rolls_raise(facts) if card.taper.side == "external" else ground
    seen = two_readings_see(1.0, spacing, card.contact_length_mm)
    return PART_SEEN * (card.proof.tolerance_mm or 0.0) / seen
