"""A panel on a page of its own, read back as a reader of the PDF sees it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from pathlib import Path

import pypdfium2 as pdfium

from cardgen.card.values import Card
from cardgen.paper.bench_card import Templates, read_templates
from cardgen.paper.panels import Panel
from cardgen.paper.press.document import Surface, pdf_bytes
from cardgen.paper.press.page import Looks, looks_for, paper_format
from cardgen.paper.press.pen import Pen
from cardgen.paper.words.figures import Figures

TEMPLATES = Path(__file__).parents[2] / "templates"
AROUND = 30.0  # mm of page about the panel, so that what leaves its box is seen
MM = 25.4 / 72


@dataclass(frozen=True)
class Box:
    """A piece of text as it stands, mm from the panel's top left corner."""

    left: float
    top: float
    right: float
    bottom: float
    text: str


@dataclass(frozen=True)
class Printed:
    """A drawn panel: its size, its pieces of text, and the page that they stand on."""

    width: float
    height: float
    boxes: tuple[Box, ...]
    text: str
    page: pdfium.PdfTextPage

    def size_of(self, words: str) -> float:
        """The size in points that these words are set in; raises ValueError where they are not printed."""
        return float(pdfium.raw.FPDFText_GetFontSize(self.page.raw, self.text.index(words)))

    def outside(self) -> list[Box]:
        return [
            box
            for box in self.boxes
            if box.left < -0.15
            or box.right > self.width + 0.15
            or box.top < -0.15
            or box.bottom > self.height + 0.3
        ]

    def overlaps(self) -> list[tuple[str, str]]:
        """Pairs of texts that cover one another; the parts of a set fraction are meant to."""
        return [
            (one.text, other.text)
            for one, other in combinations(self.boxes, 2)
            if one.left < other.right
            and other.left < one.right
            and min(one.right, other.right) - max(one.left, other.left) > 0.15
            and min(one.bottom, other.bottom) - max(one.top, other.top) > 0.2
            and "⁄" not in one.text + other.text
        ]


@cache
def templates() -> Templates:
    return read_templates(TEMPLATES)


def looks_of(card: Card, paper: str) -> Looks:
    made = paper_format(paper)
    words = templates().words(card, made)
    return looks_for(made, Figures(card.title.units), words)


def printed(panel: Panel, card: Card, paper: str, width: float, height: float | None = None) -> Printed:
    """The panel drawn in a box of `width` and its least height, or `height` if that is more."""
    looks = looks_of(card, paper)
    tall = max(panel.height(card, width, looks), height or 0.0)
    (shown,) = read_back([drawn_in(panel, card, looks, width, tall)])
    return shown


@dataclass(frozen=True)
class Drawn:
    """A panel drawn on a page of its own, not yet read back."""

    width: float
    height: float
    surface: Surface

    @property
    def marks(self) -> str:
        """What is drawn, and on how large a page: panels of like marks read alike."""
        return "\n".join((f"{self.width} {self.height}", *self.surface.operators))


def drawn_in(panel: Panel, card: Card, looks: Looks, width: float, tall: float) -> Drawn:
    """The panel drawn in a box of just this width and height."""
    surface = Surface(width + 2 * AROUND, tall + 2 * AROUND)
    panel.draw(Pen(surface).at(AROUND, AROUND), card, width, tall, looks)
    return Drawn(width, tall, surface)


def read_back(panels: Sequence[Drawn]) -> Iterator[Printed]:
    """Each of these panels as a reader sees it in one PDF of them all."""
    document = pdfium.PdfDocument(pdf_bytes([panel.surface for panel in panels], "", ""))
    for number, panel in enumerate(panels):
        yield _read(document[number].get_textpage(), panel)


def _read(page: pdfium.PdfTextPage, panel: Drawn) -> Printed:
    boxes = []
    for number in range(page.count_rects()):
        left, bottom, right, top = page.get_rect(number)
        boxes.append(
            Box(
                left * MM - AROUND,
                panel.surface.height - top * MM - AROUND,
                right * MM - AROUND,
                panel.surface.height - bottom * MM - AROUND,
                page.get_text_bounded(left, bottom, right, top),
            )
        )
    return Printed(
        panel.width,
        panel.height,
        tuple(boxes),
        page.get_text_range(0, page.count_chars()),
        page,
    )
