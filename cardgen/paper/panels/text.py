"""Panels whose whole content is a template: rows, hand values, steps with cautions, tables.

A shop's own panel needs no Python: `text: my_notes` in the layout file sets templates/my_notes.j2.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial

from cardgen.card.values import Card
from cardgen.paper.panels.hand_values import NUMBERED, STEP_GAP, choices, hand_pair, hands, step_number
from cardgen.paper.panels.panel import Panel
from cardgen.paper.panels.piece import Piece
from cardgen.paper.panels.text_table import table
from cardgen.paper.press.page import Looks, draw_heading, heading_height
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typesetting import Runs, paragraph_height, text_width
from cardgen.paper.words.wording import Line

WRITING_LINE = 5.6
LEAST_WRITING = 30.0  # mm: a signature
BOX_AIR = 0.8  # mm between a box and its words
BOXED_PT = 8.0


def text_panel(name: str) -> Panel:
    """The panel that templates/<name>.j2 describes."""
    return _panel(partial(_pieces_of_template, name))


def _pieces_of_template(name: str, width: float, looks: Looks) -> tuple[Piece, ...]:
    lines = looks.words.lines(name)
    below = looks.gap if any(line.kind == "heading" for line in lines) else 0.0  # nothing else asks for it
    key = (name, width, looks.format.name, below, looks.body.size)
    return looks.words.once(key, lambda: pieces(lines, width, looks))


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
            made = hand_pair(lines[start], width - indent, looks)
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
            yield Piece(piece.height, partial(_hung, piece, indent), piece.keep) if indent else piece
        start = end


def _hung(piece: Piece, indent: float, pen: Pen) -> None:
    piece.draw(pen.at(indent, 0))


def _number_room(looks: Looks) -> float:
    return text_width("10", step_number(looks)) + STEP_GAP


def _numbered(line: Line, width: float, looks: Looks) -> Piece:
    """A step with its own number large beside the first line of its words."""
    number, body = line.fields
    style, indent = step_number(looks), _number_room(looks)
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
    style = looks.body.sized(max(BOXED_PT, looks.body.size))
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
    "head": table,
    "row": _rows,
    "hand": hands,
    "choice": choices,
    "boxed": _boxed,
}
