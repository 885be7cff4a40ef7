"""The whole booklet."""

from dataclasses import dataclass

from cardgen.booklet.tables.proofs import (
    AngleGrades,
    ExpansionLine,
    GrowthTable,
    RollTable,
    SineAngles,
    SineTable,
    WarmReadings,
)
from cardgen.booklet.tables.setting_up import Corrections, MachineTables, StockTable, TestBarTable
from cardgen.booklet.tables.taper_forms import Conversions, StandardSeries, TaperLine
from cardgen.card.values import Card
from cardgen.terms import PaperSize, Units


@dataclass(frozen=True)
class PartPage:
    """A part of the shop, with its card; without one, what keeps it from having one."""

    id: str
    name: str
    card: Card | None
    wrong: str


@dataclass(frozen=True)
class SourceLine:
    """Where figures come from."""

    what: str
    source: str
    confidence: str


@dataclass(frozen=True)
class Booklet:
    """Everything a booklet says."""

    id: str
    title: str
    shop: str
    units: Units
    paper: PaperSize
    code: str
    lines: tuple[TaperLine, ...]
    conversions: Conversions
    standards: tuple[StandardSeries, ...]
    stock: tuple[StockTable, ...]
    machines: tuple[MachineTables, ...]
    test_bars: tuple[TestBarTable, ...]
    corrections: Corrections
    sines: tuple[SineTable, ...]
    sine_angles: tuple[SineAngles, ...]
    rolls: tuple[RollTable, ...]
    grades: AngleGrades
    expansions: tuple[ExpansionLine, ...]
    growth: tuple[GrowthTable, ...]
    warm_readings: tuple[WarmReadings, ...]
    parts: tuple[PartPage, ...]
    sources: tuple[SourceLine, ...]
