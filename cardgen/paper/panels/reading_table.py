"""The reading table: reading → stock → divisions to rough and to finish, as many rows as there is room for.

Where the room is too short for every row, rows are taken coarser, at a step that the table states.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from cardgen.card.values import Card, ReadingTool, StockRow
from cardgen.paper.panels.panel import Panel
from cardgen.paper.press import ruled_table
from cardgen.paper.press.page import Looks, draw_heading, heading_height
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typeface import PaperError
from cardgen.paper.press.typesetting import Runs, paragraph_height
from cardgen.paper.words.figures import Figures
from cardgen.terms import Units

DECIMAL_STEPS = tuple(factor * 10**power for power in range(6) for factor in (1, 2, 5))
FRACTION_STEPS = tuple(2**power for power in range(12))  # a rule in fractions is halved and halved again
LEAST_ROWS = 7
MOST_BLOCKS = 3
BLOCK_GUTTER = 4.0  # mm
STRETCH = 1.3  # rows may be this much taller than the least to use the room


@dataclass(frozen=True)
class ToolRows:
    """The rows read with one tool, `step` of its divisions apart."""

    tool: ReadingTool
    step: int
    rows: tuple[StockRow, ...]


Block = tuple[StockRow | ToolRows, ...]


@dataclass(frozen=True)
class TablePlan:
    """How the table fills its room: blocks side by side, each rows and tools' headings."""

    blocks: tuple[Block, ...]
    lines: int  # in the longest block, a heading counting as the lines it wraps to


def height(card: Card, width: float, looks: Looks) -> float:
    """The least height: a few rows in each block, and no fewer than the coarsest table has."""
    looks = _fitted(card, width, looks)
    rough, finish = (_coarser(card, name) for name in ("rough", "finish"))
    most = _most_blocks(card, width, looks)
    lines = _lines(card, (rough[-1], finish[-1]))
    coarsest = _filled(lines, most, len(lines) * 3, _block_width(width, most), looks)
    rows = max(min(LEAST_ROWS, len(card.stock_table) + 2), coarsest.lines if coarsest else 0)
    return _above(card, width, looks) + rows * looks.row


def wish(card: Card, width: float, looks: Looks) -> float:
    """The height at which no row is left out."""
    looks = _fitted(card, width, looks)
    blocks = _most_blocks(card, width, looks)
    groups = _groups(card, (card.rough_step, card.finish_step))
    block = _block_width(width, blocks)
    lines = len(card.stock_table) + sum(_lines_of(group, block, looks) for group in groups)
    return _above(card, width, looks) + max(LEAST_ROWS, -(-lines // blocks) + 1) * looks.row


def draw(pen: Pen, card: Card, width: float, room: float, looks: Looks) -> None:
    """The table in blocks side by side."""
    looks = _fitted(card, width, looks)
    y = draw_heading(pen, *_heading(card, width, looks))
    above = _above(card, width, looks)
    plan = _plan(card, width, int((room - above) / looks.row + 1e-6), looks)
    row = min(STRETCH * looks.row, (room - above) / plan.lines)
    block = _block_width(width, len(plan.blocks))
    table = _table(card, block, looks)
    for number, lines in enumerate(plan.blocks):
        inner = pen.at(number * (block + BLOCK_GUTTER), y)
        ruled_table.draw_head(inner, table, looks)
        _draw_block(inner.at(0, table.head_height), table, lines, row, looks)


def _fitted(card: Card, width: float, looks: Looks) -> Looks:
    """Stock in both systems of units only where two blocks still stand side by side; else the leading one."""
    if len(looks.figures.systems) == 1 or _most_blocks(card, width, looks) > 1:
        return looks
    units: Units = "metric" if looks.figures.leading == "mm" else "inch"
    return replace(looks, figures=Figures(units))


def _heading(card: Card, width: float, looks: Looks) -> tuple[str, float, Looks, str]:
    """The panel's heading and what a division of the handwheel is worth, as `draw_heading` wants it."""
    words = looks.words
    return words.label("reading_table", "heading"), width, looks, words.label("reading_table", "worth")


def _draw_block(pen: Pen, table: ruled_table.Table, lines: Block, row: float, looks: Looks) -> None:
    y = 0.0
    count = 0
    for line in lines:
        if isinstance(line, ToolRows):
            words = _tool_words(line.tool, line.step, looks)
            style = looks.table_head.bolder()
            y += _lines_of(line, table.width, looks) * row
            start = y - 0.5 - paragraph_height(words, style, table.width)
            pen.paragraph(0, start, table.width, words, style)
            pen.line(0, y, table.width, y, looks.rule)
            count = 0
        else:
            count += 1
            ruled_table.draw_row(
                pen.at(0, y), table, _row(line, looks.figures), row, looks, count, line is lines[-1]
            )
            y += row


def _lines_of(line: StockRow | ToolRows, width: float, looks: Looks) -> int:
    """How many rows' height a line takes: a tool's heading may wrap."""
    if not isinstance(line, ToolRows):
        return 1
    words = _tool_words(line.tool, line.step, looks)
    height = paragraph_height(words, looks.table_head.bolder(), width) + 0.8
    return math.ceil(height / looks.row - 1e-6)


def _tool_words(tool: ReadingTool, step: int, looks: Looks) -> str:
    """'steel rule 0.5 mm, every 1 mm'."""
    figures = looks.figures
    if step == 1:
        return figures.tool(tool)
    every = looks.words.label("reading_table", "step").replace("{step}", figures.step(tool, step))
    return f"{figures.tool(tool)}, {every}"


@lru_cache(maxsize=2048)
def _row(row: StockRow, figures: Figures) -> ruled_table.Row:
    """A row's figures, the finish in bold; past size nothing is fed, past rough nothing to rough."""
    stock = [figures.bare(row.stock_mm, "stock", system) for system in figures.systems]
    to_rough = figures.fed_alone(row.divisions_to_rough_text) if row.divisions_to_rough else ""
    feed = "–" if row.past_size else figures.fed_alone(row.divisions_text)
    cells = [figures.reading_alone(row.reading_text), *stock, to_rough, feed]
    bold = row.at == "finish"
    return ruled_table.Row(tuple(((cell, bold),) for cell in cells))


@lru_cache(maxsize=32)
def _rows(rows: tuple[StockRow, ...], figures: Figures) -> tuple[ruled_table.Row, ...]:
    return tuple(_row(row, figures) for row in rows)


def _heads(looks: Looks) -> tuple[Runs, ...]:
    words = looks.words
    stock = words.label("reading_table", "stock")
    heads = [words.label("reading_table", "reading")]
    heads += [f"{stock} {system}" for system in looks.figures.systems]
    heads += [words.label("reading_table", "to_rough"), words.label("reading_table", "divisions")]
    return tuple(ruled_table.plain(f">{head}") for head in heads)


def _table(card: Card, width: float, looks: Looks) -> ruled_table.Table:
    return ruled_table.measured(_heads(looks), _rows(card.stock_table, looks.figures), width, looks)


def _above(card: Card, width: float, looks: Looks) -> float:
    """Height of the panel's heading and the columns' heads, at its tallest."""
    block = _block_width(width, _most_blocks(card, width, looks))
    text, _, _, note = _heading(card, width, looks)
    return heading_height(looks, text, width, note) + _table(card, block, looks).head_height


def _block_width(width: float, blocks: int) -> float:
    return (width - BLOCK_GUTTER * (blocks - 1)) / blocks


def _most_blocks(card: Card, width: float, looks: Looks) -> int:
    """How many blocks the width has room for."""
    for blocks in range(MOST_BLOCKS, 1, -1):
        try:
            _table(card, _block_width(width, blocks), looks)
        except PaperError:
            continue
        return blocks
    return 1


def _tools(card: Card) -> tuple[ReadingTool, ReadingTool]:
    return card.reading.rough_tool, card.reading.finish_tool


def _plan(card: Card, width: float, capacity: int, looks: Looks) -> TablePlan:
    """As many rows as there is room for, in as few blocks as they need; the rough rows give way first."""
    rough, finish = (_coarser(card, name) for name in ("rough", "finish"))
    most = _most_blocks(card, width, looks)
    for coarse in range(len(rough) + len(finish) - 1):
        steps = rough[min((coarse + 1) // 2, len(rough) - 1)], finish[min(coarse // 2, len(finish) - 1)]
        lines = _lines(card, steps)
        for blocks in range(1, most + 1):
            plan = _filled(lines, blocks, capacity, _block_width(width, blocks), looks)
            if plan:
                return plan
    raise PaperError(f"the reading table of {card.title.part} has no room for its rows")


def _lines(card: Card, steps: tuple[int, int]) -> list[StockRow | ToolRows]:
    lines: list[StockRow | ToolRows] = []
    for group in _groups(card, steps):
        lines += [group, *group.rows]
    return lines


def _filled(
    lines: Sequence[StockRow | ToolRows], count: int, capacity: int, width: float, looks: Looks
) -> TablePlan | None:
    """The lines in `count` blocks of like height; no block ends with a heading; None if they do not fit."""
    sizes = [_lines_of(line, width, looks) for line in lines]
    for height in range(-(-sum(sizes) // count), capacity + 1):
        blocks: list[list[StockRow | ToolRows]] = [[]]
        used = 0
        for number, (line, size) in enumerate(zip(lines, sizes, strict=True)):
            needed = size + (
                sizes[number + 1] if isinstance(line, ToolRows) and number + 1 < len(sizes) else 0
            )
            if used + needed > height:
                blocks.append([])
                used = 0
            blocks[-1].append(line)
            used += size
        if len(blocks) <= count:
            return TablePlan(tuple(tuple(block) for block in blocks), height)
    return None


def _coarser(card: Card, name: str) -> list[int]:
    """The card's own step of rows, then coarser ones that are whole multiples of it."""
    tool, own = (
        (card.reading.rough_tool, card.rough_step)
        if name == "rough"
        else (card.reading.finish_tool, card.finish_step)
    )
    series = FRACTION_STEPS if tool.denominator else DECIMAL_STEPS
    return [own, *(step for step in series if step > own and step % own == 0)]


def _groups(card: Card, steps: tuple[int, int]) -> tuple[ToolRows, ...]:
    """The rows of each tool that lie on its step; the first, the last and those of a stage always stay."""
    groups = []
    for name, tool, step in zip(("rough", "finish"), _tools(card), steps, strict=True):
        rows = [row for row in card.stock_table if row.tool == name]
        kept = [
            row
            for number, row in enumerate(rows)
            if number in (0, len(rows) - 1)
            or round(row.reading_mm / tool.division_mm) % step == 0
            or row.at is not None
        ]
        if kept:
            groups.append(ToolRows(tool, step, tuple(kept)))
    return tuple(groups)


PANEL = Panel(height, draw, wish=wish)
