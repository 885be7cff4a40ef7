"""The reading table: reading → stock → divisions to feed, as many rows as there is room for.

Where the room is too short for every row, rows are taken coarser, at a step that the table states.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from cardgen.card.values import Card, ReadingTool, StockRow
from cardgen.paper import tables
from cardgen.paper.page import Looks, draw_heading, heading_height
from cardgen.paper.panels.panel import Panel
from cardgen.paper.pen import Pen, Runs, text_width
from cardgen.paper.typeface import PaperError

DECIMAL_STEPS = tuple(factor * 10**power for power in range(6) for factor in (1, 2, 5))
FRACTION_STEPS = tuple(2**power for power in range(12))  # a rule in fractions is halved and halved again
LEAST_ROWS = 8
NOUGHT_MM = 5e-7
MOST_BLOCKS = 3
STRETCH = 1.3  # rows may be this much taller than the least to use the room


@dataclass(frozen=True)
class Group:
    """The rows read with one tool, `step` of its divisions apart."""

    tool: ReadingTool
    step: int
    rows: tuple[StockRow, ...]


@dataclass(frozen=True)
class Plan:
    """How the table fills its room: side by side blocks of lines, each a row or a tool's heading."""

    blocks: int
    lines: tuple[StockRow | Group, ...]
    per_block: int


def height(card: Card, width: float, looks: Looks) -> float:
    """The least height: a heading and a few rows in each block."""
    rows = min(LEAST_ROWS, len(card.stock_table) + 2)
    return _above(card, width, looks) + rows * looks.row


def wish(card: Card, width: float, looks: Looks) -> float:
    """The height at which no row is left out."""
    blocks = _most_blocks(card, width, looks)
    lines = len(card.stock_table) + len(_groups(card, (card.rough_step, card.finish_step)))
    return _above(card, width, looks) + max(LEAST_ROWS, -(-lines // blocks)) * looks.row


def draw(pen: Pen, card: Card, width: float, room: float, looks: Looks) -> None:
    """The table in blocks side by side."""
    words = looks.words
    note = words.label("reading_table", "worth").replace(
        "{division}", looks.figures.text(card.handwheel.division_text)
    )
    title = words.label("reading_table", "heading")
    y = draw_heading(pen, title, width, looks, note)
    above = _above(card, width, looks)
    plan = _plan(card, int((room - above) / looks.row + 1e-6), _most_blocks(card, width, looks))
    row = min(STRETCH * looks.row, (room - above) / plan.per_block)
    gutter = 2 * tables.GUTTER
    block = (width - gutter * (plan.blocks - 1)) / plan.blocks
    table = _table(card, block, looks)
    for number in range(plan.blocks):
        lines = plan.lines[number * plan.per_block : (number + 1) * plan.per_block]
        inner = pen.at(number * (block + gutter), y)
        tables.draw_head(inner, table, looks)
        _draw_block(inner.at(0, table.head_height), table, lines, row, card, looks)


def _draw_block(
    pen: Pen,
    table: tables.Table,
    lines: Sequence[StockRow | Group],
    row: float,
    card: Card,
    looks: Looks,
) -> None:
    y = 0.0
    count = 0
    for line in lines:
        if isinstance(line, Group):
            pen.text(
                0,
                y + looks.table_head.baseline(row),
                _tool_words(line.tool, line.step, looks),
                looks.table_head,
            )
            pen.line(0, y + row, table.width, y + row, looks.rule)
            count = 0
        else:
            count += 1
            style = looks.table.bolder() if abs(line.stock_mm) < NOUGHT_MM else looks.table
            tables.draw_row(
                pen.at(0, y), table, _cells(line, looks), row, looks, style, count, line is lines[-1]
            )
        y += row


def _tool_words(tool: ReadingTool, step: int, looks: Looks) -> str:
    """'steel rule 0.5 mm, every 1 mm'."""
    figures = looks.figures
    if step == 1:
        return figures.tool(tool)
    every = looks.words.label("reading_table", "step").replace("{step}", figures.step(tool, step))
    return f"{figures.tool(tool)}, {every}"


def _cells(row: StockRow, looks: Looks) -> tuple[Runs, ...]:
    figures = looks.figures
    stock = [figures.bare(row.stock_mm, "stock", system) for system in figures.systems]
    cells = [figures.reading_alone(row.reading_text), *stock, str(row.divisions).replace("-", "−")]
    return tuple(tables.plain(cell) for cell in cells)


def _heads(looks: Looks) -> tuple[Runs, ...]:
    words = looks.words
    stock = words.label("reading_table", "stock")
    heads = [words.label("reading_table", "reading")]
    heads += [f"{stock} {system}" for system in looks.figures.systems]
    heads.append(words.label("reading_table", "divisions"))
    return tuple(tables.plain(f">{head}") for head in heads)


def _table(card: Card, width: float, looks: Looks) -> tables.Table:
    rows = _all_cells(card.stock_table, looks)
    return tables.measured(_heads(looks), rows, width, looks, looks.table.bolder())


def _all_cells(rows: tuple[StockRow, ...], looks: Looks) -> tuple[tuple[Runs, ...], ...]:
    return tuple(_cells(row, looks) for row in rows)


def _above(card: Card, width: float, looks: Looks) -> float:
    """Height of the panel's heading and the columns' heads."""
    blocks = _most_blocks(card, width, looks)
    gutter = 2 * tables.GUTTER
    return heading_height(looks) + _table(card, (width - gutter * (blocks - 1)) / blocks, looks).head_height


def _most_blocks(card: Card, width: float, looks: Looks) -> int:
    """How many blocks the width has room for."""
    gutter = 2 * tables.GUTTER
    words = [_tool_words(tool, 20, looks) for tool in _tools(card)]
    widest = max(text_width(text, looks.table_head) for text in words)
    for blocks in range(MOST_BLOCKS, 1, -1):
        block = (width - gutter * (blocks - 1)) / blocks
        if block < widest:
            continue
        try:
            _table(card, block, looks)
        except PaperError:
            continue
        return blocks
    return 1


def _tools(card: Card) -> tuple[ReadingTool, ReadingTool]:
    return card.reading.rough_tool, card.reading.finish_tool


def _plan(card: Card, capacity: int, most_blocks: int) -> Plan:
    """As many rows as there is room for, in as few blocks as they need; the rough rows give way first."""
    rough, finish = (_coarser(card, name) for name in ("rough", "finish"))
    for coarse in range(len(rough) + len(finish) - 1):
        steps = rough[min((coarse + 1) // 2, len(rough) - 1)], finish[min(coarse // 2, len(finish) - 1)]
        lines: list[StockRow | Group] = []
        for group in _groups(card, steps):
            lines += [group, *group.rows]
        for blocks in range(1, most_blocks + 1):
            if len(lines) <= blocks * capacity:
                return Plan(blocks, tuple(lines), -(-len(lines) // blocks))
    raise PaperError(f"the reading table of {card.title.part} has no room for its rows")


def _coarser(card: Card, name: str) -> list[int]:
    """The card's own step of rows, then coarser ones that are whole multiples of it."""
    tool, own = (
        (card.reading.rough_tool, card.rough_step)
        if name == "rough"
        else (card.reading.finish_tool, card.finish_step)
    )
    series = FRACTION_STEPS if tool.denominator else DECIMAL_STEPS
    return [own, *(step for step in series if step > own and step % own == 0)]


def _groups(card: Card, steps: tuple[int, int]) -> tuple[Group, ...]:
    """The rows of each tool that lie on its step; the first, the last and the finish always stay."""
    groups = []
    for name, tool, step in zip(("rough", "finish"), _tools(card), steps, strict=True):
        rows = [row for row in card.stock_table if row.tool == name]
        kept = [
            row
            for number, row in enumerate(rows)
            if number in (0, len(rows) - 1)
            or round(row.reading_mm / tool.division_mm) % step == 0
            or abs(row.stock_mm) < NOUGHT_MM
        ]
        if kept:
            groups.append(Group(tool, step, tuple(kept)))
    return tuple(groups)


PANEL = Panel(height, draw, wish=wish)
