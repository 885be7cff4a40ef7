"""Centre holes that a piece is ground on: the sizes of the standards."""

from dataclasses import dataclass
from functools import cache

from cardgen.tapers.datafile import Confidence, Entry, read
from cardgen.tapers.printed import Length, Unit
from cardgen.tapers.series import read_unit


@dataclass(frozen=True)
class CentreHole:
    """One size: the drill, the cone of 60° at its mouth, a protecting chamfer around it, its depth."""

    size: str
    drill: Length
    cone: Length
    protected: Length | None
    depth: Length | None  # the least, without a chamfer


@dataclass(frozen=True)
class CentreHoles:
    """The centre holes of one standard."""

    name: str
    unit: Unit
    sizes: tuple[CentreHole, ...]
    source: str
    confidence: Confidence


@cache
def centre_holes() -> tuple[CentreHoles, ...]:
    """Every table of centre holes, metric and inch."""
    return tuple(
        _table(entry) for entry in Entry(read("centre_holes.yaml"), "centre_holes.yaml").entries("tables")
    )


def _table(entry: Entry) -> CentreHoles:
    unit = read_unit(entry)
    sizes = []
    for item in entry.entries("sizes"):
        drill, cone = (Length(item.text(key), unit) for key in ("drill", "cone"))
        more = (item.optional_text(key) for key in ("protected", "depth"))
        protected, depth = (Length(text, unit) if text else None for text in more)
        sizes.append(CentreHole(item.text("size"), drill, cone, protected, depth))
        item.end()
    found = CentreHoles(entry.text("name"), unit, tuple(sizes), entry.text("source"), entry.confidence())
    entry.end()
    return found
