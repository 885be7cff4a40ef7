"""Where a piece stands and what to feed: one row a reading, from too much stock down past the limits.

Blocks, read with their own tools: down to the rough target, on to finish size in two feeds, and the limits
with the aim between them. In each row the heavy figure is the next feed. Hatching and words between reading
and stock tell the zones. Where the room is too short for every row, the block with most is taken coarser.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import inf

from cardgen.card.values import Card, ReadingTool, StockRow
from cardgen.digits import NBSP
from cardgen.paper.panels.panel import Panel
from cardgen.paper.pictures.zones import Zone, hatching, zones
from cardgen.paper.press.page import Looks, draw_heading, heading_height
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typeface import PaperError
from cardgen.paper.press.typesetting import TextStyle, paragraph_height, text_width, wrapped
from cardgen.paper.words.figures import Figures
from cardgen.terms import Units

DECIMAL_STEPS = tuple(factor * 10**power for power in range(6) for factor in (1, 2, 5))
FRACTION_STEPS = tuple(2**power for power in range(12))  # a rule in fractions is halved and halved again
NOISE = 1e-9  # mm of stock: arithmetic
GUTTER = 1.6  # mm between two columns
LEAST_STRIP, WIDEST_STRIP = 5.0, 24.0  # mm
STRETCH = 1.25  # rows may be this much taller than the least to use the room
BLOCK_AIR = 1.6  # mm between two blocks: they are not to be read as one


@dataclass(frozen=True)
class Block:
    """Rows read with one tool, down to a halt; `heavy` says which of their feeds is the next one."""

    name: str  # 'rough', 'first' or 'last': of the words at its head
    tool: ReadingTool
    rows: tuple[StockRow, ...]
    halt: StockRow | None  # the row in which nothing is fed, where the block ends with one


@dataclass(frozen=True)
class Mark:
    """A reading of the limits, large, with what a piece there is."""

    reading: str
    words: str
    large: bool


@dataclass(frozen=True)
class Places:
    """Where the columns stand (mm): right edges of figures, and the strip of zones between."""

    reading: float
    strip_left: float
    strip_right: float
    stocks: tuple[float, ...]
    heavy: float


def _blocks(card: Card) -> tuple[Block, ...]:
    """Roughing down to its target, the first feed of finishing, the last: each row that asks for a feed."""
    tools = card.reading
    rough = tuple(row for row in card.stock_table if row.tool == "rough" and row.divisions_to_rough > 0)
    halt = next((row for row in card.stock_table if row.at == "rough"), None)
    limit = card.stage("finish high") or card.stage("finish")
    assert limit is not None
    finish = [
        row
        for row in card.stock_table
        if row.tool == "finish" and row.divisions > 0 and row.stock_mm > limit.stock_mm + NOISE
    ]
    first = tuple(row for row in finish if row.first_feed_divisions)
    last = tuple(row for row in finish if not row.first_feed_divisions)
    found = (
        Block("rough", tools.rough_tool, rough, halt),
        Block("first", tools.finish_tool, first, None),
        Block("last", tools.finish_tool, last, None),
    )
    return tuple(block for block in found if block.rows or block.halt)


def limit_marks(card: Card, looks: Looks) -> tuple[Mark, ...]:
    """The limits to accept and the aim between them, then what is set aside and what is lost."""
    figures, plan = looks.figures, card.batch
    word = looks.words.labels("feeds")
    aim = card.stage("finish")
    assert aim is not None

    def reading(text: str) -> str:
        return figures.reading_alone(text)

    if not plan.reading_low_text:
        return (Mark(reading(aim.reading_text), word["aim_unproved"], large=True),)
    rising = card.reading.per_mm > 0
    more, less = (plan.reading_high_text, plan.reading_low_text)
    if not rising:
        more, less = less, more
    marks = [
        Mark(reading(more), word["good_from" if _next_to_good(card) else "good_from_feed"], large=True),
        Mark(reading(aim.reading_text), word["aim"], large=True),
        Mark(reading(less), word["good_to"], large=True),
    ]
    if plan.set_aside_text and plan.set_aside_text != less:
        marks.append(Mark(reading(plan.set_aside_text), word["set_aside"], large=False))
    return tuple(marks)


def _next_to_good(card: Card) -> bool:
    """Whether no reading lies between the last row that asks for a feed and the limit."""
    last, limit = _blocks(card)[-1].rows[-1:], card.stage("finish high")
    if not last or limit is None or not limit.divisions:
        return True
    return abs(last[0].reading_mm - limit.reading_mm) < 1.5 * card.reading.finish_tool.division_mm


# ---- heights -----------------------------------------------------------------------------------


def height(card: Card, width: float, looks: Looks) -> float:
    """The least height: every block with its coarsest rows."""
    coarsest = [_kept(block, steps[-1]) for block, steps in zip(_blocks(card), _steps(card), strict=True)]
    return _fixed(card, width, looks) + sum(map(len, coarsest)) * looks.row


def wish(card: Card, width: float, looks: Looks) -> float:
    """The height at which no row is left out."""
    return _fixed(card, width, looks) + sum(len(_all_rows(block)) for block in _blocks(card)) * looks.row


def _fixed(card: Card, width: float, looks: Looks) -> float:
    """What is not a row: the heading, the rule for reading it, the blocks' heads, the limits."""
    title, note = _title(looks)
    heads = sum(_head_height(card, block, width, looks) for block in _blocks(card))
    return (
        heading_height(looks, title, width, note)
        + paragraph_height(_rule(looks), looks.body.bolder(), width)
        + heads
        + len(_blocks(card)) * BLOCK_AIR
        + _limits_height(card, width, looks)
    )


def _title(looks: Looks) -> tuple[str, str]:
    word = looks.words.label
    return word("feeds", "heading"), word("feeds", "worth")


def _rule(looks: Looks) -> str:
    return looks.words.label("feeds", "rule")


def _head_height(card: Card, block: Block, width: float, looks: Looks) -> float:
    """The band that names the block, and the heads of its columns."""
    band = paragraph_height(_band(block, looks), looks.body.bolder(), width - 1.0)
    return (
        band + max(len(head.split("\n")) for head in _heads(card, block, looks)) * looks.table_head.line + 1.6
    )


def _limits_height(card: Card, width: float, looks: Looks) -> float:
    marks = limit_marks(card, looks)
    last = paragraph_height(_last_words(looks), looks.body, _words_room(card, width, looks))
    band = paragraph_height(looks.words.label("feeds", "limits"), looks.body.bolder(), width - 1.0)
    return (
        band
        + 1.2
        + sum(_mark_height(card, mark, width, looks) for mark in marks)
        + max(last, looks.row)
        + 0.6
    )


def _mark_height(card: Card, mark: Mark, width: float, looks: Looks) -> float:
    style = looks.hand if mark.large else looks.value
    words = paragraph_height(mark.words, _mark_style(mark, looks), _words_room(card, width, looks))
    return max(style.line + 0.4, words + 0.4)


def _mark_style(mark: Mark, looks: Looks) -> TextStyle:
    return replace(looks.value, size=looks.value.size + 1.0) if mark.large else looks.body


def _last_words(looks: Looks) -> str:
    return looks.words.label("feeds", "lost")


# ---- columns -----------------------------------------------------------------------------------


def _systems(card: Card, width: float, looks: Looks) -> Figures:
    """Both systems of units where there is width for them; else the leading one."""
    figures = looks.figures
    if len(figures.systems) > 1 and _strip_width(card, width, looks, figures) < LEAST_STRIP:
        leading: Units = "metric" if figures.leading == "mm" else "inch"
        return Figures(leading)
    return figures


def _reading_style(looks: Looks) -> TextStyle:
    return replace(looks.value, size=looks.value.size + 1.0)


def _widths(card: Card, looks: Looks, figures: Figures) -> tuple[float, tuple[float, ...], float]:
    """Of the readings, the stocks in each system and the feeds: figures and heads."""
    rows = [row for block in _blocks(card) for row in _all_rows(block)]
    strong = _reading_style(looks)
    reading = max(
        *(text_width(_reading(row, figures, looks), strong) for row in rows),
        *(
            text_width(mark.reading, looks.hand if mark.large else strong)
            for mark in limit_marks(card, looks)
        ),
    )
    heads = [_heads(card, block, looks) for block in _blocks(card)]

    def over(column: int) -> float:
        lines = [line for head in heads for line in head[column].split("\n")]
        return max(text_width(line, looks.table_head) for line in lines)

    stocks = tuple(
        max(over(1), *(text_width(figures.bare(row.stock_mm, "stock", each), looks.table) for row in rows))
        for each in figures.systems
    )
    heavy = max(
        over(2), *(text_width(_heavy(block, row, figures), strong) for block, row in _with_blocks(card))
    )
    halt = text_width(looks.words.label("feeds", "halt"), strong)
    return max(reading, over(0)), stocks, max(heavy, halt)


def _strip_width(card: Card, width: float, looks: Looks, figures: Figures) -> float:
    reading, stocks, heavy = _widths(card, looks, figures)
    return width - reading - sum(stocks) - heavy - GUTTER * (len(stocks) + 3)


def _places(card: Card, width: float, looks: Looks, figures: Figures) -> Places:
    reading, stocks, heavy = _widths(card, looks, figures)
    strip = _strip_width(card, width, looks, figures)
    if strip < LEAST_STRIP:
        raise PaperError(
            f"the table of feeds of {card.title.part} has no room for its columns on {width:.0f} mm"
        )
    wide = min(strip, WIDEST_STRIP)
    air = GUTTER + (strip - wide) / (len(stocks) + 2)
    left = reading + GUTTER
    edges = []
    x = left + wide
    for each in (*stocks, heavy):
        x += air + each
        edges.append(x)
    return Places(reading, left, left + wide, tuple(edges[: len(stocks)]), width)


def _words_room(card: Card, width: float, looks: Looks) -> float:
    """Beside the strip, for what a piece within or beyond the limits is."""
    places = _places(card, width, looks, _systems(card, width, looks))
    return width - places.strip_right - GUTTER


def _heads(card: Card, block: Block, looks: Looks) -> tuple[str, str, str]:
    word, figures = looks.words.label, looks.figures
    return (
        f"{word('feeds', 'reading')}\n{block.tool.unit}",
        f"{word('feeds', 'stock')}\n{figures.leading}",
        word("feeds", f"heavy_{block.name}").replace(" ", "\n"),
    )


def _band(block: Block, looks: Looks) -> str:
    return looks.words.label("feeds", f"band_{block.name}")


def _with_blocks(card: Card) -> list[tuple[Block, StockRow]]:
    return [(block, row) for block in _blocks(card) for row in _all_rows(block)]


def _all_rows(block: Block) -> tuple[StockRow, ...]:
    return block.rows + ((block.halt,) if block.halt else ())


def _reading(row: StockRow, figures: Figures, looks: Looks) -> str:
    """The reading; one below nought in a word, for −.020 and .020 are a small dash apart."""
    text = figures.reading_alone(row.reading_text)
    return f"{looks.words.label('feeds', 'minus')}{NBSP}{text[1:]}" if text.startswith("−") else text


def _heavy(block: Block, row: StockRow, figures: Figures) -> str:
    """The next feed: to the rough target; the first of two towards size; else to size."""
    if block.name == "rough":
        return figures.fed_alone(row.divisions_to_rough_text)
    return figures.fed_alone(row.first_feed_text if block.name == "first" else row.divisions_text)


# ---- which rows --------------------------------------------------------------------------------


def _steps(card: Card) -> list[list[int]]:
    """For each block: the card's own step of its rows, then coarser ones, whole multiples of it."""
    return [
        _coarser(block.tool, card.rough_step if block.name == "rough" else card.finish_step)
        for block in _blocks(card)
    ]


def _coarser(tool: ReadingTool, own: int) -> list[int]:
    series = FRACTION_STEPS if tool.denominator else DECIMAL_STEPS
    return [own, *(step for step in series if step > own and step % own == 0)]


def _kept(block: Block, step: int) -> tuple[StockRow, ...]:
    """The rows that lie on a step; the first, the last and those of a stage always stay."""
    last = len(block.rows) - 1
    return tuple(
        row
        for number, row in enumerate(block.rows)
        if number in (0, last)
        or row.at is not None
        or round(row.reading_mm / block.tool.division_mm) % step == 0
    ) + ((block.halt,) if block.halt else ())


def _chosen(card: Card, capacity: int) -> list[tuple[StockRow, ...]]:
    """As many rows as there is room for: the block with most is taken coarser first."""
    blocks, steps = _blocks(card), _steps(card)
    at = [0] * len(blocks)
    while True:
        rows = [_kept(block, each[n]) for block, each, n in zip(blocks, steps, at, strict=True)]
        if sum(map(len, rows)) <= capacity:
            return rows
        open_ = [n for n in range(len(blocks)) if at[n] < len(steps[n]) - 1]
        if not open_:
            raise PaperError(f"the table of feeds of {card.title.part} has no room for its rows")
        at[max(open_, key=lambda n: len(rows[n]))] += 1


# ---- drawing -----------------------------------------------------------------------------------


def draw(pen: Pen, card: Card, width: float, room: float, looks: Looks) -> None:
    """The three blocks, one below the other."""
    figures = _systems(card, width, looks)
    places = _places(card, width, looks, figures)
    title, note = _title(looks)
    y = draw_heading(pen, title, width, looks, note)
    y += pen.paragraph(0, y, width, _rule(looks), looks.body.bolder())
    left = room - _fixed(card, width, looks)
    chosen = _chosen(card, int(left / looks.row + 1e-6))
    row = min(STRETCH * looks.row, left / max(1, sum(map(len, chosen))))
    for block, rows in zip(_blocks(card), chosen, strict=True):
        y = _draw_block(pen, y, card, block, rows, row, places, figures, width, looks) + BLOCK_AIR
    _draw_limits(pen.at(0, y), card, places, width, looks)


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
    rows: Sequence[StockRow],
    row: float,
    places: Places,
    figures: Figures,
    width: float,
    looks: Looks,
) -> float:
    top = y
    y = _draw_band(pen, y, _band(block, looks), width, looks)
    _draw_heads(pen, y + 0.2, card, block, places, figures, looks)
    y = top + _head_height(card, block, width, looks)
    centres = [y + (number + 0.5) * row for number in range(len(rows))]
    bottom = y + len(rows) * row
    _draw_zones(pen, card, block, rows, centres, (y, bottom), places, looks)
    for number, (each, centre) in enumerate(zip(rows, centres, strict=True)):
        if number and not each.at:
            edge = centre - row / 2
            for start, end in ((0.0, places.reading), (places.strip_right + 0.6, width)):
                pen.line(start, edge, end, edge, looks.hairline)
        _draw_row(pen, centre, block, each, places, figures, looks)
    return bottom


def _draw_heads(
    pen: Pen, y: float, card: Card, block: Block, places: Places, figures: Figures, looks: Looks
) -> None:
    style = looks.table_head
    heads = _heads(card, block, looks)
    edges = [places.reading, places.stocks[0], places.heavy]
    for number, (head, edge) in enumerate(zip(heads, edges, strict=True)):
        own = style.bolder() if number in (0, 2) else style
        for line_number, line in enumerate(head.split("\n")):
            pen.text(edge, y + line_number * style.line + style.baseline(style.line), line, own, "right")
    for edge, system in zip(places.stocks[1:], figures.systems[1:], strict=True):
        pen.text(edge, y + style.line + style.baseline(style.line), system, style, "right")


def _draw_row(
    pen: Pen, centre: float, block: Block, row: StockRow, places: Places, figures: Figures, looks: Looks
) -> None:
    strong = _reading_style(looks)

    def put(edge: float, text: str, style: TextStyle) -> None:
        pen.text(edge, centre + style.cap / 2, text, style, "right")

    put(places.reading, _reading(row, figures, looks), strong)
    pen.line(places.reading + 0.4, centre, places.strip_left, centre, looks.rule)
    for edge, system in zip(places.stocks, figures.systems, strict=True):
        put(edge, figures.bare(row.stock_mm, "stock", system), looks.table)
    if row is block.halt:
        pen.line(places.strip_left, centre, places.strip_right, centre, 2 * looks.heavy)
        put(places.heavy, looks.words.label("feeds", "halt"), strong)
        return
    put(places.heavy, _heavy(block, row, figures), strong)


def _draw_zones(
    pen: Pen,
    card: Card,
    block: Block,
    rows: Sequence[StockRow],
    centres: Sequence[float],
    ends: tuple[float, float],
    places: Places,
    looks: Looks,
) -> None:
    """The zones of the rows, each from its own stock down to the next zone's."""
    if not rows:
        return
    at = _between([row.stock_mm for row in rows], centres, ends)
    top, bottom = ends
    if block.halt:
        bottom = centres[-1]
    for zone in _merged(zones(card), block):
        upper, lower = max(top, at(zone.high)), min(bottom, at(zone.low))
        if lower - upper > 0.05:
            _draw_zone(pen, zone, upper, lower, places, looks)
    pen.rectangle(places.strip_left, top, places.strip_right - places.strip_left, bottom - top, looks.outline)


def _between(
    stocks: Sequence[float], centres: Sequence[float], ends: tuple[float, float]
) -> Callable[[float], float]:
    """Where a stock stands among the rows: on a row's centre, or on the line between two."""
    known = [*zip(stocks, centres, strict=True)]

    def at(stock: float) -> float:
        if stock > known[0][0] + 1e-9:
            return ends[0]
        for (above, y), (below, lower) in pairwise(known):
            if stock >= below - 1e-9:
                share = (above - stock) / (above - below) if above > below else 0.0
                return y + min(1.0, max(0.0, share)) * (lower - y)
        return ends[1]

    return at


def _merged(found: Sequence[Zone], block: Block) -> Sequence[Zone]:
    """The zones of a block: once a piece is being finished, what roughing left more is finished off too."""
    if block.name == "rough":
        return found
    finishing = next((zone for zone in found if zone.name == "finishing"), None)
    if finishing is None:
        return found
    return (replace(finishing, high=inf), *(zone for zone in found if zone.high <= finishing.low))


def _draw_zone(pen: Pen, zone: Zone, top: float, bottom: float, places: Places, looks: Looks) -> None:
    left, right = places.strip_left, places.strip_right
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    for spacing, angle in hatching(zone.name):
        pen.hatch(corners, spacing, angle, 0.13)
    pen.line(left, bottom, right, bottom, looks.rule)
    _draw_zone_word(pen, looks.words.label("feeds", f"zone_{zone.name.replace(' ', '_')}"), corners, looks)


def _draw_zone_word(pen: Pen, text: str, corners: Sequence[tuple[float, float]], looks: Looks) -> None:
    """The zone's word where it has room, upright where only that has."""
    style = looks.label.bolder()
    (left, top), (right, bottom) = corners[0], corners[2]
    wide, tall = text_width(text, style) + 1.0, style.cap + 1.0
    turned = wide > right - left
    across, down = (tall, wide) if turned else (wide, tall)
    if down > bottom - top or across > right - left:
        return
    middle, centre = (left + right) / 2, (top + bottom) / 2
    pen.rectangle(middle - across / 2, centre - down / 2, across, down, 0, 1.0)
    if turned:
        pen.text(middle + style.cap / 2, centre, text, style, "centre", 90.0)
    else:
        pen.text(middle, centre + style.cap / 2, text, style, "centre")


def _draw_limits(pen: Pen, card: Card, places: Places, width: float, looks: Looks) -> None:
    """Limits to accept and aim, large; below them what is set aside and what is lost."""
    y = _draw_band(pen, 0.0, looks.words.label("feeds", "limits"), width, looks)
    marks = limit_marks(card, looks)
    left, right = places.strip_left, places.strip_right
    top, edges = y, []
    for mark in marks:
        tall = _mark_height(card, mark, width, looks)
        centre = y + tall / 2
        edges.append(centre)
        style = looks.hand if mark.large else _reading_style(looks)
        pen.text(places.reading, centre + style.cap / 2, mark.reading, style, "right")
        pen.line(places.reading + 0.4, centre, left, centre, looks.rule)
        _draw_words(pen, centre, mark.words, _mark_style(mark, looks), right + GUTTER, width, looks)
        y += tall
    last = max(paragraph_height(_last_words(looks), looks.body, width - right - GUTTER), looks.row) + 0.6
    _draw_words(pen, y + last / 2, _last_words(looks), looks.body, right + GUTTER, width, looks)
    bottom = y + last
    _draw_limit_zones(pen, edges, (top, bottom), places, looks)


def _draw_words(
    pen: Pen, centre: float, words: str, style: TextStyle, x: float, width: float, looks: Looks
) -> None:
    lines = len(wrapped(words, style, width - x))
    pen.paragraph(x, centre - lines * style.line / 2, width - x, words, style)


def _draw_limit_zones(
    pen: Pen, edges: Sequence[float], ends: tuple[float, float], places: Places, looks: Looks
) -> None:
    """White between the limits, a heavy line at each and at the aim; hatched aside; black beyond."""
    left, right = places.strip_left, places.strip_right
    top, bottom = ends

    def box(upper: float, lower: float) -> tuple[tuple[float, float], ...]:
        return ((left, upper), (right, upper), (right, lower), (left, lower))

    for spacing, angle in hatching("finishing"):
        pen.hatch(box(top, edges[0]), spacing, angle, 0.13)
    if len(edges) > 3:
        for spacing, angle in hatching("set aside"):
            pen.hatch(box(edges[2], edges[3]), spacing, angle, 0.13)
    pen.polygon(box(edges[-1], bottom), 0, fill=0.0)
    if len(edges) > 2:
        for upper, lower in ((edges[0], edges[1]), (edges[1], edges[2])):
            _draw_zone_word(pen, looks.words.label("feeds", "zone_finished"), box(upper, lower), looks)
    for number, edge in enumerate(edges[:3]):
        pen.line(left, edge, right, edge, looks.heavy * (2 if number == 1 else 1))
    pen.rectangle(left, top, right - left, bottom - top, looks.outline)


PANEL = Panel(height, draw, wish=wish)
