"""Words of the side and of the reading, which every paper takes from one template."""

from dataclasses import replace
from typing import get_args

import pytest

from cardgen.card.values import BenchAnswer, Card, StockAnswer
from cardgen.digits import NBSP
from cardgen.paper.bench_card import Templates
from cardgen.paper.press.page import FORMATS
from cardgen.paper.words.answer import answer_lines, answer_words
from cardgen.terms import ReadingKind
from tests.paper.made_cards import made_card

FINISH = {"plug_depth": 47.0, "small_end_standout": 4.0}


def said(card: Card, templates: Templates, name: str) -> str:
    """All words of a template for a card."""
    lines = templates.words(card, FORMATS["A5"]).lines(name)
    told = "\n".join("".join(text for run in line.fields for text, _ in run) for line in lines)
    return told.replace(NBSP, " ")


def label(card: Card, templates: Templates, name: str, key: str) -> str:
    """One label of a template for a card."""
    return templates.words(card, FORMATS["A5"]).label(name, key).replace(NBSP, " ")


@pytest.mark.parametrize("kind", get_args(ReadingKind))
def test_a_piece_past_size_is_told_by_its_side(kind: ReadingKind, templates: Templates) -> None:
    """Ensures a bore with too much gone is over size, above finish size, on a screen and on the ladder."""
    card = made_card(kind, finish=FINISH.get(kind, 3.0))
    inside = card.taper.side == "internal"
    past = "over size" if inside else "under size"
    answer = StockAnswer(1.0, "1.00 mm", -0.05, 0.0, 0, "0 div", 0, "0 div", -0.05, past, True)
    words = answer_words(card, templates.files)
    told = "\n".join(answer_lines(words, "metric", BenchAnswer(answer, "", None, None)))
    assert f"0.050 mm {'above' if inside else 'below'} finish size; do not feed" in told
    assert f"stands at  {past}" in told
    assert past in templates.words(card, FORMATS["A5"]).label("feeds", "lost")


@pytest.mark.parametrize(
    ("plane", "where"),
    [(0.0, "the mouth"), (0.25, "the plane 0.25 mm inside the mouth"), (4.0, "4 mm inside")],
)
def test_the_plane_of_a_depth_is_named_wherever_it_is_read(
    plane: float, where: str, templates: Templates
) -> None:
    """Ensures drawing, steps and strip name the plane that the part gives, a small one too."""
    card = made_card("plug_depth", finish=47.0, plane=plane)
    assert where in label(card, templates, "pictures", "reading")
    assert where in label(card, templates, "gap_strip", "use")
    assert where in said(card, templates, "step_holding")


def test_minus_is_told_in_words_where_any_printed_reading_is_below_nought(templates: Templates) -> None:
    """Ensures table, steps and record sheet say what minus means, though the finish has none."""
    note = "minus: small end inside the ring"
    for finish, wanted in ((1.0, True), (30.0, False)):
        card = made_card("small_end_standout", finish=finish)
        assert card.shows_minus == wanted
        words = templates.words(card, FORMATS["A5"])
        told = (
            words.label("feeds", "rule").lower(),
            words.label("record_sheet", "under"),
            said(card, templates, "step_holding"),
        )
        assert all((note in each) == wanted for each in told)


def test_one_piece_is_one_piece_and_a_stop_says_when_and_how_far(templates: Templates) -> None:
    """Ensures singulars, and the way, the reading and the divisions of the stop."""
    card = made_card()
    alone = replace(card, batch=replace(card.batch, pieces=1, pieces_to_check=(1,), check_first=1))
    assert said(alone, templates, "step_batch") == ""
    assert "rough the batch" not in said(alone, templates, "step_rough")
    one = replace(alone, title=replace(alone.title, pieces=1))
    assert "1 piece " in said(one, templates, "title") + " "
    further = replace(card.batch, stop_divisions=3, stop_divisions_text="3 div")
    plan = said(replace(card, batch=further), templates, "step_batch")
    assert "readings creep up" in plan
    assert "Feed the stop in3 div" in plan
    each = replace(card.batch, move_at_mm=None, move_at_text="", check_every=1)
    assert "Size every piece by itself" in said(replace(card, batch=each), templates, "step_batch")


def test_a_card_without_limits_says_what_to_do_instead(templates: Templates) -> None:
    """Ensures no limits are made up where the tool shows none."""
    card = made_card()
    stages = tuple(stage for stage in card.stages if stage.name not in ("finish low", "finish high"))
    none = replace(
        card.batch, reading_low_mm=None, reading_high_mm=None, reading_low_text="", reading_high_text=""
    )
    without = replace(card, stages=stages, batch=none)
    first = said(without, templates, "step_first")
    assert "No limits: no reading of the caliper 0.02 mm proves the size" in first
    assert "Go on with a finer tool" in first
    assert "measure with a finer tool" in templates.words(without, FORMATS["A5"]).label(
        "record_sheet", "finish_limits"
    )


def test_blanks_read_with_the_finishing_tool_say_so(templates: Templates) -> None:
    """Ensures the hand takes the tool that can tell the limits apart."""
    card = made_card()
    finer = tuple(
        replace(stage, tool="finish") if stage.name.startswith("blank") else stage for stage in card.stages
    )
    assert "by caliper" in said(replace(card, stages=finer), templates, "step_holding")
    assert "by steel rule" in said(card, templates, "step_holding")
