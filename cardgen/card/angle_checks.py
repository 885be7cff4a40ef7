"""Whether the angle is set near enough, aimed at in the right place, and proved by what the shop has."""

from collections.abc import Iterator
from dataclasses import replace

from cardgen.card import values
from cardgen.card.angle_proof import BY_GAUGE, starts, turned_above, with_bars
from cardgen.card.called import AngleLimit
from cardgen.card.facts import Facts
from cardgen.card.finding import Finding
from cardgen.card.proving import rolls_raise
from cardgen.compute import correction
from cardgen.compute.proof import PART_SEEN, two_readings_see
from cardgen.digits import inch_plain, plain_number, small_text
from cardgen.terms import ARCSEC, INCH

BOUND = 2.5  # what half the settings keep within, of what a way may leave over: between even and normal
WAYS = {"wheel head": "wheel head's scale", "spindle bar": "bar on the wheel spindle"}


def check_angle(facts: Facts, card: values.Card) -> Iterator[Finding]:
    """How near the swivel is first set; then what the angle is aimed at, and how it is proved."""
    yield from _start(facts, card)
    limit = facts.geometry.angle_limit
    if limit is None:
        yield facts.found("no-angle-tolerance")
        return
    if limit.aim:
        yield _lopsided(facts, card, limit)
    proof = card.proof
    if proof.decided_by is None and proof.tolerance_mm is not None:
        finest = proof.means[-1]
        yield facts.found(
            "angle-not-proved",
            finest=finest,
            tolerance=proof.tolerance_mm,
            misled=limit.aim and finest.means in BY_GAUGE,  # a gauge shows its own taper alone
            sure=_sure_enough(facts, card),
        )


def _start(facts: Facts, card: values.Card) -> Iterator[Finding]:
    """Even the best way to set the swivel may leave more than the stock bears, or the proof lets pass."""
    if not card.swivel.starts:
        return
    best = card.swivel.starts[0]
    bears = next(stage.stock_mm for stage in card.stages if stage.name == "clean-up")
    told = {"way": WAYS.get(best.way, best.way), "leaves": best.leaves_mm}
    needs = best.needs_mm
    by, turned = turned_above(card.proof)
    if needs is None or needs > bears:
        yield facts.found(
            "start-beyond-stock",
            **told,
            enough=needs is not None,
            needs=needs or 0.0,
            bears=bears,
            bars=_bars_that_would_do(facts),
        )
    elif best.leaves_mm * facts.contact / facts.geometry.length > BOUND * turned:
        yield facts.found("start-far-off", **told, by=by, turned=turned, bars=_bars_that_would_do(facts))


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


def _lopsided(facts: Facts, card: values.Card, limit: AngleLimit) -> Finding:
    """What is aimed at is not the gauge's taper: on it a right piece does not bear evenly, if that shows."""
    way = "more" if limit.aim > 0 else "less"
    turn = f"{plain_number(abs(limit.aim) * ARCSEC, 1)} seconds {way} taper"
    end = correction.heavy_end(card.taper.side, -card.taper.angle_aim_mm)
    outside = card.taper.side == "external"
    heavy = f"{end} end" if outside else "mouth" if end == "large" else "inner end"
    name = "angle-lopsided" if card.proof.decided_by is not None else "angle-lopsided/by the gauge"
    return facts.found(name, limit=limit.text, turn=turn, heavy=heavy)


def _sure_enough(facts: Facts, card: values.Card) -> float:
    """How sure one of two readings has to be that their difference decides."""
    ground = facts.geometry.length - card.taper.relief_mm
    spacing = rolls_raise(facts) if card.taper.side == "external" else ground
    seen = two_readings_see(1.0, spacing, card.contact_length_mm)
    return PART_SEEN * (card.proof.tolerance_mm or 0.0) / seen
