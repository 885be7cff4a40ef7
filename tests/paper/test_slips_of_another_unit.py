"""Slip gauges of another system than the page's carry their unit wherever their pieces are printed."""

from datetime import date
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from cardgen.paper.words.figures import Figures
from cardgen.shop.folder import Shop
from tests.paper.sample import SPINDLE, sample_card

MADE_SHOP = Path(__file__).parents[1] / "card" / "made_shop"


def printed(part: str) -> str:
    shop = Shop.read(MADE_SHOP, date(2026, 6, 1))
    pdf = shop.draw_card(shop.card(part).card, shop.library.parts[part].shop.paper).pdf()
    text = "\n".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)
    return " ".join(text.replace("\u00a0", " ").split())


def test_metric_pieces_on_an_inch_card_say_mm() -> None:
    """Ensures that 'all in inches' never stands over bare millimetres of slip gauges."""
    card = Shop.read(MADE_SHOP, date(2026, 6, 1)).card("STANDOUT-INCH").card
    text = printed("STANDOUT-INCH")
    assert "all in inches" in text
    for stack in (card.swivel.slip_stack, card.inspection.sine_bar_stack):
        if stack is not None and (pieces := " + ".join(stack.pieces_text)) in text:
            assert f"{pieces} mm" in text


@pytest.mark.parametrize(("units", "said"), [("metric", ""), ("both", ""), ("inch", " mm")])
def test_pieces_of_the_pages_own_unit_stand_bare(units: str, said: str) -> None:
    """Ensures the unit on a page of the other system, of both stacks, and none on the set's own page."""
    stack = sample_card(SPINDLE).inspection.sine_bar_stack
    assert stack is not None
    pieces = " + ".join(stack.pieces_text)
    two = stack.__class__(**{**stack.__dict__, "other_pieces_text": ("2.5", "10")})
    write = Figures(units)  # type: ignore[arg-type]
    assert write.pieces(stack).replace("\u00a0", " ") == pieces + said
    assert write.pieces(two).replace("\u00a0", " ") == f"{pieces}{said}, other roll on 2.5 + 10{said}"
