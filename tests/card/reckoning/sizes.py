"""From stock to readings and divisions: the stages, the stock table (theory 2, 3 and 6)."""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any

import mpmath
from mpmath import mpf

from tests.booklet.reckoner import exact, fixed, mixed
from tests.card.reckoning.doubt import doubt
from tests.card.reckoning.piece import NOISE, Formula, Piece, blank, rows
from tests.card.reckoning.raw import quantity

STEPS = {  # divisions from row to row, the first that fits: halves of halves on a rule in fractions
    True: [2**n for n in range(7)],
    False: [digit * 10**n for n in range(5) for digit in (1, 2, 5)],
}


@dataclass(frozen=True)
class Mark:
    """One division of a tool, and all that a piece has which is read there."""

    piece: Piece
    use: str
    count: int

    @property
    def reading(self) -> mpf:
        return self.count * self.piece.tool(self.use)

    @property
    def text(self) -> str:
        """As the tool shows it: a common fraction, or with the digits that one division has."""
        figure, unit = self.piece.part["gauging"]["read_with"][self.use].split()[-2:]
        sign = "-" if self.count < 0 else ""
        if "/" in figure:
            return f"{sign}{mixed(abs(self.count) * Fraction(figure))} {unit}"
        digits = len(figure.partition(".")[2])
        return f"{sign}{fixed(abs(self.count) * exact(figure), digits)} {unit}"

    @property
    def stock(self) -> mpf:
        return self.piece.per_reading * (self.reading - self.piece.finish_reading)

    @property
    def travel(self) -> mpf:
        return max(mpf(0), self.piece.travel_for(self.stock))

    def divisions_to(self, stock: mpf) -> int:
        """Whole divisions that take the piece down to this stock and no further."""
        return max(0, int(mpmath.floor((self.stock - stock) / self.piece.division_stock + NOISE)))

    @property
    def position(self) -> int:
        """Divisions back from nought at finish size that leave this stock on."""
        return int(mpmath.ceil(self.stock / self.piece.division_stock - NOISE))

    def diameter(self, from_face: mpf) -> mpf:
        metal = self.stock if self.piece.outside else -self.stock
        return self.piece.aimed_at(from_face) + self.piece.aim + metal


def _near(piece: Piece, use: str, stock: mpf) -> list[Mark]:
    """The divisions of a tool around a stock, the least stock last."""
    near = int(mpmath.nint((piece.finish_reading + stock / piece.per_reading) / piece.tool(use)))
    return sorted((Mark(piece, use, near + n) for n in (-2, -1, 0, 1, 2)), key=lambda mark: -mark.stock)


def above(piece: Piece, use: str, stock: mpf) -> Mark:
    """The tool's last division that has no less stock on."""
    least = stock - NOISE * piece.ratio * piece.tool(use)
    return [mark for mark in _near(piece, use, stock) if mark.stock >= least][-1]


def below(piece: Piece, use: str, stock: mpf) -> Mark:
    """The tool's first division that has no more stock on."""
    most = stock + NOISE * piece.ratio * piece.tool(use)
    return next(mark for mark in _near(piece, use, stock) if mark.stock <= most)


@cache
def stages(piece: Piece) -> dict[str, Mark]:
    """The sizes on the way; limits are moved inwards, targets to the side that leaves stock on."""
    least, most = blank(piece)
    by_rough = above(piece, "rough", least), below(piece, "rough", most)
    tool = "rough" if by_rough[0].stock < by_rough[1].stock else "finish"
    found = {"blank low": above(piece, tool, least), "blank high": below(piece, tool, most)}
    rough = above(piece, "rough", quantity(piece.part["stock"]["leave_for_finishing"]))
    found["clean-up"] = _cleaned_up(piece, found["blank low"], rough)
    found["rough"] = rough
    if semi := piece.part["stock"].get("semi_finish"):
        found["semi-finish"] = above(piece, semi.get("read_with", "finish"), quantity(semi["leave"]))
    proved = piece.half_zone - 2 * doubt(piece, mpf(0), "finish")  # drawn in by the expanded uncertainty
    low, high = above(piece, "finish", -proved), below(piece, "finish", proved)
    aim = above(piece, "finish", mpf(0))
    if low.count == high.count or low.stock < high.stock:
        found["finish low"] = low
        found["finish"] = aim if aim.stock <= high.stock else below(piece, "finish", mpf(0))
        found["finish high"] = high
    else:
        found["finish"] = aim
    return found


def _cleaned_up(piece: Piece, least: Mark, rough: Mark) -> Mark:
    """Every blank shows clean, at a division between the least blank and the rough target if there is one."""
    asked = blank(piece)[0] - quantity(piece.part["stock"]["clean_up"])
    tried = above(piece, "rough", asked), below(piece, "rough", asked), above(piece, "finish", asked)
    return next((mark for mark in tried if rough.stock < mark.stock < least.stock), tried[0])


# ---- the stock table


@cache
def table(piece: Piece, use: str) -> tuple[int, list[Mark]]:
    """The step in divisions, and the rows: from the fullest blank to the finish, from rough to past size."""
    at = stages(piece)
    if use == "rough":
        ends = at["blank high"].reading, at["finish"].reading
    else:
        more = mpmath.sign(piece.per_reading) * piece.tool("rough")
        ends = at["rough"].reading + more, above(piece, "finish", -piece.half_zone).reading
    low, high = _whole_down(min(ends) / piece.tool(use)), _whole_up(max(ends) / piece.tool(use))
    fractions = "/" in piece.part["gauging"]["read_with"][use].split()[-2]
    for step in STEPS[fractions]:
        first, last = low // step * step, -(-high // step) * step
        if (last - first) // step + 1 <= int(piece.shop["table_rows"]):
            break
    counts = set(range(first, last + 1, step))
    counts |= {mark.count for mark in at.values() if mark.use == use and first <= mark.count <= last}
    if use == "finish":  # the reading before the first good one
        counts.add(at.get("finish high", at["finish"]).count + int(mpmath.sign(piece.per_reading)))
    return step, sorted((Mark(piece, use, count) for count in counts), key=lambda mark: -mark.stock)


def _whole_down(count: mpf) -> int:
    return int(mpmath.floor(count + NOISE))


def _whole_up(count: mpf) -> int:
    return int(mpmath.ceil(count - NOISE))


def all_rows(piece: Piece) -> list[Mark]:
    return [*table(piece, "rough")[1], *table(piece, "finish")[1]]


def _stage_at(mark: Mark) -> str | None:
    """The last stage that has this very reading of this tool."""
    found = [name for name, at in stages(mark.piece).items() if (at.use, at.count) == (mark.use, mark.count)]
    return found[-1] if found else None


def _past_size(mark: Mark) -> bool:
    return mark.stock < -mark.piece.half_zone - NOISE * mark.piece.ratio


def standing(mark: Mark) -> str:
    """The stage that a piece read there stands at: each lasts down to where the next is reached."""
    at, half = stages(mark.piece), mark.piece.half_zone
    if _past_size(mark):
        return "under size" if mark.piece.outside else "over size"
    if "finish low" in at and mark.stock < at["finish low"].stock - NOISE * mark.piece.ratio:
        return "set aside"
    reached = [
        ("finished", at["finish high"].stock if "finish high" in at else half),
        ("finishing", at["rough"].stock),
        ("roughing", at["clean-up"].stock),
        ("blank", at["blank high"].stock),
    ]
    noise = NOISE * mark.piece.ratio
    word = next((word for word, most in reached if mark.stock <= most + noise), "too much stock")
    return "cleaning up" if word == "blank" and mark.stock < at["blank low"].stock - noise else word


def stage_list(piece: Piece) -> list[Mark]:
    return list(stages(piece).values())


def finish_limits(piece: Piece) -> list[mpf]:
    """The limits of size as readings, in the order of the numbers."""
    return sorted(piece.reading_of(piece.aim + off) for off in (-piece.half_zone, piece.half_zone))


def _plane(piece: Piece) -> mpf | None:
    return quantity(piece.part["gauging"].get("plane", "0 mm")) if piece.kind == "plug_depth" else None


COLUMNS: dict[str, Callable[[Mark], Any]] = {
    "reading_mm": lambda m: m.reading,
    "stock_mm": lambda m: m.stock,
    "cross_feed_mm": lambda m: m.travel,
    "divisions": lambda m: m.divisions_to(mpf(0)),
}

ANSWERS: dict[str, Callable[[Mark], Any]] = {  # what is told of one reading at the bench
    **COLUMNS,
    "divisions_to_rough": lambda m: m.divisions_to(stages(m.piece)["rough"].stock),
    "left_on_mm": lambda m: m.stock - m.divisions_to(mpf(0)) * m.piece.division_stock,
    "stage": standing,
    "past_size": _past_size,
}

FORMULAS: dict[str, Formula] = {
    "reading.finish_low_mm": lambda p: finish_limits(p)[0],
    "reading.finish_high_mm": lambda p: finish_limits(p)[1],
    "reading.stock_low_mm": lambda p: -p.half_zone,
    "reading.stock_high_mm": lambda p: p.half_zone,
    "reading.plane_mm": _plane,
    **rows(
        "stages",
        stage_list,
        gauge_line_diameter_mm=lambda m: m.diameter(m.piece.line[1]),
        small_diameter_mm=lambda m: m.diameter(m.piece.length),
        position_divisions=lambda m: m.position,
        **COLUMNS,
    ),
    "rough_step": lambda p: table(p, "rough")[0],
    "finish_step": lambda p: table(p, "finish")[0],
    **rows(
        "stock_table",
        all_rows,
        divisions_to_rough=ANSWERS["divisions_to_rough"],
        **COLUMNS,
    ),
}

CHOICES: dict[str, Formula] = {
    "stages[*].name": lambda p: list(stages(p)),
    **rows("stages", stage_list, tool=lambda m: m.use),
    **rows("stock_table", all_rows, tool=lambda m: m.use, past_size=_past_size, at=_stage_at),
    "past_size": lambda p: "under size" if p.outside else "over size",
}

FED: dict[str, Callable[[Mark], str]] = {
    f"{name}_text": lambda m, count=count: m.piece.fed(count(m))
    for name, count in (
        ("divisions", COLUMNS["divisions"]),
        ("divisions_to_rough", ANSWERS["divisions_to_rough"]),
    )
}

TEXTS: dict[str, Formula] = {
    **rows(
        "stages",
        stage_list,
        reading_text=lambda m: m.text,
        divisions_text=FED["divisions_text"],
        position_divisions_text=lambda m: m.piece.fed(m.position),
    ),
    **rows("stock_table", all_rows, reading_text=lambda m: m.text, stage=standing, **FED),
}
