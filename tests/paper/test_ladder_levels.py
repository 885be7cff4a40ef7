"""The ladder's rails and zones: a piece stands in one zone only, and the finish can be seen."""

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cardgen.card.values import Card
from cardgen.paper.pictures.levels import magnification, rails
from tests.paper.made_cards import KINDS, made_card

FINISH = {"plug_depth": 47.0, "small_end_standout": 4.0}


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
    """From the top of the first rail to the foot of the last, every stock lies in one zone."""
    card = plain(kind, tolerance=tolerance, leave=leave, blank=(least, least + more))
    ladder = rails(card)
    zones = [zone for rail in ladder for zone in rail.zones]
    assert zones[0].high == ladder[0].high
    assert zones[-1].low == ladder[-1].low
    for upper, lower in pairwise(zones):
        assert lower.high == pytest.approx(upper.low)
    assert all(zone.high > zone.low for zone in zones)


@pytest.mark.parametrize("kind", KINDS)
def test_every_stage_stands_on_the_ladder(kind: str) -> None:
    """Seven stages; the rough target stands on both rails, where they meet."""
    ladder = rails(plain(kind))
    assert len(ladder) == 2
    assert {stage.name for rail in ladder for stage in rail.stages} == {
        "blank low", "blank high", "clean-up", "rough", "finish low", "finish", "finish high",
    }  # fmt: skip
    assert all(any(stage.name == "rough" for stage in rail.stages) for rail in ladder)


@pytest.mark.parametrize("kind", KINDS)
def test_less_stock_stands_lower_whichever_way_the_reading_runs(kind: str) -> None:
    """Each cut moves the piece down, though a standout and a depth grow while a gap shrinks."""
    ladder = rails(plain(kind))
    for rail in ladder:
        shares = [rail.share(stage.stock_mm) for stage in rail.stages]
        assert shares == sorted(shares)
    readings = [stage.reading_mm for stage in ladder[0].stages]
    assert readings == sorted(readings, reverse=kind in ("shoulder_gap", "plug_standoff", "collar_gap"))


def test_thin_limits_get_a_magnified_rail_and_wide_ones_do_not() -> None:
    """A tolerance that is seen beside the blank's stock needs no second scale."""
    assert len(rails(plain(tolerance=0.005))) == 2
    assert len(rails(plain(tolerance=0.06, blank=(0.2, 0.3)))) == 1


def test_the_second_rails_scale_is_the_larger_one() -> None:
    """What is left for finishing is drawn larger, and the factor is told."""
    ladder = rails(plain())
    assert magnification(ladder, (40.0, 40.0)) > 2


def test_a_stage_stands_where_its_reading_leaves_it() -> None:
    """The reading at the left and the stock at the right of one line belong together."""
    card = plain()
    for rail in rails(card):
        for stage in rail.stages:
            stock = card.reading.per_mm * (stage.reading_mm - card.reading.finish_mm)
            assert stage.stock_mm == pytest.approx(stock)


def test_graduations_are_readings_of_the_tool_in_hand() -> None:
    """The upper rail is read with the roughing tool, the lower with the finishing tool."""
    upper, lower = rails(plain())
    assert {row.tool for row in upper.rows} == {"rough"}
    assert {row.tool for row in lower.rows} == {"finish"}
