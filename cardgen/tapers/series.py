"""One series of standard tapers: from its data file to frozen records."""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import get_args

from cardgen.tapers.datafile import Confidence, DataFileError, Entry, read
from cardgen.tapers.figures import Length, Rate, RateKind, Unit


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
    large: Length | None
    small: Length | None
    length: Length | None  # from the large diameter to the small one, along the axis
    projection: Length | None  # cone left beyond the gauge line, on the large-end side
    source: str
    confidence: Confidence
    note: str | None
    conflicts: tuple[Conflict, ...]
    disagrees: str | None  # why large − small is not ratio × length within the printed rounding

    @property
    def ratio(self) -> float:
        return self.rate.ratio

    @property
    def ratio_exact(self) -> Fraction | None:
        return self.rate.exact_ratio

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
    gauge_line: str  # where the gauge line lies, in words
    source: str
    confidence: Confidence
    notes: tuple[str, ...]
    conflicts: tuple[Conflict, ...]
    sizes: tuple[StandardTaper, ...]


@cache
def load_series(file: str) -> Series:
    """Read one series file (a name in data/series/); DataFileError where it is not well formed."""
    entry = Entry(read(f"series/{file}"), file)
    unit = entry.text("unit")
    if unit not in get_args(Unit):
        raise DataFileError(f"{file}: unit {unit!r} is neither in nor mm")
    name, label = entry.text("series"), entry.text("label")
    source, confidence = entry.text("source"), entry.confidence()
    gauge_line_at = entry.optional_text("gauge_line_at")
    rate = _rate(entry)
    sizes = tuple(
        _size(item, name, label, "in" if unit == "in" else "mm", gauge_line_at, rate, source, confidence)
        for item in entry.entries("sizes")
    )
    series = Series(
        name=name,
        title=entry.text("title"),
        unit="in" if unit == "in" else "mm",
        gauge_line=entry.text("gauge_line"),
        source=source,
        confidence=confidence,
        notes=entry.texts("notes"),
        conflicts=read_conflicts(entry),
        sizes=sizes,
    )
    entry.end()
    return series


def _size(
    entry: Entry,
    series: str,
    label: str,
    unit: Unit,
    gauge_line_at: str | None,
    series_rate: Rate | None,
    series_source: str,
    series_confidence: Confidence,
) -> StandardTaper:
    def length(key: str) -> Length | None:
        text = entry.optional_text(key)
        return Length(text, unit) if text is not None else None

    size = entry.text("size")
    large, small, gauge_line = length("large"), length("small"), length("gauge_line")
    if gauge_line is None and gauge_line_at is not None:
        gauge_line = {"large": large, "small": small}[gauge_line_at]
    rate = _rate(entry) or series_rate
    if rate is None:
        raise DataFileError(f"{entry.where}: neither the size nor its series says how fast it tapers")
    taper = StandardTaper(
        series=series,
        name=label.replace("{size}", size).strip(),
        size=size,
        spellings=entry.texts("also"),
        rate=rate,
        gauge_line=gauge_line,
        large=large,
        small=small,
        length=length("length"),
        projection=length("projection"),
        source=entry.optional_text("source") or series_source,
        confidence=entry.confidence(series_confidence),
        note=entry.optional_text("note"),
        conflicts=read_conflicts(entry),
        disagrees=entry.optional_text("disagrees"),
    )
    entry.end()
    return taper


def _rate(entry: Entry) -> Rate | None:
    kinds: tuple[RateKind, ...] = get_args(RateKind)
    given = [Rate(kind, text) for kind in kinds if (text := entry.optional_text(kind)) is not None]
    if len(given) > 1:
        raise DataFileError(f"{entry.where}: more than one figure says how fast it tapers")
    return given[0] if given else None


def read_conflicts(entry: Entry) -> tuple[Conflict, ...]:
    found = []
    for item in entry.entries("conflicts"):
        found.append(
            Conflict(item.text("figure"), item.text("prints"), item.text("source"), item.text("because"))
        )
        item.end()
    return tuple(found)
