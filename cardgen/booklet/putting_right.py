"""Correction: how far to turn for an error of taper, and what blue and light say of the error."""

import math
from collections.abc import Sequence

from cardgen.booklet.lines import same
from cardgen.booklet.tables import (
    BlueTable,
    Corrections,
    LightTable,
    LineFigures,
    TaperLine,
    TurnRow,
    TurnTable,
)
from cardgen.card.stacks import ARCSEC
from cardgen.compute import correction
from cardgen.terms import MM, System

# Ratios that the trade meets most; the tables of correction are for these and for the shop's own parts.
COMMON_ONE_IN = (50.0, 20.0, 16.0, 12.0, 10.0, 8.0, 5.0, 4.0, 24 / 7)
FEW = 12
PLAINLY_NAMED = "ISO 1119"  # of several names for one taper the series whose names are the ratios themselves
ERRORS: dict[System, tuple[float, ...]] = {
    "mm": (
        0.001,
        0.002,
        0.003,
        0.004,
        0.005,
        0.006,
        0.008,
        0.010,
        0.012,
        0.015,
        0.020,
        0.025,
        0.030,
        0.040,
        0.050,
    ),
    "in": (
        *(0.0001, 0.0002, 0.0003, 0.0004, 0.0005, 0.0006, 0.0008),
        *(0.0010, 0.0012, 0.0015, 0.0020, 0.0025, 0.0030, 0.0040, 0.0050),
    ),
}
LENGTHS: dict[System, tuple[float, ...]] = {
    "mm": (20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0, 125.0, 150.0, 200.0),
    "in": (0.75, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0),
}
FILMS: dict[System, tuple[float, ...]] = {
    "mm": (0.001, 0.002, 0.003, 0.004, 0.005, 0.006, 0.008, 0.010),
    "in": (0.00005, 0.0001, 0.00015, 0.0002, 0.00025, 0.0003, 0.0004, 0.0005),
}
GAPS: dict[System, tuple[float, ...]] = {
    "mm": (0.001, 0.002, 0.003, 0.004, 0.005, 0.006, 0.008, 0.010, 0.015, 0.020),
    "in": (0.00005, 0.0001, 0.00015, 0.0002, 0.00025, 0.0003, 0.0004, 0.0005, 0.0008, 0.001),
}
MARKED = ((1, 5), (1, 4), (1, 3), (2, 5), (1, 2), (3, 5), (2, 3), (3, 4), (4, 5), (1, 1))


def common_lines(found: Sequence[TaperLine], of_parts: Sequence[float]) -> tuple[TaperLine, ...]:
    """The tapers that the trade meets most and those of the parts, one line for each, the shallow first.

    A booklet of few tapers has them all.
    """
    wanted = [*(1 / each for each in COMMON_ONE_IN), *of_parts]
    chosen: list[TaperLine] = []
    for line in sorted(found, key=lambda each: each.ratio):
        if len(found) > FEW and not any(same(line.ratio, ratio) for ratio in wanted):
            continue
        if not chosen or not same(chosen[-1].ratio, line.ratio):
            chosen.append(line)
        elif line.series == PLAINLY_NAMED:
            chosen[-1] = line
    return tuple(chosen)


def corrections(common: Sequence[TaperLine], systems: tuple[System, ...], shop_film_mm: float) -> Corrections:
    """Every table that goes with putting the taper right."""
    return Corrections(
        turns=tuple(_turns(line, system) for system in systems for line in common),
        blue=tuple(_blue(system) for system in systems),
        light=tuple(_light(system, common) for system in systems),
        shop_film_mm=shop_film_mm,
    )


def _turns(line: TaperLine, system: System) -> TurnTable:
    lengths = tuple(length * MM[system] for length in LENGTHS[system])
    rows = [
        TurnRow(error * MM[system], tuple(_turn(line.ratio, error * MM[system], each) for each in lengths))
        for error in ERRORS[system]
    ]
    differs = [
        abs(turn + (_turn(line.ratio, -row.error_mm, length) or 0.0))
        for row in rows
        for length, turn in zip(lengths, row.arcsec, strict=True)
        if turn is not None
    ]
    return TurnTable(line, system, lengths, tuple(rows), max(differs, default=0.0))


def _turn(ratio: float, error: float, length: float) -> float | None:
    """Arc seconds to turn towards more taper; None where work so much too shallow has no taper left."""
    if error >= ratio * length:
        return None
    return correction.angle_change(ratio, error, length) * ARCSEC


def _blue(system: System) -> BlueTable:
    films = tuple(film * MM[system] for film in FILMS[system])
    return BlueTable(
        system=system,
        marked=MARKED,
        films_mm=films,
        errors_mm=tuple(
            tuple(correction.error_from_blue(film, part / whole) for part, whole in MARKED) for film in films
        ),
    )


def _light(system: System, common: Sequence[TaperLine]) -> LightTable:
    gaps = tuple(gap * MM[system] for gap in GAPS[system])
    return LightTable(
        system=system,
        gaps_mm=gaps,
        rows=tuple(
            LineFigures(
                line,
                tuple(
                    correction.error_from_light_gap(gap, math.radians(line.half_angle_deg)) for gap in gaps
                ),
            )
            for line in common
        ),
    )
