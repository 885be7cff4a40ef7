"""Tapers: a line each, conversions, the standard sizes, and answers about them."""

from dataclasses import dataclass
from typing import Literal

from cardgen.terms import OneEnd, System


@dataclass(frozen=True)
class TaperLine:
    """A taper with a line of its own in the tables: sizes of one series that taper alike, or a callout."""

    name: str
    callout: str
    ratio: float
    half_angle_deg: float
    series: str | None  # of the library; None for a taper of the shop that is no standard


@dataclass(frozen=True)
class LineFigures:
    """A taper and its figures, one for each column of the table."""

    line: TaperLine
    figures: tuple[float, ...]


@dataclass(frozen=True)
class Conversion:
    """One taper in every form of callout."""

    given: str  # the form it was chosen in: '5/8', '1:12'; empty for per cent and angles, which are plain
    per_foot_in: float
    ratio_1_to: float
    per_cent: float
    half_angle_deg: float
    included_angle_deg: float


@dataclass(frozen=True)
class Conversions:
    """The same conversion entered by each form of callout."""

    by_per_foot: tuple[Conversion, ...]
    by_ratio: tuple[Conversion, ...]
    by_per_cent: tuple[Conversion, ...]
    by_angle: tuple[Conversion, ...]


@dataclass(frozen=True)
class Printed:
    """A length of a standard taper, as its source prints it."""

    mm: float
    text: str
    unit: System
    about: bool  # rounded by its source: in the other unit it has no more digits either


@dataclass(frozen=True)
class StandardSize:
    """One size of a standard taper."""

    size: str
    callout: str
    per_foot_in: float
    ratio_1_to: float
    half_angle_deg: float
    large: Printed | None
    small: Printed | None
    length: Printed | None
    projection: Printed | None


@dataclass(frozen=True)
class Remark:
    """What is to be told of a series, or of some of its sizes.

    `conflict`: what another source prints for a figure and why it is not used; `source`: figures that come
    from elsewhere than the series' own source; `disagrees`: figures that do not agree among themselves.
    """

    kind: Literal["conflict", "source", "disagrees", "note"]
    sizes: tuple[str, ...]  # none: of the series
    prints: tuple[str, ...]  # of a conflict: what the other source prints, for each size in turn
    text: str
    figure: str = ""
    source: str = ""


@dataclass(frozen=True)
class StandardSeries:
    """A series of standard tapers."""

    name: str
    title: str
    unit: System
    planes: str
    gauge_line_at: OneEnd | None
    one_taper: bool  # whether all its sizes taper alike
    fractions: bool  # whether a size such as 3/4 is a common fraction; 10/19 names two sizes
    all_per_foot: bool  # whether every size's taper is given as a decimal taper per foot
    sizes: tuple[StandardSize, ...]
    source: str
    confidence: str
    remarks: tuple[Remark, ...]


@dataclass(frozen=True)
class TaperMatch:
    """A standard taper that answers a question, or comes near it."""

    name: str
    size: StandardSize
    gauge_line_at: OneEnd | None
    alike: int  # sizes of its series that taper alike, itself counted
    difference_mm: float | None  # asked about less standard, on the diameter over the length; None by name
    agrees: bool  # by name, or within what the rounding of the figures explains
    beyond_gauge_line_mm: float | None  # how far the piece's large end lies past the gauge line


@dataclass(frozen=True)
class TaperAnswer:
    """What was asked of the library of tapers, and what it has."""

    asked_by: Literal["all", "name", "taper", "ends"]
    ratio: float | None  # of the taper asked about
    over_mm: float  # the length that differences are told over
    matches: tuple[TaperMatch, ...]
    series: tuple[StandardSeries, ...]  # of the matches, where something is to be told of them
    suggestions: tuple[str, ...]  # names that look like the one asked about, where nothing was found
