"""Tables for proving the taper: sine bar, rolls, angle grades, temperature."""

from dataclasses import dataclass
from typing import Literal

from cardgen.booklet.tables.taper_forms import LineFigures, TaperLine
from cardgen.card.values import SineStack
from cardgen.terms import System


@dataclass(frozen=True)
class SineRow:
    """Height under a sine bar or sine centres for one taper, and the slip gauges under its rolls."""

    line: TaperLine
    angle_deg: float  # the angle set
    height_mm: float
    stack: SineStack | None


@dataclass(frozen=True)
class SineTable:
    """Heights for one bar: a sine bar is set to the included angle, sine centres to the half angle."""

    kind: Literal["bar", "centres"]
    system: System
    length_mm: float
    set_name: str | None
    rows: tuple[SineRow, ...]


@dataclass(frozen=True)
class SineAngles:
    """Heights of a sine bar by degrees and minutes."""

    system: System
    length_mm: float
    minutes: tuple[int, ...]
    degrees: tuple[int, ...]
    heights_mm: tuple[tuple[float, ...], ...]  # a row for each degree


@dataclass(frozen=True)
class RollTable:
    """Over rolls: what two rolls add to the small end, and what raising them adds."""

    system: System
    rolls_mm: tuple[float, ...]
    raises_mm: tuple[float, ...]
    rows: tuple[LineFigures, ...]  # first the rolls, then the raises; mm


@dataclass(frozen=True)
class GradeRow:
    """One range of cone lengths; a figure for each grade."""

    over_mm: float
    to_mm: float
    microradians: tuple[float, ...]
    arcsec: tuple[float, ...]
    on_diameter_mm: tuple[float, ...]  # at the upper end of the range


@dataclass(frozen=True)
class AngleGrades:
    """Full widths of the tolerance zone of the included angle."""

    grades: tuple[str, ...]
    rows: tuple[GradeRow, ...]
    source: str
    confidence: str


@dataclass(frozen=True)
class GrowthRow:
    """Growth on one diameter for each rise of temperature."""

    diameter_mm: float
    growth_mm: tuple[float, ...]


@dataclass(frozen=True)
class ExpansionLine:
    """A group of material and its coefficient of expansion."""

    group: str
    value_for: str
    per_k: float
    source: str
    confidence: str


@dataclass(frozen=True)
class GrowthTable:
    """What warmth adds to the diameter of work of one coefficient of expansion."""

    system: System
    expansion: ExpansionLine
    warmer_k: tuple[float, ...]
    rows: tuple[GrowthRow, ...]


@dataclass(frozen=True)
class WarmReadings:
    """How far the reading of work moves that has grown by so much."""

    system: System
    growths_mm: tuple[float, ...]
    rows: tuple[LineFigures, ...]  # mm of reading
