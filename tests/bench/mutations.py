"""Cards that are wrong in one thing: what a slip of sign, cosine, direction or rounding would print.

Each takes the JSON of a sound card and returns a spoilt copy. A spoilt card is what the package would
print with the slip in its sums, so every figure that hangs on the slip goes wrong together.
"""

import math
import pickle
from collections.abc import Callable
from typing import Any

Card = dict[str, Any]
NOISE = 1e-7


def _with(card: Card, change: Callable[[Card], None]) -> Card:
    spoilt = pickle.loads(pickle.dumps(card))
    change(spoilt)
    _moves_follow(spoilt)
    if spoilt["stock_table"] != card["stock_table"] or spoilt["stages"] != card["stages"]:
        # What the slip would make of the table's other column.
        back = _stage(spoilt, "rough")["position_divisions"]
        for row in spoilt["stock_table"]:
            row["divisions_to_rough"] = max(0, row["divisions"] - back)
    return spoilt


def _moves_follow(card: Card) -> None:
    """The figures of the moves, as the package would take them from spoilt stages and a spoilt check plan."""
    at, plan = {stage["name"]: stage["reading_mm"] for stage in card["stages"]}, card["batch"]
    more = math.copysign(1, card["reading"]["per_mm"])
    one_more = at["rough"] + more * card["reading"]["rough_tool"]["division_mm"]
    ends = [plan["reading_low_mm"], plan["reading_high_mm"]]
    least, most = ends if more > 0 else ends[::-1]
    figures = {
        "accept blanks": sorted((at["blank low"], at["blank high"])),
        "rough the batch": sorted((at["rough"], one_more)),
        "move the stop": (plan["move_at_mm"], None),
        "grind again": (most, None),
        "set aside": (least, plan["set_aside_mm"]),
    }
    for move in card["procedure"]:
        if move["id"] in figures:
            move["from_mm"], move["to_mm"] = figures[move["id"]]
        if move["id"] in ("rough the batch", "finish on the stop"):
            move["pieces"] = plan["check_every"]


def _half_angle(card: Card) -> float:
    return math.radians(card["taper"]["half_angle_deg"])


def _scale_divisions(card: Card, factor: float) -> None:
    """Every figure in divisions of the cross-feed as if the travel for a stock were so much larger."""
    per_division = card["handwheel"]["stock_per_division_mm"]
    card["handwheel"]["stock_per_division_mm"] = per_division / factor
    for row in (*card["stages"], *card["stock_table"]):
        exact = row["stock_mm"] / per_division * factor
        row["cross_feed_mm"] *= factor
        row["divisions"] = math.floor(exact + NOISE)
        if "position_divisions" in row:
            row["position_divisions"] = math.ceil(exact - NOISE)
    for phase in ("rough", "finish"):
        card["speeds"][phase]["divisions_per_pass"] *= factor


def _round_rough_target(card: Card) -> None:
    """Move the rough target to the tool's next division with more stock on, as the package would."""
    reading, per_division = card["reading"], card["handwheel"]["stock_per_division_mm"]
    division, more = reading["rough_tool"]["division_mm"], math.copysign(1, reading["per_mm"])
    stage = _stage(card, "rough")
    stage["reading_mm"] = more * math.ceil(more * stage["reading_mm"] / division - NOISE) * division
    stage["stock_mm"] = reading["per_mm"] * (stage["reading_mm"] - reading["finish_mm"])
    stage["position_divisions"] = math.ceil(stage["stock_mm"] / per_division - NOISE)


def _stage(card: Card, name: str) -> Card:
    stage: Card = next(stage for stage in card["stages"] if stage["name"] == name)
    return stage


def k_of_the_wrong_sign(card: Card) -> Card:
    """Stock counted the wrong way along the reading: the tables are another kind of reading's."""

    def change(c: Card) -> None:
        finish = c["reading"]["finish_mm"]
        per_division = c["handwheel"]["stock_per_division_mm"]
        c["reading"]["per_mm"] *= -1
        for row in c["stock_table"]:
            row["stock_mm"] *= -1
            row["divisions"] = math.floor(row["stock_mm"] / per_division + NOISE)
        for stage in c["stages"]:
            stage["reading_mm"] = 2 * finish - stage["reading_mm"]
        _round_rough_target(c)
        for row in c["correction"]:
            row["reading_shift_mm"] *= -1

    return _with(card, change)


def table_of_another_kind(card: Card) -> Card:
    """Sound stages beside a table counted the wrong way along the reading."""

    def change(c: Card) -> None:
        per_division = c["handwheel"]["stock_per_division_mm"]
        for row in c["stock_table"]:
            row["stock_mm"] *= -1
            row["divisions"] = math.floor(row["stock_mm"] / per_division + NOISE)

    return _with(card, change)


def cosine_dropped(card: Card) -> Card:
    """The cut reckoned square to the axis: cos θ left out of the infeed."""
    return _with(card, lambda c: _scale_divisions(c, 1 / math.cos(_half_angle(c))))


def cosine_twice(card: Card) -> Card:
    """cos θ taken where the slide is fed square to the axis already: cos φ left out."""
    return _with(card, lambda c: _scale_divisions(c, math.cos(_half_angle(c))))


def radius_for_diameter(card: Card) -> Card:
    """A handwheel that reads on the radius taken for one that reads on the diameter, or the other way."""
    factor = 2.0 if card["handwheel"]["reads"] == "radius" else 0.5
    return _with(card, lambda c: _scale_divisions(c, factor))


def diameter_for_radius(card: Card) -> Card:
    """Twice the divisions: stock on the diameter fed as if it were on the radius."""
    return _with(card, lambda c: _scale_divisions(c, 2.0))


def divisions_rounded_up(card: Card) -> Card:
    """Divisions to feed rounded up: past the size aimed at."""

    def change(c: Card) -> None:
        per_division = c["handwheel"]["stock_per_division_mm"]
        for row in (*c["stages"], *c["stock_table"]):
            row["divisions"] = math.ceil(row["stock_mm"] / per_division - NOISE)

    return _with(card, change)


def all_rounded_the_other_way(card: Card) -> Card:
    """Divisions to feed rounded up, places on the dial rounded down."""

    def change(c: Card) -> None:
        per_division = c["handwheel"]["stock_per_division_mm"]
        for row in (*c["stages"], *c["stock_table"]):
            row["divisions"] = math.ceil(row["stock_mm"] / per_division - NOISE)
            if "position_divisions" in row:
                row["position_divisions"] = math.floor(row["stock_mm"] / per_division + NOISE)

    return _with(card, change)


def more_for_less(card: Card) -> Card:
    """The direction of the correction turned about."""

    def change(c: Card) -> None:
        other = {"more": "less", "less": "more", "none": "none"}
        for row in (*c["patterns"], *c["correction"]):
            row["turn"] = other[row["turn"]]

    return _with(card, change)


def inside_as_outside(card: Card) -> Card:
    """The patterns of external work printed for a hole: heavy ends changed over."""

    def change(c: Card) -> None:
        if c["taper"]["side"] == "internal":
            turns = {"small": "more", "large": "less", "both": "none"}
            for pattern in c["patterns"]:
                pattern["turn"] = turns[pattern["heavy_end"]]

    return _with(card, change)


def _scale_turns(card: Card, factor: float) -> None:
    for row in (*card["correction"], *card["blue"], *card["light"]):
        for key in ("arcsec", "screw_divisions", "indicator_mm"):
            if row[key] is not None:
                row[key] *= factor


def turns_halved(card: Card) -> Card:
    """A correction of the included angle given for the half: half the turn."""
    return _with(card, lambda c: _scale_turns(c, 0.5))


def turns_doubled(card: Card) -> Card:
    """A correction of the half angle given for the included: twice the turn."""
    return _with(card, lambda c: _scale_turns(c, 2.0))


def size_shift_of_the_wrong_sign(card: Card) -> Card:
    """The shift of size on turning the swivel reckoned from the wrong side of the pivot."""

    def change(c: Card) -> None:
        for row in c["correction"]:
            for key in ("size_shift_mm", "stock_shift_mm", "reading_shift_mm"):
                row[key] *= -1

    return _with(card, change)


def no_size_shift(card: Card) -> Card:
    """The shift of size left out."""

    def change(c: Card) -> None:
        for row in c["correction"]:
            for key in ("size_shift_mm", "stock_shift_mm", "reading_shift_mm"):
                row[key] = 0.0

    return _with(card, change)


def no_least_stock(card: Card) -> Card:
    """No warning that a piece has too little on to correct the swivel on it."""

    def change(c: Card) -> None:
        for row in c["correction"]:
            row["least_stock_mm"] = 0.0

    return _with(card, change)


def left_over_of_the_wrong_sign(card: Card) -> Card:
    """What the mark leaves over turned the wrong way."""

    def change(c: Card) -> None:
        for scale in c["swivel"]["scales"]:
            scale["left_over_arcsec"] *= -1
            scale["left_over_mm"] *= -1

    return _with(card, change)


def included_for_half(card: Card) -> Card:
    """The swivel set to the included angle."""

    def change(c: Card) -> None:
        swivel = c["swivel"]
        for scale in swivel["scales"]:
            scale["mark"] *= 2
        for row in swivel["test_bar"]:
            row["rise_mm"] *= 2
        if swivel["slip_mm"]:
            swivel["slip_mm"] *= 2
        if swivel["wheel_head"]:
            swivel["wheel_head"]["half_angle_deg"] *= 2

    return _with(card, change)


def _move_readings(card: Card, by: float) -> None:
    """All readings but the rows of the table moved; the table's stock goes with them."""
    reading, per_division = card["reading"], card["handwheel"]["stock_per_division_mm"]
    for key in ("finish_mm", "finish_low_mm", "finish_high_mm"):
        reading[key] += by
    for stage in card["stages"]:
        stage["reading_mm"] += by
    for place in ("reading_low_mm", "reading_high_mm", "set_aside_mm", "move_at_mm"):
        if card["batch"][place] is not None:
            card["batch"][place] += by
    _round_rough_target(card)
    for row in card["stock_table"]:
        row["stock_mm"] -= by * reading["per_mm"]
        row["divisions"] = math.floor(row["stock_mm"] / per_division + NOISE)


def gauge_error_of_the_wrong_sign(card: Card) -> Card:
    """A gauge calibrated small taken for one calibrated large, about the print's diameter."""
    nominal = card["taper"]["gauge_line_diameter_mm"]

    def change(c: Card) -> None:
        twice = 2 * (c["gauge"]["gauge_line_diameter_mm"] - nominal)
        outside = 1 if c["taper"]["side"] == "external" else -1
        _move_readings(c, outside * twice / c["taper"]["ratio"] * _reads_outwards(c))

    return _with(card, change)


def _reads_outwards(card: Card) -> int:
    return -1 if card["reading"]["kind"] in ("small_end_standout", "plug_depth") else 1


def plane_forgotten(card: Card) -> Card:
    """The print's diameter taken for the diameter at the shoulder, its plane left out."""

    def change(c: Card) -> None:
        # with the print's plane at the shoulder the gap is shorter by its distance, the standout longer
        outside = 1 if c["taper"]["side"] == "external" else -1
        _move_readings(c, -outside * c["taper"]["gauge_line_from_face_mm"] * _reads_outwards(c))

    return _with(card, change)


def rough_target_unrounded(card: Card) -> Card:
    """The rough target left between two divisions of the tool."""

    def change(c: Card) -> None:
        division = c["reading"]["rough_tool"]["division_mm"]
        _stage(c, "rough")["reading_mm"] -= 0.4 * division * math.copysign(1, c["reading"]["per_mm"])

    return _with(card, change)


def rough_target_rounded_down(card: Card) -> Card:
    """The rough target moved to the division that has less stock on."""

    def change(c: Card) -> None:
        reading, per_division = c["reading"], c["handwheel"]["stock_per_division_mm"]
        worth = abs(reading["per_mm"]) * reading["rough_tool"]["division_mm"]
        stage = _stage(c, "rough")
        stage["stock_mm"] -= worth
        stage["reading_mm"] -= worth / reading["per_mm"]
        stage["position_divisions"] = math.ceil(stage["stock_mm"] / per_division - NOISE)

    return _with(card, change)


def limits_half_as_wide(card: Card) -> Card:
    """A tolerance on the diameter taken for one on the radius: the limits half as wide."""

    def change(c: Card) -> None:
        finish = c["reading"]["finish_mm"]
        for place in (c["reading"], c["batch"]):
            for key in ("finish_low_mm", "finish_high_mm", "reading_low_mm", "reading_high_mm"):
                if key in place:
                    place[key] = (finish + place[key]) / 2
        for key in ("stock_low_mm", "stock_high_mm"):
            c["reading"][key] /= 2
        c["batch"]["allowed_drift_mm"] *= 2

    return _with(card, change)


def warmth_of_the_wrong_sign(card: Card) -> Card:
    """Warm work said to read the other way."""

    def change(c: Card) -> None:
        for row in c["warmth"]:
            row["reading_mm"] *= -1

    return _with(card, change)


def no_checks(card: Card) -> Card:
    """A check plan that looks at the first piece and lets the wheel wear."""

    def change(c: Card) -> None:
        c["batch"]["check_first"], c["batch"]["check_every"] = 1, 1000
        c["batch"]["allowed_drift_mm"] = 1000.0
        c["batch"]["move_at_mm"] = c["reading"]["finish_mm"] + math.copysign(1000.0, c["reading"]["per_mm"])

    return _with(card, change)
