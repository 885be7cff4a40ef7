"""The judge of the bench: counts what came off it in truth, and holds the bounds.

The bounds are what a sound card gives with room to spare, and what a card with a sign, a cosine or a
direction wrong does not give: `mutations.py` shows each of them broken.
"""

import math
from dataclasses import dataclass, field, replace
from random import Random
from statistics import fmean, median

from cardgen.rehearsal.errors import Errors, drawn
from cardgen.rehearsal.floor import Bench, FloorJob, WorkPiece
from cardgen.rehearsal.hand import Hand
from cardgen.rehearsal.moves import follow
from cardgen.rehearsal.rows_looked_up import Card, CardInHand

ARC_MINUTE = math.radians(1 / 60)
# How near the first setting of the swivel comes, as the mean of the error's size in minutes of arc.
NEAR = {"scale": 4.0, "wheel head": 4.0, "test bar": 0.15, "slips": 0.15, "indicator": 4.0}


@dataclass
class Tally:
    """What the batches of one part came to."""

    job: FloorJob
    late: bool  # rubbed only after roughing to size
    reach: float  # the largest error that the rows of blue tell, over the whole length
    batches: int = 0
    pieces: int = 0
    under: int = 0  # too much metal off, anywhere
    over: int = 0  # above the size limit: to be ground again
    off_angle: int = 0
    trials_lost: int = 0  # trial pieces spoilt while the swivel was corrected
    corrections: list[int] = field(default_factory=list)
    at_a_loss: int = 0
    puzzles: int = 0
    good_away: int = 0  # good pieces that the hand's inspection turned away
    bad_passed: int = 0  # pieces spoilt or over size that it let pass
    sanctioned: list[bool] = field(default_factory=list)
    cuts: int = 0
    spare: int = 0
    sent_back: int = 0
    stop_moves: int = 0
    reground: int = 0
    starts: list[float] = field(default_factory=list)  # minutes of arc
    turns: list[tuple[float, float]] = field(default_factory=list)
    shifts: list[tuple[float, float]] = field(default_factory=list)
    feeds: list[tuple[float, float]] = field(default_factory=list)
    rough: list[float] = field(default_factory=list)
    finish: list[float] = field(default_factory=list)

    def take_out(self) -> float:
        """How much of the error a correction takes out: 1 is all of it, below 0 makes it worse.

        Of errors that the rows of blue reach; a larger one is brought down in several turns.
        """
        return _slope([(b, b - after) for b, after in self.turns if abs(b) <= self.reach])

    def shift(self) -> float:
        """What the stock did when the swivel was turned, per what the card told."""
        return _slope(self.shifts)

    def short(self, roughing: bool) -> float:
        """What was told to come off less what truly did, in divisions of the handwheel, in the mean."""
        return _mean([short for told, short in self.feeds if (told > self.job.leave) == roughing])

    def share(self, count: int) -> float:
        """Per cent of the pieces."""
        return 100 * count / max(1, self.pieces)


def _slope(pairs: list[tuple[float, float]]) -> float:
    square = sum(x * x for x, _ in pairs)
    return sum(x * y for x, y in pairs) / square if square else math.nan


def _spoilt_by_turns(tally: Tally) -> float:
    return 100 * fmean(tally.sanctioned) if tally.sanctioned else 0.0


def _mean(values: list[float]) -> float:
    return fmean(values) if values else math.nan


def usual(job: FloorJob) -> Errors:
    """A usual shop: scale some minutes out, pivot not where the book says, gauge within its certificate."""
    return Errors(
        scale=4 * ARC_MINUTE,
        pivot=3.0,
        film=1.4,
        wear=1.4,
        gauge=job.gauge_doubt,
        temperature=0.5,
        repeatability=0.0008,
    )


def work_batches(
    sheet: CardInHand, job: FloorJob, batches: int, late: bool = False, warm: float = 0.0, felt: float = 0.0
) -> Tally:
    """Have a hand work so many batches of a part from its card.

    late: the hand rubs only after roughing; warm: K, how warm the work gets; felt: K, what the hand
    allows for by the card's table.
    """
    card = sheet.card
    reach = max(row["error_mm"] for row in card["blue"]) * job.length / card["contact_length_mm"]
    tally = Tally(job, late, reach)
    for number in range(batches):
        rng = Random(f"{job.part} {number}")
        bench = Bench(job, replace(drawn(usual(job), rng), warm=warm), rng)
        hand = Hand(sheet, bench, job.pieces, felt, late)
        work_one(tally, bench, hand)
    return tally


def work_one(tally: Tally, bench: Bench, hand: Hand) -> None:
    """One batch, the swivel being set: work it and count."""
    tally.batches += 1
    notes = hand.notes
    try:
        pieces = follow(hand)
    except (AssertionError, ArithmeticError):
        pieces = []
        notes.at_a_loss += 1
    tally.starts += [abs(angle) / ARC_MINUTE for angle in bench.settings]
    for piece in pieces:
        count_piece(tally, bench, piece, hand)
    tally.corrections.append(notes.corrections)
    tally.at_a_loss += notes.at_a_loss
    tally.puzzles += notes.puzzles
    tally.sanctioned += bench.sanctioned
    tally.cuts += bench.cuts
    tally.spare += notes.spare_blanks
    tally.sent_back += notes.sent_back
    tally.stop_moves += notes.stop_moves
    tally.reground += notes.reground
    tally.turns += bench.turns
    tally.shifts += notes.shifts
    tally.feeds += bench.feeds
    tally.rough += bench.landings.get("rough", [])
    tally.finish += bench.landings.get("finish", [])


def count_piece(tally: Tally, bench: Bench, piece: WorkPiece, hand: Hand) -> None:
    """Judge one finished piece."""
    job, verdict = bench.job, bench.verdict(piece)
    tally.pieces += 1
    spoilt, over = bench.spoilt(piece), verdict.stock > job.metal_on
    away = any(piece is other for other in hand.notes.turned_away)
    tally.good_away += away and not spoilt and not over
    tally.bad_passed += not away and (over or verdict.stock < -job.metal_off)
    if spoilt and any(piece is trial for trial in hand.trials):
        tally.trials_lost += 1
        return
    tally.under += spoilt
    tally.over += over
    tally.off_angle += abs(verdict.taper_error) > job.angle


def broken_bounds(tally: Tally, card: Card) -> list[str]:
    """Every bound that these batches break, each with its figure; none where the card is sound."""
    job, division = tally.job, tally.job.grinder.feed_per_division
    start = next(move["means"] for move in card["procedure"] if move["id"] == "set the swivel")
    head = math.cos(math.atan(job.ratio / 2)) if job.grinder.head_turns != "below" else 1.0
    division = 2 * division / head
    step = job.ratio * job.tools[0]
    roughly = step * (1 + card["rough_step"] / 2) + 3 * division
    fine = job.ratio * job.tools[1]
    between = fine * card["finish_step"]  # from row to row of the table for finishing
    figures: list[tuple[str, float, float, float]] = [
        ("pieces under size, %", tally.share(tally.under), 0, 1.0),
        ("pieces over size, %", tally.share(tally.over), 0, 4.0),
        ("pieces ground again, %", tally.share(tally.reground), 0, 5.0),
        ("pieces out of angle, %", tally.share(tally.off_angle), 0, 1.5),
        ("trial pieces lost, a batch", tally.trials_lost / tally.batches, 0, 0.10),
        ("batches given up", tally.at_a_loss / tally.batches, 0, 0.02),
        ("figures that cannot be set", tally.puzzles, 0, 0),
        ("corrections, a batch", fmean(tally.corrections), 0, 3.0),
        ("first setting off, arc minutes", fmean(tally.starts), 0, NEAR[start]),
        ("left on after feeding to rough, divisions", tally.short(True), 0, 2.5),
        ("left on after feeding to finish, divisions", tally.short(False), 0, 2.0),
        (
            "stock left at rough, mm",  # the middle: a trial piece that took many corrections has less
            median(tally.rough) if tally.rough else math.nan,
            job.leave - step / 8,
            job.leave + roughly,
        ),
        ("stock left at finish, mm", _mean(tally.finish), -0.3 * fine - 0.0010, division + 0.6 * between),
        ("trial blanks laid aside, a batch", tally.spare / tally.batches, 0, 0.5),
        ("good pieces turned away, %", tally.share(tally.good_away), 0, 4.0),
        ("bad pieces let pass, %", tally.share(tally.bad_passed), 0, 4.0),
        (
            "spoilt by a turn that the card allowed, %",
            _spoilt_by_turns(tally),
            0,
            8.0 if tally.late else 3.0,
        ),
    ]
    if len(tally.turns) > 0.5 * tally.batches:
        figures.append(("of the error a correction takes out", tally.take_out(), 0.7, 1.45))
    if len(tally.shifts) > 0.5 * tally.batches:
        figures.append(("stock after turning per told", tally.shift(), 0.45, 1.5))
    if tally.late:
        figures = [figure for figure in figures if figure[0].startswith("spoilt by")]
    return [
        f"{job.part}: {name} {value:.4g}, not within {low:.4g} .. {high:.4g}"
        for name, value, low, high in figures
        if not low <= value <= high
    ]


HEADINGS = (
    *("part", "batches", "pieces", "under %", "over %", "angle %", "trials lost", "corrections", "most"),
    *(
        "given up",
        "cuts a piece",
        "start arcmin",
        "takes out",
        "shift",
        "short, rough",
        "short, finish",
        "rough um",
        "finish um",
    ),
    *("sent back", "laid aside", "stop moves", "good away", "bad passed"),
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
        f"{tally.short(True):.2f}",
        f"{tally.short(False):.2f}",
        f"{1000 * _mean(tally.rough):.1f}",
        f"{1000 * _mean(tally.finish):.2f}",
        f"{tally.sent_back / n:.2f}",
        f"{tally.spare / n:.2f}",
        f"{tally.stop_moves / n:.1f}",
        str(tally.good_away),
        str(tally.bad_passed),
    ]


def aligned(lines: list[list[str]]) -> str:
    """The table of the bench: these lines under the headings, columns aligned."""
    rows = [list(HEADINGS), *lines]
    widths = [max(len(row[i]) for row in rows) for i in range(len(HEADINGS))]
    sized = [list(zip(row, widths, strict=True)) for row in rows]
    return "\n".join(
        "  ".join([row[0][0].ljust(row[0][1]), *(cell.rjust(width) for cell, width in row[1:])])
        for row in sized
    )
