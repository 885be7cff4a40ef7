"""The swivel set on the machine: scales, screw, indicator, slips, test bar, wheel head (theory 4)."""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, cached_property
from typing import Any

import mpmath
from mpmath import mpf

from tests.booklet.reckoner import ARCSEC, fixed, mixed, short, swing
from tests.card.reckoning.piece import Formula, Piece, round_figures, rows
from tests.card.reckoning.raw import quantity
from tests.card.reckoning.slips import stack_formulas, unit_of

ENGRAVED = {  # what a scale shows: its number for a half angle, and the half angle at a number
    "half_angle": (mpmath.degrees, mpmath.radians),
    "included_angle": (lambda a: mpmath.degrees(2 * a), lambda n: mpmath.radians(n) / 2),
    "taper_per_foot": (lambda a: 24 * mpmath.tan(a), lambda n: mpmath.atan(n / 24)),
    "mm_per_m": (lambda a: 2000 * mpmath.tan(a), lambda n: mpmath.atan(n / 2000)),
    "per_cent": (lambda a: 200 * mpmath.tan(a), lambda n: mpmath.atan(n / 200)),
}
TRAVELS = ("50 100 200 300", "2 4 8 12")


@dataclass(frozen=True)
class Scale:
    """One scale of the table: the number wanted and the nearest mark that the table reaches."""

    piece: Piece
    shows: str
    division_text: str

    @property
    def exact(self) -> mpf:
        return ENGRAVED[self.shows][0](self.piece.aimed)

    @property
    def division(self) -> mpf:
        if self.shows in ("half_angle", "included_angle"):
            return mpmath.degrees(quantity(self.division_text))
        return (
            quantity(self.division_text)
            * {"taper_per_foot": 12, "mm_per_m": 1000, "per_cent": 100}[self.shows]
        )

    @cached_property
    def mark(self) -> mpf:
        """The nearest that the table reaches; half way goes to the higher."""
        nearest = mpmath.floor(self.exact / self.division + mpf("0.5"))
        last = ENGRAVED[self.shows][0](quantity(self.piece.machine["swivel"]["limit"])) / self.division
        return min(nearest, mpmath.floor(last + mpf("1e-9"))) * self.division

    @property
    def unit(self) -> str:
        return {"taper_per_foot": "in/ft", "mm_per_m": "mm/m", "per_cent": "%"}.get(self.shows, "deg")

    @property
    def mark_text(self) -> str:
        """As a scale is engraved: degrees and minutes, common fractions where its divisions are such."""
        if self.shows in ("half_angle", "included_angle"):
            minutes = int(mpmath.nint(self.mark * 60))
            if abs(self.mark * 60 - minutes) > mpf("1e-6"):
                return f"{fixed(self.mark, 3)}°"
            return f"{minutes // 60}°{minutes % 60:02d}′"
        if "/" in self.division_text.split()[0]:
            return f"{mixed(Fraction(int(mpmath.nint(self.mark * 64)), 64))} {self.unit}"
        return f"{short(self.mark, 6)} {self.unit}"

    def angle_at(self, mark: mpf) -> mpf:
        return ENGRAVED[self.shows][1](mark)

    @property
    def left_over(self) -> mpf:
        return self.piece.aimed - self.angle_at(self.mark)

    @property
    def left_over_on_diameter(self) -> mpf:
        return (self.piece.aimed_ratio - 2 * mpmath.tan(self.angle_at(self.mark))) * self.piece.length


@cache
def scales(piece: Piece) -> list[Scale]:
    return [Scale(piece, scale["shows"], scale["division"]) for scale in piece.machine["swivel"]["scales"]]


def turned_by_screw(piece: Piece, start: mpf, end: mpf) -> mpf | None:
    """Divisions of the screw from one half angle of the table to another."""
    screw = piece.machine["swivel"].get("screw")
    if screw is None or piece.by_head:
        return None
    radius = quantity(screw["radius"])
    moved = swing(screw["type"], radius, end) - swing(screw["type"], radius, start)
    return moved / quantity(screw["lead"]) * int(screw["divisions"])


def shown_by_indicator(piece: Piece, start: mpf, end: mpf) -> mpf | None:
    """What the indicator at the table's end gains; of the kind stated, or the screw's, else a tangent's."""
    swivel = piece.machine["swivel"]
    if piece.by_head:  # against the head, which is turned: the chord of the turn
        radius = piece.machine["wheel_head"].get("indicator_radius")
        return None if radius is None else swing("chord", quantity(radius), end - start)
    if "indicator_radius" not in swivel:
        return None
    kind = swivel.get("indicator_type") or swivel.get("screw", {"type": "tangent"})["type"]
    radius = quantity(swivel["indicator_radius"])
    return swing(kind, radius, end) - swing(kind, radius, start)


def table_stands(piece: Piece) -> mpf:
    """Where the table stands when the taper is right: straight, where the wheel head carries the angle."""
    return mpf(0) if piece.by_head else piece.aimed


def screw_division(piece: Piece) -> mpf | None:
    """Seconds for one division where the table stands: a small turn of the screw's swing, by differences."""
    if "screw" not in piece.machine["swivel"] or piece.by_head:
        return None
    at, small = table_stands(piece), mpf("1e-15")
    turned = turned_by_screw(piece, at - small, at + small)
    assert turned is not None
    return 2 * small / turned * ARCSEC


def indicator_radius(piece: Piece) -> mpf | None:
    """Of the indicator that shows the turn: at the table's end, or against a head that carries the angle."""
    told = piece.machine["wheel_head" if piece.by_head else "swivel"].get("indicator_radius")
    return None if told is None else quantity(told)


def slip_height(piece: Piece) -> mpf | None:
    slips = piece.machine["swivel"].get("slips")
    if slips is None or piece.by_head:
        return None
    return swing(slips["type"], quantity(slips["radius"]), piece.aimed)


def spindle_bar(piece: Piece) -> dict[str, Any] | None:
    """The bar that goes on the wheel spindle, as the machine's record has it."""
    return piece.machine.get("wheel_head", {}).get("test_bar")


def test_bar(piece: Piece) -> list[mpf]:
    return [] if piece.by_head and spindle_bar(piece) is None else round_figures(piece, TRAVELS)


def bar_rise(piece: Piece) -> tuple[mpf, mpf] | None:
    """The longest round travel that the bar reaches, tilted on a swivelled head, and its rise."""
    bar = spindle_bar(piece) if piece.by_head else piece.shop.get("proving", {}).get("test_bar")
    if bar is None:
        return None
    reach = quantity(bar["length"]) * (mpmath.cos(piece.aimed) if piece.by_head else 1)
    found = [travel for travel in round_figures(piece, TRAVELS) if travel <= reach]
    return (max(found), max(found) * mpmath.tan(piece.aimed)) if found else None


def _from_swivel(tell: Callable[[Piece, dict[str, Any]], Any], key: str) -> Formula:
    def found(piece: Piece) -> Any:
        swivel = piece.machine["swivel"]
        return tell(piece, swivel[key]) if key in swivel else None

    return found


def _head(tell: Callable[[Piece], Any]) -> Formula:
    def found(piece: Piece) -> Any:
        swivels = piece.machine.get("wheel_head", {"swivels": "false"})["swivels"] == "true"
        return tell(piece) if swivels else None

    return found


FORMULAS: dict[str, Formula] = {
    "swivel.half_angle_deg": lambda p: mpmath.degrees(p.aimed),
    "swivel.limit_deg": lambda p: mpmath.degrees(quantity(p.machine["swivel"]["limit"])),
    **rows(
        "swivel.scales",
        scales,
        exact=lambda s: s.exact,
        division=lambda s: s.division,
        mark=lambda s: s.mark,
        left_over_arcsec=lambda s: s.left_over * ARCSEC,
        left_over_mm=lambda s: s.left_over_on_diameter,
        left_over_screw_divisions=lambda s: turned_by_screw(s.piece, s.angle_at(s.mark), s.piece.aimed),
    ),
    "swivel.test_bar[*].travel_mm": test_bar,
    "swivel.test_bar[*].rise_mm": lambda p: [travel * p.aimed_ratio / 2 for travel in test_bar(p)],
    "swivel.slip_radius_mm": _from_swivel(lambda _, slips: quantity(slips["radius"]), "slips"),
    "swivel.slip_mm": slip_height,
    **stack_formulas("swivel.slip_stack", slip_height),
    "swivel.indicator_radius_mm": indicator_radius,
    "swivel.bar_rise.travel_mm": lambda p: bar_rise(p) and bar_rise(p)[0],
    "swivel.bar_rise.rise_mm": lambda p: bar_rise(p) and bar_rise(p)[1],
    "swivel.indicator_mm": lambda p: None if p.by_head else shown_by_indicator(p, mpf(0), p.aimed),
    "swivel.screw_division_arcsec": screw_division,
    "swivel.wheel_head.half_angle_deg": _head(lambda p: mpmath.degrees(p.aimed)),
}


def _reaches(piece: Piece, limit: str) -> bool:
    return piece.aimed <= quantity(limit)


def _head_clockwise(piece: Piece) -> bool:
    """The wheel stands behind the work: clockwise its face comes nearer at the tailstock, on the right."""
    head = piece.machine.get("wheel_head", {}).get("more_taper")
    table = piece.machine["swivel"].get("more_taper", "tailstock end towards wheel")
    return head == "clockwise" if head else "towards" in table


def _table_moves(piece: Piece) -> str:
    towards = "towards" in piece.machine["swivel"].get("more_taper", "towards")
    if piece.by_head:
        towards = _head_clockwise(piece)
    return f"tailstock end {'towards' if towards else 'away from'} wheel"


CHOICES: dict[str, Formula] = {
    "swivel.slip_stack.unit": unit_of(FORMULAS["swivel.slip_stack.height_mm"]),
    "swivel.more_taper_moves": _table_moves,
    "swivel.wheel_head.more_taper_turns": _head(
        lambda p: "clockwise" if _head_clockwise(p) else "anticlockwise"
    ),
    "swivel.screw_more_turns": _from_swivel(lambda _, screw: screw.get("more"), "screw"),
    "swivel.screw_take_up_play": _from_swivel(lambda _, screw: screw.get("take_up_play"), "screw"),
    "swivel.set_by": lambda p: "wheel head" if p.by_head else "table",
    "swivel.beyond_limit": lambda p: not _reaches(p, p.machine["swivel"]["limit"]),
    "swivel.scales[*].shows": lambda p: [scale.shows for scale in scales(p)],
    "swivel.scales[*].within_limit": lambda p: [_reaches(p, p.machine["swivel"]["limit"]) for _ in scales(p)],
    "swivel.scales[*].unit": lambda p: [scale.unit for scale in scales(p)],
    "swivel.slip_type": _from_swivel(lambda _, slips: slips["type"], "slips"),
    "swivel.wheel_head.within_limit": _head(lambda p: _reaches(p, p.machine["wheel_head"]["limit"])),
}

TEXTS: dict[str, Formula] = {"swivel.scales[*].mark_text": lambda p: [scale.mark_text for scale in scales(p)]}
