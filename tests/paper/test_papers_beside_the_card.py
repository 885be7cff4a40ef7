"""The papers beside the card say what they are to those who cannot see them, as the card does."""

from collections.abc import Callable
from dataclasses import replace
from io import BytesIO

import pypdfium2
import pytest
from pypdf import PdfReader

from cardgen.card.values import Card, Change
from cardgen.paper.bench_card import Templates, card_sides
from cardgen.paper.change_notice import notice_page
from cardgen.paper.gap_strip import gap_strip
from cardgen.paper.record_sheet import record_sheet
from cardgen.paper.rehearsal_page import Spread, Worked, rehearsal_page
from cardgen.paper.sheet import card_sheets
from cardgen.paper.walk_round import AtPlace, WalkedPlace, walk_round
from tests.paper.accessible import accessible, out_of_order
from tests.paper.test_change_notice import TOLD

Drawn = Callable[[Card, Templates], bytes]
CHANGES = tuple(Change(name, 3.0, 3.2) for name in ("stroke.travel_mm", "taper.length_mm"))
NOTICE = replace(TOLD, causes=("drawing",), changes=CHANGES)
PLACES = (
    WalkedPlace("Grinder 2", (AtPlace("SN-204", "Spindle nose", "SN-204-B-1a2b3c4d", "take down"),) * 3),
    WalkedPlace("Toolroom binder", (AtPlace("SN-204", "Spindle nose", "", "post"),)),
)


def sheet(card: Card, templates: Templates) -> bytes:
    cards = [card_sides(card, "A6", templates)] * 3
    return card_sheets(cards, "A4", "long_edge", f"{card.title.part}, three to a sheet").pdf()


def rehearsed(card: Card, _: Templates) -> bytes:
    spread = Spread("Size", "µm", [0.0, 1.0, 2.0], (-10.0, 10.0), "under", "above")
    title, outcome = (
        f"{card.title.part}: a batch before it is ground",
        [("right pieces", "98 %", "surely 97 to 99 %")],
    )
    return rehearsal_page(
        title, "100 batches", outcome, (spread,), Worked("as it is", 5.5, 0.0, 0.5), (), ("A note.",)
    ).pdf()


PAPERS: dict[str, tuple[Drawn, str]] = {
    "strip": (lambda card, templates: gap_strip(card, templates).pdf(), "{part}"),
    "record sheet": (lambda card, templates: record_sheet(card, "A4", templates).pdf(), "{part}"),
    "sheet of cards": (sheet, "{part}"),
    "notice": (lambda _, templates: notice_page(NOTICE, "A5", templates.files).pdf(), "SN-204"),
    "walk-round list": (
        lambda _, templates: walk_round(PLACES, "2026-06-01", "A5", templates.files).pdf(),
        "2026-06-01",
    ),
    "rehearsal": (rehearsed, "{part}"),
}


@pytest.mark.parametrize("paper", PAPERS)
def test_a_paper_says_what_it_is_and_reads_in_order(
    paper: str, demo_cards: tuple[Card, ...], templates: Templates
) -> None:
    """Ensures title shown, language and XMP, and a copy that runs down its columns, left before right."""
    card = next(each for each in demo_cards if each.title.part == "SN-204")
    drawn, named = PAPERS[paper]
    made = drawn(card, templates)
    title, language = accessible(PdfReader(BytesIO(made)))
    assert named.format(part=card.title.part) in (title or "")
    assert language == "en-GB"
    for page in pypdfium2.PdfDocument(made):
        assert out_of_order(page) == []
