"""Sizes, margins and text styles: the one place for looks."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typeface import PaperError
from cardgen.paper.press.typesetting import (
    HAND_PT,
    SMALLEST_PT,
    TextStyle,
    paragraph_height,
    text_width,
    wrapped,
)
from cardgen.paper.words.figures import Figures
from cardgen.paper.words.wording import Words
from cardgen.terms import INCH


@dataclass(frozen=True)
class Format:
    """A size of paper and how far text keeps from its edges (mm)."""

    name: str
    width: float
    height: float
    margin: float = 6.0  # the pouch's sealed edge and a little air
    corner_radius: float = 3.0
    hole_diameter: float = 5.0
    hole_from_top: float = 7.7  # centre of the hole; the text starts below it

    @property
    def text_top(self) -> float:
        """Where the panels begin: below the hole and the running head."""
        return self.hole_from_top + self.hole_diameter / 2 + 0.8


FORMATS: Mapping[str, Format] = {
    each.name: each
    for each in (
        Format("A6", 105.0, 148.0, margin=5.8, hole_diameter=4.0, hole_from_top=7.0),
        Format("A5", 148.0, 210.0),
        Format("A4", 210.0, 297.0, margin=9.0),
        Format("half letter", 5.5 * INCH, 8.5 * INCH),
        Format("letter", 8.5 * INCH, 11 * INCH, margin=9.0),
        Format("5x8 in", 5 * INCH, 8 * INCH),
    )
}


def paper_format(name: str) -> Format:
    """The format of this name; raises PaperError with the names there are."""
    if name not in FORMATS:
        raise PaperError(f"no paper format {name!r}; there are {', '.join(FORMATS)}")
    return FORMATS[name]


@dataclass(frozen=True)
class Looks:
    """Everything a panel needs to look and speak like its neighbours, for one card on one paper format.

    `hand` is for values the hand acts on: never below 14 pt. `table` for figures in tables: never
    below 8 pt from A5 up. `label` is the smallest size there is. `figures` writes numbers in the
    card's units; `words` has the texts of the templates.
    """

    format: Format
    figures: Figures
    words: Words
    title: TextStyle  # the part's name
    heading: TextStyle  # a panel's heading, set white on a black bar or over a heavy rule
    hand: TextStyle  # values the hand acts on
    value: TextStyle  # values that are read, not acted on
    table: TextStyle  # cells of tables
    table_least: float  # pt: how small cells may become where a table is short of room
    table_head: TextStyle
    body: TextStyle  # steps, cautions
    small: TextStyle  # explanations
    note: TextStyle  # at the right of a heading
    label: TextStyle  # units, dimension texts in pictures, sources
    row: float  # height of a table row, mm: at least 4
    gap: float  # between panels, and between a rule and its text, mm
    hairline: float = 0.1
    rule: float = 0.2
    fifth: float = 0.35  # every fifth row of a table
    heavy: float = 0.5  # under a panel's heading
    outline: float = 0.4  # visible edges in drawings
    tint: float = 0.92  # the only grey ground; helps, never carries

    @property
    def setting(self) -> tuple[float, float]:
        """What tells one way to set a card's side from another: all other sizes follow from the text's."""
        return self.gap, self.body.size

    def about(self, text: float) -> "Looks":
        """The same for a side whose running text is set in so many points."""
        return looks_for(self.format, self.figures, self.words, text)


def looks_for(paper: Format, figures: Figures, words: Words, text: float | None = None) -> Looks:
    """The styles for a format: sizes of type for small, middle and large cards, or about a size of text."""
    styles = _styles(paper) if text is None else _styles_about(paper, text)
    return Looks(format=paper, figures=figures, words=words, **styles)


@cache
def _styles(paper: Format) -> dict[str, Any]:
    if paper.width < 115:
        return _sizes(title=11.5, table=8.0, body=7.6, small=6.8, row=4.0, gap=1.3)
    if paper.width < 145:
        return _sizes(title=13.0, table=8.4, body=6.7, small=6.5, row=4.0, gap=1.2)
    if paper.width < 170:
        return _sizes(title=14.0, table=8.5, body=7.0, small=6.5, row=4.0, gap=1.3)
    if paper.height < 290:
        return _sizes(title=18.0, table=10.2, body=8.8, small=7.8, row=5.0, gap=1.8, hand=17.0)
    return _sizes(title=19.0, table=10.8, body=9.4, small=8.2, row=5.2, gap=1.9, hand=18.0)


@cache
def _styles_about(paper: Format, text: float) -> dict[str, Any]:
    """All that the hand reads is set in the text's size or larger, what it acts on in 14 pt, or 18 on large
    paper; `small` is left for the foot."""
    hand = HAND_PT if paper.width < 170 else 18.0
    made = _sizes(
        title=13.0 if hand == HAND_PT else 17.0,
        table=text + 0.4,
        body=text,
        small=6.8,
        row=max(4.0, 0.47 * text),
        gap=1.2,
        hand=hand,
    )
    return made | {
        "heading": TextStyle(text + 0.6, bold=True, leading=1.15),
        "table_head": TextStyle(text, leading=1.1),
        "table_least": text,
        "label": TextStyle(text),
        "hand": TextStyle(hand, bold=True, leading=1.02),
        "note": TextStyle(text),
        "rule": 0.25,
    }


def _sizes(
    title: float, table: float, body: float, small: float, row: float, gap: float, hand: float = 14.0
) -> dict[str, Any]:
    return {
        "title": TextStyle(title, bold=True, leading=1.2),
        "heading": TextStyle(max(body, min(8.0, table)), bold=True, leading=1.15),
        "hand": TextStyle(hand, bold=True, leading=1.1),
        "value": TextStyle(table, bold=True),
        "table": TextStyle(table),
        "table_least": max(8.0, 0.85 * table) if table > 8.0 else 0.9 * table,
        "table_head": TextStyle(max(small, min(8.0, table)), leading=1.1),
        "body": TextStyle(body, leading=1.2),
        "small": TextStyle(small, leading=1.2),
        "note": TextStyle(small, leading=1.2),
        "label": TextStyle(max(SMALLEST_PT, small - 0.3)),
        "row": row,
        "gap": gap,
    }


def heading_height(looks: Looks, text: str = "", width: float = 0.0, note: str = "") -> float:
    """Height of a panel's heading with the air below it; a long one wraps, a long note goes below it."""
    lines = len(wrapped(text, looks.heading, width)) if width else 1
    below = 0.0
    if note and not _beside(text, note, width, looks):
        below = paragraph_height(note, looks.note, width)
    return lines * looks.heading.line + below + 0.45 + 0.5 * looks.gap


def draw_heading(pen: Pen, text: str, width: float, looks: Looks, note: str = "") -> float:
    """A panel's heading over a heavy rule, with a note at the right; returns the height taken."""
    y = pen.paragraph(0, 0, width, text, looks.heading)
    if note and _beside(text, note, width, looks):
        pen.text(width, looks.heading.baseline(looks.heading.line), note, looks.note, "right")
    elif note:
        y += pen.paragraph(0, y, width, note, looks.note)
    pen.line(0, y + 0.3, width, y + 0.3, looks.heavy)
    return heading_height(looks, text, width, note)


def _beside(text: str, note: str, width: float, looks: Looks) -> bool:
    """Whether a heading and its note have room on one line."""
    return not width or text_width(text, looks.heading) + 2.0 + text_width(note, looks.note) <= width
