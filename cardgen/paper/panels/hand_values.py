"""Values the hand acts on: large at the right, a row of dots leading to them; and ways to set one thing."""

from collections.abc import Iterator, Sequence

from cardgen.paper.panels.piece import Piece
from cardgen.paper.press.page import Looks
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typesetting import Runs, TextStyle, paragraph_height, text_width
from cardgen.paper.words.wording import Line

STEP_GAP = 1.3  # mm between a step's number and its words
NUMBERED = 2  # fields of a step that brings its own number
CHOICE_AIR = 1.0  # mm above and below one of several ways
PAIR_AIR = 3.0  # mm between two values side by side
LEAST_LABEL = 18.0  # mm beside a value; with less it stands above
LEADER, LEADER_AIR, LEAST_LEADER = (0.3, 0.9), 1.0, 2.5  # dots from a label to its value: mm


def step_number(looks: Looks) -> TextStyle:
    """Of a step's own number: it is looked for from the other side of the card."""
    return looks.hand.sized(looks.body.size + 3.0)


def choices(lines: Sequence[Line], width: float, looks: Looks) -> Iterator[Piece]:
    """Ways to set one thing, one below the other between rules: the first one's value large."""
    indent = text_width("A", step_number(looks)) + STEP_GAP
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


def hands(lines: Sequence[Line], width: float, looks: Looks) -> Iterator[Piece]:
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


def hand_pair(line: Line, width: float, looks: Looks) -> Iterator[Piece]:
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
