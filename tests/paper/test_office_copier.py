"""A card lives through the office copier: one bit at 150 dpi, two generations, and no mark is lost.

The second generation is a copy of the copy laid half a dot askew, as no copier feeds it twice alike.
"""

from collections.abc import Callable, Iterator

import numpy as np
import pypdfium2
import pytest
from numpy.typing import NDArray

from cardgen.card.values import Card

DPI = 150
DARK = 128
MARKS = ".−⚠⁄,"
Bits = NDArray[np.bool_]


def generations(page: pypdfium2.PdfPage) -> tuple[Bits, Bits]:
    """The black dots of the first copy and of its copy."""
    grey = page.render(scale=DPI / 72, grayscale=True).to_numpy().squeeze().astype(np.float64)
    first = grey < DARK
    light = np.where(first, 0.0, 255.0)
    askew = (light + np.roll(light, 1, 0) + np.roll(light, 1, 1) + np.roll(light, (1, 1), (0, 1))) / 4
    return first, askew <= DARK


def marks(page: pypdfium2.PdfPage) -> Iterator[tuple[str, str, tuple[slice, slice]]]:
    """Each mark that must not be lost: itself, the letters about it, and its box in dots."""
    text = page.get_textpage()
    letters = text.get_text_range(0, text.count_chars())
    height, dot = page.get_height(), DPI / 72
    for number, letter in enumerate(letters):
        if letter not in MARKS:
            continue
        left, bottom, right, top = text.get_charbox(number)
        rows = slice(int((height - top) * dot), int((height - bottom) * dot) + 2)
        columns = slice(int(left * dot), int(right * dot) + 2)
        yield letter, letters[max(0, number - 4) : number + 4], (rows, columns)


def test_no_point_sign_or_slash_is_lost_in_two_copies(
    demo_cards: tuple[Card, ...], demo_pdf: Callable[[str, str], bytes]
) -> None:
    """Decimal points, minus signs, fractions' slashes and warning signs have ink left in both."""
    seen = 0
    for card in demo_cards:
        for page in pypdfium2.PdfDocument(demo_pdf(card.title.part, "A5")):
            copies = generations(page)
            for letter, about, box in marks(page):
                seen += 1
                for generation, bits in enumerate(copies, 1):
                    assert bits[box].any(), (card.title.part, letter, about, generation)
    assert seen > 1000


@pytest.mark.parametrize(("size", "lives"), [(2, False), (40, True)])
def test_the_copier_of_this_test_loses_what_is_too_fine(size: int, lives: bool) -> None:
    """A hair of a grey dot goes, a black square stays: the test can fail."""
    grey = np.full((60, 60), 255.0)
    grey[10 : 10 + size, 10 : 10 + size] = 140.0 if size < 10 else 0.0

    class Page:
        def render(self, **_: object) -> "Page":
            return self

        def to_numpy(self) -> NDArray[np.float64]:
            return grey

    first, second = generations(Page())  # type: ignore[arg-type]
    assert (first.any() and second.any()) == lives
