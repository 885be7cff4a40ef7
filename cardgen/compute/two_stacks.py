"""Two stacks of slip gauges, one under each roll of a sine bar, whose difference is the height wanted."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import combinations, product

from cardgen.compute.inspection import Height, HeightOutOfReachError, whole_pieces

WORTH_TRYING = 40  # heights on either side of the one wanted, in the set's smallest step


@dataclass(frozen=True)
class TwoStacks:
    """The pieces under each roll, largest first, and how much higher the first stack is than the other."""

    pieces: tuple[Fraction, ...]
    other: tuple[Fraction, ...]
    height: Fraction


# Signed pieces: one that stands in the first stack is positive, one in the other negative.
_Signed = tuple[int, ...]
_Choices = Iterable[tuple[int, tuple[_Signed, ...]]]  # of so many signed pieces, by what they add up to


def closest_difference(height: float | Height, sizes: Sequence[Height]) -> TwoStacks:
    """Two stacks of one set whose difference comes nearest to a height, no piece used twice in both.

    Height and sizes in one unit; of equally near, the fewest pieces (five in both at the most), then the
    lower other stack. Raises HeightOutOfReachError where no few pieces come near, or the height is not
    positive. Source: exact search over all choices of so many signed pieces.
    """
    wanted = Fraction(height)
    unit, pieces = whole_pieces(sizes)
    if wanted > 0:
        for count in _outwards(wanted / unit):
            found = _fewest(count, pieces)
            if found is not None:
                first, other = (
                    tuple(sorted((abs(each) * unit for each in found if each * sign > 0), reverse=True))
                    for sign in (1, -1)
                )
                return TwoStacks(first, other, count * unit)
    raise HeightOutOfReachError(f"no two stacks of slip gauges differ by {height}")


def _outwards(wanted: Fraction) -> Iterator[int]:
    """Whole steps of the set above nothing, the nearest to the height first."""
    middle = round(wanted)
    near = range(max(1, middle - WORTH_TRYING), middle + WORTH_TRYING + 1)
    above, below = wanted.as_integer_ratio()
    yield from sorted(near, key=lambda count: (abs(count * below - above), count))


def _fewest(wanted: int, pieces: tuple[int, ...]) -> _Signed | None:
    """The fewest signed pieces that add up to a height; None where five do not."""
    pairs = _pairs(pieces)
    singles = ((sign * piece, ((sign * piece,),)) for piece in pieces for sign in (1, -1))
    fewer: tuple[_Choices, ...] = (((0, ((),)),), singles, pairs.items(), _triples(pieces))
    for heads in fewer:
        found = [
            (*head, *pair)
            for total, alike in heads
            if wanted - total in pairs
            for head in alike
            for pair in pairs[wanted - total]
            if not {*map(abs, head)} & {*map(abs, pair)}
        ]
        if found:
            return min(found, key=lambda signed: (-sum(n for n in signed if n < 0), sorted(signed)))
    return None


@lru_cache(maxsize=16)  # a shop has few sets
def _pairs(pieces: tuple[int, ...]) -> dict[int, tuple[_Signed, ...]]:
    """Every two signed pieces, by what they add up to."""
    found: dict[int, list[_Signed]] = {}
    for one, other in combinations(pieces, 2):
        for pair in ((one, other), (one, -other), (-one, other), (-one, -other)):
            found.setdefault(pair[0] + pair[1], []).append(pair)
    return {total: tuple(each) for total, each in found.items()}


def _triples(pieces: tuple[int, ...]) -> _Choices:
    for one, other, third in combinations(pieces, 3):
        for signs in product((1, -1), repeat=3):
            three = (one * signs[0], other * signs[1], third * signs[2])
            yield sum(three), (three,)
