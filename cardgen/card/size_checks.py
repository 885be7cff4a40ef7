"""Whether the sizes on the way can be read with the tools at hand, and the batch be run as the part says."""

import math
from collections.abc import Iterator

from cardgen.card import values
from cardgen.card.facts import Facts
from cardgen.card.finding import Finding
from cardgen.card.sizes import planned_stages
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
    planned = planned_stages(facts)
    for upper, lower in stages.out_of_order(planned):
        if lower.name == "blank low":
            yield _blanks_not_shown(facts, card)
        elif upper.name == "clean-up":
            yield _blank_too_small(facts, planned[0], lower)
        else:
            yield _out_of_order(facts, card, upper, lower)
    if planned[0].tool == "finish" and planned[0].stock < planned[1].stock - stages.NOISE:
        yield _blanks_not_told_apart(facts, card)
    if card.stage("finish low") is None:
        yield _size_not_proved(facts, card)
    elif card.reading.finish_tool.stock_per_division_mm > DIVISION_AT_MOST * facts.zone * (1 + 1e-9):
        yield _tool_too_coarse(facts, card)


def check_batch(facts: Facts, card: values.Card) -> Iterator[Finding]:
    """A part that asks for fewer checks than the wear of the wheel and the limits allow."""
    asked = facts.records.part.batch.check_every
    if asked is None or asked <= card.batch.check_every:
        return
    safe = "every piece" if card.batch.check_every == 1 else f"one in {card.batch.check_every}"
    yield Finding(
        "warning",
        "check-too-seldom",
        facts.place("batch.check_every"),
        f"one piece in {asked} is to be checked; wheel wear, centre depth and the doubt of the reading ask "
        f"for {safe}",
        f"the card says {safe}; with a finer tool, truer centres or a harder wheel fewer will do",
    )


def _blanks_not_told_apart(facts: Facts, card: values.Card) -> Finding:
    rough, finish = card.reading.rough_tool, card.reading.finish_tool
    return Finding(
        "warning",
        "blank-limits-not-told-apart",
        facts.place("stock.blank"),
        f"the least and the most stock of a blank lie within one division of the {rough.name} "
        f"({facts.told(rough.stock_per_division_mm)} on the diameter)",
        f"the card has blanks gauged with the {finish.name}; allow them more, or rough with a finer tool",
    )


def _blanks_not_shown(facts: Facts, card: values.Card) -> Finding:
    finish, has = card.reading.finish_tool, facts.allowances
    return Finding(
        "error",
        "blank-limits-not-shown",
        facts.place("stock.blank"),
        f"a blank may have {facts.told(has.blank_low)} to {facts.told(has.blank_high)} on; neither tool can "
        f"tell these apart: one division of the {finish.name} is worth "
        f"{facts.told(finish.stock_per_division_mm)} on the diameter",
        "allow blanks more between least and most, or name a finer tool",
    )


def _blank_too_small(facts: Facts, least: stages.PlannedStage, rough: stages.PlannedStage) -> Finding:
    stock = facts.records.part.stock
    low = facts.allowances.blank_low
    hopeless = low <= stock.clean_up_mm or least.stock <= rough.stock + stages.NOISE
    return Finding(
        "error" if hopeless else "warning",
        "stages-out-of-order" if hopeless else "blank-too-small",
        facts.place("stock.clean_up" if low <= stock.clean_up_mm else "stock.blank"),
        f"a blank may have as little as {facts.told(low)} on; cleaning up and finishing "
        f"need {facts.told(stock.clean_up_mm + rough.stock)}",
        "leave more on the blank, or less for cleaning up",
    )


def _out_of_order(
    facts: Facts, card: values.Card, upper: stages.PlannedStage, lower: stages.PlannedStage
) -> Finding:
    key = "stock.leave_for_finishing" if upper.name == "rough" else "stock.blank"
    if "semi-finish" in (upper.name, lower.name):
        key = "stock.semi_finish.leave"
    tool = card.reading.tool(lower.tool)
    return Finding(
        "error",
        "stages-out-of-order",
        facts.place(key),
        f"as the tools show them, '{lower.name}' has {facts.told(lower.stock)} on, and '{upper.name}' "
        f"before it no more than {facts.told(upper.stock)}",
        f"allow more stock between them, or read with a tool finer than the {tool.name} {tool.division_text}",
    )


def _size_not_proved(facts: Facts, card: values.Card) -> Finding:
    """No reading of the finishing tool proves the size: a finer tool would do, or a better known gauge."""
    tool, parts = card.reading.finish_tool, card.doubt.parts
    finer = _division_that_does(facts)
    return Finding(
        "warning",
        "size-not-proved",
        facts.place("gauging.read_with.finish"),
        f"by the {tool.name} {tool.division_text} the stock is sure to ± "
        f"{facts.told(card.doubt.stock_expanded_mm)} on the diameter (k = 2), one division is worth "
        f"{facts.told(tool.stock_per_division_mm)}: no reading proves a size of ± "
        f"{facts.told(facts.geometry.size_half_band)}",
        f"a tool of {finer} would do; till then the card has no limits, the size is measured otherwise"
        if finer
        else f"no tool would do: the {_better_known(facts, parts)}; till then the size is measured otherwise",
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


def _tool_too_coarse(facts: Facts, card: values.Card) -> Finding:
    tool, finer = card.reading.finish_tool, _division_that_does(facts)
    return Finding(
        "warning",
        "tool-too-coarse",
        facts.place("gauging.read_with.finish"),
        f"one division of the {tool.name} is worth {facts.told(tool.stock_per_division_mm)} on the "
        f"diameter, more than a quarter of the {facts.told(facts.zone)} between the limits to accept",
        f"finish with a tool of {finer}" if finer else "finish with a finer tool",
    )


def _division_that_does(facts: Facts) -> str:
    """The coarsest division, in the finishing tool's unit, with which the size is proved with room."""
    unit = facts.records.part.gauging.read_with.finish.unit
    other = combined(*(part for name, part in facts.doubt.parts.items() if name != "reading"))
    band = 2 * facts.geometry.size_half_band
    found = coarsest_division(band / MM[unit], facts.geometry.ratio, other / MM[unit], DIVISION_AT_MOST)
    return f"{found:.{decimals_of(found)}f} {unit}" if found is not None else ""
