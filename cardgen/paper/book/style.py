"""What the booklet's pages look like: margins for a binder's holes on either side, type, rules."""

from dataclasses import dataclass, replace

from cardgen.paper.press.page import Format, Looks, looks_for, paper_format
from cardgen.paper.press.typesetting import TextStyle
from cardgen.paper.words.figures import Figures
from cardgen.paper.words.wording import Words
from cardgen.terms import Units

SIDE = 16.0  # mm: clears punched holes, whichever side of the sheet they are on
HEAD = 11.0  # mm: baseline of the running head
TOP = 17.0  # mm: where the text begins
FOOT = 9.0  # mm above the lower edge: baseline of the page's foot
BOTTOM = 13.5  # mm above the lower edge: where the text ends


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
        row=4.15 if made.height > 290 else 4.05,
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
