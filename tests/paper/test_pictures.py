"""The four pictures on paper: within their box, nothing covered, large enough, saying what they must."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest

from cardgen.card.values import Card
from cardgen.paper.panels import PANELS
from cardgen.paper.panels.drawing import best_in
from cardgen.paper.press.page import Looks
from cardgen.paper.words.corrections import corrections
from cardgen.paper.words.figures import Figures
from cardgen.terms import ReadingKind, TableMoves, Units
from tests.paper.looking import Drawn, drawn_in, looks_of, printed, read_back
from tests.paper.made_cards import CALIPER, HALF_MM, KINDS, SIXTY_FOURTH, THOU_DEPTH, made_card

# ratio, large diameter, length, gauge's length: slow, common, steep, 60° included, long, tiny
SHAPES = (
    (1 / 50, 20.0, 80.0, 60.0),
    (1 / 8, 38.4, 62.0, 50.0),
    (7 / 24, 60.0, 40.0, 35.0),
    (1.1547, 60.0, 30.0, 20.0),
    (1 / 20, 100.0, 300.0, 280.0),
    (1 / 5, 4.0, 6.0, 5.0),
)
# The widths that panels have on each paper, mm
WIDTHS = {
    "drawing": (("A6", 92.0), ("A5", 92.0), ("A5", 134.0), ("5x8 in", 75.0), ("A4", 130.0)),
    "feeds": (("A6", 92.0), ("A5", 76.0), ("5x8 in", 60.0), ("A4", 105.0)),
    "plan_view": (("A6", 92.0), ("A5", 57.0), ("5x8 in", 48.0), ("A4", 80.0)),
    "patterns": (("A6", 92.0), ("A5", 66.0), ("5x8 in", 56.0), ("A4", 95.0)),
    "how_far_by_blue": (("A6", 92.0), ("A5", 66.0), ("5x8 in", 56.0), ("A4", 95.0)),
    "dogs": (("A6", 92.0), ("A5", 66.0), ("5x8 in", 56.0), ("A4", 95.0)),
}
HEADSTOCK: TableMoves = "tailstock end away from wheel"


def shaped(kind: ReadingKind, shape: tuple[float, float, float, float], units: Units) -> Card:
    ratio, large, length, gauge = shape
    finish = {"plug_depth": 0.75 * gauge, "small_end_standout": (length - gauge) / 2}.get(kind, 0.03 * length)
    return made_card(
        kind,
        ratio,
        large,
        length,
        gauge,
        finish,
        relief=0.0 if units == "inch" else 0.05 * length,
        units=units,
        tolerance=0.002 if units == "both" else 0.005,
        tools=(SIXTY_FOURTH, THOU_DEPTH) if units == "inch" else (HALF_MM, CALIPER),
        set_by="wheel head" if ratio > 0.4 else "table",
        screw=units != "both",
    )


@cache
def cards() -> tuple[Card, ...]:
    return tuple(each_card())


@cache
def looks_at(number: int, paper: str) -> Looks:
    """How the card of this number looks on this paper, its words worked out once for all panels."""
    return looks_of(cards()[number], paper)


def each_card() -> Iterator[Card]:
    units: tuple[Units, ...] = ("inch", "metric", "both")
    for number, kind in enumerate(KINDS):
        for turn, shape in enumerate(SHAPES):
            card = shaped(kind, shape, units[(number + turn) % 3])
            yield card
            yield replace(card, swivel=replace(card.swivel, more_taper_moves=HEADSTOCK))


@pytest.mark.parametrize("name", WIDTHS)
def test_no_text_leaves_its_box_or_covers_another(name: str) -> None:
    """Every kind of reading, slow to steep, tiny to long, on every paper, at the least height and above."""
    panel = PANELS[name]
    for paper, width in WIDTHS[name]:
        drawn: dict[str, tuple[str, Drawn]] = {}  # those that look alike once
        for number, card in enumerate(cards()):
            looks = looks_at(number, paper)
            least = panel.height(card, width, looks)
            for more in (0.0, 40.0):
                made = drawn_in(panel, card, looks, width, least + more)
                drawn[made.marks] = f"{card.reading.kind} {card.taper.callout} {card.title.units}", made
        for (what, _), shown in zip(
            drawn.values(), read_back([made for _, made in drawn.values()]), strict=True
        ):
            assert not shown.outside(), f"{name} on {paper}, {what}"
            assert not shown.overlaps(), f"{name} on {paper}, {what}"


@pytest.mark.parametrize("kind", KINDS)
def test_the_drawing_tells_the_finish_reading_large_and_its_scale(kind: ReadingKind) -> None:
    """The reading is a value the hand acts on: at least 14 pt."""
    card = shaped(kind, SHAPES[1], "metric")
    shown = printed(PANELS["drawing"], card, "A5", 92.0)
    finish = next(stage.reading_text for stage in card.stages if stage.name == "finish")
    assert shown.size_of(finish.split()[0]) >= 14
    assert "scale 1:" in shown.text
    assert card.gauge.id in shown.text


def test_the_drawing_dimensions_the_taper_as_drawings_do() -> None:
    """⌀ with its tolerance, length, ratio, relief."""
    text = printed(PANELS["drawing"], made_card(), "A5", 134.0).text.replace("\u00a0", " ")
    for words in ("⌀38.000 ±0.010 mm", "62.0 mm", "1 : 8", "Relief 3.0 mm"):
        assert words in text


def test_a_one_sided_tolerance_is_written_with_a_plain_nought() -> None:
    """As drawings write it: +0.010 −0."""
    card = made_card()
    taper = replace(card.taper, gauge_line_low_mm=card.taper.gauge_line_diameter_mm)
    text = printed(PANELS["drawing"], replace(card, taper=taper), "A5", 134.0).text
    assert "+0.010 −0" in text


def test_a_taller_panel_is_drawn_at_a_larger_scale_and_never_outgrows_its_height() -> None:
    """Spare room goes to the view, in steps of the standard scales."""
    card = made_card()
    looks = looks_of(card, "A5")
    least = PANELS["drawing"].height(card, 134.0, looks)
    small, large = best_in(card, 134.0, looks, least), best_in(card, 134.0, looks, least + 40)
    assert large.scale.factor > small.scale.factor
    assert large.height <= least + 40
    assert small.height <= least


def test_a_reading_too_small_to_see_gets_a_detail_at_its_own_stated_scale() -> None:
    """A gap of 3 mm on a taper of 300 mm drawn 1:5 or smaller."""
    card = made_card("shoulder_gap", 1 / 20, 100.0, 300.0, 290.0, 3.0, relief=0.0)
    text = printed(PANELS["drawing"], card, "A5", 92.0).text.replace("\u00a0", " ")
    assert "A 2:1" in text.replace("  ", " ")


@pytest.mark.parametrize(
    ("kind", "finish", "words"),
    [
        ("small_end_standout", -1.5, "inside the ring"),
        ("small_end_standout", 0.0, "flush with"),
        ("plug_standoff", -2.0, "inside the mouth"),
        ("plug_standoff", 0.0, "level with the mouth"),
        ("plug_depth", 47.0, "from the mouth"),
        ("shoulder_gap", 3.0, "gap, shoulder to ring"),
    ],
)
def test_the_drawing_says_what_is_measured(kind: ReadingKind, finish: float, words: str) -> None:
    """In words, and right for readings of nought and below it."""
    card = made_card(kind, finish=finish, relief=0.0)
    assert words in printed(PANELS["drawing"], card, "A5", 134.0).text


def test_the_dogs_tell_both_ends_and_the_travel_as_hand_values() -> None:
    """From the wheel's edges, at either end, and how far the table goes between."""
    card = made_card()
    shown = printed(PANELS["dogs"], card, "A5", 66.0)
    figures = Figures("metric")
    for value in (card.stroke.overrun_open_mm, card.stroke.travel_mm):
        assert shown.size_of(figures.length_down(value)) >= 14
    assert "shoulder" in shown.text
    assert "small end" in shown.text


def test_the_plan_view_says_what_the_machine_does_and_how_the_work_is_held() -> None:
    """A picture of one way to hold the work must say so."""
    card = made_card()
    text = printed(PANELS["plan_view"], card, "A4", 190.0).text
    assert "MORE: tailstock end of the table to the wheel" in text
    assert "Small end at the tailstock" in text
    hole = made_card("plug_standoff", more_taper_moves=HEADSTOCK)
    assert "wheel on the far wall" in printed(PANELS["plan_view"], hole, "A4", 190.0).text


@pytest.mark.parametrize("kind", KINDS)
def test_patterns_of_blue_are_estimates_and_their_turns_are_hand_values(kind: ReadingKind) -> None:
    """The word 'estimate' stands beside the figures from blue; turns are at least 14 pt."""
    card = shaped(kind, SHAPES[1], "metric")
    assert printed(PANELS["patterns"], card, "A5", 66.0).size_of("MORE") >= 14
    shown = printed(PANELS["how_far_by_blue"], card, "A5", 66.0)
    assert "(estimate)" in shown.text
    largest = corrections(card)[-1][0]  # no more is turned at once than the table's last row
    first = min(abs(row.screw_divisions or 0.0) for row in (card.blue[0], largest))
    assert shown.size_of(Figures("metric").divisions(first)) >= 14


def test_blue_all_over_asks_for_no_turn() -> None:
    """What is left is below what blue shows: it is proved by other means, not turned for."""
    card = made_card()
    text = printed(PANELS["how_far_by_blue"], card, "A5", 66.0).text.replace("\u00a0", " ")
    all_over = Figures("metric").divisions(abs(card.blue[-1].screw_divisions or 0.0))
    assert text.rstrip().endswith("all over\r\nnone" if card.move("prove the angle") is None else "prove")
    assert f"< {all_over}" not in text


def test_a_machine_without_screw_and_indicator_is_told_the_turn_in_seconds() -> None:
    """There is always something to turn by."""
    text = printed(PANELS["how_far_by_blue"], made_card(screw=False), "A5", 66.0).text
    assert "seconds of arc" in text
    assert "″" in text
