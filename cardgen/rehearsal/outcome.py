"""What rehearsed batches come to: how many pieces are lost to what, and how sure these shares are."""

import math
from dataclasses import dataclass, field
from random import Random
from statistics import fmean, median, stdev
from typing import Any

from cardgen.rehearsal.errors import Errors, drawn
from cardgen.rehearsal.floor import Bench, FloorJob
from cardgen.rehearsal.hand import Hand
from cardgen.rehearsal.moves import follow
from cardgen.rehearsal.rows_looked_up import CardInHand

LOST = ("under", "over", "off_angle", "unclean")
COUNTED = (*LOST, "set_aside", "reground")


@dataclass
class Tally:
    """The batches of one part, counted."""

    pieces: int = 0
    batches: int = 0
    given_up: int = 0
    counts: dict[str, list[int]] = field(default_factory=lambda: {name: [] for name in COUNTED})  # a batch
    corrections: list[int] = field(default_factory=list)
    cuts: int = 0
    seconds: float = 0.0
    measured: list[tuple[float, float]] = field(default_factory=list)  # stock and taper error of each piece

    def share(self, name: str) -> tuple[float, float, float]:
        """Per cent of the pieces, and between which two it surely lies (95 %).

        The pieces of a batch share its gauge and its swivel, so the batches' own spread counts too; of two
        ranges (from batch to batch; Wilson's for so many pieces) the wider is told.
        """
        counts, pieces = self.counts[name], max(1, self.pieces)
        share, z = sum(counts) / pieces, 1.96
        mid = (share + z * z / 2 / pieces) / (1 + z * z / pieces)
        wide = z / (1 + z * z / pieces) * math.sqrt(share * (1 - share) / pieces + (z / 2 / pieces) ** 2)
        each = pieces / max(1, self.batches)
        spread = z * stdev(counts) / each / math.sqrt(len(counts)) if len(counts) > 1 else 1.0
        low, high = min(mid - wide, share - spread), max(mid + wide, share + spread)
        return 100 * share, 100 * max(0.0, low), 100 * min(1.0, high)

    def lost(self) -> float:
        """Per cent of the pieces that are under, over, out of angle or not clean."""
        return sum(self.share(name)[0] for name in LOST)

    def as_plain(self) -> dict[str, Any]:
        """For other programs."""
        ordered = sorted(self.corrections)
        return {
            "batches": self.batches,
            "pieces": self.pieces,
            "given_up": self.given_up,
            **{f"{name}_percent": [round(each, 4) for each in self.share(name)] for name in COUNTED},
            "corrections": {
                "mean": round(fmean(ordered), 3),
                "median": median(ordered),
                "percent_95": ordered[math.ceil(0.95 * len(ordered)) - 1],
            },
            "cuts_per_piece": round(self.cuts / max(1, self.pieces), 2),
            "seconds_per_piece": round(self.seconds / max(1, self.pieces), 1),
        }


def rehearse(
    card: dict[str, Any],
    job: FloorJob,
    errors: Errors,
    batches: int,
    seed: int,
    tick: Any = None,
) -> Tally:
    """So many batches, each by a hand with this card on a day of its own; alike for the same seed."""
    sheet, tally = CardInHand(card), Tally()
    for number in range(batches):
        rng = Random(f"{job.part} {seed} {number}")
        bench = Bench(job, drawn(errors, rng), rng)
        hand = Hand(sheet, bench, job.pieces)
        work(tally, bench, hand)
        if tick is not None:
            tick()
    return tally


def work(tally: Tally, bench: Bench, hand: Hand) -> None:
    """One batch: work it and count; one that is given up has all its pieces lost, as not clean."""
    job, found = bench.job, dict.fromkeys(COUNTED, 0)
    tally.batches += 1
    tally.pieces += job.pieces
    try:
        done = follow(hand)
    except (AssertionError, ArithmeticError):
        done = []
    tally.given_up += not done
    found["unclean"] += job.pieces - len(done)
    for piece in done:
        verdict = bench.verdict(piece)
        tally.measured.append((verdict.stock, verdict.taper_error))
        found["under"] += bench.spoilt(piece)
        found["over"] += verdict.stock > job.metal_on
        found["off_angle"] += abs(verdict.taper_error) > job.angle
        found["unclean"] += not verdict.clean
    found["set_aside"], found["reground"] = len(hand.notes.turned_away), hand.notes.reground
    for name, count in found.items():
        tally.counts[name].append(count)
    tally.corrections.append(hand.notes.corrections)
    tally.cuts += bench.cuts
    a_pass, gauging, dressing = job.times
    tally.seconds += bench.cuts * a_pass + bench.readings * gauging + bench.dressings * dressing
