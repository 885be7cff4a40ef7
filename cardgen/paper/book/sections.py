"""A section of the booklet: a template set on pages, with the marks that contents and index point at."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from cardgen.paper.book.blocks import blocks
from cardgen.paper.book.flow import BodyPage, Flow, draw_body
from cardgen.paper.book.style import FOOT, HEAD, SIDE, TOP, Sheet
from cardgen.paper.press.document import Surface
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typesetting import TextStyle, text_width
from cardgen.paper.words.wording import TemplateError, Words

RUNNING = "booklet_running"
LEFT_SHARE = 0.5  # of the running head's width, at most, for the booklet's own title
HEAD_AIR = 6.0  # mm between the two
TITLE_SIZE = 30.0  # pt, of the title page
TITLE_FROM_TOP = 62.0  # mm


@dataclass(frozen=True)
class HeadingAt:
    """A heading and the page of its section that it stands on, counted from 0."""

    level: int
    title: str
    page: int


@dataclass(frozen=True)
class Running:
    """What stands at the head and the foot of every page."""

    words: Words

    def draw(self, pen: Pen, sheet: Sheet, title: str, captions: Sequence[str], page: str) -> None:
        """Head: the booklet left, the section and its table right; foot: the code left, the page right."""
        paper, style = sheet.paper, sheet.running
        left, right = SIDE, paper.width - SIDE
        booklet = _shortened(self.words.label(RUNNING, "head"), style, LEFT_SHARE * sheet.width)
        pen.text(left, HEAD, booklet, style)
        room = sheet.width - text_width(booklet, style) - HEAD_AIR
        pen.text(right, HEAD, _fitting(title, captions, style.bolder(), room), style.bolder(), "right")
        pen.line(left, HEAD + 1.6, right, HEAD + 1.6, 0.2)
        foot = paper.height - FOOT
        pen.text(left, foot, self.words.label(RUNNING, "foot"), style)
        pen.text(right, foot, page, sheet.sub, "right")


def _fitting(title: str, captions: Sequence[str], style: TextStyle, room: float) -> str:
    """The section, the first table on the page and the last, as far as there is room for them."""
    if captions:
        first, last = captions[0], captions[-1]
        for text in (f"{title} · {first} – {last}" if first != last else "", f"{title} · {first}"):
            if text and text_width(text, style) <= room:
                return text
    return _shortened(title, style, room)


def _shortened(text: str, style: TextStyle, room: float) -> str:
    """A running head that is too long ends in dots: the whole of it stands on the title page or below."""
    if text_width(text, style) <= room:
        return text
    while text and text_width(text + "…", style) > room:
        text = text[:-1]
    return text.rstrip() + "…"


@dataclass(frozen=True)
class BookletSection:
    """A section that has found its pages, not yet drawn."""

    title: str
    pages: tuple[BodyPage, ...]
    sheet: Sheet
    column_width: float
    continued: str
    has_head: bool = True
    deepest: int = 2  # of the headings that get a bookmark

    @property
    def marks(self) -> tuple[HeadingAt, ...]:
        """Every heading with its page."""
        return tuple(
            HeadingAt(each.level, each.text, number)
            for number, page in enumerate(self.pages)
            for each in page.headings
            if each.level <= self.deepest
        )

    def draw(self, number: int, label: str, running: Running) -> Surface:
        """Draw one page."""
        surface = Surface(self.sheet.paper.width, self.sheet.paper.height)
        pen, page = Pen(surface), self.pages[number]
        if self.has_head:
            running.draw(pen, self.sheet, self.title, page.captions, label)
        draw_body(pen.at(SIDE, TOP), page, self.column_width, self.sheet, self.continued)
        return surface


def set_section(template: str, words: Words, sheet: Sheet) -> BookletSection:
    """Set a template on pages. Its first line is the section's title: '= Title', or '= Title | 2 columns'."""
    return _set(template, words, sheet, 0.0)


def title_page(template: str, words: Words, sheet: Sheet) -> BookletSection:
    """The title page: the title large and lower down, no running head."""
    large = replace(sheet, section=replace(sheet.section, size=TITLE_SIZE))
    made = _set(template, words, large, TITLE_FROM_TOP)
    return replace(made, has_head=False, deepest=0)


def _set(template: str, words: Words, sheet: Sheet, start: float) -> BookletSection:
    lines = words.lines(template)
    if not lines or lines[0].kind != "title":
        raise TemplateError(f"{template}.j2 must begin with the section's title: '= Title'")
    columns = int(lines[0].fields[1][0][0].split()[0]) if len(lines[0].fields) > 1 else 1
    flow = Flow(sheet, columns)
    pages = flow.place(blocks(lines, flow.column_width, sheet), start)
    return BookletSection(
        title=pages[0].headings[0].text,
        pages=tuple(pages),
        sheet=sheet,
        column_width=flow.column_width,
        continued=words.label(RUNNING, "continued"),
    )


def words_with(words: Words, more: Mapping[str, Any]) -> Words:
    """The same words with more that a template may name: pages that are known only later."""
    return Words(words.environment, {**words.context, **more})
