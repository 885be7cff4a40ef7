"""What the tests of paper share: the shop's own templates, the cards made by hand, the demo shop's cards."""

from collections.abc import Callable
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from cardgen.card.values import Card
from cardgen.paper.bench_card import Templates, bench_card, read_templates
from cardgen.shop.folder import Shop
from tests.paper.sample import samples

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="session")
def templates() -> Templates:
    return read_templates(ROOT / "templates")


@pytest.fixture(scope="session")
def sample() -> dict[str, Card]:
    """Three cards made by hand: external metric, external inch, internal in both systems."""
    return {card.title.units: card for card in samples()}


@pytest.fixture(scope="session")
def demo_cards() -> tuple[Card, ...]:
    """Every card of the demo shop."""
    shop = Shop.read(ROOT, date(2026, 6, 1))
    return tuple(shop.card(part).card for part in shop.part_ids)


@pytest.fixture(scope="session")
def demo_pdf(demo_cards: tuple[Card, ...], templates: Templates) -> Callable[[str, str], bytes]:
    """The card of a part of the demo shop on a paper, drawn once."""
    cards = {card.title.part: card for card in demo_cards}

    @cache
    def drawn(part: str, paper: str) -> bytes:
        return bench_card(cards[part], paper, templates).pdf()

    return drawn
