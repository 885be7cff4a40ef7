"""The bench card: a Card becomes a PDF whose pages are the card's sides."""

from dataclasses import dataclass
from pathlib import Path

from cardgen.card.values import Card
from cardgen.paper.assemble import Page, assembled, draw_page
from cardgen.paper.press.document import Drawing, Surface
from cardgen.paper.press.page import Format, Looks, looks_for, paper_format
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typeface import PaperError
from cardgen.paper.press.typesetting import TextStyle, text_width, wrapped
from cardgen.paper.words.corrections import corrections
from cardgen.paper.words.figures import Figures
from cardgen.paper.words.layout import Layout, layout_from
from cardgen.paper.words.wording import TemplateFiles, Words, environment

LAYOUT_FILE = "layout.yaml"
CODE_PT, CODE_AIR = 9.0, 2.0  # of the code in the head: a side by itself still says whose it is
HEAD_TOP = 6.0  # mm: the running head begins beside the hole, inside the pouch's edge
HEAD_SHARES = (1.0, 0.9, 0.8)  # of the title's size, for a part with a long id
ROOMY = 200.0  # mm of paper from which secondary tables may show both systems


@dataclass(frozen=True)
class Templates:
    """A shop's folder of wording and its layout, read once."""

    files: TemplateFiles
    layout: Layout

    def words(self, card: Card, paper: Format) -> Words:
        """The words for one card on one format."""
        context = {
            "card": card,
            "corrections": corrections(card),
            "f": Figures(card.title.units),
            "lead": Figures("inch" if card.title.units == "inch" else "metric"),
            "roomy": paper.width >= ROOMY,
            "paper": paper.name,
        }
        return Words(environment(self.files), context)


def read_templates(folder: Path) -> Templates:
    """Wording and layout of a folder as it is now; raises PaperError as `templates_of` does."""
    return templates_of(TemplateFiles.read(folder))


def templates_of(files: TemplateFiles) -> Templates:
    """Wording and layout of a folder as it was read; raises PaperError for what is wrong with the layout."""
    path, text = files.folder / LAYOUT_FILE, files.text(LAYOUT_FILE)
    if text is None:
        raise PaperError(f"{path}: there is no such file, and without it no card can be laid out")
    return Templates(files, layout_from(text, path))


def bench_card(card: Card, paper: str, templates: Templates) -> Drawing:
    """A card, one page a side, on the paper of this name ('A5', 'half letter', …)."""
    title = card.title
    return Drawing(
        tuple(card_sides(card, paper, templates)),
        title=f"{title.part} {title.name}, revision {title.revision}",
        subject=title.code,
        keywords=f"part {title.part}, revision {title.revision}, code {title.code}",
    )


def card_sides(card: Card, paper: str, templates: Templates) -> list[Surface]:
    """Each side of a card as a drawn page."""
    made = paper_format(paper)
    if paper not in templates.layout:
        raise PaperError(f"{templates.files.folder / LAYOUT_FILE}: no layout for {paper!r}")
    looks = looks_for(made, Figures(card.title.units), templates.words(card, made))
    width = made.width - 2 * made.margin
    height = made.height - made.margin - _head_height(looks)
    pages = assembled(templates.layout[paper], card, looks, width, height)
    before = [None, *(page.name for page in pages)]
    return [
        _drawn(page, page.name == name, height, card, looks)
        for page, name in zip(pages, before, strict=False)
    ]


def _drawn(page: Page, again: bool, height: float, card: Card, looks: Looks) -> Surface:
    paper = looks.format
    surface = Surface(paper.width, paper.height)
    pen = Pen(surface)
    _draw_marks(pen, paper)
    _draw_running_head(pen, page.name, again, card.title.code, looks)
    draw_page(pen.at(paper.margin, paper.height - paper.margin - height), page, card)
    return surface


def _head_room(paper: Format) -> float:
    """Width left, and right, of the hole for the running head (mm)."""
    return paper.width / 2 - paper.margin - paper.hole_diameter / 2 - 2.0


def _head_height(looks: Looks) -> float:
    """Where the panels begin: below the hole and whatever the running head takes."""
    paper = looks.format
    words, style = _whose_card(looks)
    lines = len(wrapped(words, style, _head_room(paper)))
    return max(paper.text_top, HEAD_TOP + lines * style.line + 1.0)


def _whose_card(looks: Looks) -> tuple[str, TextStyle]:
    """The part and its issue, smaller where one line then holds them: a second takes a row of each side."""
    words, room = looks.words.label("running_head", "left"), _head_room(looks.format)
    sizes = (looks.title.sized(share * looks.title.size) for share in HEAD_SHARES)
    return words, next((style for style in sizes if text_width(words, style) <= room), looks.title)


def _draw_running_head(pen: Pen, side: str, again: bool, code: str, looks: Looks) -> None:
    """Left and right of the hole: whose card this is; which side, in a box; the code if it has room."""
    paper, words, style = looks.format, looks.words, looks.title
    pen.paragraph(paper.margin, HEAD_TOP, _head_room(paper), *_whose_card(looks))
    name = side + (f" {words.label('running_head', 'again')}" if again else "")
    wide, tall = text_width(name, style) + 3.0, style.line + 1.0
    left = paper.width - paper.margin - wide
    pen.rectangle(left, HEAD_TOP, wide, tall, looks.heavy)
    pen.text(left + wide / 2, HEAD_TOP + style.baseline(tall), name, style, "centre")
    told = TextStyle(CODE_PT if paper.width < ROOMY else CODE_PT + 1.5)
    if text_width(code, told) <= left - paper.width / 2 - paper.hole_diameter / 2 - 2 * CODE_AIR:
        pen.text(left - CODE_AIR, HEAD_TOP + told.baseline(tall), code, told, "right")


def _draw_marks(pen: Pen, paper: Format) -> None:
    """Where to round the corners and punch the hole."""
    radius, width, height = paper.corner_radius, paper.width, paper.height
    for x, y, start in (
        (radius, radius, 90.0),
        (width - radius, radius, 0.0),
        (width - radius, height - radius, 270.0),
        (radius, height - radius, 180.0),
    ):
        pen.arc(x, y, radius, start, start + 90.0, 0.1)
    centre, hole = paper.width / 2, paper.hole_from_top
    pen.circle(centre, hole, paper.hole_diameter / 2, 0.1, dash=(0.6, 0.6))
    pen.line(centre - 1.0, hole, centre + 1.0, hole, 0.1)
    pen.line(centre, hole - 1.0, centre, hole + 1.0, 0.1)
