"""Setting and correcting the swivel, held against the bare grinder of tests/brute_force."""

from hypothesis import given, settings
from hypothesis import strategies as st

from cardgen.terms import ScaleShows, SwingType
from tests.compute import swivel_comparisons
from tests.compute.cases import between, wrong_tapers
from tests.compute.parts import Wrong

SOME = settings(max_examples=60, deadline=None)
SWINGS = st.sampled_from(("sine", "tangent", "chord"))
SHOWS = st.sampled_from(("half_angle", "included_angle", "taper_per_foot", "mm_per_m", "per_cent"))


@SOME
@given(wrong_tapers())
def test_the_heavy_end_bears_and_the_turn_named_puts_it_right(drawn: tuple[Wrong, float]) -> None:
    """External and internal, too shallow and too steep: where it bears, where light shows, what to do."""
    swivel_comparisons.heavy_end_bears(drawn[0])


@SOME
@given(wrong_tapers())
def test_a_gauge_of_another_taper_rests_where_it_is_said_to(drawn: tuple[Wrong, float]) -> None:
    """Ring and plug, on work too shallow and too steep: what a lopsided angle tolerance is read by."""
    swivel_comparisons.gauge_rests_on_another_taper(*drawn)


@SOME
@given(wrong_tapers(), between(-60.0, 60.0))
def test_the_size_shift_is_what_turning_the_table_does(drawn: tuple[Wrong, float], off: float) -> None:
    """Both senses, external and internal, the plane on either side of the pivot."""
    swivel_comparisons.size_shift_is_what_the_table_does(*drawn, drawn[0].case.face + off)


@SOME
@given(wrong_tapers())
def test_the_reading_shift_is_what_the_gauge_shows_after_the_turn(drawn: tuple[Wrong, float]) -> None:
    """The old reading with one end bearing, the new one with even bearing."""
    swivel_comparisons.reading_shift_is_what_the_gauge_does(*drawn)


@SOME
@given(wrong_tapers())
def test_the_light_end_has_less_stock_than_the_reading_says(drawn: tuple[Wrong, float]) -> None:
    """By the error over the way from the bearing plane to the end of the taper."""
    swivel_comparisons.shortfall_is_at_the_light_end(*drawn)


@SOME
@given(wrong_tapers())
def test_the_least_stock_is_just_enough_and_the_end_named_goes_under_first(
    drawn: tuple[Wrong, float],
) -> None:
    """With exactly that stock nothing goes under; with a millionth of a millimetre less that end does."""
    swivel_comparisons.least_stock_is_just_enough(drawn[0])


@SOME
@given(wrong_tapers())
def test_a_light_gap_at_the_far_end_tells_the_error(drawn: tuple[Wrong, float]) -> None:
    """The gap is measured square to the gauge's surface, on one side."""
    swivel_comparisons.light_gap_tells_the_error(drawn[0])


@SOME
@given(SWINGS, between(100.0, 900.0), between(0.001, 0.7))
def test_the_swing_measured_at_a_radius_is_the_height_said(
    kind: SwingType, radius: float, angle: float
) -> None:
    """For a button on the table, its edge, and two equal buttons."""
    swivel_comparisons.swing_measures_as_said(kind, radius, angle)


@SOME
@given(between(1.0, 300.0), between(0.001, 0.7), between(5.0, 40.0))
def test_the_test_bar_rises_as_said(travel: float, angle: float, bar_radius: float) -> None:
    """A parallel bar between centres on the swung table, an indicator that stays with the wheel head."""
    swivel_comparisons.bar_rises_as_said(travel, angle, bar_radius)


@SOME
@given(wrong_tapers())
def test_the_blue_marks_where_the_gap_is_thinner_than_the_film(drawn: tuple[Wrong, float]) -> None:
    """With a film of known thickness the marked part gives the error."""
    swivel_comparisons.blue_marks_as_said(drawn[0])


@SOME
@given(
    SWINGS,
    between(100.0, 900.0),
    between(1.0, 6.0),
    st.integers(20, 200),
    between(0.01, 0.5),
    between(-0.009, 0.009),
)
def test_screw_divisions_turn_the_table_there_and_back(
    kind: SwingType, radius: float, lead: float, divisions: int, angle: float, change: float
) -> None:
    """Exact between two angles; one division for a small turn by its slope there."""
    swivel_comparisons.screw_turns_as_said(kind, radius, lead, divisions, angle, change)


@SOME
@given(SHOWS, between(0.001, 1.0))
def test_the_scale_shows_the_taper_that_is_ground(shows: ScaleShows, angle: float) -> None:
    """Half or included angle in degrees; inches per foot, millimetres per metre, per cent on the diameter."""
    swivel_comparisons.scale_shows_what_is_ground(shows, angle)


@SOME
@given(between(0.01, 0.5), between(-0.009, 0.009), between(10.0, 150.0))
def test_what_the_mark_leaves_over_is_at_the_far_end(angle: float, off: float, length: float) -> None:
    """Positive when the mark stands too shallow."""
    swivel_comparisons.mark_leaves_over_as_said(angle, angle + off, length)
