"""The judge of the bench: counts what came off it in truth, and holds the bounds.

The bounds are what a sound card gives with room to spare, and what a card with a sign, a cosine or a
direction wrong does not give: `mutations.py` shows each of them broken.
"""

import math
from dataclasses import dataclass, field
from random import Random
from statistics import fmean

from tests.bench.hand import Hand, Sheet
from tests.bench.work import Bench, Job, Piece, Truth

ARC_MINUTE = math.radians(1 / 60)
# How near the first setting of the swivel comes, as the mean of the error's size in minutes of arc.
NEAR = {"scale": 4.0, "head": 2.5, "bar": 0.15, "slips": 0.15}


@dataclass
class Tally:
    """What the batches of one part came to."""

    job: Job
    batches: int = 0
    pieces: int = 0
    under: int = 0  # too much metal off, anywhere
    over: int = 0  # above the size limit: to be ground again
    off_angle: int = 0
    trials_lost: int = 0  # trial pieces spoilt while the swivel was corrected
    corrections: list[int] = field(default_factory=list)
    at_a_loss: int = 0
    puzzles: int = 0
    cuts: int = 0
    spare: int = 0
    sent_back: int = 0
    stop_moves: int = 0
    starts: list[float] = field(default_factory=list)  # minutes of arc
    turns: list[tuple[float, float]] = field(default_factory=list)
    shifts: list[tuple[float, float]] = field(default_factory=list)
    feeds: list[float] = field(default_factory=list)
    rough: list[float] = field(default_factory=list)
    finish: list[float] = field(default_factory=list)

    def take_out(self) -> float:
        """How much of the error a correction takes out: 1 is all of it, below 0 makes it worse."""
        return _slope([(before, before - after) for before, after in self.turns])

    def shift(self) -> float:
        """What the stock did when the swivel was turned, per what the card told."""
        return _slope(self.shifts)

    def share(self, count: int) -> float:
        """Per cent of the pieces."""
        return 100 * count / max(1, self.pieces)


def _slope(pairs: list[tuple[float, float]]) -> float:
    square = sum(x * x for x, _ in pairs)
    return sum(x * y for x, y in pairs) / square if square else math.nan


def _mean(values: list[float]) -> float:
    return fmean(values) if values else math.nan


def work_batches(sheet: Sheet, job: Job, batches: int, seed: str = "bench") -> Tally:
    """Have a hand work so many batches of a part from its card."""
    tally = Tally(job)
    for number in range(batches):
        rng = Random(f"{seed} {job.part} {number}")
        bench = Bench(job, Truth.drawn(job, rng), rng)
        hand = Hand(sheet, bench)
        hand.set_swivel()
        angle = bench.machine.half_angle - math.atan(job.ratio / 2)
        tally.starts.append(abs(angle) / ARC_MINUTE)
        work_one(tally, bench, hand)
    return tally


def work_one(tally: Tally, bench: Bench, hand: Hand) -> None:
    """One batch, the swivel being set: work it and count."""
    tally.batches += 1
    notes = hand.notes
    try:
        pieces = hand.run(bench.job.pieces)
    except (AssertionError, ArithmeticError):
        pieces = []
        notes.at_a_loss += 1
    for piece in pieces:
        count_piece(tally, bench, piece, hand)
    tally.corrections.append(notes.corrections)
    tally.at_a_loss += notes.at_a_loss
    tally.puzzles += notes.puzzles
    tally.cuts += bench.cuts
    tally.spare += notes.spare_blanks
    tally.sent_back += notes.sent_back
    tally.stop_moves += notes.stop_moves
    tally.turns += bench.turns
    tally.shifts += notes.shifts
    tally.feeds += bench.feeds
    tally.rough += bench.landings.get("rough", [])
    tally.finish += bench.landings.get("finish", [])


def count_piece(tally: Tally, bench: Bench, piece: Piece, hand: Hand) -> None:
    """Judge one finished piece."""
    job, verdict = bench.job, bench.verdict(piece)
    tally.pieces += 1
    spoilt = verdict.stock < -job.metal_off or verdict.least < -job.metal_off - job.angle
    if spoilt and any(piece is trial for trial in hand.trials):
        tally.trials_lost += 1
        return
    tally.under += spoilt
    tally.over += verdict.stock > job.metal_on
    tally.off_angle += abs(verdict.taper_error) > job.angle


def broken_bounds(tally: Tally) -> list[str]:
    """Every bound that these batches break, each with its figure; none where the card is sound."""
    job, division = tally.job, tally.job.grinder.feed_per_division
    head = math.cos(math.atan(job.ratio / 2)) if job.grinder.head_turns != "below" else 1.0
    division = 2 * division / head
    step = job.ratio * job.tools[0]
    fine = job.ratio * job.tools[1]
    figures: list[tuple[str, float, float, float]] = [
        ("pieces under size, %", tally.share(tally.under), 0, 1.0),
        ("pieces over size, %", tally.share(tally.over), 0, 4.0),
        ("pieces out of angle, %", tally.share(tally.off_angle), 0, 1.5),
        ("trial pieces lost, a batch", tally.trials_lost / tally.batches, 0, 0.10),
        ("batches given up", tally.at_a_loss / tally.batches, 0, 0.02),
        ("figures that cannot be set", tally.puzzles, 0, 0),
        ("corrections, a batch", fmean(tally.corrections), 0, 3.5),
        ("first setting off, arc minutes", fmean(tally.starts), 0, NEAR[job.way]),
        ("told off less truly off, divisions", _mean(tally.feeds), 0, 2.5),
        (
            "stock left at rough, mm",
            _mean(tally.rough),
            job.leave - step / 8,
            job.leave + step + 3 * division,
        ),
        ("stock left at finish, mm", _mean(tally.finish), -0.3 * fine - 0.0006, division + 0.3 * fine),
        ("trial blanks laid aside, a batch", tally.spare / tally.batches, 0, 0.5),
    ]
    if len(tally.turns) > 0.5 * tally.batches:
        figures.append(("of the error a correction takes out", tally.take_out(), 0.7, 1.45))
    if len(tally.shifts) > 0.5 * tally.batches:
        figures.append(("stock after turning per told", tally.shift(), 0.45, 1.5))
    return [
        f"{job.part}: {name} {value:.4g}, not within {low:.4g} .. {high:.4g}"
        for name, value, low, high in figures
        if not low <= value <= high
    ]


HEADINGS = (
    *("part", "batches", "pieces", "under %", "over %", "angle %", "trials lost", "corrections", "most"),
    *("given up", "cuts a piece", "start arcmin", "takes out", "shift", "short div", "rough um", "finish um"),
    *("sent back", "laid aside", "stop moves"),
)


def line(tally: Tally) -> list[str]:
    """One line of the table: figures in the order of HEADINGS."""
    n = tally.batches
    return [
        tally.job.part,
        str(n),
        str(tally.pieces),
        f"{tally.share(tally.under):.2f}",
        f"{tally.share(tally.over):.2f}",
        f"{tally.share(tally.off_angle):.2f}",
        str(tally.trials_lost),
        f"{fmean(tally.corrections):.2f}",
        str(max(tally.corrections)),
        str(tally.at_a_loss),
        f"{tally.cuts / max(1, tally.pieces):.1f}",
        f"{fmean(tally.starts):.2f}",
        f"{tally.take_out():.2f}",
        f"{tally.shift():.2f}",
        f"{_mean(tally.feeds):.2f}",
        f"{1000 * _mean(tally.rough):.1f}",
        f"{1000 * _mean(tally.finish):.2f}",
        f"{tally.sent_back / n:.2f}",
        f"{tally.spare / n:.2f}",
        f"{tally.stop_moves / n:.1f}",
    ]


def table(tallies: list[Tally]) -> str:
    """The table of the bench, columns aligned."""
    rows = [list(HEADINGS), *(line(tally) for tally in tallies)]
    widths = [max(len(row[i]) for row in rows) for i in range(len(HEADINGS))]
    return "\n".join(
        "  ".join(
            cell.ljust(w) if i == 0 else cell.rjust(w)
            for i, (cell, w) in enumerate(zip(row, widths, strict=True))
        )
        for row in rows
    )
