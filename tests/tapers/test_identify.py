"""What taper is this? By how fast it tapers, by two ends and a length, by words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen import tapers

PER_FOOT = 1 / 12
SIZED = [taper for taper in tapers.all_tapers() if taper.large and taper.length]


def test_a_rounded_taper_per_foot_is_known_for_a_morse_taper():
    """Ensures that '0.602 in/ft' leads to Morse 3, both standards', as within the rounding of the figure."""
    found = tapers.by_ratio(0.602 * PER_FOOT, half_digit=0.0005 * PER_FOOT)
    explained = {taper.name for family in found if family.within_rounding for taper in family.tapers}
    assert explained == {"Morse 3", "ISO Morse 3", "B22", "B24"}


def test_the_nearest_families_come_first():
    """Ensures the order of the answer."""
    off = [abs(family.difference_ratio) for family in tapers.by_ratio(0.602 * PER_FOOT)]
    assert off == sorted(off)


def test_sizes_that_taper_alike_are_one_family():
    """Ensures that 3 1/2 in/ft names the steep tapers once, with all their sizes."""
    alike = [family for family in tapers.by_ratio(3.5 * PER_FOOT) if family.within_rounding]
    families = {family.series: family for family in alike}
    shanks = {"BT shank", "CAT shank", "SK shank", "NMTB shank"}
    assert set(families) == {"7:24", "Long spindle nose"} | shanks
    assert len(alike) == len(families)
    assert len(families["7:24"].tapers) == 16


def test_a_steeper_taper_differs_to_the_plus():
    """Ensures the sign: asked about less standard, over 100 mm."""
    first = tapers.nearest(0.0501, 100.0, 1)[0]
    assert first.taper.ratio == pytest.approx(0.05, abs=0.001)
    assert first.difference_mm == pytest.approx((0.0501 - first.taper.ratio) * 100)


def test_the_difference_of_a_family_grows_with_the_length():
    """Ensures that 0.01 steeper is 1 mm on the diameter over 100 mm."""
    family = tapers.by_ratio(1 / 8 + 1e-6)[0]
    assert family.difference_over(100.0) == pytest.approx(1e-4)


def test_a_morse_shank_measured_at_both_ends_is_known():
    """Ensures that the ends of a Morse 3 plug lead to Morse 3 before any other inch taper."""
    found = tapers.by_ends(23.825, 19.761, 80.96)
    assert "Morse 3" in [likeness.taper.name for likeness in found[:4]]
    assert all(abs(likeness.difference_mm) < 0.01 for likeness in found[:3])


def test_a_taper_of_the_right_rate_but_another_size_comes_after_the_right_size():
    """Ensures that diameters count: a 1:20 taper of 22 mm is Jarno 7 before it is Metric 6."""
    names = [likeness.taper.name for likeness in tapers.by_ends(22.0, 19.5, 50.0, count=1000)]
    assert names.index("Jarno 7") < names.index("Metric 6")


@given(taper=st.sampled_from(SIZED), where=st.floats(0.0, 0.5), share=st.floats(0.1, 0.5))
def test_a_piece_cut_from_a_standard_taper_is_known_again(taper, where, share):
    """Ensures that any stretch of a standard cone leads to it (or its like), with no difference of taper."""
    large = taper.large.mm - taper.ratio * where * taper.length.mm
    length = share * taper.length.mm
    found = tapers.by_ends(large, large - taper.ratio * length, length, count=100)
    alike = [likeness for likeness in found if likeness.taper.series == taper.series]
    best = min(abs(likeness.difference_mm) + likeness.outside_mm for likeness in alike)
    assert best < 1e-6


def test_how_far_the_large_end_is_past_the_gauge_line_is_told():
    """Ensures that a shank 5 mm longer than the gauge line of ISO Morse 3 is told so."""
    iso = tapers.find("ISO Morse 3")
    found = tapers.by_ends(iso.large.mm + 5 * iso.ratio, iso.large.mm - 20 * iso.ratio, 25.0, count=40)
    mine = next(likeness for likeness in found if likeness.taper is iso)
    assert mine.beyond_gauge_line_mm == pytest.approx(5.0)
    assert mine.outside_mm == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(
    "ends", [(20.0, 20.0, 10.0), (19.0, 20.0, 10.0), (20.0, 19.0, 0.0), (20.0, -1.0, 5.0)]
)
def test_two_ends_that_make_no_taper_are_refused(ends):
    """Ensures that a cylinder, exchanged ends and no length are told."""
    with pytest.raises(ValueError, match="large end"):
        tapers.by_ends(*ends)
