"""The library's data files and the demo shop's records, read plainly: what the booklet is made from."""

import re
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache, cached_property
from pathlib import Path
from typing import Any

import mpmath
import yaml
from mpmath import mpf

from tests.booklet.reckoner import INCH, exact
from tests.plain_data import read

TOP = Path(__file__).parents[2]
DATA = TOP / "cardgen" / "tapers" / "data"
RATES = ("ratio", "taper_per_foot", "per_cent", "included_angle", "half_angle")
UNITS = {"mm": mpf(1), "in": INCH, "deg": mpmath.pi / 180, "arcmin": mpmath.pi / 10800}


@dataclass(frozen=True)
class Rate:
    """How fast a standard tapers, as its file says it."""

    kind: str
    text: str

    @property
    def fraction(self) -> Fraction | None:
        if self.kind == "ratio":
            change, long = self.text.split(":")
            return Fraction(change) / Fraction(long)
        if self.kind == "taper_per_foot":
            return sum((Fraction(word) for word in self.text.split()), Fraction(0)) / 12
        return Fraction(self.text) / 100 if self.kind == "per_cent" else None

    @cached_property
    def half_angle(self) -> mpf:
        if self.fraction is not None:
            return mpmath.atan(exact(self.fraction) / 2)
        parts = dict(
            re.findall(r"([\d.]+) (deg|min|s)", self.text)[i][::-1]
            for i in range(self.text.count(" ") // 2 + 1)
        )
        angle = sum(
            exact(parts.get(unit, "0")) / part for unit, part in (("deg", 1), ("min", 60), ("s", 3600))
        )
        return angle * mpmath.pi / 180 / (2 if self.kind == "included_angle" else 1)

    @property
    def ratio(self) -> mpf:
        return exact(self.fraction) if self.fraction is not None else 2 * mpmath.tan(self.half_angle)

    @property
    def callout(self) -> str:
        """As a drawing calls it."""
        match self.kind:
            case "taper_per_foot":
                return f"{self.text.removeprefix('0') if self.text.startswith('0.') else self.text} in/ft"
            case "per_cent":
                return f"{self.text} %"
            case "ratio":
                return self.text
        marks = self.text.replace(" deg", "°").replace(" min", "′").replace(" s", "″").replace(" ", "")
        return f"{marks} {'included' if self.kind == 'included_angle' else 'half angle'}"


@dataclass(frozen=True)
class Size:
    series: str
    label: str
    size: str
    rate: Rate
    lengths: dict[str, str] = field(hash=False)

    @property
    def name(self) -> str:
        return self.label.replace("{size}", self.size).strip()


@dataclass(frozen=True)
class Series:
    name: str
    label: str
    unit: str
    sizes: tuple[Size, ...]
    raw: dict[str, Any] = field(hash=False)

    @property
    def one_taper(self) -> bool:
        return len({size.rate.callout for size in self.sizes}) == 1

    @property
    def all_per_foot(self) -> bool:
        return all(size.rate.kind == "taper_per_foot" and "/" not in size.rate.text for size in self.sizes)

    @property
    def tapers_below(self) -> bool:
        """Whether its few tapers are told below its table of many sizes, each once."""
        tapers = {size.rate.callout for size in self.sizes}
        return not self.one_taper and 4 * len(tapers) <= len(self.sizes)


@cache
def all_series() -> tuple[Series, ...]:
    """Every series, in the order of the index file."""
    return tuple(_series(line["file"]) for line in read(DATA / "index.yaml")["series"])


def _series(file: str) -> Series:
    raw = read(DATA / "series" / file)
    sizes = []
    for item in raw["sizes"]:
        kind = next((key for key in RATES if key in item), None)
        holder = item if kind else raw
        kind = kind or next(key for key in RATES if key in raw)
        lengths = {
            key: item[key]
            for key in ("large", "small", "length", "projection", "tang", "flange")
            if key in item
        }
        sizes.append(Size(raw["series"], raw["label"], item["size"], Rate(kind, holder[kind]), lengths))
    return Series(raw["series"], raw["label"], raw["unit"], tuple(sizes), raw)


@dataclass(frozen=True)
class Family:
    """Sizes of one series that taper alike: one line of the tables."""

    series: str
    sizes: frozenset[str]
    rate: Rate


@cache
def families() -> frozenset[Family]:
    """Every line that the tables must have."""
    found: dict[tuple[str, str], list[Size]] = {}
    for series in all_series():
        for size in series.sizes:
            found.setdefault((series.name, size.rate.callout), []).append(size)
    return frozenset(
        Family(name, frozenset(size.size for size in sizes), sizes[0].rate)
        for (name, _), sizes in found.items()
    )


@cache
def named(name: str) -> Family:
    """The line that a name of the booklet stands for: 'Morse 3', 'Jarno', 'Brown & Sharpe 1, 2, 3'."""
    for family in families():
        series = next(each for each in all_series() if each.name == family.series)
        if name == series.name and len(family.sizes) == len(series.sizes):
            return family
        prefix = series.label.replace("{size}", "")
        sizes = name.removeprefix(prefix).split(", ") if name.startswith(prefix) and prefix.strip() else []
        first, _, last = name.removeprefix(prefix).partition(" to ")
        if last and name.startswith(prefix) and {first, last} < family.sizes and len(family.sizes) > 6:
            return family
        if frozenset(sizes) == family.sizes or (
            len(family.sizes) == 1
            and name == series.label.replace("{size}", next(iter(family.sizes))).strip()
        ):
            return family
    raise LookupError(f"the booklet names {name!r}, which is no line of the library")


@cache
def records(kind: str) -> dict[str, dict[str, Any]]:
    """The demo shop's records of a kind, by id."""
    found = {}
    for path in sorted((TOP / "specs").glob("*.yaml")):
        # '[45, 70] rpm' is the shop's own way of writing a list with its unit
        text = re.sub(r"(\[[^]]*\]) rpm", r"\1", path.read_text("utf-8"))
        for record in yaml.safe_load_all(text):
            if record and record["kind"] == kind:
                found[record["id"]] = record
    return found


def quantity(text: str) -> mpf:
    """'1/10 in', '250 mm', '9 deg', '30 arcmin': in mm or rad."""
    number, unit = text.rsplit(" ", 1)
    return exact(number) * UNITS[unit]


@cache
def slip_pieces(name: str) -> tuple[Fraction, ...]:
    """Every piece of a set, in its own unit."""
    (found,) = (each for each in read(DATA / "slip_sets.yaml")["sets"] if each["name"] == name)
    pieces = [Fraction(single) for single in found.get("singles", [])]
    for run in found["runs"]:
        first, last, step = (Fraction(run[key]) for key in ("from", "to", "step"))
        pieces += [first + step * number for number in range(int((last - first) / step) + 1)]
    assert len(pieces) == int(found["pieces"])
    return tuple(pieces)


@cache
def coefficients() -> dict[str, mpf]:
    """Expansion, 1/K, by the alloy that its source's figure is for."""
    found = {}
    for entry in read(DATA / "materials.yaml")["expansion"]:
        per_k = Fraction(entry["value"]) / 10**6 * (Fraction(9, 5) if entry["per"] == "F" else 1)
        found[entry["name"]] = exact(per_k)
    return found
