"""Patterns of blue and light: a small picture of each, what it means, which way to turn, how far.

Where the gauge bears, the cone is hatched; where light comes through, rays show. The words beside
them say the same. How far is told in this machine's own divisions; from blue it is an estimate.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from cardgen.card.values import BlueRow, Card, CorrectionRow, LightRow, PatternShown
from cardgen.paper.panels.panel import Panel
from cardgen.paper.pictures import rubs
from cardgen.paper.press.page import Looks, draw_heading, heading_height
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typesetting import TextStyle, paragraph_height, text_width, wrapped
from cardgen.paper.words.corrections import corrections
from cardgen.terms import INCH, End, Side

PICTURE_ASPECT = 0.44  # height to width of a picture
BETWEEN = 2.0  # mm between pictures and text
HEAVY_SHARE = 0.4  # of the cone's length is drawn as bearing where a pattern is one-sided
COLUMN_AIR = 1.5  # mm between two columns of a strip
COARSE = 0.1  # of a gap: rounding that changes it by more takes a further digit
DENSE = 0.55  # mm between the lines of what bears


@dataclass(frozen=True)
class Verdict:
    """The words beside a pattern's pictures."""

    meaning: str
    turn: str  # the size of a hand value
    after: str

    def width(self, looks: Looks) -> float:
        turn = text_width(self.turn, looks.hand) + 1.2 + text_width(self.after, looks.body)
        return max(text_width(self.meaning, looks.body.bolder()), turn)


@dataclass(frozen=True)
class Cell:
    """One column of a 'how far' strip: what is seen, and how far to turn for it."""

    seen: str
    turn: str
    fraction: float | None  # marked by blue; None for light

    @property
    def tells_nothing(self) -> bool:
        """Marked all over: the error is below what blue can show, and nothing is to be turned."""
        return self.fraction is not None and self.fraction >= 1


def _proved_first(pattern: PatternShown, card: Card) -> bool:
    """Whether a piece that shows it may be right, and something finer than the gauge decides."""
    return pattern.may_be_right and card.move("prove the angle") is not None


def _verdict(pattern: PatternShown, card: Card, looks: Looks) -> Verdict:
    word = looks.words.label
    meaning = f"{word('pictures', 'touches')} {word('pictures', f'end_{pattern.heavy_end}')}:"
    turn = "none" if _proved_first(pattern, card) else pattern.turn
    return Verdict(meaning, word("pictures", f"turn_{turn}"), word("pictures", f"after_{turn}"))


def _picture_width(card: Card, width: float, looks: Looks) -> float:
    text = max(_verdict(pattern, card, looks).width(looks) for pattern in card.patterns)
    tall = looks.body.line + looks.hand.line
    return min(tall / PICTURE_ASPECT, (width - text) / 2 - BETWEEN)


def _row_height(card: Card, width: float, looks: Looks) -> float:
    picture = PICTURE_ASPECT * _picture_width(card, width, looks)
    return max(picture, looks.body.line + looks.hand.line) + 1.0


def _height(card: Card, width: float, looks: Looks) -> float:
    if not card.patterns:
        return 0.0
    word = looks.words.label
    return heading_height(looks, word("pictures", "by_blue"), width, word("pictures", "patterns_note")) + len(
        card.patterns
    ) * _row_height(card, width, looks)


def _draw(pen: Pen, card: Card, width: float, height: float, looks: Looks) -> None:
    if not card.patterns:
        return
    word = looks.words.label
    y = draw_heading(pen, word("pictures", "by_blue"), width, looks, word("pictures", "patterns_note"))
    picture = _picture_width(card, width, looks)
    base = looks.heading.baseline(looks.heading.line)
    pen.text(picture + BETWEEN, base, word("pictures", "by_light"), looks.heading)
    row = _row_height(card, width, looks)
    for number, pattern in enumerate(card.patterns):
        if number:
            pen.line(0, y, width, y, looks.hairline)
        _draw_pattern(pen.at(0, y), card, pattern, picture, row, looks)
        y += row


# ---- one pattern ------------------------------------------------------------------------------


def _draw_pattern(
    pen: Pen, card: Card, pattern: PatternShown, picture: float, row: float, looks: Looks
) -> None:
    height = PICTURE_ASPECT * picture
    top = (row - height) / 2
    side = card.taper.side
    draw_blue(pen.at(0, top), side, pattern.heavy_end, HEAVY_SHARE, picture, height, looks)
    x = picture + BETWEEN
    draw_light(pen.at(x, top), side, pattern.light_end, picture, height, looks)
    verdict = _verdict(pattern, card, looks)
    x = 2 * (picture + BETWEEN)
    line = looks.body.line
    y = (row - line - looks.hand.line) / 2
    pen.text(x, y + looks.body.baseline(line), verdict.meaning, looks.body.bolder())
    base = y + line + looks.hand.baseline(looks.hand.line)
    reach = pen.text(x, base, verdict.turn, looks.hand)
    pen.text(x + reach + 1.2, base, verdict.after, looks.body)


def draw_blue(
    pen: Pen, side: Side, heavy: End, fraction: float, width: float, height: float, looks: Looks
) -> None:
    """A cone (the work, or the plug for a hole), hatched where it bears."""
    shape = rubs.cone(side, width, height)
    pen.hatch(rubs.marked(shape, side, heavy, fraction), DENSE, 45.0, 0.2)
    pen.hatch(rubs.marked(shape, side, heavy, fraction), DENSE, 135.0, 0.2)
    _draw_cone(pen, shape, looks)


def _draw_cone(pen: Pen, shape: rubs.Cone, looks: Looks) -> None:
    pen.polygon(shape.outline, 0.75 * looks.outline)
    pen.polyline(shape.stub, 0.75 * looks.outline)


def draw_light(pen: Pen, side: Side, light: End, width: float, height: float, looks: Looks) -> None:
    """The cone between the walls of its gauge (or hole), rays where light comes through."""
    shape = rubs.cone(side, width, height)
    _draw_cone(pen, shape, looks)
    for wall in rubs.walls(shape, side, light, height):
        pen.polygon(wall, 0, fill=1.0)
        pen.hatch(wall, 0.8, 45.0, 0.13)
        pen.polygon(wall, 0.5 * looks.outline)
    if light in ("large", "small"):
        left = rubs.end_is_left(side, light)
        x = shape.left if left else shape.right
        inset = 0.06 * (shape.right - shape.left)
        edge = x + inset if left else x - inset
        for up in (-1, 1):
            y = shape.middle + up * (shape.radius(edge) + 0.5 * rubs.GAP * height)
            _draw_rays(pen, edge, y, -1 if left else 1, up)


def _draw_rays(pen: Pen, x: float, y: float, out: int, up: int) -> None:
    """Three short rays that leave a gap at (x, y)."""
    for spread in (-0.3, 0.35, 1.0):
        pen.line(x + out * 0.5, y + up * spread * 0.5, x + out * 2.8, y + up * spread * 1.7, 0.25)


# ---- how far ------------------------------------------------------------------------------------


def _amount(row: BlueRow | LightRow | CorrectionRow, looks: Looks) -> str:
    """How far to turn, in what this machine has: screw divisions, indicator travel, or seconds."""
    if row.screw_divisions is not None:
        return looks.figures.divisions(abs(row.screw_divisions))
    if row.indicator_mm is not None:
        return looks.figures.bare(abs(row.indicator_mm), "stock", looks.figures.leading)
    return looks.figures.arcsec(abs(row.arcsec))


def _unit(rows: Sequence[BlueRow | LightRow], looks: Looks) -> str:
    word = looks.words.label
    if rows and rows[0].screw_divisions is not None:
        return word("pictures", "in_divisions")
    if rows and rows[0].indicator_mm is not None:
        return f"{word('pictures', 'in_indicator')} {looks.figures.leading}"
    return word("pictures", "in_seconds")


Strips = tuple[tuple[str, tuple[Cell, ...]], ...]


def _strips(card: Card, width: float, looks: Looks) -> Strips:
    """The two strips, blue and light, with as many of their cells as this width has room for."""
    key = (Strips, width, looks.hand, looks.value)
    whole = looks.words.once(Strips, lambda: _whole_strips(card, looks))
    return looks.words.once(
        key, lambda: tuple((title, _large_enough(cells, width, looks)) for title, cells in whole)
    )


def _whole_strips(card: Card, looks: Looks) -> Strips:
    """The two strips: a title and what can be seen with how far to turn for it."""
    word = looks.words.label
    largest = corrections(card)[-1:]
    blue = tuple(_blue_cell(row, _at_once(row, largest), looks) for row in card.blue)
    gap = looks.figures.fine if _is_fine(card.light, looks) else looks.figures.thickness
    light = tuple(Cell(gap(row.gap_mm), _amount(_at_once(row, largest), looks), None) for row in card.light)
    return (
        (f"{word('pictures', 'far_blue')} {_unit(card.blue, looks)} {word('pictures', 'estimate')}", blue),
        (
            f"{word('pictures', 'far_light')} {_unit(card.light, looks)}",
            light if card.gauge.light_gauge else (),
        ),
    )


def _is_fine(rows: Sequence[LightRow], looks: Looks) -> bool:
    """Whether the usual digits would tell other gaps than were reckoned with."""
    for row in rows:
        for system in looks.figures.systems:
            shown = float(looks.figures.bare(row.gap_mm, "stock", system)) * (1 if system == "mm" else INCH)
            if abs(shown - row.gap_mm) > COARSE * row.gap_mm:
                return True
    return False


def _large_enough(cells: Sequence[Cell], width: float, looks: Looks) -> tuple[Cell, ...]:
    """As many of the cells, evenly chosen, as have room in the size of hand values; the ends stay."""
    for count in range(len(cells), 1, -1):
        chosen = tuple(cells[round(number * (len(cells) - 1) / (count - 1))] for number in range(count))
        if _turn_style(chosen, _column(chosen, width) - COLUMN_AIR, looks) == looks.hand:
            return chosen
    return tuple(cells)


def _at_once(
    row: BlueRow | LightRow, largest: Sequence[tuple[CorrectionRow, CorrectionRow]]
) -> BlueRow | LightRow | CorrectionRow:
    """No more is turned at once than the table's last row, which says what stock that needs."""
    return largest[0][0] if largest and row.error_mm > largest[0][0].error_mm else row


def _blue_cell(row: BlueRow, turned: BlueRow | LightRow | CorrectionRow, looks: Looks) -> Cell:
    amount = _amount(turned, looks)
    if row.marked_fraction >= 1:
        return Cell(
            looks.words.label("pictures", "all_over"),
            looks.words.label("pictures", "no_turn"),
            row.marked_fraction,
        )
    return Cell(looks.figures.percent_of(row.marked_fraction), amount, row.marked_fraction)


def _cell_picture(width: float) -> tuple[float, float]:
    wide = min(18.0, width)
    return wide, 0.36 * wide


def _turn_style(cells: Sequence[Cell], column: float, looks: Looks) -> TextStyle:
    """The size of a hand value, where every column has room for it."""
    fits = all(text_width(cell.turn, looks.hand) <= column for cell in cells if not cell.tells_nothing)
    return looks.hand if fits else looks.value


def _column(cells: Sequence[Cell], width: float) -> float:
    return width / len(cells)


def _strip_height(title: str, cells: Sequence[Cell], width: float, looks: Looks) -> float:
    column = _column(cells, width) - COLUMN_AIR
    picture = _cell_picture(column)[1] if cells[0].fraction is not None else 0.0
    seen = max(paragraph_height(cell.seen, looks.label, column) for cell in cells)
    head = paragraph_height(title, looks.table_head, width)
    return 0.8 + head + picture + seen + _turn_style(cells, column, looks).line


def _draw_strip(pen: Pen, card: Card, title: str, cells: Sequence[Cell], width: float, looks: Looks) -> None:
    """A title, then a column for each thing that can be seen, with how far to turn below it."""
    pen.line(0, 0, width, 0, looks.rule)
    y = 0.4 + pen.paragraph(0, 0.4, width, title, looks.table_head)
    column = _column(cells, width)
    room = column - COLUMN_AIR
    style = _turn_style(cells, room, looks)
    heavy: End = next(
        (each.heavy_end for each in card.patterns if each.turn != "none" and not _proved_first(each, card)),
        "both",
    )
    seen = max(paragraph_height(cell.seen, looks.label, room) for cell in cells)
    for number, cell in enumerate(cells):
        x, top = (number + 0.5) * column, y
        if cell.fraction is not None:
            wide, tall = _cell_picture(room)
            draw_blue(pen.at(x - wide / 2, top), card.taper.side, heavy, cell.fraction, wide, tall, looks)
            top += tall
        for line_number, line in enumerate(_lines(cell.seen, looks, room)):
            line_y = top + line_number * looks.label.line + looks.label.baseline(looks.label.line)
            pen.text(x, line_y, line, looks.label, "centre")
        own = looks.table if cell.tells_nothing else style
        pen.text(x, top + seen + style.baseline(style.line), cell.turn, own, "centre")


def _lines(text: str, looks: Looks, room: float) -> list[str]:
    return ["".join(piece for piece, _ in line) for line in wrapped(text, looks.label, room)]


def _how_far(number: int, closing: str = "") -> Panel:
    """The panel of one strip, blue or light, with a closing sentence below it."""

    def height(card: Card, width: float, looks: Looks) -> float:
        title, cells = _strips(card, width, looks)[number]
        said = looks.words.label("pictures", closing) if closing else ""
        words = paragraph_height(said, looks.body, width) if said else 0.0
        return (_strip_height(title, cells, width, looks) if cells else 0.0) + words

    def draw(pen: Pen, card: Card, width: float, room: float, looks: Looks) -> None:
        title, cells = _strips(card, width, looks)[number]
        y = 0.0
        if cells:
            _draw_strip(pen, card, title, cells, width, looks)
            y = _strip_height(title, cells, width, looks)
        if closing:
            pen.paragraph(0, y, width, looks.words.label("pictures", closing), looks.body)

    return Panel(height, draw)


PANEL = Panel(_height, _draw)
BY_BLUE = _how_far(0)
BY_LIGHT = _how_far(1, "half_back")
