"""Sides: panels are given their places, and whatever does not fit goes on to a further side."""

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace

from cardgen.bounds import most
from cardgen.card.values import Card
from cardgen.paper.panels import Panel, panel_named
from cardgen.paper.press.page import Looks
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typeface import PaperError
from cardgen.paper.words.layout import ColumnPlan, Columns, FlowingPanels, SidePlan

HAIR = 1e-6  # mm: arithmetic noise
GUTTER, LEAST_GUTTER = 2.2, 2.0  # times the air between panels, and mm: between two columns of them
CLOSE = 0.4  # of the usual air between panels, where that saves a side
CLOSEST = 0.1  # where nothing else does
SIZES = 3  # of text that are tried, the largest and the least among them


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
    """One side as it will be printed: `used` from the top, of `room` mm that panels may take."""

    name: str
    room: float
    looks: Looks  # with the air between its panels, and the size that its text is set in
    placed: list[Placed] = field(default_factory=list)
    foot: Placed | None = None
    used: float = 0.0


def assembled(
    plans: Sequence[SidePlan], card: Card, looks: Looks, width: float, height: float
) -> tuple[Page, ...]:
    """Place every panel of every side on text areas of width × height mm."""
    pages: list[Page] = []
    for plan in plans:
        told: dict[Hashable, float] = {}
        ways = ((own, _Job(card, set_in, width, height, told)) for own, set_in in _ways(plan, looks))
        pages += _fewest(ways)
        _require_few(len(pages), most("card.sides"))
    return tuple(pages)


def _ways(plan: SidePlan, looks: Looks) -> Iterator[tuple[SidePlan, Looks]]:
    """Ways to set a side, the best first: less air, smaller text, less on it; then the smallest text."""
    usual = looks if plan.text is None else looks.about(plan.text)
    yield plan, usual
    smallest = replace(usual, gap=CLOSE * usual.gap)
    yield plan, smallest
    for text in _between(plan.text, plan.least_text):
        smaller = looks.about(text)
        smallest = replace(smaller, gap=CLOSE * smaller.gap)
        yield plan, smallest
    closest = replace(smallest, gap=CLOSEST * usual.gap)
    for less in plan.given_up():
        yield less, closest
    for text in _between(plan.least_text, plan.last_text):
        yield less, replace(looks.about(text), gap=CLOSEST * usual.gap)


def _between(text: float | None, least: float | None) -> Iterator[float]:
    """Sizes of text below the first, down to the least."""
    if text is not None and least is not None and least < text:
        for part in range(1, SIZES):
            yield text + (least - text) * part / (SIZES - 1)


def _fewest(ways: Iterable[tuple[SidePlan, "_Job"]]) -> list[Page]:
    """The first way that takes one page; where none does, the first of those that take fewest."""
    tried = []
    for way in ways:
        tried.append(way)
        with suppress(PaperError):  # a panel taller than the side: set smaller it may fit
            return _side(*way, 1)
    best: list[Page] = []
    trouble = PaperError()
    for way in tried:
        try:
            best = _side(*way, len(best) - 1 if best else most("card.sides"))
        except PaperError as wrong:
            trouble = wrong
    if not best:
        raise trouble
    return best


def _require_few(pages: int, few: int) -> None:
    if pages > few:
        raise PaperError(f"it would take more than {few} sides; leave panels out of the layout, or words")


def draw_page(pen: Pen, page: Page, card: Card) -> None:
    """Draw every panel of a side, the pen's origin at the text area's top left corner."""
    for placed in (*page.placed, *((page.foot,) if page.foot else ())):  # as it is read: the foot last
        placed.panel.draw(pen.at(placed.x, placed.y), card, placed.width, placed.height, page.looks)


@dataclass(frozen=True)
class _Job:
    """What is being laid out, on text areas of width × height mm; each panel is measured once."""

    card: Card
    looks: Looks
    width: float
    height: float
    _heights: dict[Hashable, float]

    @property
    def gap(self) -> float:
        return self.looks.gap

    @property
    def gutter(self) -> float:
        """Air between two columns of panels."""
        return max(LEAST_GUTTER, GUTTER * self.looks.gap)

    def need(self, panel: Panel, width: float) -> float:
        """A panel's least height."""
        return self._told(panel.height, width)

    def wish(self, panel: Panel, width: float) -> float:
        """The height at which a panel is at its best."""
        need = self.need(panel, width)
        return max(self._told(panel.wish, width), need) if panel.wish else need

    def _told(self, height: Callable[[Card, float, Looks], float], width: float) -> float:
        key = (height, width, self.looks.setting)
        if key not in self._heights:
            self._heights[key] = height(self.card, width, self.looks)
        return self._heights[key]

    def widths(self, shares: Sequence[float]) -> list[float]:
        """Widths of columns with these shares of the text area."""
        room = self.width - self.gutter * (len(shares) - 1)
        return [share * room for share in shares]

    def column_widths(self, band: Columns) -> list[float]:
        return self.widths([column.share for column in band.columns])


@dataclass(frozen=True)
class _Measured:
    """A band of columns with what it needs and what it would like."""

    band: Columns
    least: float
    wish: float
    grows: bool


def _side(plan: SidePlan, job: _Job, few: int) -> list[Page]:
    """The pages of one side: one, and more where it overflows; PaperError where they are more than a few."""
    pages = [Page(plan.name, job.height, job.looks)]
    if plan.foot:
        _place_foot(pages[0], panel_named(plan.foot), job)
    waiting: list[_Measured] = []
    for band in plan.bands:
        if isinstance(band, FlowingPanels):
            _settle(pages[-1], waiting, job, stretch=False)
            waiting = []
            _flow(pages, band, job, few)
            continue
        for part in _in_parts(band, job):
            _queue(pages, waiting, part, job, few)
    _settle(pages[-1], waiting, job, stretch=True)
    return [page for page in pages if page.placed or page.foot]


def _place_foot(page: Page, foot: Panel, job: _Job) -> None:
    need = job.need(foot, job.width)
    page.foot = Placed(foot, 0.0, page.room - need, job.width, need)
    page.room -= need + job.gap


def _queue(pages: list[Page], waiting: list[_Measured], measured: _Measured, job: _Job, few: int) -> None:
    """Let a band wait for its place on the last page, or begin a new one with what does not fit."""
    if not measured.least:
        return
    before = pages[-1].used + sum(each.least + job.gap for each in waiting)
    if before + measured.least > pages[-1].room + HAIR and (before > 0 or pages[-1].room < job.height):
        _require_few(len(pages) + 1, few)
        kept, rest = _broken(measured.band, job, pages[-1].room - before)
        if kept.columns:
            waiting.append(_measure(kept, job))
        _settle(pages[-1], waiting, job, stretch=True)
        waiting.clear()
        pages.append(Page(pages[-1].name, job.height, job.looks))
        measured = _measure(rest, job)
    waiting.append(measured)


def _in_parts(band: Columns, job: _Job) -> list[_Measured]:
    """A band, cut where it is taller than a whole side."""
    parts = [_measure(band, job)]
    while parts[-1].least > job.height + HAIR:
        kept, rest = _broken(parts.pop().band, job, job.height)
        if not kept.columns:
            names = ", ".join(name for column in rest.columns for name in column.panels)
            raise PaperError(f"a panel among {names} is taller than a side of {job.height:.0f} mm")
        parts += [_measure(kept, job), _measure(rest, job)]
    return parts


def _broken(band: Columns, job: _Job, room: float) -> tuple[Columns, Columns]:
    """What of a band's columns fits into `room`, and what is left for a further side."""
    kept: list[ColumnPlan] = []
    rest: list[ColumnPlan] = []
    for column, width in zip(band.columns, job.column_widths(band), strict=True):
        used, count = 0.0, 0
        for name in column.panels:
            need = job.need(panel_named(name), width)
            if used + need > room + HAIR:
                break
            used += need + job.gap if need else 0.0
            count += 1
        kept.append(ColumnPlan(column.share, column.panels[:count]))
        rest.append(ColumnPlan(column.share, column.panels[count:]))
    if not any(column.panels for column in kept):
        return Columns(()), band
    return Columns(tuple(kept)), Columns(tuple(rest))


def _measure(band: Columns, job: _Job) -> _Measured:
    least = wish = 0.0
    grows = False
    for column, width in zip(band.columns, job.column_widths(band), strict=True):
        low = high = 0.0
        for panel in map(panel_named, column.panels):
            need = job.need(panel, width)
            if need:
                gap = job.gap if low else 0.0
                low += gap + need
                high += gap + job.wish(panel, width)
                grows = grows or panel.wish is not None
        least, wish = max(least, low), max(wish, high)
    return _Measured(band, least, max(least, wish), grows)


def _settle(page: Page, bands: Sequence[_Measured], job: _Job, stretch: bool) -> None:
    """Place bands one below the other; spare room goes to those that wish for it."""
    if not bands:
        return
    spare = page.room - page.used - sum(band.least for band in bands) - job.gap * (len(bands) - 1)
    if spare < -HAIR:
        raise PaperError(f"side '{page.name}' needs {page.room - spare:.0f} mm and has {page.room:.0f} mm")
    wishes = sum(band.wish - band.least for band in bands)
    granted = min(1.0, spare / wishes) if wishes > 0 else 0.0
    growing = sum(band.grows for band in bands)
    beyond = max(0.0, spare - granted * wishes) / growing if growing and stretch else 0.0
    for band in bands:
        height = band.least + granted * (band.wish - band.least) + (beyond if band.grows else 0.0)
        x = 0.0
        for column, width in zip(band.band.columns, job.column_widths(band.band), strict=True):
            _place_column(page, column, x, width, height, job)
            x += width + job.gutter
        page.used += height + job.gap


def _place_column(page: Page, plan: ColumnPlan, x: float, width: float, height: float, job: _Job) -> None:
    panels = [panel for panel in map(panel_named, plan.panels) if job.need(panel, width)]
    needs = [job.need(panel, width) for panel in panels]
    more = [job.wish(panel, width) - need for panel, need in zip(panels, needs, strict=True)]
    spare = height - sum(needs) - job.gap * max(0, len(panels) - 1)
    granted = min(1.0, spare / sum(more)) if sum(more) > 0 else 0.0
    growing = [panel for panel in panels if panel.wish]
    y = page.used
    for panel, need, wished in zip(panels, needs, more, strict=True):
        given = need + granted * wished
        if growing and panel is growing[-1]:  # what nobody asked for goes to the last that can use it
            given += spare - granted * sum(more)
        page.placed.append(Placed(panel, x, y, width, given))
        y += given + job.gap


def _flow(pages: list[Page], band: FlowingPanels, job: _Job, few: int) -> None:
    """Panels down one column after the other, on to further sides as long as there are any."""
    width = job.widths([1 / band.columns] * band.columns)[0]
    panels = [panel for panel in map(panel_named, band.panels) if job.need(panel, width)]
    column, y = 0, pages[-1].used
    while panels:
        page = pages[-1]
        first, rest = _beginning(panels.pop(0), width, page.room - y, job)
        if rest:
            panels.insert(0, rest)
        if first:
            need = job.need(first, width)
            page.placed.append(Placed(first, column * (width + job.gutter), y, width, need))
            y += need + job.gap
            continue
        if y == 0.0 and page.room == job.height:
            raise PaperError(f"a panel of side '{page.name}' is taller than {page.room:.0f} mm")
        column += 1
        if column == band.columns:
            _require_few(len(pages) + 1, few)
            pages.append(Page(page.name, job.height, job.looks))
            column = 0
        y = pages[-1].used
    pages[-1].used = pages[-1].room


def _beginning(panel: Panel, width: float, room: float, job: _Job) -> tuple[Panel | None, Panel | None]:
    """What of a panel goes into the room, and what is left of it."""
    if job.need(panel, width) <= room + HAIR:
        return panel, None
    parts = panel.split(job.card, width, job.looks, room) if panel.split else None
    return parts or (None, panel)
