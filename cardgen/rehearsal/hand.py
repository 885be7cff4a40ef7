"""A hand at the bench who has nothing but the card: its moves, its figures and their own senses.

The hand follows the moves of the card's procedure and nothing else, and never sees the true geometry. It
looks figures up in rows as they are printed, turns whole or quarter divisions, reads tools to their nearest
division, judges blue and light by eye.
"""

import math
from dataclasses import dataclass, field

from cardgen.rehearsal.floor import Bench, WorkPiece
from cardgen.rehearsal.rows_looked_up import FINISH, ROUGH, Card, CardInHand

MOST_LOOKS = 8  # at one piece
NEAR = 1e-6  # mm: readings nearer than this are alike
SEMI = 2  # of the phases: what lies between roughing and finishing
TOOLS = {"rough tool": ROUGH, "finish tool": FINISH}


@dataclass
class Notes:
    """What the hand writes down over a batch."""

    corrections: int = 0
    at_a_loss: int = 0  # times the hand gave up
    puzzles: int = 0  # figures that nobody can set or read
    sent_back: int = 0  # blanks not accepted
    spare_blanks: int = 0  # trial pieces laid aside because too little was on to correct
    shifts: list[tuple[float, float]] = field(default_factory=list)  # of stock: told, seen
    stop_moves: int = 0
    reground: int = 0  # pieces that read above what is accepted, and were ground again
    turned_away: list[WorkPiece] = field(default_factory=list)  # set aside, or past size


class Hand:
    """Works one batch from one card."""

    def __init__(
        self, sheet: CardInHand, bench: Bench, pieces: int, warmer: float = 0.0, late: bool = False
    ) -> None:
        """sheet: the card; bench: the machine and what is on it; warmer: K, as the hand feels the work.

        A hand who is late roughs the trial piece to size before rubbing it.
        """
        self.sheet, self.bench, self.card, self.pieces, self.late = sheet, bench, sheet.card, pieces, late
        self.notes = Notes()
        self.dial = 0.0
        self.mind: dict[str, Card] = {}
        self.blanks: Card | None = None  # the move that says which are accepted
        self.aside: list[WorkPiece] = []
        self.worn: list[WorkPiece] = []  # laid aside to be cleaned up with the least
        self.trials: list[WorkPiece] = []  # pieces on which the swivel was corrected
        self.roughed: list[WorkPiece] = []
        self.done: list[WorkPiece] = []
        self.last: tuple[str, float] = ("none", 0.0)  # the turn before: which way, how many arc seconds
        speeds = self.card["speeds"]
        between = {"divisions_per_pass": 1, "spark_out_passes": 0, **(self.card.get("semi_finish") or {})}
        self.phases = [speeds["rough"], speeds["finish"], between]
        rows = {row["warmer_k"]: row["reading_mm"] for row in self.card["warmth"]}
        self.swollen = rows[warmer] if warmer else 0.0  # of the reading, by the card's table
        grows = self.card["reading"]["per_mm"] > 0
        self.more = 1.0 if grows else -1.0  # which way a reading goes with more stock on

    def read(self, phase: int) -> float:
        """Read the gauge, and allow for warm work what the card says."""
        return self.bench.read(phase) - self.swollen

    def beyond(self, reading: float, limit: float) -> bool:
        """Whether a reading tells of more stock than another."""
        return self.more * (reading - limit) > NEAR

    def ready(self, move: Card) -> None:
        """Mount the wheel, or set the stroke: what has no figure of size, but nothing goes without."""
        self.bench.ready.add(move["id"])

    def accept(self, move: Card) -> None:
        """From now on blanks are read, and sent back beyond these readings."""
        self.blanks = move

    # --- cutting

    def per_pass(self, phase: int) -> int:
        """Whole divisions to feed a pass: the nearest to what the card says."""
        return max(1, round(float(self.phases[phase]["divisions_per_pass"])))

    def grind_to(self, dial: float, phase: int, told: float | None = None) -> None:
        """Feed to a place on the dial and spark out; `told` is the stock that should come off.

        Nobody lays a gauge on work that still sparks: two passes without feed at the least.
        """
        self.dial = dial
        sparks = max(2, self.phases[phase]["spark_out_passes"])
        self.bench.grind_to(dial, self.per_pass(phase), sparks, told)

    def clean_the_first(self, _: Card) -> None:
        """The trial piece, on which the angle is proved."""
        self.start_blank()
        self.trials.append(self.bench.piece)

    def try_another(self) -> None:
        """Lay the trial piece aside, too little being on it to correct, and take a fresh one."""
        self.notes.spare_blanks += 1
        self.aside.append(self.bench.piece)
        self.start_blank()
        self.trials.append(self.bench.piece)

    def start_blank(self) -> None:
        """Take a blank, touch it, clean it up."""
        self.bench.mount(self.accepted_blank())
        self.bench.touch()
        self.dial = 0.0
        self.clean_up()

    def accepted_blank(self) -> WorkPiece:
        """The first blank whose reading lies within what the card accepts; any, where no move says so."""
        for _ in range(50):
            piece = self.bench.blank()
            self.bench.mount(piece)
            if self.blanks is None:
                return piece
            reading = self.read(TOOLS[self.blanks["means"]])
            if self.blanks["from_mm"] - NEAR <= reading <= self.blanks["to_mm"] + NEAR:
                return piece
            least = self.blanks["from_mm" if self.more > 0 else "to_mm"]
            if self.blanks["if_not"] == "lay aside" and self.beyond(least, reading):
                self.worn.append(piece)
            else:
                self.notes.sent_back += 1
        raise AssertionError("this card accepts none of the blanks")

    def clean_up(self, phase: int = ROUGH) -> int:
        """Grind where the wheel stands, then pass by pass until no skin is left; the divisions fed."""
        fed = 0
        self.grind_to(self.dial, phase)
        for _ in range(200):
            if self.bench.ground_all_over():
                return fed
            self.grind_to(self.dial + self.per_pass(phase), phase)
            fed += self.per_pass(phase)
        raise AssertionError("the piece does not clean up")

    # --- size

    def size_rough(self, move: Card) -> None:
        """Bring the trial piece to the rough target; the stop is set where that was."""
        if self.bench.between is None:
            self.bench.mount(self.accepted_blank())
        rough, sheet = self.sheet.stages["rough"], self.sheet
        count = rough["reading_mm"] / self.card["reading"]["rough_tool"]["division_mm"]
        self.notes.puzzles += abs(count - round(count)) > NEAR  # no such mark on the tool
        for _ in range(6):
            row = sheet.row(self.read(ROUGH), ROUGH)
            feed = row["divisions_to_rough"]
            if feed <= 0:
                break
            self.grind_to(self.dial + feed, ROUGH, row["stock_mm"] - rough["stock_mm"])
        self.bench.landed("rough")
        short = rough["stock_mm"] - row["stock_mm"]
        if short > 0:  # too far: leave the batch more
            self.dial -= math.ceil(short / sheet.per_division - 1e-6)

    def rough_batch(self, move: Card) -> None:
        """Rough the batch on the stop, with checks; the stop follows the wear of the wheel."""
        self.roughed = [*self.aside, self.bench.piece]
        self.aside = []
        while len(self.roughed) + len(self.worn) < self.pieces:
            self.bench.mount(self.accepted_blank())
            self.grind_to(self.dial, ROUGH)
            self.roughed.append(self.bench.piece)
            if self.to_check(len(self.roughed), move):
                self.follow_roughing(move)

    def follow_roughing(self, move: Card) -> None:
        """Where a roughed piece reads beyond the move's readings, move the stop: never in too far."""
        reading = self.read(ROUGH)
        if move["from_mm"] - NEAR <= reading <= move["to_mm"] + NEAR:
            return
        self.move_stop(reading, ROUGH, "rough")

    def move_stop(self, reading: float, use: int, stage: str) -> int:
        """Move the stop by what a reading has more on than a stage asks for; the divisions, rounded down."""
        off = self.sheet.row(reading, use)["stock_mm"] - self.sheet.stages[stage]["stock_mm"]
        rounded: int = math.floor(off / self.sheet.per_division + 1e-6)
        self.dial += rounded
        self.notes.stop_moves += rounded != 0
        return rounded

    def semi_finish(self, move: Card) -> None:
        """The roughed pieces once more, on a stop further in; it follows where one reads beyond."""
        self.dial += move["divisions"]
        use = TOOLS[move["means"]]
        for number, piece in enumerate(self.roughed, 1):
            self.bench.mount(piece)
            self.grind_to(self.dial, SEMI)
            if self.to_check(number, move) and self.move_stop(self.read(use), use, "semi-finish") > 0:
                self.grind_to(self.dial, SEMI)

    def dress(self, _: Card) -> None:
        """True the wheel before finishing."""
        self.bench.dress()

    def to_check(self, number: int, move: Card) -> bool:
        """Whether the check plan asks for this piece of the batch."""
        first = self.card["batch"]["check_first"]
        return number <= first or (number - first) % move["pieces"] == 0 or number == self.pieces

    def finish_first(self, move: Card) -> None:
        """The first piece after dressing: stop short, read, feed by the table; the stop is set there."""
        bench = self.bench
        if not self.roughed:
            self.roughed = [self.accepted_blank() for _ in range(self.pieces)]
        bench.mount(self.roughed.pop())
        bench.touch()
        self.dial = 0.0
        self.clean_up(FINISH)
        feed = self.sheet.row(self.read(FINISH), FINISH)["divisions"] - move["divisions"]
        if feed > 0:
            self.grind_to(self.dial + feed, FINISH)
        self.feed_by_the_table()
        bench.landed("finish")
        self.judge(bench.piece)

    def feed_by_the_table(self) -> None:
        """Read, feed, read again, until the table says no more."""
        for _ in range(MOST_LOOKS):
            row = self.sheet.row(self.read(FINISH), FINISH)
            if row["divisions"] <= 0:
                return
            self.grind_to(self.dial + row["divisions"], FINISH, row["stock_mm"])

    def finish_on_stop(self, move: Card) -> None:
        """Finish on the stop, gauged by the plan; where one is beyond, those since the last are looked at."""
        unseen = list[WorkPiece]()
        while self.roughed:
            piece = self.roughed.pop()
            self.bench.mount(piece)
            self.grind_to(self.dial, FINISH)
            if not self.to_check(len(self.done) + 1, move):
                unseen.append(piece)
                self.done.append(piece)
                continue
            self.follow()
            beyond = self.judge(piece)
            for other in unseen if beyond else ():
                self.bench.mount(other)
                self.regrind()
            unseen = []

    def follow(self) -> None:
        """Move the stop, when the reading has come to where the card says so; by more, if the table does."""
        move, reading = self.mind.get("move the stop"), self.read(FINISH)
        if move is not None and not self.beyond(move["from_mm"], reading):
            by_table = move["if_not"] == "feed by the table"
            told = self.sheet.row(reading, FINISH)["divisions"] if by_table else 0
            self.dial += max(move["divisions"], told)
            self.notes.stop_moves += 1

    def finish_each(self, move: Card) -> None:
        """Each piece by itself: stop short, read, feed what the table says; the stop follows."""
        while self.roughed:
            piece = self.roughed.pop()
            self.bench.mount(piece)
            self.grind_to(self.dial - move["divisions"], FINISH)
            self.feed_by_the_table()
            self.judge(piece)

    def clean_up_worn(self, move: Card) -> None:
        """Each worn piece by itself: pass by pass, a look after each, never past the limit.

        One that is clean with stock still on is finished like a new one.
        """
        for piece in self.worn[: self.pieces - len(self.done)]:
            self.bench.mount(piece)
            if self.beyond(move["from_mm"], self.read(FINISH)):
                continue
            piece.worn = True
            self.bench.touch()
            self.dial = 0.0
            self.grind_to(self.dial, FINISH)
            one = move["divisions"] * self.sheet.per_division / abs(self.card["reading"]["per_mm"])
            while not self.bench.ground_all_over():
                if self.beyond(move["to_mm"] + self.more * one, self.read(FINISH)):
                    break
                self.dial += move["divisions"]
                self.grind_to(self.dial, FINISH)
            else:
                self.feed_by_the_table()
                self.done.append(piece)

    def judge(self, piece: WorkPiece) -> bool:
        """Read a finished piece: grind it again, set it aside, or let it pass. Whether it was above."""
        self.done.append(piece)
        again = self.regrind()
        reading = self.read(FINISH)
        low = self.mind.get("set aside") or self.mind.get("salvage or scrap")
        if low is not None and self.beyond(low["from_mm"], reading):
            self.notes.turned_away.append(piece)
        return again

    def regrind(self) -> bool:
        """Grind a piece again that reads beyond the limit with stock left on; tells whether it did."""
        move, reading = self.mind.get("grind again"), self.read(FINISH)
        if move is None or not self.beyond(reading, move["from_mm"]):
            return False
        self.notes.reground += 1
        row, stop = self.sheet.row(reading, FINISH), self.dial
        self.grind_to(self.bench.dial_at_touch() + row["divisions"], FINISH)
        self.dial = stop
        return True
