"""Doubt, warmth and inspection: how sure a figure is, and how the work is proved (theory 9 and 10)."""

from collections.abc import Callable
from typing import Any

import mpmath
from mpmath import mpf

from tests.booklet.reckoner import over_rolls
from tests.card.reckoning.doubt import doubt, doubts, growth
from tests.card.reckoning.piece import Formula, Piece
from tests.card.reckoning.raw import quantity
from tests.card.reckoning.slips import sine_formulas, unit_of

WARMER = (5, 10, 20, 30)

# ---- warmth (theory 9)


def warm_reading(piece: Piece, warmer: int) -> mpf:
    """Warm work is larger: outside as if it had more stock, a hole as if it had less."""
    more = growth(piece, mpf(warmer)) * (1 if piece.outside else -1)
    return more / piece.per_reading


# ---- inspection (theory 10)


def sine_bar(piece: Piece) -> mpf:
    return quantity(piece.shop["sine_bar"])


def laid_on_bar(piece: Piece) -> tuple[mpf, mpf] | None:
    """The bar and the angle to set under a cone on its side; one steeper than 1.5 rad does not lie."""
    included = 2 * piece.aimed
    return (sine_bar(piece), included) if included < mpf("1.5") else None


def sine_bar_height(piece: Piece) -> mpf | None:
    laid = laid_on_bar(piece)
    return None if laid is None else laid[0] * mpmath.sin(laid[1])


def sine_centres_height(piece: Piece) -> mpf:
    return sine_bar(piece) * mpmath.sin(piece.aimed)


def rolls(piece: Piece) -> tuple[mpf, mpf] | None:
    """Diameter of the rolls, and how high they are raised: no higher than half the taper."""
    if not piece.outside:
        return None
    stated = piece.part.get("inspection", {})
    in_shop = [*piece.shop.get("rolls", ()), "0.5 in" if piece.inch else "10 mm"]
    raised = quantity(stated.get("raise", "1 in" if piece.inch else "30 mm"))
    return quantity(stated.get("roll", in_shop[0])), min(raised, piece.length / 2)


def over(piece: Piece, small_end: mpf, raised: bool) -> mpf | None:
    """Over two rolls beside a small end of this diameter, on the plate or raised."""
    found = rolls(piece)
    if found is None:
        return None
    on_plate = small_end + over_rolls(found[0], piece.aimed)
    return on_plate + found[1] * piece.aimed_ratio if raised else on_plate


def pair(piece: Piece, key: str) -> list[mpf] | None:
    """Two balls or two discs, the smaller first."""
    stated = piece.part.get("inspection", {}).get(key)
    return None if stated is None else sorted(quantity(each) for each in stated)


def ball_depth(piece: Piece, mouth: mpf, ball: mpf) -> mpf:
    """Top of a ball below a mouth of this diameter: its centre is its radius away from the surface."""
    radius = ball / 2
    reach = radius / mpmath.cos(piece.aimed)  # from the axis to the surface, in the centre's plane
    centre = (mouth / 2 - reach) / (piece.aimed_ratio / 2)
    return centre - radius


def ball_depths(piece: Piece, mouth: mpf) -> list[mpf] | None:
    balls = pair(piece, "balls")
    return None if balls is None else [ball_depth(piece, mouth, ball) for ball in balls]


def _small_end(piece: Piece) -> mpf:
    return piece.aimed_at(piece.length)


def _mouth(piece: Piece) -> mpf:
    return piece.aimed_at(mpf(0))


def _measured(path: str, end: Callable[[Piece], mpf], of: Callable[[Piece, mpf], Any]) -> dict[str, Formula]:
    """What is measured at the size aimed at and at the limits; `of` tells it for an end's diameter."""
    return {
        f"{path}.aim_mm": lambda p: of(p, end(p) + p.aim),
        f"{path}.least_mm": lambda p: of(p, end(p) - p.size[0]),
        f"{path}.most_mm": lambda p: of(p, end(p) + p.size[1]),
    }


def disc_centres(piece: Piece) -> mpf | None:
    """Two discs whose common tangents stand at the included angle: the radii differ by so much of the way."""
    discs = pair(piece, "discs")
    return None if discs is None else (discs[1] - discs[0]) / 2 / mpmath.sin(piece.aimed)


FORMULAS: dict[str, Formula] = {
    "doubt.stock_standard_mm": lambda p: doubt(p, mpf(0), "finish"),
    "doubt.reading_standard_mm": lambda p: doubt(p, mpf(0), "finish") / p.ratio,
    "doubt.stock_expanded_mm": lambda p: 2 * doubt(p, mpf(0), "finish"),
    "doubt.rough_stock_standard_mm": lambda p: doubt(p, p.rough_stock, "rough"),
    "doubt.parts[*]": lambda p: doubts(p, mpf(0), "finish"),
    "warmth[*].warmer_k": lambda _: list(WARMER),
    "warmth[*].diameter_mm": lambda p: [growth(p, mpf(each)) for each in WARMER],
    "warmth[*].reading_mm": lambda p: [warm_reading(p, each) for each in WARMER],
    "inspection.sine_bar_length_mm": sine_bar,
    "inspection.sine_bar_mm": sine_bar_height,
    **sine_formulas("inspection.sine_bar_stack", laid_on_bar),
    "inspection.sine_centres_mm": sine_centres_height,
    **sine_formulas("inspection.sine_centres_stack", lambda p: (sine_bar(p), p.aimed)),
    "inspection.roll_diameter_mm": lambda p: None if rolls(p) is None else rolls(p)[0],
    "inspection.roll_raise_mm": lambda p: None if rolls(p) is None else rolls(p)[1],
    **_measured("inspection.over_rolls", _small_end, lambda p, end: over(p, end, raised=False)),
    **_measured("inspection.over_raised_rolls", _small_end, lambda p, end: over(p, end, raised=True)),
    "inspection.balls_mm[*]": lambda p: pair(p, "balls"),
    **_measured("inspection.ball_depths[*]", _mouth, ball_depths),
    "inspection.discs_mm[*]": lambda p: pair(p, "discs"),
    "inspection.disc_centres_mm": disc_centres,
}

CHOICES: dict[str, Formula] = {
    f"inspection.{way}_stack.unit": unit_of(FORMULAS[f"inspection.{way}_stack.height_mm"])
    for way in ("sine_bar", "sine_centres")
}
