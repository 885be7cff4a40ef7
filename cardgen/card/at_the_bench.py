"""What one reading at the bench means, from what was worked out of the part before: it needs no spec.

A hand asks with the wheel standing, so what answers is kept of each part as its card is reckoned, small
enough to be kept of ten thousand (`shop/bench_answers.py`). The rows of the card's table are asked here too.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from cardgen import terms
from cardgen.card.bench_values import BenchAnswer, GaugeMarks, Handwheel, ReadingTool, StockAnswer
from cardgen.card.rows import feed_text, on_division, reading_text
from cardgen.compute import seat, stages
from cardgen.compute.sum_error import SumError
from cardgen.digits import length_text
from cardgen.spec.complaint import Refusal


@dataclass(frozen=True)
class StockSums:
    """What turns a reading of one part into stock, feed and stage."""

    sizing: stages.Sizing
    allowances: stages.Allowances
    planned: tuple[stages.PlannedStage, ...]
    rough_tool: ReadingTool
    finish_tool: ReadingTool
    wheel: Handwheel

    def stage(self, name: terms.StageName) -> stages.PlannedStage:
        """The stage of this name; every part has one to rough to and a least blank."""
        return next(stage for stage in self.planned if stage.name == name)


@dataclass(frozen=True)
class GaugedPart:
    """One part as far as a reading of it is answered."""

    gauge: str
    units: terms.Units
    length: float  # mm, of the taper
    seat: seat.Seat
    sums: StockSums
    short: int  # divisions of finish size that the first of two feeds stops
    worn_from: float | None  # mm, the least that a worn piece must read to be worth starting
    marks: GaugeMarks | None


def bench_answer(gauged: GaugedPart, reading_mm: float) -> BenchAnswer:
    """What a reading means; raises Refusal for one that this gauge cannot show on this piece."""
    sums, sizing = gauged.sums, gauged.sums.sizing
    if not can_be_read(gauged.seat, sizing, reading_mm):
        length, shown, finish = (
            length_text(each, gauged.units) for each in (gauged.length, reading_mm, sizing.finish_reading)
        )
        raise Refusal(
            f"gauge {gauged.gauge} cannot show {shown} on a taper {length} long",
            f"read again, and look at the unit: a finished piece reads {finish}",
        )
    answer = stock_at(sums, reading_mm)
    first = first_feed(answer.divisions, gauged.short)
    start, worth = gauged.worn_from, None
    if start is not None and answer.stock_mm < sums.stage("blank low").stock - stages.NOISE:
        worth = (reading_mm - start) * sizing.per_reading >= -stages.NOISE
    return BenchAnswer(
        answer=answer,
        first_feed_text=feed_text(first, sums.wheel) if first else "",
        worth_starting=worth,
        between_marks=gauged.marks.least_mm <= reading_mm <= gauged.marks.most_mm if gauged.marks else None,
    )


def can_be_read(lies: seat.Seat, sizing: stages.Sizing, reading_mm: float) -> bool:
    """Whether the gauge, anywhere on this piece, could show such a reading."""
    if terms.reading(sizing.kind).closes and reading_mm < 0:
        return False
    try:
        seat.contact_ends(lies, (reading_mm - sizing.finish_reading) * sizing.per_reading)
    except SumError:
        return False
    return True


def stock_at(sums: StockSums, reading_mm: float) -> StockAnswer:
    """The stock that any reading tells, how far to feed for it, and the stage the piece stands at."""
    return stock_shown(sums, reading_mm, _as_shown(sums, reading_mm))


def stock_shown(sums: StockSums, reading_mm: float, as_shown: str) -> StockAnswer:
    """As `stock_at`, of a reading that a tool shows so."""
    sizing, wheel = sums.sizing, sums.wheel
    side = terms.reading(sizing.kind).side
    left = stages.left_at(reading_mm, sizing)
    word = stages.standing(left.stock, sums.planned, sums.allowances, side)
    to_rough = stages.divisions_between(reading_mm, sums.stage("rough").reading, sizing)
    return StockAnswer(
        reading_mm=reading_mm,
        reading_text=as_shown,
        stock_mm=left.stock,
        cross_feed_mm=left.travel,
        divisions=left.divisions,
        divisions_text=feed_text(left.divisions, wheel),
        divisions_to_rough=to_rough,
        divisions_to_rough_text=feed_text(to_rough, wheel),
        left_on_mm=left.stock - left.divisions * wheel.stock_per_division_mm,
        stage=word,
        past_size=word == stages.PAST_SIZE[side],
    )


def first_feed(divisions: int, short: int) -> int:
    """The first of two feeds to finish size; 0 where one goes there."""
    return max(0, divisions - short)


def _as_shown(sums: StockSums, reading_mm: float) -> str:
    """A reading as the tool shows it that has such a division; else with a digit more than finishing has."""
    by = sums.finish_tool, sums.rough_tool
    return reading_text(reading_mm, next((tool for tool in by if on_division(reading_mm, tool)), by[0]))


def gauged_as_plain(gauged: Any) -> Any:
    """A part, or what it holds, as JSON can carry it, each figure to its last bit."""
    if isinstance(gauged, tuple):
        return list(map(gauged_as_plain, gauged))
    names = getattr(gauged, "__dataclass_fields__", None)
    return {name: gauged_as_plain(getattr(gauged, name)) for name in names} if names else gauged


def gauged_from_plain(plain: Mapping[str, Any]) -> GaugedPart:
    """As it was before `gauged_as_plain`."""
    sums, marks = plain["sums"], plain["marks"]
    between = sums["allowances"]["semi_finish"]
    return GaugedPart(
        gauge=plain["gauge"],
        units=plain["units"],
        length=plain["length"],
        seat=seat.Seat(**plain["seat"]),
        sums=StockSums(
            sizing=stages.Sizing(**sums["sizing"]),
            allowances=stages.Allowances(
                **{**sums["allowances"], "semi_finish": tuple(between) if between else None}
            ),
            planned=tuple(stages.PlannedStage(**stage) for stage in sums["planned"]),
            rough_tool=ReadingTool(**sums["rough_tool"]),
            finish_tool=ReadingTool(**sums["finish_tool"]),
            wheel=Handwheel(**sums["wheel"]),
        ),
        short=plain["short"],
        worn_from=plain["worn_from"],
        marks=GaugeMarks(**marks) if marks else None,
    )
