"""How sure a reading is: the uncertainty budget of the stock it tells (theory 9)."""

from functools import cache

import mpmath
from mpmath import mpf

from tests.booklet import library
from tests.booklet.reckoner import exact
from tests.card.reckoning.piece import Piece
from tests.card.reckoning.raw import Tree, quantity


@cache
def _materials() -> Tree:
    found: Tree = library.read(library.DATA / "materials.yaml")
    return found


def material(piece: Piece) -> tuple[Tree, mpf]:
    """Usual practice for the part's group of material, and its expansion per kelvin."""
    data, group = _materials(), piece.part["material"]["group"]
    (found,) = [each for each in data["groups"] if group in (each["name"], *each.get("also", ()))]
    (practice,) = [each for each in data["practice"] if each["name"] == found["practice"]]
    return practice, library.coefficients()[found["expansion"]]


def gauge_taper_doubt(piece: Piece) -> mpf:
    """Standard uncertainty of the gauge's taper ratio."""
    text = piece.gauge.get("taper_uncertainty")
    if text is None:
        return mpf(0)
    for words, share in (("half angle ", 1), ("included angle ", 2)):
        if text.startswith(words):
            off = quantity(text.removeprefix(words)) / share
            return 2 * mpmath.tan(piece.half_angle + off) - piece.ratio
    return quantity(text)


def doubts(piece: Piece, stock: mpf, tool: str) -> dict[str, mpf]:
    """What makes up the standard uncertainty of the stock, on the diameter."""
    line = piece.gauge.get("gauge_line", {"uncertainty": "0 mm"})  # a mating part is right by decree
    return {
        "reading": piece.ratio
        * piece.tool(tool)
        / 2
        / mpmath.sqrt(3),  # anywhere in half a division each way
        "gauge_taper": stock / piece.ratio * gauge_taper_doubt(piece),
        "gauge_diameter": quantity(line["uncertainty"]) / exact(line.get("coverage_factor", "1")),
        "temperature": growth(piece, quantity(piece.shop["temperature_difference"])),
    }


def doubt(piece: Piece, stock: mpf, tool: str) -> mpf:
    return mpmath.norm(list(doubts(piece, stock, tool).values()))


def growth(piece: Piece, warmer: mpf) -> mpf:
    return piece.line[0] * material(piece)[1] * warmer
