"""Whatever taper, gauge and machine a shop has: its card is legible on every paper."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from cardgen.card.values import Card
from cardgen.paper.bench_card import bench_card, card_sides, read_templates
from cardgen.paper.panels.feed_rows import feed_blocks
from cardgen.paper.press.page import FORMATS
from cardgen.shop.folder import Shop
from tests.paper.conftest import ROOT
from tests.paper.leaves import TWO_SIDED, faults, random_shop, sound_cards
from tests.paper.legibility import complaints
from tests.paper.made_cards import CALIPER, COLLAR, HALF_MM, KINDS, SIXTY_FOURTH, THOU_DEPTH, made_card


@st.composite
def makings(draw: st.DrawFn) -> dict[str, Any]:
    """What `made_card` takes: slow to steep, tiny to long, coarse and fine, with and without a screw."""
    ratio = draw(st.sampled_from([1 / 100, 1 / 50, 1 / 20, 1 / 8, 1 / 5, 7 / 24, 0.5359, 1.1547]))
    length = draw(st.floats(6.0, 400.0))
    large = ratio * length + draw(st.floats(3.0, 150.0))
    gauge_length = length * draw(st.floats(0.5, 0.95))
    kind = draw(st.sampled_from(KINDS))
    finish = {
        "shoulder_gap": 0.05 * length,
        "small_end_standout": (length - gauge_length) / 2,
        "plug_standoff": 0.02 * length,
        "collar_gap": COLLAR - 0.02 * length,
        "plug_depth": 0.8 * gauge_length,
    }[kind]
    stock = draw(st.floats(0.05, 1.0))
    return {
        "kind": kind,
        "ratio": ratio,
        "large": large,
        "length": length,
        "gauge_length": gauge_length,
        "finish": finish,
        "relief": draw(st.sampled_from([0.0, 2.0])),
        "units": draw(st.sampled_from(["metric", "inch", "both"])),
        "tolerance": draw(st.sampled_from([0.002, 0.01, 0.05])),
        "blank": (0.7 * stock, stock),
        "leave": 0.2 * stock,
        "tools": draw(st.sampled_from([(HALF_MM, CALIPER), (SIXTY_FOURTH, THOU_DEPTH)])),
        "set_by": "wheel head" if ratio > 0.4 else "table",
        "screw": draw(st.booleans()),
    }


# The words of a depth that may be minus are wider than the drawing's column on a narrow card.
WIDE_WORDS = {"kind": "plug_depth", "ratio": 0.01, "large": 12.06, "length": 6.0, "gauge_length": 3.0}


@settings(max_examples=40, deadline=None)
@given(makings(), st.sampled_from(list(FORMATS)))
@example({**WIDE_WORDS, "finish": 2.4, "relief": 0.0, "leave": 0.1, "screw": False}, "5x8 in")
def test_any_card_is_legible_on_any_paper(making: dict[str, Any], paper: str) -> None:
    """Ensures no combination of figures makes a text too small, covered, cut or too near the edge."""
    card = made_card(**making)
    assume(feed_blocks(card))  # of a blank within its limits of size nothing is fed: it gets no card
    assert complaints(bench_card(card, paper, read_templates(ROOT / "templates")).pdf()) == []


RANDOM_PARTS = 50  # `python -m tests.paper.leaves` looks at 200, each on every paper


@pytest.fixture(scope="module")
def made_up(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    return random_shop(RANDOM_PARTS, tmp_path_factory.mktemp("made"))


@pytest.mark.parametrize("first", range(0, RANDOM_PARTS, 10))
def test_a_random_part_has_a_legible_leaf(first: int, made_up: Shop) -> None:
    """Ensures two sides on A5, half letter, 5 × 8, letter or A4, nothing too small, covered or cut."""
    for number, card in enumerate(sound_cards(made_up, made_up.part_ids[first : first + 10])):
        assert faults(card, TWO_SIDED[number % len(TWO_SIDED)]) == []


LONG_NAME = (
    "Spindle nose with long taper and driving keys for the second operation on an older machine " * 3
)[:200]
LONG_NOTE = ("Keep the centres clean and oiled, and look for burrs at both ends. " * 4)[:200]


@pytest.mark.parametrize("paper", TWO_SIDED)
def test_a_long_name_and_a_long_note_take_no_third_side(paper: str, demo_cards: tuple[Card, ...]) -> None:
    """Ensures every demo card stays one leaf with a name and a note of 200 letters."""
    for card in demo_cards:
        card = replace(card, title=replace(card.title, name=LONG_NAME, notes=(LONG_NOTE,)))
        assert len(card_sides(card, paper, read_templates(ROOT / "templates"))) == 2, card.title.part
