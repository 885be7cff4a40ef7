"""Cards wrong in one sign, cosine, direction or rounding are found out by the bounds of the bench."""

from collections.abc import Callable
from functools import lru_cache

import pytest

from cardgen.rehearsal.rows_looked_up import Card, CardInHand
from tests.bench import mutations as wrong
from tests.bench.cards import card
from tests.bench.jobs import JOBS
from tests.bench.judge import broken_bounds, work_batches
from tests.bench.still import TRIALS

BATCHES = 40
LOTS = (4, 8, 16, BATCHES)  # the fewest that tell a wrong card from the sound one are enough
Spoil = Callable[[Card], Card]

# Which wrong card is found out in batches, by which bound, on which parts. A cosine is 0.07 % at Morse:
# the steep tapers tell.
FOUND_IN_BATCHES: list[tuple[Spoil, str, tuple[str, ...]]] = [
    (wrong.table_of_another_kind, "pieces over size", ("SPINDLE", "SHANK", "SOCKET", "CUP")),
    (wrong.k_of_the_wrong_sign, "batches given up", ("SPINDLE", "SHANK", "SOCKET", "CUP")),
    (wrong.cosine_dropped, "left on after feeding to rough", ("IMPELLER", "CUP", "NOZZLE")),
    (wrong.cosine_twice, "left on after feeding to rough", ("VALVE", "POINT", "SEAT")),
    (wrong.radius_for_diameter, "left on after feeding", ("SPINDLE", "ADAPTER", "COLLET")),
    (wrong.diameter_for_radius, "pieces under size", ("SPINDLE", "ADAPTER", "COLLET")),
    (wrong.divisions_rounded_up, "left on after feeding to finish", ("SPINDLE", "SHANK", "BEARING")),
    (wrong.all_rounded_the_other_way, "left on after feeding to rough", ("SHANK", "IMPELLER", "BEARING")),
    (wrong.more_for_less, "correction takes out", ("SPINDLE", "POINT", "SOCKET", "SEAT")),
    (wrong.inside_as_outside, "correction takes out", ("SOCKET", "COLLET", "SEAT", "CUP")),
    (wrong.turns_halved, "correction takes out", ("SPINDLE", "SHANK", "SOCKET", "VALVE")),
    (wrong.turns_doubled, "correction takes out", ("SPINDLE", "COLLET", "SOCKET", "VALVE")),
    (wrong.size_shift_of_the_wrong_sign, "stock after turning", ("SPINDLE", "IMPELLER", "SOCKET", "POINT")),
    (wrong.no_size_shift, "stock after turning", ("SPINDLE", "IMPELLER", "SOCKET")),
    (wrong.left_over_of_the_wrong_sign, "first setting", ("SPINDLE", "SHANK", "SOCKET")),
    (wrong.included_for_half, "first setting", ("SPINDLE", "DRILL", "ARBOR", "NOZZLE")),
    (wrong.gauge_error_of_the_wrong_sign, "stock left at finish", ("SPINDLE", "PIN", "SHANK", "SEAT")),
    (wrong.plane_forgotten, "stock left at", ("SPINDLE", "SHANK", "CUP")),
    (wrong.rough_target_unrounded, "cannot be set", ("SPINDLE", "SHANK", "SOCKET", "COLLET")),
    (wrong.rough_target_rounded_down, "stock left at rough", ("SPINDLE", "SHANK", "SOCKET")),
    (wrong.no_checks, "pieces ground again", ("PIN", "SEAT")),
]
FOUND_ON_THE_STILL_BENCH: list[tuple[Spoil, tuple[str, ...]]] = [
    (wrong.cosine_dropped, tuple(JOBS)),
    (wrong.limits_half_as_wide, ("ARBOR", "BEARING", "COLLET")),
    (wrong.no_least_stock, ("SPINDLE", "SOCKET", "POINT")),
    (wrong.warmth_of_the_wrong_sign, ("SPINDLE", "SHANK", "SOCKET", "COLLET")),
    (wrong.divisions_rounded_up, ("SPINDLE", "SEAT")),
    (wrong.size_shift_of_the_wrong_sign, tuple(JOBS)),
    (wrong.more_for_less, tuple(JOBS)),
    (wrong.turns_halved, tuple(JOBS)),
]


def _named(spoil: Spoil, part: str) -> str:
    return f"{spoil.__name__}-{part}"


@pytest.mark.parametrize(
    ("spoil", "bound", "part"),
    [
        pytest.param(spoil, bound, part, id=_named(spoil, part))
        for spoil, bound, parts in FOUND_IN_BATCHES
        for part in parts
    ],
)
def test_a_wrong_card_breaks_the_bounds_of_the_batches(spoil: Spoil, bound: str, part: str) -> None:
    """A hand who follows it breaks the bound that watches this figure, in batches in which the sound card's
    hand keeps it."""
    spoilt = spoil(card(part))
    told = []
    for batches in LOTS:
        told = broken_bounds(work_batches(CardInHand(spoilt), JOBS[part], batches), spoilt)
        if _among(bound, told) and not _among(bound, broken_by_the_sound_card(part, batches)):
            return
    pytest.fail(f"not found out: {told}")


@lru_cache
def broken_by_the_sound_card(part: str, batches: int) -> list[str]:
    """What the sound card of a part breaks in so few batches; in the 80 of test_batches.py, nothing."""
    return broken_bounds(work_batches(CardInHand(card(part)), JOBS[part], batches), card(part))


def _among(bound: str, broken: list[str]) -> bool:
    return any(bound in found for found in broken)


@pytest.mark.parametrize("part", ["IMPELLER", "ADAPTER"])
def test_a_card_without_a_least_stock_spoils_the_pieces_of_a_late_hand(part: str) -> None:
    """Turned on too little stock, an end goes under."""
    spoilt = wrong.no_least_stock(card(part))
    assert broken_bounds(work_batches(CardInHand(spoilt), JOBS[part], BATCHES, late=True), spoilt)


@pytest.mark.parametrize(
    ("spoil", "part"),
    [
        pytest.param(spoil, part, id=_named(spoil, part))
        for spoil, parts in FOUND_ON_THE_STILL_BENCH
        for part in parts
    ],
)
def test_a_wrong_card_does_not_come_true_on_the_still_bench(spoil: Spoil, part: str) -> None:
    """Some figure of it is off by more than the bench lets pass."""
    spoilt = spoil(card(part))
    assert any(list(trial(spoilt, JOBS[part])) for trial in TRIALS)
