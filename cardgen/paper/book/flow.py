"""Blocks find their pages: heads go along, rows break in fives, none is left alone.

A chapter is its opening, over the whole width, and stretches of blocks in one or more columns. Columns that
end on a page are made as short as they can be, all nearly alike, so that what follows has the rest of it.
A table that is too long for the rest of a page is broken after a multiple of five rows, and neither part is
shorter than five; a heading stays with what it heads, and the first words below a table with its last rows.
A chapter begins where the last one ended, unless little of the page is left.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import takewhile

from cardgen.paper.book.blocks import Block, Heading, Leader, Paragraph, TableBlock, draw_block
from cardgen.paper.book.style import Sheet, shortened
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.ruled_table import FIFTH
from cardgen.paper.press.typeface import PaperError
from cardgen.paper.press.typesetting import text_width

BEFORE_HEADING = (7.0, 4.0, 3.2)  # mm of air above a heading that does not begin its column
AFTER_TABLE = 2.4
GUTTER = 8.0  # mm between two columns of a page
CONTINUED_AIR = 0.8
WHOLE = 30  # a table of no more rows than this is not broken where a page can hold it
WHOLE_IN_COLUMN = 15  # the same of one among others in its column: its rest stands beside it
LEAST_SHARE = 0.3  # of a page that a chapter begins on; on less it begins the next
WORDS_KEPT = 2  # paragraphs or pictures between a heading and its table that stay with both
ROW = 4.02  # mm: about what a row takes
TOGETHER = 0.4  # of a page: what belongs to one title and asks for no more of it stays together
WORDS_BELOW = 36.0  # mm of words below a table that are not parted from it
EVENLY = 1.0  # mm that columns which end together may differ by, and still be made no shorter
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
    continued: str = ""  # the title told again above it: what it belongs to began elsewhere


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
        """What stands on the page: its headings, and what goes on from the page before."""
        told = (spot.block.text if isinstance(spot.block, Heading) else spot.continued for spot in self.spots)
        return [text for text in told if text not in ("", self.chapter)]


@dataclass(frozen=True)
class Stretch:
    """Blocks that follow one another in so many columns, measured for their width."""

    columns: int
    blocks: tuple[Block, ...]

    @cached_property
    def whole(self) -> int:
        """A table of no more rows is not broken; one that stands alone in its columns always may be."""
        if self.columns == 1:
            return WHOLE
        return WHOLE_IN_COLUMN if sum(isinstance(block, TableBlock) for block in self.blocks) > 1 else 0


@dataclass(frozen=True)
class _Reached:
    """How far a stretch has been set: its next block, the next row of that, the last title set."""

    block: int = 0
    row: int = 0
    title: str = ""


@dataclass(frozen=True)
class _Poured:
    """What one page takes of a stretch."""

    spots: tuple[Spot, ...]
    reached: _Reached
    deepest: float


def column_width(sheet: Sheet, columns: int) -> float:
    """Width of one of so many columns, mm."""
    return (sheet.width - GUTTER * (columns - 1)) / columns


class Flow:
    """Fills pages in turn."""

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.pages: list[BodyPage] = []
        self._y = 0.0  # where the page is free from

    def chapter(
        self, opening: Sequence[Block], stretches: Sequence[Stretch] = (), start: float = 0.0
    ) -> None:
        """A chapter, its title first; on a page of its own it begins `start` mm further down."""
        title = opening[0]
        if not isinstance(title, Heading):
            raise PaperError("a chapter of the booklet must begin with its title")
        begins, page = Stretch(1, tuple(opening)), self.sheet.height
        top = self._y + BEFORE_HEADING[title.level]
        here = self._poured(begins, _Reached(), top, page)
        needed = _air(stretches[0].blocks[0]) + _needed(stretches[0], 0, page) if stretches else 0.0
        has_room = here.reached.block == len(opening) and here.deepest + needed <= page + NOISE
        if not self.pages or top > (1 - LEAST_SHARE) * page or not has_room:
            self._new_page(title.text)
            top = start
        self._set(begins, top, title.text)
        for stretch in stretches:
            first = stretch.blocks[0]
            self._set(stretch, self._y + (_air(first) if self._y > NOISE else 0.0), title.text)

    def _new_page(self, chapter: str) -> None:
        self.pages.append(BodyPage(chapter))
        self._y = 0.0

    def _set(self, stretch: Stretch, top: float, chapter: str) -> None:
        """A stretch from here on, over as many pages as it takes."""
        reached = _Reached()
        while True:
            poured = self._poured(stretch, reached, top, self.sheet.height)
            ends = poured.reached.block == len(stretch.blocks)
            if ends and stretch.columns > 1:
                poured = self._evenly(stretch, reached, top, poured)
            self.pages[-1].spots.extend(poured.spots)
            if ends:
                self._y = poured.deepest
                return
            if top <= NOISE and not poured.spots:
                raise PaperError(f"the table {reached.title!r} does not fit on a page")
            reached, top = poured.reached, 0.0
            self._new_page(chapter)

    def _evenly(self, stretch: Stretch, reached: _Reached, top: float, poured: _Poured) -> _Poured:
        """The rest of a stretch, its columns as short as they can be."""
        shortest, enough = top, poured.deepest
        while enough - shortest > EVENLY:
            bottom = (shortest + enough) / 2
            trial = self._poured(stretch, reached, top, bottom)
            if trial.reached.block == len(stretch.blocks):
                poured, enough = trial, bottom
            else:
                shortest = bottom
        return poured

    def _poured(self, stretch: Stretch, reached: _Reached, top: float, bottom: float) -> _Poured:
        """The columns of one page filled in turn between top and bottom."""
        spots: list[Spot] = []
        deepest, width = top, column_width(self.sheet, stretch.columns)
        for column in range(stretch.columns):
            y, x = top, column * (width + GUTTER)
            while reached.block < len(stretch.blocks):
                block = stretch.blocks[reached.block]
                begins = y <= top + NOISE
                fresh = y <= NOISE and bottom >= self.sheet.height - NOISE  # no page has more room
                air = 0.0 if begins else _air(block)
                folded = not stretch.whole and column > 0
                goes_on = reached.title if begins and not isinstance(block, Heading) and not folded else ""
                lead = continued_height(self.sheet) if goes_on else air
                room = bottom - y - lead
                if isinstance(block, TableBlock):
                    count = _count(stretch, reached, room, fresh)
                    if not count:
                        break
                    taken = block.head_height + sum(block.heights[reached.row : reached.row + count])
                    taken += AFTER_TABLE
                else:
                    needed = _needed(stretch, reached.block, self.sheet.height)
                    if needed > room + NOISE and not fresh:
                        break
                    count, taken = 0, block.height
                place = y if goes_on else y + air
                spots.append(Spot(block, x, place, width, reached.row, count, goes_on))
                reached = _after(block, reached, count)
                y += lead + taken
            deepest = max(deepest, y)
        return _Poured(tuple(spots), reached, deepest)


def _air(block: Block) -> float:
    return BEFORE_HEADING[block.level] if isinstance(block, Heading) else 0.0


def _after(block: Block, reached: _Reached, count: int) -> _Reached:
    """How far the stretch is set with this block, or with so many more of its rows."""
    if isinstance(block, TableBlock) and reached.row + count < len(block.rows):
        return replace(reached, row=reached.row + count)
    title = block.text if isinstance(block, Heading) and block.level else reached.title
    return _Reached(reached.block + 1, 0, title)


def _needed(stretch: Stretch, place: int, page: float) -> float:
    """Room that a block asks for: a heading with the words after it and the first rows of its table.

    All that belongs to one title in one of several columns, or is folded into them, stays together where it
    asks for little of a page.
    """
    blocks, block = stretch.blocks, stretch.blocks[place]
    if isinstance(block, TableBlock):
        return block.head_height + _first_rows(stretch, place)
    needed = block.height
    if not isinstance(block, Heading) and not (isinstance(block, Leader) and block.style.bold):
        return needed
    below = list(takewhile(lambda each: not isinstance(each, Heading), blocks[place + 1 :]))
    whole = needed + sum(map(_whole, below))
    share = whole if stretch.whole else whole / stretch.columns + FIFTH * ROW
    if stretch.columns > 1 and isinstance(block, Heading) and share <= TOGETHER * page:
        return share
    for number, after in enumerate(below[: WORDS_KEPT + 1], place + 1):
        if isinstance(after, TableBlock):
            return needed + after.head_height + _first_rows(stretch, number)
        needed += after.height
        if isinstance(after, Leader):
            break
    return needed


def _whole(block: Block) -> float:
    """Height of a block with all its rows."""
    if isinstance(block, TableBlock):
        return block.head_height + sum(block.heights) + AFTER_TABLE
    return block.height


def _first_rows(stretch: Stretch, place: int) -> float:
    """Height of the rows that must stand below a heading: five of a table that may be broken, else all."""
    block = stretch.blocks[place]
    assert isinstance(block, TableBlock)
    if len(block.rows) > stretch.whole:
        return sum(block.heights[:FIFTH])
    return sum(block.heights) + _words_below(stretch.blocks, place)


def _words_below(blocks: Sequence[Block], place: int) -> float:
    """Height of the words that stay with a table's last rows, and the air above: all, if they are few."""
    words = takewhile(lambda each: isinstance(each, Paragraph), blocks[place + 1 :])
    heights = list(map(_whole, words))
    if not heights:
        return 0.0
    return AFTER_TABLE + (sum(heights) if sum(heights) <= WORDS_BELOW else heights[0])


def _count(stretch: Stretch, reached: _Reached, room: float, fresh: bool) -> int:
    """How many rows go here: all, or a multiple of five that leaves at least five; none where too few.

    A short one stays whole if it has room elsewhere.
    """
    block = stretch.blocks[reached.block]
    assert isinstance(block, TableBlock)
    heights, room = block.heights[reached.row :], room - block.head_height + NOISE
    if sum(heights) + _words_below(stretch.blocks, reached.block) <= room:
        return len(heights)
    if len(block.rows) <= stretch.whole and not fresh:
        return 0
    count, used = 0, 0.0
    for number, height in enumerate(heights[: len(heights) - FIFTH], 1):
        used += height
        if used > room:
            break
        if number % FIFTH == 0:
            count = number
    return len(heights) if fresh and not count and sum(heights) <= room else count


def continued_height(sheet: Sheet) -> float:
    """Height of the words over what goes on from elsewhere (mm)."""
    return sheet.sub.line + CONTINUED_AIR


def draw_body(pen: Pen, page: BodyPage, sheet: Sheet, continued: str) -> None:
    """Draw a page's blocks, the pen's origin at the text area's top left corner."""
    for spot in page.spots:
        here = pen.at(spot.x, spot.y)
        if spot.continued:
            room = spot.width - text_width(continued.replace("{title}", ""), sheet.sub)
            text = continued.replace("{title}", shortened(spot.continued, sheet.sub, room))
            here.text(0, sheet.sub.baseline(sheet.sub.line), text, sheet.sub)
            here = here.at(0, continued_height(sheet))
        draw_block(here, spot.block, spot.width, sheet, spot.first, spot.count)
