"""Copies of the cards of the shop's parts on the booklet's pages: the same panels, a binder's margins."""

from collections.abc import Iterator
from dataclasses import dataclass

from cardgen.card.values import Card
from cardgen.paper.assemble import Page, assembled, draw_page
from cardgen.paper.bench_card import LAYOUT_FILE, templates_of
from cardgen.paper.book.blocks import Heading
from cardgen.paper.book.flow import Spot
from cardgen.paper.book.style import Sheet
from cardgen.paper.press.page import Looks, looks_for
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typeface import PaperError
from cardgen.paper.words.figures import Figures
from cardgen.paper.words.wording import TemplateFiles


@dataclass(frozen=True)
class CardSide:
    """One side of a card, laid out for the booklet's text area and not yet drawn."""

    card: Card
    looks: Looks
    page: Page
    is_first: bool
    spots: tuple[Spot, ...] = ()

    @property
    def chapter(self) -> str:
        return f"{self.card.title.part} {self.card.title.name}"

    @property
    def headings(self) -> list[Heading]:
        """One bookmark a card."""
        return [Heading(0, self.chapter, 0.0)] if self.is_first else []

    @property
    def captions(self) -> list[str]:
        return [self.page.name]

    def draw(self, pen: Pen) -> None:
        """Draw the side at the pen's origin."""
        draw_page(pen, self.page, self.card)


def card_sides(card: Card, sheet: Sheet, templates: TemplateFiles) -> Iterator[CardSide]:
    """The sides of a card as they have room in the booklet's text area."""
    read = templates_of(templates)
    looks = looks_for(sheet.paper, Figures(card.title.units), read.words(card, sheet.paper))
    if sheet.paper.name not in read.layout:
        raise PaperError(f"{templates.folder / LAYOUT_FILE}: no layout for {sheet.paper.name!r}")
    sides = assembled(read.layout[sheet.paper.name], card, looks, sheet.width, sheet.height)
    yield from (CardSide(card, looks, side, number == 0) for number, side in enumerate(sides))
