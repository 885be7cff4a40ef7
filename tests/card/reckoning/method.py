"""The method: ways to set the swivel, means of proof, the moves of a batch (theory 12)."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

import mpmath
from mpmath import mpf

from tests.booklet.reckoner import exact
from tests.card.reckoning import batch, worn
from tests.card.reckoning.doubt import doubt
from tests.card.reckoning.piece import NOISE, Formula, Piece, round_figures, rows
from tests.card.reckoning.proving import ball_depths, pair, rolls
from tests.card.reckoning.raw import Tree, quantity
from tests.card.reckoning.righting import Wrong, contact_length, corrections, leaves_a_taper
from tests.card.reckoning.running import (
    before_finishing,
    drift,
    fed_between,
    overrun_shoulder,
    phase,
    plunged,
    slant,
)
from tests.card.reckoning.setting import TRAVELS, scales, spindle_bar, turned_by_screw
from tests.card.reckoning.sizes import Mark, above, all_rows, stages

# Where the shop does not say: assumptions.
SCALE, LIGHT, RADIUS = "4 arcmin", "0.002 mm", mpf("0.001")


def has(piece: Piece) -> Tree:
    found: Tree = piece.shop.get("proving", {})
    return found


@dataclass(frozen=True)
class Way:
    """One way to set the swivel; the angle that it may leave over."""

    piece: Piece
    name: str
    left: mpf
    scale: str | None = None

    @property
    def over(self) -> mpf:
        """As a difference of diameters over the length."""
        off = mpmath.tan(self.piece.aimed + self.left) - mpmath.tan(self.piece.aimed)
        return 2 * off * self.piece.length

    @property
    def needs(self) -> mpf | None:
        """Stock to have on, whichever way it is out; None where no taper would be left."""
        over = self.over * contact_length(self.piece) / self.piece.length
        if not leaves_a_taper(self.piece, over):
            return None
        return max(Wrong(self.piece, sign * over).least_stock for sign in (1, -1))


def _swung(piece: Piece, seen: mpf, radius: mpf) -> mpf:
    """The angle of so much at a radius, and what a radius not known to a thousandth is worth."""
    return seen / (radius * mpmath.cos(piece.aimed)) + RADIUS * mpmath.tan(piece.aimed)


def _between_marks(piece: Piece, scale: Any) -> mpf:
    """A tenth of a division there, and a quarter of a division of the screw."""
    tenth = (scale.angle_at(scale.exact + scale.division) - piece.aimed) / 10
    small = mpf("1e-15")
    turned = turned_by_screw(piece, piece.aimed - small, piece.aimed + small)
    return tenth + (small / turned / 2 if turned is not None else 0)


def _along(piece: Piece, bar: Tree, angle: mpf, share: mpf) -> mpf:
    """Two readings, the bar itself, a travel sure to a division; the longest that this share of it has."""
    travel = max(t for t in round_figures(piece, TRAVELS) if t <= quantity(bar["length"]) * share)
    one = quantity(has(piece)["indicator"])
    off = mpmath.norm([one / 2, one / 2]) + quantity(bar["straightness"]) + one * mpmath.tan(angle)
    return off / travel * mpmath.cos(angle) ** 2


@cache
def ways(piece: Piece) -> list[Way]:
    scale_off = quantity(piece.shop.get("rehearsal", {}).get("scale", SCALE))
    if piece.by_head:
        found = [Way(piece, "wheel head", scale_off)]
        on_spindle, between = spindle_bar(piece), has(piece).get("test_bar")
        if on_spindle is not None and between is not None and "indicator" in has(piece):
            head = _along(piece, on_spindle, piece.aimed, mpmath.cos(piece.aimed))
            found.append(Way(piece, "spindle bar", head + _along(piece, between, mpf(0), mpf(1))))
        return sorted(found, key=lambda way: way.over)
    swivel, seen = piece.machine["swivel"], has(piece).get("indicator")
    found = []
    if seen is not None:
        one = quantity(seen)
        if "test_bar" in has(piece):
            found.append(Way(piece, "test bar", _along(piece, has(piece)["test_bar"], piece.aimed, mpf(1))))
        if "slips" in swivel:
            found.append(Way(piece, "slips", _swung(piece, one, quantity(swivel["slips"]["radius"]))))
        if "indicator_radius" in swivel:
            swung = _swung(piece, one, quantity(swivel["indicator_radius"]))
            found.append(Way(piece, "indicator", scale_off + swung))
    if piece.aimed <= quantity(swivel["limit"]):
        found += [
            Way(piece, "scale", scale_off + _between_marks(piece, scale), scale.shows)
            for scale in scales(piece)
        ]
    return sorted(found, key=lambda way: way.over)


def _over_contact(piece: Piece, half_angle: mpf, off: mpf) -> mpf:
    return 2 * (mpmath.tan(half_angle + off) - mpmath.tan(half_angle)) * contact_length(piece)


def tolerance(piece: Piece) -> mpf | None:
    """Over the contact, to one side of what is aimed at."""
    return None if piece.angle_off is None else _over_contact(piece, piece.aimed, piece.angle_off)


@cache
def means(piece: Piece) -> list[tuple[str, mpf]]:
    """The coarsest first: two films; two gaps of light; the difference of two readings."""
    found = {"blue": 2 * quantity(piece.shop["blue_film"])}
    if "light_gauge" in piece.part["gauging"]:
        found["light gauge"] = (
            2 * quantity(has(piece).get("light_gauge", LIGHT)) / mpmath.cos(piece.half_angle)
        )
    ground = piece.length - piece.relief
    raised = rolls(piece)
    for name, key in (("rolls" if piece.outside else "balls",) * 2, ("sine bar", "sine_bar")):
        if key in has(piece):
            one = quantity(has(piece)[key])
            apart = raised[1] if name == "rolls" and raised else ground  # where the two readings are taken
            found[name] = mpmath.norm([one, one]) * contact_length(piece) / apart
    return sorted(found.items(), key=lambda each: -each[1])


def decides(piece: Piece, name: str, sees: mpf) -> bool:
    """Blue and light show work alike to the gauge, and so lead to no other taper than the gauge's."""
    if piece.aimed != piece.half_angle and name in ("blue", "light gauge"):
        return False
    allowed = tolerance(piece)
    return allowed is None or 2 * sees <= allowed


def decided_by(piece: Piece) -> str | None:
    return next((name for name, sees in means(piece) if decides(piece, name, sees)), None)


def let_be(piece: Piece, name: str, sees: mpf) -> mpf:
    """What two readings may show that is not corrected: with their doubt it stays in half the tolerance."""
    allowed = tolerance(piece)
    return sees if allowed is None or name == "light gauge" else max(sees, allowed / 2 - sees)


# ---- the moves

MOVE = ("id", "phase", "means", "from_mm", "to_mm", "divisions", "pieces", "sees_mm", "until", "if_not")


def _up(count: mpf) -> int:
    return max(2, int(mpmath.ceil(count - NOISE)))


def _unborne(piece: Piece) -> bool:
    """Even the best way leaves more than a cleaned-up blank can bear."""
    best = ways(piece)[0] if ways(piece) else None
    if best is None:
        return False
    needs = best.needs
    return needs is None or needs > stages(piece)["clean-up"].stock


@cache
def moves(piece: Piece) -> list[dict[str, Any]]:
    at, seen = stages(piece), dict(means(piece))
    blank = sorted(at[name].reading for name in ("blank low", "blank high"))
    best, rough, aim = next(iter(ways(piece)), None), at["rough"].reading, at["finish"].reading
    more = rough + mpmath.sign(piece.per_reading) * piece.tool("rough")
    way, over = (best.name, best.over) if best else (None, None)
    told = "prove before the first cut" if _unborne(piece) else "nothing"
    elsewhere = decided_by(piece) is None and tolerance(piece) is not None
    last = "turn, clean up and inspect elsewhere" if elsewhere else "turn and clean up"
    finest = decided_by(piece) or means(piece)[-1][0]
    by_blue = decided_by(piece) in (None, "blue")
    every = batch.check_every(piece)
    on_stop = batch.rule(piece).drift > 0
    table: list[tuple[Any, ...]] = [
        ("mount the wheel", "set up", None, None, None, None, None, None, "set", "nothing"),
        ("accept blanks", "set up", f"{at['blank low'].use} tool", *blank, None, None, None,
         "within the limits", "lay aside" if "salvage" in piece.part else "send back"),
        ("set the swivel", "set up", way, None, None, None, None, over, "set", told),
        ("set the stroke", "set up", None, None, None, None, None, None, "set", "nothing"),
        ("clean up", "prove", "eye", rough, None, None, None, None, "ground all over", "nothing"),
        ("rub", "prove", "blue", None, None, None, None, seen["blue"], "bears all over",
         last if by_blue else "turn and clean up"),
    ]  # fmt: skip
    if finest != "blue":
        let = let_be(piece, finest, seen[finest])
        table.append(("prove the angle", "prove", finest, None, None, None, None, let, "no error is seen",
                      last))  # fmt: skip
    table += [
        ("rough the first", "rough", "rough tool", rough, rough, None, None, None, "at the reading",
         "leave the batch more"),
        ("rough the batch", "rough", "rough tool", *sorted((rough, more)), None, every, None,
         "all are ground", "leave the batch more"),
        *_semi_finished(piece, every),
        ("dress", "finish", None, None, None, None, None, None, "set", "nothing"),
        ("finish the first", "finish", "finish tool", aim, aim, first_short(piece), None, None,
         "at the reading", "feed by the table"),
    ]  # fmt: skip
    return [dict(zip(MOVE, row, strict=True)) for row in (*table, *_finished(piece, on_stop, every))]


def _finished(piece: Piece, on_stop: bool, every: int) -> list[tuple[Any, ...]]:
    at, tool = stages(piece), "finish tool"
    ends: list[Mark] = [at[name] for name in ("finish low", "finish high") if name in at]
    low, high = sorted(mark.reading for mark in ends) if ends else (None, None)
    aim, table = at["finish"].reading, list[tuple[Any, ...]]()
    if on_stop:
        table.append(("finish on the stop", "finish", tool, low, high, None, every, None, "all are ground",
                      "nothing"))  # fmt: skip
        table += _cleaned_up(piece)
        table.append(("move the stop", "mind", tool, batch.move_at(piece), None, batch.rule(piece).feed, None,
                      None, "at the reading", "feed by the table"))  # fmt: skip
    else:
        table.append(("finish each", "finish", tool, aim, aim, first_short(piece), 1, None, "at the reading",
                      "feed by the table"))  # fmt: skip
        table += _cleaned_up(piece)
    if not ends:
        return table
    aside = batch.set_aside(piece)
    most, least = ends[1].reading, ends[0].reading
    held = (None, None, None, "within the limits")
    table.append(("grind again", "mind", tool, most, None, *held, "feed by the table"))
    if aside is not None:
        table.append(("set aside", "mind", tool, least, aside, *held, "nothing"))
    table.append(
        ("salvage or scrap", "mind", tool, least if aside is None else aside, None, *held, "nothing")
    )
    return table


def _semi_finished(piece: Piece, every: int) -> list[tuple[Any, ...]]:
    """The move between roughing and finishing, where the part has such a stage."""
    at = stages(piece)
    if "semi-finish" not in at:
        return []
    semi, fed = at["semi-finish"], fed_between(phase(piece, "semi-finish"))
    more = semi.reading + piece.tool(semi.use) * (1 if piece.per_reading > 0 else -1)
    return [("semi-finish", "rough", f"{semi.use} tool", *sorted((semi.reading, more)), fed, every, None,
             "all are ground", "leave the batch more")]  # fmt: skip


def _cleaned_up(piece: Piece) -> list[tuple[Any, ...]]:
    """The move for worn pieces, where the part has such."""
    if "salvage" not in piece.part:
        return []
    ends = worn.start(piece).reading, worn.limit(piece).reading
    return [("clean up with the least", "finish", "finish tool", *ends, worn.a_pass(piece), None, None,
             "ground all over", "scrap")]  # fmt: skip


def first_short(piece: Piece) -> int:
    """A third of what roughing leaves; without a stop no less than what is not known beforehand."""
    third = _up(before_finishing(piece) / 3 / piece.division_stock)
    if batch.rule(piece).drift > 0:
        return third
    sure = 2 * doubt(piece, mpf(0), "finish")
    unknown = piece.ratio * (batch.spread(piece) or 0) + (drift(piece) or 0) + sure
    return max(third, _up(unknown / piece.division_stock))


def first_feed(mark: Mark) -> int:
    """What is fed before the piece is read again: short of size; nothing with the roughing tool."""
    return max(0, mark.divisions_to(mpf(0)) - first_short(mark.piece)) if mark.use == "finish" else 0


def measured_off(piece: Piece, error: mpf) -> mpf | None:
    """By how much two measurements over rolls, or of two balls, are further apart for an error of taper."""
    off = error / contact_length(piece)
    found, balls = rolls(piece), pair(piece, "balls")
    if found is not None:
        return -off * found[1]
    if balls is None:
        return None

    def apart(ratio: mpf) -> mpf:
        return (balls[1] - balls[0]) / 2 * (1 + 1 / mpmath.sin(mpmath.atan(ratio / 2)))

    return apart(piece.aimed_ratio - off) - apart(piece.aimed_ratio)


def measured_within(piece: Piece) -> mpf | None:
    proved = next((move for move in moves(piece) if move["id"] == "prove the angle"), None)
    if proved is None or proved["means"] not in ("rolls", "balls"):
        return None
    off = measured_off(piece, proved["sees_mm"])
    return None if off is None else abs(off)


def least_reading(wrong: Wrong) -> str:
    """Where the rough target has less stock than the turn needs, the roughing tool's division that has it."""
    if wrong.least_stock <= stages(wrong.piece)["rough"].stock:
        return ""
    return above(wrong.piece, "rough", wrong.least_stock).text


def balls_differ(piece: Piece) -> mpf | None:
    depths = ball_depths(piece, piece.aimed_at(mpf(0)))
    return None if depths is None else depths[0] - depths[1]


def past_open_end(piece: Piece) -> mpf | None:
    """By plunge: the wheel's width, its one edge where it keeps off the shoulder, less the taper's slant."""
    if not plunged(piece):
        return None
    return quantity(piece.wheel["width"]) - overrun_shoulder(piece) - slant(piece)


def _column(name: str) -> Callable[[dict[str, Any]], Any]:
    return lambda move: move[name]


NUMBERS = [name for name in MOVE if name.endswith("_mm") or name in ("divisions", "pieces")]

FORMULAS: dict[str, Formula] = {
    **rows("swivel.starts", ways, leaves_mm=lambda w: w.over, needs_mm=lambda w: w.needs),
    "proof.tolerance_mm": tolerance,
    "proof.means[*].sees_mm": lambda p: [sees for _, sees in means(p)],
    "proof.measured_within_mm": measured_within,
    "inspection.rolls_differ_mm": lambda p: rolls(p) and rolls(p)[1] * p.aimed_ratio,
    "inspection.balls_differ_mm": balls_differ,
    "stroke.past_open_end_mm": past_open_end,
    **rows("correction", corrections, measured_off_mm=lambda w: measured_off(w.piece, w.error)),
    **rows("stock_table", all_rows, first_feed_divisions=first_feed),
    **rows("procedure", moves, **{name: _column(name) for name in NUMBERS}),
}

OUT_BY = {  # key of the shop's record, and what is assumed where it does not say
    "scale_arcmin": ("scale", "4 arcmin"),
    "pivot_mm": ("pivot", "3 mm"),
    "film_factor": ("film", "1.4"),
    "temperature_k": ("temperature", "0.5 K"),
    "repeatability_mm": ("repeatability", "0.0008 mm"),
    "wear_factor": ("wear", "1.4"),
}


def _known(name: str) -> Formula:
    key, assumed = OUT_BY[name]
    read = exact if name.endswith("factor") else quantity

    def found(piece: Piece) -> mpf:
        figure = read(piece.shop.get("rehearsal", {}).get(key, assumed))
        return mpmath.degrees(figure) * 60 if name == "scale_arcmin" else figure

    return found


FORMULAS |= {f"out_by.{name}": _known(name) for name in OUT_BY}

CHOICES: dict[str, Formula] = {
    **rows("swivel.starts", ways, way=lambda w: w.name, scale=lambda w: w.scale),
    "proof.means[*].means": lambda p: [name for name, _ in means(p)],
    "proof.means[*].decides": lambda p: [decides(p, name, sees) for name, sees in means(p)],
    "proof.decided_by": decided_by,
    **rows("procedure", moves, **{name: _column(name) for name in MOVE if name not in NUMBERS}),
}

TEXTS: dict[str, Formula] = {
    **rows("correction", corrections, least_reading_text=least_reading),
    **rows("stock_table", all_rows, first_feed_text=lambda m: m.piece.fed(first_feed(m))),
}
