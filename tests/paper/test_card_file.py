"""The card as a file: its code, its attachments, its bytes."""

import io

import pypdf
import pypdfium2
import pytest
import zxingcpp

from cardgen.card.values import Card
from cardgen.paper.bench_card import Templates, bench_card
from cardgen.paper.panels.code import draw_qr
from cardgen.paper.press.document import Surface, pdf_bytes
from cardgen.paper.press.page import FORMATS
from cardgen.paper.press.pen import Pen
from cardgen.shelf.contents import bind
from tests.paper.accessible import accessible, out_of_order
from tests.paper.legibility import text_of


def codes_on(pdf: bytes) -> list[str]:
    found = []
    for page in pypdfium2.PdfDocument(pdf):
        found += [each.text for each in zxingcpp.read_barcodes(page.render(scale=3).to_pil())]
    return found


@pytest.mark.parametrize("paper", FORMATS)
def test_the_qr_code_of_the_printed_page_is_the_cards_code(
    paper: str, demo_cards: tuple[Card, ...], templates: Templates
) -> None:
    """Ensures a reader library reads the code from the rendered picture."""
    card = demo_cards[0]
    assert codes_on(bench_card(card, paper, templates).pdf()) == [card.title.code]


@pytest.mark.parametrize(
    "code", ["A", "SN-204-B-1a2b3c4d", "конус-Б-7f3a91c2", "κώνος/1-a", "x" * 200, "0123456789"]
)
def test_codes_of_any_length_and_script_are_read(code: str) -> None:
    """Ensures long ids and letters beyond ASCII are still read by a reader library."""
    surface = Surface(148.0, 210.0)
    draw_qr(Pen(surface, 20, 20), code)
    assert codes_on(pdf_bytes([surface], "t", "s")) == [code]


def test_the_code_stands_in_print_and_in_the_files_properties(
    demo_cards: tuple[Card, ...], templates: Templates
) -> None:
    """Ensures paper and file name the same card."""
    for card in demo_cards:
        made = bench_card(card, "A5", templates).pdf()
        reader = pypdf.PdfReader(io.BytesIO(made))
        assert reader.metadata is not None
        assert reader.metadata.subject == card.title.code
        assert card.title.part in (reader.metadata.title or "")
        assert card.title.code in text_of(made)


def test_a_card_says_what_it_is_to_those_who_cannot_see_it(
    demo_cards: tuple[Card, ...], templates: Templates
) -> None:
    """Ensures title shown, language, XMP, and that binding its specs in leaves them."""
    card = demo_cards[0]
    drawn = bench_card(card, "A5", templates)
    bound = bind(drawn, {"code": "c", "part": "p", "revision": "A"}, {})
    for made in (drawn.pdf(), bound):
        title, language = accessible(pypdf.PdfReader(io.BytesIO(made)))
        assert card.title.part in (title or "")
        assert language == "en-GB"


def test_a_card_reads_in_order_when_it_is_copied(demo_cards: tuple[Card, ...], templates: Templates) -> None:
    """Ensures that another reader's copy of a side runs down its columns, left before right."""
    for page in pypdfium2.PdfDocument(bench_card(demo_cards[0], "A5", templates).pdf()):
        assert out_of_order(page) == []


def test_the_same_card_gives_the_same_bytes(sample: dict[str, Card], templates: Templates) -> None:
    """Ensures no date and nothing of the cards before goes into a file."""
    first = bench_card(sample["metric"], "A5", templates).pdf()
    for card in sample.values():
        bench_card(card, "A6", templates).pdf()
    assert bench_card(sample["metric"], "A5", templates).pdf() == first


def test_the_fonts_are_embedded(sample: dict[str, Card], templates: Templates) -> None:
    """Ensures a print shop without the family prints the same card."""
    reader = pypdf.PdfReader(io.BytesIO(bench_card(sample["both"], "A5", templates).pdf()))
    for page in reader.pages:
        for font in page["/Resources"]["/Font"].values():  # type: ignore[index]
            assert "/FontFile2" in font.get_object()["/FontDescriptor"]
