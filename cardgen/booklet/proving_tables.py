"""Proving the taper: test bar, sine bar, sine centres, rolls."""

import math
from collections.abc import Sequence

from cardgen import tapers
from cardgen.booklet.tables import (
    LineFigures,
    RollTable,
    SineAngles,
    SineRow,
    SineTable,
    TaperLine,
    TestBarTable,
)
from cardgen.card.proving import LAID_FLAT
from cardgen.card.stacks import sine_stack
from cardgen.compute import inspection, swivel
from cardgen.terms import MM, System

TRAVELS: dict[System, tuple[float, ...]] = {
    "mm": (10.0, 25.0, 50.0, 100.0, 150.0, 200.0, 250.0, 300.0),
    "in": (0.5, 1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0),
}
ROLLS: dict[System, tuple[float, ...]] = {
    "mm": (5.0, 8.0, 10.0, 12.0, 20.0),
    "in": (0.25, 0.375, 0.5, 0.75, 1.0),
}
RAISES: dict[System, tuple[float, ...]] = {"mm": (10.0, 25.0, 50.0, 100.0), "in": (0.5, 1.0, 2.0, 4.0)}
MINUTES = (0, 10, 20, 30, 40, 50)
STEEPEST_DEGREES = 59  # a sine bar is not set steeper: an error of the stack then counts more than double


def test_bar_table(found: Sequence[TaperLine], system: System) -> TestBarTable:
    """What an indicator gains along a parallel bar between centres while the table travels."""
    travels = tuple(travel * MM[system] for travel in TRAVELS[system])
    return TestBarTable(
        system=system,
        travels_mm=travels,
        rows=tuple(
            LineFigures(line, tuple(swivel.test_bar_rise(travel, _half_angle(line)) for travel in travels))
            for line in found
        ),
    )


def sine_table(
    found: Sequence[TaperLine], kind: str, length_mm: float, system: System, slip_set: tapers.SlipSet | None
) -> SineTable:
    """Heights and stacks for one bar; a cone too steep to be laid flat has no line."""
    rows = []
    for line in found:
        half_angle = _half_angle(line)
        if kind == "centres":
            angle, height = half_angle, inspection.sine_centres_height(length_mm, half_angle)
        elif 2 * half_angle < LAID_FLAT:
            angle, height = 2 * half_angle, inspection.sine_bar_height(length_mm, 2 * half_angle)
        else:
            continue
        rows.append(SineRow(line, math.degrees(angle), height, sine_stack(angle, length_mm, slip_set)))
    return SineTable(
        kind="centres" if kind == "centres" else "bar",
        system=system,
        length_mm=length_mm,
        set_name=slip_set.name if slip_set is not None else None,
        rows=tuple(rows),
    )


def sine_angles(length_mm: float, system: System) -> SineAngles:
    """Heights of a sine bar for whole degrees and tens of minutes."""
    degrees = tuple(range(STEEPEST_DEGREES + 1))
    return SineAngles(
        system=system,
        length_mm=length_mm,
        minutes=MINUTES,
        degrees=degrees,
        heights_mm=tuple(
            tuple(
                inspection.sine_bar_height(length_mm, math.radians((60 * degree + minute) / 60))
                for minute in MINUTES
            )
            for degree in degrees
        ),
    )


def roll_table(found: Sequence[TaperLine], system: System) -> RollTable:
    """What two rolls add to the small end, and what raising both of them adds."""
    rolls = tuple(roll * MM[system] for roll in ROLLS[system])
    raises = tuple(height * MM[system] for height in RAISES[system])
    rows = []
    for line in found:
        half_angle = _half_angle(line)
        added = [inspection.over_rolls(0.0, roll, half_angle) for roll in rolls]
        more = [inspection.over_raised_rolls(0.0, rolls[0], half_angle, each) - added[0] for each in raises]
        rows.append(LineFigures(line, (*added, *more)))
    return RollTable(system, rolls, raises, tuple(rows))


def _half_angle(line: TaperLine) -> float:
    return math.radians(line.half_angle_deg)
