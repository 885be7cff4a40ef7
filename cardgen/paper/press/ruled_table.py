"""Tables: columns find their widths, figures stand with their decimal points in line."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from cardgen.paper.press.page import Looks
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typeface import PaperError
from cardgen.paper.press.typesetting import Runs, TextStyle, text_width, wrapped

GUTTER = 1.7  # mm, the air between two columns
AROUND_LINES = 0.9  # mm of air above and below the lines of a cell
TIGHT = 1.1  # the least air, where the figures ask for it
FIFTH = 5
TURNS_AND = "\u00a0+\u00a0"  # '4 + 31'
LONG_WORD = 25.0  # mm; a word longer than this may be broken


@dataclass(frozen=True)
class Column:
    """Where a column stands, and where the decimal points of its figures stand (None: plain text)."""

    x: float
    width: float
    point: float | None


class Row(NamedTuple):
    """A row's cells, and the second line under them where the other system of units stands."""

    cells: tuple[Runs, ...]
    under: tuple[Runs, ...] = ()


@dataclass(frozen=True)
class Table:
    """A table measured for a width: what is to be drawn, and where."""

    head: tuple[Runs, ...]
    columns: tuple[Column, ...]
    head_height: float
    width: float
    style: TextStyle
    head_style: TextStyle


def plain(text: str) -> Runs:
    """A text as one run of the style's own weight."""
    return ((text, False),)


def measured(head: tuple[Runs, ...], rows: tuple[Row, ...], width: float, looks: Looks) -> Table:
    """Find the columns of a table `width` mm wide; a head that starts with '>' aligns on the point.

    Raises PaperError when a row has another number of cells than the head, or the figures alone are
    wider than the table.
    """
    if table := in_its_type(head, rows, width, looks):
        return table
    tight = looks.table.sized(looks.table_least)
    for over in (looks.table_head, looks.table_head.sized(looks.label.size)):
        if table := _measured(head, rows, width, over, tight, TIGHT):
            return table
    raise PaperError(f"the table '{_text(head[0])} …' has no room for its figures on {width:.0f} mm")


def in_its_type(head: tuple[Runs, ...], rows: tuple[Row, ...], width: float, looks: Looks) -> Table | None:
    """The columns of a table in the type that the format has for tables; None where the room is too short."""
    for gutter in (GUTTER, TIGHT):
        if table := _measured(head, rows, width, looks.table_head, looks.table, gutter):
            return table
    return None


def _measured(
    head: tuple[Runs, ...],
    rows: tuple[Row, ...],
    width: float,
    head_style: TextStyle,
    style: TextStyle,
    gutter: float,
) -> Table | None:
    """The table with this style and air between its columns; None where the room is too short."""
    asked = _asked(head, rows, head_style, style)
    widths = _widths(asked, width - gutter * (len(head) - 1))
    if not widths:
        return None
    made = _placed(widths, asked, width)
    lines = max(
        (len(wrapped(each.head, head_style, column.width)) for each, column in zip(asked, made, strict=True)),
        default=1,
    )
    heads = tuple(each.head for each in asked)
    return Table(heads, made, lines * head_style.line + AROUND_LINES, width, style, head_style)


@dataclass(frozen=True)
class _Asked:
    """What a column asks for, whatever the width of its table (mm)."""

    head: Runs
    least: float
    wish: float
    sides: tuple[float, float] | None  # widest part before and after the decimal point; none of plain text


@lru_cache(maxsize=512)
def _asked(
    head: tuple[Runs, ...], rows: tuple[Row, ...], head_style: TextStyle, style: TextStyle
) -> tuple[_Asked, ...]:
    """Each column's room: figures never give way, words do."""
    for row in rows:
        for cells in (row.cells, row.under):
            if cells and len(cells) != len(head):
                first = _text(row.cells[0])
                raise PaperError(f"a table row has {len(cells)} cells, its heading {len(head)}: {first!r}")
    shown = [cells for row in rows for cells in (row.cells, row.under) if cells]
    columns = list(zip(*shown, strict=True)) if shown else [()] * len(head)
    found = []
    for over, cells in zip(head, columns, strict=True):
        if _text(over).startswith(">"):
            over = _without_mark(over)
            sides = _sides(cells, style)
            least = max(_longest_word(over, head_style), sum(sides))
            found.append(_Asked(over, least, least, sides))
        else:
            least = max(_longest_word(over, head_style), _text_least(cells, style))
            wish = max([least, *(text_width(cell, style) for cell in cells)])
            found.append(_Asked(over, least, wish, None))
    return tuple(found)


def _placed(widths: Sequence[float], asked: Sequence[_Asked], width: float) -> tuple[Column, ...]:
    """Columns from left to right, what room is left over spread evenly between them."""
    gaps = len(widths) - 1
    gutter = (width - sum(widths)) / gaps if gaps else 0.0
    made: list[Column] = []
    x = 0.0
    for column_width, each in zip(widths, asked, strict=True):
        place = x + (column_width - sum(each.sides)) / 2 + each.sides[0] if each.sides is not None else None
        made.append(Column(x, column_width, place))
        x += column_width + gutter
    return tuple(made)


def _widths(asked: Sequence[_Asked], room: float) -> list[float]:
    """Columns as wide as they wish, those of words giving way; none where room is too short."""
    over = sum(each.wish for each in asked) - room
    if over <= 0:
        return [each.wish for each in asked]
    total = sum(each.wish - each.least for each in asked)
    if total < over - 1e-6:
        return []
    return [each.wish - over * (each.wish - each.least) / total for each in asked]


def row_height(table: Table, row: Row, looks: Looks) -> float:
    """Height of a row: at least the format's, more where a text wraps or a second line stands below."""
    style = table.style
    lines = max(
        (
            len(wrapped(cell, style, column.width))
            for cell, column in zip(row.cells, table.columns, strict=True)
            if column.point is None
        ),
        default=1,
    )
    if row.under:
        return max(looks.row + style.line, lines * style.line + AROUND_LINES)
    return max(looks.row, lines * style.line + AROUND_LINES)


def draw_head(pen: Pen, table: Table, looks: Looks) -> None:
    """The heads, standing on the rule that closes them."""
    style = table.head_style
    for cell, column in zip(table.head, table.columns, strict=True):
        lines = wrapped(cell, style, column.width)
        y = table.head_height - AROUND_LINES - len(lines) * style.line
        for line in lines:
            base = y + style.baseline(style.line)
            if column.point is None:
                pen.text(column.x, base, line, style)
            else:
                pen.text(column.x + column.width / 2, base, line, style, "centre")
            y += style.line
    pen.line(0, table.head_height, table.width, table.head_height, looks.rule)


def draw_row(
    pen: Pen, table: Table, row: Row, height: float, looks: Looks, number: int, last: bool = False
) -> None:
    """One row (numbered from 1) with the rule below it: every fifth heavier."""
    style = table.style
    first = height - style.line if row.under else height
    base = style.baseline(first)
    for cell, column in zip(row.cells, table.columns, strict=True):
        if column.point is None:
            lines = wrapped(cell, style, column.width)
            y = (height - len(lines) * style.line) / 2 if len(lines) > 1 else (first - style.line) / 2
            for line in lines:
                pen.runs(column.x, y + style.baseline(style.line), line, style)
                y += style.line
        else:
            pen.runs(column.point - _before_point(cell, style), base, cell, style)
    for cell, column in zip(row.under, table.columns, strict=False):
        if _text(cell):
            x = column.x if column.point is None else column.point - _before_point(cell, style)
            pen.runs(x, base + style.line, cell, style)
    heavier = number % FIFTH == 0 or last
    pen.line(0, height, table.width, height, looks.fifth if heavier else looks.hairline)


def _text(cell: Runs) -> str:
    return "".join(text for text, _ in cell)


def _without_mark(cell: Runs) -> Runs:
    (text, bold), *rest = cell
    return ((text.removeprefix(">").strip(), bold), *rest)


def _longest_word(cell: Runs, style: TextStyle) -> float:
    return max((text_width(((word, True),), style) for word in _text(cell).split(" ")), default=0.0)


def _text_least(cells: Sequence[Runs], style: TextStyle) -> float:
    """The longest word of a text column, as long as it is a usual word."""
    return min(LONG_WORD, max((_longest_word(cell, style) for cell in cells), default=0.0))


def _sides(cells: Sequence[Runs], style: TextStyle) -> tuple[float, float]:
    """Widest part before and after the decimal point."""
    before = [_before_point(cell, style) for cell in cells]
    after = [text_width(cell, style) - left for cell, left in zip(cells, before, strict=True)]
    return max(before, default=0.0), max(after, default=0.0)


@lru_cache(maxsize=16384)
def _before_point(cell: Runs, style: TextStyle) -> float:
    """Width of a figure up to its decimal point, or up to its common fraction."""
    text = _text(cell)
    bold = style.bold or any(weight for _, weight in cell)
    return text_width(((text[: _point(text)], bold),), style)


def _point(text: str) -> int:
    """Where the decimal point of a figure is, or its common fraction begins; of turns + divisions the end."""
    if "⁄" in text:
        start = text.index("⁄")
        while start and text[start - 1].isdigit():
            start -= 1
        return start
    if "." in text:
        return text.index(".")
    end = text.rfind(TURNS_AND) + len(TURNS_AND) if TURNS_AND in text else 0
    while end < len(text) and (text[end].isdigit() or text[end] in "+−-"):
        end += 1
    return end
