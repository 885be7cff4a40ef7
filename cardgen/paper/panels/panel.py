"""What a panel is.

A panel is asked for its height at a width (both in mm), and then draws itself at the pen's origin
within the width and a height that is at least what it asked for. It knows no other panel and
not where it stands.
"""

from collections.abc import Callable
from dataclasses import dataclass

from cardgen.card.values import Card
from cardgen.paper.press.page import Looks
from cardgen.paper.press.pen import Pen


@dataclass(frozen=True, eq=False)
class Panel:
    """What the layout needs to know of a panel.

    height(card, width, looks): the least height in mm; 0 when the card has nothing for it.
    draw(pen, card, width, height, looks): draws in a box of width × height from the pen's origin.
    split(card, width, looks, room): for panels that may go on elsewhere: the part that fits into
    `room` mm and the rest; None when not even a beginning fits.
    wish(card, width, looks): the height at which the panel is at its best; where it is left out, the
    panel takes no more than its least height.
    """

    height: Callable[[Card, float, Looks], float]
    draw: Callable[[Pen, Card, float, float, Looks], None]
    split: "Callable[[Card, float, Looks, float], tuple[Panel, Panel] | None] | None" = None
    wish: Callable[[Card, float, Looks], float] | None = None
