"""How the booklet rounds and writes its figures."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.digits import decimal, degrees_minutes_seconds, in_last_digits
from cardgen.digits import inch_decimal as inches
from cardgen.paper.book.table_figures import TableFigures

BOTH = TableFigures("both")


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
    assert BOTH.turns(199.96, 100) == "2\u00a0+\u00a00.0"
    assert BOTH.turns(199.94, 100) == "1\u00a0+\u00a099.9"


def test_a_bound_is_rounded_up() -> None:
    """Ensures that 'within' is never told too narrow."""
    assert BOTH.up(0.0101, 2) == "0.02"


def test_a_length_of_the_shop_is_told_in_its_own_unit() -> None:
    """Ensures that 20 in is not told as 508 mm, nor 250 mm as 9.84252 in."""
    assert (BOTH.own(508.0), BOTH.own(250.0)) == ("20\u00a0in", "250\u00a0mm")


def test_sixty_fourths_are_reduced() -> None:
    """Ensures that readings look as a rule is engraved."""
    assert [BOTH.sixty_fourths(count, 64) for count in (1, 14, 32, 64, 76)] == [
        *("1⁄64", "7⁄32", "1⁄2", "1"),
        "1\u00a03⁄16",
    ]
