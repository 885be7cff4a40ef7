"""The made shop's specs as plain trees of text, and a reader of quantities of the test's own."""

import re
from functools import cache
from pathlib import Path
from typing import Any

import mpmath
import yaml
from mpmath import mpf

from tests.booklet.reckoner import INCH, exact

MADE_SHOP = Path(__file__).parents[1] / "made_shop"
DEGREE = mpmath.pi / 180
UNITS = {
    **{"mm": mpf(1), "in": INCH, "s": mpf(1), "rpm": mpf(1), "K": mpf(1), "mm/min": mpf(1), "m/s": mpf(1)},
    **{"in/min": INCH, "ft/min": INCH * 12 / 60000, "deg": DEGREE, "arcmin": DEGREE / 60, "min": DEGREE / 60},
    **{
        "arcsec": DEGREE / 3600,
        "mm/mm": mpf(1),
        "in/ft": mpf(1) / 12,
        "mm/m": mpf(1) / 1000,
        "%": mpf(1) / 100,
    },
}
FIGURE = re.compile(r"([+-]?)((?:\d+ )?\d+/\d+|\d*\.?\d+) ?([a-zA-Z/%]+)")
Tree = dict[str, Any]


@cache
def records() -> dict[tuple[str, str], Tree]:
    """Every record of the made shop by kind and id, each scalar as the text that stands there."""
    found = {}
    for path in sorted((MADE_SHOP / "specs").glob("*.yaml")):
        for tree in yaml.load_all(path.read_text("utf-8"), yaml.BaseLoader):
            found[tree["kind"], tree["id"]] = tree
    return found


def part_ids() -> list[str]:
    return [name for kind, name in records() if kind == "part"]


@cache
def quantity(text: str) -> mpf:
    """'38.1 mm', '1 1/2 in', '7 deg 7 min 30 arcsec' → mm, rad, s, rpm, K, mm/min, m/s or a plain slope."""
    figures = FIGURE.findall(text)
    assert "".join("".join(f) for f in figures).replace(" ", "") == text.replace(" ", ""), text
    return mpmath.fsum((-1 if sign == "-" else 1) * exact(n) * UNITS[unit] for sign, n, unit in figures)


def span(text: str) -> tuple[mpf, mpf]:
    """'0.35 .. 0.50 mm' → both ends."""
    low, high = text.split(" .. ")
    return quantity(f"{low} {high.split()[-1]}"), quantity(high)


def steps(text: str) -> list[mpf]:
    """'60, 90, 140 rpm' → each."""
    return [exact(each) for each in text.removesuffix(" rpm").split(", ")]


def allowances(text: str) -> tuple[mpf, mpf]:
    """'± 0.010 mm' or '+0.016 -0.004 mm' → how far below, how far above."""
    if text.startswith("±"):
        both = quantity(text[1:].strip())
        return both, both
    plus, minus, unit = text.split()
    return quantity(f"{minus[1:]} {unit}"), quantity(f"{plus[1:]} {unit}")


def with_allowances(text: str) -> tuple[mpf, tuple[mpf, mpf] | None]:
    """'3.0 mm ± 0.2 mm' → the figure, and how far below and above; none where it states none."""
    for mark in (" ±", " +"):
        figure, found, _ = text.partition(mark)
        if found:
            return quantity(figure), allowances(text[len(figure) + 1 :])
    return quantity(text), None


def slope_of(callout: str) -> mpf:
    """Taper ratio of any form of callout that the made shop uses."""
    for words, share in (("included angle ", 2), ("half angle ", 1)):
        if callout.startswith(words):
            return 2 * mpmath.tan(quantity(callout.removeprefix(words)) / share)
    if ":" in callout:
        change, length = callout.split(":")
        return exact(change) / exact(length)
    return quantity(callout)


def division_of(tool: str) -> mpf:
    """'steel rule 0.5 mm' → 0.5; the division stands last."""
    return quantity(" ".join(tool.split()[-2:]))
