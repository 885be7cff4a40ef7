"""What a booklet says, as plain frozen data: one kind of table for all, and words by their names.

Nothing here is rounded and nothing is worded. A figure says how it is to be written (`Way`); a table, a
column and a note name their words (`{table}.title`, `{table}.{column}` … in templates/booklet_tables.j2).
Lengths are in mm, angles in degrees, diameters and stock on the diameter.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from cardgen.terms import BookletTables, OneEnd, PaperSize, System, Units

if TYPE_CHECKING:  # an answer of `cardgen tapers` does not wait for the card
    from cardgen.card.values import Card

Kind = Literal[
    "text",  # words, their common fractions set
    "number",  # with its decimals
    "plain",  # the same without decimals that say nothing
    "inches",  # a number of inches: without its leading nought
    "length",  # mm, written in the way's system; an inch gets one decimal more than a millimetre
    "round length",  # the same without decimals that say nothing, and with its unit
    "dms",  # degrees, minutes, seconds
    "arc",  # seconds of arc, from a minute on as minutes and seconds
    "turns",  # divisions of a screw as whole turns and divisions; `digits`: divisions in a turn
]


@dataclass(frozen=True)
class Way:
    """How a figure is written: its kind, its decimals, the system of a length; with a plus, or not."""

    kind: Kind = "text"
    digits: int = 0
    system: System | None = None
    signed: bool = False


@dataclass(frozen=True)
class Amount:
    """A figure that stands by itself and is written in its own way."""

    value: float
    way: Way
    unit: str = ""  # behind it


@dataclass(frozen=True)
class Worded:
    """Words by their key in the table's words, with what is told in them."""

    key: str
    told: Mapping[str, "str | Amount"] = field(default_factory=dict)


Cell = str | float | Amount | Worded | None  # None: a dash


@dataclass(frozen=True)
class BookColumn:
    """A column: the key of its head, how its figures are written.

    Where several of one key stand side by side, each is headed by the figure it holds for (`at`), and their
    key's words stand over them all. `group` is the key of words over unlike columns, `told` is told in it.
    """

    key: str
    way: Way = Way()
    at: Amount | str | None = None
    group: str = ""
    told: str = ""


@dataclass(frozen=True)
class BookTable:
    """A table of the booklet, whatever it is about.

    `told` stands in its words, `notes` below it; `worked` is the row and the column of its worked line, which
    thus is always a line of the table.
    """

    name: str
    columns: tuple[BookColumn, ...]
    rows: tuple[tuple[Cell, ...], ...]
    system: System | None = None
    told: Mapping[str, str | Amount] = field(default_factory=dict)
    worked: tuple[int, int] | None = None
    notes: tuple[Worded, ...] = ()
    picture: Literal["rubs"] | None = None  # above it


@dataclass(frozen=True)
class Chapter:
    """The tables of one name of the booklet's record, and the sources at its end."""

    name: BookletTables | Literal["sources"]
    tables: tuple[BookTable, ...]


@dataclass(frozen=True)
class IndexEntry:
    """A line of the index: a name, and the table that it leads to."""

    name: str
    of: str  # what it names, behind it
    table: BookTable


@dataclass(frozen=True)
class PartPage:
    """A part of the shop, with its card; without one, what keeps it from having one."""

    id: str
    name: str
    card: "Card | None"
    wrong: str


@dataclass(frozen=True)
class Booklet:
    """Everything a booklet says."""

    id: str
    title: str
    shop: str
    units: Units
    paper: PaperSize
    code: str
    chapters: tuple[Chapter, ...]
    names: tuple[IndexEntry, ...]  # of tapers, trades, parts and machines, for the index
    machines: tuple[tuple[str, str], ...]  # ids and names
    parts: tuple[PartPage, ...]
    with_cards: bool


# ---- answers about standard tapers, for `cardgen tapers` and the booklet's pages of them


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
    tang: Printed | None = None
    flange: Printed | None = None


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
    grade: str  # how true the angle is asked to be; '' where that is not known, or nothing asks for it
    not_known: tuple[str, ...]  # in words, what the standard fixes and the library does not have
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
    """A size of a standard taper, or sizes of one series that taper alike: an answer, or near one."""

    name: str  # of the one, of the few, or of first and last
    sizes: tuple[str, ...]  # their names
    size: StandardSize  # of the first, or of the nearest
    gauge_line_at: OneEnd | None
    confidence: str
    difference_mm: float | None = None  # asked about less standard, on the diameter over the length
    agrees: bool = True  # by name, or within what the rounding of the figures explains
    beyond_gauge_line_mm: float | None = None  # how far the piece's large end lies past the gauge line


SenseKind = Literal[
    "size", "series", "standard", "use", "astray", "rate", "ends", "diameter", "two diameters", "numbered"
]  # fmt: skip


@dataclass(frozen=True)
class TaperSense:
    """One thing that a question may mean, and what the library has for it."""

    kind: SenseKind
    reading: str  # how its figures were read: 'included', 'per foot'
    told: str  # the question in this sense, or what is to be said of the name
    taper: StandardSize | None  # the taper asked about, in every form
    over_mm: float  # the length that differences are told over
    matches: tuple[TaperMatch, ...]  # what it is
    equal: tuple[TaperMatch, ...]  # families of other series that are the same cone
    near: tuple[TaperMatch, ...]  # families that come nearest to it


@dataclass(frozen=True)
class TaperAnswer:
    """What was asked of the library of tapers, and what it has, sense by sense."""

    asked: str
    senses: tuple[TaperSense, ...]
    series: tuple[StandardSeries, ...]  # of what is named, where something is to be told of them
    wrong: str = ""  # why there is no answer, where something is known of it
    suggestions: tuple[str, ...] = ()  # names that look like the one asked about, where nothing was found
