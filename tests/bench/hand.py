"""A hand at the bench who has nothing but the card: the figures of `cardgen values` and their own senses.

The hand never sees the true geometry. It looks figures up in rows as they are printed, turns whole
or quarter divisions, reads tools to their nearest division, judges blue and light by eye.
"""

import math
from bisect import bisect_right
from dataclasses import dataclass, field
from typing import Any

from tests.bench.geometry import Marks
from tests.bench.work import Bench, Piece

Card = dict[str, Any]
ROUGH, FINISH = 0, 1
MOST_CORRECTIONS = 12  # then the hand gives up and fetches somebody


class Sheet:
    """The card as it hangs there, with its rows laid out for finding."""

    def __init__(self, card: Card) -> None:
        """card: the JSON of `cardgen values`."""
        self.card = card
        self.rows: list[list[Card]] = [
            sorted(
                (row for row in card["stock_table"] if row["tool"] == tool), key=lambda row: row["reading_mm"]
            )
            for tool in ("rough", "finish")
        ]
        self.readings = [[row["reading_mm"] for row in rows] for rows in self.rows]
        self.stages = {stage["name"]: stage for stage in card["stages"]}
        self.per_division = card["handwheel"]["stock_per_division_mm"]
        self.turns = {pattern["heavy_end"]: pattern["turn"] for pattern in card["patterns"]}

    def row(self, reading: float, tool: int) -> Card:
        """The row of this reading, or where the table has none the next one with less stock."""
        rows, readings = self.rows[tool], self.readings[tool]
        grows = rows[-1]["stock_mm"] > rows[0]["stock_mm"]
        if grows:
            return rows[max(0, bisect_right(readings, reading + 1e-6) - 1)]
        return rows[min(len(rows) - 1, bisect_right(readings, reading - 1e-6))]

    def blue_row(self, fraction: float) -> Card:
        """The row of blue nearest to the part that is marked."""
        return min(self.card["blue"], key=lambda row: abs(row["marked_fraction"] - fraction))

    def light_row(self, gap: float) -> Card:
        """The row of light nearest to the gap seen."""
        return min(self.card["light"], key=lambda row: abs(row["gap_mm"] - gap))

    def correction_row(self, error: float, turn: str) -> Card:
        """The row of the correction table for this error or the next larger one, turned this way."""
        rows = sorted((r for r in self.card["correction"] if r["turn"] == turn), key=_size_of_error)
        return next((r for r in rows if _size_of_error(r) >= error - 1e-9), rows[-1])


def _size_of_error(row: Card) -> float:
    return abs(row["error_mm"])


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


class Hand:
    """Works one batch from one card."""

    def __init__(self, sheet: Sheet, bench: Bench) -> None:
        """sheet: the card; bench: the machine and what is on it."""
        self.sheet, self.bench, self.card = sheet, bench, sheet.card
        self.notes = Notes()
        self.dial = 0.0
        self.aside: list[Piece] = []
        self.trials: list[Piece] = []  # pieces on which the swivel was corrected
        speeds = self.card["speeds"]
        self.phases = [speeds["rough"], speeds["finish"]]

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

    def turn(self, row: Card, turn: str) -> None:
        """Turn the swivel by a row's figure, the way the pattern says."""
        if turn not in ("more", "less"):
            self.notes.puzzles += 1
            return
        way = 1 if turn == "more" else -1
        self.notes.corrections += 1
        fine = self.card["taper"]["angle_tolerance_arcsec"] or 60.0
        by_screw = row["screw_divisions"] is not None
        if by_screw and self.card["swivel"]["screw_division_arcsec"] / 4 < fine / 2:
            self.bench.turn_screw(way * _quarters(abs(row["screw_divisions"])))
        else:
            self.bench.turn_by_indicator(way * abs(row["indicator_mm"]))

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
        stock = sheet.row(bench.read(ROUGH), ROUGH)["stock_mm"]
        if stock < row["least_stock_mm"]:
            self.turn(blue, turn)
            self.notes.spare_blanks += 1
            self.aside.append(bench.piece)
            self.start_blank()
            self.trials.append(bench.piece)
            return
        self.turn(blue, turn)
        share = blue["error_mm"] / abs(row["error_mm"])
        told = row["reading_shift_mm"] * share * self.card["reading"]["per_mm"]
        fed = self.clean_up()
        seen = sheet.row(bench.read(ROUGH), ROUGH)["stock_mm"] + fed * sheet.per_division - stock
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
            if self.sheet.row(bench.read(FINISH), FINISH)["stock_mm"] < row["least_stock_mm"]:
                return  # the next piece will do; this one would go under
            self.turn(light, turn)
            self.clean_up(FINISH)
        self.notes.at_a_loss += 1

    # --- cutting

    def per_pass(self, phase: int) -> int:
        """Whole divisions to feed a pass."""
        return max(1, math.floor(self.phases[phase]["divisions_per_pass"] + 1e-6))

    def grind_to(self, dial: float, phase: int, told: float | None = None) -> None:
        """Feed to a place on the dial and spark out; `told` is the stock that should come off."""
        self.dial = dial
        self.bench.grind_to(dial, self.per_pass(phase), self.phases[phase]["spark_out_passes"], told)

    def start_blank(self) -> None:
        """Take a blank, touch it, clean it up."""
        self.bench.mount(self.accepted_blank())
        self.bench.touch()
        self.dial = 0.0
        self.clean_up()

    def accepted_blank(self) -> Piece:
        """The first blank whose reading lies within what the card accepts."""
        low, high = (self.sheet.stages[name]["readable_reading_mm"] for name in ("blank low", "blank high"))
        for _ in range(50):
            piece = self.bench.blank()
            self.bench.mount(piece)
            reading = self.bench.read(ROUGH)
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
        for _ in range(6):
            row = sheet.row(self.bench.read(ROUGH), ROUGH)
            feed = row["divisions"] - rough["position_divisions"]
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
        target = self.sheet.stages["rough"]
        while len(done) < pieces:
            self.bench.mount(self.accepted_blank())
            self.grind_to(self.dial, ROUGH)
            done.append(self.bench.piece)
            if self.to_check(len(done), pieces):
                row = self.sheet.row(self.bench.read(ROUGH), ROUGH)
                self.follow(row, row["stock_mm"] - target["stock_mm"], ROUGH)
        return done

    def to_check(self, number: int, pieces: int) -> bool:
        """Whether the check plan asks for this piece of the batch."""
        plan = self.card["batch"]
        first, every = plan["check_first"], plan["check_every"]
        return number <= first or (number - first) % every == 0 or number == pieces

    def follow(self, row: Card, stock: float, phase: int) -> None:
        """Touch the stop when the drift of a checked piece is more than the card allows."""
        sheet = self.sheet
        tool = self.card["reading"]["rough_tool" if phase == ROUGH else "finish_tool"]
        worth = abs(self.card["reading"]["per_mm"])
        allowed = max(self.card["batch"]["allowed_drift_mm"], tool["division_mm"]) * worth
        if stock > allowed:
            self.dial += math.floor(stock / sheet.per_division + 1e-6)
            self.notes.stop_moves += 1
        elif -stock > allowed:
            self.dial -= math.ceil(-stock / sheet.per_division - 1e-6)
            self.notes.stop_moves += 1

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
            row = sheet.row(bench.read(FINISH), FINISH)
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
        one_by_one = plan["allowed_drift_mm"] <= 0 or (plan["spread_of_tolerance"] or 0) > 0.5
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
        row = self.sheet.row(self.bench.read(FINISH), FINISH)
        self.follow(row, row["stock_mm"], FINISH)
        if not self.regrind():
            return
        for piece in unseen:
            self.bench.mount(piece)
            self.regrind()

    def regrind(self) -> bool:
        """Grind a piece again that reads above its limit; tells whether it did."""
        most = self.card["reading"]["stock_high_mm"]
        row = self.sheet.row(self.bench.read(FINISH), FINISH)
        if row["stock_mm"] <= most:
            return False
        stop = self.dial
        self.grind_to(self.bench.dial_at_touch() + row["divisions"], FINISH)
        self.dial = stop
        return True

    def finish_by_reading(self, spread: float) -> None:
        """Stop short by the spread, then feed by the reading."""
        stop = self.dial
        self.grind_to(stop - math.ceil(spread / self.sheet.per_division / 2), FINISH)
        for _ in range(4):
            feed = self.sheet.row(self.bench.read(FINISH), FINISH)["divisions"]
            if feed <= 0:
                break
            self.grind_to(self.dial + feed, FINISH)
        self.dial = stop

    # --- the whole

    def run(self, pieces: int) -> list[Piece]:
        """The swivel being set: correct it, rough and finish a batch; returns the finished pieces."""
        self.start_blank()
        self.trials.append(self.bench.piece)
        self.true_by_blue()
        self.size_rough()
        roughed = self.rough_batch(pieces)
        return self.finish_batch(roughed)


def _quarters(divisions: float) -> float:
    """As near as a screw is turned: a quarter of a division."""
    return round(divisions * 4) / 4
