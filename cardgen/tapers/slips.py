"""Sets of slip gauges: the pieces in the box, as exact fractions."""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from cardgen.tapers.datafile import Confidence, DataFileError, Entry, read
from cardgen.tapers.lookup import words_of
from cardgen.tapers.printed import Unit, exact
from cardgen.tapers.series import read_unit


@dataclass(frozen=True)
class SlipSet:
    """A set of slip gauges; every piece is there once."""

    name: str
    spellings: tuple[str, ...]
    unit: Unit
    sizes: tuple[Fraction, ...]  # in the set's own unit, smallest first
    source: str
    confidence: Confidence
    note: str | None


@cache
def slip_sets() -> tuple[SlipSet, ...]:
    """Every known set of slip gauges."""
    return tuple(
        _slip_set(entry) for entry in Entry(read("slip_sets.yaml"), "slip_sets.yaml").entries("sets")
    )


def slip_set(name: str) -> SlipSet | None:
    """The set of this name, its words in any order ('81 inch', 'inch 81'); None where there is none."""
    wanted = sorted(_words(name))
    for known in slip_sets():
        if any(sorted(_words(spelling)) == wanted for spelling in (known.name, *known.spellings)):
            return known
    return None


def _words(text: str) -> list[str]:
    """The words that tell sets apart: '81-piece inch set' is '81 inch'."""
    return [
        word for word in words_of(text) if word not in {"piece", "pieces", "set", "slip", "gauge", "gauges"}
    ]


def _slip_set(entry: Entry) -> SlipSet:
    sizes = [size for run in entry.entries("runs") for size in _run(run)]
    sizes += [exact(text) for text in entry.texts("singles")]
    if len(set(sizes)) != len(sizes) or len(sizes) != int(entry.text("pieces")):
        raise DataFileError(
            f"{entry.where}: {len(sizes)} pieces, {len(set(sizes))} different, are not the set's"
        )
    found = SlipSet(
        name=entry.text("name"),
        spellings=entry.texts("also"),
        unit=read_unit(entry),
        sizes=tuple(sorted(sizes)),
        source=entry.text("source"),
        confidence=entry.confidence(),
        note=entry.optional_text("note"),
    )
    entry.end()
    return found


def _run(entry: Entry) -> list[Fraction]:
    """The pieces of one evenly stepped run, both ends included."""
    first, last, step = (exact(entry.text(key)) for key in ("from", "to", "step"))
    entry.end()
    steps = (last - first) / step
    if steps.denominator != 1:
        raise DataFileError(f"{entry.where}: the step does not go from the first piece to the last")
    return [first + step * number for number in range(int(steps) + 1)]
