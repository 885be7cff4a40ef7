"""Slip gauges: the pieces of the shop's sets that come nearest to a height."""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import combinations, product
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


NEAR = {"mm": mpf("0.005"), "in": mpf("0.0005")}  # farther off, the set cannot make the height
SECOND = mpmath.pi / 648_000


def shop_set(piece: Piece) -> tuple[str, tuple[Fraction, ...]] | None:
    """Of the shop's sets the first in the part's unit, else its first."""
    sets = [set_of(name) for name in piece.shop["slip_sets"]]
    own = [each for each in sets if each[0] == ("in" if piece.inch else "mm")]
    return (own or sets or [None])[0]


@cache
def nearest(piece: Piece, height: mpf) -> Slips | None:
    """The nearest height of the shop's set by the fewest pieces, however far off."""
    found = shop_set(piece)
    if found is None:
        return None
    in_unit, pieces = found
    size = INCH if in_unit == "in" else mpf(1)
    unit = Fraction(1, 20000 if in_unit == "in" else 2000)
    made = nearest_sum(_sums(pieces, unit), height / size, unit)
    counts = [int(each / unit) for each in pieces]
    for number in range(1, 9):
        found_pieces = _of_so_many(int(made / unit), counts, number)
        if found_pieces is not None:
            return Slips([exact(n * unit) * size for n in found_pieces], height - exact(made) * size)
    raise AssertionError(f"no eight slips make {height}")


def stack(piece: Piece, height: mpf | None) -> Slips | None:
    """The stack for a height that a swivel is set by: none where the set comes nowhere near."""
    slips = None if height is None else nearest(piece, height)
    if slips is None:
        return None
    in_unit = shop_set(piece)[0]
    return slips if abs(slips.left_over) <= NEAR[in_unit] * (INCH if in_unit == "in" else 1) else None


@dataclass(frozen=True)
class UnderRolls:
    """What stands under the two rolls of a bar, in mm, largest first, and by how much it misses."""

    pieces: list[mpf]
    other: list[mpf]
    left_over: mpf  # rad

    @property
    def height(self) -> mpf:
        return mpmath.fsum(self.pieces) - mpmath.fsum(self.other)


@cache
def under_rolls(piece: Piece, length: mpf, angle: mpf) -> UnderRolls | None:
    """One stack where it is within a second, else the two that differ by what is nearest."""
    one = nearest(piece, length * mpmath.sin(angle))
    if one is None:
        return None
    single = UnderRolls(one.pieces, [], angle - mpmath.asin(one.height / length))
    if abs(single.left_over) <= SECOND:
        return single
    in_unit, pieces = shop_set(piece)
    size = INCH if in_unit == "in" else mpf(1)
    step = Fraction(1, 2000) if Fraction("1.0005") in pieces else Fraction(1, 10000 if size > 1 else 1000)
    counts = tuple(int(each / step) for each in pieces)
    signed = _signed(int(mpmath.nint(length * mpmath.sin(angle) / size / exact(step))), counts)
    sides = [
        sorted((exact(abs(n) * step) * size for n in signed if n * sign > 0), reverse=True)
        for sign in (1, -1)
    ]
    made = mpmath.fsum(sides[0]) - mpmath.fsum(sides[1])
    double = UnderRolls(sides[0], sides[1], angle - mpmath.asin(made / length))
    return double if abs(double.left_over) < abs(single.left_over) - SECOND / 10**6 else single


@cache
def _signed(wanted: int, pieces: tuple[int, ...]) -> tuple[int, ...]:
    """The fewest pieces with signs that add up, then the lowest on the minus side; every choice is tried."""
    known = set(pieces)
    for number in (2, 3, 4):
        found = set()
        for some in combinations(pieces, number - 1):
            for signs in product((1, -1), repeat=number - 1):
                rest = wanted - sum(n * sign for n, sign in zip(some, signs, strict=True))
                if abs(rest) in known and abs(rest) not in some:
                    found.add(tuple(sorted([rest, *(n * s for n, s in zip(some, signs, strict=True))])))
        if found:
            return min(found, key=lambda each: (-sum(n for n in each if n < 0), each))
    raise AssertionError(f"no four slips differ by {wanted}")


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


def sine_formulas(path: str, set_up: Callable[[Piece], tuple[mpf, mpf] | None]) -> dict[str, Formula]:
    """The numbers of what stands under the rolls; set_up: the bar's length and the angle to set."""

    def of(tell: Callable[[UnderRolls], Any]) -> Formula:
        def found(piece: Piece) -> Any:
            bar = set_up(piece)
            slips = None if bar is None else under_rolls(piece, *bar)
            return None if slips is None else tell(slips)

        return found

    return {
        f"{path}.height_mm": of(lambda slips: slips.height),
        f"{path}.pieces_mm[*]": of(lambda slips: slips.pieces),
        f"{path}.other_pieces_mm[*]": of(lambda slips: slips.other),
        f"{path}.left_over_arcsec": of(lambda slips: slips.left_over / SECOND),
    }


def unit_of(pieces: Formula) -> Formula:
    """The unit that the pieces of a stack are engraved in; `pieces` is a formula of that stack."""

    def found(piece: Piece) -> str | None:
        made = shop_set(piece)
        return None if made is None or pieces(piece) is None else made[0]

    return found
