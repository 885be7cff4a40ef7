"""Angle grades, and what warmth does to size and reading."""

from collections.abc import Sequence

from cardgen import tapers
from cardgen.booklet.tables import (
    AngleGrades,
    ExpansionLine,
    GradeRow,
    GrowthRow,
    GrowthTable,
    LineFigures,
    TaperLine,
    WarmReadings,
)
from cardgen.card.stacks import ARCSEC
from cardgen.compute import inspection, warmth
from cardgen.terms import MM, System

WARMER_K = (1.0, 2.0, 3.0, 5.0, 8.0, 10.0, 15.0, 20.0, 30.0)
DIAMETERS: dict[System, tuple[float, ...]] = {
    "mm": (10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0, 120.0, 150.0, 200.0, 250.0, 300.0),
    "in": (0.25, 0.5, 0.75, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0),
}
GROWTHS: dict[System, tuple[float, ...]] = {
    "mm": (0.001, 0.002, 0.003, 0.004, 0.005, 0.006, 0.008, 0.010, 0.015, 0.020),
    "in": (0.0001, 0.0002, 0.0003, 0.0004, 0.0005, 0.0006, 0.0008, 0.0010, 0.0015, 0.0020),
}


def angle_grades() -> AngleGrades:
    """The whole table of grades, as angles and as a difference of diameters."""
    known = tapers.angle_grades()
    ranges = dict.fromkeys((entry.over_mm, entry.to_mm) for entry in known)
    rows = []
    for over, upto in ranges:
        zones = [entry.at_alpha_rad for entry in known if (entry.over_mm, entry.to_mm) == (over, upto)]
        rows.append(
            GradeRow(
                over_mm=over,
                to_mm=upto,
                microradians=tuple(zone * 1e6 for zone in zones),
                arcsec=tuple(zone * ARCSEC for zone in zones),
                on_diameter_mm=tuple(inspection.angle_tolerance_on_diameter(zone, upto) for zone in zones),
            )
        )
    return AngleGrades(tapers.grade_names(), tuple(rows), known[0].source, known[0].confidence)


def expansions() -> tuple[ExpansionLine, ...]:
    """Every group of material a part may name, with its coefficient."""
    return tuple(expansion_line(group) for group in tapers.material_groups())


def expansion_line(group: str) -> ExpansionLine:
    """One group of material with its coefficient."""
    found = tapers.expansion(group)
    return ExpansionLine(group, found.value_for, found.coefficient_per_k, found.source, found.confidence)


def growth_table(of: ExpansionLine, system: System) -> GrowthTable:
    """Growth on the diameter, by diameter and by how much warmer the work is."""
    diameters = [each * MM[system] for each in DIAMETERS[system]]
    return GrowthTable(
        system=system,
        expansion=of,
        warmer_k=WARMER_K,
        rows=tuple(
            GrowthRow(each, tuple(warmth.growth(each, of.per_k, warmer) for warmer in WARMER_K))
            for each in diameters
        ),
    )


def warm_readings(common: Sequence[TaperLine], system: System) -> WarmReadings:
    """How far the reading moves for each growth, at each of the common tapers."""
    growths = tuple(each * MM[system] for each in GROWTHS[system])
    return WarmReadings(
        system=system,
        growths_mm=growths,
        rows=tuple(
            LineFigures(
                line, tuple(warmth.reading_when_warm("shoulder_gap", grown, line.ratio) for grown in growths)
            )
            for line in common
        ),
    )
