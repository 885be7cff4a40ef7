"""How the booklet rounds and writes its figures."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.booklet.basis import own_length
from cardgen.booklet.tables import Way
from cardgen.digits import decimal, degrees_minutes_seconds, in_last_digits
from cardgen.digits import inch_decimal as inches
from cardgen.paper.book.written import amount, written


@given(st.integers(1, 10**7), st.integers(0, 5))
def test_half_way_goes_away_from_nought(count: int, digits: int) -> None:
    """Ensures that a figure exactly half way, as a float holds it, is not left to the float's last bit."""
    half_way = Fraction(2 * count + 1, 2 * 10**digits)
    assert in_last_digits(float(half_way), digits) == count + 1
    assert in_last_digits(-float(half_way), digits) == -count - 1


@given(st.fractions(0, 1000, max_denominator=10**6), st.integers(0, 5))
def test_a_sum_in_floats_rounds_as_the_exact_figure_does(exact: Fraction, digits: int) -> None:
    """Ensures that rounding a float of a round ratio gives what rounding the ratio itself gives."""
    wanted = (Decimal(exact.numerator) / Decimal(exact.denominator)).scaleb(digits)
    assert in_last_digits(float(exact), digits) == int(wanted.to_integral_value(ROUND_HALF_UP))


def test_what_plain_formatting_gets_wrong() -> None:
    """Ensures that the trap is real: 5.1875 in is 131.7625 mm, which the float writes as 131.762."""
    assert f"{5.1875 * 25.4:.3f}" == "131.762"
    assert decimal(5.1875 * 25.4, 3) == "131.763"


@pytest.mark.parametrize(
    ("value", "digits", "written"),
    [
        (0.60235, 5, ".60235"),
        (1.0, 4, "1.0000"),
        (-0.0004, 4, "−.0004"),
        (-0.00004, 4, ".0000"),
        (10.5, 0, "11"),
    ],
)
def test_inches_have_no_nought_before_the_point(value: float, digits: int, written: str) -> None:
    """Ensures that inches stand as drawings write them, nought without a sign."""
    assert inches(value, digits) == written


@pytest.mark.parametrize(
    ("degrees", "written"),
    [
        (8.297144, "8°17′50″"),
        (1 / 3600 / 2, "0°00′01″"),
        (59.99999, "60°00′00″"),
        (0.5 + 59.6 / 3600, "0°31′00″"),
    ],
)
def test_seconds_carry_into_minutes_and_degrees(degrees: float, written: str) -> None:
    """Ensures that no angle is written with 60 seconds or 60 minutes."""
    assert degrees_minutes_seconds(degrees) == written


def test_divisions_carry_into_turns() -> None:
    """Ensures that a screw is never said to stand at a whole turn of divisions."""
    assert written(199.96, Way("turns", 100)) == "2\u00a0+\u00a00.0"
    assert written(199.94, Way("turns", 100)) == "1\u00a0+\u00a099.9"


@pytest.mark.parametrize(
    ("seconds", "text"), [(59.94, "59.9″"), (59.96, "60.0″"), (65.04, "1′05.0″"), (1650.12, "27′30.1″")]
)
def test_seconds_of_arc_become_minutes(seconds: float, text: str) -> None:
    """Ensures that a width of 27′30″ is not told as 1650.1″."""
    assert written(seconds, Way("arc", 1)) == text


def test_a_length_of_the_shop_is_told_in_its_own_unit() -> None:
    """Ensures that 20 in is not told as 508 mm, nor 250 mm as 9.84252 in."""
    assert [amount(own_length(each)) for each in (508.0, 250.0)] == ["20\u00a0in", "250\u00a0mm"]
