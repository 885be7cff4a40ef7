"""Quantities as drawings write them, and the traps between text and number."""

import math
import os
import re
import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import mpmath
import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import cardgen
from cardgen.spec.complaint import Refusal
from cardgen.spec.quantity import (
    above_nothing,
    not_negative,
    read_angle,
    read_count,
    read_feed_range,
    read_length,
    read_length_range,
    read_number,
    read_rotation,
    read_rotation_steps,
    read_slope,
    read_speed,
    read_temperature_difference,
    read_time,
    read_tolerance,
    read_toleranced_length,
)
from cardgen.spec.units import UNITS, worth

READERS = (
    read_length,
    read_angle,
    read_slope,
    read_time,
    read_speed,
    read_rotation,
    read_number,
    read_count,
    read_length_range,
    read_feed_range,
    read_tolerance,
    read_toleranced_length,
    read_rotation_steps,
    read_temperature_difference,
)


def refused(read: object, text: str) -> Refusal | None:
    """The refusal that a reader gives, None where it reads the text; anything else is a fault."""
    assert callable(read)
    try:
        read(text)
    except Refusal as refusal:
        return refusal
    return None


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("38.1 mm", 38.1),
        ("38.1mm", 38.1),
        ("1 1/2 in", 38.1),  # Pint alone reads this as 0.5 in
        ("1-1/2 in", 38.1),
        ("1½ in", 38.1),
        ('1 1/2"', 38.1),
        ("7/32 in", 5.55625),
        (".0625 in", 1.5875),
        ("10 thou", 0.254),
        ("5 µm", 0.005),
        ("2 ft", 609.6),  # binary fractions make this 609.5999…
        ("−3 mm", -3.0),
        ("– 3 mm", -3.0),
        ("+3 mm", 3.0),
        ("010 mm", 10.0),
    ],
)
def test_a_length_is_read_as_the_drawing_writes_it(text: str, mm: float) -> None:
    """Each way of writing a length gives its exact millimetres."""
    assert read_length(text).value == mm


@pytest.mark.parametrize(
    ("text", "wrong", "right"),
    [
        ("3 in 5", "'5' is left over in '3 in 5'", "38.1 mm"),  # Pint alone reads this as 15 in
        ("38", "'38' has no unit, and a length is wanted here", "(mm or in)"),
        ("38,1 mm", "'38,1 mm' has a decimal comma", "write a point: 38.1 mm"),
        ("1,000.5 mm", "'1,000.5 mm' has a comma in a number", "leave it out: 1000.5 mm"),
        ("1:8", "'1:8' is a slope (a taper), and a length is wanted here", "38.1 mm or 1 1/2 in"),
        ("0.6 in/ft", "'0.6 in/ft' is a slope (a taper), and a length is wanted here", "38.1 mm"),
        ("8 deg", "'8 deg' is an angle, and a length is wanted here", "38.1 mm"),
        ("38 mn", "'mn' in '38 mn' is not a known unit", "did you mean 'mm'?"),
        ("38 MM", "'MM' in '38 MM' is not a known unit", "did you mean 'mm'?"),
        ("38 mil", "to some and a millimetre to others", "write thou or mm"),
        ("2 tenths", "'tenths' is a ten-thousandth of an inch to some", "write 0.1 thou or 0.1 mm"),
        ("1 5/4 in", "'1 5/4' is not a whole number and a proper fraction", "1 1/2"),
        ("3/0 in", "'3/0' divides by nothing", "3/16"),
        ("1.2.3 mm", "'1.2.3' in '1.2.3 mm' is not a number", "38.1, 7/32 or 1 1/2"),
        ("1 1/2 1/2 in", "'1 1/2 1/2 in' has two numbers side by side", "38.1 mm"),
        ("", "a length is wanted here, and there is nothing", "38.1 mm"),
        ("mm", "'mm' lacks a number before 'mm'", "38.1 mm"),
        ("no", "'no' lacks a number before 'no'", "38.1 mm"),  # YAML alone makes this False
        ("12:30", "'12:30' is a slope (a taper), and a length is wanted here", "38.1 mm"),  # and this 750
        ("1e-3 mm", "'e' in '1e-3 mm' is not a known unit", "write such as 38.1 mm"),
        ("9999999999999999 mm", "has more than 15 digits", "fewer"),
        ("5 in/", "'5 in/' lacks a unit after '/'", "in/ft"),
        ("٣ mm", "'٣' does not belong in the quantity '٣ mm'", "38.1 mm"),
    ],
)
def test_a_length_that_cannot_be_trusted_is_refused(text: str, wrong: str, right: str) -> None:
    """The refusal says what is wrong and what would be right; it never guesses."""
    with pytest.raises(Refusal) as caught:
        read_length(text)
    assert wrong in caught.value.wrong
    assert right in caught.value.right


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("7°7'30\"", 7.125),
        ("7 deg 7 min 30 s", 7.125),
        ("7° 7′ 30″", 7.125),
        ("7°7’30”", 7.125),
        ("7°7'30''", 7.125),
        ("8.297 deg", 8.297),
        ("7 deg 0 min 30.5 s", 7 + 30.5 / 3600),
        ("10 arcmin", 1 / 6),
        ("8 arcsec", 8 / 3600),
        ("7 1/2 deg", 7.5),
        ("0.1 rad", math.degrees(0.1)),
        ("-7 deg 30 min", -7.5),
        ("0° 0′ 0″", 0.0),
    ],
)
def test_an_angle_is_read_in_degrees_minutes_and_seconds(text: str, degrees: float) -> None:
    """Each way of writing an angle gives its radians."""
    assert read_angle(text).value == pytest.approx(math.radians(degrees), rel=1e-15, abs=1e-18)


@pytest.mark.parametrize(
    "text",
    ["7 deg 70 min", "7 min 7 deg", "7.5 deg 7 min", "7 deg 7 deg", "1/2 deg 7 min", "7 deg 7", "7°-30'"],
)
def test_degrees_minutes_and_seconds_out_of_order_are_refused(text: str) -> None:
    """Parts go downward, each once, minutes and seconds below sixty, decimals in the last only."""
    with pytest.raises(Refusal):
        read_angle(text)


def test_taper_per_foot_is_no_angle() -> None:
    """0.6 in/ft would be 2.8648° if the ratio were taken for radians: it is refused instead."""
    with pytest.raises(Refusal, match="is a slope"):
        read_angle("0.6 in/ft")


def test_an_angle_is_no_taper_per_foot() -> None:
    """An angle where a slope is wanted is refused by name."""
    with pytest.raises(Refusal, match="is an angle, and a slope"):
        read_slope("8 deg")


@pytest.mark.parametrize(
    ("text", "ratio"),
    [
        ("1:8", 1 / 8),
        ("7:24", 7 / 24),
        ("1:19.922", 1 / 19.922),
        ("5 %", 0.05),
        ("0.05 mm/mm", 0.05),
        ("0.05 in/in", 0.05),
        ("50 mm/m", 0.05),
        ("5 mm/100 mm", 0.05),
        ("0.6 in/ft", 0.05),
        ("0.6 in per foot", 0.05),
        ("3 1/2 in/ft", 3.5 / 12),
    ],
)
def test_a_taper_is_read_in_every_form_of_slope(text: str, ratio: float) -> None:
    """Each form gives change of diameter per length."""
    assert read_slope(text).value == pytest.approx(ratio, rel=1e-15)


@pytest.mark.parametrize(
    ("read", "text", "half_digit"),
    [
        (read_length, "38.000 mm", 0.0005),
        (read_length, "38 mm", 0.5),
        (read_length, ".938 in", 0.0005 * 25.4),
        (read_length, "15/16 in", 0.0),
        (read_slope, "1:8", 0.0),
        (read_slope, "7:24", 0.0),
        (read_slope, "0.602 in/ft", 0.0005 / 12),
        (read_slope, "1:19.922", 0.0005 / 19.922**2),
        (read_angle, "8.297 deg", math.radians(0.0005)),
        (read_angle, "7°7'30\"", math.radians(0.5 / 3600)),
        (read_toleranced_length, "3.0 mm ± 0.2 mm", 0.05),
    ],
)
def test_a_figure_remembers_its_last_digit(read: object, text: str, half_digit: float) -> None:
    """Half a unit of the last digit given goes with the figure; fractions and whole ratios are exact."""
    assert callable(read)
    assert read(text).half_digit == pytest.approx(half_digit, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "nominal", "minus", "plus"),
    [
        ("38 mm ± 0.01 mm", 38.0, 0.01, 0.01),
        ("38 ± 0.01 mm", 38.0, 0.01, 0.01),
        ("38 mm +/- 0.01 mm", 38.0, 0.01, 0.01),
        ("3/16 in +1/64 -0 in", 4.7625, 0.0, 0.396875),
        ("3/16 in -0 +1/64 in", 4.7625, 0.0, 0.396875),
        ("-1.5 mm ± 0.2 mm", -1.5, 0.2, 0.2),
        ("3.0 mm", 3.0, 0.0, 0.0),
    ],
)
def test_a_length_carries_its_tolerance(text: str, nominal: float, minus: float, plus: float) -> None:
    """Allowances are counted positive on both sides; none stated is none."""
    length = read_toleranced_length(text)
    assert (length.nominal, length.minus, length.plus) == (nominal, minus, plus)
    assert length.stated is (plus > 0 or minus > 0)


@pytest.mark.parametrize(
    "text",
    [
        "38 mm +0.01 mm",  # and the other side?
        "38 mm +0.02 +0.01 mm",
        "38 mm ± 0 mm",
        "38 mm ± 0.01",
        "± 0.1 mm",
        "3/16 in +0-1/64 in",  # not a plus of nought-and-one-sixty-fourth
    ],
)
def test_a_tolerance_that_is_not_plain_is_refused(text: str) -> None:
    """One side only, none, or no unit: refused."""
    with pytest.raises(Refusal):
        read_toleranced_length(text)


@pytest.mark.parametrize("text", ["0.01 mm", "±0.01", "± 8 arcsec", "+0.01 mm"])
def test_a_tolerance_without_its_signs_or_unit_is_refused(text: str) -> None:
    """A tolerance must say which way and in what."""
    with pytest.raises(Refusal):
        read_tolerance(text)


@pytest.mark.parametrize("text", ["0.35 .. 0.50 mm", "0.35mm..0.50mm", "0.35 – 0.50 mm", "0.35 … 0.50 mm"])
def test_a_range_names_its_lower_end_first(text: str) -> None:
    """Two dots, or the dash of print; the unit once or twice."""
    span = read_length_range(text)
    assert (span.low, span.high) == (0.35, 0.5)


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("0.5 .. 0.3 mm", "is the wrong way round"),
        ("0.5 .. 0.5 mm", "has two equal ends"),
        ("0.35 mm", "is not a range"),
        ("1 .. 2 .. 3 mm", "is not a range"),
        ("0.3 .. 0.5", "has no unit"),
        ("0.3 .. 0.5 deg", "is an angle"),
        ("2 .. 1:8", "holds a ratio"),
    ],
)
def test_a_range_that_is_none_is_refused(text: str, wrong: str) -> None:
    """The refusal says what is wrong with it."""
    with pytest.raises(Refusal) as caught:
        read_length_range(text)
    assert wrong in caught.value.wrong


@pytest.mark.parametrize(
    "entries", ["[60, 90, 140] rpm", "60, 90, 140 rpm", ["60 rpm", "90 rpm", "140 rpm"], "[140,90,60]rpm"]
)
def test_the_steps_of_a_machine_are_in_rising_order(entries: str | list[str]) -> None:
    """A list with one unit after it, or a unit with each."""
    assert read_rotation_steps(entries).steps == (60.0, 90.0, 140.0)


def test_a_stepless_drive_has_a_range_and_no_steps() -> None:
    """`40 .. 300 rpm` leaves the steps empty."""
    steps = read_rotation_steps("40 .. 300 rpm")
    assert (steps.steps, steps.low, steps.high) == ((), 40.0, 300.0)


@pytest.mark.parametrize(
    "entries",
    [["60", "90"], "[0, 60] rpm", "[60 90] rpm", "", [], "35 m/s", [["60 rpm"]], {"a": "b"}],
)
def test_steps_without_unit_or_sense_are_refused(entries: object) -> None:
    """Bare numbers, nothing, and speeds of nothing are refused."""
    with pytest.raises(Refusal):
        read_rotation_steps(entries)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("read", "text", "value"),
    [
        (read_speed, "35 m/s", 35.0),
        (read_speed, "6500 ft/min", 33.02),
        (read_rotation, "1670 rev/min", 1670.0),
        (read_time, "1.5 min", 90.0),
        (read_temperature_difference, "1 K", 1.0),
        (read_temperature_difference, "9 °F", 5.0),
        (read_number, "20", 20.0),
    ],
)
def test_speeds_times_and_numbers_are_read(read: object, text: str, value: float) -> None:
    """Each in its own unit inside: m/s, mm/min, rpm, s, K."""
    assert callable(read)
    assert read(text).value == pytest.approx(value, rel=1e-15)


def test_a_range_of_feeds_is_in_millimetres_a_minute() -> None:
    """Whether it is written in metric or in inches."""
    metric, inch = read_feed_range("50 .. 400 mm/min"), read_feed_range("2 .. 16 in/min")
    assert (metric.low, metric.high, inch.low, inch.high) == (50.0, 400.0, 50.8, 406.4)


def test_a_count_with_a_leading_nought_is_a_decimal_number() -> None:
    """YAML 1.1 reads 010 as eight; a count of 010 is ten."""
    assert read_count("010") == 10


@pytest.mark.parametrize("text", ["4.5", "-4", "12:30", "no", "", "4 mm", "1/2", "²"])
def test_a_count_is_a_whole_number(text: str) -> None:
    """Anything else is refused."""
    with pytest.raises(Refusal):
        read_count(text)


def test_a_lead_of_nothing_is_refused() -> None:
    """What must be more than nothing says so."""
    with pytest.raises(Refusal, match="must be more than nothing"):
        above_nothing(read_length)("0 mm")


def test_a_negative_relief_is_refused() -> None:
    """What may be nothing must still not be negative."""
    with pytest.raises(Refusal, match="must not be negative"):
        not_negative(read_length)("-1 mm")


@settings(deadline=None)
@given(st.fractions(min_value=0, max_value=100, max_denominator=128))
def test_a_fraction_of_an_inch_is_exact(value: Fraction) -> None:
    """Every fraction of an inch written out in full gives the millimetre nearest to it."""
    whole, rest = divmod(value, 1)
    text = f"{whole} {rest.numerator}/{rest.denominator} in" if whole and rest else f"{value} in"
    assert read_length(text).value == float(value * Fraction(127, 5))


@settings(deadline=None)
@given(st.text(max_size=40))
def test_any_text_is_read_or_refused(text: str) -> None:
    """No text brings a reader down: it gives a value or a refusal with both halves."""
    for read in READERS:
        refusal = refused(read, text)
        assert refusal is None or (refusal.wrong and refusal.right)


@settings(deadline=None)
@given(st.text(alphabet="0123456789./:-+±°′″'\" ,%inmftdegrads…–()[]", max_size=24))
def test_any_scramble_of_figures_and_units_is_read_or_refused(text: str) -> None:
    """Texts made of the signs of quantities, in any order."""
    for read in READERS:
        refusal = refused(read, text)
        assert refusal is None or (refusal.wrong and refusal.right)


ACCEPTED = sorted({(unit, kind) for kind, words in UNITS.items() for unit in words.values()})
OTHERWISE_IN_PINT = {
    "celsius_degree": "delta_degree_Celsius",
    "fahrenheit_degree": "delta_degree_Fahrenheit",
}


@pytest.fixture(scope="module")
def whole_registry() -> pint.UnitRegistry:
    """Pint's own definitions, counting in fractions as ours do."""
    return pint.UnitRegistry(non_int_type=Fraction)


@pytest.mark.parametrize(("unit", "kind"), ACCEPTED)
def test_a_unit_is_worth_what_pints_own_definitions_say(
    unit: str, kind: str, whole_registry: pint.UnitRegistry
) -> None:
    """Every unit that a spec may name, to the last figure: ours are a few of theirs, not others."""
    base = {"length": "mm", "angle": "rad", "time": "s", "turn": "rpm", "speed": "m / s", "temperature": "K"}
    theirs = whole_registry.Quantity(Fraction(1), OTHERWISE_IN_PINT.get(unit, unit)).to(base[kind])
    assert worth(unit, kind) == theirs.magnitude


@pytest.mark.parametrize(
    ("unit", "kind", "exact"),
    [
        ("inch", "length", Fraction(254, 10)),  # the international yard, 1959: 0.9144 m, an inch 1/36 of it
        ("foot", "length", Fraction(3048, 10)),  # and a foot 1/3 of it
        ("minute", "time", Fraction(60)),  # SI Brochure, 9th edition, table 8
        ("hour", "time", Fraction(3600)),  # the same
        ("celsius_degree", "temperature", Fraction(1)),  # SI Brochure, 9th edition, section 2.3.1
        ("fahrenheit_degree", "temperature", Fraction(5, 9)),  # NIST SP 811, 2008, appendix B.8
    ],
)
def test_a_unit_is_worth_what_its_definition_says(unit: str, kind: str, exact: Fraction) -> None:
    """Exactly, with nothing lost to binary fractions."""
    assert worth(unit, kind) == exact


@pytest.mark.parametrize(
    ("unit", "parts"), [("degree", 180), ("arcminute", 180 * 60), ("arcsecond", 180 * 60 * 60)]
)
def test_a_unit_of_angle_is_its_share_of_half_a_turn(unit: str, parts: int) -> None:
    """Half a turn is π radians (SI Brochure, 9th edition, table 8): 50 figures of π are right."""
    with mpmath.workdps(60):
        half_turn = worth(unit, "angle") * parts
        assert (
            abs(mpmath.mpf(half_turn.numerator) / half_turn.denominator - mpmath.pi) < mpmath.mpf(10) ** -49
        )


@pytest.mark.parametrize(
    ("unit", "kind"),
    [("inch / foot", "angle"), ("degree", "turn"), ("revolution", "angle"), ("inch", "time")],
)
def test_pint_itself_takes_no_unit_for_one_of_another_kind(unit: str, kind: str) -> None:
    """Pint's own definitions make 0.6 in/ft an angle of 2.8648°; ours give angles a dimension."""
    with pytest.raises(pint.DimensionalityError):
        worth(unit, kind)


def test_no_unit_is_known_but_the_trades() -> None:
    """The whole registry of Pint, a third of a second of every command, is not read."""
    with pytest.raises(pint.UndefinedUnitError):
        worth("furlong", "length")


def test_reading_a_quantity_leaves_nothing_in_the_users_home(tmp_path: Path) -> None:
    """No file is kept there to save time."""
    code = "from cardgen.spec.quantity import read_length; print(read_length('1 1/2 in').value)"
    home = {"HOME": str(tmp_path), "USERPROFILE": str(tmp_path), "LOCALAPPDATA": str(tmp_path)}
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, **home},
        cwd=tmp_path,
        capture_output=True,
        check=True,
    )
    assert (done.stdout, list(tmp_path.iterdir())) == (b"38.1\n", [])


def test_one_file_alone_asks_what_a_unit_is_worth() -> None:
    """Pint's own reading of numbers must not creep in elsewhere."""
    package = Path(cardgen.__file__).parent
    asking = [
        path
        for path in package.rglob("*.py")
        if re.search(r"^\s*(import|from) pint\b", path.read_text("utf-8"), re.M)
    ]
    assert [path.name for path in asking] == ["units.py"]
