"""A template's table: measured, cut in parts where it is too wide, a piece a row."""

import math
from collections.abc import Iterator, Sequence
from functools import partial

from cardgen.paper.panels.piece import Piece
from cardgen.paper.press import ruled_table
from cardgen.paper.press.page import Looks
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.ruled_table import Table
from cardgen.paper.press.typeface import PaperError
from cardgen.paper.press.typesetting import Runs
from cardgen.paper.words.wording import Line

Rows = tuple[ruled_table.Row, ...]
SHORT_TABLE = 8  # rows: not worth breaking


def table(lines: Sequence[Line], width: float, looks: Looks) -> Iterator[Piece]:
    for part, rows in _parts(lines[0].fields, _table_rows(lines[1:]), width, looks):
        yield from _part_of_table(part, rows, looks)


def _parts(head: tuple[Runs, ...], rows: Rows, width: float, looks: Looks) -> list[tuple[Table, Rows]]:
    """A table too wide is cut in parts, each beginning with the first column."""
    parts = 1
    while True:
        cut = _cut(head, rows, parts)
        try:
            return [(ruled_table.measured(*each, width, looks), each[1]) for each in cut]
        except PaperError:
            if parts >= len(head) - 1:
                raise
        parts += 1


def _cut(head: tuple[Runs, ...], rows: Rows, parts: int) -> list[tuple[tuple[Runs, ...], Rows]]:
    if parts == 1:
        return [(head, rows)]
    count, size = len(head), math.ceil((len(head) - 1) / parts)
    cut = [(0, *range(start, min(start + size, count))) for start in range(1, count, size)]
    return [(_picked(head, columns), _picked_rows(rows, columns)) for columns in cut]


def _picked(cells: tuple[Runs, ...], columns: tuple[int, ...]) -> tuple[Runs, ...]:
    return tuple(cells[column] for column in columns) if len(cells) > max(columns) else cells


def _picked_rows(rows: Rows, columns: tuple[int, ...]) -> Rows:
    return tuple(
        ruled_table.Row(_picked(row.cells, columns), _picked(row.under, columns) if row.under else ())
        for row in rows
    )


def _part_of_table(table: Table, rows: Rows, looks: Looks) -> Iterator[Piece]:
    yield Piece(table.head_height, lambda pen: ruled_table.draw_head(pen, table, looks), keep=True)
    for number, row in enumerate(rows, 1):
        height = ruled_table.row_height(table, row, looks)
        draw = partial(_table_row, table, row, height, looks, number, number == len(rows))
        keep = len(rows) <= SHORT_TABLE or number in (1, len(rows) - 1)
        yield Piece(height, draw, keep and number < len(rows))
    yield Piece(0.8, lambda pen: None)


def _table_rows(lines: Sequence[Line]) -> Rows:
    rows: list[ruled_table.Row] = []
    for line in lines:
        if line.kind == "under cells" and rows:
            rows[-1] = ruled_table.Row(rows[-1].cells, line.fields)
        else:
            rows.append(ruled_table.Row(_cells(line)))
    return tuple(rows)


def _table_row(
    table: Table,
    row: ruled_table.Row,
    height: float,
    looks: Looks,
    number: int,
    last: bool,
    pen: Pen,
) -> None:
    ruled_table.draw_row(pen, table, row, height, looks, number, last)


def _cells(line: Line) -> tuple[Runs, ...]:
    if line.kind == "bold cells":
        return tuple(tuple((text, True) for text, _ in cell) for cell in line.fields)
    return line.fields
