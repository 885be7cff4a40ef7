"""The record sheet: a line for each piece that is checked, the limits at its head."""

from dataclasses import replace

import pytest

from cardgen.card.values import Card
from cardgen.paper.bench_card import Templates
from cardgen.paper.press.page import FORMATS
from cardgen.paper.record_sheet import record_sheet
from cardgen.paper.words.figures import Figures
from tests.paper.legibility import complaints, sides, text_of


def with_batch(card: Card, pieces: tuple[int, ...]) -> Card:
    """The card of a batch of which these pieces are to be checked."""
    count = pieces[-1] if pieces else None
    batch = replace(card.batch, pieces=count, pieces_to_check=pieces)
    return replace(card, batch=batch, title=replace(card.title, pieces=count))


def test_the_lines_are_the_pieces_of_the_check_plan(sample: dict[str, Card], templates: Templates) -> None:
    """Ensures a line for each piece that the card says, and no other."""
    made = record_sheet(with_batch(sample["metric"], (1, 2, 3, 8, 13, 23)), "A4", templates).pdf()
    numbers = {word.text for side in sides(made) for word in side.words if word.text.isdecimal()}
    assert {"1", "2", "3", "8", "13", "23"} <= numbers
    assert not {"4", "5", "9", "18"} & numbers


def test_a_batch_of_no_known_size_gets_a_page_of_blank_lines(
    sample: dict[str, Card], templates: Templates
) -> None:
    """Ensures a sheet is there to write on before the order is known."""
    (side,) = sides(record_sheet(with_batch(sample["metric"], ()), "A4", templates).pdf())
    assert not [word.text for word in side.words if word.text in ("1", "2", "3", "23")]


@pytest.mark.parametrize("paper", FORMATS)
def test_record_sheets_are_legible(paper: str, demo_cards: tuple[Card, ...], templates: Templates) -> None:
    """Ensures every format holds its columns."""
    for card in demo_cards:
        assert complaints(record_sheet(card, paper, templates).pdf()) == [], card.title.part


def test_every_piece_has_its_line_and_every_page_its_limits(
    sample: dict[str, Card], templates: Templates
) -> None:
    """Ensures a long batch goes on to further pages, each with the limits at its head."""
    card = with_batch(sample["metric"], tuple(range(1, 101)))
    made = record_sheet(card, "A4", templates).pdf()
    numbers = {word.text for side in sides(made) for word in side.words}
    assert {str(piece) for piece in range(1, 101)} <= numbers
    low, high = card.batch.reading_low_text, card.batch.reading_high_text
    limits = Figures("metric").limits(low, high).replace("\u00a0", " ")
    assert text_of(made).replace("\u00a0", " ").count(limits) == len(sides(made)) > 1
