"""Where a piece stands and what to feed: one row a reading, from too much stock down past the limits.

Blocks, read with their own tools: down to the rough target, on to finish size in two feeds, and the limits
with the aim between them. In each row the heavy figure is the next feed. Hatching and words between reading
and stock tell the zones. Where the room is too short for every row, the block with most is taken coarser.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from cardgen.card.values import Card, StockRow
from cardgen.paper.panels.feed_rows import (
    Block,
    Mark,
    all_rows,
    feed_blocks,
    kept,
    limit_marks,
    next_feed,
    row_steps,
    rows_in,
)
from cardgen.paper.panels.feed_zones import Places, draw_limit_zones, draw_zones
from cardgen.paper.panels.panel import Panel
from cardgen.paper.press.page import Looks, draw_heading, heading_height
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typeface import PaperError
from cardgen.paper.press.typesetting import TextStyle, paragraph_height, text_width, wrapped
from cardgen.paper.words.figures import Figures
from cardgen.terms import Units

GUTTER, LEAST_GUTTER = 1.6, 1.0  # mm between two columns
LEAST_STRIP, FAIR_STRIP, WIDEST_STRIP = 3.0, 5.0, 24.0  # mm: below what is fair the columns move closer
STRETCH = 1.25  # rows may be this much taller than the least to use the room
BLOCK_AIR = 1.6  # mm between two blocks: they are not to be read as one

Widths = tuple[float, tuple[float, ...], float]


@dataclass(frozen=True)
class _Plan:
    """The table on a width: what stands in it, in which columns, and how tall all is that is no row (mm)."""

    blocks: tuple[Block, ...]
    marks: tuple[Mark, ...]
    figures: Figures
    places: Places
    heads: tuple[float, ...]  # of the blocks
    tall: tuple[float, ...]  # of the marks
    last: float  # of the words below them
    fixed: float


def _plan(card: Card, width: float, looks: Looks) -> _Plan:
    key = (_Plan, width, looks.setting)
    return looks.words.once(key, lambda: _planned(card, width, looks))


def _planned(card: Card, width: float, looks: Looks) -> _Plan:
    blocks, marks, body = feed_blocks(card), limit_marks(card, looks), looks.body
    figures = _systems(card, blocks, width, looks)
    places = _places(card, blocks, width, looks, figures)
    room = width - places.strip_right - GUTTER  # for what a piece within or beyond the limits is
    heads = tuple(_head_height(block, width, looks) for block in blocks)
    tall = tuple(_mark_height(mark, room, looks) for mark in marks)
    last = max(paragraph_height(_last_words(looks), body, room), looks.row)
    band = paragraph_height(looks.words.label("feeds", "limits"), body.bolder(), width - 1.0)
    title, note = _title(looks)
    fixed = (
        heading_height(looks, title, width, note)
        + paragraph_height(_rule(looks), body.bolder(), width)
        + sum(heads)
        + len(blocks) * BLOCK_AIR
        + (band + 1.2 + sum(tall) + last + 0.6)
    )
    return _Plan(blocks, marks, figures, places, heads, tall, last, fixed)


# ---- heights -----------------------------------------------------------------------------------


def height(card: Card, width: float, looks: Looks) -> float:
    """The least height: every block with its coarsest rows."""
    plan = _plan(card, width, looks)
    steps = row_steps(card, plan.blocks)
    coarsest = [kept(block, each[-1]) for block, each in zip(plan.blocks, steps, strict=True)]
    return plan.fixed + sum(map(len, coarsest)) * looks.row


def wish(card: Card, width: float, looks: Looks) -> float:
    """The height at which no row is left out."""
    plan = _plan(card, width, looks)
    return plan.fixed + sum(len(all_rows(block)) for block in plan.blocks) * looks.row


def _title(looks: Looks) -> tuple[str, str]:
    word = looks.words.label
    return word("feeds", "heading"), word("feeds", "worth")


def _rule(looks: Looks) -> str:
    return looks.words.label("feeds", "rule")


def _head_height(block: Block, width: float, looks: Looks) -> float:
    """The band that names the block, and the heads of its columns."""
    band = paragraph_height(_band(block, looks), looks.body.bolder(), width - 1.0)
    return band + max(len(head.split("\n")) for head in _heads(block, looks)) * looks.table_head.line + 1.6


def _mark_height(mark: Mark, room: float, looks: Looks) -> float:
    style = looks.hand if mark.large else looks.value
    words = paragraph_height(mark.words, _mark_style(mark, looks), room)
    return max(style.line + 0.4, words + 0.4)


def _mark_style(mark: Mark, looks: Looks) -> TextStyle:
    return _reading_style(looks) if mark.large else looks.body


def _last_words(looks: Looks) -> str:
    return looks.words.label("feeds", "lost")


# ---- columns -----------------------------------------------------------------------------------


def _systems(card: Card, blocks: Sequence[Block], width: float, looks: Looks) -> Figures:
    """Both systems of units where there is width for them; else the leading one."""
    figures = looks.figures
    if len(figures.systems) > 1 and _strip_width(card, blocks, width, looks, figures, GUTTER) < FAIR_STRIP:
        leading: Units = "metric" if figures.leading == "mm" else "inch"
        return Figures(leading)
    return figures


def _reading_style(looks: Looks) -> TextStyle:
    return looks.value.sized(looks.value.size + 1.0)


def _widths(card: Card, blocks: Sequence[Block], looks: Looks, figures: Figures) -> Widths:
    """Of the readings, the stocks in each system and the feeds: figures and heads."""
    key = (Widths, figures, looks.value, looks.hand, looks.table, looks.table_head)
    return looks.words.once(key, lambda: _widest(card, blocks, looks, figures))


def _widest(card: Card, blocks: Sequence[Block], looks: Looks, figures: Figures) -> Widths:
    rows = [(block, row) for block in blocks for row in all_rows(block)]
    strong = _reading_style(looks)
    reading = max(
        *(text_width(figures.reading_alone(row.reading_text), strong) for _, row in rows),
        *(
            text_width(mark.reading, looks.hand if mark.large else strong)
            for mark in limit_marks(card, looks)
        ),
    )
    heads = [_heads(block, looks) for block in blocks]

    def over(column: int) -> float:
        lines = [line for head in heads for line in head[column].split("\n")]
        return max(text_width(line, looks.table_head) for line in lines)

    stocks = tuple(
        max(over(1), *(text_width(figures.bare(row.stock_mm, "stock", each), looks.table) for _, row in rows))
        for each in figures.systems
    )
    heavy = max(over(2), *(text_width(next_feed(block, row, figures), strong) for block, row in rows))
    halt = text_width(looks.words.label("feeds", "halt"), strong)
    return max(reading, over(0)), stocks, max(heavy, halt)


def _strip_width(
    card: Card, blocks: Sequence[Block], width: float, looks: Looks, figures: Figures, gutter: float
) -> float:
    reading, stocks, heavy = _widths(card, blocks, looks, figures)
    return width - reading - sum(stocks) - heavy - gutter * (len(stocks) + 3)


def _places(card: Card, blocks: Sequence[Block], width: float, looks: Looks, figures: Figures) -> Places:
    reading, stocks, heavy = _widths(card, blocks, looks, figures)
    gutter, strip = GUTTER, _strip_width(card, blocks, width, looks, figures, GUTTER)
    if strip < FAIR_STRIP:
        gutter, strip = LEAST_GUTTER, _strip_width(card, blocks, width, looks, figures, LEAST_GUTTER)
    if strip < LEAST_STRIP:
        raise PaperError(
            f"the table of feeds of {card.title.part} has no room for its columns on {width:.0f} mm"
        )
    wide = min(strip, WIDEST_STRIP)
    air = gutter + (strip - wide) / (len(stocks) + 2)
    left = reading + gutter
    edges = []
    x = left + wide
    for each in (*stocks, heavy):
        x += air + each
        edges.append(x)
    return Places(reading, left, left + wide, tuple(edges[: len(stocks)]), width)


def _heads(block: Block, looks: Looks) -> tuple[str, str, str]:
    word, figures = looks.words.label, looks.figures
    return (
        f"{word('feeds', 'reading')}\n{block.tool.unit}",
        f"{word('feeds', 'stock')}\n{figures.leading}",
        word("feeds", f"heavy_{block.name}").replace(" ", "\n"),
    )


def _band(block: Block, looks: Looks) -> str:
    return looks.words.label("feeds", f"band_{block.name}")


# ---- drawing -----------------------------------------------------------------------------------


def draw(pen: Pen, card: Card, width: float, room: float, looks: Looks) -> None:
    """The three blocks, one below the other."""
    plan = _plan(card, width, looks)
    title, note = _title(looks)
    y = draw_heading(pen, title, width, looks, note)
    y += pen.paragraph(0, y, width, _rule(looks), looks.body.bolder())
    left = room - plan.fixed
    chosen = rows_in(card, plan.blocks, int(left / looks.row + 1e-6))
    row = min(STRETCH * looks.row, left / max(1, sum(map(len, chosen))))
    for block, head, rows in zip(plan.blocks, plan.heads, chosen, strict=True):
        y = _draw_block(pen, y, card, block, head, rows, row, plan, width, looks) + BLOCK_AIR
    _draw_limits(pen.at(0, y), plan, width, looks)


def _draw_band(pen: Pen, y: float, words: str, width: float, looks: Looks) -> float:
    """The words that part a block from the one above it, between two heavy rules."""
    style = looks.body.bolder()
    pen.line(0, y, width, y, looks.heavy)
    y += pen.paragraph(0.5, y + 0.3, width - 1.0, words, style) + 0.6
    pen.line(0, y, width, y, looks.rule)
    return y


def _draw_block(
    pen: Pen,
    y: float,
    card: Card,
    block: Block,
    head: float,
    rows: Sequence[StockRow],
    row: float,
    plan: _Plan,
    width: float,
    looks: Looks,
) -> float:
    top, places = y, plan.places
    y = _draw_band(pen, y, _band(block, looks), width, looks)
    _draw_heads(pen, y + 0.2, block, plan, looks)
    y = top + head
    centres = [y + (number + 0.5) * row for number in range(len(rows))]
    bottom = y + len(rows) * row
    draw_zones(pen, card, block, rows, centres, (y, bottom), places, looks)
    for number, (each, centre) in enumerate(zip(rows, centres, strict=True)):
        if number and not each.at:
            edge = centre - row / 2
            for start, end in ((0.0, places.reading), (places.strip_right + 0.6, width)):
                pen.line(start, edge, end, edge, looks.hairline)
        _draw_row(pen, centre, block, each, plan, looks)
    return bottom


def _draw_heads(pen: Pen, y: float, block: Block, plan: _Plan, looks: Looks) -> None:
    style, places = looks.table_head, plan.places
    heads = _heads(block, looks)
    edges = [places.reading, places.stocks[0], places.heavy]
    for number, (head, edge) in enumerate(zip(heads, edges, strict=True)):
        own = style.bolder() if number in (0, 2) else style
        for line_number, line in enumerate(head.split("\n")):
            pen.text(edge, y + line_number * style.line + style.baseline(style.line), line, own, "right")
    for edge, system in zip(places.stocks[1:], plan.figures.systems[1:], strict=True):
        pen.text(edge, y + style.line + style.baseline(style.line), system, style, "right")


def _draw_row(pen: Pen, centre: float, block: Block, row: StockRow, plan: _Plan, looks: Looks) -> None:
    strong, figures, places = _reading_style(looks), plan.figures, plan.places

    def put(edge: float, text: str, style: TextStyle) -> None:
        pen.text(edge, centre + style.cap / 2, text, style, "right")

    put(places.reading, figures.reading_alone(row.reading_text), strong)
    pen.line(places.reading + 0.4, centre, places.strip_left, centre, looks.rule)
    for edge, system in zip(places.stocks, figures.systems, strict=True):
        put(edge, figures.bare(row.stock_mm, "stock", system), looks.table)
    if row is block.halt:
        pen.line(places.strip_left, centre, places.strip_right, centre, 2 * looks.heavy)
        put(places.heavy, looks.words.label("feeds", "halt"), strong)
        return
    put(places.heavy, next_feed(block, row, figures), strong)


def _draw_limits(pen: Pen, plan: _Plan, width: float, looks: Looks) -> None:
    """Limits to accept and aim, large; below them what is set aside and what is lost."""
    y = _draw_band(pen, 0.0, looks.words.label("feeds", "limits"), width, looks)
    places = plan.places
    left, right = places.strip_left, places.strip_right
    top, edges = y, []
    for mark, tall in zip(plan.marks, plan.tall, strict=True):
        centre = y + tall / 2
        edges.append(centre)
        style = looks.hand if mark.large else _reading_style(looks)
        pen.text(places.reading, centre + style.cap / 2, mark.reading, style, "right")
        pen.line(places.reading + 0.4, centre, left, centre, looks.rule)
        _draw_words(pen, centre, mark.words, _mark_style(mark, looks), right + GUTTER, width, looks)
        y += tall
    last = plan.last + 0.6
    _draw_words(pen, y + last / 2, _last_words(looks), looks.body, right + GUTTER, width, looks)
    bottom = y + last
    draw_limit_zones(pen, edges, (top, bottom), places, looks)


def _draw_words(
    pen: Pen, centre: float, words: str, style: TextStyle, x: float, width: float, looks: Looks
) -> None:
    lines = len(wrapped(words, style, width - x))
    pen.paragraph(x, centre - lines * style.line / 2, width - x, words, style)


PANEL = Panel(height, draw, wish=wish)
