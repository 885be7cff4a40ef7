"""Sides: panels are given their places, and whatever does not fit goes on to a further side."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from cardgen.card.values import Card
from cardgen.paper.layout import ColumnPlan, Columns, Flow, SidePlan
from cardgen.paper.page import Looks
from cardgen.paper.panels import Panel, panel_named
from cardgen.paper.pen import Pen
from cardgen.paper.typeface import PaperError


@dataclass(frozen=True)
class Placed:
    """A panel with its place within the text area (mm)."""

    panel: Panel
    x: float
    y: float
    width: float
    height: float


@dataclass
class Page:
    """One side as it will be printed."""

    name: str
    room: float
    placed: list[Placed] = field(default_factory=list)
    used: float = 0.0


@dataclass(frozen=True)
class _Measured:
    """A band of columns with what it needs and what it would like."""

    band: Columns
    least: float
    wish: float
    grows: bool


def assembled(
    plans: Sequence[SidePlan], card: Card, looks: Looks, width: float, height: float
) -> tuple[Page, ...]:
    """Place every panel of every side on text areas of width × height mm."""
    pages: list[Page] = []
    for plan in plans:
        pages += _side(plan, card, looks, width, height)
    return tuple(pages)


def _side(plan: SidePlan, card: Card, looks: Looks, width: float, height: float) -> list[Page]:
    pages = [Page(plan.name, height)]
    if plan.foot:
        foot = panel_named(plan.foot)
        need = foot.height(card, width, looks)
        pages[0].placed.append(Placed(foot, 0.0, height - need, width, need))
        pages[0].room -= need + looks.gap
    waiting: list[_Measured] = []
    for band in plan.bands:
        if isinstance(band, Flow):
            _settle(pages[-1], waiting, card, looks, width, stretch=False)
            waiting = []
            _flow(pages, band, card, looks, width, height)
            continue
        for part in _in_parts(band, card, looks, width, height):
            measured = _measure(part, card, looks, width)
            if not measured.least:
                continue
            needed = sum(each.least + looks.gap for each in waiting) + measured.least
            room = pages[-1].room
            if waiting and pages[-1].used + needed > room:
                kept, rest = _broken(part, card, looks, width, room - needed + measured.least)
                if kept.columns:
                    waiting.append(_measure(kept, card, looks, width))
                _settle(pages[-1], waiting, card, looks, width, stretch=True)
                waiting = []
                pages.append(Page(plan.name, height))
                measured = _measure(rest, card, looks, width)
            waiting.append(measured)
    _settle(pages[-1], waiting, card, looks, width, stretch=True)
    return [page for page in pages if page.placed]


def _in_parts(band: Columns, card: Card, looks: Looks, width: float, height: float) -> list[Columns]:
    """A band, cut where it is taller than a whole side."""
    parts = [band]
    while _measure(parts[-1], card, looks, width).least > height:
        kept, rest = _broken(parts.pop(), card, looks, width, height)
        if not kept.columns:
            raise PaperError(f"a panel among {_names(rest)} is taller than a side of {height:.0f} mm")
        parts += [kept, rest]
    return parts


def _broken(band: Columns, card: Card, looks: Looks, width: float, room: float) -> tuple[Columns, Columns]:
    """What of a band's columns fits into `room`, and what is left for a further side."""
    kept: list[ColumnPlan] = []
    rest: list[ColumnPlan] = []
    for column, column_width in zip(band.columns, _widths(band, looks, width), strict=True):
        used, count = 0.0, 0
        for name in column.panels:
            need = panel_named(name).height(card, column_width, looks)
            if used + need > room + 1e-6:
                break
            used += need + looks.gap if need else 0.0
            count += 1
        kept.append(ColumnPlan(column.share, column.panels[:count]))
        rest.append(ColumnPlan(column.share, column.panels[count:]))
    if not any(column.panels for column in kept):
        return Columns(()), band
    return Columns(tuple(kept)), Columns(tuple(rest))


def _names(band: Columns) -> str:
    return ", ".join(name for column in band.columns for name in column.panels)


def _measure(band: Columns, card: Card, looks: Looks, width: float) -> _Measured:
    least = wish = 0.0
    grows = False
    for column, column_width in zip(band.columns, _widths(band, looks, width), strict=True):
        low = high = 0.0
        for name in column.panels:
            panel = panel_named(name)
            need = panel.height(card, column_width, looks)
            if not need:
                continue
            gap = looks.gap if low else 0.0
            low += gap + need
            high += gap + (panel.wish(card, column_width, looks) if panel.wish else need)
            grows = grows or panel.wish is not None
        least, wish = max(least, low), max(wish, high)
    return _Measured(band, least, max(least, wish), grows)


def _widths(band: Columns, looks: Looks, width: float) -> list[float]:
    gutter = column_gutter(looks)
    room = width - gutter * (len(band.columns) - 1)
    return [column.share * room for column in band.columns]


def column_gutter(looks: Looks) -> float:
    """Air between two columns of panels (mm)."""
    return 2.2 * looks.gap


def _settle(
    page: Page, bands: list[_Measured], card: Card, looks: Looks, width: float, stretch: bool
) -> None:
    """Place bands one below the other; spare room goes to those that wish for it."""
    if not bands:
        return
    spare = page.room - page.used - sum(band.least for band in bands) - looks.gap * (len(bands) - 1)
    wishes = sum(band.wish - band.least for band in bands)
    granted = min(1.0, spare / wishes) if wishes > 0 and spare > 0 else 0.0
    growing = sum(band.grows for band in bands)
    beyond = max(0.0, spare - granted * wishes) / growing if growing and stretch else 0.0
    if spare < -1e-6:
        raise PaperError(f"side '{page.name}' needs {page.room - spare:.0f} mm and has {page.room:.0f} mm")
    for band in bands:
        height = band.least + granted * (band.wish - band.least) + (beyond if band.grows else 0.0)
        _place_columns(page, band.band, height, card, looks, width)
        page.used += height + looks.gap


def _place_columns(page: Page, band: Columns, height: float, card: Card, looks: Looks, width: float) -> None:
    x = 0.0
    for column, column_width in zip(band.columns, _widths(band, looks, width), strict=True):
        _place_column(page, column, x, column_width, height, card, looks)
        x += column_width + column_gutter(looks)


def _place_column(
    page: Page, plan: ColumnPlan, x: float, width: float, height: float, card: Card, looks: Looks
) -> None:
    panels = [(panel, panel.height(card, width, looks)) for panel in map(panel_named, plan.panels)]
    panels = [(panel, need) for panel, need in panels if need]
    more = [panel.wish(card, width, looks) - need if panel.wish else 0.0 for panel, need in panels]
    spare = height - sum(need for _, need in panels) - looks.gap * max(0, len(panels) - 1)
    granted = min(1.0, spare / sum(more)) if sum(more) > 0 else 0.0
    growing = [panel for panel, _ in panels if panel.wish]
    y = page.used
    for (panel, need), wished in zip(panels, more, strict=True):
        given = need + granted * wished
        if growing and panel is growing[-1]:  # what nobody asked for goes to the last that can use it
            given += spare - granted * sum(more)
        page.placed.append(Placed(panel, x, y, width, given))
        y += given + looks.gap


def _flow(pages: list[Page], band: Flow, card: Card, looks: Looks, width: float, height: float) -> None:
    """Panels down one column after the other, on to further sides as long as there are any."""
    plan = Columns(tuple(ColumnPlan(1 / band.columns, ()) for _ in range(band.columns)))
    column_width = _widths(plan, looks, width)[0]
    panels = [panel_named(name) for name in band.panels]
    column, y = 0, pages[-1].used
    while panels:
        panel = panels.pop(0)
        need = panel.height(card, column_width, looks)
        if not need:
            continue
        page = pages[-1]
        fits = y + need <= page.room + 1e-6
        if not fits and panel.split:
            parts = panel.split(card, column_width, looks, page.room - y)
            if parts:
                panel, rest = parts
                panels.insert(0, rest)
                need, fits = panel.height(card, column_width, looks), True
        if fits:
            x = column * (column_width + column_gutter(looks))
            page.placed.append(Placed(panel, x, y, column_width, need))
            y += need + looks.gap
            continue
        if y == 0.0 and not page.placed:
            raise PaperError(f"a panel of side '{page.name}' needs {need:.0f} mm and has {page.room:.0f} mm")
        panels.insert(0, panel)
        column += 1
        if column == band.columns:
            pages.append(Page(page.name, height))
            column = 0
        y = pages[-1].used
    pages[-1].used = pages[-1].room


def draw_page(pen: Pen, page: Page, card: Card, looks: Looks) -> None:
    """Draw every panel of a side, the pen's origin at the text area's top left corner."""
    for placed in page.placed:
        placed.panel.draw(pen.at(placed.x, placed.y), card, placed.width, placed.height, looks)
