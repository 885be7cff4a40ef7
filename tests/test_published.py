"""Figures printed in standards, handbooks and training texts, against what the package computes.

Every file in `published/` is a list of figures: id, source (of `sources.yaml`), confidence, the function
called, what it is given, and what is printed, as text. A figure must agree to half a unit in its last printed
digit. One that does not stays, marked `disagrees: reason`, and must go on disagreeing. What such a figure
should be, and what one should be that is printed too coarsely to tell a wrong formula, is in
`worked_out.yaml`: the package must agree with that. Units are turned by the small converter here, never by
the package's own.

`given` is a mapping of arguments or a list of them; a value may itself be a function with what it is given.
`take` walks into a result: an attribute, a key, or `count`.
"""

import importlib
import math
import re
from collections import Counter
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from tests.plain_data import read

FOLDER = Path(__file__).parent / "published"
WORKED_OUT: dict[str, str] = read(FOLDER.parent / "worked_out.yaml")
UNITS = {
    "": 1.0,
    **{"mm": 1.0, "m": 1000.0, "in": 25.4, "µm": 1e-3, "nm": 1e-6, "in³": 25.4**3},
    **{
        "rad": 1.0,
        "µrad": 1e-6,
        "deg": math.pi / 180,
        "arcmin": math.pi / 10_800,
        "arcsec": math.pi / 648_000,
    },
    **{"in/ft": 1 / 12, "%": 0.01, "mm/m": 1e-3, "ppm": 1e-6},
    **{"ft/min": 0.3048, "m/min": 1.0, "m/s": 1.0, "rpm": 1.0, "mm/min": 1.0, "K": 1.0, "s": 1.0},
}
NUMBER = re.compile(r"(?P<number>[-+]?[\d./: ]*\d(?:[eE][-+]?\d+)?)\s*(?P<unit>[^\d\s]*)")
ANGLE = re.compile(r"(?P<d>\d+)°(?:(?P<m>[\d.]+)')?(?:(?P<s>[\d.]+)\")?")


def load() -> list[dict[str, Any]]:
    figures = []
    for path in sorted(FOLDER.glob("*.yaml")):
        for figure in read(path):
            figures.append(figure | {"file": path.name})
    return figures


FIGURES = load()


def number(text: str) -> float:
    """'1 1/16', '7:24', '0.0625' or '1.2e-6' as a plain number."""
    if ":" in text:
        part, whole = text.split(":")
        return float(Fraction(part) / Fraction(whole))
    return float(sum(Fraction(word) for word in text.split()))


def angle(found: re.Match[str]) -> float:
    degrees, minutes, seconds = (float(found[part] or 0) for part in "dms")
    return math.radians(degrees + minutes / 60 + seconds / 3600)


def value(given: Any) -> Any:
    """What a function is given: quantities in mm, rad or plain numbers; words and exact sizes as they are."""
    if isinstance(given, dict):
        return call(given)
    if isinstance(given, list):
        return tuple(value(part) for part in given)
    if given.startswith("exact "):
        return Fraction(given.removeprefix("exact "))
    if given.startswith("set "):
        return importlib.import_module("cardgen.tapers").slip_set(given.removeprefix("set ")).sizes
    if found := ANGLE.fullmatch(given):
        return angle(found)
    found = NUMBER.fullmatch(given)
    return number(found["number"]) * UNITS[found["unit"]] if found and found["unit"] in UNITS else given


def call(figure: dict[str, Any]) -> Any:
    """The package's answer, with `take` walked into it."""
    module, _, name = figure["function"].rpartition(".")
    function = getattr(importlib.import_module(f"cardgen.{module}"), name)
    given = figure["given"]
    if isinstance(given, list):
        result = function(*[value(part) for part in given])
    else:
        result = function(**{name: value(part) for name, part in given.items()})
    for step in figure.get("take", "").split(".") if "take" in figure else []:
        if step == "count":
            result = len(result)
        else:
            result = result[step] if isinstance(result, dict) else getattr(result, step)
    return result


def read_print(text: str, unit: str) -> tuple[float, float]:
    """A printed number in the package's unit, and half a unit in its last digit (none for a fraction)."""
    if found := ANGLE.fullmatch(text):
        last = next(part for part in "smd" if found[part])
        size = {"d": 1.0, "m": 1 / 60, "s": 1 / 3600}[last]
        places = len(found[last].partition(".")[2])
        return angle(found), math.radians(size * 10.0**-places / 2)
    if "/" in text or ":" in text:
        return number(text) * UNITS[unit], 0.0
    half = Decimal((0, (5,), int(Decimal(text).as_tuple().exponent) - 1))
    return float(text) * UNITS[unit], float(half) * UNITS[unit]


def fits(figure: dict[str, Any], result: Any) -> bool:
    """Whether a result is the printed one: a count, a word, a list of pieces exactly, a number as printed."""
    printed = figure["printed"]
    if isinstance(printed, list):
        return sorted(result) == sorted(Fraction(part) for part in printed)
    if isinstance(result, str):
        return bool(result == printed)
    wanted, half = read_print(printed, figure.get("unit", ""))
    if figure.get("take", "").endswith("count"):
        half = 0.0
    return abs(float(result) - wanted) <= half + 1e-9 * abs(wanted)


def agrees(figure: dict[str, Any]) -> bool:
    return fits(figure, call(figure))


def passes(figure: dict[str, Any], result: Any) -> bool:
    """Whether a result is let through: the print, or what it should be; both where the print is coarse."""
    name = figure["id"]
    worked_out = fits(figure | {"printed": WORKED_OUT[name]}, result) if name in WORKED_OUT else None
    if "disagrees" in figure:
        return bool(worked_out) and not fits(figure, result)
    return worked_out is not False and fits(figure, result)


@pytest.mark.parametrize("figure", FIGURES, ids=lambda figure: figure["id"])
def test_a_printed_figure(figure: dict[str, Any]) -> None:
    """Ensures that a print comes out to half its last digit, and a misprint's right figure instead of it."""
    result = call(figure)
    wanted = WORKED_OUT.get(figure["id"], figure["printed"])
    assert passes(figure, result), f"wanted {wanted} {figure.get('unit', '')}, computed {result!r}"


@pytest.mark.parametrize("factor", [0.99, 1.01])
def test_a_formula_one_per_cent_out_fails_every_figure(factor: float) -> None:
    """Ensures that no figure, least of all one that disagrees, lets a wrong formula through."""
    for figure in FIGURES:
        result = call(figure)
        if isinstance(result, int | float) and result != 0:
            assert not passes(figure, result * factor), figure["id"]


def test_what_was_worked_out_belongs_to_a_figure() -> None:
    """Ensures that every misprint has its right figure, and that no right figure is left alone."""
    assert set(WORKED_OUT) <= {figure["id"] for figure in FIGURES}
    assert {figure["id"] for figure in FIGURES if "disagrees" in figure} <= set(WORKED_OUT)


def test_every_figure_has_an_id_of_its_own_and_what_is_printed() -> None:
    """Ensures an id of its own, the print as text, and for a figure that disagrees the reason."""
    ids = Counter(figure["id"] for figure in FIGURES)
    assert [name for name, count in ids.items() if count > 1] == []
    for figure in FIGURES:
        assert figure.get("disagrees", "reason").strip(), figure["id"]
        assert isinstance(figure["printed"], str | list), figure["id"]


def test_there_are_figures_enough_for_every_part_of_the_sum() -> None:
    """Ensures that agreeing figures cover the taper and its setting, and everything after it."""
    agreeing = [figure["function"] for figure in FIGURES if "disagrees" not in figure]
    first = ("compute.taper.", "compute.reading.", "compute.infeed.", "compute.stages.", "compute.swivel.")
    assert sum(name.startswith(first) for name in agreeing) >= 60
    assert sum(not name.startswith(first) for name in agreeing) >= 120


@pytest.mark.parametrize("name", ["724-half", "sine-bar-tc-9-524", "gum-h1-combined", "dress-2-overlays"])
def test_a_last_digit_changed_by_one_would_be_seen(name: str) -> None:
    """Ensures that the runner does find a figure that is off by a single unit of its last digit."""
    figure = next(figure for figure in FIGURES if figure["id"] == name)
    step = Decimal((0, (1,), int(Decimal(figure["printed"]).as_tuple().exponent)))
    assert agrees(figure)
    for off in (-step, step):
        assert not agrees(figure | {"printed": str(Decimal(figure["printed"]) + off)})


@pytest.mark.parametrize(
    ("text", "unit", "wanted", "half"),
    [
        ("8.2971", "deg", math.radians(8.2971), math.radians(0.00005)),
        ("1°47.4'", "", math.radians(1.79), math.radians(0.05 / 60)),
        ("0°35'48\"", "", math.radians(2148 / 3600), math.radians(0.5 / 3600)),
        ("4.002", "in", 101.6508, 0.0127),
        ("3/64", "in", 1.190625, 0.0),
        ("1.2e-6", "", 1.2e-6, 0.05e-6),
    ],
)
def test_prints_are_read_with_their_last_digit(text: str, unit: str, wanted: float, half: float) -> None:
    """Ensures that the runner itself reads a print, its unit and its half digit rightly."""
    assert read_print(text, unit) == pytest.approx((wanted, half), rel=1e-9)


@pytest.mark.parametrize(
    ("given", "wanted"),
    [
        ("1 1/16 in/ft", 17 / 192),
        ("7:24", 7 / 24),
        ("-3 in", -76.2),
        ("12", 12.0),
        ("1°30'", math.radians(1.5)),
        ("external", "external"),
        ("exact 3.9762", Fraction("3.9762")),
        (["1 mm", "2 µm"], (1.0, 0.002)),
    ],
)
def test_what_is_given_is_turned_into_the_packages_units(given: Any, wanted: Any) -> None:
    """Ensures that the runner's small converter turns what a source gives into mm, rad and plain numbers."""
    assert (
        value(given) == pytest.approx(wanted)
        if not isinstance(wanted, str | Fraction)
        else value(given) == wanted
    )
