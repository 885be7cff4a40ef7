"""How numbers are written."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from cardgen.card.values import ReadingTool
from cardgen.digits import (
    NBSP,
    common_fraction,
    decimal,
    decimals_of,
    degrees_minutes_seconds,
    duration,
    engraved_mark,
    inch_decimal,
    length_text,
    on_scale,
    signed,
    with_fractions,
)
from cardgen.paper.words.figures import Figures

INCH = 25.4


def plain(text: str) -> str:
    return text.replace(NBSP, " ")


def test_metric_figures_have_a_leading_nought_and_inch_figures_none() -> None:
    """Ensures the zeros of ASME Y14.5: 0.117 mm, .0046 in."""
    assert plain(Figures("metric").stock(0.117)) == "0.117 mm"
    assert plain(Figures("inch").stock(0.0046 * INCH)) == ".0046 in"
    assert plain(Figures("inch").size(38.1)) == "1.5000 in"


def test_both_systems_show_metric_first_and_inches_beside() -> None:
    """Ensures 'both' never leaves one system out."""
    assert plain(Figures("both").size(38.0)) == "38.000 mm (1.4961 in)"


@pytest.mark.parametrize("value_mm", [0.0005, 0.001, 0.00127, -0.001])
def test_what_is_something_in_millimetres_is_not_nothing_in_inches(value_mm: float) -> None:
    """Ensures that no small figure comes out as .0000 in beside 0.001 mm; nothing is nothing in both."""
    for shown in (Figures("both").slip(value_mm), Figures("inch").stock(value_mm)):
        assert any(digit in "123456789" for digit in shown.partition("(")[2] or shown), shown
    assert plain(Figures("both").slip(0.001)) == "0.001 mm (.00004 in)"
    assert plain(Figures("both").slip(0.0)) == "0.000 mm (.0000 in)"


def test_a_minus_is_a_minus_sign_and_nought_has_none() -> None:
    """Ensures no hyphen stands for a minus, and no '−0.000' is printed."""
    assert decimal(-0.01, 3) == "−0.010"
    assert decimal(-0.0001, 3) == "0.000"
    assert inch_decimal(-0.0005, 4) == "−.0005"
    assert signed("0.000") == "0.000"
    assert signed("0.010") == "+0.010"


def test_a_rule_in_fractions_is_written_in_reduced_fractions() -> None:
    """Ensures 14/64 is read as 7/32, 70/64 as 1 3/32."""
    assert common_fraction(14 / 64, 64) == "7⁄32"
    assert plain(common_fraction(70 / 64, 64)) == "1 3⁄32"
    assert common_fraction(1.0, 64) == "1"
    assert common_fraction(-3 / 8, 64) == "−3⁄8"


def test_fractions_are_found_in_texts_and_ratios_left_alone() -> None:
    """Ensures 1 3/16 in becomes a fraction, and 7:24, 1/2.5 and dates do not."""
    assert plain(with_fractions("1 3/16 in")) == "1 3⁄16 in"
    assert with_fractions("7:24 and 1.5/2") == "7:24 and 1.5/2"


def test_inches_lose_their_nought_wherever_they_come_from() -> None:
    """Ensures a tool named 'depth micrometer 0.001 in' prints as .001 in."""
    assert with_fractions("depth micrometer 0.001 in") == "depth micrometer .001 in"
    assert with_fractions("steel rule 0.5 mm") == "steel rule 0.5 mm"
    assert plain(Figures("inch").reading("-0.0940 in")) == "minus .0940 in"


def test_angles_are_rounded_to_the_second_and_carried() -> None:
    """Ensures 59.6″ becomes the next minute, never 60″."""
    assert degrees_minutes_seconds(8.2971449698) == "8°17′50″"
    assert degrees_minutes_seconds(2.99999) == "3°00′00″"


def test_times_are_rounded_up() -> None:
    """Ensures a planned time is never shorter than computed."""
    assert plain(duration(44.2)) == "45 s"
    assert plain(duration(250)) == "4 min 10 s"
    assert plain(duration(9241)) == "2 h 35 min"


@pytest.mark.parametrize(("division", "digits"), [(0.5, 1), (0.02, 2), (0.001, 3), (0.0025, 4), (1.0, 0)])
def test_a_tools_readings_show_its_divisions(division: float, digits: int) -> None:
    """Ensures a 0.02 mm caliper is read to two places."""
    assert decimals_of(division) == digits


def test_limits_are_those_that_the_tool_shows_the_unit_once() -> None:
    """Ensures nothing is rounded on paper; a single reading stands alone."""
    assert plain(Figures("metric").limits("2.94 mm", "3.08 mm")) == "2.94 to 3.08 mm"
    assert plain(Figures("both").limits("-9/64 in", "5/64 in")) == "minus 9⁄64 to 5⁄64 in"
    assert plain(Figures("metric").limits("3.00 mm", "3.00 mm")) == "3.00 mm"


@given(st.floats(0.0, 3.0))
def test_a_doubt_and_a_least_stock_are_never_told_too_small(value: float) -> None:
    """Ensures rounding up to the last digit, in both systems, by less than one of it."""
    for units, factor, last in (("metric", 1.0, 0.001), ("inch", INCH, 0.0001)):
        told = float(plain(Figures(units).stock_up(value)).split()[0])  # type: ignore[arg-type]
        assert value / factor - 1e-8 <= told < value / factor + last
    assert plain(Figures("inch").stock_up(0.000135 * INCH)) == ".0002 in"


def test_an_angle_to_set_has_no_idle_minutes_and_seconds() -> None:
    """Ensures a scale of degrees is told what it has."""
    figures = Figures("metric")
    assert [figures.angle_set(angle) for angle in (15.0, 3.5, 7.125)] == ["15°", "3°30′", "7°07′30″"]


@given(st.floats(-500.0, 500.0), st.integers(0, 5))
def test_a_decimal_reads_back_to_its_last_digit(value: float, digits: int) -> None:
    """Ensures the text is the number to half of its last digit."""
    for text in (decimal(value, digits), inch_decimal(value, digits)):
        back = float(text.replace("−", "-")) if text not in ("", "−") else 0.0
        assert abs(back - value) <= 0.5 * 10.0**-digits + 1e-9


@pytest.mark.parametrize(
    ("kind", "in_mm", "in_inches"),
    [
        *((kind, "12.346", ".4861") for kind in ("size", "stock", "slip", "travel")),
        ("fine", "12.3457", ".48605"),
        ("length", "12.3", ".486"),
    ],
)
def test_each_kind_of_length_is_as_fine_as_it_can_be_set(kind: str, in_mm: str, in_inches: str) -> None:
    """Ensures a thousandth or a tenth of a thou for sizes and settings, ten times finer for a left-over."""
    figures = Figures("both")
    assert (figures.bare(12.34567, kind, "mm"), figures.bare(12.34567, kind, "in")) == (in_mm, in_inches)


def test_a_round_travel_is_told_in_the_system_that_leads() -> None:
    """Ensures the test bar is travelled by 100 mm on a metric card and by 4 in on an inch card."""
    told = [plain(Figures(units).travel_round(101.6)) for units in ("metric", "both", "inch")]
    assert told == ["101.6 mm", "101.6 mm", "4 in"]


def test_what_is_set_between_two_lines_is_told_to_a_quarter() -> None:
    """Ensures divisions of a screw are told as near as a hand can set them."""
    assert [Figures("metric").divisions(turned) for turned in (2.3, 2.4, 7.0)] == ["2.25", "2.5", "7"]


def test_a_length_of_nought_is_a_nought() -> None:
    """Ensures a length that somebody chose as nought stands as 0 in inches too, not as an empty place."""
    assert plain(Figures("both").exact(0.0)) == "0 mm (0 in)"
    assert plain(Figures("both").exact(12.7)) == "12.7 mm (.5 in)"


def test_a_plain_number_has_two_decimals_at_most() -> None:
    """Ensures a number that nobody asked to be finer is told to a hundredth."""
    assert [Figures("metric").number(value) for value in (2.0, 2.5, 1 / 3)] == ["2", "2.5", "0.33"]


@pytest.mark.parametrize(
    ("tool", "told"),
    [
        (ReadingTool("rule", 0.5, "mm", None, "0.5 mm", 0.001), "2.94 mm (.116 in)"),
        (ReadingTool("rule", INCH / 64, "in", 64, "1/64 in", 0.001), "2.94 mm (.116 in)"),
        (ReadingTool("micrometer", 0.001 * INCH, "in", None, "0.001 in", 0.001), "2.936 mm (.1156 in)"),
        (ReadingTool("micrometer", 0.001, "mm", None, "0.001 mm", 0.001), "2.936 mm (.1156 in)"),
    ],
)
def test_a_misreading_is_told_to_a_digit_beyond_the_tools_own(tool: ReadingTool, told: str) -> None:
    """Ensures what warm work misreads is as fine as the tool, a tenth of a thou at most."""
    assert plain(Figures("both").reading_value(2.936, tool)) == told


def test_a_rule_in_sixty_fourths_needs_six_decimals() -> None:
    """Ensures a division that no five decimals show is not told as none."""
    assert decimals_of(1 / 64) == 6


def test_seconds_of_arc_become_minutes_from_two_minutes_on() -> None:
    """Ensures a small left-over is told to a tenth of a second, a large one as a scale is engraved."""
    told = [Figures("metric").arcsec(seconds) for seconds in (9.96, 10.4, 119.0, 120.0, -150.0)]
    assert told == ["10.0″", "10″", "119″", "2′00″", "−2′30″"]


def test_a_slow_traverse_is_told_to_a_tenth_of_an_inch() -> None:
    """Ensures a traverse below 20 in/min has a decimal, a faster one none."""
    told = [plain(Figures("inch").feed(inches * INCH)) for inches in (2.54, 19.94, 20.0, 31.6)]
    assert told == ["2.5 in/min", "19.9 in/min", "20 in/min", "32 in/min"]


def limits_written(text: str, unit_mm: float) -> tuple[float, float]:
    """The limits, mm, that a diameter with its tolerance tells: '24.000 ±0.010' or '17.780 +0.010 −0'."""
    basic, *allowances = text.replace("−", "-").split(" ")
    if allowances[0].startswith("±"):
        allowances = [f"+{allowances[0][1:]}", f"-{allowances[0][1:]}"]
    upper, lower = (float(basic) + float(each) for each in allowances)
    return lower * unit_mm, upper * unit_mm


@given(
    st.integers(500, 300_000).map(lambda count: count / 1000) | st.floats(0.5, 300),
    st.floats(0, 0.1) | st.integers(0, 50).map(lambda count: count / 1000),
    st.floats(0, 0.1) | st.integers(0, 50).map(lambda count: count / 1000),
    st.booleans(),
)
def test_a_tolerance_as_written_never_reaches_beyond_the_exact_limits(
    basic: float, plus: float, minus: float, even: bool
) -> None:
    """Ensures that a piece within the written limits, in either system, is within the drawing's."""
    minus = plus if even else minus
    assume(plus + minus >= 0.001)
    low, high = basic - minus, basic + plus
    for system, unit_mm in (("mm", 1.0), ("in", INCH)):
        lower, upper = limits_written(Figures("both").size_within(basic, low, high, system), unit_mm)
        assert low - 1e-7 <= lower <= upper <= high + 1e-7


def test_a_tolerance_keeps_its_words_where_they_are_exact_and_most_of_its_width_where_not() -> None:
    """Ensures ± stays ±, nought stays nought, and rounding down is no loss that a shop would feel."""
    size_within = Figures("both").size_within
    assert size_within(24.0, 23.99, 24.01, "mm") == "24.000 ±0.010"
    assert size_within(24.0, 23.99, 24.01, "in") == ".9449 ±.00037"
    assert size_within(17.78, 17.78, 17.79, "mm") == "17.780 +0.010 −0"
    assert size_within(17.78, 17.78, 17.79, "in") == ".7000 +.00039 −0"
    assert size_within(38.0, 37.998, 38.002, "in") == "1.4961 +.00004 −.00007"
    assert size_within(0.7501 * INCH, 0.7499 * INCH, 0.7503 * INCH, "in") == ".7501 ±.0002"


def test_a_basic_size_rounded_out_of_its_limits_has_both_allowances_on_one_side() -> None:
    """Ensures that +0 on a size whose inches round up is told below what is written."""
    assert Figures("both").size_within(24.0, 23.99, 24.0, "in") == ".9449 −.00002 −.00041"


@pytest.mark.parametrize(
    ("value_mm", "metric", "inch"),
    [
        (0.0025, "0.0025 mm", ".0001 in"),
        (0.00125, "0.00125 mm", ".00005 in"),
        (0.0075, "0.0075 mm", ".0003 in"),
        (0.01, "0.010 mm", ".0004 in"),
        (3.016, "3.016 mm", ".1187 in"),
        (0.0, "0.000 mm", ".0000 in"),
        (1e-12, "0.000 mm", ".0000 in"),
    ],
)
def test_a_small_length_in_a_message_has_the_digits_it_needs(value_mm: float, metric: str, inch: str) -> None:
    """Ensures a handwheel's division of 0.0025 mm is not told as 0.003 mm beside a card that says 0.0025."""
    assert length_text(value_mm, "metric") == metric
    assert length_text(value_mm, "inch") == inch


def test_per_cent_of_a_taper_has_four_places_on_the_card_and_beside_its_scale() -> None:
    """A ten-thousandth of one per cent is a micrometre on a metre: the last that a setting can show."""
    assert Figures("metric").per_cent(5.21043) == "5.2104\u00a0%"
    assert on_scale(5.21043, "%") == "5.2104"


def test_a_mark_of_degrees_is_written_in_degrees_and_minutes() -> None:
    """3.5° is the mark 3°30′; one between the minutes is written in degrees."""
    assert engraved_mark(3.5, "deg", fractions=False) == "3°30′"
    assert engraved_mark(7.125, "deg", fractions=False) == "7.125°"
