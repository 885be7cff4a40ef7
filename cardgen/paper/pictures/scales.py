"""Scales of drawings: round numbers as the trade reads them."""

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
