"""The change notice: which values of a card changed, since which code, where copies hang; one page."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from cardgen.card.values import Change, Notice
from cardgen.digits import NBSP, decimal, with_fractions
from cardgen.paper.panels.text import pieces
from cardgen.paper.press.document import Drawing, Surface
from cardgen.paper.press.page import Looks, looks_for, paper_format
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typeface import PaperError, typeface
from cardgen.paper.words.figures import Figures
from cardgen.paper.words.wording import TemplateFiles, Words, environment

TEMPLATE = "change_notice"
MOST_REASONS = 4
LARGER = {"A6": "A5", "A5": "A4", "5x8 in": "half letter", "half letter": "letter"}
# Of a stage, what the hand does not act on: told last.
LESS_PRESSING = (
    "gauge_line_diameter_mm",
    "small_diameter_mm",
    "cross_feed_mm",
    "position_divisions",
)
# Exact limits of size, which no paper prints: what the tool shows of them are stages.
EXACT = {f"reading.{name}_mm" for name in ("finish", "finish_low", "finish_high", "stock_low", "stock_high")}
# What the card shows as lengths: along the axis, of a stroke, of gauges and of radii.
LENGTHS = ("length", "relief", "slant", "width", "radius", "reverse_at_shoulder", "reverse_at_open")
TABLES = ("stock_table", "correction", "blue", "light", "warmth")


@dataclass(frozen=True)
class ChangedRow:
    """A line of the notice's table; `count` values of the card stand behind it."""

    label: str
    old: str
    new: str
    count: int = 1
    path: str = ""  # of the value, or the name of the table


def notice_page(told: Notice, paper: str, templates: TemplateFiles) -> Drawing:
    """A notice: one page of the paper of this name, or of the next larger where the rest leaves
    no room for any values. Rows that the page has no room for are counted on it.
    """
    words = Words(environment(templates), {}).labels("notice_words")
    rows, unnamed = in_words(notice_rows(told.changes, Figures(told.units)), words)
    shown = len(rows)
    while True:
        left_out = unnamed + sum(row.count for row in rows[shown:])
        looks = _looks(told, rows[:shown], left_out, paper, templates)
        width = looks.format.width - 2 * looks.format.margin
        room = looks.format.height - 2 * looks.format.margin
        made = pieces(looks.words.lines(TEMPLATE), width, looks)
        over = sum(piece.height for piece in made) - room
        if over <= 0:
            break
        if shown > min(3, len(rows)):
            shown = max(3, shown - max(1, int(over / (2 * looks.row))))
        elif paper in LARGER:
            paper, shown = LARGER[paper], len(rows)
        else:
            raise PaperError(f"the change notice of {told.part_id} needs {over:.0f} mm more than {paper} has")
    surface = Surface(looks.format.width, looks.format.height)
    pen = Pen(surface).at(looks.format.margin, looks.format.margin)
    y = 0.0
    for piece in made:
        piece.draw(pen.at(0, y))
        y += piece.height
    return Drawing(
        (surface,),
        title=f"Change notice {told.part_id}",
        subject=f"{told.old_code} is {f'replaced by {told.new_code}' if told.new_code else 'withdrawn'}",
    )


def notice_rows(changes: Sequence[Change], figures: Figures) -> tuple[ChangedRow, ...]:
    """Single values first, in the card's order; of the long tables one line each that counts."""
    single = [change for change in changes if not change.path.startswith(TABLES) and change.path not in EXACT]
    single.sort(key=lambda change: change.path.endswith(LESS_PRESSING))
    texts = {change.path for change in single}
    rows = [
        ChangedRow(_plain_label(change.label), *_old_and_new(change, figures), path=change.path)
        for change in single
        # '11/64 in' says what the hand reads; the same in mm beside it would say it twice.
        if change.path.removesuffix("_mm") + "_text" not in texts
    ]
    for table in TABLES:
        count = sum(change.path.startswith(table) for change in changes)
        if count:
            rows.append(
                ChangedRow(
                    table.replace("_", " "),
                    "—",
                    f"{count} figure{'' if count == 1 else 's'} changed",
                    count,
                    table,
                )
            )
    return tuple(rows)


def in_words(rows: Sequence[ChangedRow], words: Mapping[str, str]) -> tuple[tuple[ChangedRow, ...], int]:
    """The rows that the hand knows by a name, in the order of the names; and how many values the rest are.

    Where the hand knows none of them they are told as the program has them.
    """
    order = {key: number for number, key in enumerate(words)}
    known = sorted((row for row in rows if _key(row) in order), key=lambda row: order[_key(row)])
    if not known:
        return tuple(rows), 0
    named = tuple(replace(row, label=words[_key(row)]) for row in known)
    return named, sum(row.count for row in rows if _key(row) not in order)


def _key(row: ChangedRow) -> str:
    """'stages[name=rough].reading_text' → 'stages_rough_reading_text'."""
    return re.sub(r"\W+", "_", re.sub(r"\[\w+=", "_", row.path)).strip("_")


def figure(path: str, value: Any, figures: Figures) -> str:
    """A value as paper writes it, told by the unit that its name ends in."""
    if value is None or value == "":
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return figures.reading(value) if path.endswith("_text") else with_fractions(value)
    if isinstance(value, list | tuple) and not any(isinstance(one, dict | list) for one in value):
        return ", ".join(figure(path, one, figures) for one in value) or "none"
    if isinstance(value, dict | list | tuple):
        return f"{len(value)} entries"
    return _number(path.rsplit(".", 1)[-1], value, figures)


def _number(key: str, value: float, figures: Figures) -> str:
    if "per_foot" in key:
        return figures.per_foot(value)
    ways = (
        ("mm_per_m", figures.mm_per_m),
        ("per_cent", figures.per_cent),
        ("ratio_1_to", figures.ratio),
        ("_mm_min", figures.feed),
        ("_m_min", figures.work_speed),
        ("_m_s", figures.wheel_speed),
        ("_arcsec", figures.arcsec),
        ("_deg", figures.degrees),
        ("_rpm", figures.rpm),
        ("diameter_mm", figures.size),
        ("travel_mm", figures.length_down),
        ("overrun_open_mm", figures.length_down),
        ("overrun_shoulder_mm", figures.length_down),
        ("clearance_mm", figures.length_up),
        *((f"{name}_mm", figures.length) for name in LENGTHS),
        ("_mm", figures.slip),
        ("_k", figures.warmer),
        ("_s", figures.time),
    )
    for ending, write in ways:
        if key.endswith(ending):
            return write(value)
    unit = f"{NBSP}mm³" if key.endswith("_mm3") else ""
    return f"{value:.6g}{unit}".replace("-", "−")


def _plain_label(label: str) -> str:
    """'stages, rough, reading text' → 'rough, reading': as one would say it."""
    return label.removeprefix("stages, ").removeprefix("title, ").removesuffix(" text")


def _settable(line: str) -> str:
    """A line of a spec may hold any sign, in its comments say; one that the type lacks becomes '□'."""
    return "".join(sign if typeface("medium").has(sign) else "□" for sign in line)


def _old_and_new(change: Change, figures: Figures) -> tuple[str, str]:
    old, new = (figure(change.path, value, figures) for value in (change.old, change.new))
    numbers = [value for value in (change.old, change.new) if isinstance(value, int | float)]
    if old == new and len(numbers) == 2:
        # Alike to the digits that paper shows: show where they part.
        return decimal(numbers[0], 7), decimal(numbers[1], 7)
    return old, new


def _looks(
    told: Notice, rows: Sequence[ChangedRow], left_out: int, paper: str, templates: TemplateFiles
) -> Looks:
    figures = Figures(told.units)
    context = {
        "n": told,
        "f": figures,
        "rows": rows,
        "left_out": left_out,
        "because": [_settable(line) for line in told.because[:MOST_REASONS]],
        "because_left_out": max(0, len(told.because) - MOST_REASONS),
    }
    return looks_for(paper_format(paper), figures, Words(environment(templates), context))
