"""The reading, the stages and the stock table: from what the gauge shows to what the hand feeds."""

from dataclasses import replace
from math import copysign

from cardgen import terms
from cardgen.card import values
from cardgen.card.at_the_bench import first_feed, stock_shown
from cardgen.card.facts import Facts
from cardgen.card.rows import feed_text, reading_text, readings_between
from cardgen.compute import stages


def stage_values(facts: Facts) -> tuple[values.Stage, ...]:
    """The stages as the card tells them."""
    return tuple(
        values.Stage(
            name=stage.name,
            tool=stage.tool,
            reading_mm=stage.reading,
            reading_text=reading_text(stage.reading, facts.read.tool(stage.tool)),
            stock_mm=stage.stock,
            gauge_line_diameter_mm=stage.line,
            small_diameter_mm=stage.small,
            cross_feed_mm=stage.travel,
            divisions=stage.divisions,
            divisions_text=feed_text(stage.divisions, facts.handwheel),
            position_divisions=stage.position,
            position_divisions_text=feed_text(stage.position, facts.handwheel),
        )
        for stage in facts.planned
    )


def stock_table(facts: Facts) -> tuple[int, int, tuple[values.StockRow, ...]]:
    """Rows from too much stock down past the finish: the roughing tool's, then the finishing tool's.

    Result: the step of the roughing rows and of the finishing rows in divisions, and all rows. Every stage
    that a tool shows within its rows has a row of its own, on a step or not.
    """
    ends = facts.stage("blank high").reading, facts.stage("finish").reading
    last = stages.limit_with_least(facts.sizing, facts.allowances).reading  # what is set aside has rows too
    rough_step, rough = _rows(facts, "rough", ends)
    # A roughed piece may be left a division of the roughing tool more: it too has a row to be finished by.
    left_more = facts.stage("rough").reading + copysign(facts.read.rough_tool.division_mm, facts.per_reading)
    # The last reading that is not yet good has one, so that nothing between a row and the limit is left open.
    limit = next((stage for stage in facts.planned if stage.name == "finish high"), facts.stage("finish"))
    not_yet = limit.reading + copysign(facts.read.finish_tool.division_mm, facts.per_reading)
    finish_step, finish = _rows(facts, "finish", (left_more, last), not_yet)
    return rough_step, finish_step, (*rough, *finish)


def with_first_feeds(
    rows: tuple[values.StockRow, ...], short: int, wheel: values.Handwheel
) -> tuple[values.StockRow, ...]:
    """The rows of finishing with the first of two feeds, which stops `short` divisions of finish size."""
    return tuple(
        replace(row, first_feed_divisions=first, first_feed_text=feed_text(first, wheel)) if first else row
        for row in rows
        for first in [first_feed(row.divisions, short) if row.tool == "finish" else 0]
    )


def _rows(
    facts: Facts, use: terms.ToolUse, ends: tuple[float, float], *besides: float
) -> tuple[int, list[values.StockRow]]:
    tool = facts.read.tool(use)
    step, on_step = readings_between(*ends, tool, facts.records.shop.table_rows)
    staged = {round(stage.reading / tool.division_mm): stage for stage in facts.planned if stage.tool == use}
    counts = {round(value / tool.division_mm) for value in on_step}
    low, high = min(counts), max(counts)
    more = {*staged, *(round(value / tool.division_mm) for value in besides)}
    counts |= {count for count in more if low <= count <= high}
    rows, no_feed = [], feed_text(0, facts.handwheel)
    for count in sorted(counts, reverse=facts.per_reading > 0):
        value = staged[count].reading if count in staged else count * tool.division_mm
        answer = stock_shown(facts.sums, value, reading_text(value, tool))
        rows.append(
            values.StockRow(
                reading_mm=value,
                reading_text=answer.reading_text,
                stock_mm=answer.stock_mm,
                cross_feed_mm=answer.cross_feed_mm,
                divisions=answer.divisions,
                divisions_text=answer.divisions_text,
                divisions_to_rough=answer.divisions_to_rough,
                divisions_to_rough_text=answer.divisions_to_rough_text,
                first_feed_divisions=0,
                first_feed_text=no_feed,
                stage=answer.stage,
                past_size=answer.past_size,
                tool=use,
                at=staged[count].name if count in staged else None,
            )
        )
    return step, rows


def past_size(facts: Facts) -> terms.PastSize:
    """What a piece of this side is called that has too much metal gone."""
    return stages.PAST_SIZE[terms.reading(facts.kind).side]
