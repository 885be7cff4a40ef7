"""The library against printed tables: every figure to half a unit in its last digit."""

from fractions import Fraction
from pathlib import Path

import mpmath
import pytest

from cardgen import tapers
from tests.plain_data import read

CHECKS = read(Path(__file__).parent / "published.yaml")["checks"]
MM = {"mm": Fraction(1), "in": Fraction("25.4")}


def worked_out(taper, figure):
    """What the library says of a printed figure, in its unit, at 50 digits where it is exact."""
    name, _, unit = figure.rpartition("_")
    if name == "whole":
        name = "tang projection"  # a shank from the end of its tang to the end of its cone
    if set(name.split()) <= {"large", "small", "length", "projection", "tang", "flange"}:
        found = sum(getattr(taper, each).exact_mm for each in name.split()) / MM[unit]
        return mpmath.mpf(found.numerator) / found.denominator
    ratio = taper.rate.exact_ratio
    c = mpmath.mpf(taper.ratio) if ratio is None else mpmath.mpf(ratio.numerator) / ratio.denominator
    half = mpmath.atan(c / 2)
    return {
        "taper_per_foot_in": 12 * c,
        "taper_per_inch": c,
        "ratio_1_to": 1 / c,
        "half_angle_deg": mpmath.degrees(half),
        "half_angle_dms": 3600 * mpmath.degrees(half),
        "included_angle_deg": mpmath.degrees(2 * half),
        "included_angle_rad": 2 * half,
        "included_angle_dms": 3600 * mpmath.degrees(2 * half),
    }[figure]


def as_number(printed, figure):
    """A printed figure as a number, and half a unit in its last digit; an angle in parts in seconds."""
    if figure.endswith("_dms"):
        degrees, minutes, seconds = printed.split()
        number, last = 3600 * Fraction(degrees) + 60 * Fraction(minutes) + Fraction(seconds), seconds
    else:
        number, last = sum(map(Fraction, printed.split()), Fraction(0)), printed
        if "/" in printed:
            return number, Fraction(0)
    return number, Fraction(1, 2 * 10 ** len(last.partition(".")[2]))


def agrees(found, printed, figure):
    """Whether a figure is the printed one to half its last digit; half-way figures may go either way."""
    number, half_digit = as_number(printed, figure)
    off = abs(found - mpmath.mpf(number.numerator) / number.denominator)
    return off <= mpmath.mpf(half_digit.numerator) / half_digit.denominator + mpmath.mpf("1e-12")


@pytest.mark.parametrize("check", CHECKS, ids=[check["id"] for check in CHECKS])
def test_the_library_agrees_with_what_is_printed(check):
    """Ensures that a printed figure follows from the library, or that the right one does instead of it."""
    with mpmath.workdps(50):
        found = worked_out(tapers.find(check["taper"]), check["figure"])
        as_printed = agrees(found, check["printed"], check["figure"])
        if "disagrees" not in check:
            assert as_printed, f"{check['taper']} {check['figure']}: {found}, printed {check['printed']}"
        else:
            assert not as_printed, f"{check['id']} agrees now: look again at why it should not"
            assert agrees(found, check["right"], check["figure"]), f"{check['id']}: {found}"


def test_every_printed_figure_has_a_name_of_its_own():
    """Ensures that no two checks share a name."""
    assert len({check["id"] for check in CHECKS}) == len(CHECKS)


def test_there_are_enough_printed_figures_to_mean_something():
    """Ensures that the table of printed figures is not emptied by mistake."""
    assert len(CHECKS) >= 300
