"""Worn pieces, of which nobody knows what is on them: cleaned up with the least, at most to a limit."""

from dataclasses import dataclass, field, replace
from pathlib import Path
from random import Random

import pytest

from cardgen.rehearsal.errors import Errors, drawn
from cardgen.rehearsal.floor import Bench, FloorJob, WorkPiece
from cardgen.rehearsal.hand import Hand
from cardgen.rehearsal.moves import follow
from cardgen.rehearsal.rows_looked_up import Card, CardInHand
from tests.bench.cards import changed_card
from tests.bench.jobs import JOBS

WEAR = 0.06  # mm on the diameter that the worn surface's taper is out over its length
# Part, its file, the blank that is written there, how far past the basic size it may be ground, mm.
WORN = [
    pytest.param("SPINDLE", "parts_outside", "blank: 0.35 .. 0.50 mm", 0.30, id="outside, a gap"),
    pytest.param("COLLET", "parts_inside", "blank: 0.30 .. 0.45 mm", 0.25, id="inside, a depth"),
]


def card_and_job(folder: Path, part: str, file: str, blank: str, at_most: float) -> tuple[Card, FloorJob]:
    """The part with its stock unknown; what comes to the machine lies between the limit and plenty."""
    changes = (blank, "blank: unknown"), ("material:", f"salvage: {{at_most: {at_most} mm}}\nmaterial:")
    job = replace(JOBS[part], salvage=-at_most, blank=(-at_most, 0.40))
    return changed_card(folder, part, file, *changes), job


@pytest.mark.parametrize(("part", "file", "blank", "at_most"), WORN)
def test_a_worn_piece_is_cleaned_up_with_the_least_and_never_past_the_limit(
    tmp_path: Path, part: str, file: str, blank: str, at_most: float
) -> None:
    """No more comes off than its wear, the first sparks and two passes; what does not clean up is left."""
    card, job = card_and_job(tmp_path, part, file, blank, at_most)
    a_pass = card["salvage"]["divisions_per_pass"] * card["handwheel"]["stock_per_division_mm"]
    saved = 0
    for seed in range(4):
        bench = Watched(job, drawn(replace(Errors.none(), blank=WEAR), Random(seed)), Random(seed))
        done = follow(Hand(CardInHand(card), bench, job.pieces))
        assert all(not bench.spoilt(each) and bench.verdict(each).stock <= job.metal_on for each in done)
        for piece in (each for each in done if each.worn and bench.stock_on(each) < -job.metal_off):
            assert bench.verdict(piece).clean
            assert bench.had[id(piece)] - bench.stock_on(piece) < WEAR + 2 * a_pass
            saved += 1
    assert saved > 10


@dataclass
class Watched(Bench):
    """A bench that remembers what was on each piece when it came."""

    had: dict[int, float] = field(default_factory=dict)

    def blank(self) -> WorkPiece:
        piece = super().blank()
        self.had[id(piece)] = self.stock_on(piece)
        return piece
