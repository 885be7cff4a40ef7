"""Proving the taper: sine bar and centres with their slip gauges, rolls, discs and balls, grades, warmth."""

import math
from collections.abc import Iterator

from cardgen import tapers
from cardgen.booklet.basis import HALF_ANGLE, TAPER, Basis, Tools, across, length, round_length
from cardgen.booklet.tables import Amount, BookColumn, BookTable, Cell, Way, Worded
from cardgen.card.proving import LAID_FLAT
from cardgen.card.stacks import sine_stack
from cardgen.compute import inspection, warmth
from cardgen.terms import ARCSEC, INCH

STEEPEST_DEGREES = 30  # for each minute; a cone that is steeper has its line by name
STEP_MINUTES = 12  # in a row: five rows, from one heavy rule to the next, are a degree
GRADE_WAYS = {"microradians": Way("plain", 1), "arc": Way("arc", 1)}
WARMED = {
    "mm": (100.0, 10.0, 1000.0),
    "in": (4 * INCH, 10 / 1.8, 10000 / INCH),
}  # diameter, warmer by K, unit


def sine_bars(basis: Basis) -> Iterator[BookTable]:
    """For each bar: heights and slip gauges for every cone, on it and between centres; then every minute."""
    for tools in basis.tools:
        yield _sine(basis, tools)
    yield from (_by_minutes(tools) for tools in basis.tools)


def rolls(basis: Basis) -> Iterator[BookTable]:
    """Factors by which sizes of rolls, discs and balls are multiplied, the same in inches and millimetres."""
    rows = tuple(
        (
            cone.label,
            math.degrees(cone.half_angle),
            inspection.over_rolls(0.0, 1.0, cone.half_angle),
            inspection.over_raised_rolls(0.0, 1.0, cone.half_angle, 1.0)
            - inspection.over_rolls(0.0, 1.0, cone.half_angle),
            inspection.disc_centres(1.0, 0.0, cone.half_angle),
        )
        for cone in basis.settable
    )
    factors = tuple(BookColumn(key, Way("number", 5)) for key in ("rolls", "raised", "centres"))
    yield BookTable("rolls", (TAPER, HALF_ANGLE, *factors), rows, worked=(len(rows) // 2, 2))


def grades(basis: Basis) -> Iterator[BookTable]:
    """The grades as angles in both ways of writing, and as a difference of diameters."""
    known = tapers.angle_grades()
    ranges = dict.fromkeys((entry.over_mm, entry.to_mm) for entry in known)
    zones = {each: [one.at_alpha_rad for one in known if (one.over_mm, one.to_mm) == each] for each in ranges}
    lead = basis.systems[0]
    spans = tuple(
        BookColumn(key, Way("plain" if lead == "mm" else "length", 2, lead)) for key in ("over", "to")
    )
    for key, scale in (("microradians", 1e6), ("arc", ARCSEC)):
        columns = across(key, GRADE_WAYS[key], (grade for grade in tapers.grade_names()))
        rows = tuple((*each, *(zone * scale for zone in zones[each])) for each in ranges)
        yield BookTable(f"grades_{key}", (*spans, *columns), rows, lead, worked=(4, 7))
    for system in basis.systems:
        unit, way = (1000.0, Way("number", 2)) if system == "mm" else (10000 / INCH, Way("number", 3))
        columns = across("on_diameter", way, (grade for grade in tapers.grade_names()))
        rows = tuple(
            (to, *(inspection.angle_tolerance_on_diameter(zone, to) * unit for zone in zones[over, to]))
            for over, to in ranges
        )
        span = BookColumn("to", Way("plain" if system == "mm" else "length", 2, system))
        yield BookTable(f"grades_on_diameter_{system}", (span, *columns), rows, system, worked=(4, 6))


def warm_work(basis: Basis) -> Iterator[BookTable]:
    """Expansion of each group of material, and what it makes of a round diameter."""
    columns = [BookColumn("group"), BookColumn("value_for"), BookColumn("per_degree", Way("number", 1))]
    columns += [BookColumn(f"growth_{system}", Way("number", 1)) for system in basis.systems]
    rows: list[tuple[Cell, ...]] = []
    for group in tapers.material_groups():
        found = tapers.expansion(group)
        grown = [
            warmth.growth(diameter, found.coefficient_per_k, warmer) * unit
            for diameter, warmer, unit in (WARMED[system] for system in basis.systems)
        ]
        rows.append((group, found.value_for, found.coefficient_per_k * 1e6, *grown))
    yield BookTable("warmth", tuple(columns), tuple(rows), worked=(0, 3))


def _sine(basis: Basis, tools: Tools) -> BookTable:
    """Heights and what each roll stands on, on the bar and between centres, a line a cone."""
    system, columns = tools.system, [TAPER]
    for group in ("lying", "between_centres"):
        columns.append(BookColumn("height", length(5, system), group=group))
        if tools.slip_set is not None:
            columns += [BookColumn(key, group=group) for key in ("one_roll", "other_roll")]
            columns.append(BookColumn("left_over", Way("number", 2, signed=True), group=group))
    rows = tuple(
        (cone.label, *_stood(tools, 2 * cone.half_angle), *_stood(tools, cone.half_angle))
        for cone in basis.settable
    )
    told: dict[str, str | Amount] = {"bar": round_length(tools.bar_mm, system)}
    slips = Worded("no_set") if tools.slip_set is None else Worded("set", {"set": tools.slip_set.name})
    return BookTable("sine", tuple(columns), rows, system, told, (len(rows) // 2, 1), (slips,))


def _stood(tools: Tools, angle: float) -> Iterator[Cell]:
    """The height of an angle, and of slip gauges; nothing for one too steep for a piece to be laid flat."""
    flat = angle < LAID_FLAT
    stack = sine_stack(angle, tools.bar_mm, tools.slip_set) if flat else None
    yield inspection.sine_bar_height(tools.bar_mm, angle) if flat else None
    if tools.slip_set is not None:
        yield " + ".join(stack.pieces_text) or None if stack else None
        yield " + ".join(stack.other_pieces_text) or None if stack else None
        yield stack.left_over_arcsec if stack else None


def _by_minutes(tools: Tools) -> BookTable:
    """Heights for every minute, twelve in a row, with what ten seconds more add on its average."""
    rows: list[tuple[Cell, ...]] = []
    for start in range(0, 60 * STEEPEST_DEGREES, STEP_MINUTES):
        heights = [
            inspection.sine_bar_height(tools.bar_mm, math.radians((start + minute) / 60))
            for minute in range(STEP_MINUTES + 1)
        ]
        more = (heights[-1] - heights[0]) / (6 * STEP_MINUTES)
        rows.append((f"{start // 60}°{start % 60:02d}′", *heights[:-1], more))
    columns = across("minutes", length(4, tools.system), (f"{minute}′" for minute in range(STEP_MINUTES)))
    told: dict[str, str | Amount] = {"bar": round_length(tools.bar_mm, tools.system)}
    difference = BookColumn("difference", length(5, tools.system))
    return BookTable(
        "sine_minutes",
        (BookColumn("degrees"), *columns, difference),
        tuple(rows),
        tools.system,
        told,
        (72, 4),
    )
