"""Tapers, angle tolerances and reading tools as specs name them."""

import math
from typing import Any

import pytest

from cardgen.spec.callout import (
    Callout,
    read_angle_tolerance,
    read_callout,
    read_taper_uncertainty,
    read_tool,
)
from cardgen.spec.complaint import Refusal


def half_angle(callout: Callout) -> float:
    """The half angle of a callout, by the definition tan θ = C/2."""
    if callout.ratio:
        return math.atan(callout.ratio.value / 2)
    if callout.half_angle:
        return callout.half_angle.value
    assert callout.included_angle
    return callout.included_angle.value / 2


ARCSEC = math.radians(1 / 3600)


@pytest.mark.parametrize(
    "entry",
    [
        "1:8",
        "1 1/2 in/ft",
        "12.5 %",
        "0.125 mm/mm",
        "125 mm/m",
        f"included angle {2 * math.degrees(math.atan(1 / 16)):.12f} deg",
        f"{math.degrees(math.atan(1 / 16)):.12f}° half angle",
        {"ratio": "1:8"},
        {"per_foot": "1.5 in/ft"},
        {"per_cent": "12.5 %"},
        {"included_angle": f"{2 * math.degrees(math.atan(1 / 16)):.12f} deg"},
        {"half_angle": f"{math.degrees(math.atan(1 / 16)):.12f} deg"},
    ],
)
def test_every_form_of_callout_gives_one_taper(entry: Any) -> None:
    """1:8 in each form has the half angle whose tangent is 1/16."""
    assert half_angle(read_callout(entry)) == pytest.approx(math.atan(1 / 16), rel=1e-12)


@pytest.mark.parametrize("name", ["Morse 3", "7:24 No. 30", "B&S 7", "R8", "5C"])
def test_a_standard_taper_is_kept_by_its_name(name: str) -> None:
    """Its figures are looked up when the specs are loaded."""
    assert read_callout(name).standard == name


def test_a_bare_angle_is_asked_which_it_is() -> None:
    """Included or half: a bare angle has spoilt work both ways."""
    with pytest.raises(Refusal) as caught:
        read_callout("60 deg")
    assert caught.value.wrong == "'60 deg' does not say which angle it is"
    assert caught.value.right == "write 'included angle 60 deg' or 'half angle 60 deg'"


@pytest.mark.parametrize(
    "entry",
    [
        "38",
        "0:8",
        "-1:8",
        "half angle 95 deg",
        "included angle 0 deg",
        "",
        [],
        {},
        {"rato": "1:5"},
        {"per_foot": "0.602"},
        {"ratio": "1:5", "half_angle": "1 deg"},
        {"ratio": ["1:5"]},
        "half half angle 3 deg",
    ],
)
def test_what_is_no_taper_is_refused(entry: Any) -> None:
    """Bare numbers, nothing, angles beyond a right angle, two forms at once."""
    with pytest.raises(Refusal):
        read_callout(entry)


def test_an_unknown_form_of_callout_names_the_nearest() -> None:
    """`rato` is near to `ratio`."""
    with pytest.raises(Refusal, match=r"did you mean 'ratio'\?"):
        read_callout({"rato": "1:5"})


@pytest.mark.parametrize(
    ("text", "field", "value"),
    [
        ("AT6", "grade", "AT6"),
        ("at 6", "grade", "AT6"),
        ("± 0.003 mm over 50 mm", "over_mm", 50.0),
    ],
)
def test_an_angle_tolerance_is_a_grade_or_holds_over_a_length(text: str, field: str, value: object) -> None:
    """The grade without its blank; the length that a difference of diameters holds over."""
    assert getattr(read_angle_tolerance(text), field) == value


@pytest.mark.parametrize(
    ("text", "field", "less", "more"),
    [
        ("± 8 arcsec", "included_angle_rad", 8 * ARCSEC, 8 * ARCSEC),
        ("± 4 arcsec half angle", "half_angle_rad", 4 * ARCSEC, 4 * ARCSEC),
        ("± half angle 4 arcsec", "half_angle_rad", 4 * ARCSEC, 4 * ARCSEC),
        ("± 0.003 mm over the length", "diameter_mm", 0.003, 0.003),
        ("+0 / -10 arcsec", "included_angle_rad", 10 * ARCSEC, 0),
        ("−10″ / +0", "included_angle_rad", 10 * ARCSEC, 0),
        ("+2' / -5' 30″", "included_angle_rad", 330 * ARCSEC, 120 * ARCSEC),
        ("half angle +6 -2 arcsec", "half_angle_rad", 2 * ARCSEC, 6 * ARCSEC),
        ("+0.006/-0 mm over the length", "diameter_mm", 0, 0.006),
        ("+.002 / -0 in/ft", "diameter_mm", 0, 0.002 / 12),
        ("± .002 in per ft", "diameter_mm", 0.002 / 12, 0.002 / 12),
        ("+0 -0.05 %", "diameter_mm", 0.0005, 0),
    ],
)
def test_an_angle_tolerance_says_how_much_less_and_how_much_more_taper(
    text: str, field: str, less: float, more: float
) -> None:
    """An angle (the included one if unsaid, as ISO 1947), a slope, or a difference of diameters."""
    found = getattr(read_angle_tolerance(text), field)
    assert (found.minus, found.plus) == pytest.approx((less, more))


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("+10 arcsec", "write the other too: +10 / -0 arcsec is more taper only"),
        ("+10 / +2 arcsec", "midway between the limits"),
    ],
)
def test_an_angle_tolerance_with_a_side_missing_is_told_which(text: str, right: str) -> None:
    """One side alone leaves open what the other is."""
    with pytest.raises(Refusal) as told:
        read_angle_tolerance(text)
    assert right in told.value.right


@pytest.mark.parametrize(
    ("text", "right"),
    [
        (".602 in/ft +0/-.005", "'angle_tolerance: +0/-.005 in/ft'"),
        ("1:20 +0 -0.0005", "'angle_tolerance: +0 -0.0005 mm/mm'"),
        ("half angle 3°34′ ± 5′", "'angle_tolerance: ± 5′'"),
    ],
)
def test_a_callout_that_holds_its_tolerance_is_told_where_that_belongs(text: str, right: str) -> None:
    """As prints write it: the tolerance behind the taper."""
    with pytest.raises(Refusal) as told:
        read_callout(text)
    assert right in told.value.right


@pytest.mark.parametrize(
    "text",
    [
        "AT",
        "8 arcsec",
        "± 8 mm",
        "± 0.003 mm over",
        "± 0 arcsec",
        "± 0.003 mm over 0 mm",
        "+0 -0 arcsec",
        "+0/-.005",
        "+5 arcsec / -.01 in/ft",
        "± 1:8",
        "+0.01 mm over the length",
        "± 0.003 in over 5 deg",
        "",
    ],
)
def test_an_angle_tolerance_in_no_form_is_refused(text: str) -> None:
    """The refusal shows the forms or the unit that lacks."""
    with pytest.raises(Refusal):
        read_angle_tolerance(text)


@pytest.mark.parametrize(
    ("text", "name", "division_mm", "unit", "denominator"),
    [
        ("steel rule 0.5 mm", "steel rule", 0.5, "mm", None),
        ("1/64 in rule", "rule", 25.4 / 64, "in", 64),
        ("rule 1/64 in", "rule", 25.4 / 64, "in", 64),
        ('1/64" rule', "rule", 25.4 / 64, "in", 64),
        ("depth micrometer 0.001 in", "depth micrometer", 0.0254, "in", None),
        ("No. 3 dial 1 thou", "No. 3 dial", 0.0254, "in", None),
    ],
)
def test_a_reading_tool_has_a_name_and_a_division(
    text: str, name: str, division_mm: float, unit: str, denominator: int | None
) -> None:
    """In either order; a common fraction keeps its denominator for engraving on paper."""
    tool = read_tool(text)
    assert (tool.name, tool.division_mm, tool.unit, tool.denominator) == (
        name,
        division_mm,
        unit,
        denominator,
    )


@pytest.mark.parametrize(
    "text",
    [
        "rule",
        "0.5 mm",
        "rule 3/64 in",
        "rule 0 mm",
        "25 mm rule 0.5 mm",
        "rule 0,5 mm",
        "rule 1/0 in",
        "rule -0.5 mm",
    ],
)
def test_a_reading_tool_without_one_division_is_refused(text: str) -> None:
    """`rule 0,5 mm` above all must not become a rule of 5 mm."""
    with pytest.raises(Refusal):
        read_tool(text)


def test_an_uncertainty_of_taper_says_which_angle_it_is() -> None:
    """As for callouts: a bare angle is refused, half and included are told apart, a ratio is plain."""
    with pytest.raises(Refusal):
        read_taper_uncertainty("2 arcsec")
    assert read_taper_uncertainty("half angle 2 arcsec").half_angle_rad == pytest.approx(
        math.radians(2 / 3600)
    )
    assert read_taper_uncertainty("0.00002 mm/mm").ratio == 2e-5
