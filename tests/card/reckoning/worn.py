"""Worn pieces: the reading that none is ground past, and the one that is worth starting at."""

from collections.abc import Callable
from typing import Any

from mpmath import mpf

from tests.card.reckoning.doubt import doubt
from tests.card.reckoning.piece import Formula, Piece
from tests.card.reckoning.raw import quantity
from tests.card.reckoning.running import phase
from tests.card.reckoning.sizes import Mark, above, stages


def at_most(piece: Piece) -> mpf:
    return quantity(piece.part["salvage"]["at_most"])


def limit(piece: Piece) -> Mark:
    """So far past the basic size, drawn in by the expanded uncertainty, at the division with more on."""
    basic = -piece.aim if piece.outside else piece.aim
    return above(piece, "finish", basic - at_most(piece) + 2 * doubt(piece, mpf(0), "finish"))


def start(piece: Piece) -> Mark:
    """What has to come off a worn surface still lies above the limit."""
    return above(piece, "finish", limit(piece).stock + quantity(piece.part["stock"]["clean_up"]))


def past(piece: Piece) -> int:
    """Divisions from the finish reading down to the limit."""
    return stages(piece)["finish"].divisions_to(limit(piece).stock)


def a_pass(piece: Piece) -> int:
    return phase(piece, "finish").divisions


def _of_worn(tell: Callable[[Piece], Any]) -> Formula:
    return lambda piece: tell(piece) if "salvage" in piece.part else None


FORMULAS: dict[str, Formula] = {
    f"salvage.{name}": _of_worn(tell)
    for name, tell in {
        "at_most_mm": at_most,
        "start_mm": lambda p: start(p).reading,
        "limit_mm": lambda p: limit(p).reading,
        "stock_mm": lambda p: limit(p).stock,
        "gauge_line_diameter_mm": lambda p: limit(p).diameter(p.line[1]),
        "small_diameter_mm": lambda p: limit(p).diameter(p.length),
        "divisions_past_finish": past,
        "divisions_per_pass": a_pass,
    }.items()
}

CHOICES: dict[str, Formula] = {}
TEXTS: dict[str, Formula] = {
    f"salvage.{name}": _of_worn(tell)
    for name, tell in {
        "start_text": lambda p: start(p).text,
        "limit_text": lambda p: limit(p).text,
        "divisions_past_finish_text": lambda p: p.fed(past(p)),
        "divisions_per_pass_text": lambda p: p.fed(a_pass(p)),
    }.items()
}
