"""What is usual for a group of material: work speed, traverse, infeed, wheel speed, thermal expansion."""

import difflib
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from cardgen.tapers.datafile import Confidence, DataFileError, Entry, read
from cardgen.tapers.printed import MM_PER_UNIT, exact
from cardgen.tapers.series import Conflict, read_conflicts

_TO_M_MIN = {"m/min": Fraction(1), "ft/min": Fraction("0.3048")}
_TO_M_S = {"m/s": Fraction(1), "m/min": Fraction(1, 60), "ft/min": Fraction("0.3048") / 60}
_TO_PER_K = {"K": Fraction(1), "F": Fraction(9, 5)}


@dataclass(frozen=True)
class Range:
    """What a source gives as usual; both ends alike where it gives one figure."""

    low: float
    high: float

    @property
    def middle(self) -> float:
        return (self.low + self.high) / 2


@dataclass(frozen=True)
class Practice:
    """Usual practice of traverse grinding between centres for one group of material.

    The sources do not say whether an infeed is on the diameter; taken so, it is the more careful.
    """

    group: str
    practice_for: str  # the words of the source: what material its figures are for
    work_speed: Range  # m/min
    rough_traverse: Range  # fraction of the wheel's width, a turn of the work
    finish_traverse: Range
    rough_infeed: Range  # mm a pass, as the source gives it
    finish_infeed: Range
    wheel_speed: Range  # m/s
    source: str
    confidence: Confidence
    conflicts: tuple[Conflict, ...]

    @property
    def work_speed_m_min(self) -> float:
        return self.work_speed.middle

    @property
    def rough_fraction(self) -> float:
        return self.rough_traverse.middle

    @property
    def finish_fraction(self) -> float:
        return self.finish_traverse.middle


@dataclass(frozen=True)
class Expansion:
    """Coefficient of thermal expansion of a group of material: that of one named alloy."""

    group: str
    value_for: str  # the alloy that the source's figure is for
    coefficient_per_k: float
    source: str
    confidence: Confidence
    conflicts: tuple[Conflict, ...]


@dataclass(frozen=True)
class _Group:
    name: str
    practice: Practice
    expansion: Expansion


def material_groups() -> tuple[str, ...]:
    """The groups a part may name."""
    return tuple(dict.fromkeys(group.name for group in _known()[0].values()))


def grinding_practice(group: str) -> Practice:
    """Usual practice of a material group; LookupError, naming the nearest group, where there is none."""
    return _group(group).practice


def expansion(group: str) -> Expansion:
    """Thermal expansion of a material group; LookupError, naming the nearest group, where there is none."""
    return _group(group).expansion


def _group(name: str) -> _Group:
    groups, divided = _known()
    wanted = _key(name)
    if wanted in divided:
        raise LookupError(f"{name!r} takes in metals that expand unlike; name {divided[wanted]}")
    if wanted not in groups:
        close = difflib.get_close_matches(wanted, groups, n=1)
        meant = (
            f"did you mean {groups[close[0]].name}?" if close else f"one of {', '.join(material_groups())}"
        )
        raise LookupError(f"no group of material {name!r}; {meant}")
    return groups[wanted]


def _key(name: str) -> str:
    return " ".join(name.casefold().replace("-", " ").split())


@cache
def _known() -> tuple[dict[str, _Group], dict[str, str]]:
    """Every spelling of every group; every name that was divided, with the groups to name instead."""
    file = Entry(read("materials.yaml"), "materials.yaml")
    practices = {entry.text("name"): entry for entry in file.entries("practice")}
    expansions = {entry.text("name"): entry for entry in file.entries("expansion")}
    found: dict[str, _Group] = {}
    for entry in file.entries("groups"):
        name, practice, value = entry.text("name"), entry.text("practice"), entry.text("expansion")
        if practice not in practices or value not in expansions:
            raise DataFileError(f"{entry.where}: {practice!r} or {value!r} is not in the file")
        group = _Group(name, _practice(name, practices[practice]), _expansion(name, expansions[value]))
        found.update({_key(spelling): group for spelling in (name, *entry.texts("also"))})
        entry.end()
    divided: dict[str, str] = {}
    for entry in file.entries("divided"):
        *first, last = entry.texts("into")
        into = f"{', '.join(first)} or {last}"
        divided.update({_key(name): into for name in (entry.text("name"), *entry.texts("also"))})
        entry.end()
    file.end()
    return found, divided


def _practice(group: str, entry: Entry) -> Practice:
    practice = Practice(
        group=group,
        practice_for=entry.text("name"),
        work_speed=_range(entry.text("work_speed"), _TO_M_MIN),
        rough_traverse=_range(entry.text("rough_fraction"), {"": Fraction(1)}),
        finish_traverse=_range(entry.text("finish_fraction"), {"": Fraction(1)}),
        rough_infeed=_range(entry.text("rough_infeed"), MM_PER_UNIT),
        finish_infeed=_range(entry.text("finish_infeed"), MM_PER_UNIT),
        wheel_speed=_range(entry.text("wheel_speed"), _TO_M_S),
        source=entry.text("source"),
        confidence=entry.confidence(),
        conflicts=read_conflicts(entry),
    )
    entry.end()
    return practice


def _expansion(group: str, entry: Entry) -> Expansion:
    per_k = exact(entry.text("value")) * _TO_PER_K[entry.text("per")]
    value = Expansion(
        group=group,
        value_for=entry.text("name"),
        coefficient_per_k=float(per_k / 10**6),
        source=entry.text("source"),
        confidence=entry.confidence(),
        conflicts=read_conflicts(entry),
    )
    entry.end()
    return value


def _range(text: str, factors: dict[str, Fraction]) -> Range:
    """'low .. high unit' or 'value unit'; the unit is the last word, none for a bare fraction."""
    figures, _, unit = text.rpartition(" ") if "" not in factors else (text, "", "")
    low, _, high = figures.partition(" .. ")
    return Range(float(exact(low) * factors[unit]), float(exact(high or low) * factors[unit]))
