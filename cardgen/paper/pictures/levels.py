"""Where a piece can stand, from too much stock down past the finish, as rails of a ladder.

A rail is a vertical scale of stock with its zones. Where the limits of size would be too thin to
see beside the blank's stock, the ladder has two rails: one down to the rough target, and one that
magnifies what is left for finishing.
"""

from dataclasses import dataclass
from typing import Literal

from cardgen.card.values import Card, Stage, StockRow
from cardgen.terms import ToolUse

ZoneName = Literal["too much", "blank", "cleaning up", "roughing", "finishing", "finished", "past size"]
CLEAR_SHARE = 0.12  # of a rail: limits of size thinner than this get a rail of their own
UNDER_SHARE = 0.16  # of the finishing rail is left for a piece that went under
OVER_SHARE = 0.12


@dataclass(frozen=True)
class Zone:
    """A stretch of stock in which a piece stands, mm on the diameter."""

    name: ZoneName
    low: float
    high: float


@dataclass(frozen=True)
class Rail:
    """One scale of the ladder: from `low` to `high` stock, mm on the diameter."""

    tool: ToolUse
    low: float
    high: float
    zones: tuple[Zone, ...]  # from the top
    stages: tuple[Stage, ...]  # from the top
    rows: tuple[StockRow, ...]  # readings of the tool that lie on this rail, from the top

    def share(self, stock: float) -> float:
        """How far down the rail a stock stands: 0 at the top, 1 at the foot."""
        return (self.high - stock) / (self.high - self.low)


def rails(card: Card) -> tuple[Rail, ...]:
    """The ladder's rails, the one with more stock first."""
    stocks = _stocks(card)
    most, rough = stocks["blank high"], stocks["rough"]
    least, upper_limit = stocks["finish low"], stocks["finish high"]
    apart = upper_limit < rough < most
    highest, lowest = max(stocks.values()), min(stocks.values())
    under = (rough if apart else highest) - lowest
    over = highest - (rough if apart else lowest) or 1e-6  # a tool so coarse that all stages read alike
    bottom = lowest - UNDER_SHARE / (1 - UNDER_SHARE) * under
    top = highest + OVER_SHARE / (1 - OVER_SHARE) * over
    zones = _zones(stocks, top, bottom)
    if not apart or (upper_limit - least) / (top - bottom) >= CLEAR_SHARE:
        return (_rail(card, "rough", bottom, top, zones),)
    return (_rail(card, "rough", rough, top, zones), _rail(card, "finish", bottom, rough, zones))


def magnification(ladder: tuple[Rail, ...], heights: tuple[float, ...]) -> float:
    """How much larger the last rail's scale is than the first's, at these heights (mm)."""
    first, last = ladder[0], ladder[-1]
    return (first.high - first.low) / heights[0] / ((last.high - last.low) / heights[-1])


def _stocks(card: Card) -> dict[str, float]:
    """Where the zones end: at the stages; at the limits of size where the tool shows no two within them."""
    limits = {"finish low": card.reading.stock_low_mm, "finish high": card.reading.stock_high_mm}
    stocks: dict[str, float] = limits | {stage.name: stage.stock_mm for stage in card.stages}
    return stocks if stocks["finish low"] < stocks["finish high"] else stocks | limits


def _zones(stocks: dict[str, float], top: float, bottom: float) -> tuple[Zone, ...]:
    """The zones in their order; a limit that lies below the one before it makes no zone."""
    floors: tuple[tuple[ZoneName, float], ...] = (
        ("too much", stocks["blank high"]),
        ("blank", stocks["blank low"]),
        ("cleaning up", max(stocks["clean-up"], stocks["rough"])),
        ("roughing", stocks["rough"]),
        ("finishing", stocks["finish high"]),
        ("finished", stocks["finish low"]),
        ("past size", bottom),
    )
    zones = []
    ceiling = top
    for name, floor in floors:
        if floor < ceiling:
            zones.append(Zone(name, floor, ceiling))
            ceiling = floor
    return tuple(zones)


def _rail(card: Card, tool: ToolUse, low: float, high: float, zones: tuple[Zone, ...]) -> Rail:
    inside = [
        Zone(zone.name, max(zone.low, low), min(zone.high, high))
        for zone in zones
        if zone.low < high and zone.high > low
    ]
    noise = 1e-9
    stages = [stage for stage in card.stages if low - noise <= stage.stock_mm <= high + noise]
    rows = [
        row for row in card.stock_table if row.tool == tool and low - noise <= row.stock_mm <= high + noise
    ]
    return Rail(
        tool,
        low,
        high,
        tuple(inside),
        tuple(sorted(stages, key=lambda stage: -stage.stock_mm)),
        tuple(sorted(rows, key=lambda row: -row.stock_mm)),
    )
