"""Sheets: several cards on one sheet of paper, with cutting marks, their backs in register.

A leaf is a front and its back. Leaves stand edge to edge in the middle of the sheet, so one cut
parts two cards; they are turned by a quarter where more of them fit that way. The sheet is portrait.
Turned over on its long edge its left and right change places, on its short edge its top and bottom; the
backs are laid so that every card, once cut, turns over like a page, its top staying its top.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from cardgen.paper.press.document import MM, Drawing, Surface
from cardgen.paper.press.page import paper_format
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typeface import PaperError

Turn = Literal["long_edge", "short_edge"]

MARK = 4.0  # mm, length of a cutting mark
MARK_LINE = 0.1
SLACK = 0.05  # mm by which a row of cards may pass the sheet: two A5 on an A4 leave a hair either way


@dataclass(frozen=True)
class Grid:
    """How cards stand on a sheet: all lengths in mm."""

    columns: int
    rows: int
    width: float  # of a place, the card turned or not
    height: float
    left: float
    top: float
    turned: bool  # by a quarter, the card's top to the left

    @property
    def places(self) -> int:
        return self.columns * self.rows

    def corner(self, column: int, row: int) -> tuple[float, float]:
        """Top left corner of a place."""
        return self.left + column * self.width, self.top + row * self.height


def grid_for(sheet: str, card_width: float, card_height: float) -> Grid:
    """The arrangement that holds most cards; raises PaperError where not even one fits."""
    paper = paper_format(sheet)
    best: Grid | None = None
    for turned in (False, True):
        width, height = (card_height, card_width) if turned else (card_width, card_height)
        columns = math.floor((paper.width + SLACK) / width)
        rows = math.floor((paper.height + SLACK) / height)
        left, top = (paper.width - columns * width) / 2, (paper.height - rows * height) / 2
        grid = Grid(columns, rows, width, height, left, top, turned)
        if grid.places > (best.places if best else 0):
            best = grid
    if best is None:
        raise PaperError(f"a card of {card_width:g} × {card_height:g} mm does not fit on {sheet}")
    return best


def card_sheets(cards: Sequence[Sequence[Surface]], sheet: str, turn: Turn, title: str) -> Drawing:
    """Sheets that hold the cards (each a list of sides, as `card_sides` draws them).

    All cards are of one size. Raises PaperError where they are not, or do not fit.
    """
    sides = [side for card in cards for side in card]
    sizes = {(side.width, side.height) for side in sides}
    if len(sizes) != 1:
        raise PaperError("cards laid on one sheet must all be of one size")
    width, height = sizes.pop()
    grid = grid_for(sheet, width, height)
    paper = paper_format(sheet)
    pages: list[Surface] = []
    waiting = list(_leaves(cards))
    for start in range(0, len(waiting), grid.places):
        leaves = waiting[start : start + grid.places]
        front, back = Surface(paper.width, paper.height), Surface(paper.width, paper.height)
        for number, (face, reverse) in enumerate(leaves):
            row, column = divmod(number, grid.columns)
            _place(front, face, grid, column, row, 90.0 if grid.turned else 0.0)
            if reverse:
                _place_back(back, reverse, grid, column, row, turn)
        for page in (front, back):
            _cutting_marks(Pen(page), grid, paper.width, paper.height)
            pages.append(page)
    return Drawing(tuple(pages), title, f"{len(cards)} cards on {sheet}, turned on the {turn}")


def _leaves(cards: Iterable[Sequence[Surface]]) -> Iterator[tuple[Surface, Surface | None]]:
    """Fronts with their backs; a card of three sides makes two leaves, the second without a back."""
    for card in cards:
        for start in range(0, len(card), 2):
            yield card[start], card[start + 1] if start + 1 < len(card) else None


def _place_back(sheet: Surface, side: Surface, grid: Grid, column: int, row: int, turn: Turn) -> None:
    """A back behind its front, once the sheet is turned over."""
    if turn == "long_edge":
        angle = -90.0 if grid.turned else 0.0
        _place(sheet, side, grid, grid.columns - 1 - column, row, angle)
    else:
        angle = 90.0 if grid.turned else 180.0
        _place(sheet, side, grid, column, grid.rows - 1 - row, angle)


def _place(sheet: Surface, side: Surface, grid: Grid, column: int, row: int, angle: float) -> None:
    """Draw a side within a place of the grid, turned counter-clockwise by a multiple of a quarter."""
    x, y = grid.corner(column, row)
    cos, sin = round(math.cos(math.radians(angle))), round(math.sin(math.radians(angle)))
    # The side's own corner (0, 0) of PDF is its bottom left; it moves to the corner of the place that
    # the turn brings it to.
    left, bottom = x * MM, (sheet.height - y - grid.height) * MM
    width, height = side.width * MM, side.height * MM
    shift_x = left + max(0.0, -cos * width) + max(0.0, sin * height)
    shift_y = bottom + max(0.0, -sin * width) + max(0.0, -cos * height)
    state = sheet.save()
    sheet.write(f"{cos} {sin} {-sin} {cos} {shift_x:.4f} {shift_y:.4f} cm")
    sheet.operators += side.operators
    sheet.restore(state)
    sheet.subsets |= side.subsets


def _cutting_marks(pen: Pen, grid: Grid, width: float, height: float) -> None:
    """A tick at both ends of every cut, outside the cards where the sheet has room, else along the cut."""
    right, bottom = grid.left + grid.columns * grid.width, grid.top + grid.rows * grid.height
    for column in range(grid.columns + 1):
        x = grid.left + column * grid.width
        for edge, outward, room in ((grid.top, -1, grid.top), (bottom, 1, height - bottom)):
            start, end = _tick(edge, outward, room)
            pen.line(x, start, x, end, MARK_LINE)
    for row in range(grid.rows + 1):
        y = grid.top + row * grid.height
        for edge, outward, room in ((grid.left, -1, grid.left), (right, 1, width - right)):
            start, end = _tick(edge, outward, room)
            pen.line(start, y, end, y, MARK_LINE)


def _tick(edge: float, outward: int, room: float) -> tuple[float, float]:
    if room >= MARK:
        return edge + outward * 1.0, edge + outward * MARK
    return edge + outward * room, edge - outward * MARK
