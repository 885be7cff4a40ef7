"""What stands on the booklet's pages: headings, paragraphs, leaders, tables that may be broken, pictures."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from cardgen.paper.book.style import Sheet
from cardgen.paper.press import ruled_table
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typesetting import Runs, TextStyle, paragraph_height, text_width, wrapped
from cardgen.paper.words.wording import Line

WIDEST_GAP = 9.0  # mm of air between two columns of a table that has room to spare
GROUP_AIR = 0.5
LINES_OF_A_CELL = 2  # at most, in a table that shares its page's width with another
BULLET = 3.2
PAGE_ROOM = 12.0  # mm at the right of the contents that no words enter
LEADER_AIR = 1.2
LEADER_LEADING = 1.17
DOT_STEP = 1.6
BELOW_HEADING = (4.4, 1.6, 0.8)  # mm, by level


@dataclass(frozen=True)
class Heading:
    """A chapter's title (level 0), a table's (1) or the title of one table among many alike (2).

    `anchor` is what contents and index lead to: the chapter or the table that it is the title of.
    """

    level: Literal[0, 1, 2]
    text: str
    height: float
    anchor: object = None


@dataclass(frozen=True)
class Paragraph:
    """Words; an item of a list hangs behind its dot."""

    body: Runs
    style: TextStyle
    height: float
    indent: float = 0.0


@dataclass(frozen=True)
class Leader:
    """A line of the contents or the index: words, dots, and the page that they lead to.

    A bold one stays with the next.
    """

    body: Runs
    page: str
    style: TextStyle
    height: float
    anchor: object


@dataclass(frozen=True)
class Picture:
    """A picture as wide as its column."""

    height: float
    draw: Callable[[Pen, float], None]


@dataclass(frozen=True)
class ColumnsHeading:
    """Words over some of a table's columns, from the first to the last."""

    text: str
    first: int
    last: int


@dataclass(frozen=True)
class TableBlock:
    """A table measured for its width; its rows may go on over the page, its heads with them."""

    table: ruled_table.Table
    groups: tuple[ColumnsHeading, ...]
    rows: tuple[ruled_table.Row, ...]
    heights: tuple[float, ...]
    group_height: float

    @property
    def head_height(self) -> float:
        return self.group_height + self.table.head_height


Block = Heading | Paragraph | Leader | Picture | TableBlock


def heading(level: Literal[0, 1, 2], text: str, width: float, sheet: Sheet, anchor: object = None) -> Heading:
    """A heading measured for its column."""
    height = paragraph_height(text, _style(level, sheet), width) + BELOW_HEADING[level]
    return Heading(level, text, height, anchor)


def paragraph(body: Runs, width: float, style: TextStyle, item: bool = False) -> Paragraph:
    """Words measured for their column."""
    indent = BULLET if item else 0.0
    return Paragraph(body, style, paragraph_height(body, style, width - indent) + 0.8, indent)


def leader(body: Runs, page: str, width: float, sheet: Sheet, anchor: object, bold: bool = False) -> Leader:
    """A line that leads to a page."""
    style = TextStyle(sheet.looks.body.size, bold, LEADER_LEADING)
    height = paragraph_height(body, style, width - PAGE_ROOM) + (LEADER_AIR if bold else 0.0)
    return Leader(body, page, style, height, anchor)


def blocks_of_lines(lines: Sequence[Line], width: float, sheet: Sheet) -> Iterator[Block]:
    """The lines of a template that has no tables."""
    for line in lines:
        text = "".join(part for part, _ in line.fields[0])
        if line.kind in ("title", "heading"):
            yield heading(0 if line.kind == "title" else 1, text, width, sheet)
        else:
            style = sheet.looks.small if line.kind == "small" else sheet.looks.body
            yield paragraph(line.fields[0], width, style, line.kind == "item")


def table_block(
    head: tuple[Runs, ...],
    groups: tuple[ColumnsHeading, ...],
    rows: tuple[ruled_table.Row, ...],
    width: float,
    sheet: Sheet,
) -> TableBlock:
    """A table measured: no wider than its columns need with plenty of air, so that an eye finds its way along
    a row, yet wide enough for the words over its groups."""
    style = sheet.looks.table_head
    table = ruled_table.measured(head, rows, width, sheet.looks)
    wish = sum(column.width for column in table.columns) + WIDEST_GAP * (len(head) - 1)
    while wish < width:
        narrow = ruled_table.measured(head, rows, wish, sheet.looks)
        if all(_longest_word(group, style) <= _span(group, narrow) for group in groups):
            table = narrow
            break
        wish += WIDEST_GAP
    lines = max((len(wrapped(group.text, style, _span(group, table))) for group in groups), default=0)
    return TableBlock(
        table=table,
        groups=groups,
        rows=rows,
        heights=tuple(ruled_table.row_height(table, row, sheet.looks) for row in rows),
        group_height=lines * style.line + GROUP_AIR if groups else 0.0,
    )


def fits_in_a_column(
    head: tuple[Runs, ...],
    groups: tuple[ColumnsHeading, ...],
    rows: tuple[ruled_table.Row, ...],
    width: float,
    sheet: Sheet,
) -> bool:
    """Whether a table has room in so narrow a column in the usual type, its words in two lines at most."""
    table = ruled_table.in_its_type(head, rows, width, sheet.looks)
    if table is None or not all(_longest_word(g, sheet.looks.table_head) <= _span(g, table) for g in groups):
        return False
    most = max(sheet.looks.row, LINES_OF_A_CELL * table.style.line + ruled_table.AROUND_LINES)
    return all(ruled_table.row_height(table, row, sheet.looks) <= most for row in rows)


def _span(group: ColumnsHeading, table: ruled_table.Table) -> float:
    """Width of a group's columns, mm."""
    first, last = table.columns[group.first], table.columns[group.last]
    return last.x + last.width - first.x


def _longest_word(group: ColumnsHeading, style: TextStyle) -> float:
    return max(text_width(word, style) for word in group.text.split(" "))


def _style(level: Literal[0, 1, 2], sheet: Sheet) -> TextStyle:
    return (sheet.section, sheet.heading, sheet.sub)[level]


def draw_block(pen: Pen, block: Block, width: float, sheet: Sheet, first: int, count: int) -> None:
    """Draw a block, or `count` rows of a table's from the first on."""
    match block:
        case Heading():
            taken = pen.paragraph(0, 0, width, block.text, _style(block.level, sheet))
            if block.level == 0:
                pen.line(0, taken + 0.8, width, taken + 0.8, 0.6)
        case Paragraph():
            if block.indent:
                pen.text(0.8, block.style.baseline(block.style.line), "•", block.style)
            pen.paragraph(block.indent, 0, width - block.indent, block.body, block.style)
        case Leader():
            _draw_leader(pen, block, width)
        case Picture():
            block.draw(pen, width)
        case TableBlock():
            _draw_rows(pen, block, first, count, sheet)


def _draw_leader(pen: Pen, leader: Leader, width: float) -> None:
    """Words left, the page right, dots between them from the end of the words' last line."""
    style = leader.style
    air = LEADER_AIR if style.bold else 0.0
    lines = wrapped(leader.body, style, width - PAGE_ROOM)
    pen.paragraph(0, air, width - PAGE_ROOM, leader.body, style)
    base = air + (len(lines) - 1) * style.line + style.baseline(style.line)
    pen.text(width, base, leader.page, style, "right")
    start = text_width(lines[-1], style) + 1.5
    stop = width - text_width(leader.page, style) - 1.5
    if stop - start > DOT_STEP:
        dots = int((stop - start) / DOT_STEP)
        pen.line(stop - dots * DOT_STEP, base - 0.15, stop, base - 0.15, 0.25, (0.25, DOT_STEP - 0.25))


def _draw_rows(pen: Pen, block: TableBlock, first: int, count: int, sheet: Sheet) -> None:
    """The heads and some of the rows of a table, with a rule between its groups."""
    looks, table = sheet.looks, block.table
    _draw_groups(pen, block, sheet)
    ruled_table.draw_head(pen.at(0, block.group_height), table, looks)
    y = block.head_height
    for number in range(first, first + count):
        height = block.heights[number]
        last = number == first + count - 1
        ruled_table.draw_row(pen.at(0, y), table, block.rows[number], height, looks, number + 1, last)
        y += height
    for group in block.groups:
        if group.first:
            left, right = table.columns[group.first - 1], table.columns[group.first]
            middle = (left.x + left.width + right.x) / 2
            pen.line(middle, 0.4, middle, y, looks.rule)


def _draw_groups(pen: Pen, block: TableBlock, sheet: Sheet) -> None:
    style = sheet.looks.table_head
    for group in block.groups:
        left, width = block.table.columns[group.first].x, _span(group, block.table)
        lines = wrapped(group.text, style, width)
        y = block.group_height - GROUP_AIR - len(lines) * style.line
        for line in lines:
            pen.text(left + width / 2, y + style.baseline(style.line), line, style, "centre")
            y += style.line
        pen.line(left, block.group_height, left + width, block.group_height, sheet.looks.hairline)
