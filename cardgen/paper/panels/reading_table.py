"""The reading table: reading → stock → divisions to feed, as many rows as there is room for.

Where the room is too short for every row, rows are taken coarser, at a step that the table states.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from cardgen.card.values import Card, ReadingTool, StockRow
from cardgen.paper import tables
from cardgen.paper.page import Looks, draw_heading, heading_height
from cardgen.paper.panels.panel import Panel
from cardgen.paper.pen import Pen, Runs, text_width
from cardgen.paper.typeface import PaperError

STEPS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
LEAST_ROWS = 8
MOST_BLOCKS = 3
STRETCH = 1.3  # rows may be this much taller than the least to use the room


@dataclass(frozen=True)
class Group:
    """The rows read with one tool, thinned to every `step`-th division."""

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
    lines = len(card.stock_table) + len(_groups(card, (1, 1)))
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
            pen.text(0, y + looks.table_head.baseline(row), _tool_words(line, looks), looks.table_head)
            pen.line(0, y + row, table.width, y + row, looks.rule)
            count = 0
        else:
            count += 1
            style = looks.table.bolder() if abs(line.stock_mm) < 5e-7 else looks.table
            tables.draw_row(
                pen.at(0, y), table, _cells(line, looks), row, looks, style, count, line is lines[-1]
            )
        y += row


def _tool_words(group: Group, looks: Looks) -> str:
    """'steel rule 0.5 mm · every 2nd division'."""
    figures = looks.figures
    tool = figures.tool(group.tool)
    if group.step == 1:
        return tool
    step = looks.words.label("reading_table", "step").replace("{n}", str(group.step))
    return f"{tool} · {step}"


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
    widest = max(
        text_width(_tool_words(Group(tool, 100, ()), looks), looks.table_head) for tool in _tools(card)
    )
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
    """As many rows as there is room for, in as few blocks as they need."""
    for steps in _coarser():
        groups = _groups(card, steps)
        lines: list[StockRow | Group] = []
        for group in groups:
            lines += [group, *group.rows]
        for blocks in range(1, most_blocks + 1):
            if len(lines) <= blocks * capacity:
                return Plan(blocks, tuple(lines), -(-len(lines) // blocks))
    raise PaperError(f"the reading table of {card.title.part} has no room for its rows")


def _coarser() -> list[tuple[int, int]]:
    """Steps for (rough, finish): the rough rows give way first."""
    pairs = [(1, 1)]
    for finer, coarser in pairwise(STEPS):
        pairs += [(coarser, finer), (coarser, coarser)]
    return pairs


def _groups(card: Card, steps: tuple[int, int]) -> tuple[Group, ...]:
    """The table's rows by tool, each `step`-th counted from the last, the first and last always kept."""
    groups = []
    own = (card.rough_step, card.finish_step)
    for name, tool, step, division in zip(("rough", "finish"), _tools(card), steps, own, strict=True):
        rows = tuple(row for row in card.stock_table if row.tool == name)
        if not rows:
            continue
        last = len(rows) - 1
        kept = tuple(row for n, row in enumerate(rows) if (last - n) % step == 0 or n == 0)
        groups.append(Group(tool, step * division, kept))
    return tuple(groups)


PANEL = Panel(height, draw, wish=wish)
