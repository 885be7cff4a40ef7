"""A card that comes from its own JSON is the card: paper can draw either."""

import json
from io import BytesIO
from pathlib import Path

import pytest
from pydantic import TypeAdapter
from pypdf import PdfReader

from cardgen.card.values import FORMAT, Card, as_plain
from cardgen.shop.folder import Shop

TOP = Path(__file__).parents[2]


def printed(shop: Shop, card: Card) -> str:
    return "\n".join(
        page.extract_text() for page in PdfReader(BytesIO(shop.draw_card(card, "A5").pdf())).pages
    )


@pytest.mark.parametrize("part", ["SN-204", "AG-16", "SS-2", "NV-30", "TM-50"])
def test_a_card_from_json_says_the_same_on_paper(part: str) -> None:
    """Ensures nothing that is printed is left out of the values, nor turned by their billionth."""
    shop = Shop.read(TOP)
    card = shop.card(part).card
    read = TypeAdapter(Card).validate_python(json.loads(json.dumps(as_plain(card))))
    assert as_plain(read) == as_plain(card)
    assert printed(shop, read) == printed(shop, card)


def test_the_values_say_their_format_first() -> None:
    """A program that reads them can tell before anything else whether it knows their keys."""
    plain = as_plain(Shop.read(TOP).card("SN-204").card)
    assert (next(iter(plain)), plain["format"]) == ("format", FORMAT)
