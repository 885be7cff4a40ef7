"""Blue and light in pictures: what is seen, on outside work and in a hole, and which way to turn for it."""

from collections.abc import Callable

from cardgen.paper.book.style import Sheet
from cardgen.paper.panels.patterns import PICTURE_ASPECT, draw_blue, draw_light
from cardgen.paper.press.pen import Pen
from cardgen.terms import HeavyEnd, OneEnd, Side

WIDTH = 22.0  # mm, of one picture
ROW = 17.0  # mm: the picture, or the words beside it
AIR = 4.0
ABOVE = 1.4  # mm between a picture and the words over it
MARKED = 0.4  # of the length, where one end bears
CASES: tuple[tuple[Side, HeavyEnd, OneEnd], ...] = (
    ("external", "small", "large"),
    ("external", "large", "small"),
    ("internal", "large", "small"),
    ("internal", "small", "large"),
)


def picture_height(sheet: Sheet) -> float:
    """Two rows of two cases, the words beside each of them."""
    return 2 * ROW + sheet.looks.small.line + ABOVE


def rub_pictures(pen: Pen, width: float, sheet: Sheet, word: Callable[[str], str]) -> None:
    """Each case: where blue comes off, where light comes through, what it means and which way to turn."""
    small, height = sheet.looks.small, PICTURE_ASPECT * WIDTH
    for number, (side, heavy, light) in enumerate(CASES):
        here = pen.at(number % 2 * (width + AIR) / 2, number // 2 * ROW + small.line + ABOVE)
        draw_blue(here, side, heavy, MARKED, WIDTH, height, sheet.looks)
        draw_light(here.at(WIDTH + 1.0, 0), side, light, WIDTH, height, sheet.looks)
        beside, room = 2 * WIDTH + 3.0, (width - AIR) / 2 - 2 * WIDTH - 3.0
        taken = here.paragraph(beside, 0, room, word(f"rubs.{side}_{heavy}"), small)
        here.paragraph(beside, taken, room, word(f"rubs.turn_{side}_{heavy}"), sheet.looks.body.bolder())
        if number < 2:
            for x, key in ((WIDTH / 2, "rubs.blue"), (1.5 * WIDTH + 1.0, "rubs.light")):
                here.text(x, -ABOVE, word(key), small, "centre")
