"""What a booklet says: every figure of its tables, as plain frozen data that paper can draw.

Lengths are in mm, angles in degrees (small ones in arc seconds), diameters and stock on the diameter.
Nothing here is rounded: rounding happens once, where a figure is written.
"""

from cardgen.booklet.tables.proofs import (
    AngleGrades,
    ExpansionLine,
    GradeRow,
    GrowthRow,
    GrowthTable,
    RollTable,
    SineAngles,
    SineRow,
    SineTable,
    WarmReadings,
)
from cardgen.booklet.tables.setting_up import (
    BlueTable,
    Corrections,
    LightTable,
    MachineTables,
    ReadingStock,
    ScaleHead,
    ScaleMark,
    ScrewRow,
    StockScale,
    StockTable,
    SwivelRow,
    TestBarTable,
    TurnRow,
    TurnTable,
)
from cardgen.booklet.tables.system import System
from cardgen.booklet.tables.taper_forms import (
    Conversion,
    Conversions,
    LineFigures,
    Printed,
    Remark,
    StandardSeries,
    StandardSize,
    TaperAnswer,
    TaperLine,
    TaperMatch,
)
from cardgen.booklet.tables.whole import Booklet, PartPage, SourceLine

__all__ = [
    "AngleGrades",
    "BlueTable",
    "Booklet",
    "Conversion",
    "Conversions",
    "Corrections",
    "ExpansionLine",
    "GradeRow",
    "GrowthRow",
    "GrowthTable",
    "LightTable",
    "LineFigures",
    "MachineTables",
    "PartPage",
    "Printed",
    "ReadingStock",
    "Remark",
    "RollTable",
    "ScaleHead",
    "ScaleMark",
    "ScrewRow",
    "SineAngles",
    "SineRow",
    "SineTable",
    "SourceLine",
    "StandardSeries",
    "StandardSize",
    "StockScale",
    "StockTable",
    "SwivelRow",
    "System",
    "TaperAnswer",
    "TaperLine",
    "TaperMatch",
    "TestBarTable",
    "TurnRow",
    "TurnTable",
    "WarmReadings",
]
