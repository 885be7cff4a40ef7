"""Facts every grinding hand knows, as statements. Source of all: common practice, no source."""

import math

import pytest

from cardgen.compute import correction, infeed, reading, taper
from cardgen.terms import HeavyEnd, Side

INCH = 25.4
MORSE_3 = 0.60235 / 12  # in/ft over 12; common practice, no source


def test_a_gap_a_thirty_second_too_large_at_three_and_a_half_per_foot_is_nine_thousandths() -> None:
    """5/32 in where 1/8 in is wanted leaves 0.0091 in on the diameter (1/32 × 3.5/12).

    Common practice, no source.
    """
    per_reading = reading.stock_per_reading("shoulder_gap", taper.ratio_from_per_foot(3.5))
    stock = reading.stock_from_reading(5 / 32 * INCH, 1 / 8 * INCH, per_reading)
    assert stock / INCH == pytest.approx(0.0091, abs=0.00005)


def test_a_gap_slightly_above_the_finish_gap_means_stock_for_finishing() -> None:
    """Above the finish gap there is metal on, below it there is too little."""
    per_reading = reading.stock_per_reading("shoulder_gap", taper.ratio_from_per_foot(1.25))
    assert reading.stock_from_reading(4.9, 4.7, per_reading) > 0
    assert reading.stock_from_reading(4.6, 4.7, per_reading) < 0


def test_bearing_heaviest_at_the_small_end_of_an_external_taper_asks_for_more_taper() -> None:
    """The work is too shallow, and light shows at the large end."""
    assert correction.pattern("external", "small") == correction.Pattern(
        "small", "large", "too shallow", "more"
    )


def test_bearing_heaviest_at_the_large_end_of_an_external_taper_asks_for_less_taper() -> None:
    """The work is too steep, and light shows at the small end."""
    assert correction.pattern("external", "large") == correction.Pattern(
        "large", "small", "too steep", "less"
    )


def test_a_plug_that_bears_at_the_mouth_asks_for_more_taper_in_the_hole() -> None:
    """Inside it is the other way round: heavy at the large end means too shallow."""
    assert correction.pattern("internal", "large") == correction.Pattern(
        "large", "small", "too shallow", "more"
    )


def test_a_plug_that_bears_at_its_small_end_asks_for_less_taper_in_the_hole() -> None:
    """The hole is too steep, and light shows at the mouth."""
    assert correction.pattern("internal", "small") == correction.Pattern(
        "small", "large", "too steep", "less"
    )


@pytest.mark.parametrize("side", ["external", "internal"])
def test_blue_even_over_the_whole_length_means_the_taper_is_right(side: Side) -> None:
    """No light anywhere, nothing to turn."""
    assert correction.pattern(side, "both") == correction.Pattern("both", "none", "right", "none")


@pytest.mark.parametrize("heavy", ["large", "small"])
@pytest.mark.parametrize("side", ["external", "internal"])
def test_light_anywhere_on_the_light_gauge_means_the_taper_is_not_right(side: Side, heavy: HeavyEnd) -> None:
    """Wherever light shows at an end the swivel has to be turned."""
    seen = correction.pattern(side, heavy)
    assert seen.light_end in ("large", "small")
    assert seen.meaning != "right"
    assert seen.turn != "none"


@pytest.mark.parametrize(
    ("half_angle", "printed"),
    [
        pytest.param(taper.half_angle_from_ratio(MORSE_3), "0.03", id="Morse 3"),
        pytest.param(taper.half_angle_from_ratio(7 / 24), "1", id="7:24"),
        pytest.param(math.radians(15), "3.4", id="30 degrees included"),
        pytest.param(math.radians(30), "13", id="60 degrees included"),
    ],
)
def test_dropping_the_cosine_of_the_cut_costs_so_many_per_cent(half_angle: float, printed: str) -> None:
    """Half the stock is fed where (S/2) cos θ is right: 1 − cos θ too far."""
    digits = len(printed.partition(".")[2])
    lost = 100 * (1 - infeed.depth_square_to_surface(2.0, half_angle))
    assert f"{lost:.{digits}f}" == printed


def test_a_gauge_two_micrometres_small_reads_a_tenth_long_at_one_in_fifty() -> None:
    """0.002 / C: the ring stops that much farther from the shoulder."""
    right, small = (
        reading.reading_from_gauge_line(
            "shoulder_gap", taper.distance_between(20.0, gauge, 1 / 50), 62.0, 50.0, 0.0, 0.0
        )
        for gauge in (19.9, 19.898)
    )
    assert small - right == pytest.approx(0.1)


def test_at_one_in_twenty_a_millimetre_of_reading_is_five_hundredths_of_stock() -> None:
    """The taper ratio is the stock for a unit of reading."""
    assert reading.stock_per_reading("shoulder_gap", 1 / 20) == pytest.approx(0.05)
    assert reading.stock_per_reading("small_end_standout", 1 / 20) == pytest.approx(-0.05)


def test_a_handwheel_on_the_diameter_counts_twice_the_travel() -> None:
    """0.01 mm of slide is 0.02 mm on the diameter of a cylinder: eight divisions of 0.0025 mm, or four."""
    assert infeed.handwheel_divisions(0.01, "diameter", 0.0025) == pytest.approx(8)
    assert infeed.handwheel_divisions(0.01, "radius", 0.0025) == pytest.approx(4)
