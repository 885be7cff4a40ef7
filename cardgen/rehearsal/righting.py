"""The swivel set, the taper put right: what a hand does there until blue is even and no error is seen."""

import math

from cardgen.rehearsal.contact import BlueMarks
from cardgen.rehearsal.hand import Hand
from cardgen.rehearsal.rows_looked_up import ROUGH, Card

MOST_CORRECTIONS = 12  # then the hand gives up and fetches somebody


def set_swivel(hand: Hand, move: Card) -> None:
    """Set the swivel by the way that the move names."""
    swivel, machine, proving = hand.card["swivel"], hand.bench.machine, hand.bench.job.proving
    way = move["means"]
    if way == "wheel head":
        machine.set_head(swivel["wheel_head"]["half_angle_deg"])
    elif way == "spindle bar":
        reach = proving.spindle_bar_length * math.cos(math.radians(swivel["half_angle_deg"]))
        row, nought = _longest(hand, reach), _longest(hand, proving.bar_length)["travel_mm"]
        machine.set_test_bar(nought, 0.0, proving.indicator, proving.bar)
        machine.set_spindle_bar(row["travel_mm"], row["rise_mm"], proving.indicator, proving.spindle_bar)
    elif way == "slips":
        assert machine.grinder.slips is not None
        machine.set_swing(machine.grinder.slips, swivel["slip_mm"], proving.indicator)
    elif way == "indicator":
        machine.set_swing(machine.grinder.indicator, swivel["indicator_mm"], proving.indicator)
        machine.table += machine.day.scale_zero
    elif way == "test bar":
        row = _longest(hand, proving.bar_length)
        machine.set_test_bar(row["travel_mm"], row["rise_mm"], proving.indicator, proving.bar)
    else:
        shows = swivel["starts"][0]["scale"]
        scale = next(each for each in swivel["scales"] if each["shows"] == shows)
        machine.set_scale(scale["shows"], scale["mark"])
        _turn_left_over(hand, scale["left_over_arcsec"])
    hand.bench.swivel_set()


def _longest(hand: Hand, reach: float) -> Card:
    """The row of the longest travel for which a bar is long enough."""
    rows = [row for row in hand.card["swivel"]["test_bar"] if row["travel_mm"] <= reach]
    return max(rows, key=lambda row: float(row["travel_mm"]))


def _turn_left_over(hand: Hand, arcsec: float) -> None:
    division = hand.card["swivel"]["screw_division_arcsec"]
    if division:
        hand.bench.machine.turn_screw(_quarters(arcsec / division))
    else:  # set between two marks
        hand.bench.machine.table += math.radians(arcsec / 3600)


def turn_swivel(hand: Hand, row: Card, turn: str) -> float:
    """Turn the swivel by a row's figure, the way the pattern says; returns the share of it turned.

    Where the bearing has changed ends after a turn, no hand goes back by more than half of that turn.
    """
    if turn not in ("more", "less"):
        hand.notes.puzzles += 1
        return 0.0
    hand.notes.corrections += 1
    (last_way, last), size, share = hand.last, abs(row["arcsec"]), 1.0
    if last_way not in ("none", turn) and size > last / 2:
        share = last / 2 / size
    hand.last = (turn, share * size)
    way = share if turn == "more" else -share
    fine = hand.card["taper"]["angle_tolerance_arcsec"] or 60.0
    by_screw = row["screw_divisions"] is not None
    if not by_screw and row["indicator_mm"] is None:
        hand.notes.puzzles += 1
        return 0.0
    if by_screw and (
        row["indicator_mm"] is None or hand.card["swivel"]["screw_division_arcsec"] / 4 < fine / 8
    ):
        hand.bench.turn_screw(_quarters(way * abs(row["screw_divisions"])))
    else:
        hand.bench.turn_by_indicator(way * abs(row["indicator_mm"]))
    return share


def true_by_blue(hand: Hand, move: Card) -> None:
    """Rub, correct, clean up, until the blue is even."""
    if hand.late:
        hand.size_rough(move)
    for _ in range(MOST_CORRECTIONS):
        marks = hand.bench.rub()
        if marks.end == "both":
            return
        correct_by_blue(hand, marks)
    hand.notes.at_a_loss += 1


def correct_by_blue(hand: Hand, marks: BlueMarks) -> None:
    """One correction from one rub; a fresh blank where this one has too little on for it."""
    bench, sheet = hand.bench, hand.sheet
    turn, blue = sheet.turns[marks.end], sheet.blue_row(marks.fraction)
    row = sheet.correction_row(blue["error_mm"], turn)
    stock = sheet.row(hand.read(ROUGH), ROUGH)["stock_mm"]
    if stock < row["least_stock_mm"]:
        turn_swivel(hand, blue, turn)
        hand.try_another()
        return
    share = turn_swivel(hand, blue, turn) * blue["error_mm"] / abs(row["error_mm"])
    told = row["reading_shift_mm"] * share * hand.card["reading"]["per_mm"]
    fed = hand.clean_up()
    bench.turned_on_the_card()
    seen = sheet.row(hand.read(ROUGH), ROUGH)["stock_mm"] + fed * sheet.per_division - stock
    hand.notes.shifts.append((told, seen))


def prove(hand: Hand, move: Card) -> None:
    """Prove the angle by the means that the move names; correct and clean up until no error is seen."""
    for _ in range(MOST_CORRECTIONS):
        error = _seen(hand, move["means"])
        if abs(error) <= move["sees_mm"]:
            return
        turn = "more" if error > 0 else "less"
        row = hand.sheet.correction_row(abs(error), turn)
        too_little = hand.sheet.row(hand.read(ROUGH), ROUGH)["stock_mm"] < row["least_stock_mm"]
        turn_swivel(hand, _in_proportion(row, error), turn)
        if too_little:
            hand.try_another()
        else:
            hand.clean_up()
    hand.notes.at_a_loss += 1


def _seen(hand: Hand, means: str) -> float:
    """The error of taper as the means shows it, over the contact, positive where it is too shallow."""
    if means != "light gauge":
        return hand.bench.prove(means)
    width, dark = hand.bench.light()
    if width == 0:
        return 0.0
    row = hand.sheet.light_row(width)
    error = float(row["error_mm"]) * width / float(row["gap_mm"])
    return error if hand.sheet.turns[dark] == "more" else -error


def _in_proportion(row: Card, error: float) -> Card:
    """A row of the correction table for an error between two rows."""
    share = abs(error / row["error_mm"])
    told = {name: row[name] for name in ("arcsec", "screw_divisions", "indicator_mm")}
    return {name: None if figure is None else figure * share for name, figure in told.items()}


def _quarters(divisions: float) -> float:
    """As near as a screw is turned: a quarter of a division."""
    return round(divisions * 4) / 4
