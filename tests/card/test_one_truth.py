"""One truth for a reading, on hundreds of made-up parts that go the whole way from the text of their specs.

Whatever is told beside a reading (stock, feed, limits, the stage a piece stands at) is held against pieces
ground and gauged in tests/made/bench.py, which shares no formula with the package.
"""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from random import Random

import pytest

from cardgen.card.at_the_bench import bench_answer
from cardgen.card.finding import PartErrors
from cardgen.card.gather import Gathered
from cardgen.card.values import Card, Stage, StockRow
from cardgen.digits import NBSP
from cardgen.paper.bench_card import templates_of
from cardgen.paper.panels.feed_rows import limit_marks
from cardgen.paper.press.page import FORMATS, looks_for
from cardgen.paper.words.figures import Figures
from cardgen.shop.folder import Shop
from tests.made.bench import ground, reading, shown, size_with, stock_of
from tests.made.shops import FINISH_TOOLS, HANDWHEELS, KINDS, ROUGH_TOOLS, Part, made_shop, write

PARTS = 500
FINE = 2e-9  # mm on the diameter: arithmetic
DIVISIONS = {**ROUGH_TOOLS, **FINISH_TOOLS}
TOLD = {"stages-out-of-order", "blank-too-small", "blank-limits-not-shown"}


@dataclass(frozen=True)
class Made:
    """A made-up part with its card."""

    part: Part
    shop: Shop
    gathered: Gathered

    @property
    def card(self) -> Card:
        return self.gathered.card

    def rows(self) -> Iterator[Stage | StockRow]:
        """Everything printed that has a reading."""
        yield from self.card.stages
        yield from self.card.stock_table

    def stage(self, name: str) -> Stage | None:
        return next((stage for stage in self.card.stages if stage.name == name), None)

    def limits(self) -> tuple[float, float]:
        """The exact limits of size as readings, lower and higher, by gauging two pieces of those sizes."""
        part = self.part
        low, high = sorted(reading(part, part.line + by) for by in (-part.minus, part.plus))
        return low, high


@pytest.fixture(scope="module")
def everything(tmp_path_factory: pytest.TempPathFactory) -> tuple[Made, ...]:
    """All made-up parts that can be worked out, those with an error of the card among them."""
    shop = made_shop(Random("one truth"), PARTS)
    read = Shop.read(write(shop, tmp_path_factory.mktemp("made")), date(2027, 1, 1))
    assert [str(complaint) for complaint in read.complaints] == []
    found = []
    for part in shop.parts.values():
        try:
            found.append(Made(part, read, read.card(part.id)))
        except PartErrors as errors:
            raise AssertionError(f"{part}: {errors}") from errors
    return tuple(found)


@pytest.fixture(scope="module")
def sound(everything: tuple[Made, ...]) -> tuple[Made, ...]:
    """Those that get a card, of every kind."""
    passed = tuple(each for each in everything if each.gathered.sound)
    assert len(passed) > 0.7 * len(everything)
    assert {each.part.kind for each in passed} == set(KINDS)
    assert {each.part.machine.division for each in passed} == set(HANDWHEELS)
    assert {each.part.finish_tool for each in passed} == set(FINISH_TOOLS)
    return passed


def test_a_piece_with_the_stock_of_a_row_gives_its_reading(sound: tuple[Made, ...]) -> None:
    """Stages and rows alike: a gauge pushed on to a piece with that stock on stops at that reading."""
    for each in sound:
        for row in each.rows():
            size = size_with(each.part, row.stock_mm)
            apart = reading(each.part, size) - row.reading_mm
            assert abs(apart * each.part.ratio) < FINE, (each.part, row, apart)


def test_what_is_fed_never_passes_finish_size_and_stops_within_a_division(sound: tuple[Made, ...]) -> None:
    """Divisions and infeed, at every stage and row, on both kinds of handwheel and of head."""
    for each in sound:
        part = each.part
        one = part.machine.slide_per_division
        for row in each.rows():
            size = size_with(part, row.stock_mm)
            fed = stock_of(part, ground(part, size, row.divisions * one))
            further = stock_of(part, ground(part, size, (row.divisions + 1) * one))
            if row.stock_mm <= 0:
                assert (row.divisions, row.cross_feed_mm) == (0, 0.0), (part, row)
                continue
            assert fed >= -1e-6, (part, row, fed)
            assert further < 1e-6, (part, row, further)
            assert abs(stock_of(part, ground(part, size, row.cross_feed_mm))) < FINE, (part, row)


def test_what_is_fed_to_rough_never_passes_the_rough_target(sound: tuple[Made, ...]) -> None:
    """The table's other column, and the place of the handwheel that leaves a stage's stock on."""
    for each in sound:
        part, rough = each.part, each.stage("rough")
        assert rough is not None
        one = part.machine.slide_per_division
        for row in each.card.stock_table:
            size = size_with(part, row.stock_mm)
            fed = stock_of(part, ground(part, size, row.divisions_to_rough * one))
            assert fed >= min(rough.stock_mm, row.stock_mm) - 1e-6, (part, row, fed)
            if row.stock_mm > rough.stock_mm:
                further = stock_of(part, ground(part, size, (row.divisions_to_rough + 1) * one))
                assert further < rough.stock_mm + 1e-6, (part, row)
        for stage in each.card.stages:
            back = stock_of(part, ground(part, size_with(part, 0.0), -stage.position_divisions * one))
            assert back >= stage.stock_mm - 1e-6, (part, stage)


def test_every_printed_reading_is_one_that_its_tool_shows(sound: tuple[Made, ...]) -> None:
    """A whole number of its divisions, and its text read back is the reading itself."""
    for each in sound:
        for row in each.rows():
            division = DIVISIONS[each.part.rough_tool if row.tool == "rough" else each.part.finish_tool]
            count = row.reading_mm / division
            assert abs(count - round(count)) < 1e-6, (each.part, row)
            assert abs(shown(row.reading_text) - row.reading_mm) < 1e-9, (each.part, row)


def test_limits_to_accept_lie_within_the_limits_of_size_by_the_doubt_and_less_than_a_division(
    sound: tuple[Made, ...],
) -> None:
    """Drawn in by the doubt, rounded inwards and no further; where no division is left the card has none."""
    seen = set()
    for each in sound:
        part, batch = each.part, each.card.batch
        division = DIVISIONS[part.finish_tool]
        sure = each.card.doubt.stock_expanded_mm / part.ratio
        low, high = each.limits()[0] + sure, each.limits()[1] - sure
        least, most = math.ceil(low / division - 1e-6), math.floor(high / division + 1e-6)
        seen.add(least > most)
        if least > most:
            assert batch.reading_low_mm is batch.reading_high_mm is None, part
            assert each.stage("finish low") is each.stage("finish high") is None, part
            assert "size-not-proved" in {check.code for check in each.card.checks}
            continue
        assert (batch.reading_low_mm, batch.reading_high_mm) == pytest.approx(
            (least * division, most * division), abs=1e-9
        ), part
        ends = {stage.reading_mm for stage in (each.stage("finish low"), each.stage("finish high")) if stage}
        assert ends == {batch.reading_low_mm, batch.reading_high_mm}
    assert seen == {True, False}


def test_the_aim_lies_within_the_limits_with_stock_on_where_it_can(sound: tuple[Made, ...]) -> None:
    """The division next to the middle with more on; the one with less only where that passes the limit."""
    seen = set()
    for each in sound:
        aim, high, low = each.stage("finish"), each.stage("finish high"), each.stage("finish low")
        assert aim is not None
        worth = DIVISIONS[each.part.finish_tool] * each.part.ratio
        seen.add(aim.stock_mm >= -FINE)
        if aim.stock_mm >= -FINE:
            assert aim.stock_mm < worth, each.part
        else:
            assert high is not None
            accepted = (each.part.minus + each.part.plus) / 2 - each.card.doubt.stock_expanded_mm
            assert aim.stock_mm + worth > accepted - FINE, each.part
        if low is not None and high is not None:
            assert low.stock_mm - FINE <= aim.stock_mm <= high.stock_mm + FINE, each.part
    assert seen == {True, False}


def test_the_stages_lie_one_below_the_other_or_it_is_told(everything: tuple[Made, ...]) -> None:
    """Most blank > least > clean-up > rough > finish high ≥ finish ≥ finish low, as printed."""
    down = ("blank high", "blank low", "clean-up", "rough", "finish high", "finish", "finish low")
    ordered = 0
    for each in everything:
        stocks = [stage.stock_mm for name in down if (stage := each.stage(name)) is not None]
        strictly = stocks[: down.index("finish high") + 1]
        right = stocks == sorted(stocks, reverse=True) and len(set(strictly)) == len(strictly)
        ordered += right
        assert right is not bool(TOLD & {check.code for check in each.card.checks}), each.part
    assert ordered > 0.6 * len(everything)


def test_stock_at_a_printed_reading_is_what_is_printed(sound: tuple[Made, ...]) -> None:
    """`cardgen stock` at the text of any stage or row: the same stock, divisions and word."""
    for each in sound:
        gauged = each.gathered.gauged
        for row in each.rows():
            answer = bench_answer(gauged, shown(row.reading_text)).answer
            assert answer.stock_mm == pytest.approx(row.stock_mm, abs=1e-9)
            assert answer.divisions == row.divisions, (each.part, row)
            assert answer.reading_mm == pytest.approx(shown(answer.reading_text), abs=1e-9)
        for row in each.card.stock_table:
            asked = bench_answer(gauged, shown(row.reading_text))
            answer = asked.answer
            told = answer.stage, answer.past_size, answer.divisions_to_rough
            assert told == (row.stage, row.past_size, row.divisions_to_rough), (each.part, row)
            if row.tool == "finish":
                first = row.first_feed_text if row.first_feed_divisions else ""
                assert asked.first_feed_text == first, (each.part, row)


def test_a_piece_past_size_is_called_what_its_side_calls_it(sound: tuple[Made, ...]) -> None:
    """Too much metal gone: a shank is under size, a bore over; within the limits it is neither."""
    for each in sound:
        low, high = each.limits()
        word = "under size" if each.part.external else "over size"
        assert each.card.past_size == word
        for row in each.card.stock_table:
            beyond = row.stock_mm < 0 and not low - 1e-9 <= row.reading_mm <= high + 1e-9
            if row.tool == "finish":
                assert row.past_size == beyond, (each.part, row)
            assert row.past_size == (row.stage == word)
            assert row.stage != ("over size" if each.part.external else "under size")


def test_no_piece_drifts_out_of_its_limits_before_the_stop_is_moved(sound: tuple[Made, ...]) -> None:
    """The reading at which the stop is moved, the pieces till the next look, spread and doubt: all within."""
    by_stop = 0
    for each in sound:
        part, batch, card = each.part, each.card.batch, each.card
        aim = each.stage("finish")
        assert aim is not None
        if batch.move_at_mm is None:
            assert (batch.allowed_drift_mm, batch.check_every, batch.stop_divisions) == (0.0, 1, 0)
            continue
        by_stop += 1
        way = 1 if part.kind in ("shoulder_gap", "plug_standoff", "collar_gap") else -1
        assert batch.wear_moves_reading == ("up" if way > 0 else "down")
        assert batch.stop_divisions >= 1
        assert shown(batch.move_at_text) == pytest.approx(batch.move_at_mm, abs=1e-9)
        assert shown(batch.allowed_drift_text) == pytest.approx(batch.allowed_drift_mm, abs=1e-9)
        assert batch.move_at_mm == pytest.approx(aim.reading_mm + way * batch.allowed_drift_mm, abs=1e-9)
        growth = (card.speeds.drift_per_piece_mm or 0.0) / part.ratio
        worst = batch.allowed_drift_mm + batch.check_every * growth + (part.spread or 0.0)
        worst += 2 * card.doubt.reading_standard_mm
        low, high = each.limits()
        assert low - 1e-6 <= aim.reading_mm + way * worst <= high + 1e-6, part
        # Moving the stop by what is said brings a piece that has come so far not past the aim.
        size = size_with(part, aim.stock_mm + batch.allowed_drift_mm * part.ratio)
        moved = stock_of(part, ground(part, size, batch.stop_divisions * part.machine.slide_per_division))
        assert moved >= aim.stock_mm - 1e-6, part
        assert batch.pieces_between is None or batch.check_every <= batch.pieces_between
    assert by_stop > 20


def test_a_part_that_asks_for_fewer_checks_than_are_safe_is_told_so(everything: tuple[Made, ...]) -> None:
    """The safer is printed; a part that asks for more checks gets them."""
    asked = [each for each in everything if each.part.check_every is not None]
    for each in asked:
        assert each.card.batch.check_every <= (each.part.check_every or 0)
        seldom = "check-too-seldom" in {check.code for check in each.card.checks}
        assert seldom == (each.card.batch.check_every < (each.part.check_every or 0)), each.part
    assert asked


READING = re.compile(r"−?(?:\d+ )?(?:\d+⁄\d+|\d*\.?\d+) (?:mm|in)\b")


def test_every_reading_in_words_is_one_of_the_stages(sound: tuple[Made, ...]) -> None:
    """Steps and record sheet say no reading of their own, no drift of nothing, no plural of one."""
    templates = templates_of(sound[0].shop.templates)
    for each in sound[::5]:
        card = each.card
        words = templates.words(card, FORMATS["A5"])
        told = {stage.reading_text for stage in card.stages}
        told |= {card.batch.rough_to_text, card.batch.allowed_drift_text, card.batch.move_at_text}
        told.add(card.batch.set_aside_text)
        values = {round(shown(text), 9) for text in told if text}
        tool = Figures(card.title.units).tool(card.reading.finish_tool).replace(NBSP, " ")
        lines = [
            " ".join(text for run in line.fields for text, _ in run)
            for name in ("step_rough", "step_batch")
            for line in words.lines(name)
            if "warm" not in str(line.fields)
        ]
        lines += [
            words.label("record_sheet", key) for key in ("rough_limits", "finish_limits", "stop_limits")
        ]
        for line in (text.replace(NBSP, " ").replace("minus ", "−") for text in lines):
            for found in READING.findall(line.replace(tool, "")):
                assert round(shown(found.replace("⁄", "/")), 9) in values, (each.part, line, found)
            assert not re.search(r"(?<![\d.])0*\.?0+ (mm|in) from", line), line
            assert not re.search(r"\b1 (pieces|passes)\b", line), line


def test_the_limits_on_paper_are_the_stages(sound: tuple[Made, ...]) -> None:
    """From good, over the aim, to good: the readings of the stages, with less metal the further down."""
    templates = templates_of(sound[0].shop.templates)
    for each in sound[::5]:
        paper = FORMATS["A5"]
        figures = Figures(each.card.title.units)
        looks = looks_for(paper, figures, templates.words(each.card, paper))
        told = [mark.reading for mark in limit_marks(each.card, looks)]
        order = ("finish high", "finish", "finish low") if len(told) > 1 else ("finish",)
        stages = [each.stage(name) for name in order]
        assert told[: len(order)] == [figures.reading_alone(stage.reading_text) for stage in stages if stage]
