"""Centre holes that a piece is ground on: the sizes of the standards."""

from dataclasses import dataclass
from functools import cache

from cardgen.tapers.datafile import Confidence, Entry, read
from cardgen.tapers.printed import Length, Unit
from cardgen.tapers.series import read_unit


@dataclass(frozen=True)
class CentreHole:
    """One size: the drill, the cone of 60° at its mouth, the protecting chamfer around it if any."""

    size: str
    drill: Length
    cone: Length
    protected: Length | None


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
        protected = item.optional_text("protected")
        sizes.append(
            CentreHole(item.text("size"), drill, cone, Length(protected, unit) if protected else None)
        )
        item.end()
    found = CentreHoles(entry.text("name"), unit, tuple(sizes), entry.text("source"), entry.confidence())
    entry.end()
    return found
