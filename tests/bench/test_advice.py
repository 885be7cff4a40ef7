"""Where a check says that size or angle is not proved, or the start too far off, its advice is enough.

Every taper of the bench is made poor in one thing, so that the check speaks; what it says is then done to the
letter, and the bars of the method hold. At length: `python -m tests.bench.bars --advice`.
"""

from dataclasses import replace

import pytest

from cardgen.rehearsal.outcome import Tally
from tests.bench.advice import CASES, Floor, floor, with_a_coarse_tool, with_a_scale_far_out, with_no_proof
from tests.bench.bars import BARS, NOT_PROVED, broken_bars
from tests.bench.jobs import JOBS

BATCHES, PIECES = 20, 5  # the angle is proved once a batch, so short ones tell as much of it
# Where no check has to speak: blue decides a wide angle; 20 K do not hide a wide size; or the other one did.
SILENT = {"no proof": {"POINT", "SEAT", "CUP"}, "warm work": {"VALVE", "POINT", "DRILL", "SEAT"}}


def _short(at: Floor) -> Tally:
    """Short batches, worked by the card as it now is."""
    return replace(at, job=replace(at.job, pieces=PIECES)).worked(BATCHES)


@pytest.mark.parametrize("part", JOBS)
@pytest.mark.parametrize("name", CASES)
def test_the_advice_of_a_check_brings_the_part_to_the_bars(name: str, part: str) -> None:
    """Rolls, tool, bars and indicator of the very figures that it names: then it is silent and all hold."""
    case = CASES[name]
    at = case.poor(part)
    text = at.told(case.code)
    if not text:
        assert part in SILENT[name] if name in SILENT else at.told("start-beyond-stock")
        return
    done = case.follow(at, text)
    assert NOT_PROVED & {check.code for check in done.card().checks} == set()
    assert broken_bars(_short(done)) == []


def test_a_part_as_poor_as_that_breaks_the_bars() -> None:
    """Ensures that the checks speak of something: without the advice pieces are lost, or many turns made."""
    by_blue_from_the_scale = with_no_proof("SPINDLE").proving(test_bar=None, indicator_mm=None)
    assert _short(by_blue_from_the_scale).share("off_angle")[0] > 10 * BARS["off_angle"]
    for poor in (with_a_coarse_tool, with_a_scale_far_out, floor):
        assert broken_bars(_short(poor("SPINDLE"))) != []
