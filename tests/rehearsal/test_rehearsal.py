"""A rehearsal is honest: it loses what a wrong or missing move loses, and nothing where nothing is wrong."""

import json
import math
import time
from collections.abc import Callable
from dataclasses import replace
from random import Random
from typing import Any

import pytest

from cardgen.rehearsal.errors import CAUSES, Errors, drawn
from cardgen.rehearsal.floor import Bench, FloorJob
from cardgen.rehearsal.outcome import Tally, rehearse
from tests.bench.bars import BORES, TOP, broken_bars, equipped, line
from tests.bench.jobs import JOBS
from tests.bench.judge import usual
from tests.bench.still import right_angle, straight, work
from tests.calling import cardgen

Card = dict[str, Any]
BATCHES = 8


def worked(
    card: Card, job: FloorJob, errors: Errors | None = None, batches: int = BATCHES, seed: int = 1
) -> Tally:
    """So many batches; on usual days where nothing else is said."""
    return rehearse(card, job, errors or usual(job), batches, seed)


@pytest.mark.parametrize("part", ["SPINDLE", "PIN", "SEAT", "HB-40"])
def test_in_a_shop_where_nothing_is_out_every_piece_is_right(part: str) -> None:
    """No error, no loss: nothing under, over, out of angle or set aside, and no correction."""
    card, job, _ = equipped(part)
    tally = worked(card, job, Errors.none(), batches=3)
    assert tally.lost() == 0
    assert tally.share("set_aside")[0] == 0
    assert tally.corrections == [0, 0, 0]


@pytest.mark.parametrize("sigma", [0.004, 0.006])
def test_with_one_normal_error_the_share_outside_is_the_closed_forms(sigma: float) -> None:
    """Pieces ground to one place of the dial, ± 10 µm allowed: 2 (1 - Φ(t / σ)) of them lie outside."""
    job = JOBS["SPINDLE"]
    bench = Bench(job, drawn(replace(Errors.none(), repeatability=sigma), Random(5)), Random(5))
    bench.ready = {"mount the wheel", "set the stroke"}
    right_angle(job, bench.machine)
    line_at_size = straight(job, job.gauge_line_at, 0.0)
    bench.mount(work(job, line_at_size))
    bench.zero = bench.machine.slide_at_touch(bench.piece.surface, 0.0)
    outside, pieces = 0, 4000
    for _ in range(pieces):
        bench.machine.worn = 0.0
        bench.mount(work(job, straight(job, job.gauge_line_at, 0.05)))
        bench.grind_to(0, 4, 12)
        outside += abs(bench.verdict(bench.piece).stock) > job.metal_on
    expected = math.erfc(job.metal_on / sigma / math.sqrt(2))
    assert outside / pieces == pytest.approx(expected, abs=4 * math.sqrt(expected / pieces))


def test_the_same_seed_gives_the_same_numbers_and_another_gives_others() -> None:
    """A rehearsal can be told again, to the last figure."""
    card, job, _ = equipped("SPINDLE")
    first, again, other = (worked(card, job, batches=3, seed=seed).measured for seed in (4, 4, 5))
    assert first == again != other


def test_a_cause_switched_off_is_nothing_or_one() -> None:
    """What is left of each: a factor of one, an error of nothing, all the others as they were."""
    errors = usual(JOBS["SPINDLE"])
    for cause in CAUSES:
        left = errors.without(cause)
        assert getattr(left, cause) == (1.0 if cause in ("film", "wear") else 0.0)
        assert all(getattr(left, name) == getattr(errors, name) for name in CAUSES if name != cause)


@pytest.mark.parametrize("part", [*JOBS, *BORES])
def test_the_method_as_the_card_tells_it_keeps_the_bars(
    part: str, record_property: Callable[[str, object], None]
) -> None:
    """All eighteen tapers, 400 pieces of each, in the test log; 10,000 by `python -m tests.bench.bars`."""
    card, job, unproved = equipped(part)
    tally = worked(card, job, batches=20)
    record_property("bar line", line(part, tally, unproved))
    assert unproved == set()
    assert broken_bars(tally) == []


def test_a_rehearsal_of_five_hundred_batches_is_a_matter_of_seconds() -> None:
    """20,000 pieces in under 10 s of one core: half a millisecond each, plain Python; best of three."""
    card, job, _ = equipped("SPINDLE")
    taken = []
    for _ in range(3):
        start = time.process_time()
        tally = worked(card, replace(job, pieces=40), batches=5)
        taken.append((time.process_time() - start) / tally.pieces)
    assert min(taken) < 10 / 20_000


def test_the_command_tells_the_same_for_a_person_and_for_a_program() -> None:
    """The shares of the JSON are those in words; nothing but JSON goes to the standard output."""
    told = cardgen("rehearse", "TM-50", "--batches", "2", cwd=TOP)
    plain = json.loads(cardgen("rehearse", "TM-50", "--batches", "2", "--json", cwd=TOP).stdout)
    assert told.stdout.startswith(f"TM-50: 2 batches, {plain['outcome']['pieces']} pieces\n")
    assert f"{plain['outcome']['reground_percent'][0]:.3f} %" in told.stdout
    assert set(plain["without"]) == set(CAUSES)


def test_what_is_changed_is_compared_with_the_very_same_batches() -> None:
    """A cause that this part has not changes nothing, to the last piece: so nothing else does by chance."""
    plain = json.loads(cardgen("rehearse", "TM-50", "--batches", "20", "--json", cwd=TOP).stdout)
    base = plain["compared_with"]
    assert base["batches"] == 2
    assert base in plain["without"].values()
