"""Whether the sizes on the way can be read with the tools at hand, and the batch be run as the part says."""

from collections.abc import Iterator

from cardgen.card import values
from cardgen.card.facts import Facts
from cardgen.card.finding import Finding
from cardgen.card.sizes import planned_stages
from cardgen.compute import stages


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
        yield _limits_between_divisions(facts, card)


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
    blank, finish = facts.records.part.stock.blank, card.reading.finish_tool
    return Finding(
        "error",
        "blank-limits-not-shown",
        facts.place("stock.blank"),
        f"a blank may have {facts.told(blank.low)} to {facts.told(blank.high)} on; neither tool can "
        f"tell these apart: one division of the {finish.name} is worth "
        f"{facts.told(finish.stock_per_division_mm)} on the diameter",
        "allow blanks more between least and most, or name a finer tool",
    )


def _blank_too_small(facts: Facts, least: stages.PlannedStage, rough: stages.PlannedStage) -> Finding:
    stock = facts.records.part.stock
    hopeless = stock.blank.low <= stock.clean_up_mm or least.stock <= rough.stock + stages.NOISE
    return Finding(
        "error" if hopeless else "warning",
        "stages-out-of-order" if hopeless else "blank-too-small",
        facts.place("stock.clean_up" if stock.blank.low <= stock.clean_up_mm else "stock.blank"),
        f"a blank may have as little as {facts.told(stock.blank.low)} on; cleaning up and finishing "
        f"need {facts.told(stock.clean_up_mm + rough.stock)}",
        "leave more on the blank, or less for cleaning up",
    )


def _out_of_order(
    facts: Facts, card: values.Card, upper: stages.PlannedStage, lower: stages.PlannedStage
) -> Finding:
    key = {"rough": "stock.leave_for_finishing"}.get(upper.name, "stock.blank")
    tool = card.reading.tool(lower.tool)
    return Finding(
        "error",
        "stages-out-of-order",
        facts.place(key),
        f"as the tools show them, '{lower.name}' has {facts.told(lower.stock)} on, and '{upper.name}' "
        f"before it no more than {facts.told(upper.stock)}",
        f"allow more stock between them, or read with a tool finer than the {tool.name} {tool.division_text}",
    )


def _limits_between_divisions(facts: Facts, card: values.Card) -> Finding:
    read = card.reading
    tool, band = read.finish_tool, read.stock_high_mm - read.stock_low_mm
    return Finding(
        "warning",
        "limits-between-divisions",
        facts.place("gauging.read_with.finish"),
        f"no division of the {tool.name} {tool.division_text} lies within the limits of size: one is worth "
        f"{facts.told(tool.stock_per_division_mm)} on the diameter, the whole tolerance is "
        f"{facts.told(band)}",
        "finish with a finer tool; till then the card has no limits, the size is measured otherwise",
    )
