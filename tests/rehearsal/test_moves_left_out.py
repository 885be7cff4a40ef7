"""Every move of a card is needed: left out, made last or turned about it loses pieces, or makes more work.

By the table's swivel and by a swivelled wheel head, in divisions, in turns and by a digital readout.
"""

import pickle
import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any, get_args

import pytest

from cardgen import terms
from cardgen.card.gather import gather
from cardgen.card.values import as_plain
from cardgen.rehearsal.errors import Errors
from cardgen.rehearsal.floor import FloorJob
from cardgen.rehearsal.outcome import Tally, rehearse
from tests.bench import mutations as wrong
from tests.bench.advice import TODAY, floor
from tests.bench.advice import equipped as with_bars
from tests.bench.cards import card as bare_card
from tests.bench.cards import changed_card
from tests.bench.jobs import JOBS
from tests.bench.judge import usual
from tests.bench.test_worn_pieces import card_and_job

Card = dict[str, Any]
BATCHES = 8


def worked(card: Card, job: FloorJob, errors: Errors | None = None) -> Tally:
    """A few batches; on usual days where nothing else is said."""
    return rehearse(card, job, errors or usual(job), BATCHES, 1)


def without(card: Card, move_id: str) -> Card:
    """The card with one move left out."""
    found = pickle.loads(pickle.dumps(card))
    found["procedure"] = [move for move in found["procedure"] if move["id"] != move_id]
    assert len(found["procedure"]) < len(card["procedure"])
    return found


def last(card: Card, move_id: str) -> Card:
    """The card with one move made after all the others."""
    found = without(card, move_id)
    found["procedure"] += [move for move in card["procedure"] if move["id"] == move_id]
    return found


def lost(tally: Tally) -> float:
    return tally.lost()


def more_to_do(tally: Tally) -> float:
    """Pieces lost or ground again, and passes a piece."""
    return tally.lost() + tally.share("reground")[0] + tally.cuts / tally.pieces


def let_pass(tally: Tally) -> float:
    """Less is set aside: what is not proved goes with the good."""
    return -tally.share("set_aside")[0]


BLUE_LAID_ON = {"film": 4.0}  # times as thick as the shop's: it hides the more
# Left out: the move, a part whose card has it, what shows the loss, what is out more than usually. SPINDLE,
# PIN and CUP are ground on the table's swivel, the others with the wheel head swivelled.
LEFT_OUT: list[tuple[str, str, Callable[[Tally], float], dict[str, float]]] = [
    ("mount the wheel", "SPINDLE", lost, {}),
    ("accept blanks", "SPINDLE", lost, {}),
    ("set the swivel", "SPINDLE", lost, {}),
    ("set the stroke", "SPINDLE", lost, {}),
    ("clean up", "SPINDLE", lost, {}),
    ("rub", "CUP", lost, {}),
    ("prove the angle", "SPINDLE", lost, {}),
    ("rough the first", "SPINDLE", more_to_do, {}),
    ("rough the batch", "SPINDLE", more_to_do, {}),
    ("dress", "PIN", more_to_do, {"repeatability": 0.003}),
    ("finish the first", "PIN", more_to_do, {}),
    ("finish on the stop", "PIN", lost, {}),
    ("finish each", "SPINDLE", lost, {}),
    ("move the stop", "PIN", more_to_do, {}),
    ("grind again", "PIN", lost, {"repeatability": 0.004}),
    ("set aside", "PIN", let_pass, {"repeatability": 0.004}),
    ("salvage or scrap", "PIN", let_pass, {"repeatability": 0.004}),
    ("mount the wheel", "VALVE", lost, {}),
    ("accept blanks", "VALVE", lost, {}),
    ("set the swivel", "VALVE", lost, {}),
    ("set the stroke", "VALVE", lost, {}),
    ("clean up", "VALVE", lost, {}),
    ("rub", "POINT", lost, {}),
    ("prove the angle", "VALVE", lost, BLUE_LAID_ON),
    ("rough the first", "VALVE", more_to_do, {}),
    ("rough the batch", "NOZZLE", more_to_do, {}),
    ("dress", "SEAT", more_to_do, {"repeatability": 0.006}),
    ("finish the first", "SEAT", more_to_do, {}),
    ("finish on the stop", "SEAT", lost, {}),
    ("finish each", "NOZZLE", lost, {}),
    ("move the stop", "SEAT", more_to_do, {}),
    ("grind again", "SEAT", lost, {"repeatability": 0.012}),
    ("set aside", "SEAT", let_pass, {"repeatability": 0.012}),
    ("salvage or scrap", "SEAT", let_pass, {"repeatability": 0.012}),
]


@pytest.mark.parametrize(
    ("move", "part", "loss", "out"), LEFT_OUT, ids=[f"{row[0]}-{row[1]}" for row in LEFT_OUT]
)
def test_a_move_that_is_left_out_is_found_out(
    move: str, part: str, loss: Callable[[Tally], float], out: dict[str, float]
) -> None:
    """From the scale on, so that every move has something to do; blanks of all sizes come out of the box."""
    card, job = bare_card(part), JOBS[part]
    if move == "accept blanks":
        job = replace(job, blank=(0.0, job.blank[1]))
    errors = replace(usual(job), **out)
    # What is past size is turned away by either of two moves: each is tried without the other.
    other = {"set aside": "salvage or scrap", "salvage or scrap": "set aside"}.get(move)
    if other is not None:
        card = without(card, other)
    spoilt = without(card, move)
    assert loss(worked(spoilt, job, errors)) > loss(worked(card, job, errors)) + 0.02


def test_every_move_that_a_card_can_have_is_left_out_somewhere() -> None:
    """Ensures that no new move goes untried, and that a swivelled head's card has no other than these."""
    below = {"clean up with the least", "semi-finish"}
    assert {row[0] for row in LEFT_OUT} | below == set(get_args(terms.MoveId))
    by_head = {row[0] for row in LEFT_OUT if JOBS[row[1]].grinder.head_turns is not None}
    for part in ("VALVE", "POINT", "NOZZLE", "SEAT"):
        assert {move["id"] for move in bare_card(part)["procedure"]} <= by_head


def test_worn_pieces_are_lost_without_the_move_that_cleans_them_up(tmp_path: Path) -> None:
    """What has no stock left on is neither roughed nor finished to size; the skin stays on it."""
    card, job = card_and_job(tmp_path, "SPINDLE", "parts_outside", "blank: 0.35 .. 0.50 mm", 0.30)
    errors = replace(usual(job), blank=0.06)
    spoilt = without(card, "clean up with the least")
    assert worked(spoilt, job, errors).lost() > worked(card, job, errors).lost() + 5


def test_without_the_semi_finish_what_it_takes_off_is_left_to_finer_passes(tmp_path: Path) -> None:
    """Passes a piece: half of what is left for finishing comes off at twice the infeed."""
    semi = (
        "leave_for_finishing: 0.08 mm\n  semi_finish: {leave: 0.03 mm, infeed: 0.010 mm, read_with: finish}"
    )
    card = changed_card(tmp_path, "SPINDLE", "parts_outside", ("leave_for_finishing: 0.08 mm", semi))
    job = JOBS["SPINDLE"]
    assert more_to_do(worked(without(card, "semi-finish"), job)) > more_to_do(worked(card, job)) + 1


@pytest.mark.parametrize("part", ["SPINDLE", "VALVE"])
@pytest.mark.parametrize("move", ["mount the wheel", "set the swivel", "prove the angle"])
def test_a_move_that_is_made_last_is_found_out(move: str, part: str) -> None:
    """An angle that is set or proved when the batch is finished helps no piece of it."""
    card, job = bare_card(part), JOBS[part]
    errors = replace(usual(job), **BLUE_LAID_ON)
    assert worked(last(card, move), job, errors).lost() > worked(card, job, errors).lost() + 5


@pytest.mark.parametrize("part", ["SPINDLE", "VALVE", "NOZZLE", "SEAT"])
def test_a_correction_turned_about_is_found_out(part: str) -> None:
    """More for less, of the table or of the head: the angle goes from bad to worse till the hand gives up."""
    card, job = bare_card(part), JOBS[part]
    assert worked(wrong.more_for_less(card), job).lost() > worked(card, job).lost() + 5


@pytest.mark.parametrize("part", ["VALVE", "NOZZLE", "SEAT"])
def test_a_head_set_by_the_bar_of_another_angle_is_found_out(part: str) -> None:
    """The rises along the bar on the spindle for the included angle: no piece comes out right."""
    at = with_bars(part)
    card = as_plain(at.card())
    assert (
        next(move["means"] for move in card["procedure"] if move["id"] == "set the swivel") == "spindle bar"
    )
    assert worked(card, at.job).lost() == 0
    assert worked(wrong.included_for_half(card), at.job).lost() > 50


def _counted(text: str, dial: Card) -> int:
    """What a hand counts who reads a feed off the paper, in divisions or steps of the readout."""
    way, figures = (-1, text.removeprefix("−")) if text.startswith("−") else (1, text)
    if dial["readout"] is not None:
        return way * round(float(figures.split()[0]) / float(dial["division_text"].split()[0]))
    turns, rest = (re.search(rf"(\d+) {word}", figures) for word in ("turn", "div"))
    return way * ((int(turns[1]) * dial["turn_divisions"] if turns else 0) + (int(rest[1]) if rest else 0))


def _read_off(node: Any, dial: Card) -> Iterator[None]:
    """Every feed of a card put back as the hand counts it from its text."""
    for each in node.values() if isinstance(node, dict) else node if isinstance(node, list | tuple) else ():
        yield from _read_off(each, dial)
    if isinstance(node, dict):
        for key in [key for key in node if "divisions" in key and key.endswith("_text") and node[key]]:
            number = key.removesuffix("_text")
            counted = _counted(node[key], dial)
            if number == "divisions_per_pass":  # told to the nearest
                assert abs(counted - node[number]) <= 0.5
            else:
                assert counted == node[number], (key, node[key])
            node[number] = counted
            yield


@pytest.mark.parametrize("part", ["PIN", "SHANK", "VALVE", "NOZZLE"])
@pytest.mark.parametrize("by", ["turns", "readout"])
def test_a_hand_who_counts_turns_or_a_readout_grinds_the_same_pieces(part: str, by: str) -> None:
    """Each feed is what its text says, on table and head, in mm and inches; the pieces are quite alike."""
    at, job = floor(part), JOBS[part]
    feed = at.records.machine.cross_feed
    counted = {"divisions": 40} if by == "turns" else {"division": None, "readout": feed.division}
    machine = at.records.machine.model_copy(update={"cross_feed": feed.model_copy(update=counted)})
    plain = as_plain(gather(at.records, "", TODAY).card)
    told = pickle.loads(pickle.dumps(as_plain(gather(replace(at.records, machine=machine), "", TODAY).card)))
    assert sum(1 for _ in _read_off(told, told["handwheel"])) > 30
    assert worked(told, job).measured == worked(plain, job).measured
