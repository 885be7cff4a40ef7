"""Stroke, speeds, feeds, dressing and time: what is set on the machine for the wheel (theory 7 and 8)."""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, cached_property
from typing import Any

import mpmath
from mpmath import mpf

from tests.booklet.reckoner import INCH, exact
from tests.card.reckoning import raw
from tests.card.reckoning.doubt import material
from tests.card.reckoning.piece import Formula, Piece
from tests.card.reckoning.raw import quantity
from tests.card.reckoning.sizes import stages

FOOT = INCH * 12
SPEED = {"m/min": mpf(1), "ft/min": FOOT / 1000}  # in m/min
# What a card takes where nothing is stated: common practice, no source.
DRESSING_PASSES, DRESSING_OVERRUN, PIECES_A_DRESSING = 3, 5, 10
DRESSING_INFEED = {"rough": mpf("0.025"), "finish": mpf("0.0125")}
GAUGING, DWELL, PLUNGE_TURNS = "40 s", "0.5 s", 2
OVERLAP = {"rough": "2", "finish": "4"}


# ---- stroke (theory 7)


def slant(piece: Piece) -> mpf:
    return piece.length / mpmath.cos(piece.half_angle)


def overrun_open(piece: Piece) -> mpf:
    """As the part states it, else a third of the wheel."""
    stated = piece.part["setup"].get("overrun")
    return quantity(piece.wheel["width"]) / 3 if stated is None else quantity(stated)


def open_both_ends(piece: Piece) -> bool:
    return bool(piece.part["taper"].get("open_both_ends") == "true")


def overrun_shoulder(piece: Piece) -> mpf:
    """Half the relief short of the shoulder, else the clearance short of it; past an end that is open."""
    if open_both_ends(piece):
        return overrun_open(piece)
    return -(clearance(piece) or piece.relief / 2) / mpmath.cos(piece.half_angle)


def clearance(piece: Piece) -> mpf | None:
    """Kept where there is no relief: as the part states it, else a millimetre, .04 in on an inch part."""
    if piece.relief or open_both_ends(piece):
        return None
    stated = piece.part["setup"].get("clearance")
    if stated is not None:
        return quantity(stated)
    return mpf("1.016") if piece.part["units"] == "inch" else mpf(1)


def table_travel(piece: Piece) -> mpf:
    """What the wheel's width leaves of the way between the two reversals."""
    return slant(piece) + overrun_open(piece) + overrun_shoulder(piece) - quantity(piece.wheel["width"])


def plunged(piece: Piece) -> bool:
    return piece.by_head or table_travel(piece) <= 0


# ---- what is usual for the material


@cache
def middle(text: str) -> mpf:
    """'0.6 .. 0.9' → 0.75."""
    ends = [Fraction(end) for end in text.split(" .. ")]
    return exact(sum(ends) / len(ends))


# ---- speeds, feeds, time (theory 8)


def wheel_rpms(piece: Piece) -> tuple[list[mpf], list[mpf]]:
    """The machine's speeds (or the ends of its range): those a new wheel may run at, those it must not."""
    text = piece.machine["wheel_speeds"]
    offered = [raw.span(text)[1]] if ".." in text else raw.steps(text)
    most = quantity(piece.wheel["maximum_operating_speed"]) * 60000
    bound = most / (mpmath.pi * quantity(piece.wheel["diameter"]["new"]))
    return [rpm for rpm in offered if rpm <= bound], [rpm for rpm in offered if rpm > bound]


def wheel_rpm(piece: Piece) -> mpf:
    """The part's own, else the fastest that a new wheel may run at, else (no card then) the slowest."""
    stated = piece.part["setup"].get("wheel_speed")
    if stated is not None:
        return quantity(stated)
    allowed, barred = wheel_rpms(piece)
    if allowed:
        return max(allowed)
    if ".." not in piece.machine["wheel_speeds"]:
        return min(barred)
    most = quantity(piece.wheel["maximum_operating_speed"]) * 60000
    return mpmath.floor(most / (mpmath.pi * quantity(piece.wheel["diameter"]["new"])))


def wheel_speed(piece: Piece, which: str) -> mpf:
    """m/s."""
    return mpmath.pi * quantity(piece.wheel["diameter"][which]) / 1000 * wheel_rpm(piece) / 60


def work_rpm(piece: Piece) -> mpf:
    """The part's own, else the machine's nearest to the usual speed of the material at the mean diameter."""
    stated = piece.part["setup"].get("work_speed")
    if stated is not None:
        return quantity(stated)
    text = material(piece)[0]["work_speed"]
    figures, unit = text.rsplit(" ", 1)
    wanted = middle(figures) * SPEED[unit] * 1000 / mpmath.pi / piece.basic_at(piece.length / 2)
    offered = piece.machine["work_speeds"]
    if ".." in offered:
        slow, fast = raw.span(offered)
        return min(max(wanted, slow), fast)
    return min(raw.steps(offered), key=lambda rpm: (abs(rpm - wanted), rpm))


def work_speed(piece: Piece, from_face: mpf) -> mpf:
    """m/min."""
    return mpmath.pi * piece.basic_at(from_face) / 1000 * work_rpm(piece)


@dataclass(frozen=True)
class Phase:
    """Roughing or finishing."""

    piece: Piece
    name: str

    @property
    def width(self) -> mpf:
        return quantity(self.piece.wheel["width"])

    @property
    def divisions(self) -> int:
        """Whole divisions nearest to the infeed asked for, one at least."""
        stock = self.piece.part["stock"]
        infeed = stock["semi_finish"]["infeed"] if self.name == "semi-finish" else stock["infeed"][self.name]
        wanted = quantity(infeed) / self.piece.division_stock
        return max(1, int(mpmath.nint(wanted)))

    @property
    def infeed(self) -> mpf:
        return self.divisions * self.piece.division_stock

    @cached_property
    def traverse(self) -> mpf:
        """The usual share of the wheel's width for a turn of the work, as far as the table goes."""
        as_if = "finish" if self.name == "finish" else "rough"
        share = middle(material(self.piece)[0][f"{as_if}_fraction"])
        slow, fast = raw.span(self.piece.machine["traverse"])
        return min(max(share * self.width * work_rpm(self.piece), slow), fast)

    @property
    def stock(self) -> mpf:
        """From the fullest blank to the rough target, from there to a semi-finish, to finish."""
        at = stages(self.piece)
        ends = {
            "rough": (at["blank high"].stock, at["rough"].stock),
            "finish": (before_finishing(self.piece), 0),
        }
        upper, lower = ends.get(self.name) or (at["rough"].stock, before_finishing(self.piece))
        return upper - lower

    @property
    def passes(self) -> int:
        return int(mpmath.ceil(self.stock / self.infeed - mpf("1e-9")))

    @property
    def sparking_out(self) -> int:
        return int(self.piece.part["stock"]["spark_out_passes"]) if self.name == "finish" else 0

    @property
    def pass_time(self) -> mpf:
        """Once along and a dwell; by plunge so many turns of the work."""
        if plunged(self.piece):
            return PLUNGE_TURNS / work_rpm(self.piece) * 60
        return table_travel(self.piece) / self.traverse * 60 + quantity(
            self.piece.machine.get("dwell", DWELL)
        )

    @property
    def time(self) -> mpf:
        return (self.passes + self.sparking_out) * self.pass_time

    @property
    def diamond(self) -> mpf:
        """How far the diamond goes in a minute at one width for each turn of the wheel."""
        return quantity(self.piece.wheel["dresser"]["effective_width"]) * wheel_rpm(self.piece)

    @property
    def dressing(self) -> mpf:
        return min(self.traverse, self.diamond / self.overlap_wanted)

    @property
    def dressing_time(self) -> mpf:
        return DRESSING_PASSES * (self.width + 2 * DRESSING_OVERRUN) / self.dressing * 60

    @property
    def overlap_wanted(self) -> mpf:
        return exact(self.piece.wheel.get("overlap", OVERLAP)[self.name])


def before_finishing(piece: Piece) -> mpf:
    """The stock that finishing takes off."""
    at = stages(piece)
    return at.get("semi-finish", at["rough"]).stock


@cache
def phase(piece: Piece, name: str) -> Phase:
    return Phase(piece, name)


def fullest(piece: Piece) -> mpf:
    """The most stock of a blank that the gauge lets pass."""
    return stages(piece)["blank high"].stock


def frustum(piece: Piece, stock: mpf) -> mpf:
    """Volume within the taper's surface while this stock is on, mm³."""
    on = stock if piece.outside else -stock
    large, small = piece.finish_at(mpf(0)) + on, piece.finish_at(piece.length) + on
    return mpmath.pi * piece.length * (large**2 + large * small + small**2) / 12


def removed(piece: Piece, stock: mpf) -> mpf:
    return abs(frustum(piece, stock) - frustum(piece, mpf(0)))


def wear(piece: Piece, stock: mpf) -> mpf | None:
    """What the worn wheel's diameter loses for this stock off a piece: a ring that is a Gth of the metal."""
    if "g_ratio" not in piece.wheel:
        return None
    worn, width = quantity(piece.wheel["diameter"]["worn"]), quantity(piece.wheel["width"])
    ring = removed(piece, stock) / exact(piece.wheel["g_ratio"])
    return worn - 2 * mpmath.sqrt((worn / 2) ** 2 - ring / (mpmath.pi * width))


def drift(piece: Piece) -> mpf | None:
    """The surface draws back square to itself by half the wear of finishing: so much on the diameter."""
    worn = wear(piece, before_finishing(piece))
    return None if worn is None else 2 * (worn / 2) / mpmath.cos(piece.half_angle)


def gauging_time(piece: Piece) -> mpf:
    return quantity(piece.part.get("batch", {}).get("gauging_time", GAUGING))


def dressing_time(piece: Piece) -> mpf:
    return phase(piece, "rough").dressing_time + phase(piece, "finish").dressing_time


def _phase_formulas(name: str) -> dict[str, Formula]:
    def of(tell: Callable[[Phase], Any]) -> Formula:
        return lambda piece: tell(phase(piece, name))

    columns: dict[str, Callable[[Phase], Any]] = {
        "infeed_per_pass_mm": lambda f: f.infeed,
        "divisions_per_pass": lambda f: f.divisions,
        "work_rpm": lambda f: work_rpm(f.piece),
        "work_m_min_large": lambda f: work_speed(f.piece, mpf(0)),
        "work_m_min_small": lambda f: work_speed(f.piece, f.piece.length),
        "traverse_fraction": lambda f: f.traverse / work_rpm(f.piece) / f.width,
        "traverse_mm_min": lambda f: f.traverse,
        "passes": lambda f: f.passes,
        "spark_out_passes": lambda f: f.sparking_out,
        "time_s": lambda f: f.time,
        "dress_traverse_mm_min": lambda f: f.dressing,
        "dress_overlap": lambda f: f.diamond / f.dressing,
        "dress_infeed_mm": lambda f: DRESSING_INFEED[f.name],
    }
    return {f"speeds.{name}.{column}": of(tell) for column, tell in columns.items()}


def _between(tell: Callable[[Phase], Any]) -> Formula:
    """Of the semi-finish, where the part has one."""
    return lambda p: tell(phase(p, "semi-finish")) if "semi_finish" in p.part["stock"] else None


def fed_between(semi: Phase) -> int:
    """Divisions of the stop from the rough target to the semi-finish, none too many."""
    at = stages(semi.piece)
    return at["rough"].divisions_to(at["semi-finish"].stock)


FORMULAS: dict[str, Formula] = {
    "semi_finish.feed_divisions": _between(fed_between),
    "semi_finish.infeed_per_pass_mm": _between(lambda f: f.infeed),
    "semi_finish.divisions_per_pass": _between(lambda f: f.divisions),
    "semi_finish.passes": _between(lambda f: f.passes),
    "semi_finish.time_s": _between(lambda f: f.time),
    "stroke.slant_mm": slant,
    "stroke.overrun_open_mm": overrun_open,
    "stroke.overrun_shoulder_mm": overrun_shoulder,
    "stroke.clearance_mm": clearance,
    "stroke.wheel_width_mm": lambda p: quantity(p.wheel["width"]),
    "stroke.travel_mm": table_travel,
    "stroke.reverse_at_shoulder_mm": lambda p: None if plunged(p) else -overrun_shoulder(p),
    "stroke.reverse_at_open_mm": lambda p: None if plunged(p) else overrun_open(p),
    "speeds.wheel_diameter_mm": lambda p: quantity(p.wheel["diameter"]["new"]),
    "speeds.wheel_rpm": wheel_rpm,
    "speeds.wheel_m_s.new": lambda p: wheel_speed(p, "new"),
    "speeds.wheel_m_s.worn": lambda p: wheel_speed(p, "worn"),
    "speeds.maximum_m_s": lambda p: quantity(p.wheel["maximum_operating_speed"]),
    "speeds.barred_wheel_rpm[*]": lambda p: wheel_rpms(p)[1],
    "speeds.work_rpm": work_rpm,
    **_phase_formulas("rough"),
    **_phase_formulas("finish"),
    "speeds.gauging_time_s": gauging_time,
    "speeds.dressing_time_s": dressing_time,
    "speeds.removed_per_piece_mm3": lambda p: removed(p, fullest(p)),
    "speeds.wheel_wear_per_piece_mm": lambda p: wear(p, fullest(p)),
    "speeds.drift_per_piece_mm": drift,
}

CHOICES: dict[str, Formula] = {
    "stroke.plunge": plunged,
    "stroke.open_both_ends": open_both_ends,
    "speeds.rough.name": lambda _: "rough",
    "speeds.finish.name": lambda _: "finish",
}

TEXTS: dict[str, Formula] = {
    f"speeds.{name}.divisions_per_pass_text": lambda p, name=name: p.fed(phase(p, name).divisions)
    for name in ("rough", "finish")
} | {
    "semi_finish.feed_divisions_text": _between(lambda f: f.piece.fed(fed_between(f))),
    "semi_finish.divisions_per_pass_text": _between(lambda f: f.piece.fed(f.divisions)),
}
