"""The record sheet of a batch: one line for each piece that is checked, the limits over their columns."""

from collections.abc import Sequence

from cardgen.card.values import Card
from cardgen.paper.bench_card import Templates
from cardgen.paper.press.document import Drawing, Surface
from cardgen.paper.press.page import Looks, looks_for, paper_format
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typesetting import TextStyle, paragraph_height
from cardgen.paper.words.figures import Figures

ROW = 7.5  # mm: room for handwriting
FIFTH = 5
# Shares of the width: piece, rough reading, finish reading, rub or light, stop moved, remarks, initials.
COLUMNS: tuple[tuple[str, float], ...] = (
    ("piece", 0.08),
    ("rough", 0.15),
    ("finish", 0.17),
    ("rub", 0.24),
    ("stop", 0.11),
    ("remarks", 0.13),
    ("initials", 0.12),
)
# What is written at the head, and its share of the width.
WRITTEN: tuple[tuple[str, float], ...] = (("date", 0.2), ("operator", 0.3), ("first_off", 0.5))
TEXT_TOP = 12.0


def record_sheet(card: Card, paper: str, templates: Templates) -> Drawing:
    """The record sheet for a card's batch, as many pages as it takes."""
    made = paper_format(paper)
    looks = looks_for(made, Figures(card.title.units), templates.words(card, made))
    width = made.width - 2 * made.margin
    head = _head_height(width, looks)
    count = max(1, int((made.height - TEXT_TOP - made.margin - head) / ROW))
    asked = [str(piece) for piece in card.batch.pieces_to_check] or [""] * count  # blank: no known size
    parts = [asked[start : start + count] for start in range(0, len(asked), count)]
    surfaces = []
    for number, pieces in enumerate(parts, 1):
        surface = Surface(made.width, made.height)
        _draw_page(Pen(surface).at(made.margin, TEXT_TOP), pieces, f"{number}/{len(parts)}", width, looks)
        surfaces.append(surface)
    title = card.title
    return Drawing(tuple(surfaces), f"Record sheet, {title.part}, revision {title.revision}", title.code)


def _head_height(width: float, looks: Looks) -> float:
    words = looks.words
    height = paragraph_height(words.label("record_sheet", "title"), looks.title, width)
    height += paragraph_height(words.label("record_sheet", "under"), looks.body, width) + ROW + 1.5
    return height + _column_head_height(width, looks)


def _column_head_height(width: float, looks: Looks) -> float:
    return 1.5 + max(
        sum(paragraph_height(text, style, share * width - 1.5) for text, style in _column_head(name, looks))
        for name, share in COLUMNS
    )


def _column_head(name: str, looks: Looks) -> tuple[tuple[str, TextStyle], ...]:
    words = looks.words
    return (
        (words.label("record_sheet", name), looks.table_head),
        (words.label("record_sheet", f"{name}_limits"), looks.value),
    )


def _draw_page(pen: Pen, pieces: Sequence[str], page: str, width: float, looks: Looks) -> None:
    words = looks.words
    pen.text(width, -2.0, page, looks.small, "right")
    y = pen.paragraph(0, 0, width, words.label("record_sheet", "title"), looks.title)
    y += pen.paragraph(0, y, width, words.label("record_sheet", "under"), looks.body)
    _draw_written(pen, y, width, looks)
    y += ROW + 1.5
    top = y
    pen.line(0, y, width, y, looks.heavy)
    x = 0.0
    for name, share in COLUMNS:
        down = y + 0.6
        for text, style in _column_head(name, looks):
            down += pen.paragraph(x + 0.8, down, share * width - 1.5, text, style)
        x += share * width
    y += _column_head_height(width, looks)
    pen.line(0, y, width, y, looks.heavy)
    for number, piece in enumerate(pieces, 1):
        pen.text(COLUMNS[0][1] * width - 2.0, y + looks.table.baseline(ROW), piece, looks.table, "right")
        y += ROW
        pen.line(0, y, width, y, looks.fifth if number % FIFTH == 0 else looks.hairline)
    x = 0.0
    for _, share in (*COLUMNS, ("", 0.0)):
        pen.line(x, top, x, y, looks.hairline)
        x += share * width


def _draw_written(pen: Pen, y: float, width: float, looks: Looks) -> None:
    """Lines for the date, the operator, and who passed the first piece."""
    base, x = y + ROW - 1.5, 0.0
    for name, share in WRITTEN:
        reach = pen.text(x, base, looks.words.label("record_sheet", name), looks.body)
        x += share * width
        pen.line(x - share * width + reach + 1.0, base + 0.5, x - 2.0, base + 0.5, looks.rule)
