"""The gap strip: a paper rule, true to scale, graduated in stock instead of length.

Cut out, its zero edge is held where the reading is taken from; the face read to points at the stock
that is left. A bar of 100 mm and one of 4 in prove that the printer printed at 100 %.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from cardgen.card.values import Card, Stage
from cardgen.digits import STOCK, in_system, plain_number
from cardgen.paper.bench_card import Templates
from cardgen.paper.press.document import Drawing, Surface
from cardgen.paper.press.page import FORMATS, Format, Looks, looks_for
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typeface import PaperError
from cardgen.paper.press.typesetting import TextStyle, paragraph_height, text_width
from cardgen.paper.words.figures import Figures
from cardgen.terms import INCH, System

MARGIN = 9.0  # mm: printers leave the edge white
SCALE = 8.6  # mm of height for a scale and its figures
LEVEL = 3.4  # mm from one stage's name to the next
LEAST_SPACING = 0.8  # mm between two graduations
STEPS = tuple(factor * 10.0**power for power in range(-4, 2) for factor in (1, 2, 5))
BARS: tuple[tuple[float, str, int], ...] = ((100.0, "100 mm", 10), (4 * INCH, "4 in", 8))
NAMED = ("blank high", "blank low", "clean-up", "rough", "finish")

AROUND, BARS_HEIGHT = 11.0, 20.0  # mm: about the strip, with the words below it; the proof bars


@dataclass(frozen=True)
class Graduation:
    """One line of the strip: how far from the zero edge (mm), and the stock it stands for (mm)."""

    length: float
    stock: float
    text: str  # empty for a line without a figure


def gap_strip(card: Card, templates: Templates) -> Drawing:
    """The strip of a card on the smallest sheet that holds it.

    Raises PaperError where the readings are not lengths a strip could be held to.
    """
    looks = looks_for(FORMATS["A5"], Figures(card.title.units), templates.words(card, FORMATS["A5"]))
    strip = _strip(card, looks)
    texts = [("title", looks.title), ("code", looks.small), ("use", looks.body)]
    if _too_fine(strip):
        texts.append(("too_fine", looks.value))
    told = [(looks.words.label("gap_strip", key), style) for key, style in texts]
    paper = _paper(strip, told)
    surface = Surface(paper.height, paper.width)
    pen = Pen(surface)
    width = surface.width - 2 * MARGIN
    y = MARGIN
    for text, style in told:
        y += pen.paragraph(MARGIN, y, width, text, style) + 0.6
    _draw_strip(pen.at(MARGIN, y + 4.0), card, strip, looks)
    _draw_bars(pen.at(MARGIN, surface.height - MARGIN - BARS_HEIGHT), looks)
    title = card.title
    return Drawing((surface,), f"Gap strip, {title.part}, revision {title.revision}", title.code)


def graduations(card: Card, system: System) -> tuple[Graduation, ...]:
    """The lines of the strip: whole steps of stock from the most stock down to the finish."""
    unit = 1.0 if system == "mm" else INCH
    per_mm = abs(card.reading.per_mm)
    step = next(step * unit for step in STEPS if step * unit / per_mm >= LEAST_SPACING)
    most = max(stage.stock_mm for stage in card.stages)
    least = min(0.0, min(stage.stock_mm for stage in card.stages))
    lines = []
    for count in range(math.floor(least / step), math.ceil(most / step) + 1):
        length = card.reading.finish_mm + count * step / card.reading.per_mm
        if length > 0:
            text = _figure(count * step, step, system) if count % 5 == 0 else ""
            lines.append(Graduation(length, count * step, text))
    return tuple(sorted(lines, key=lambda line: line.length))


def _figure(stock: float, step: float, system: System) -> str:
    if not stock:
        return "0"
    places = max(0, -math.floor(math.log10(step / (1.0 if system == "mm" else INCH)) + 1e-9))
    text = in_system(stock, STOCK, system)
    shown = plain_number(stock, places) if system == "mm" else text
    return shown.rstrip("0") if "." in shown and system == "in" else shown


@dataclass(frozen=True)
class Strip:
    """The strip's size, and the stages that it names, from the shortest reading to the longest."""

    length: float
    height: float
    stages: tuple[Stage, ...]
    names_from: float  # where the names begin


def _strip(card: Card, looks: Looks) -> Strip:
    stages = [stage for stage in card.stages if stage.name in NAMED and stage.reading_mm > 0]
    stages.sort(key=lambda stage: stage.reading_mm)
    longest = max((stage.reading_mm for stage in stages), default=0.0)
    if longest < 1.0:
        raise PaperError(f"{card.title.part}: its readings are below 1 mm, too short for a strip of paper")
    names_from = longest + 4.0
    names = max(
        text_width(text, looks.small) for text in (card.title.code, *(_name(s, looks) for s in stages))
    )
    scales = len(looks.figures.systems) * SCALE
    return Strip(
        names_from + names + 3.0, scales + LEVEL * (len(stages) + 1) + 2.0, tuple(stages), names_from
    )


def _too_fine(strip: Strip) -> bool:
    """Whether two stages lie nearer together than an eye tells apart on paper."""
    return any(
        later.reading_mm - earlier.reading_mm < LEAST_SPACING / 2 for earlier, later in pairwise(strip.stages)
    )


def _name(stage: Stage, looks: Looks) -> str:
    key = stage.name.replace(" ", "_").replace("-", "_")
    return f"{looks.words.label('gap_strip', key)} {looks.figures.stock(stage.stock_mm)}"


def _paper(strip: Strip, told: Sequence[tuple[str, TextStyle]]) -> Format:
    """The smallest sheet, laid across, that holds the strip below its words and above the bars."""
    for name in ("A6", "A5", "A4"):
        paper = FORMATS[name]
        width = paper.height - 2 * MARGIN
        above = sum(paragraph_height(text, style, width) + 0.6 for text, style in told)
        if width >= strip.length and paper.width - 2 * MARGIN >= above + strip.height + AROUND + BARS_HEIGHT:
            return paper
    raise PaperError(f"a strip of {strip.length:.0f} mm is longer than A4")


def _draw_strip(pen: Pen, card: Card, strip: Strip, looks: Looks) -> None:
    """The strip's outline with its zero edge at the left, a scale at its lower edge, names above it."""
    pen.rectangle(0, 0, strip.length, strip.height, looks.hairline, dash=(1.0, 0.8))
    pen.line(0, -2.5, 0, strip.height + 2.5, looks.rule)
    pen.text(0, strip.height + 5.5, looks.words.label("gap_strip", "zero"), looks.label)
    for number, system in enumerate(looks.figures.systems):
        _draw_scale(pen, card, strip, system, looks, at_top=number > 0)
    top = SCALE * (len(looks.figures.systems) - 1) + 1.0
    for number, stage in enumerate(strip.stages):
        level = top + (number + 0.5) * LEVEL
        x = stage.reading_mm
        thick = looks.outline if stage.name == "finish" else looks.rule
        pen.line(x, level, x, strip.height - SCALE, thick)
        pen.line(x, level, strip.names_from - 1.0, level, looks.hairline)
        pen.text(strip.names_from, level + looks.small.cap / 2, _name(stage, looks), looks.small)
    # Once it is cut out, the strip still says whose it is.
    level = top + (len(strip.stages) + 0.5) * LEVEL
    pen.text(strip.names_from, level + looks.small.cap / 2, card.title.code, looks.small)


def _draw_scale(pen: Pen, card: Card, strip: Strip, system: System, looks: Looks, at_top: bool) -> None:
    """One scale, at the lower edge or, for the second system of units, at the upper."""
    edge, inward = (0.0, 1) if at_top else (strip.height, -1)
    taken = -math.inf
    for line in graduations(card, system):
        long = 4.6 if line.text else 2.6
        pen.line(line.length, edge, line.length, edge + inward * long, 0.15)
        half = text_width(line.text, looks.label) / 2
        if line.text and line.length - half > max(taken + 0.8, 0.3):
            base = edge + inward * (long + 0.7) + (looks.label.cap if at_top else 0.0)
            pen.text(line.length, base, line.text, looks.label, "centre")
            taken = line.length + half


def _draw_bars(pen: Pen, looks: Looks) -> None:
    """The proof bars, each with its ends marked and its parts."""
    pen.text(0, 2.6, looks.words.label("gap_strip", "proof"), looks.body)
    for number, (length, name, parts) in enumerate(BARS):
        y = 7.0 + number * 8.5
        pen.rectangle(0, y, length, 2.2, looks.rule)
        for part in _odd(parts):
            pen.rectangle(length * part / parts, y, length / parts, 2.2, 0, fill=0)
        pen.text(length + 1.8, y + 2.2, name, looks.value)


def _odd(count: int) -> Iterator[int]:
    yield from range(1, count, 2)
