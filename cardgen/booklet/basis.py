"""What every chapter is made from, and the columns and ways of writing that many tables have."""

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from cardgen import tapers
from cardgen.booklet.cones import ConeLine
from cardgen.booklet.tables import Amount, BookColumn, BookTable, Cell, PartPage, Way
from cardgen.terms import INCH, MM, System

if TYPE_CHECKING:
    from cardgen.spec.library import Library
    from cardgen.spec.models import MachineRecord

INCH_BAR = 5 * INCH  # the sine bar of an inch shop that names none; common practice, no source
METRIC_BAR = 100.0
STEEPEST_TABLE = math.radians(
    10
)  # that a table swivels to where the booklet is for no machine; common practice

TAPER = BookColumn("taper")
HALF_ANGLE = BookColumn("half_angle", Way("dms"))


@dataclass(frozen=True)
class Tools:
    """What the shop measures with in one system of units."""

    system: System
    bar_mm: float
    slip_set: tapers.SlipSet | None


@dataclass(frozen=True)
class Basis:
    """The shop, the cones, the machines and the parts that a booklet is for."""

    systems: tuple[System, ...]
    cones: tuple[ConeLine, ...]
    series: tuple[tapers.Series, ...]
    machines: "tuple[MachineRecord, ...]"
    parts: tuple[PartPage, ...]
    tools: tuple[Tools, ...]
    blue_film_mm: float

    @property
    def owned(self) -> tuple[ConeLine, ...]:
        """The cones of fixed use and the shop's own."""
        return tuple(cone for cone in self.cones if cone.owned)

    @property
    def settable(self) -> tuple[ConeLine, ...]:
        """The cones that are set and proved on a grinder."""
        return tuple(cone for cone in self.cones if not cone.seldom)

    @property
    def reached(self) -> tuple[ConeLine, ...]:
        """The cones that some machine's table can be swivelled to."""
        limits = [machine.swivel.limit_rad for machine in self.machines]
        return tuple(cone for cone in self.settable if cone.half_angle <= max(limits, default=STEEPEST_TABLE))


Maker = Callable[[Basis], Iterator[BookTable]]


def tools_of(library: "Library", system: System) -> Tools:
    """The shop's sine bar where it is one of this system, and its first set of slip gauges in it."""
    bar = library.shop.sine_bar_mm
    in_inches = abs(bar / INCH * 2 - round(bar / INCH * 2)) < 1e-9
    fits = in_inches == (system == "in")
    named = [found for name in library.shop.slip_sets if (found := tapers.slip_set(name)) is not None]
    return Tools(
        system=system,
        bar_mm=bar if fits else METRIC_BAR if system == "mm" else INCH_BAR,
        slip_set=next((known for known in named if known.unit == system), None),
    )


def length(digits: int, system: System) -> Way:
    """A length to so many decimals of a millimetre, one more of an inch."""
    return Way("length", digits, system)


def round_length(value_mm: float, system: System) -> Amount:
    """A round length with its unit: 25 mm, .5 in."""
    return Amount(value_mm, Way("round length", system=system))


def own_length(value_mm: float) -> Amount:
    """A length of the shop's in the unit that it is round in: 20 in, 250 mm."""
    inches = value_mm / INCH
    return round_length(value_mm, "in" if abs(inches * 64 - round(inches * 64)) < 1e-9 else "mm")


def round_lengths(name: str, system: System) -> tuple[float, ...]:
    """The round lengths of a name that the tables of a system are made for, in mm."""
    return tuple(value * MM[system] for value in tapers.round_figures(name, system))


def across(key: str, way: Way, heads: Iterable[Amount | str]) -> tuple[BookColumn, ...]:
    """Columns of one key, each headed by what it holds for."""
    return tuple(BookColumn(key, way, head) for head in heads)


def grid(
    given: Sequence[float],
    columns: Sequence[float],
    figure: Callable[[float, float], Cell],
    labels: Sequence[Cell] = (),
) -> tuple[tuple[Cell, ...], ...]:
    """A row for each figure given: its label, else itself, then what follows from it for each column."""
    return tuple(
        (label, *(figure(row, column) for column in columns))
        for label, row in zip(labels or given, given, strict=True)
    )
