"""The record sheet: a line for each piece that is checked, the limits at its head."""

from dataclasses import replace

import pytest

from cardgen.card.values import Card
from cardgen.paper.bench_card import Templates
from cardgen.paper.figures import Figures
from cardgen.paper.page import FORMATS
from cardgen.paper.record_sheet import pieces_to_check, record_sheet
from tests.paper.legibility import complaints, sides, text_of


def with_batch(card: Card, pieces: int | None, first: int, every: int) -> Card:
    batch = replace(card.batch, pieces=pieces, check_first=first, check_every=every)
    return replace(card, batch=batch, title=replace(card.title, pieces=pieces))


def test_the_lines_are_the_pieces_of_the_check_plan(sample: dict[str, Card]) -> None:
    """Ensures the first ones, then each so-manyth, and the last."""
    card = with_batch(sample["metric"], 23, 3, 5)
    assert pieces_to_check(card, 30) == ("1", "2", "3", "5", "10", "15", "20", "23")


def test_a_batch_of_no_known_size_gets_a_page_of_blank_lines(sample: dict[str, Card]) -> None:
    """Ensures a sheet is there to write on before the order is known."""
    assert pieces_to_check(with_batch(sample["metric"], None, 3, 5), 12) == ("",) * 12


@pytest.mark.parametrize("paper", FORMATS)
def test_record_sheets_are_legible(paper: str, demo_cards: tuple[Card, ...], templates: Templates) -> None:
    """Ensures every format holds its columns."""
    for card in demo_cards:
        assert complaints(record_sheet(card, paper, templates)) == [], card.title.part


def test_every_piece_has_its_line_and_every_page_its_limits(
    sample: dict[str, Card], templates: Templates
) -> None:
    """Ensures a long batch goes on to further pages, each with the limits at its head."""
    card = with_batch(sample["metric"], 100, 3, 1)
    made = record_sheet(card, "A4", templates)
    numbers = {word.text for side in sides(made) for word in side.words}
    assert {str(piece) for piece in range(1, 101)} <= numbers
    limits = Figures("metric").reading_limits(card.reading).replace("\u00a0", " ")
    assert text_of(made).replace("\u00a0", " ").count(limits) == len(sides(made)) > 1
