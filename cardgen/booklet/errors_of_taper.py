"""Putting the taper right: test bar, the turn for an error of taper, what blue and light tell of it."""

import math
from collections.abc import Iterator
from typing import Literal

from cardgen.booklet.basis import HALF_ANGLE, TAPER, Basis, across, grid, length, round_length, round_lengths
from cardgen.booklet.tables import BookColumn, BookTable, Cell, Way, Worded
from cardgen.compute import correction, swivel, taper
from cardgen.digits import plain_fraction
from cardgen.terms import ARCSEC, System

MARKED = ((1, 5), (1, 4), (1, 3), (2, 5), (1, 2), (3, 5), (2, 3), (3, 4), (4, 5), (1, 1))


def test_bars(basis: Basis) -> Iterator[BookTable]:
    """What an indicator gains along a parallel bar between centres while the swivelled table travels."""
    travels = [(each, system) for system in basis.systems for each in round_lengths("travels", system)]
    columns = tuple(
        BookColumn("rise", length(4, system), round_length(each, system), f"rise_{system}")
        for each, system in travels
    )
    rows: list[tuple[Cell, ...]] = [
        (
            cone.label,
            math.degrees(cone.half_angle),
            *(swivel.test_bar_rise(each, cone.half_angle) for each, _ in travels),
        )
        for cone in basis.reached
    ]
    worked = (len(rows) // 2, 4) if rows else None
    yield BookTable("test_bar", (TAPER, HALF_ANGLE, *columns), tuple(rows), worked=worked)


def corrections(basis: Basis) -> Iterator[BookTable]:
    """One table of turns, with the factor of each taper; light by its factor; blue, with its pictures."""
    for system in basis.systems:
        lengths = round_lengths("lengths", system)
        rows = grid(
            round_lengths("errors", system),
            lengths,
            lambda error, over: taper.half_angle_change(0.0, error, over) * ARCSEC,
        )
        columns = across("turn", Way("number", 1), (round_length(over, system) for over in lengths))
        yield BookTable(
            "turns", (BookColumn("error", length(3, system)), *columns), rows, system, worked=(7, 5)
        )
    yield _factors(basis)
    for system in basis.systems:
        yield _blue(basis, system)


def _factors(basis: Basis) -> BookTable:
    """cos²θ for the turn, 2/cos θ for a gap of light."""
    rows = tuple(
        (
            cone.label,
            math.degrees(cone.half_angle),
            2 / taper.ratio_change_per_angle(cone.half_angle),
            correction.error_from_light_gap(1.0, cone.half_angle),
        )
        for cone in basis.owned
    )
    columns = (
        TAPER,
        HALF_ANGLE,
        BookColumn("cos_squared", Way("number", 5)),
        BookColumn("light", Way("number", 5)),
    )
    return BookTable("factors", columns, rows, worked=(len(rows) - 1, 2))


def _blue(basis: Basis, system: System) -> BookTable:
    """An estimate of the error of taper from how far along the blue has marked."""
    columns = tuple(
        BookColumn("marked", length(4, system), "all" if part == whole else plain_fraction(part, whole))
        for part, whole in MARKED
    )
    films = round_lengths("films", system)
    rows = tuple(
        (film, *(correction.error_from_blue(film, part / whole) for part, whole in MARKED)) for film in films
    )
    digits = Way("length", 4 if system == "in" else 3, system)
    notes = (Worded("shop_film", {"film": round_length(basis.blue_film_mm, system)}),)
    picture: Literal["rubs"] | None = "rubs" if system == basis.systems[0] else None
    return BookTable("blue", (BookColumn("film", digits), *columns), rows, system, {}, (4, 5), notes, picture)
