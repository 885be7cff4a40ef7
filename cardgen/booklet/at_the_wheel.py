"""At the wheel: speeds by diameter, dressing, and the centre holes that the work turns on."""

from collections.abc import Iterator, Sequence

from cardgen import tapers
from cardgen.booklet.basis import Basis, across, grid, length, round_lengths
from cardgen.booklet.tables import Amount, BookColumn, BookTable, Cell, Way, Worded
from cardgen.compute import speeds
from cardgen.terms import System

FOOT_M = 0.3048
WHEEL_RPM = (1000, 1200, 1400, 1600, 1800, 2000, 2400, 2800)
OVERLAPS = (2, 3, 4, 5, 6, 8, 10)


def speed_tables(basis: Basis) -> Iterator[BookTable]:
    """Revolutions a minute of the work for a surface speed; the most that a wheel's marking allows."""
    for system in basis.systems:
        metres = 1.0 if system == "mm" else FOOT_M
        speed = "m/min" if system == "mm" else "ft/min"
        rows = grid(
            round_lengths("work_diameters", system),
            [each * metres for each in tapers.round_figures("work_speeds", system)],
            lambda diameter, fast: speeds.rpm_for_work_speed(fast, diameter),
        )
        yield _speeds("work_rpm", rows, tapers.round_figures("work_speeds", system), system, speed)
    for system in basis.systems:
        metres_a_second = 1.0 if system == "mm" else FOOT_M / 60
        rows = grid(
            round_lengths("wheel_diameters", system),
            [each * metres_a_second for each in tapers.round_figures("wheel_markings", system)],
            lambda diameter, fast: float(speeds.highest_whole_wheel_rpm(fast, diameter)),
        )
        speed = "m/s" if system == "mm" else "ft/min"
        yield _speeds("wheel_rpm", rows, tapers.round_figures("wheel_markings", system), system, speed)


def _speeds(
    name: str, rows: tuple[tuple[Cell, ...], ...], fast: Sequence[float], system: System, speed: str
) -> BookTable:
    columns = across("rpm", Way("number"), (Amount(each, Way("plain", 1)) for each in fast))
    diameter = BookColumn("diameter", Way("round length", system=system))
    return BookTable(name, (diameter, *columns), rows, system, {"speed": speed}, worked=(7, 3))


def dressing(basis: Basis) -> Iterator[BookTable]:
    """Traverse of the diamond from the wheel's speed and a lead; the lead from its width and an overlap."""
    steps = {float(each) for machine in basis.machines for each in machine.wheel_speeds.steps if each < 4000}
    for system in basis.systems:
        leads = round_lengths("dressing_leads", system)
        heads = tuple(Amount(each, length(2, system)) for each in leads)
        columns = across("traverse", length(0, system), (head for head in heads))
        rows = grid(
            sorted({float(each) for each in WHEEL_RPM} | steps),
            leads,
            lambda rpm, lead: speeds.dressing_traverse(lead, 1.0, rpm),
        )
        yield BookTable(
            "dress_traverse", (BookColumn("rpm", Way("plain")), *columns), rows, system, worked=(3, 4)
        )
    for system in basis.systems:
        rows = grid(
            round_lengths("diamond_widths", system),
            OVERLAPS,
            lambda width, overlap: speeds.dressing_traverse(width, overlap, 1.0),
        )
        columns = across("lead", length(3, system), (Amount(each, Way("plain")) for each in OVERLAPS))
        yield BookTable(
            "dress_lead", (BookColumn("diamond", length(2, system)), *columns), rows, system, worked=(4, 2)
        )


HOLE = ("drill", "cone", "depth", "protected")


def centre_holes(basis: Basis) -> Iterator[BookTable]:
    """Sizes of centre holes; in a booklet of one system those of the other standard too, worked out."""
    for known in tapers.centre_holes():
        columns = [BookColumn("size")]
        kinds = [kind for kind in HOLE if any(getattr(each, kind) for each in known.sizes)]
        columns += [BookColumn(kind, length(2, system)) for kind in kinds for system in basis.systems]
        rows: list[tuple[Cell, ...]] = []
        for each in known.sizes:
            lengths = [getattr(each, kind) for kind in kinds]
            rows.append((each.size, *(one.mm if one else None for one in lengths for _ in basis.systems)))
        source = Worded("printed_in", {"source": tapers.sourced(known.source, known.confidence)})
        yield BookTable(
            "centre_holes", tuple(columns), tuple(rows), told={"standard": known.name}, notes=(source,)
        )
