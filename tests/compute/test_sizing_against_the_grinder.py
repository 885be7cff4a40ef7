"""Every sum from the reading to the handwheel, held against the bare grinder of tests/brute_force."""

from hypothesis import given, settings
from hypothesis import strategies as st

from cardgen.terms import HandwheelReads
from tests.compute import sizing_comparisons
from tests.compute.cases import between, cases, cases_with_stock
from tests.compute.parts import Case

SOME = settings(max_examples=60, deadline=None)
READS = st.sampled_from(("diameter", "radius"))
DIVISIONS = st.sampled_from((0.001, 0.0025, 0.01, 0.0254, 0.00254))
TOOLS = st.sampled_from((0.5, 25.4 / 64, 0.02, 0.0254, 0.01))


@SOME
@given(cases())
def test_finish_reading_is_where_the_gauge_stops_on_a_finished_piece(case: Case) -> None:
    """For all four kinds of reading, ring and plug, short and long gauges."""
    sizing_comparisons.finish_reading_is_where_the_gauge_stops(case)


@SOME
@given(cases_with_stock(), st.sampled_from((1.0, -0.3)))
def test_the_reading_tells_the_stock_that_is_on(drawn: tuple[Case, float], sign: float) -> None:
    """Also on a piece that is under size, where the stock is negative."""
    sizing_comparisons.reading_tells_the_stock(drawn[0], sign * drawn[1])


@SOME
@given(cases_with_stock())
def test_feeding_in_the_whole_stock_brings_the_reading_to_its_finish(drawn: tuple[Case, float]) -> None:
    """With the table swivelled, and with the head swivelled and the slide above or below fed."""
    sizing_comparisons.feeding_the_stock_brings_the_reading_to_its_finish(*drawn)


@SOME
@given(cases_with_stock())
def test_a_cut_takes_off_as_said(drawn: tuple[Case, float]) -> None:
    """2 a / cos θ off the diameter, whatever the gauge then reads."""
    sizing_comparisons.a_cut_takes_off_as_said(*drawn)


@SOME
@given(cases_with_stock(), READS, DIVISIONS)
def test_whole_handwheel_divisions_never_overshoot(
    drawn: tuple[Case, float], reads: HandwheelReads, division: float
) -> None:
    """Fed as many divisions as said, the piece has stock left; a division more would take it under."""
    sizing_comparisons.whole_divisions_never_overshoot(*drawn, reads, division)


@SOME
@given(cases_with_stock(), READS, DIVISIONS)
def test_stopping_at_a_position_counted_back_leaves_the_stock_on(
    drawn: tuple[Case, float], reads: HandwheelReads, division: float
) -> None:
    """The stop stands on the side that leaves at least the stock asked for, and not a division further."""
    sizing_comparisons.position_back_leaves_the_stock(*drawn, reads, division)


@SOME
@given(cases_with_stock(), TOOLS)
def test_the_next_readable_division_leaves_at_least_the_stock_asked(
    drawn: tuple[Case, float], division: float
) -> None:
    """For readings that grow with stock and readings that shrink, and for a tool in inches too."""
    sizing_comparisons.next_readable_leaves_the_stock(*drawn, division)


@SOME
@given(cases_with_stock(), READS, DIVISIONS)
def test_a_piece_ground_to_a_stage_measures_as_the_stage_says(
    drawn: tuple[Case, float], reads: HandwheelReads, division: float
) -> None:
    """Diameters, reading and the feed that is left."""
    sizing_comparisons.stages_are_true(*drawn, reads, division)


@SOME
@given(cases(), between(0.0, 0.02), between(0.0, 0.02))
def test_limits_of_size_are_these_limits_of_reading(case: Case, minus: float, plus: float) -> None:
    """External work at its upper limit has metal left, internal work at its lower."""
    sizing_comparisons.limits_of_size_read_as_said(case, minus, plus)


@SOME
@given(cases(), between(0.0, 0.3), between(0.0, 0.3))
def test_limits_of_reading_are_these_limits_of_size(case: Case, minus: float, plus: float) -> None:
    """A larger gap and a deeper plug mean a larger diameter, more standout and standoff a smaller one."""
    sizing_comparisons.limits_of_reading_measure_as_said(case, minus, plus)
