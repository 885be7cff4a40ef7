"""The smallest part of a text panel, which stays whole."""

from collections.abc import Callable
from typing import NamedTuple

from cardgen.paper.press.pen import Pen


class Piece(NamedTuple):
    """The smallest part of a text panel: it stays whole, and with `keep` it stays with the next."""

    height: float
    draw: Callable[[Pen], object]
    keep: bool = False
