"""Stages of a piece, rounding to the safe side, and where a piece stands among its stages."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.compute import infeed, reading, stages
from cardgen.terms import ReadingKind
from tests.compute.cases import KINDS, between

SIZING = stages.Sizing("shoulder_gap", 1 / 8, 3.0, 38.375, 30.625, 0.0, "diameter", 0.0025, 0.5, 0.02)
ALLOWANCES = stages.Allowances(0.35, 0.50, 0.10, 0.08, -0.01, 0.02)
PLANNED = stages.stages(SIZING, ALLOWANCES)


def named(name: str) -> stages.PlannedStage:
    """One of the planned stages."""
    return next(step for step in PLANNED if step.name == name)


@given(st.sampled_from(KINDS), between(0.02, 1.2), between(-0.5, 1.0), between(-20.0, 60.0))
def test_reading_to_stock_to_reading_is_the_same_reading(
    kind: ReadingKind, ratio: float, stock: float, finish: float
) -> None:
    """For the four kinds of reading, under size too."""
    per_reading = reading.stock_per_reading(kind, ratio)
    shown = reading.reading_from_stock(stock, finish, per_reading)
    assert reading.stock_from_reading(shown, finish, per_reading) == pytest.approx(stock, abs=1e-12)
    again = reading.reading_from_stock(
        reading.stock_from_reading(shown, finish, per_reading), finish, per_reading
    )
    assert again == pytest.approx(shown, abs=1e-12)


@given(st.integers(-400, 400), st.sampled_from((0.5, 0.02, 25.4 / 64, 0.0254)), st.sampled_from((0.1, -0.1)))
def test_a_reading_on_a_division_stays_where_it_is(count: int, division: float, per_reading: float) -> None:
    """Arithmetic noise must not push it a division further."""
    for noise in (0.0, 1e-13, -1e-13):
        shown = count * division + noise
        assert reading.next_readable(shown, division, per_reading) == pytest.approx(shown, abs=1e-12)
        assert reading.last_readable(shown, division, per_reading) == pytest.approx(shown, abs=1e-12)


@pytest.mark.parametrize(("count", "down", "up"), [(15.000000001, 15, 15), (14.999999999, 15, 15)])
def test_arithmetic_noise_does_not_cost_a_division(count: float, down: int, up: int) -> None:
    """Fifteen divisions are fifteen, whichever side the last bit of the computer falls on."""
    assert infeed.divisions_to_feed(count) == down
    assert infeed.position_back(count) == up


@pytest.mark.parametrize(("count", "down", "up"), [(15.4, 15, 16), (15.6, 15, 16), (-3.2, -4, -3)])
def test_divisions_are_rounded_to_the_side_that_leaves_stock(count: float, down: int, up: int) -> None:
    """Less is fed, the stop stands farther back, on a piece past its size too."""
    assert infeed.divisions_to_feed(count) == down
    assert infeed.position_back(count) == up


def test_the_stages_come_in_their_order() -> None:
    """Blank, clean-up, rough, finish: as the card lists them."""
    assert [step.name for step in PLANNED] == [
        "blank low",
        "blank high",
        "clean-up",
        "rough",
        "finish low",
        "finish",
        "finish high",
    ]


def test_the_rough_target_stands_on_a_division_of_the_rule() -> None:
    """0.08 mm at 1:8 is 3.64 mm; the rule's next half millimetre with more stock is 4.0 mm: 0.125 mm."""
    assert named("rough").reading == pytest.approx(4.0)
    assert named("rough").stock == pytest.approx(0.125)


def test_the_rough_target_of_a_standout_moves_down_to_a_division() -> None:
    """A standout shrinks while stock remains, so the target goes to the lower half millimetre."""
    sizing = stages.Sizing("small_end_standout", 1 / 8, 9.0, 38.0, 30.0, 0.0, "radius", 0.01, 0.5, 0.02)
    step = stages.readable_stage("rough", 0.08, "rough", sizing, more=True)
    assert step.stock == pytest.approx(0.125)
    assert step.reading == pytest.approx(8.0)


def test_clean_up_stands_on_the_division_above_what_every_blank_has_left() -> None:
    """Least blank 0.35 mm, 0.10 mm to clean it up: clean at 0.25 mm, which is 5.0 mm on the rule."""
    assert stages.clean_up_stock(0.35, 0.10) == pytest.approx(0.25)
    assert named("clean-up").reading == pytest.approx(5.0)
    assert named("clean-up").stock == pytest.approx(0.25)


def test_blanks_read_between_their_limits_moved_inwards() -> None:
    """0.35 mm at 1:8 above a finish gap of 3 mm is 5.8 mm, on the rule 6.0 mm; 0.50 mm is 7.0 mm."""
    assert named("blank low").reading == pytest.approx(6.0)
    assert named("blank low").stock == pytest.approx(0.375)
    assert named("blank high").reading == pytest.approx(7.0)


def test_blanks_that_the_rule_cannot_tell_apart_are_read_with_the_finishing_tool() -> None:
    """0.40 to 0.43 mm is 6.2 to 6.44 mm: no two divisions of the rule, many of the caliper."""
    narrow = stages.Allowances(0.40, 0.43, 0.10, 0.08, -0.01, 0.02)
    least, most, *_ = stages.stages(SIZING, narrow)
    assert (least.tool, most.tool) == ("finish", "finish")
    assert (least.reading, most.reading) == pytest.approx((6.2, 6.44))


def test_limits_that_no_tool_tells_apart_are_out_of_order() -> None:
    """A blank of 0.400 to 0.401 mm is no range for a caliper: the pair is told."""
    narrow = stages.Allowances(0.4005, 0.4015, 0.10, 0.08, -0.01, 0.02)
    pairs = [(a.name, b.name) for a, b in stages.out_of_order(stages.stages(SIZING, narrow))]
    assert ("blank high", "blank low") in pairs
    assert list(stages.out_of_order(PLANNED)) == []


def test_finish_low_has_less_metal_than_finish_high() -> None:
    """Outside the lower limit of size has less metal on, inside the upper; both as the caliper shows them."""
    assert named("finish low").stock == pytest.approx(-0.01)
    assert named("finish high").stock == pytest.approx(0.02)
    inside = stages.stages(
        stages.Sizing("plug_standoff", 1 / 8, 3.0, 38.0, 30.0, 0.0, "diameter", 0.0025, 0.5, 0.02), ALLOWANCES
    )
    assert inside[4].stock == pytest.approx(-0.01)
    assert inside[4].line == pytest.approx(38.01)
    assert inside[6].stock == pytest.approx(0.02)
    assert inside[6].line == pytest.approx(37.98)


def test_the_aim_has_stock_on_unless_that_would_pass_the_limit() -> None:
    """A finish gap of 3.016 mm is 3.02 mm on the caliper; with 0.0004 mm to the limit it is 3.00 mm."""
    sizing = stages.Sizing("shoulder_gap", 1 / 8, 3.016, 38.0, 30.0, 0.0, "diameter", 0.0025, 0.5, 0.02)
    for high, aim in ((0.02, 3.02), (0.0004, 3.0)):
        allowances = stages.Allowances(0.35, 0.50, 0.10, 0.08, -0.01, high)
        finish = stages.finish_stages(sizing, allowances)
        assert finish[1].reading == pytest.approx(aim)


def test_a_tool_with_no_division_within_the_limits_shows_no_limits() -> None:
    """3.016 ± 0.008 mm lies between 3.0 and 3.5 mm of a rule: the aim alone is left, above the size."""
    sizing = stages.Sizing("shoulder_gap", 1 / 8, 3.016, 38.0, 30.0, 0.0, "diameter", 0.0025, 0.5, 0.5)
    finish = stages.finish_stages(sizing, stages.Allowances(0.35, 0.50, 0.10, 0.08, -0.001, 0.001))
    assert [(step.name, step.reading) for step in finish] == [("finish", pytest.approx(3.5))]


def test_at_finish_nothing_is_left_to_feed() -> None:
    """Zero stock, zero travel, zero divisions, the handwheel at zero."""
    step = named("finish")
    assert (step.stock, step.travel, step.divisions, step.position) == (0.0, 0.0, 0, 0)
    assert (step.line, step.small) == (38.375, 30.625)


def test_a_stage_is_fed_by_hand_the_long_way() -> None:
    """0.125 mm at 1:8: half of it times cos 3.5763° is 0.062378 mm of slide, 49.90 divisions of 0.0025."""
    step = named("rough")
    assert step.travel == pytest.approx(0.0625 * math.cos(math.radians(3.576334)), abs=1e-8)
    assert (step.divisions, step.position) == (49, 50)


@pytest.mark.parametrize(
    ("stock", "word"),
    [
        (-0.011, "past size"),
        (-0.01, "finished"),
        (0.02, "finished"),
        (0.021, "finishing"),
        (0.125, "finishing"),
        (0.126, "roughing"),
        (0.25, "roughing"),
        (0.26, "cleaning up"),
        (0.374, "cleaning up"),
        (0.375, "blank"),
        (0.50, "blank"),
        (0.51, "too much stock"),
    ],
)
def test_a_piece_stands_at_the_stage_its_stock_says(stock: float, word: str) -> None:
    """A stock right on a limit counts as reached; a bore with too much metal gone is over size."""
    for side, past in (("external", "under size"), ("internal", "over size")):
        told = stages.standing(stock, PLANNED, ALLOWANCES, side)  # type: ignore[arg-type]
        assert told == (past if word == "past size" else word)
