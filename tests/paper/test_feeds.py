"""The table of feeds: a piece stands in one zone, and no heavy figure feeds past its halt."""

from dataclasses import replace
from itertools import pairwise
from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cardgen.card.values import Card
from cardgen.paper.panels import PANELS
from cardgen.paper.panels.feed_rows import feed_blocks, kept
from cardgen.paper.pictures.zones import zones
from cardgen.paper.words.figures import Figures
from tests.paper.looking import drawn_in, looks_of, printed, read_back
from tests.paper.made_cards import KINDS, made_card

FINISH = {"plug_depth": 47.0, "small_end_standout": 4.0}
FEEDS = PANELS["feeds"]


def plain(kind: str = "shoulder_gap", **what: object) -> Card:
    return made_card(kind, finish=FINISH.get(kind, 3.0), **what)  # type: ignore[arg-type]


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(KINDS),
    st.floats(0.001, 0.1),
    st.floats(0.02, 0.2),
    st.floats(0.25, 1.0),
    st.floats(0.01, 1.0),
)
def test_the_zones_follow_one_another_without_gap_or_overlap(
    kind: str, tolerance: float, leave: float, least: float, more: float
) -> None:
    """Every stock lies in one zone."""
    found = zones(plain(kind, tolerance=tolerance, leave=leave, blank=(least, least + more)))
    assert found[0].high == inf
    assert found[-1].low == -inf
    for upper, lower in pairwise(found):
        assert lower.high == pytest.approx(upper.low)
    assert all(zone.high > zone.low for zone in found)


@pytest.mark.parametrize("kind", KINDS)
def test_rows_run_from_most_stock_down_and_end_where_nothing_is_fed(kind: str) -> None:
    """Down to 'stop here' with the roughing tool; then every row asks for a feed; then the limits."""
    card = plain(kind)
    text = " ".join(printed(FEEDS, card, "A5", 76.0, 170.0).text.split())
    rough, rest = text.split("stop here")
    assert "Rough: " in rough
    assert rest.index("Finish 1") < rest.index("Finish 2") < rest.index("AIM")


@pytest.mark.parametrize("kind", KINDS)
def test_the_limits_say_which_side_of_them_is_good(kind: str) -> None:
    """From the limit with more metal down past the aim to the one with less; then nothing is good."""
    card = plain(kind)
    text = " ".join(printed(FEEDS, card, "A5", 76.0, 170.0).text.split())
    first, last = "good from here", "good to here"
    assert text.index(first) < text.index("AIM") < text.index(last)
    low, high = card.batch.reading_low_text, card.batch.reading_high_text
    assert f"Good: {Figures('metric').limits(low, high)}".replace("\u00a0", " ") in text.replace(
        "\u00a0", " "
    )
    past = "under size" if card.taper.side == "external" else "over size"
    assert f"{past}, scrap" in text


def test_readings_and_next_feeds_are_larger_than_what_is_only_looked_up() -> None:
    """The heavy figure is found at a glance; limits and aim are as large as all that the hand acts on."""
    card = plain()
    shown = printed(FEEDS, card, "A5", 76.0, 160.0)
    assert shown.size_of("3.00") >= 14
    row = next(row for row in card.stock_table if row.tool == "rough" and row.divisions_to_rough)
    assert shown.size_of(f"{row.divisions_to_rough}") > shown.size_of(f"{row.stock_mm:.3f}")


def test_a_piece_roughed_to_its_target_has_a_row_however_short_the_table_is(
    demo_cards: tuple[Card, ...],
) -> None:
    """Most pieces come to the first feed with that stock: between two far rows they would be fed a crumb."""
    for card in demo_cards:
        rough = card.stage("rough")
        assert rough is not None
        for block in (each for each in feed_blocks(card) if each.name == "first"):
            less = [rough.stock_mm - row.stock_mm for row in kept(block, 0)]
            one = block.tool.division_mm * abs(card.reading.per_mm)
            assert min(each for each in less if each > -1e-9) < one, card.title.part


def test_zones_are_named_in_words() -> None:
    """Hatching helps; the words carry."""
    text = printed(FEEDS, plain(tolerance=0.02), "A5", 76.0, 170.0).text
    for words in ("blank", "roughing", "finishing", "good", "under"):
        assert words in text


def test_a_short_table_leaves_out_rows_but_never_the_first_the_halt_or_the_limits() -> None:
    """At its least height the steps are coarser; what a hand must find is there."""
    card = plain()
    least = printed(FEEDS, card, "A5", 76.0)
    tall = printed(FEEDS, card, "A5", 76.0, 200.0)
    assert len(least.text) < len(tall.text)
    first = next(row for row in card.stock_table if row.tool == "rough")
    for words in (first.reading_text.split()[0], "stop here", "AIM", "scrap"):
        assert words in least.text


def test_stock_stands_in_both_systems_where_there_is_width_and_else_in_the_leading_one() -> None:
    """A wide table tells inches beside millimetres."""
    card = plain(units="both")
    looks = looks_of(card, "A4")
    (wide,) = read_back([drawn_in(FEEDS, card, looks, 120.0, FEEDS.height(card, 120.0, looks))])
    narrow = printed(FEEDS, card, "A5", 50.0)
    assert len(wide.text) > len(narrow.text)
    assert not wide.overlaps()
    assert not narrow.overlaps()


def test_no_limits_are_printed_where_the_tool_proves_none() -> None:
    """The aim stands alone, and says so."""
    card = plain()
    stages = tuple(stage for stage in card.stages if stage.name not in ("finish low", "finish high"))
    none = replace(
        card.batch, reading_low_mm=None, reading_high_mm=None, reading_low_text="", reading_high_text=""
    )
    text = printed(FEEDS, replace(card, stages=stages, batch=none), "A5", 76.0, 160.0).text
    assert "proves the size" in " ".join(text.split())
    assert "good from" not in text
