"""Cells of the booklet, read back from the PDF, against tables printed elsewhere, each beside its source."""

import re
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import pytest

from cardgen import tapers
from tests.booklet.conftest import TOP, Made
from tests.booklet.library import all_series
from tests.booklet.reckoner import mixed
from tests.plain_data import read
from tests.test_published import WORKED_OUT

ANGLE = re.compile(r"(\d+)°(\d+)['′]([\d.]+)[\"″]")
COLUMNS = {"half": 4, "included": 6}
SOURCE_OF_ANGLES = TOP / "tests" / "published" / "angles.yaml"
SOURCE_OF_SIZES = TOP / "tests" / "tapers" / "published.yaml"
SOURCE_OF_HEIGHTS = TOP / "tests" / "published" / "measuring.yaml"


IN_THE_BOOKLET = {mixed(Fraction(n, 32)) for n in range(1, 33)} | {
    mixed(Fraction(n, 16)) for n in range(1, 33)
}
IN_THE_BOOKLET |= {mixed(Fraction(n, 8)) for n in range(1, 33)} | {
    mixed(Fraction(n, 4)) for n in range(1, 33)
}


def seconds(text: str) -> Fraction:
    found = ANGLE.fullmatch(text)
    assert found, text
    return 3600 * Fraction(found[1]) + 60 * Fraction(found[2]) + Fraction(found[3])


def half_digit(text: str) -> Fraction:
    return Fraction(1, 2 * 10 ** len(text.rpartition(".")[2])) if "." in text else Fraction(1, 2)


def angles_of_tapers_per_foot() -> Iterator[Any]:
    """Printed half and included angles of tapers that the booklet has a row for."""
    for figure in read(SOURCE_OF_ANGLES):
        function = figure["function"].removeprefix("compute.taper.")
        given = figure["given"]
        if function == "included_angle":
            half = given[0] if isinstance(given, list) else given["half_angle"]
            given = half["given"] if isinstance(half, dict) else {}
        ratio = given[0] if isinstance(given, list) else given.get("ratio", "")
        of_taper = function in ("half_angle_from_ratio", "included_angle")
        per_foot, _, unit = str(ratio if of_taper else "").rpartition(" ")
        if unit == "in/ft" and per_foot in IN_THE_BOOKLET and ANGLE.fullmatch(figure["printed"]):
            kind = "half" if function == "half_angle_from_ratio" else "included"
            yield pytest.param(per_foot, kind, figure, id=figure["id"])


@pytest.mark.parametrize(("per_foot", "kind", "figure"), list(angles_of_tapers_per_foot()))
def test_angles_of_tapers_per_foot(both: Made, per_foot: str, kind: str, figure: dict[str, Any]) -> None:
    """Ensures that a printed angle and the booklet’s are one, or that the printed one is known as wrong."""
    rows = {row[0]: row for row in both.read.table("Conversions", "From taper per foot").rows}
    ours, theirs = seconds(rows[per_foot][COLUMNS[kind]]), seconds(figure["printed"])
    if "disagrees" in figure:
        assert ours != theirs
    right = WORKED_OUT.get(figure["id"], figure["printed"])
    assert abs(ours - seconds(right)) <= Fraction(1, 2) + half_digit(right.rstrip('"″').split("'")[-1])


def standard_cells(made: Made, name: str) -> dict[str, str]:
    """The booklet's cells for one size of a standard taper, by what they are."""
    series, size = next((s, z) for s in all_series() for z in s.sizes if z.name == name)
    row = next(
        row for row in made.read.table("Standard tapers", series.name).rows if row[0] == (size.size or name)
    )
    shown = [
        key
        for key in ("large", "small", "length", "projection", "tang", "flange")
        if any(key in z.lengths for z in series.sizes)
    ]
    keys = ["size"]
    if series.tapers_below:
        keys.append("taper")
    elif not series.one_taper:
        keys += ([] if series.all_per_foot else ["taper"]) + ["per_foot_in", "ratio_1_to", "half_angle_dms"]
    keys += [f"{key}_{unit}" for key in shown for unit in ("mm", "in") if key in size.lengths]
    return dict(zip(keys, [cell for cell in row if cell], strict=True))


def printed_sizes() -> Iterator[Any]:
    for check in read(SOURCE_OF_SIZES)["checks"]:
        if check["figure"] in (
            *("large_in", "small_in", "length_in", "large_mm", "small_mm", "length_mm"),
            *("taper_per_foot_in", "ratio_1_to"),
        ):
            found = tapers.find(check["taper"])
            series = next(each for each in all_series() if found and each.name == found.series)
            # where all sizes taper alike the taper stands beside the table, and test_every_cell has it
            in_words = series.one_taper or series.tapers_below
            if not (in_words and check["figure"] in ("taper_per_foot_in", "ratio_1_to")):
                yield pytest.param(check, id=check["id"])


@pytest.mark.parametrize("check", list(printed_sizes()))
def test_sizes_of_standard_tapers(both: Made, check: dict[str, Any]) -> None:
    """Ensures that the booklet's sizes are those that other tables print, or differ for the reason noted."""
    key = {"taper_per_foot_in": "per_foot_in"}.get(check["figure"], check["figure"])
    taper = tapers.find(check["taper"])
    assert taper is not None
    cells = standard_cells(both, taper.name)
    ours = sum((Fraction(word) for word in cells[key].split()), Fraction(0))
    if "disagrees" in check:
        assert ours != Fraction(check["printed"])
    right = check.get("right", check["printed"])
    theirs = sum(map(Fraction, right.split()), Fraction(0))
    rounding = half_digit(right) + (half_digit(cells[key]) if "." in cells[key] else 0)
    assert abs(ours - theirs) <= rounding


def printed_heights() -> Iterator[Any]:
    """Printed heights of a 5 in sine bar at angles that the booklet has a cell for."""
    for figure in read(SOURCE_OF_HEIGHTS):
        given = figure["given"]
        if figure["function"].endswith("sine_bar_height") and given["bar_length"] == "5 in":
            whole = re.fullmatch(r"(\d+) deg", str(given["included_angle"]))
            if whole and int(whole[1]) < 30:
                yield pytest.param(int(whole[1]), figure, id=figure["id"])


@pytest.mark.parametrize(("degrees", "figure"), list(printed_heights()))
def test_heights_of_a_sine_bar(both: Made, degrees: int, figure: dict[str, Any]) -> None:
    """Ensures that the sine bar's heights are those of other tables."""
    table = both.read.table("Sine bar and slip gauges", "Sine bar of 5 in: heights for every minute")
    ours = Fraction(f"0{table.rows[5 * degrees][1]}")
    printed = WORKED_OUT.get(figure["id"], figure["printed"])
    assert abs(ours - Fraction(printed)) <= half_digit(printed) + Fraction(1, 200000)
