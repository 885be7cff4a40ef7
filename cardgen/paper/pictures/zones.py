"""The zones in which a piece can stand, from too much stock down past its limits, and their hatching."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf
from typing import Literal

from cardgen.card.values import Card

ZoneName = Literal[
    "too much", "blank", "cleaning up", "roughing", "finishing", "finished", "set aside", "past size"
]

# (spacing in mm, angle in degrees) of each set of lines: the nearer to size, the fewer.
HATCHING: Mapping[ZoneName, tuple[tuple[float, float], ...]] = {
    "too much": ((0.8, 45.0), (0.8, 135.0)),
    "blank": ((0.9, 45.0),),
    "cleaning up": ((1.5, 135.0),),
    "roughing": ((2.2, 45.0),),
    "finishing": ((1.8, 0.0),),
    "finished": (),
    "set aside": ((1.1, 90.0),),
    "past size": (),
}


@dataclass(frozen=True)
class Zone:
    """A stretch of stock in which a piece stands, mm on the diameter."""

    name: ZoneName
    low: float
    high: float


def hatching(name: ZoneName) -> tuple[tuple[float, float], ...]:
    """Sets of lines that tell a zone from its neighbours: spacing in mm, angle in degrees."""
    return HATCHING[name]


def zones(card: Card) -> tuple[Zone, ...]:
    """The zones in their order, the one with most stock first; one that lies below the next makes no zone."""
    stocks = _stocks(card)
    floors: tuple[tuple[ZoneName, float], ...] = (
        ("too much", stocks["blank high"]),
        ("blank", stocks["blank low"]),
        ("cleaning up", max(stocks["clean-up"], stocks["rough"])),
        ("roughing", stocks["rough"]),
        ("finishing", stocks["finish high"]),
        ("finished", stocks["finish low"]),
        ("past size", -inf),
    )
    found = []
    ceiling = inf
    for name, floor in floors:
        if floor < ceiling:
            found.append(Zone(name, floor, ceiling))
            ceiling = floor
    return tuple(found)


def _stocks(card: Card) -> dict[str, float]:
    """Where the zones end: at the stages; at the limits of size where the tool shows no two within them."""
    limits = {"finish low": card.reading.stock_low_mm, "finish high": card.reading.stock_high_mm}
    stocks: dict[str, float] = limits | {stage.name: stage.stock_mm for stage in card.stages}
    return stocks if stocks["finish low"] < stocks["finish high"] else stocks | limits
