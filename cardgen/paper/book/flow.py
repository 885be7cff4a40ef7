"""Blocks find their pages: heads go along, rows break in fives, none is left alone.

A table that is too long for the rest of a page is broken after a multiple of five rows, and neither
part is shorter than five; a heading stays with what it heads. A chapter begins where the last one ended,
unless little of the page is left.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from cardgen.paper.book.blocks import Block, Heading, Leader, TableBlock, draw_block
from cardgen.paper.book.style import Sheet
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.ruled_table import FIFTH
from cardgen.paper.press.typeface import PaperError

BEFORE_HEADING = (7.0, 4.0, 3.2)  # mm of air above a heading that does not begin its column
AFTER_TABLE = 2.4
GUTTER = 8.0  # mm between two columns of a page
CONTINUED_AIR = 0.8
WHOLE = 30  # a table of no more rows than this is not broken where a page can hold it
LEAST_SHARE = 0.3  # of a page that a chapter begins on; on less it begins the next
NOISE = 1e-6


@dataclass(frozen=True)
class Spot:
    """A block, or some rows of one, with its place in the text area (mm)."""

    block: Block
    x: float
    y: float
    width: float
    first: int = 0
    count: int = 0
    continued: bool = False  # its heading is told again: the part before stands on another page


@dataclass
class BodyPage:
    """A page of the booklet's body."""

    chapter: str
    spots: list[Spot] = field(default_factory=list)

    @property
    def headings(self) -> list[Heading]:
        return [spot.block for spot in self.spots if isinstance(spot.block, Heading)]

    @property
    def captions(self) -> list[str]:
        """What stands on the page: its headings, and the tables that go on from the page before."""
        found = []
        for spot in self.spots:
            if isinstance(spot.block, Heading) and spot.block.level:
                found.append(spot.block.text)
            elif isinstance(spot.block, TableBlock) and spot.continued:
                found.append(spot.block.caption)
        return found


def column_width(sheet: Sheet, columns: int) -> float:
    """Width of one of so many columns, mm."""
    return (sheet.width - GUTTER * (columns - 1)) / columns


class Flow:
    """Fills columns and pages in turn."""

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.pages: list[BodyPage] = []
        self._chapter = ""
        self._columns = self._column = 1
        self._top = self._y = self._deepest = 0.0

    def chapter(
        self, blocks: Sequence[Block], columns: int, start: float = 0.0, new_page: bool = False
    ) -> None:
        """Every block of a chapter on its page; the first is its title, over all of its columns.

        On a new page it begins `start` mm further down.
        """
        title = blocks[0]
        if not isinstance(title, Heading):
            raise PaperError("a chapter of the booklet must begin with its title")
        self._chapter, self._columns, self._column = title.text, 1, 0
        self._y = self._deepest
        if new_page or not self.pages or self._y > (1 - LEAST_SHARE) * self.sheet.height:
            self._new_page()
            self._y = self._top = start
        self._words(title, self._needed(blocks))
        self._columns, self._top = columns, self._y
        for number, block in enumerate(blocks[1:], 1):
            if isinstance(block, TableBlock):
                self._table(block)
            else:
                self._words(block, self._needed(blocks[number:]))

    def _words(self, block: Block, needed: float) -> None:
        air = BEFORE_HEADING[block.level] if isinstance(block, Heading) and self._y > self._top else 0.0
        if self._y + air + needed > self.sheet.height + NOISE and self._y > self._top:
            self._next_column()
            air = 0.0
        self._put(Spot(block, self._x, self._y + air, self._width))
        if not isinstance(block, TableBlock):
            self._down(air + block.height)

    def _needed(self, blocks: Sequence[Block]) -> float:
        """Room for a heading and the words after it, down to the first rows of the table that follows."""
        needed = 0.0
        kept = isinstance(blocks[0], Heading) or (isinstance(blocks[0], Leader) and blocks[0].style.bold)
        for number, block in enumerate(blocks):
            if isinstance(block, TableBlock):
                return needed + block.head_height + sum(block.heights[: self._fewest(block)])
            if number and not kept:
                break
            needed += block.height
            kept = kept and (isinstance(block, Heading) or number < 3)
        return needed

    @staticmethod
    def _fewest(block: TableBlock) -> int:
        """How many rows must stand below a heading: five of a long table, all of one that stays whole."""
        return len(block.rows) if len(block.rows) <= WHOLE else FIFTH

    def _table(self, block: TableBlock) -> None:
        first = 0
        while first < len(block.rows):
            continued = bool(first) and not self._column
            title = continued_height(self.sheet) if continued else 0.0
            room = self.sheet.height - self._y - title - block.head_height
            count = self._count(block, first, room)
            if count < len(block.rows) <= WHOLE and self._y > self._top + NOISE:
                count = 0
            if not count:
                if self._y <= self._top + NOISE and not self._top:
                    raise PaperError(f"the table {block.caption!r} does not fit on a page")
                self._next_column()
                continue
            self._put(Spot(block, self._x, self._y, self._width, first, count, continued))
            self._down(title + block.head_height + sum(block.heights[first : first + count]) + AFTER_TABLE)
            first += count
            if first < len(block.rows):
                self._next_column()

    @staticmethod
    def _count(block: TableBlock, first: int, room: float) -> int:
        """How many rows go here: all, or a multiple of five that leaves at least five; none where too few."""
        fitting, used = 0, 0.0
        for height in block.heights[first:]:
            used += height
            if used > room + NOISE:
                break
            fitting += 1
        left = len(block.rows) - first
        if fitting == left:
            return left
        count = fitting - fitting % FIFTH
        while count and left - count < FIFTH:
            count -= FIFTH
        return count

    @property
    def _width(self) -> float:
        return column_width(self.sheet, self._columns)

    @property
    def _x(self) -> float:
        return self._column * (self._width + GUTTER)

    def _put(self, spot: Spot) -> None:
        self.pages[-1].spots.append(spot)

    def _down(self, taken: float) -> None:
        self._y += taken
        self._deepest = max(self._deepest, self._y)

    def _next_column(self) -> None:
        self._column += 1
        if self._column >= self._columns:
            self._new_page()
        self._y = self._top

    def _new_page(self) -> None:
        if not self.pages or self.pages[-1].spots:
            self.pages.append(BodyPage(self._chapter))
        self._column, self._top, self._y, self._deepest = 0, 0.0, 0.0, 0.0


def continued_height(sheet: Sheet) -> float:
    """Height of the words over a table that goes on from the page before (mm)."""
    return sheet.sub.line + CONTINUED_AIR


def draw_body(pen: Pen, page: BodyPage, sheet: Sheet, continued: str) -> None:
    """Draw a page's blocks, the pen's origin at the text area's top left corner."""
    for spot in page.spots:
        here = pen.at(spot.x, spot.y)
        if spot.continued and isinstance(spot.block, TableBlock):
            text = continued.replace("{title}", spot.block.caption)
            here.text(0, sheet.sub.baseline(sheet.sub.line), text, sheet.sub)
            here = here.at(0, continued_height(sheet))
        draw_block(here, spot.block, spot.width, sheet, spot.first, spot.count)
