"""Slip gauges: the pieces of the shop's sets that come nearest to a height."""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any

import mpmath
from mpmath import mpf

from tests.booklet import library
from tests.booklet.reckoner import INCH, exact, nearest_sum, sums_of
from tests.card.reckoning.piece import Formula, Piece


@dataclass(frozen=True)
class Slips:
    """The pieces of a set that come nearest to a height, in mm, largest first."""

    pieces: list[mpf]
    left_over: mpf

    @property
    def height(self) -> mpf:
        return mpmath.fsum(self.pieces)


@cache
def set_of(name: str) -> tuple[str, tuple[Fraction, ...]]:
    """Unit and pieces of a set by its name in the shop ('metric 88'), largest first."""
    word, count = name.split()
    pieces = library.slip_pieces(f"{count} {word}")
    return "in" if word == "inch" else "mm", tuple(sorted(pieces, reverse=True))


@cache
def _sums(pieces: tuple[Fraction, ...], unit: Fraction) -> int:
    return sums_of(list(pieces), unit)


@cache
def stack(piece: Piece, height: mpf | None) -> Slips | None:
    """Of the shop's first set in the part's unit, else its first: the nearest height, the fewest pieces."""
    sets = [set_of(name) for name in piece.shop["slip_sets"]]
    if height is None or not sets:
        return None
    own = [each for each in sets if each[0] == ("in" if piece.inch else "mm")]
    in_unit, pieces = (own or sets)[0]
    size = INCH if in_unit == "in" else mpf(1)
    unit = Fraction(1, 20000 if in_unit == "in" else 2000)
    made = nearest_sum(_sums(pieces, unit), height / size, unit)
    counts = [int(each / unit) for each in pieces]
    for number in range(1, 9):
        found = _of_so_many(int(made / unit), counts, number)
        if found is not None:
            return Slips([exact(n * unit) * size for n in found], height - exact(made) * size)
    raise AssertionError(f"no eight slips make {height}")


def _of_so_many(wanted: int, pieces: list[int], number: int) -> list[int] | None:
    """So many of the pieces, largest first, that add up; the largest are tried first."""
    if number == 1:
        return [wanted] if wanted in pieces else None
    for at, each in enumerate(pieces):
        rest = pieces[at + 1 :]
        if sum(rest[: number - 1]) < wanted - each:
            return None
        if each + sum(rest[1 - number :]) <= wanted:
            found = _of_so_many(wanted - each, rest, number - 1)
            if found is not None:
                return [each, *found]
    return None


def _of_stack(height: Callable[[Piece], mpf | None], tell: Callable[[Slips], Any]) -> Formula:
    def found(piece: Piece) -> Any:
        slips = stack(piece, height(piece))
        return None if slips is None else tell(slips)

    return found


def stack_formulas(path: str, height: Callable[[Piece], mpf | None]) -> dict[str, Formula]:
    """The numbers of a stack of slip gauges."""
    return {
        f"{path}.height_mm": _of_stack(height, lambda slips: slips.height),
        f"{path}.pieces_mm[*]": _of_stack(height, lambda slips: slips.pieces),
        f"{path}.left_over_mm": _of_stack(height, lambda slips: slips.left_over),
    }
