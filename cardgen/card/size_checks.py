"""Whether the sizes on the way can be read with the tools at hand, and the batch be run as the part says."""

import math
from collections.abc import Iterator

from cardgen.card import values
from cardgen.card.facts import Facts
from cardgen.card.finding import Finding
from cardgen.compute import stages
from cardgen.compute.conformity import coarsest_division, sure_enough
from cardgen.compute.doubt import combined
from cardgen.digits import decimals_of, small_down_text
from cardgen.terms import MM

DIVISION_AT_MOST = 1 / 4  # of the limits to accept, of a tool's or a handwheel's; common practice, no source
BETTER_KNOWN = {  # what makes a part of the doubt less
    "gauge_diameter": "gauge has to be calibrated more closely",
    "gauge_taper": "gauge's taper has to be known better",
    "temperature": "work has to be gauged nearer to the gauge's own warmth",
}


def check_sizes(facts: Facts, card: values.Card) -> Iterator[Finding]:
    """Stages that the tools cannot tell apart, or that do not lie one below the other."""
    planned = facts.planned
    rough, finish = card.reading.rough_tool, card.reading.finish_tool
    for upper, lower in stages.out_of_order(planned):
        if lower.name == "blank low":
            yield facts.found("blank-limits-not-shown", has=facts.allowances, finish=finish)
        elif upper.name == "clean-up":
            yield _blank_too_small(facts, planned[0], lower)
        else:
            yield _out_of_order(facts, card, upper, lower)
    if planned[0].tool == "finish" and planned[0].stock < planned[1].stock - stages.NOISE:
        yield facts.found("blank-limits-not-told-apart", rough=rough, finish=finish)
    if card.stage("finish low") is None:
        yield _size_not_proved(facts, card)
    elif finish.stock_per_division_mm > DIVISION_AT_MOST * facts.zone * (1 + 1e-9):
        finer = _division_that_does(facts)
        yield facts.found("tool-too-coarse", tool=finish, zone=facts.zone, finer=finer)


def check_batch(facts: Facts, card: values.Card) -> Iterator[Finding]:
    """A part that asks for fewer checks than the wear of the wheel and the limits allow."""
    asked, every = facts.records.part.batch.check_every, card.batch.check_every
    if asked is not None and asked > every:
        safe = "every piece" if every == 1 else f"one in {every}"
        yield facts.found("check-too-seldom", asked=asked, safe=safe)


def _blank_too_small(facts: Facts, least: stages.PlannedStage, rough: stages.PlannedStage) -> Finding:
    low, clean_up = facts.allowances.blank_low, facts.records.part.stock.clean_up_mm
    hopeless = low <= clean_up or least.stock <= rough.stock + stages.NOISE
    return facts.found(
        "stages-out-of-order/blank" if hopeless else "blank-too-small",
        at="stock.clean_up" if low <= clean_up else "stock.blank",
        low=low,
        need=clean_up + rough.stock,
    )


def _out_of_order(
    facts: Facts, card: values.Card, upper: stages.PlannedStage, lower: stages.PlannedStage
) -> Finding:
    key = "stock.leave_for_finishing" if upper.name == "rough" else "stock.blank"
    if "semi-finish" in (upper.name, lower.name):
        key = "stock.semi_finish.leave"
    tool = card.reading.tool(lower.tool)
    return facts.found("stages-out-of-order", at=key, upper=upper, lower=lower, tool=tool)


def _size_not_proved(facts: Facts, card: values.Card) -> Finding:
    """No reading of the finishing tool proves the size: a finer tool would do, or a better known gauge."""
    finer = _division_that_does(facts)
    return facts.found(
        "size-not-proved" if finer else "size-not-proved/by no tool",
        tool=card.reading.finish_tool,
        sure=card.doubt.stock_expanded_mm,
        band=facts.geometry.size_half_band,
        finer=finer,
        better="" if finer else _better_known(facts, card.doubt.parts),
    )


def _better_known(facts: Facts, parts: dict[str, float]) -> str:
    """What has to be known better that a size can be proved at all, and how well."""
    rest = {name: part for name, part in parts.items() if name != "reading"}
    worst = max(rest, key=lambda name: rest[name])
    others = combined(*(part for name, part in rest.items() if name != worst))
    enough = sure_enough(2 * facts.geometry.size_half_band, others)
    if enough is None or worst == "gauge_taper":
        return BETTER_KNOWN[worst]
    if worst == "temperature":
        kelvin = facts.records.shop.temperature_difference_k * enough / rest[worst]
        return f"{BETTER_KNOWN[worst]}, within {math.floor(100 * kelvin) / 100:.2f} K of it"
    told = small_down_text(2 * enough, facts.records.part.units)
    return f"{BETTER_KNOWN[worst]}, to ± {told} (k = 2)"


def _division_that_does(facts: Facts) -> str:
    """The coarsest division, in the finishing tool's unit, with which the size is proved with room."""
    unit = facts.records.part.gauging.read_with.finish.unit
    other = combined(*(part for name, part in facts.doubt.parts.items() if name != "reading"))
    band = 2 * facts.geometry.size_half_band
    found = coarsest_division(band / MM[unit], facts.geometry.ratio, other / MM[unit], DIVISION_AT_MOST)
    return f"{found:.{decimals_of(found)}f} {unit}" if found is not None else ""
