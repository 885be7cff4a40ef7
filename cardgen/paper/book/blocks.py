"""The lines of a booklet's template become blocks: headings, paragraphs and tables that may be broken."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from cardgen.paper.book.style import Sheet
from cardgen.paper.press import ruled_table
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typesetting import Runs, TextStyle, paragraph_height, text_width, wrapped
from cardgen.paper.words.wording import Line, TemplateError

SPAN = "::"  # between a group's heading and the number of columns it stands over
SUB = "## "
CELLS = ("cells", "bold cells")
WIDEST_GAP = 9.0  # mm of air between two columns of a table that has room to spare
GROUP_AIR = 0.5
BULLET = 3.2
PAGE_ROOM = 12.0  # mm at the right of the contents that no words enter
LEADER_AIR = 1.2
DOT_STEP = 1.6


@dataclass(frozen=True)
class Heading:
    """A section's title (level 0), a table's title (1) or the title of one table among many alike (2)."""

    level: Literal[0, 1, 2]
    text: str
    height: float
    note: str = ""


@dataclass(frozen=True)
class Paragraph:
    """Words; an item of a list hangs behind its dot."""

    body: Runs
    style: TextStyle
    height: float
    indent: float = 0.0


@dataclass(frozen=True)
class Leader:
    """A line of the contents: words, dots, and the page they lead to. A bold one stays with the next."""

    body: Runs
    page: str
    style: TextStyle
    height: float

    @property
    def bold(self) -> bool:
        return self.style.bold


@dataclass(frozen=True)
class NewPage:
    """What follows begins a page."""

    height: float = 0.0


@dataclass(frozen=True)
class ColumnsHeading:
    """A heading over some of a table's columns, from the first to the last."""

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
    caption: str
    group_height: float

    @property
    def head_height(self) -> float:
        return self.group_height + self.table.head_height

    @property
    def height(self) -> float:
        return self.head_height + sum(self.heights)


Block = Heading | Paragraph | Leader | NewPage | TableBlock


def blocks(lines: Sequence[Line], width: float, sheet: Sheet) -> tuple[Block, ...]:
    """The blocks of a template for a column `width` mm wide."""
    return tuple(_blocks(list(lines), width, sheet))


def _blocks(lines: list[Line], width: float, sheet: Sheet) -> Iterator[Block]:
    caption = ""
    start = 0
    while start < len(lines):
        line, end = lines[start], start + 1
        if line.kind in ("head", *CELLS):
            while end < len(lines) and (lines[end].kind in CELLS or _is_head(lines[start:end], lines[end])):
                end += 1
            yield _table(lines[start:end], width, sheet, caption)
        elif line.kind == "rule":
            yield NewPage()
        elif line.kind in ("title", "heading") or _text(line).startswith(SUB):
            heading = _heading(line, width, sheet)
            caption = heading.text
            yield heading
        elif line.kind == "row":
            yield _leader(line, width, sheet)
        else:
            yield _paragraph(line, width, sheet)
        start = end


def _is_head(before: Sequence[Line], line: Line) -> bool:
    """Whether a head line belongs to the heads above it: groups first, then the columns' own."""
    return line.kind == "head" and all(each.kind == "head" for each in before)


def _heading(line: Line, width: float, sheet: Sheet) -> Heading:
    text = _text(line)
    note = "".join(part for part, _ in line.fields[1]) if len(line.fields) > 1 else ""
    if line.kind == "title":
        return Heading(0, text, paragraph_height(text, sheet.section, width) + 3.4, note)
    if line.kind == "heading":
        return Heading(1, text, paragraph_height(text, sheet.heading, width) + 1.6, note)
    text = text.removeprefix(SUB)
    return Heading(2, text, paragraph_height(text, sheet.sub, width) + 0.8, note)


def _paragraph(line: Line, width: float, sheet: Sheet) -> Paragraph:
    style = sheet.looks.small if line.kind == "small" else sheet.looks.body
    body = line.fields[0]
    indent = BULLET if line.kind == "item" else 0.0
    return Paragraph(body, style, paragraph_height(body, style, width - indent) + 0.8, indent)


def _leader(line: Line, width: float, sheet: Sheet) -> Leader:
    body, page = line.fields[0], "".join(text for text, _ in line.fields[1])
    bold = all(weight for _, weight in body)
    style = replace(sheet.looks.body, bold=bold, leading=1.22)
    height = paragraph_height(body, style, width - PAGE_ROOM) + (LEADER_AIR if bold else 0.0)
    return Leader(body, page, style, height)


def _table(lines: Sequence[Line], width: float, sheet: Sheet, caption: str) -> TableBlock:
    heads = [line for line in lines if line.kind == "head"]
    rows = tuple(_row(line) for line in lines if line.kind in CELLS)
    if not heads or not rows:
        raise TemplateError(f"a table of the booklet has no {'heads' if not heads else 'rows'}: {caption!r}")
    head = heads[-1].fields
    groups = _groups(heads[0].fields, len(head), caption) if len(heads) > 1 else ()
    style = sheet.looks.table_head
    table = _fitted(head, rows, groups, width, sheet)
    lines_of_groups = max((len(_wrapped(group, table, style)) for group in groups), default=0)
    return TableBlock(
        table=table,
        groups=groups,
        rows=rows,
        heights=tuple(ruled_table.row_height(table, row, sheet.looks) for row in rows),
        caption=caption,
        group_height=lines_of_groups * style.line + GROUP_AIR if groups else 0.0,
    )


def _fitted(
    head: tuple[Runs, ...],
    rows: tuple[ruled_table.Row, ...],
    groups: Sequence[ColumnsHeading],
    width: float,
    sheet: Sheet,
) -> ruled_table.Table:
    """No wider than its columns need with plenty of air, so that an eye finds its way along a row, yet wide
    enough for the words over its groups."""
    style = sheet.looks.table_head
    table = ruled_table.measured(head, rows, width, sheet.looks)
    wish = sum(column.width for column in table.columns) + WIDEST_GAP * (len(head) - 1)
    while wish < width:
        narrow = ruled_table.measured(head, rows, wish, sheet.looks)
        if all(_longest_word(group, style) <= _span(group, narrow) for group in groups):
            return narrow
        wish += WIDEST_GAP
    return table


def _span(group: ColumnsHeading, table: ruled_table.Table) -> float:
    """Width of a group's columns, mm."""
    first, last = table.columns[group.first], table.columns[group.last]
    return last.x + last.width - first.x


def _longest_word(group: ColumnsHeading, style: TextStyle) -> float:
    return max(text_width(word, style) for word in group.text.split(" "))


def _wrapped(group: ColumnsHeading, table: ruled_table.Table, style: TextStyle) -> tuple[Runs, ...]:
    return wrapped(group.text, style, _span(group, table))


def _row(line: Line) -> ruled_table.Row:
    if line.kind == "cells":
        return ruled_table.Row(line.fields)
    return ruled_table.Row(tuple(tuple((text, True) for text, _ in cell) for cell in line.fields))


def _groups(cells: Sequence[Runs], columns: int, caption: str) -> tuple[ColumnsHeading, ...]:
    """'Rough :: 3' stands over three columns."""
    groups: list[ColumnsHeading] = []
    first = 0
    for cell in cells:
        text, _, span = "".join(part for part, _ in cell).partition(SPAN)
        last = first + int(span or 1) - 1
        groups.append(ColumnsHeading(text.strip(), first, last))
        first = last + 1
    if first != columns:
        raise TemplateError(f"the groups of the table {caption!r} stand over {first} columns of {columns}")
    return tuple(groups)


def _text(line: Line) -> str:
    return "".join(text for text, _ in line.fields[0]) if line.fields else ""


def draw_heading(pen: Pen, heading: Heading, width: float, sheet: Sheet) -> None:
    """A heading; a section's over a heavy rule, a table's over a light one."""
    style = (sheet.section, sheet.heading, sheet.sub)[heading.level]
    taken = pen.paragraph(0, 0, width, heading.text, style)
    if heading.note and heading.level:
        pen.text(width, style.baseline(style.line), heading.note, sheet.looks.small, "right")
    if heading.level == 0:
        pen.line(0, taken + 0.8, width, taken + 0.8, 0.6)


def draw_paragraph(pen: Pen, paragraph: Paragraph, width: float) -> None:
    """Words, behind a dot where they are an item of a list."""
    if paragraph.indent:
        pen.text(0.8, paragraph.style.baseline(paragraph.style.line), "•", paragraph.style)
    pen.paragraph(paragraph.indent, 0, width - paragraph.indent, paragraph.body, paragraph.style)


def draw_leader(pen: Pen, leader: Leader, width: float) -> None:
    """Words left, the page right, dots between them from the end of the words' last line."""
    style = leader.style
    air = LEADER_AIR if leader.bold else 0.0
    lines = wrapped(leader.body, style, width - PAGE_ROOM)
    pen.paragraph(0, air, width - PAGE_ROOM, leader.body, style)
    base = air + (len(lines) - 1) * style.line + style.baseline(style.line)
    pen.text(width, base, leader.page, style, "right")
    start = text_width(lines[-1], style) + 1.5
    stop = width - text_width(leader.page, style) - 1.5
    if stop - start > DOT_STEP:
        dots = int((stop - start) / DOT_STEP)
        pen.line(stop - dots * DOT_STEP, base - 0.15, stop, base - 0.15, 0.25, (0.25, DOT_STEP - 0.25))


def draw_rows(pen: Pen, block: TableBlock, first: int, count: int, sheet: Sheet) -> None:
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
    for group in block.groups[1:]:
        left, right = table.columns[group.first - 1], table.columns[group.first]
        middle = (left.x + left.width + right.x) / 2
        pen.line(middle, 0.4, middle, y, looks.rule)


def _draw_groups(pen: Pen, block: TableBlock, sheet: Sheet) -> None:
    style = sheet.looks.table_head
    for group in block.groups:
        if not group.text:
            continue
        left, width = block.table.columns[group.first].x, _span(group, block.table)
        lines = _wrapped(group, block.table, style)
        y = block.group_height - GROUP_AIR - len(lines) * style.line
        for line in lines:
            pen.text(left + width / 2, y + style.baseline(style.line), line, style, "centre")
            y += style.line
        pen.line(left, block.group_height, left + width, block.group_height, sheet.looks.hairline)
