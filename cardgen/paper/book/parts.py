"""The cards of the shop's parts on the booklet's pages: the same panels, in the binder's margins."""

from cardgen.card.values import Card
from cardgen.paper.assemble import assembled, draw_page
from cardgen.paper.bench_card import LAYOUT_FILE, templates_of
from cardgen.paper.book.sections import HeadingAt, Running
from cardgen.paper.book.style import SIDE, TOP, Sheet
from cardgen.paper.press.document import Surface
from cardgen.paper.press.page import looks_for
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typeface import PaperError
from cardgen.paper.words.figures import Figures
from cardgen.paper.words.wording import TemplateFiles


class CardPages:
    """One card's sides, laid out for the booklet's text area and not yet drawn."""

    def __init__(self, card: Card, sheet: Sheet, templates: TemplateFiles) -> None:
        read = templates_of(templates)
        self.card = card
        self.sheet = sheet
        self.title = f"{card.title.part} {card.title.name}"
        self.looks = looks_for(sheet.paper, Figures(card.title.units), read.words(card, sheet.paper))
        if sheet.paper.name not in read.layout:
            raise PaperError(f"{templates.folder / LAYOUT_FILE}: no layout for {sheet.paper.name!r}")
        self.pages = assembled(read.layout[sheet.paper.name], card, self.looks, sheet.width, sheet.height)

    @property
    def marks(self) -> tuple[HeadingAt, ...]:
        """One bookmark a part, under that of the parts."""
        return (HeadingAt(1, self.title, 0),)

    def draw(self, number: int, label: str, running: Running) -> Surface:
        """Draw one side."""
        surface = Surface(self.sheet.paper.width, self.sheet.paper.height)
        pen = Pen(surface)
        running.draw(pen, self.sheet, self.title, [self.pages[number].name], label)
        draw_page(pen.at(SIDE, TOP), self.pages[number], self.card, self.looks)
        return surface
