"""What differs between a card and the one that takes its place, and what is told of it: plain data."""

import re
from dataclasses import dataclass
from typing import Any, Literal

from cardgen.terms import Units

# Endings of the values' names, the longer before those that they end in.
UNITS = {
    "_mm_per_m": " mm/m",
    "_mm_min": " mm/min",
    "_m_min": " m/min",
    "_m_s": " m/s",
    "_arcsec": "″",
    "_deg": "°",
    "_mm3": " mm³",
    "_mm": " mm",
    "_rpm": " rpm",
    "_in": " in",
    "_s": " s",
    "_k": " K",
}
STEP = re.compile(r"([^.\[\]]+)|\[([^=\]]*)=([^\]]*)\]")


@dataclass(frozen=True)
class LineChange:
    """A line of a spec; empty where there was, or is, none."""

    line: int  # in the file as it is now
    old: str
    new: str


@dataclass(frozen=True)
class Cause:
    """One input that is not what the card was made from."""

    name: str
    file: str
    what: Literal["changed", "added", "dropped"]
    lines: tuple[LineChange, ...]


@dataclass(frozen=True)
class Change:
    """A value of the card; None where there was, or is, none. Rows are told by what stands first in
    them: 'stock_table[reading_mm=3.5].stock_mm'."""

    path: str
    old: Any
    new: Any

    @property
    def label(self) -> str:
        """'stages, rough, stock'."""
        return path_words(self.path)[0]


@dataclass(frozen=True)
class Notice:
    """All that a notice says: take these copies down, and put up the new card where there is one."""

    part_id: str
    name: str  # the part's, as the new card titles it
    units: Units  # how the part's paper shows values
    old_code: str
    new_code: str  # empty where no card takes its place
    old_revision: str
    new_revision: str
    revision_not_raised: bool  # values of the part changed under the same revision
    causes: tuple[Cause, ...]
    because: tuple[str, ...]  # the causes, a line each
    changes: tuple[Change, ...]
    posted_at: tuple[str, ...]  # where the replaced card's copies hang
    old_issue: int = 1
    new_issue: int = 1
    paper: str = "card"  # or booklet; strip and record sheet go with their card
    entered: bool = False  # the places are those where copies hang as entered, not where the card says


def path_words(path: str) -> tuple[str, str]:
    """'stages[name=rough].reading_mm' → ('stages, rough, reading', ' mm')."""
    words, unit = [], ""
    for key, row_key, row_value in STEP.findall(path):
        if key:
            word, unit = _without_unit(key)
            words.append(word)
        elif row_key in ("name", "code"):
            words.append(row_value)
        else:
            word, row_unit = _without_unit(row_key)
            words.append(f"{word} {row_value}{row_unit}")
    return ", ".join(words), unit


def _without_unit(key: str) -> tuple[str, str]:
    for ending, unit in UNITS.items():
        if key.endswith(ending):
            return key.removesuffix(ending).replace("_", " "), unit
    return key.replace("_", " "), ""
