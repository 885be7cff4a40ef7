"""Worn pieces that are ground only to clean up: from which reading on, at most to which; what is wrong."""

from collections.abc import Iterator

from cardgen.card import values
from cardgen.card.at_the_bench import can_be_read
from cardgen.card.facts import Facts
from cardgen.card.finding import Finding
from cardgen.card.rows import feed_text, reading_text
from cardgen.compute import salvage, stages


def salvage_values(facts: Facts, finish: stages.PlannedStage, a_pass: int) -> values.Salvage | None:
    """What holds of worn pieces; finish: the stage; a_pass: divisions of a finishing pass."""
    given, least = facts.records.part.salvage, least_of_worn(facts)
    tool, wheel = facts.read.finish_tool, facts.handwheel
    if given is None or least is None:
        return None
    limit = salvage.salvage_limit(facts.sizing, facts.allowances, least)
    start = salvage.worth_starting(facts.sizing, limit, facts.records.part.stock.clean_up_mm)
    past = stages.divisions_between(finish.reading, limit.reading, facts.sizing)
    return values.Salvage(
        at_most_mm=given.at_most_mm,
        start_mm=start.reading,
        start_text=reading_text(start.reading, tool),
        limit_mm=limit.reading,
        limit_text=reading_text(limit.reading, tool),
        stock_mm=limit.stock,
        gauge_line_diameter_mm=limit.line,
        small_diameter_mm=limit.small,
        divisions_past_finish=past,
        divisions_past_finish_text=feed_text(past, wheel),
        divisions_per_pass=a_pass,
        divisions_per_pass_text=feed_text(a_pass, wheel),
    )


def least_of_worn(facts: Facts) -> float | None:
    """The stock of a worn piece that is ground as far past its basic size as it may be; None without such."""
    part = facts.records.part
    if part.salvage is None:
        return None
    return salvage.least_stock(part.salvage.at_most_mm, facts.geometry.aim_above_basic, part.taper.side)


def check_salvage(facts: Facts, card: values.Card) -> Iterator[Finding]:
    """The limit of salvage lies past the limits of size, and the gauge still shows it."""
    worn, blank, least = card.salvage, card.stage("blank low"), least_of_worn(facts)
    if worn is None or least is None:
        return
    if least >= facts.allowances.finish_low - stages.NOISE:
        yield facts.found("salvage-within-size", at_most=worn.at_most_mm)
    elif not can_be_read(facts.seat, facts.sizing, worn.limit_mm):
        yield facts.found("salvage-off-gauge", at_most=worn.at_most_mm, limit=worn.limit_mm)
    elif blank is not None and (worn.start_mm - blank.reading_mm) * facts.per_reading >= -stages.NOISE:
        yield facts.found("salvage-not-needed")
