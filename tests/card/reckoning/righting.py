"""The swivel put right: what is turned for an error, and what that does to the size (theory 5)."""

from dataclasses import dataclass
from functools import cache, cached_property, lru_cache

import mpmath
from mpmath import mpf

from tests.booklet.reckoner import ARCSEC, exact
from tests.card.reckoning.piece import NOISE, Formula, Piece, round_figures, rows
from tests.card.reckoning.raw import quantity
from tests.card.reckoning.setting import shown_by_indicator, table_stands, turned_by_screw

NOTHING = mpf(0)
# The rows that a card has: round errors, round gaps, simple fractions of the contact.
ERRORS = ("0.002 0.005 0.01 0.02 0.05 0.1 0.2", "0.0001 0.0002 0.0005 0.001 0.002 0.005 0.01")
GAPS = ("0.001 0.002 0.005 0.01", "0.00005 0.0001 0.0002 0.0005")
MARKED = "1/16 1/8 1/4 1/3 1/2 2/3 3/4 1"


@lru_cache(maxsize=64)  # asked for of the same stock in plane after plane
def contact(piece: Piece, stock: mpf = NOTHING) -> tuple[mpf, mpf]:
    """Where gauge and work touch while this stock is read: from … to, from the face towards the small end."""
    line = piece.gauge_line_at(piece.finish_reading + stock / piece.per_reading)
    # A plug goes on beyond its line to its handle; a ring ends there.
    start = max(piece.relief, line) if piece.outside else mpf(0)
    return start, min(piece.length, line + piece.gauge_length)


def contact_length(piece: Piece) -> mpf:
    start, end = contact(piece)
    return end - start


@dataclass(frozen=True)
class Wrong:
    """Work whose taper is out by `error` over the contact, and the machine that has just ground it.

    In plan, from the pivot: along the axis towards the large end, and out from it. The wheel's line stands on
    the work's surface, and goes round the pivot as the table is turned back to the right taper.
    """

    piece: Piece
    error: mpf

    @cached_property
    def slope(self) -> mpf:
        """Taper of the work as it is."""
        return self.piece.ratio - self.error / contact_length(self.piece)

    @cached_property
    def turn(self) -> mpf:
        return self.piece.half_angle - mpmath.atan(self.slope / 2)

    @property
    def heavy_end(self) -> str:
        """Too shallow: too large at the small end, where a ring bears; too small at the mouth, for a plug."""
        return "small" if (self.error > 0) == self.piece.outside else "large"

    def bears_at(self, stock: mpf) -> mpf:
        start, end = contact(self.piece, stock)
        return end if self.heavy_end == "small" else start

    def metal(self, stock: mpf, from_face: mpf) -> mpf:
        """Stock on the work in a plane, while this stock is read where the gauge bears."""
        too_large = (self.piece.ratio - self.slope) * (from_face - self.bears_at(stock))
        return stock + (too_large if self.piece.outside else -too_large)

    def diameter(self, stock: mpf, from_face: mpf) -> mpf:
        metal = self.metal(stock, from_face)
        return self.piece.finish_at(from_face) + (metal if self.piece.outside else -metal)

    def after(self, stock: mpf, from_face: mpf) -> mpf:
        """The diameter that the wheel's line stands for in a plane, after the turn."""
        face = quantity(self.piece.part["setup"]["gauge_line_from_pivot"]) + self.piece.line[1]
        place, out = face - from_face, self.diameter(stock, from_face) / 2
        cos, sin = mpmath.cos(self.turn), mpmath.sin(self.turn)
        turned = (cos * place - sin * out, sin * place + cos * out)
        return 2 * (turned[1] + (place - turned[0]) * mpmath.tan(self.piece.half_angle))

    def size_shift(self, stock: mpf, from_face: mpf) -> mpf:
        return self.after(stock, from_face) - self.diameter(stock, from_face)

    def stock_shift(self, stock: mpf) -> mpf:
        """Stock that even bearing will show, less the stock read while one end bears."""
        shift = self.size_shift(stock, self.bears_at(stock))
        return shift if self.piece.outside else -shift

    def nothing_under(self, stock: mpf) -> bool:
        """No plane of the ground taper is under size before the turn, nor where the wheel then stands."""
        before = min(self.metal(stock, plane) for plane in (self.piece.relief, self.piece.length))
        return before >= 0 and stock + self.stock_shift(stock) >= 0

    @cached_property
    def least_stock(self) -> mpf:
        """The least that leaves nothing under, by halving."""
        low, high = mpf(-1), mpf(4)
        assert self.nothing_under(high)
        while high - low > mpf("1e-11"):
            middle = (low + high) / 2
            low, high = (low, middle) if self.nothing_under(middle) else (middle, high)
        return high

    @property
    def under_end(self) -> str:
        """With a little less on: the lighter end, if it is under already; else where the wheel goes in."""
        less = self.least_stock - mpf("1e-7")
        light_end, plane = (
            ("large", self.piece.relief) if self.heavy_end == "small" else ("small", self.piece.length)
        )
        return light_end if self.metal(less, plane) < 0 else self.heavy_end


# Which end bears, where the light is, what the work is, which way to turn: theory 5, in a card's order.
PATTERNS = {
    "external": ("small large shallow more", "large small steep less", "both none right none"),
    "internal": ("small large steep less", "large small shallow more", "both none right none"),
}


def _pattern(word: int) -> Formula:
    def found(piece: Piece) -> list[str]:
        words = [pattern.split()[word] for pattern in PATTERNS[piece.part["taper"]["side"]]]
        return [f"too {each}" if each in ("shallow", "steep") else each for each in words]

    return found


def _may_be_right(piece: Piece) -> list[bool]:
    """Even bearing, and the pattern of a piece that is off the gauge's taper the way that is aimed at."""
    off = piece.aimed - piece.half_angle
    meant = "right" if abs(off) < NOISE else "steep" if off > 0 else "shallow"
    return [pattern.split()[2] in ("right", meant) for pattern in PATTERNS[piece.part["taper"]["side"]]]


def leaves_a_taper(piece: Piece, error: mpf) -> bool:
    """A row is printed only where less than half of the taper over the contact is missing or too much."""
    return error < piece.ratio * contact_length(piece) / 2


@cache
def corrections(piece: Piece) -> list[Wrong]:
    """Towards more taper, then towards less."""
    errors = [error for error in round_figures(piece, ERRORS) if leaves_a_taper(piece, error)]
    return [Wrong(piece, sign * error) for sign in (1, -1) for error in errors]


@cache
def blue(piece: Piece) -> list[tuple[mpf, Wrong]]:
    """What the blue has marked, and the error that is guessed from it: 2 f / q."""
    film = quantity(piece.shop["blue_film"])
    rows = [(exact(marked), Wrong(piece, 2 * film / exact(marked))) for marked in MARKED.split()]
    return [row for row in rows if leaves_a_taper(piece, row[1].error)]


@cache
def light(piece: Piece) -> list[tuple[mpf, Wrong]]:
    """A gap square to the surface, on each side, and its error: 2 w / cos θ."""
    rows = [(gap, Wrong(piece, 2 * gap / mpmath.cos(piece.half_angle))) for gap in round_figures(piece, GAPS)]
    return [row for row in rows if leaves_a_taper(piece, row[1].error)]


def _screw(wrong: Wrong) -> mpf | None:
    right = table_stands(wrong.piece)
    return turned_by_screw(wrong.piece, right - wrong.turn, right)


def _indicator(wrong: Wrong) -> mpf | None:
    right = table_stands(wrong.piece)
    return shown_by_indicator(wrong.piece, right - wrong.turn, right)


FORMULAS: dict[str, Formula] = {
    "contact_length_mm": contact_length,
    **rows(
        "correction",
        corrections,
        error_mm=lambda w: w.error,
        arcsec=lambda w: w.turn * ARCSEC,
        screw_divisions=_screw,
        indicator_mm=_indicator,
        per_foot_in=lambda w: 12 * (w.piece.ratio - w.slope),
        mm_per_m=lambda w: 1000 * (w.piece.ratio - w.slope),
        size_shift_mm=lambda w: w.size_shift(w.piece.rough_stock, w.piece.line[1]),
        stock_shift_mm=lambda w: w.stock_shift(w.piece.rough_stock),
        reading_shift_mm=lambda w: w.stock_shift(w.piece.rough_stock) / w.piece.per_reading,
        least_stock_mm=lambda w: w.least_stock,
    ),
    "blue_film_mm": lambda p: quantity(p.shop["blue_film"]),
    **rows(
        "blue",
        blue,
        marked_fraction=lambda row: row[0],
        error_mm=lambda row: row[1].error,
        arcsec=lambda row: row[1].turn * ARCSEC,
        screw_divisions=lambda row: _screw(row[1]),
        indicator_mm=lambda row: _indicator(row[1]),
    ),
    **rows(
        "light",
        light,
        gap_mm=lambda row: row[0],
        error_mm=lambda row: row[1].error,
        arcsec=lambda row: row[1].turn * ARCSEC,
        screw_divisions=lambda row: _screw(row[1]),
        indicator_mm=lambda row: _indicator(row[1]),
    ),
}


CHOICES: dict[str, Formula] = {
    **rows(
        "correction",
        corrections,
        turn=lambda w: "more" if w.error > 0 else "less",
        heavy_end=lambda w: w.heavy_end,
        under_end=lambda w: w.under_end,
    ),
    "patterns[*].heavy_end": _pattern(0),
    "patterns[*].light_end": _pattern(1),
    "patterns[*].meaning": _pattern(2),
    "patterns[*].turn": _pattern(3),
    "patterns[*].may_be_right": _may_be_right,
}
