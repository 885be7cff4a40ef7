"""The reading, the stages and the stock table: from what the gauge shows to what the hand feeds."""

from cardgen.card import values
from cardgen.card.facts import Facts
from cardgen.card.rows import reading_text, readings_between
from cardgen.compute import infeed, reading, stages
from cardgen.spec.callout import ReadingTool


def reading_values(facts: Facts) -> values.Reading:
    """What the gauge shows on a finished piece, between which limits, read with which tools."""
    geometry = facts.geometry
    half = size_half_band(facts)
    low, high = reading.size_limits_as_readings(
        facts.kind, geometry.ratio, geometry.finish_reading, half, half
    )
    least, most = reading.stock_limits(reading.SIDE[facts.kind], half, half)
    tools = facts.records.part.gauging.read_with
    return values.Reading(
        kind=facts.kind,
        per_mm=facts.per_reading,
        finish_mm=geometry.finish_reading,
        basic_mm=geometry.basic_reading,
        finish_low_mm=low,
        finish_high_mm=high,
        stock_low_mm=least,
        stock_high_mm=most,
        rough_tool=_tool(tools.rough, geometry.ratio),
        finish_tool=_tool(tools.finish, geometry.ratio),
    )


def size_half_band(facts: Facts) -> float:
    """Half of the size tolerance: what the size may be off on either side of the size aimed at."""
    return (facts.geometry.size_minus + facts.geometry.size_plus) / 2


def _tool(tool: ReadingTool, ratio: float) -> values.ReadingTool:
    return values.ReadingTool(
        name=tool.name,
        division_mm=tool.division_mm,
        unit=tool.unit,
        denominator=tool.denominator,
        division_text=tool.division_text,
        stock_per_division_mm=ratio * tool.division_mm,
    )


def planned_stages(facts: Facts) -> tuple[stages.Stage, ...]:
    """The seven sizes of the part as compute sees them."""
    stock = facts.records.part.stock
    return stages.stages(
        facts.sizing,
        stages.Allowances(
            blank_low=stock.blank.low,
            blank_high=stock.blank.high,
            clean_up=stock.clean_up_mm,
            leave_for_finishing=stock.leave_for_finishing_mm,
            size_minus=size_half_band(facts),
            size_plus=size_half_band(facts),
        ),
        facts.records.part.gauging.read_with.rough.division_mm,
    )


def stage_values(
    facts: Facts, planned: tuple[stages.Stage, ...], read: values.Reading
) -> tuple[values.Stage, ...]:
    """The stages as the card tells them, each with the nearest reading its tool can show.

    That reading is moved to the side that is safe: more stock on, but for the most a blank or a finished
    piece may have, where it is less.
    """
    told = []
    for stage in planned:
        tool = read.finish_tool if stage.name.startswith("finish") else read.rough_tool
        upper = stage.name in ("blank high", "finish high")
        move = reading.last_readable if upper else reading.next_readable
        readable = move(stage.reading, tool.division_mm, facts.per_reading)
        left = reading.stock_from_reading(readable, facts.geometry.finish_reading, facts.per_reading)
        shown = stages.stage(stage.name, left, facts.sizing)
        told.append(
            values.Stage(
                name=stage.name,
                reading_mm=stage.reading,
                reading_text=reading_text(readable, tool),
                stock_mm=stage.stock,
                large_diameter_mm=stage.large,
                small_diameter_mm=stage.small,
                infeed_mm=stage.travel,
                divisions=stage.divisions,
                position_divisions=stage.position,
                readable_reading_mm=readable,
                readable_stock_mm=left,
                readable_large_diameter_mm=shown.large,
                readable_small_diameter_mm=shown.small,
                readable_divisions=shown.divisions,
                readable_position_divisions=shown.position,
            )
        )
    return tuple(told)


def stock_table(
    facts: Facts, planned: tuple[stages.Stage, ...], read: values.Reading
) -> tuple[int, int, tuple[values.StockRow, ...]]:
    """Rows from too much stock down to under size: the roughing tool's, then the finishing tool's.

    Result: the step of the roughing rows and of the finishing rows in divisions, and all rows.
    """
    at = {stage.name: stage.reading for stage in planned}
    at_most = facts.records.shop.table_rows
    rough_step, rough = readings_between(at["blank high"], at["finish"], read.rough_tool, at_most)
    finish_step, finish = readings_between(at["rough"], at["finish low"], read.finish_tool, at_most)
    rows = [_row(facts, planned, value, read.rough_tool, "rough") for value in rough]
    rows += [_row(facts, planned, value, read.finish_tool, "finish") for value in finish]
    return rough_step, finish_step, tuple(rows)


def _row(
    facts: Facts,
    planned: tuple[stages.Stage, ...],
    reading_mm: float,
    tool: values.ReadingTool,
    which: str,
) -> values.StockRow:
    answer = stock_at(facts, planned, reading_mm)
    return values.StockRow(
        reading_mm=reading_mm,
        reading_text=reading_text(reading_mm, tool),
        stock_mm=answer.stock_mm,
        infeed_mm=answer.infeed_mm,
        divisions=answer.divisions,
        stage=answer.stage,
        tool="rough" if which == "rough" else "finish",
    )


def stock_at(facts: Facts, planned: tuple[stages.Stage, ...], reading_mm: float) -> values.StockAnswer:
    """The stock that a reading tells, how far to feed for it, and the stage the piece stands at."""
    stock = reading.stock_from_reading(reading_mm, facts.geometry.finish_reading, facts.per_reading)
    depth = infeed.depth_square_to_surface(max(0.0, stock), facts.geometry.half_angle)
    travel = infeed.cross_feed_travel(depth, facts.feed_angle)
    wheel = facts.records.machine.cross_feed
    return values.StockAnswer(
        reading_mm=reading_mm,
        stock_mm=stock,
        infeed_mm=travel,
        divisions=infeed.divisions_to_feed(
            infeed.handwheel_divisions(travel, wheel.reads, wheel.division.value)
        ),
        stage=stages.standing(stock, planned),
    )


def handwheel(facts: Facts) -> values.Handwheel:
    """The cross-feed's handwheel: what one division of it is worth."""
    wheel = facts.records.machine.cross_feed
    travel = infeed.travel_per_division(wheel.reads, wheel.division.value)
    depth = travel / infeed.cross_feed_travel(1.0, facts.feed_angle)
    return values.Handwheel(
        reads=wheel.reads,
        division_mm=wheel.division.value,
        division_text=wheel.division.text,
        travel_per_division_mm=travel,
        stock_per_division_mm=infeed.stock_removed(depth, facts.geometry.half_angle),
    )
