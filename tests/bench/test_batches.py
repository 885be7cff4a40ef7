"""Batches at the virtual bench: a hand with nothing but the card, on machines that are not as it thinks.

The bounds of judge.py are held for every part of specs/: 80 batches of 20 pieces each.
"""

import logging
from collections.abc import Callable
from functools import lru_cache

import pytest

from cardgen.rehearsal.rows_looked_up import CardInHand
from tests.bench.cards import card
from tests.bench.jobs import JOBS
from tests.bench.judge import Tally, aligned, broken_bounds, line, work_batches

BATCHES = 80
LOG = logging.getLogger("virtual bench")


@lru_cache
def worked(part: str) -> Tally:
    """The batches of one part, worked once."""
    return work_batches(CardInHand(card(part)), JOBS[part], BATCHES)


@pytest.mark.parametrize("part", JOBS)
def test_a_hand_with_only_the_card_turns_out_good_batches(
    part: str, record_property: Callable[[str, object], None]
) -> None:
    """Under size, out of angle, corrections, landings: within bounds, on a wrong scale and a worn wheel."""
    tally = worked(part)
    record_property("bench line", line(tally))
    LOG.info("\n%s", aligned([line(tally)]))
    assert tally.batches == BATCHES
    assert broken_bounds(tally, card(part)) == []


@pytest.mark.parametrize("part", ["IMPELLER", "ADAPTER"])
def test_the_least_stock_keeps_a_late_hand_from_spoiling_pieces(part: str) -> None:
    """Who rubs only after roughing turns the swivel on little stock: where the card lets, few go under."""
    tally = work_batches(CardInHand(card(part)), JOBS[part], BATCHES, late=True)
    assert len(tally.sanctioned) > BATCHES / 2
    assert broken_bounds(tally, card(part)) == []


@pytest.mark.parametrize("part", ["ADAPTER", "BEARING", "NOZZLE", "COLLET"])
def test_the_warmth_table_keeps_warm_work_to_size(part: str) -> None:
    """On work 10 K warm a hand who allows for it by the table keeps the bounds, another does not."""
    sheet, job = CardInHand(card(part)), JOBS[part]
    allowed = work_batches(sheet, job, BATCHES // 2, warm=10.0, felt=10.0)
    assert broken_bounds(allowed, sheet.card) == []
    ignored = work_batches(sheet, job, BATCHES // 2, warm=10.0)
    assert any("stock left at finish" in broken for broken in broken_bounds(ignored, sheet.card))


def test_the_bench_sees_every_kind_of_work() -> None:
    """Twelve tapers and more, from 1:50 to 60°; all readings; table and wheel head; screws of each type."""
    cards = [card(part) for part in JOBS]
    assert len({round(c["taper"]["ratio"], 5) for c in cards}) >= 12
    assert min(c["taper"]["ratio"] for c in cards) == pytest.approx(1 / 50)
    assert max(c["taper"]["included_angle_deg"] for c in cards) == pytest.approx(60)
    assert {c["taper"]["side"] for c in cards} == {"external", "internal"}
    assert len({c["reading"]["kind"] for c in cards}) == 4
    assert {c["swivel"]["set_by"] for c in cards} == {"table", "wheel head"}
    assert {c["handwheel"]["reads"] for c in cards} == {"diameter", "radius"}
    ways = {move["means"] for c in cards for move in c["procedure"] if move["id"] == "set the swivel"}
    assert ways == {"scale", "test bar", "slips", "wheel head"}
    screws = {job.grinder.screw.type for job in JOBS.values() if job.grinder.screw is not None}
    assert screws == {"sine", "tangent", "chord"}
    assert any(c["taper"]["standard"] == "Morse 3" for c in cards)


def test_no_card_of_the_bench_has_an_error() -> None:
    """The bench works on sound cards only."""
    for part in JOBS:
        assert [check for check in card(part)["checks"] if check["level"] == "error"] == []
