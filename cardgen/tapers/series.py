"""One series of standard tapers: from its data file to frozen records."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import get_args

from cardgen.tapers.datafile import Confidence, DataFileError, Entry, read
from cardgen.tapers.printed import UNITS, Length, Rate, Unit
from cardgen.terms import OneEnd, RateKind

# What a hand needs to gauge and grind a standard taper: it stands with every size or is said to be unknown.
WANTED = {
    "large": "large end",
    "small": "small end",
    "length": "length",
    "projection": "cone beyond the gauge line",
    "tang": "length with tang",
    "flange": "distance from gauge line to flange",
    "grade": "angle grade asked for",
}


@dataclass(frozen=True)
class Conflict:
    """What another source prints for one figure, and why it is not the one used."""

    figure: str
    prints: str
    source: str
    because: str


@dataclass(frozen=True)
class StandardTaper:
    """One size of a standard taper, each figure as its source prints it; None where the source gives none."""

    series: str
    name: str
    size: str
    spellings: tuple[str, ...]  # other spellings of the size, without the series' name
    rate: Rate
    gauge_line: Length | None  # basic diameter at the gauge line
    gauge_line_at: OneEnd | None  # the end it lies at; None where the standard fixes no size
    large: Length | None
    small: Length | None
    length: Length | None  # from the large diameter to the small one, along the axis
    projection: Length | None  # cone left beyond the gauge line, on the large-end side
    tang: Length | None  # from the gauge line to the end of the tang
    flange: Length | None  # from the gauge line to the flange that the shank hangs by
    source: str
    confidence: Confidence
    note: str | None
    not_known: tuple[str, ...]  # of WANTED, beside what its series says
    not_fixed: tuple[str, ...]
    conflicts: tuple[Conflict, ...]
    disagrees: str | None  # why large − small is not ratio × length within the printed rounding

    @property
    def ratio(self) -> float:
        return self.rate.ratio

    @property
    def ratio_half_digit(self) -> float:
        return float(self.rate.half_digit)

    @property
    def included_angle_rad(self) -> float:
        return self.rate.included_angle

    @property
    def callout_text(self) -> str:
        return str(self.rate)

    @property
    def how_sure(self) -> str:
        """Its confidence; 'in part from memory' where a printed size's source says so of some figure."""
        part = self.confidence == "published" and "memory" in self.source
        return "in part from memory" if part else self.confidence

    @property
    def gauge_line_diameter_mm(self) -> float | None:
        return self.gauge_line.mm if self.gauge_line else None

    @property
    def large_diameter_mm(self) -> float | None:
        return self.large.mm if self.large else None

    @property
    def small_diameter_mm(self) -> float | None:
        return self.small.mm if self.small else None

    @property
    def length_mm(self) -> float | None:
        return self.length.mm if self.length else None


@dataclass(frozen=True)
class Series:
    """A family of standard tapers, with what holds for all of them."""

    name: str
    title: str  # what it is and where it is used
    unit: Unit
    planes: str  # where the gauge line lies and what the length spans, in words
    grade: (
        str  # how true the angle is asked to be, in words; '' where that is not known or nothing asks for it
    )
    not_known: tuple[str, ...]  # of WANTED, what the standard fixes and the library does not have
    not_fixed: tuple[str, ...]  # of WANTED, what the standard leaves open or has not
    source: str
    confidence: Confidence
    notes: tuple[str, ...]
    conflicts: tuple[Conflict, ...]
    sizes: tuple[StandardTaper, ...]


@dataclass(frozen=True)
class _Head:
    """What the head of a series file says for every size that does not say otherwise."""

    series: str
    label: str
    unit: Unit
    gauge_line_at: OneEnd | None
    rate: Rate | None
    source: str
    confidence: Confidence


@cache
def load_series(file: str) -> Series:
    """Read one series file (a name in data/series/); DataFileError where it is not well formed."""
    entry = Entry(read(f"series/{file}"), file)
    head = _Head(
        series=entry.text("series"),
        label=entry.text("label"),
        unit=read_unit(entry),
        gauge_line_at=_gauge_line_at(entry),
        rate=_rate(entry),
        source=entry.text("source"),
        confidence=entry.confidence(),
    )
    series = Series(
        name=head.series,
        title=entry.text("title"),
        unit=head.unit,
        planes=entry.text("planes"),
        grade=entry.optional_text("grade") or "",
        not_known=_wanted(entry, "not_known"),
        not_fixed=_wanted(entry, "not_fixed"),
        source=head.source,
        confidence=head.confidence,
        notes=entry.texts("notes"),
        conflicts=read_conflicts(entry),
        sizes=tuple(_size(item, head) for item in entry.entries("sizes")),
    )
    entry.end()
    return series


def _size(entry: Entry, head: _Head) -> StandardTaper:
    size, rate = entry.text("size"), _rate(entry) or head.rate
    if rate is None:
        raise DataFileError(f"{entry.where}: neither the size nor its series says how fast it tapers")
    large, small = _length(entry, "large", head.unit), _length(entry, "small", head.unit)
    taper = StandardTaper(
        series=head.series,
        name=head.label.replace("{size}", size).strip(),
        size=size,
        spellings=entry.texts("also"),
        rate=rate,
        gauge_line={"large": large, "small": small, None: None}[head.gauge_line_at],
        gauge_line_at=head.gauge_line_at,
        large=large,
        small=small,
        length=_length(entry, "length", head.unit),
        projection=_length(entry, "projection", head.unit),
        tang=_length(entry, "tang", head.unit),
        flange=_length(entry, "flange", head.unit),
        source=entry.optional_text("source") or head.source,
        confidence=entry.confidence(head.confidence),
        note=entry.optional_text("note"),
        not_known=_wanted(entry, "not_known"),
        not_fixed=_wanted(entry, "not_fixed"),
        conflicts=read_conflicts(entry),
        disagrees=entry.optional_text("disagrees"),
    )
    entry.end()
    return taper


def _wanted(entry: Entry, key: str) -> tuple[str, ...]:
    given = (entry.optional_text(key) or "").split()
    strange = sorted(set(given) - set(WANTED))
    if strange:
        raise DataFileError(f"{entry.where}: {key}: {', '.join(strange)} is none of {', '.join(WANTED)}")
    return tuple(given)


def read_unit(entry: Entry) -> Unit:
    text = entry.text("unit")
    for unit in UNITS:
        if text == unit:
            return unit
    raise DataFileError(f"{entry.where}: unit {text!r} is neither in nor mm")


def _gauge_line_at(entry: Entry) -> OneEnd | None:
    text = entry.optional_text("gauge_line_at")
    for end in get_args(OneEnd):
        if text == end:
            return end  # type: ignore[no-any-return]
    if text is None:
        return None
    raise DataFileError(f"{entry.where}: gauge_line_at {text!r} is neither large nor small")


def _length(entry: Entry, key: str, unit: Unit) -> Length | None:
    text = entry.optional_text(key)
    if text is None:
        return None
    length = Length(text.removeprefix("about "), unit, about=text.startswith("about "))
    _checked(entry, lambda: length.exact_mm)
    return length


def _rate(entry: Entry) -> Rate | None:
    kinds: tuple[RateKind, ...] = get_args(RateKind)
    given = [Rate(kind, text) for kind in kinds if (text := entry.optional_text(kind)) is not None]
    if len(given) > 1:
        raise DataFileError(f"{entry.where}: more than one figure says how fast it tapers")
    if not given:
        return None
    _checked(entry, lambda: given[0].ratio)
    return given[0]


def _checked(entry: Entry, figure: Callable[[], object]) -> None:
    """A figure that is no number is told where it stands, when the file is read and not when it is used."""
    try:
        figure()
    except ValueError as error:
        raise DataFileError(f"{entry.where}: {error}") from error


def read_conflicts(entry: Entry) -> tuple[Conflict, ...]:
    found = []
    for item in entry.entries("conflicts"):
        found.append(
            Conflict(item.text("figure"), item.text("prints"), item.text("source"), item.text("because"))
        )
        item.end()
    return tuple(found)
