"""Which rows the table of feeds has, block by block, and the readings of its limits."""

from collections.abc import Sequence
from dataclasses import dataclass

from cardgen.card.values import Card, ReadingTool, StockRow
from cardgen.paper.press.page import Looks
from cardgen.paper.press.typeface import PaperError
from cardgen.paper.words.figures import Figures

DECIMAL_STEPS = tuple(factor * 10**power for power in range(6) for factor in (1, 2, 5))
FRACTION_STEPS = tuple(2**power for power in range(12))  # a rule in fractions is halved and halved again
NOISE = 1e-9  # mm of stock: arithmetic


@dataclass(frozen=True)
class Block:
    """Rows read with one tool, down to a halt; `heavy` says which of their feeds is the next one."""

    name: str  # 'rough', 'first' or 'last': of the words at its head
    tool: ReadingTool
    rows: tuple[StockRow, ...]
    halt: StockRow | None  # the row in which nothing is fed, where the block ends with one
    most: StockRow | None = None  # where most pieces are when they come to this block


@dataclass(frozen=True)
class Mark:
    """A reading of the limits, large, with what a piece there is."""

    reading: str
    words: str
    large: bool


def feed_blocks(card: Card) -> tuple[Block, ...]:
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
        Block("first", tools.finish_tool, first, None, _roughed(first, halt)),
        Block("last", tools.finish_tool, last, None),
    )
    return tuple(block for block in found if block.rows or block.halt)


def _roughed(rows: tuple[StockRow, ...], halt: StockRow | None) -> StockRow | None:
    """The row for a piece roughed to its target: that reading, or the next with less stock on."""
    return next((row for row in rows if halt and row.stock_mm < halt.stock_mm + NOISE), None)


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
        Mark(reading(more), word["good_from"], large=True),
        Mark(reading(aim.reading_text), word["aim"], large=True),
        Mark(reading(less), word["good_to"], large=True),
    ]
    if plan.set_aside_text and plan.set_aside_text != less:
        marks.append(Mark(reading(plan.set_aside_text), word["set_aside"], large=False))
    return tuple(marks)


def all_rows(block: Block) -> tuple[StockRow, ...]:
    return block.rows + ((block.halt,) if block.halt else ())


def next_feed(block: Block, row: StockRow, figures: Figures) -> str:
    """The next feed: to the rough target; the first of two towards size; else to size."""
    if block.name == "rough":
        return figures.fed_alone(row.divisions_to_rough_text)
    return figures.fed_alone(row.first_feed_text if block.name == "first" else row.divisions_text)


def row_steps(card: Card, blocks: Sequence[Block]) -> list[list[int]]:
    """For each block: the card's own step of its rows, then whole multiples of it; at last none."""
    return [
        _coarser(block.tool, card.rough_step if block.name == "rough" else card.finish_step)
        for block in blocks
    ]


def _coarser(tool: ReadingTool, own: int) -> list[int]:
    series = FRACTION_STEPS if tool.denominator else DECIMAL_STEPS
    return [own, *(step for step in series if step > own and step % own == 0), 0]


def kept(block: Block, step: int) -> tuple[StockRow, ...]:
    """The rows that lie on a step; the first, the last, where most pieces are and those of a stage stay."""
    last = len(block.rows) - 1
    return tuple(
        row
        for number, row in enumerate(block.rows)
        if number in (0, last)
        or row is block.most
        or row.at is not None
        or (step and round(row.reading_mm / block.tool.division_mm) % step == 0)
    ) + ((block.halt,) if block.halt else ())


def rows_in(card: Card, blocks: Sequence[Block], capacity: int) -> list[tuple[StockRow, ...]]:
    """As many rows as there is room for: the block with most is taken coarser first."""
    steps = row_steps(card, blocks)
    at = [0] * len(blocks)
    while True:
        rows = [kept(block, each[n]) for block, each, n in zip(blocks, steps, at, strict=True)]
        if sum(map(len, rows)) <= capacity:
            return rows
        open_ = [n for n in range(len(blocks)) if at[n] < len(steps[n]) - 1]
        if not open_:
            raise PaperError(f"the table of feeds of {card.title.part} has no room for its rows")
        at[max(open_, key=lambda n: len(rows[n]))] += 1
