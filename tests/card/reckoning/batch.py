"""The batch: readings accepted, pieces gauged, when the stop is moved, time (theory 8 and 11)."""

from dataclasses import dataclass
from functools import cache

import mpmath
from mpmath import mpf

from tests.card.reckoning.piece import NOISE, Formula, Piece
from tests.card.reckoning.raw import Tree, quantity
from tests.card.reckoning.running import dressing_time, drift, gauging_time, phase
from tests.card.reckoning.sizes import Mark, above, stages

LONGEST, FIRST, PIECES_A_DRESSING = 10, 3, 10  # where the part does not say; common practice, no source


def given(piece: Piece) -> Tree:
    found: Tree = piece.part.get("batch", {})
    return found


def pieces(piece: Piece) -> int | None:
    return int(given(piece)["pieces"]) if "pieces" in given(piece) else None


def dressed_every(piece: Piece) -> int:
    """Pieces a dressing lasts: till wear has used a quarter of the zone."""
    each = drift(piece)
    return PIECES_A_DRESSING if each is None else max(1, int(mpmath.floor(piece.half_zone / 2 / each)))


def time_per_piece(piece: Piece) -> mpf:
    grinding = phase(piece, "rough").time + phase(piece, "finish").time
    if "semi_finish" in piece.part["stock"]:
        grinding += phase(piece, "semi-finish").time
    return grinding + gauging_time(piece) + dressing_time(piece) / dressed_every(piece)


def spread(piece: Piece) -> mpf | None:
    stated = given(piece).get("centre_depth_spread")
    return None if stated is None else quantity(stated)


@dataclass(frozen=True)
class Rule:
    """When the stop is moved: divisions of the tool, of the handwheel; how often to gauge; pieces between."""

    drift: int
    feed: int
    every: int
    pieces: int | None


EVERY_PIECE = Rule(0, 0, 1, None)


@cache
def rule(piece: Piece) -> Rule:
    """Half of what the reading may drift; but a move of the stop is a division of the handwheel at least."""
    at = stages(piece)
    ends = [at[name].reading for name in ("finish low", "finish high") if name in at]
    room = min((abs(end - at["finish"].reading) for end in ends), default=mpf(0))
    division, allowed = piece.tool("finish"), max(mpf(0), room - (spread(piece) or 0))
    a_turn = piece.division_stock / piece.ratio  # of reading, for a division of the handwheel
    worth = next(n for n in range(1, 10000) if n * division >= a_turn - NOISE * division)
    moved = max(worth, int(mpmath.floor(allowed / 2 / division + NOISE)))
    spare = allowed - moved * division
    if spare < -NOISE * division:
        return EVERY_PIECE
    feed = int(mpmath.floor(moved * division / a_turn + NOISE))
    grown = drift(piece)
    if grown is None:
        return Rule(moved, feed, 1, None)
    each = grown / piece.ratio
    between = max(1, int(moved * division / each + NOISE))
    every = min(LONGEST, between, int(mpmath.floor(spare / each + NOISE)))
    return Rule(moved, feed, every, between) if every else EVERY_PIECE


def check_every(piece: Piece) -> int:
    return min(rule(piece).every, int(given(piece).get("check_every", LONGEST)))


def check_first(piece: Piece) -> int:
    first = int(given(piece).get("check_first", FIRST))
    return min(first, pieces(piece) or first)


def pieces_to_check(piece: Piece) -> list[int]:
    """The first few, then each so-manyth, and the last."""
    number, first, every = pieces(piece) or 0, check_first(piece), check_every(piece)
    return [n for n in range(1, number + 1) if n <= first or (n - first) % every == 0 or n == number]


def move_at(piece: Piece) -> mpf | None:
    """Metal stays on as the wheel wears: the reading goes the way it has with stock on."""
    moved = rule(piece).drift * piece.tool("finish")
    aim = stages(piece)["finish"].reading
    return aim + mpmath.sign(piece.per_reading) * moved if moved else None


def _limit(piece: Piece, which: int) -> mpf | None:
    at = stages(piece)
    return (
        sorted(at[name].reading for name in ("finish low", "finish high"))[which]
        if "finish low" in at
        else None
    )


def set_aside(piece: Piece) -> mpf | None:
    """The farthest reading within the limit of size that is below what is accepted."""
    at = stages(piece)
    if "finish low" not in at:
        return None
    mark: Mark = above(piece, "finish", -piece.half_zone)
    return mark.reading if mark.count != at["finish low"].count else None


def _one_more(piece: Piece) -> mpf:
    return piece.rough_reading + mpmath.sign(piece.per_reading) * piece.tool("rough")


def _spread_share(piece: Piece) -> mpf | None:
    apart = spread(piece)
    return None if apart is None else piece.ratio * apart / (2 * piece.half_zone)


def _batch_time(piece: Piece) -> mpf | None:
    number = pieces(piece)
    return None if number is None else number * time_per_piece(piece)


FORMULAS: dict[str, Formula] = {
    "speeds.time_per_piece_s": time_per_piece,
    "speeds.time_per_batch_s": _batch_time,
    "batch.pieces": pieces,
    "batch.reading_low_mm": lambda p: _limit(p, 0),
    "batch.reading_high_mm": lambda p: _limit(p, 1),
    "batch.set_aside_mm": set_aside,
    "batch.rough_from_mm": lambda p: p.rough_reading,
    "batch.rough_to_mm": _one_more,
    "batch.check_first": check_first,
    "batch.check_every": check_every,
    "batch.pieces_to_check[*]": pieces_to_check,
    "batch.allowed_drift_mm": lambda p: rule(p).drift * p.tool("finish"),
    "batch.move_at_mm": move_at,
    "batch.stop_divisions": lambda p: rule(p).feed,
    "batch.pieces_between": lambda p: rule(p).pieces,
    "batch.centre_depth_spread_mm": spread,
    "batch.spread_on_diameter_mm": lambda p: None if spread(p) is None else p.ratio * spread(p),
    "batch.spread_of_tolerance": _spread_share,
}

CHOICES: dict[str, Formula] = {
    "batch.wear_moves_reading": lambda p: "up" if p.per_reading > 0 else "down",
}

TEXTS: dict[str, Formula] = {"batch.stop_divisions_text": lambda p: p.fed(rule(p).feed)}
