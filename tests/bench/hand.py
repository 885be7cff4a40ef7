"""A hand at the bench who has nothing but the card: the figures of `cardgen values` and their own senses.

The hand never sees the true geometry. It looks figures up in rows as they are printed, turns whole
or quarter divisions, reads tools to their nearest division, judges blue and light by eye.
"""

import math
from dataclasses import dataclass, field

from tests.bench.geometry import Marks
from tests.bench.sheet import FINISH, ROUGH, Card, Sheet
from tests.bench.work import Bench, Piece

MOST_CORRECTIONS = 12  # then the hand gives up and fetches somebody


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
    turned_away: list[Piece] = field(default_factory=list)  # by the hand's own inspection


class Hand:
    """Works one batch from one card."""

    def __init__(self, sheet: Sheet, bench: Bench, warmer: float = 0.0) -> None:
        """sheet: the card; bench: the machine and what is on it; warmer: K, as the hand feels the work."""
        self.sheet, self.bench, self.card = sheet, bench, sheet.card
        self.notes = Notes()
        self.dial = 0.0
        self.aside: list[Piece] = []
        self.trials: list[Piece] = []  # pieces on which the swivel was corrected
        self.last: tuple[str, float] = ("none", 0.0)  # the turn before: which way, how many arc seconds
        speeds = self.card["speeds"]
        self.phases = [speeds["rough"], speeds["finish"]]
        rows = {row["warmer_k"]: row["reading_mm"] for row in self.card["warmth"]}
        self.swollen = rows[warmer] if warmer else 0.0  # of the reading, by the card's table

    def read(self, phase: int) -> float:
        """Read the gauge, and allow for warm work what the card says."""
        return self.bench.read(phase) - self.swollen

    # --- the swivel

    def set_swivel(self) -> None:
        """Set the swivel by the way this shop does it."""
        swivel, machine = self.card["swivel"], self.bench.machine
        way = self.bench.job.way
        if way == "head":
            machine.set_head(swivel["wheel_head"]["half_angle_deg"])
        elif way == "slips":
            machine.set_slips(swivel["slip_mm"])
        elif way == "bar":
            row = max(
                (r for r in swivel["test_bar"] if r["travel_mm"] <= 260), key=lambda row: row["travel_mm"]
            )
            machine.set_test_bar(row["travel_mm"], row["rise_mm"])
        else:
            scale = swivel["scales"][0]
            machine.set_scale(scale["shows"], scale["mark"])
            self._turn_left_over(scale["left_over_arcsec"])

    def _turn_left_over(self, arcsec: float) -> None:
        swivel = self.card["swivel"]
        if swivel["screw_division_arcsec"]:
            self.bench.machine.turn_screw(_quarters(arcsec / swivel["screw_division_arcsec"]))

    def turn(self, row: Card, turn: str) -> float:
        """Turn the swivel by a row's figure, the way the pattern says; returns the share of it turned.

        Where the bearing has changed ends after a turn, no hand goes back by more than half of that turn.
        """
        if turn not in ("more", "less"):
            self.notes.puzzles += 1
            return 0.0
        self.notes.corrections += 1
        (last_way, last), size, share = self.last, abs(row["arcsec"]), 1.0
        if last_way not in ("none", turn) and size > last / 2:
            share = last / 2 / size
        self.last = (turn, share * size)
        way = share if turn == "more" else -share
        fine = self.card["taper"]["angle_tolerance_arcsec"] or 60.0
        by_screw = row["screw_divisions"] is not None
        if by_screw and self.card["swivel"]["screw_division_arcsec"] / 4 < fine / 2:
            self.bench.turn_screw(_quarters(way * abs(row["screw_divisions"])))
        else:
            self.bench.turn_by_indicator(way * abs(row["indicator_mm"]))
        return share

    def true_by_blue(self) -> None:
        """Clean up, rub, correct, until the blue is even."""
        for _ in range(MOST_CORRECTIONS):
            marks = self.bench.rub()
            if marks.end == "both":
                return
            self.correct_by_blue(marks)
        self.notes.at_a_loss += 1

    def correct_by_blue(self, marks: Marks) -> None:
        """One correction from one rub; a fresh blank where this one has too little on for it."""
        bench, sheet = self.bench, self.sheet
        turn, blue = sheet.turns[marks.end], sheet.blue_row(marks.fraction)
        row = sheet.correction_row(blue["error_mm"], turn)
        stock = sheet.row(self.read(ROUGH), ROUGH)["stock_mm"]
        if stock < row["least_stock_mm"]:
            self.turn(blue, turn)
            self.notes.spare_blanks += 1
            self.aside.append(bench.piece)
            self.start_blank()
            self.trials.append(bench.piece)
            return
        share = self.turn(blue, turn) * blue["error_mm"] / abs(row["error_mm"])
        told = row["reading_shift_mm"] * share * self.card["reading"]["per_mm"]
        fed = self.clean_up()
        bench.turned_on_the_card()
        seen = sheet.row(self.read(ROUGH), ROUGH)["stock_mm"] + fed * sheet.per_division - stock
        self.notes.shifts.append((told, seen))

    def true_by_light(self) -> None:
        """With a roughed piece between centres: lay on the light gauge, correct, until no light shows."""
        bench = self.bench
        for _ in range(MOST_CORRECTIONS):
            width, dark = bench.light()
            if width == 0:
                return
            turn, light = self.sheet.turns[dark], self.sheet.light_row(width)
            row = self.sheet.correction_row(light["error_mm"], turn)
            if self.sheet.row(self.read(FINISH), FINISH)["stock_mm"] < row["least_stock_mm"]:
                return  # the next piece will do; this one would go under
            self.turn(light, turn)
            self.clean_up(FINISH)
        self.notes.at_a_loss += 1

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

    def start_blank(self) -> None:
        """Take a blank, touch it, clean it up."""
        self.bench.mount(self.accepted_blank())
        self.bench.touch()
        self.dial = 0.0
        self.clean_up()

    def accepted_blank(self) -> Piece:
        """The first blank whose reading lies within what the card accepts."""
        least, most = (self.sheet.stages[name] for name in ("blank low", "blank high"))
        low, high = least["reading_mm"], most["reading_mm"]
        phase = ROUGH if least["tool"] == "rough" else FINISH
        for _ in range(50):
            piece = self.bench.blank()
            self.bench.mount(piece)
            reading = self.read(phase)
            if min(low, high) - 1e-6 <= reading <= max(low, high) + 1e-6:
                return piece
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

    def size_rough(self) -> None:
        """Bring the trial piece to the rough target; the stop is set where that was."""
        rough, sheet = self.sheet.stages["rough"], self.sheet
        count = rough["reading_mm"] / self.card["reading"]["rough_tool"]["division_mm"]
        self.notes.puzzles += abs(count - round(count)) > 1e-6  # no such mark on the tool
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

    def rough_batch(self, pieces: int) -> list[Piece]:
        """Rough the batch on the stop, with checks; the stop follows the wear of the wheel."""
        done = [*self.aside, self.bench.piece]
        self.aside = []
        while len(done) < pieces:
            self.bench.mount(self.accepted_blank())
            self.grind_to(self.dial, ROUGH)
            done.append(self.bench.piece)
            if self.to_check(len(done), pieces):
                self.follow(ROUGH)
        return done

    def to_check(self, number: int, pieces: int) -> bool:
        """Whether the check plan asks for this piece of the batch."""
        plan = self.card["batch"]
        first, every = plan["check_first"], plan["check_every"]
        return number <= first or (number - first) % every == 0 or number == pieces

    def follow(self, phase: int) -> None:
        """Read the piece, and move the stop as the card says when it has drifted as far as the card says.

        For roughing the card has no drift of its own: a division of the tool is allowed there.
        """
        sheet, reading, batch = self.sheet, self.read(phase), self.card["batch"]
        if phase == FINISH:
            beyond = reading - batch["move_at_mm"]
            if (beyond if self.card["reading"]["per_mm"] > 0 else -beyond) >= -1e-6:
                self.dial += batch["stop_divisions"]
                self.notes.stop_moves += 1
            return
        aim, allowed = sheet.stages["rough"], self.card["reading"]["rough_tool"]["division_mm"]
        if abs(reading - aim["reading_mm"]) <= allowed + 1e-6:
            return
        off = sheet.row(reading, phase)["stock_mm"] - aim["stock_mm"]
        rounded = math.floor(off / sheet.per_division + 1e-6)  # never in too far, never out too little
        self.dial += rounded
        self.notes.stop_moves += rounded != 0

    def finish_first(self, piece: Piece) -> None:
        """Creep up to size on the first piece after dressing, in two bites; the stop is set there."""
        bench, sheet = self.bench, self.sheet
        bench.dress()
        bench.mount(piece)
        bench.touch()
        self.dial = 0.0
        self.clean_up(FINISH)
        if self.card["light"] and bench.job.light_gauge is not None:
            self.true_by_light()
        for look in range(8):
            row = sheet.row(self.read(FINISH), FINISH)
            feed = row["divisions"]
            if feed <= 0:
                break
            if look == 0 and feed > 3:
                self.grind_to(self.dial + feed * 2 // 3, FINISH)
            else:
                self.grind_to(self.dial + feed, FINISH, row["stock_mm"])
        bench.landed("finish")

    def finish_batch(self, roughed: list[Piece]) -> list[Piece]:
        """Finish on the stop with checks, or each piece to its reading where the spread is too wide."""
        first, *rest = reversed(roughed)
        self.finish_first(first)
        done, unseen = [first], list[Piece]()
        plan = self.card["batch"]
        one_by_one = plan["move_at_mm"] is None
        for piece in rest:
            self.bench.mount(piece)
            done.append(piece)
            if one_by_one:
                self.finish_by_reading(plan["spread_on_diameter_mm"] or 0.0)
                continue
            self.grind_to(self.dial, FINISH)
            if self.to_check(len(done), len(roughed)):
                self.check_finished(unseen)
                unseen = []
            else:
                unseen.append(piece)
        return done

    def check_finished(self, unseen: list[Piece]) -> None:
        """Read the piece on the machine; where it has drifted out, move the stop, go back over the rest."""
        self.follow(FINISH)
        if not self.regrind():
            return
        for piece in unseen:
            self.bench.mount(piece)
            self.regrind()

    def regrind(self) -> bool:
        """Grind a piece again that reads beyond the limit with stock left on; tells whether it did."""
        reading, limit = self.read(FINISH), self.sheet.stages["finish high"]["reading_mm"]
        grows = self.card["reading"]["per_mm"] > 0
        if (reading - limit if grows else limit - reading) <= 1e-6:
            return False
        row = self.sheet.row(reading, FINISH)
        stop = self.dial
        self.grind_to(self.bench.dial_at_touch() + row["divisions"], FINISH)
        self.dial = stop
        return True

    def finish_by_reading(self, spread: float) -> None:
        """Stop short by the spread, then feed by the reading."""
        stop = self.dial
        self.grind_to(stop - math.ceil(spread / self.sheet.per_division / 2), FINISH)
        for _ in range(4):
            feed = self.sheet.row(self.read(FINISH), FINISH)["divisions"]
            if feed <= 0:
                break
            self.grind_to(self.dial + feed, FINISH)
        self.dial = stop

    def inspect(self, pieces: list[Piece]) -> None:
        """Read every piece again, cold, against the limits of the card; turn away what lies beyond."""
        low, high = self.card["batch"]["reading_low_mm"], self.card["batch"]["reading_high_mm"]
        for piece in pieces:
            piece.warm = 0.0
            self.bench.mount(piece)
            if not low - 1e-6 <= self.bench.read(FINISH) <= high + 1e-6:
                self.notes.turned_away.append(piece)

    # --- the whole

    def run(self, pieces: int, late: bool = False) -> list[Piece]:
        """The swivel being set: correct it, rough, finish and inspect a batch; the finished pieces.

        A hand who is late roughs the trial piece to size before rubbing it.
        """
        self.start_blank()
        self.trials.append(self.bench.piece)
        if late:
            self.size_rough()
        self.true_by_blue()
        self.size_rough()
        done = self.finish_batch(self.rough_batch(pieces))
        self.inspect(done)
        return done


def _quarters(divisions: float) -> float:
    """As near as a screw is turned: a quarter of a division."""
    return round(divisions * 4) / 4
