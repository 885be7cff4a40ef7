"""Tables: columns find their widths, figures stand with their decimal points in line."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from cardgen.paper.page import Looks
from cardgen.paper.pen import Pen, Runs, TextStyle, text_width, wrapped
from cardgen.paper.typeface import PaperError

GUTTER = 2.2  # mm, the least air between two columns
FIFTH = 5
LONG_WORD = 25.0  # mm; a word longer than this may be broken


@dataclass(frozen=True)
class Column:
    """Where a column stands, and where the decimal points of its figures stand (None: plain text)."""

    x: float
    width: float
    point: float | None


@dataclass(frozen=True)
class Table:
    """A table measured for a width: what is to be drawn, and where."""

    head: tuple[Runs, ...]
    columns: tuple[Column, ...]
    head_height: float
    width: float


def plain(text: str) -> Runs:
    """A text as one run of the style's own weight."""
    return ((text, False),)


def measured(
    head: Sequence[Runs], rows: Sequence[Sequence[Runs]], width: float, looks: Looks, style: TextStyle
) -> Table:
    """Find the columns of a table `width` mm wide; a head that starts with '>' aligns on the point.

    Raises PaperError when a row has another number of cells than the head, or the figures alone are
    wider than the table.
    """
    return _measured(tuple(head), tuple(tuple(row) for row in rows), width, looks.table_head, style)


@lru_cache(maxsize=512)
def _measured(
    head: tuple[Runs, ...],
    rows: tuple[tuple[Runs, ...], ...],
    width: float,
    head_style: TextStyle,
    style: TextStyle,
) -> Table:
    for row in rows:
        if len(row) != len(head):
            raise PaperError(f"a table row has {len(row)} cells, its heading {len(head)}: {_text(row[0])!r}")
    aligned = [_text(cell).startswith(">") for cell in head]
    heads = tuple(_without_mark(cell) if point else cell for cell, point in zip(head, aligned, strict=True))
    columns = list(zip(*rows, strict=True)) if rows else [()] * len(head)
    sides = [
        _sides(cells, style) if point else (0.0, 0.0) for cells, point in zip(columns, aligned, strict=True)
    ]
    least = [
        max(_longest_word(cell, head_style), left + right, 0.0 if point else _text_least(cells, style))
        for cell, (left, right), point, cells in zip(heads, sides, aligned, columns, strict=True)
    ]
    wish = [
        least_width if point else max([least_width, *(text_width(cell, style) for cell in cells)])
        for least_width, point, cells in zip(least, aligned, columns, strict=True)
    ]
    widths = _widths(least, wish, aligned, width - GUTTER * (len(head) - 1), _text(head[0]))
    spare = max(0.0, width - sum(widths) - GUTTER * (len(head) - 1))
    gutter = GUTTER + (spare / (len(head) - 1) if len(head) > 1 else 0.0)
    made: list[Column] = []
    x = 0.0
    for column_width, point, (left, right) in zip(widths, aligned, sides, strict=True):
        place = x + (column_width - left - right) / 2 + left if point else None
        made.append(Column(x, column_width, place))
        x += column_width + gutter
    lines = max(
        (len(wrapped(cell, head_style, column.width)) for cell, column in zip(heads, made, strict=True)),
        default=1,
    )
    return Table(heads, tuple(made), lines * head_style.line + 0.9, width)


def _widths(
    least: list[float], wish: list[float], aligned: list[bool], room: float, first: str
) -> list[float]:
    """Columns as wide as they wish, the text columns giving way where room is short."""
    over = sum(wish) - room
    if over <= 0:
        return wish
    give = [0.0 if point else max(0.0, w - m) for w, m, point in zip(wish, least, aligned, strict=True)]
    total = sum(give)
    if total < over - 1e-6:
        raise PaperError(f"the table '{first}' needs {sum(least):.0f} mm and has {room:.0f} mm")
    return [w - over * g / total for w, g in zip(wish, give, strict=True)]


def row_height(table: Table, cells: Sequence[Runs], looks: Looks, style: TextStyle) -> float:
    """Height of a row: at least the format's, more where a text wraps."""
    lines = max(
        (
            len(wrapped(cell, style, column.width))
            for cell, column in zip(cells, table.columns, strict=True)
            if column.point is None
        ),
        default=1,
    )
    return max(looks.row, lines * style.line + 0.9)


def draw_head(pen: Pen, table: Table, looks: Looks) -> None:
    """The heads, standing on the rule that closes them."""
    style = looks.table_head
    for cell, column in zip(table.head, table.columns, strict=True):
        lines = wrapped(cell, style, column.width)
        y = table.head_height - 0.9 - len(lines) * style.line
        for line in lines:
            base = y + style.baseline(style.line)
            if column.point is None:
                pen.text(column.x, base, line, style)
            else:
                pen.text(column.x + column.width / 2, base, line, style, "centre")
            y += style.line
    pen.line(0, table.head_height, table.width, table.head_height, looks.rule)


def draw_row(
    pen: Pen,
    table: Table,
    cells: Sequence[Runs],
    height: float,
    looks: Looks,
    style: TextStyle,
    number: int,
    last: bool = False,
) -> None:
    """One row (numbered from 1) with the rule below it: every fifth heavier."""
    for cell, column in zip(cells, table.columns, strict=True):
        if column.point is None:
            lines = wrapped(cell, style, column.width)
            y = (height - len(lines) * style.line) / 2
            for line in lines:
                pen.text(column.x, y + style.baseline(style.line), line, style)
                y += style.line
        else:
            left = _before_point(cell, style)
            pen.text(column.point - left, style.baseline(height), cell, style)
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
    """Where the decimal point of a figure is, or where its common fraction begins."""
    if "⁄" in text:
        start = text.index("⁄")
        while start and text[start - 1].isdigit():
            start -= 1
        return start
    if "." in text:
        return text.index(".")
    end = 0
    while end < len(text) and (text[end].isdigit() or text[end] in "+−-"):
        end += 1
    return end
