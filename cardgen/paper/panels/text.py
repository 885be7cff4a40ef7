"""Panels whose whole content is a template: rows, hand values, steps with cautions, tables.

A shop's own panel needs no Python: `text: my_notes` in the layout file sets templates/my_notes.j2.
"""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from cardgen.card.values import Card
from cardgen.paper.panels.panel import Panel
from cardgen.paper.press import ruled_table
from cardgen.paper.press.page import Looks, draw_heading, heading_height
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typeface import PaperError
from cardgen.paper.press.typesetting import Runs, TextStyle, paragraph_height, text_width
from cardgen.paper.words.wording import Line

STEP_GAP = 1.3  # mm between a step's number and its words
NUMBERED = 2  # fields of a step that brings its own number
CHOICE_AIR = 1.0  # mm above and below one of several ways
PAIR_AIR = 3.0  # mm between two values side by side
LEAST_LABEL = 18.0  # mm beside a value; with less it stands above
LEADER, LEADER_AIR, LEAST_LEADER = (0.3, 0.9), 1.0, 2.5  # dots from a label to its value: mm
WRITING_LINE = 5.6
LEAST_WRITING = 30.0  # mm: a signature
BOX_AIR = 0.8  # mm between a box and its words
BOXED_PT = 8.0
SHORT_TABLE = 8  # rows: not worth breaking


@dataclass(frozen=True)
class Piece:
    """The smallest part of a text panel: it stays whole, and with `keep` it stays with the next."""

    height: float
    draw: Callable[[Pen], object]
    keep: bool = False


def text_panel(name: str) -> Panel:
    """The panel that templates/<name>.j2 describes."""
    return _panel(partial(_pieces_of_template, name))


def _pieces_of_template(name: str, width: float, looks: Looks) -> tuple[Piece, ...]:
    key = (name, width, looks.format.name, looks.gap, looks.body.size)
    made = looks.words.made
    if key not in made:
        made[key] = pieces(looks.words.lines(name), width, looks)
    found: tuple[Piece, ...] = made[key]
    return found


def _panel(make: Callable[[float, Looks], tuple[Piece, ...]]) -> Panel:
    def height(card: Card, width: float, looks: Looks) -> float:
        return sum(piece.height for piece in make(width, looks))

    def draw(pen: Pen, card: Card, width: float, room: float, looks: Looks) -> None:
        y = 0.0
        for piece in make(width, looks):
            piece.draw(pen.at(0, y))
            y += piece.height

    def split(card: Card, width: float, looks: Looks, room: float) -> tuple[Panel, Panel] | None:
        made = make(width, looks)
        count = _fitting(made, room)
        if not count:
            return None
        return _panel(lambda width, looks: make(width, looks)[:count]), _panel(
            lambda width, looks: make(width, looks)[count:]
        )

    return Panel(height, draw, split)


def _fitting(made: Sequence[Piece], room: float) -> int:
    """How many pieces fit, not ending with one that must stay with the next."""
    used = 0.0
    count = 0
    for number, piece in enumerate(made):
        used += piece.height
        if used > room + 1e-6:
            break
        if not piece.keep:
            count = number + 1
    return count if count < len(made) else 0


def pieces(lines: Sequence[Line], width: float, looks: Looks) -> tuple[Piece, ...]:
    """The lines of a template, measured for a width."""
    return tuple(_pieces(list(lines), width, looks))


def _pieces(lines: list[Line], width: float, looks: Looks) -> Iterator[Piece]:
    step = 0
    indent = 0.0  # what belongs to a step with a number of its own hangs below its words
    start = 0
    while start < len(lines):
        kind = lines[start].kind
        end = start + 1
        if kind in GROUPS:
            while end < len(lines) and lines[end].kind in GROUPS[kind]:
                end += 1
            made = MAKERS[kind](lines[start:end], width - indent, looks)
        elif kind == "hand pair":
            made = _hand_pair(lines[start], width - indent, looks)
        elif kind == "step" and len(lines[start].fields) == NUMBERED:
            indent = _number_room(looks)
            yield _numbered(lines[start], width, looks)
            start = end
            continue
        else:
            step += kind == "step"
            indent = 0.0 if kind == "heading" else indent
            following = lines[end].kind if end < len(lines) else ""
            made = iter((_piece(lines[start], step, following, width - indent, looks),))
        for piece in made:
            yield replace(piece, draw=partial(_hung, piece, indent)) if indent else piece
        start = end


def _hung(piece: Piece, indent: float, pen: Pen) -> None:
    piece.draw(pen.at(indent, 0))


def _number(looks: Looks) -> TextStyle:
    """Of a step's own number: it is looked for from the other side of the card."""
    return replace(looks.hand, size=looks.body.size + 3.0)


def _number_room(looks: Looks) -> float:
    return text_width("10", _number(looks)) + STEP_GAP


def _numbered(line: Line, width: float, looks: Looks) -> Piece:
    """A step with its own number large beside the first line of its words."""
    number, body = line.fields
    style, indent = _number(looks), _number_room(looks)
    height = paragraph_height(body, looks.body, width - indent)

    def draw(pen: Pen) -> None:
        base = looks.body.baseline(looks.body.line) + 0.5 * (style.cap - looks.body.cap)
        pen.text(0, base, number, style)
        pen.paragraph(indent, 0, width - indent, body, looks.body)

    return Piece(max(height, style.line) + 0.3, draw, keep=True)


def _piece(line: Line, step: int, following: str, width: float, looks: Looks) -> Piece:
    body = line.fields[0] if line.fields else ()
    if line.kind == "heading":
        note = _plain(line.fields[1]) if len(line.fields) > 1 else ""
        text = _plain(body)
        height = heading_height(looks, text, width, note)
        return Piece(height, partial(_heading, text, note, width, looks), keep=True)
    if line.kind == "title":
        return _title(line, width, looks)
    if line.kind in ("step", "caution", "item"):
        return _hanging(line, step, following, width, looks)
    if line.kind == "write":
        return _write(body, width, looks)
    if line.kind == "rule":
        return Piece(1.2, lambda pen: pen.line(0, 0.6, width, 0.6, looks.rule))
    style = looks.small if line.kind == "small" else looks.body
    height = paragraph_height(body, style, width)
    return Piece(height + 0.2, lambda pen: pen.paragraph(0, 0, width, body, style))


def _heading(text: str, note: str, width: float, looks: Looks, pen: Pen) -> None:
    draw_heading(pen, text, width, looks, note)


def _title(line: Line, width: float, looks: Looks) -> Piece:
    """The largest words, wrapped, with the revision at the right."""
    words, right = line.fields[0], line.fields[1] if len(line.fields) > 1 else ()
    room = width - text_width(right, looks.title) - 4.0
    height = paragraph_height(words, looks.title, room)

    def draw(pen: Pen) -> None:
        pen.paragraph(0, 0, room, words, looks.title)
        pen.text(width, looks.title.baseline(looks.title.line), right, looks.title, "right")

    return Piece(height + 0.3, draw)


def _boxed(lines: Sequence[Line], width: float, looks: Looks) -> Iterator[Piece]:
    """Remarks that nobody may overlook: in one box, never below 8 pt."""
    style = replace(looks.body, size=max(BOXED_PT, looks.body.size))
    room = width - 2 * BOX_AIR
    heights = [paragraph_height(line.fields[0], style, room) for line in lines]
    height = sum(heights) + 2 * BOX_AIR

    def draw(pen: Pen) -> None:
        pen.rectangle(0, 0, width, height, looks.outline)
        y = BOX_AIR
        for line, tall in zip(lines, heights, strict=True):
            pen.paragraph(BOX_AIR, y, room, line.fields[0], style)
            y += tall

    yield Piece(height + 0.6, draw)


def _hanging(line: Line, step: int, following: str, width: float, looks: Looks) -> Piece:
    """A step with its number, a caution with its sign, an item with its mark, hung at the left."""
    body = line.fields[0]
    style = looks.body
    mark = {"step": f"{step}", "caution": "⚠", "item": "•"}[line.kind]
    indent = text_width("•" if line.kind == "item" else "10", style.bolder()) + STEP_GAP
    height = paragraph_height(body, style, width - indent)
    keep = following == "caution" and line.kind in ("step", "caution")
    air = 0.0 if keep else 0.5

    def draw(pen: Pen) -> None:
        pen.text(0, style.baseline(style.line), mark, style.bolder())
        pen.paragraph(indent, 0, width - indent, body, style)

    return Piece(height + air, draw, keep)


def _choices(lines: Sequence[Line], width: float, looks: Looks) -> Iterator[Piece]:
    """Ways to set one thing, one below the other between rules: the first one's value large."""
    indent = text_width("A", _number(looks)) + STEP_GAP
    for number, line in enumerate(lines):
        label, value = line.fields[1], line.fields[2]
        note = line.fields[3] if len(line.fields) > NUMBERED + 1 else ()
        style = looks.value if number else looks.hand
        yield _choice(line.fields[0], label, value, note, style, indent, width, looks)


def _choice(
    letter: Runs,
    label: Runs,
    value: Runs,
    note: Runs,
    style: TextStyle,
    indent: float,
    width: float,
    looks: Looks,
) -> Piece:
    room = width - indent
    reach = text_width(value, style)
    beside = max(room - reach - 2.0, 0.0)
    above = beside < LEAST_LABEL and text_width(label, looks.body) > beside
    label_room = room if above else beside
    label_height = paragraph_height(label, looks.body, label_room)
    note_height = paragraph_height(note, looks.body, room) if note else 0.0
    first = label_height + paragraph_height(value, style, room) if above else max(label_height, style.line)
    height = first + note_height + CHOICE_AIR

    def draw(pen: Pen) -> None:
        pen.line(0, 0, width, 0, looks.fifth)
        top = CHOICE_AIR / 2
        pen.text(0, top + looks.value.baseline(max(looks.value.line, style.line)), letter, looks.value)
        if above:
            pen.paragraph(indent, top, room, label, looks.body)
            pen.paragraph(indent, top + label_height, room, value, style)
        else:
            down = (first - label_height) / 2
            pen.paragraph(indent, top + down, label_room, label, looks.body)
            pen.text(width, top + style.baseline(first), value, style, "right")
        if note:
            pen.paragraph(indent, top + first, room, note, looks.body)

    return Piece(height, draw, keep=True)


def _hands(lines: Sequence[Line], width: float, looks: Looks) -> Iterator[Piece]:
    """Values the hand acts on, their labels beside them, or above where there is no room."""
    for line in lines:
        label, value = line.fields[0], line.fields[1]
        note = line.fields[2] if len(line.fields) > 2 else ()
        yield _hand(label, value, note, _beside(label, value, width, looks), width, looks)


def _beside(label: Runs, value: Runs, width: float, looks: Looks) -> bool:
    return text_width(label, looks.body) + LEADER_AIR + text_width(value, looks.hand) <= width


def _hand(label: Runs, value: Runs, note: Runs, beside: bool, width: float, looks: Looks) -> Piece:
    """A label, its value large, and a note in small print below."""
    label_height = 0.0 if beside else paragraph_height(label, looks.body, width)
    value_height = paragraph_height(value, looks.hand, width)
    note_height = paragraph_height(note, looks.note, width) if note else 0.0

    def draw(pen: Pen) -> None:
        if beside:
            base = looks.hand.baseline(looks.hand.line)
            start = pen.text(0, base, label, looks.body) + LEADER_AIR
            end = width - pen.text(width, base, value, looks.hand, "right") - LEADER_AIR
            if end - start > LEAST_LEADER:
                pen.line(start, base, end, base, looks.rule, LEADER)
        else:
            pen.paragraph(0, 0, width, label, looks.body)
            pen.paragraph(0, label_height, width, value, looks.hand)
        if note:
            pen.paragraph(0, label_height + value_height, width, note, looks.note)

    return Piece(label_height + value_height + note_height + 0.5, draw)


def _hand_pair(line: Line, width: float, looks: Looks) -> Iterator[Piece]:
    """Two hand values side by side where the width has room for both, else one below the other."""
    pairs = list(zip(line.fields[::2], line.fields[1::2], strict=False))
    needs = [
        text_width(label, looks.body) + LEADER_AIR + text_width(value, looks.hand) for label, value in pairs
    ]
    spare = (width - PAIR_AIR * (len(pairs) - 1) - sum(needs)) / len(pairs)
    if spare < 0:
        for label, value in pairs:
            yield _hand(label, value, (), _beside(label, value, width, looks), width, looks)
        return
    made = [
        _hand(label, value, (), True, need + spare, looks)
        for (label, value), need in zip(pairs, needs, strict=True)
    ]

    def draw(pen: Pen) -> None:
        x = 0.0
        for piece, need in zip(made, needs, strict=True):
            piece.draw(pen.at(x, 0))
            x += need + spare + PAIR_AIR

    yield Piece(max(piece.height for piece in made), draw)


def _write(label: Runs, width: float, looks: Looks) -> Piece:
    """A line to be written on, behind its label; below it where the label leaves no room."""
    reach = text_width(label, looks.small)
    beside = reach + LEAST_WRITING <= width
    above = 0.0 if beside else paragraph_height(label, looks.small, width)

    def draw(pen: Pen) -> None:
        base = above + WRITING_LINE - 1.2
        if beside:
            pen.text(0, base, label, looks.small)
        else:
            pen.paragraph(0, 0, width, label, looks.small)
        pen.line(reach + 1.0 if beside else 0.0, base + 0.6, width, base + 0.6, looks.rule)

    return Piece(above + WRITING_LINE, draw)


def _rows(lines: Sequence[Line], width: float, looks: Looks) -> Iterator[Piece]:
    """Labels and values, the values in one column; a third field is a note in small print."""
    widest = max(text_width(line.fields[0], looks.body) for line in lines)
    values = max(text_width(line.fields[1], looks.value) for line in lines)
    column = max(0.3 * width, min(widest + 2.0, 0.55 * width, width - values))
    for line in lines:
        yield _row(line, column, width, looks)


def _row(line: Line, column: float, width: float, looks: Looks) -> Piece:
    label, value = line.fields[0], line.fields[1]
    note = line.fields[2] if len(line.fields) > 2 else ()
    room = width - column
    label_height = paragraph_height(label, looks.body, column - 1.0)
    value_height = paragraph_height(value, looks.value, room)
    value_width = text_width(value, looks.value)
    note_beside = bool(note) and value_width + 1.5 + text_width(note, looks.note) <= room
    note_height = paragraph_height(note, looks.note, room) if note and not note_beside else 0.0

    def draw(pen: Pen) -> None:
        lower = looks.value.baseline(looks.value.line) - looks.body.baseline(looks.body.line)
        pen.paragraph(0, lower, column - 1.0, label, looks.body)
        pen.paragraph(column, 0, room, value, looks.value)
        if note_beside:
            base = looks.value.baseline(looks.value.line)
            pen.text(column + value_width + 1.5, base, note, looks.note)
        elif note:
            pen.paragraph(column, value_height, room, note, looks.note)

    return Piece(max(label_height, value_height + note_height) + 0.5, draw)


def _table(lines: Sequence[Line], width: float, looks: Looks) -> Iterator[Piece]:
    head, rows = lines[0].fields, _table_rows(lines[1:])
    for columns in _parts(head, rows, width, looks):
        yield from _part_of_table(_picked(head, columns), _picked_rows(rows, columns), width, looks)


def _parts(
    head: tuple[Runs, ...], rows: tuple[ruled_table.Row, ...], width: float, looks: Looks
) -> list[tuple[int, ...]]:
    """The columns of each part: a table too wide is cut, each part beginning with the first column."""
    count = len(head)
    for parts in range(1, max(2, count)):
        size = math.ceil((count - 1) / parts)
        cut = [(0, *range(start, min(start + size, count))) for start in range(1, count, size)]
        try:
            for columns in cut:
                ruled_table.measured(_picked(head, columns), _picked_rows(rows, columns), width, looks)
        except PaperError:
            if size <= 1:
                raise
            continue
        return cut
    return [tuple(range(count))]


def _picked(cells: tuple[Runs, ...], columns: tuple[int, ...]) -> tuple[Runs, ...]:
    return tuple(cells[column] for column in columns) if len(cells) > max(columns) else cells


def _picked_rows(rows: tuple[ruled_table.Row, ...], columns: tuple[int, ...]) -> tuple[ruled_table.Row, ...]:
    return tuple(
        ruled_table.Row(_picked(row.cells, columns), _picked(row.under, columns) if row.under else ())
        for row in rows
    )


def _part_of_table(
    head: tuple[Runs, ...], rows: tuple[ruled_table.Row, ...], width: float, looks: Looks
) -> Iterator[Piece]:
    table = ruled_table.measured(head, rows, width, looks)
    yield Piece(table.head_height, lambda pen: ruled_table.draw_head(pen, table, looks), keep=True)
    for number, row in enumerate(rows, 1):
        height = ruled_table.row_height(table, row, looks)
        draw = partial(_table_row, table, row, height, looks, number, number == len(rows))
        keep = len(rows) <= SHORT_TABLE or number in (1, len(rows) - 1)
        yield Piece(height, draw, keep and number < len(rows))
    yield Piece(0.8, lambda pen: None)


def _table_rows(lines: Sequence[Line]) -> tuple[ruled_table.Row, ...]:
    rows: list[ruled_table.Row] = []
    for line in lines:
        if line.kind == "under cells" and rows:
            rows[-1] = ruled_table.Row(rows[-1].cells, line.fields)
        else:
            rows.append(ruled_table.Row(_cells(line)))
    return tuple(rows)


def _table_row(
    table: ruled_table.Table,
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


def _plain(runs: Runs) -> str:
    return "".join(text for text, _ in runs)


# Lines that are set together: a table's rows, values in one column. Each kind with those that go on from it.
GROUPS: Mapping[str, tuple[str, ...]] = {
    "head": ("cells", "bold cells", "under cells"),
    "row": ("row",),
    "hand": ("hand",),
    "choice": ("choice",),
    "boxed": ("boxed",),
}
MAKERS: Mapping[str, Callable[[Sequence[Line], float, Looks], Iterator[Piece]]] = {
    "head": _table,
    "row": _rows,
    "hand": _hands,
    "choice": _choices,
    "boxed": _boxed,
}
