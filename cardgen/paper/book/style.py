"""What the booklet's pages look like: margins for a binder's holes on either side, type, rules."""

from dataclasses import dataclass, replace
from typing import Protocol

from cardgen.paper.press.page import Format, Looks, looks_for, paper_format
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typesetting import TextStyle, text_width
from cardgen.paper.words.figures import Figures
from cardgen.paper.words.wording import Words
from cardgen.terms import Units

SIDE = 16.0  # mm: clears punched holes, whichever side of the sheet they are on
HEAD = 11.0  # mm: baseline of the running head
TOP = 17.0  # mm: where the text begins
FOOT = 9.0  # mm above the lower edge: baseline of the page's foot
BOTTOM = 13.5  # mm above the lower edge: where the text ends
LEFT_SHARE = 0.5  # of the running head's width, at most, for the booklet's own title
HEAD_AIR = 6.0  # mm between the two


@dataclass(frozen=True)
class Sheet:
    """A page of the booklet: paper, the area for text, and the styles."""

    paper: Format
    looks: Looks
    section: TextStyle
    heading: TextStyle
    sub: TextStyle
    running: TextStyle

    @property
    def width(self) -> float:
        """Width of the text area, mm."""
        return self.paper.width - 2 * SIDE

    @property
    def height(self) -> float:
        """Height of the text area, mm."""
        return self.paper.height - TOP - BOTTOM


def sheet_for(paper: str, units: Units, words: Words) -> Sheet:
    """The page of a booklet on A4 or letter."""
    made = paper_format(paper)
    looks = replace(
        looks_for(made, Figures(units), words),
        table=TextStyle(8.3, leading=1.08),
        table_least=8.0,
        table_head=TextStyle(7.6, bold=True, leading=1.12),
        body=TextStyle(9.2, leading=1.28),
        small=TextStyle(7.8, leading=1.25),
        label=TextStyle(7.2),
        row=4.02,
        gap=1.6,
        hairline=0.07,
        rule=0.25,
        fifth=0.4,
    )
    return Sheet(
        paper=made,
        looks=looks,
        section=TextStyle(17.0, bold=True, leading=1.15),
        heading=TextStyle(11.0, bold=True, leading=1.2),
        sub=TextStyle(9.4, bold=True, leading=1.2),
        running=TextStyle(7.6),
    )


class Headed(Protocol):
    """What a running head tells of its page: the chapter, and the tables from the first to the last."""

    @property
    def chapter(self) -> str: ...

    @property
    def captions(self) -> list[str]: ...


def draw_head(pen: Pen, sheet: Sheet, head: str, page: Headed) -> None:
    """The booklet left, the chapter and its tables right."""
    style, left, right = sheet.running, SIDE, sheet.paper.width - SIDE
    booklet = shortened(head, style, LEFT_SHARE * sheet.width)
    pen.text(left, HEAD, booklet, style)
    room = sheet.width - text_width(booklet, style) - HEAD_AIR
    pen.text(right, HEAD, _fitting(page, style.bolder(), room), style.bolder(), "right")
    pen.line(left, HEAD + 1.6, right, HEAD + 1.6, 0.2)


def draw_foot(pen: Pen, sheet: Sheet, foot: str, label: str) -> None:
    """The code left, the page right; drawn last, so that a copy of the page ends with it."""
    base = sheet.paper.height - FOOT
    pen.text(SIDE, base, foot, sheet.running)
    pen.text(sheet.paper.width - SIDE, base, label, sheet.sub, "right")


def _fitting(page: Headed, style: TextStyle, room: float) -> str:
    """The chapter, the first table on the page and the last, as far as there is room for them."""
    if page.captions:
        first, last = page.captions[0], page.captions[-1]
        for text in (
            f"{page.chapter} · {first} – {last}" if first != last else "",
            f"{page.chapter} · {first}",
        ):
            if text and text_width(text, style) <= room:
                return text
    return shortened(page.chapter, style, room)


def shortened(text: str, style: TextStyle, room: float) -> str:
    """A running head or a title told again that is too long ends in dots: it stands whole elsewhere."""
    if text_width(text, style) <= room:
        return text
    while text and text_width(text + "…", style) > room:
        text = text[:-1]
    return text.rstrip() + "…"
