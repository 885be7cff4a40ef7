"""Scales of drawings and steps of graduations: round numbers as the trade reads them."""

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Scale:
    """A drawing's scale: `paper` mm on the paper for `part` mm of the part."""

    paper: int
    part: int

    @property
    def factor(self) -> float:
        return self.paper / self.part

    @property
    def text(self) -> str:
        """As a drawing states it: '1:2', '5:1'."""
        return f"{self.paper}:{self.part}"


# ISO 5455:1979, table 1, from the largest to the smallest (from memory).
STANDARD_SCALES = (
    *(Scale(enlarged, 1) for enlarged in (50, 20, 10, 5, 2)),
    Scale(1, 1),
    *(Scale(1, reduced) for reduced in (2, 5, 10, 20, 50, 100, 200, 500, 1000)),
)


def detail_scale(length: float, wanted: float) -> Scale:
    """The smallest standard scale at which `length` (mm) is at least `wanted` mm on the paper."""
    for scale in reversed(STANDARD_SCALES):
        if length * scale.factor >= wanted:
            return scale
    return STANDARD_SCALES[0]


def round_step(least: float) -> float:
    """The smallest of 1, 2, 5 × 10ⁿ that is not below `least`; raises ValueError unless it is positive."""
    if not least > 0:
        raise ValueError(f"a graduation needs a positive step, not {least!r}")
    power = 10.0 ** math.floor(math.log10(least))
    for factor in (1.0, 2.0, 5.0):
        if factor * power >= least * (1 - 1e-9):
            return factor * power
    return 10.0 * power
