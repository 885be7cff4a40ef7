"""The ladder: one glance says where a piece stands. Readings left, stock right, zones between.

Each cut moves the piece down. Hatching and words tell the zones; where the limits of size are
thin beside the blank's stock, finishing has a rail of its own at a larger, stated scale.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from cardgen.card.values import Card, Stage
from cardgen.digits import NBSP
from cardgen.paper.panels.panel import Panel
from cardgen.paper.pictures.levels import Rail, Zone, magnification, rails
from cardgen.paper.pictures.scales import round_step
from cardgen.paper.pictures.spread import free_places, spread
from cardgen.paper.press.page import Looks, draw_heading, heading_height
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typesetting import TextStyle, text_width
from cardgen.terms import INCH, System

LEADER = 3.6  # mm from the bar to a label, for ticks and slanted leaders
TICK = 1.1
WIDEST_BAR = 22.0
AIR = 0.4  # mm above and below a label
BEST_RAIL = 46.0  # mm
HAND_STAGES = ("rough", "finish")


@dataclass(frozen=True)
class Setting:
    """How much the labels say: what a narrow ladder does without stands in the tables beside it."""

    large: bool  # rough and finish readings in the size of hand values
    below: bool  # the stages' names below the stocks, not beside them
    both: bool  # stocks in both systems of units, where the card has both
    worded: bool = True  # the zones' words stand in the bar; else the names say more


# From the fullest to the barest.
SETTINGS = (
    Setting(large=True, below=False, both=True),
    Setting(large=True, below=True, both=True),
    Setting(large=True, below=True, both=False),
    Setting(large=False, below=True, both=False),
    Setting(large=False, below=True, both=False, worded=False),
)


@dataclass(frozen=True)
class LadderColumns:
    """x of the bar's sides and of the labels' edges, mm."""

    setting: Setting
    left: float
    reading: float  # right edge of the readings
    bar_left: float
    bar_right: float
    stock: float  # left edge of the stocks
    name: float  # left edge of the stages' names


def _height(card: Card, width: float, looks: Looks) -> float:
    return _tall(card, width, looks, 0.0)


def _wish(card: Card, width: float, looks: Looks) -> float:
    return _tall(card, width, looks, BEST_RAIL)


def _tall(card: Card, width: float, looks: Looks, rail_height: float) -> float:
    ladder = rails(card)
    setting = _columns(ladder, width, looks).setting
    return _fixed(ladder, width, looks) + sum(
        max(rail_height, _least_rail(rail, setting, looks)) for rail in ladder
    )


def _fixed(ladder: Sequence[Rail], width: float, looks: Looks) -> float:
    """What is not rail: the heading, and above and below each rail its column heads and some air."""
    word = looks.words.label
    heading = heading_height(looks, word("pictures", "ladder"), width, word("pictures", "ladder_note"))
    return heading + len(ladder) * (_head_height(looks) + _foot(looks))


def _head_height(looks: Looks) -> float:
    return looks.label.line + 0.4 + _foot(looks)


def _foot(looks: Looks) -> float:
    """Labels at a rail's very end reach half their height beyond it."""
    return looks.hand.cap / 2 + AIR


def _least_rail(rail: Rail, setting: Setting, looks: Looks) -> float:
    labels = sum(_label_height(stage, setting, looks) for stage in rail.stages)
    return max(labels, len(rail.zones) * (looks.label.cap + 1.0))


def _style(stage: Stage, setting: Setting, looks: Looks) -> TextStyle:
    return looks.hand if setting.large and stage.name in HAND_STAGES else looks.value


def _label_height(stage: Stage, setting: Setting, looks: Looks) -> float:
    right = looks.value.cap + (0.9 * looks.small.line if setting.below else 0.0)
    return max(_style(stage, setting, looks).cap, right) + 2 * AIR


def _draw(pen: Pen, card: Card, width: float, height: float, looks: Looks) -> None:
    word = looks.words.label
    ladder = rails(card)
    columns = _columns(ladder, width, looks)
    y = draw_heading(pen, word("pictures", "ladder"), width, looks, word("pictures", "ladder_note"))
    least = [_least_rail(rail, columns.setting, looks) for rail in ladder]
    spare = max(0.0, height - _fixed(ladder, width, looks) - sum(least)) / len(ladder)
    heights = tuple(each + spare for each in least)
    for number, (rail, rail_height) in enumerate(zip(ladder, heights, strict=True)):
        larger = magnification(ladder, heights) if number else None
        _draw_head(pen.at(0, y), card, rail, columns, width, looks, larger)
        y += _head_height(looks)
        _draw_rail(pen.at(0, y), rail, columns, rail_height, looks)
        y += rail_height + _foot(looks)


def _columns(ladder: Sequence[Rail], width: float, looks: Looks) -> LadderColumns:
    """The fullest setting that leaves the bar room for its words; the labels take what they need."""
    words = [_zone_word(zone, looks) for rail in ladder for zone in rail.zones]
    least_bar = max(text_width(word, looks.label.bolder()) for word in words) + 1.6
    for setting in SETTINGS:
        columns = _measured(ladder, setting, width, looks)
        if columns.bar_right - columns.bar_left >= least_bar:
            break
    return columns


def _measured(ladder: Sequence[Rail], setting: Setting, width: float, looks: Looks) -> LadderColumns:
    stages = [stage for rail in ladder for stage in rail.stages]
    left = max(text_width(_reading(stage, looks), _style(stage, setting, looks)) for stage in stages)
    stock = max(text_width(_stock(stage.stock_mm, setting, looks), looks.value) for stage in stages)
    name = max(text_width(_name(stage, setting, looks), looks.small) for stage in stages)
    right = max(stock, name) if setting.below else stock + 1.4 + name
    bar = min(WIDEST_BAR, width - left - 2 * LEADER - right)
    start = (width - left - 2 * LEADER - bar - right) / 2
    bar_left = start + left + LEADER
    stock_x = bar_left + bar + LEADER
    return LadderColumns(
        setting=setting,
        left=start,
        reading=start + left,
        bar_left=bar_left,
        bar_right=bar_left + bar,
        stock=stock_x,
        name=stock_x if setting.below else stock_x + stock + 1.4,
    )


def _reading(stage: Stage, looks: Looks) -> str:
    return looks.figures.reading_alone(stage.reading_text)


def _systems(setting: Setting, looks: Looks) -> tuple[System, ...]:
    return looks.figures.systems if setting.both else looks.figures.systems[:1]


def _stock(stock_mm: float, setting: Setting, looks: Looks) -> str:
    """The stock without its unit, the second system in brackets."""
    first, *others = (looks.figures.bare(stock_mm, "stock", system) for system in _systems(setting, looks))
    return f"{first}{NBSP}({others[0]})" if others else first


def _zone_word(zone: Zone, looks: Looks) -> str:
    return looks.words.label("pictures", f"zone_{zone.name.replace(' ', '_')}")


def _name(stage: Stage, setting: Setting, looks: Looks) -> str:
    key = "stage" if setting.worded else "stage_alone"
    return looks.words.label("pictures", f"{key}_{stage.name.replace(' ', '_').replace('-', '_')}")


def _draw_head(
    pen: Pen, card: Card, rail: Rail, columns: LadderColumns, width: float, looks: Looks, larger: float | None
) -> None:
    """Units of the two sides, and how much larger the finishing rail's scale is."""
    tool = card.reading.rough_tool if rail.tool == "rough" else card.reading.finish_tool
    style, word = looks.label, looks.words.label
    first, *others = _systems(columns.setting, looks)
    reading = f"{word('pictures', 'reading_unit')} {tool.unit}"
    stock = f"{word('pictures', 'stock_unit')} {NBSP.join((first, *(f'({each})' for each in others)))}"
    factor = f"×{looks.figures.number(larger, 0 if larger >= 3 else 1)}" if larger is not None else ""
    stock_x = min(columns.stock, width - text_width(stock, style))
    middle = (columns.bar_left + columns.bar_right) / 2
    half = text_width(factor, style) / 2 + 0.6
    if factor and (columns.left + text_width(reading, style) > middle - half or stock_x < middle + half):
        # The rail above has told what stands on either side.
        reading, stock, stock_x = tool.unit, first, columns.stock
    base = style.baseline(style.line)
    pen.text(columns.left, base, reading, style)
    pen.text(stock_x, base, stock, style)
    pen.text(middle, base, factor, style, "centre")


def _draw_rail(pen: Pen, rail: Rail, columns: LadderColumns, height: float, looks: Looks) -> None:
    for zone in rail.zones:
        _draw_zone(pen, zone, rail, columns, height)
    pen.rectangle(columns.bar_left, 0, columns.bar_right - columns.bar_left, height, looks.outline)
    wanted = [rail.share(stage.stock_mm) * height for stage in rail.stages]
    sizes = [_label_height(stage, columns.setting, looks) for stage in rail.stages]
    foot = _foot(looks)
    centres = spread(wanted, sizes, -foot, height + foot)
    for stage, y, centre in zip(rail.stages, wanted, centres, strict=True):
        _draw_stage(pen, stage, columns, y, centre, looks)
    for zone in rail.zones:
        _draw_zone_word(pen, zone, rail, columns, height, looks)
    taken = [*zip(centres, sizes, strict=True), *((y, 1.2) for y in wanted)]
    _draw_readings(pen, rail, columns, height, taken, looks)
    _draw_stocks(pen, rail, columns, height, taken, looks)


def _draw_stage(
    pen: Pen, stage: Stage, columns: LadderColumns, y: float, centre: float, looks: Looks
) -> None:
    """A stage's line across the bar, its reading at the left, its stock and name at the right."""
    setting = columns.setting
    style, below = _style(stage, setting, looks), setting.below
    heavy = looks.heavy if stage.name in HAND_STAGES else 0.25
    pen.line(columns.bar_left, y, columns.bar_right, y, heavy)
    for bar, label, side in (
        (columns.bar_left, columns.reading + 0.7, -1),
        (columns.bar_right, columns.stock - 0.7, 1),
    ):
        pen.polyline(((bar, y), (bar + side * TICK, y), (label, centre)), 0.2)
    pen.text(columns.reading, centre + style.cap / 2, _reading(stage, looks), style, "right")
    base = centre + looks.value.cap / 2 - (0.45 * looks.small.line if below else 0.0)
    pen.text(columns.stock, base, _stock(stage.stock_mm, setting, looks), looks.value)
    pen.text(
        columns.name,
        base + (0.9 * looks.small.line if below else 0.0),
        _name(stage, setting, looks),
        looks.small,
    )


def _draw_readings(
    pen: Pen,
    rail: Rail,
    columns: LadderColumns,
    height: float,
    taken: Sequence[tuple[float, float]],
    looks: Looks,
) -> None:
    """The tool's own graduations: a tick for each reading of the table, figures where there is room."""
    places = [rail.share(row.stock_mm) * height for row in rail.rows]
    texts = [looks.figures.reading_alone(row.reading_text) for row in rail.rows]
    rise = 0.25 * looks.label.cap if any("⁄" in text for text in texts) else 0.0
    free = free_places(places, looks.label.cap + rise + 2 * AIR, taken, -1.0, height + 1.0)
    told = {stage.reading_text for stage in rail.stages}
    shown = places[0] - 1.0 if places else 0.0
    for row, text, y, has_room in zip(rail.rows, texts, places, free, strict=True):
        labelled = has_room and row.reading_text not in told
        if not labelled and y - shown < 0.6:
            continue
        shown = y
        pen.line(columns.bar_left, y, columns.bar_left - (2 * TICK if labelled else TICK), y, 0.15)
        if labelled:
            pen.text(columns.reading, y + looks.label.cap / 2, text, looks.label, "right")


def _draw_stocks(
    pen: Pen,
    rail: Rail,
    columns: LadderColumns,
    height: float,
    taken: Sequence[tuple[float, float]],
    looks: Looks,
) -> None:
    """Round stocks at the right, in the leading units."""
    unit = 1.0 if looks.figures.leading == "mm" else INCH
    step = round_step((rail.high - rail.low) / unit / height * 3.5)
    first, last = -int(-rail.low / unit // step), int(rail.high / unit // step)
    stocks = [number * step * unit for number in range(last, first - 1, -1)]
    stocks = [stock for stock in stocks if rail.low <= stock <= rail.high]
    places = [rail.share(stock) * height for stock in stocks]
    free = free_places(places, looks.label.cap + 2 * AIR, taken, -1.0, height + 1.0)
    for stock, y, labelled in zip(stocks, places, free, strict=True):
        pen.line(columns.bar_right, y, columns.bar_right + (2 * TICK if labelled else TICK), y, 0.15)
        if labelled:
            text = looks.figures.bare(stock, "stock", looks.figures.leading)
            pen.text(columns.stock, y + looks.label.cap / 2, text, looks.label)


def _draw_zone(pen: Pen, zone: Zone, rail: Rail, columns: LadderColumns, height: float) -> None:
    """A zone of the bar with its hatching; past size is black."""
    top, bottom = rail.share(zone.high) * height, rail.share(zone.low) * height
    left, right = columns.bar_left, columns.bar_right
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    if zone.name == "past size":
        pen.polygon(corners, 0, fill=0.0)
    for spacing, angle in HATCHING[zone.name]:
        pen.hatch(corners, spacing, angle, 0.13)


def _draw_zone_word(
    pen: Pen, zone: Zone, rail: Rail, columns: LadderColumns, height: float, looks: Looks
) -> None:
    """The zone's word, where the zone is tall enough for it; else the stages' names beside it tell."""
    top, bottom = rail.share(zone.high) * height, rail.share(zone.low) * height
    style = looks.label.bolder()
    text = _zone_word(zone, looks)
    tall, wide = style.cap + 1.2, text_width(text, style) + 1.2
    bar, room = columns.bar_right - columns.bar_left, bottom - top - 0.4
    turned = 90.0 if bar < wide else 0.0
    if room < (wide if turned else tall) or bar < tall:
        return
    middle, centre = (columns.bar_left + columns.bar_right) / 2, (top + bottom) / 2
    if zone.name == "past size":
        style = TextStyle(style.size, bold=True, reversed=True)
    else:
        across, down = (tall, wide) if turned else (wide, tall)
        pen.rectangle(middle - across / 2, centre - down / 2, across, down, 0, 1.0)
    if turned:
        pen.text(middle + style.cap / 2, centre, text, style, "centre", turned)
    else:
        pen.text(middle, centre + style.cap / 2, text, style, "centre")


# (spacing in mm, angle in degrees) of each set of lines: the nearer to size, the fewer.
HATCHING: dict[str, tuple[tuple[float, float], ...]] = {
    "too much": ((0.8, 45.0), (0.8, 135.0)),
    "blank": ((0.9, 45.0),),
    "cleaning up": ((1.5, 135.0),),
    "roughing": ((2.2, 45.0),),
    "finishing": ((1.8, 0.0),),
    "finished": (),
    "past size": (),
}

PANEL = Panel(_height, _draw, wish=_wish)
