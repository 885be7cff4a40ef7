"""The card's code, in letters and as a QR code."""

from functools import lru_cache

from cardgen.card.values import Card
from cardgen.paper.panels.panel import Panel
from cardgen.paper.panels.piece import Piece
from cardgen.paper.panels.text import pieces
from cardgen.paper.press.from_reportlab import qr_modules
from cardgen.paper.press.page import Looks
from cardgen.paper.press.pen import Pen

MODULE = 0.5  # mm: what a telephone's camera still tells apart on a worn card
QUIET = 4  # modules of white around the code (ISO/IEC 18004)
MASK = 3  # any mask is read; trying all eight costs more than drawing the side


def height(card: Card, width: float, looks: Looks) -> float:
    """As tall as the QR code or the words beside it."""
    side = _side(card.title.code)
    return max(side, sum(piece.height for piece in _beside(side, width, looks)))


def draw(pen: Pen, card: Card, width: float, room: float, looks: Looks) -> None:
    """The QR code at the left, the words at its right."""
    side = _side(card.title.code)
    draw_qr(pen, card.title.code)
    y = QUIET * MODULE / 2
    for piece in _beside(side, width, looks):
        piece.draw(pen.at(side, y))
        y += piece.height


def _beside(side: float, width: float, looks: Looks) -> tuple[Piece, ...]:
    return pieces(looks.words.lines("code"), width - side, looks)


def _side(code: str) -> float:
    return (len(_modules(code)) + QUIET) * MODULE


def draw_qr(pen: Pen, code: str) -> None:
    """The code's dark modules, those side by side in a row drawn as one bar."""
    margin, bars = QUIET * MODULE / 2, list[tuple[float, float, float, float]]()
    for number, row in enumerate(_modules(code)):
        start = None
        for place, dark in enumerate((*row, False)):
            if dark and start is None:
                start = place
            elif not dark and start is not None:
                x, y = margin + start * MODULE, margin + number * MODULE
                bars.append((x, y, (place - start) * MODULE, MODULE))
                start = None
    pen.blocks(bars, 0)


@lru_cache(maxsize=64)
def _modules(code: str) -> tuple[tuple[bool, ...], ...]:
    return qr_modules(code.encode("utf-8"), MASK)


PANEL = Panel(height, draw)
