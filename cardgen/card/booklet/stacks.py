"""Slip gauges for the heights of the booklet: a stack, or none where the set comes nowhere near."""

from cardgen import tapers
from cardgen.card.setting import INCH, slip_stack
from cardgen.card.tables import System
from cardgen.card.values import SlipStack

# Farther off than this the nearest stack is no answer: the height is lower than the set can build.
NEAR: dict[System, float] = {"mm": 0.005, "in": 0.0005 * INCH}


def near_stack(height_mm: float, slip_set: tapers.SlipSet | None) -> SlipStack | None:
    """The fewest pieces that come nearest to a height; None without a set, or where none comes near it."""
    stack = slip_stack(height_mm, slip_set) if slip_set is not None else None
    if slip_set is None or stack is None or abs(stack.left_over_mm) > NEAR[slip_set.unit]:
        return None
    return stack
