"""A batch that is semi-finished: once more over all pieces, on a stop further in than roughing left it."""

from pathlib import Path
from random import Random

import pytest

from cardgen.rehearsal.errors import Errors, drawn
from cardgen.rehearsal.floor import Bench
from cardgen.rehearsal.hand import Hand
from cardgen.rehearsal.moves import follow
from cardgen.rehearsal.outcome import rehearse
from cardgen.rehearsal.rows_looked_up import CardInHand
from tests.bench.cards import changed_card
from tests.bench.jobs import JOBS

# Part, its file, what it leaves for finishing, what the semi-finish leaves of that, mm.
SEMI = [
    pytest.param("SPINDLE", "parts_outside", "0.08", 0.03, "finish", id="outside, read as in finishing"),
    pytest.param("COLLET", "parts_inside", "0.08", 0.04, "rough", id="inside, read as in roughing"),
]


@pytest.mark.parametrize(("part", "file", "left", "leave", "tool"), SEMI)
def test_every_piece_then_has_on_what_the_semi_finish_leaves(
    tmp_path: Path, part: str, file: str, left: str, leave: float, tool: str
) -> None:
    """No less, and a division of the tool and two of the handwheel more at the most; then all come right."""
    semi = f"semi_finish: {{leave: {leave} mm, infeed: 0.010 mm, read_with: {tool}}}"
    of = f"leave_for_finishing: {left} mm"
    card, job = changed_card(tmp_path, part, file, (of, f"{of}\n  {semi}")), JOBS[part]
    bench = Bench(job, drawn(Errors.none(), Random(1)), Random(1))
    moves = [move["id"] for move in card["procedure"]]
    hand = Hand(
        CardInHand({**card, "procedure": card["procedure"][: moves.index("semi-finish") + 1]}),
        bench,
        job.pieces,
    )
    follow(hand)
    room = (
        2 * card["handwheel"]["stock_per_division_mm"]
        + card["reading"][f"{tool}_tool"]["stock_per_division_mm"]
    )
    assert len(hand.roughed) == job.pieces
    (planned,) = [stage["stock_mm"] for stage in card["stages"] if stage["name"] == "semi-finish"]
    assert leave <= planned < leave + room
    assert all(planned <= bench.stock_on(piece) + 1e-6 < planned + room for piece in hand.roughed)
    assert rehearse(card, job, Errors.none(), 2, 1).lost() == 0
