"""The pen: what it refuses, what it keeps, and that its bytes never change."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.paper.press.document import MM, Surface, pdf_bytes
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typeface import FILES, MARKS, MissingGlyphError, PaperError, typeface
from cardgen.paper.press.typesetting import TextStyle, paragraph_height, text_width, wrapped
from tests.paper.legibility import sides, text_of

STYLE = TextStyle(9.0)


def page(width: float = 148.0, height: float = 210.0) -> Surface:
    return Surface(width, height)


def pdf(*surfaces: Surface) -> bytes:
    return pdf_bytes(list(surfaces), "title", "subject")


@pytest.mark.parametrize("character", ["漢", "\x07", "ﷺ", "א", "\U0001f600"])
def test_a_character_that_cannot_be_set_is_refused_by_name(character: str) -> None:
    """Ensures no glyph is missing in silence, and joining or right-to-left scripts are not set wrongly."""
    with pytest.raises(MissingGlyphError, match=f"U\\+{ord(character):04X}"):
        Pen(page()).text(10, 10, f"Nose {character}", STYLE)


@pytest.mark.parametrize(
    "text", ["Zapfen Größe", "Κωνικός άξονας", "Конус шпинделя", "Կոնաձև լիսեռ", "კონუსური ლილვი"]
)
def test_five_scripts_are_set(text: str) -> None:
    """Ensures Latin, Greek, Cyrillic, Armenian and Georgian names print and read back."""
    surface = page()
    Pen(surface).text(10, 10, text, STYLE)
    assert text in text_of(pdf(surface))


def test_every_weight_has_every_mark_that_cards_use() -> None:
    """Ensures ° ′ ″ ± ⌀ × ≤ ≥ → ⚠ and the rest are in the fonts."""
    for weight in FILES:
        assert [mark for mark in MARKS if not typeface(weight).has(mark)] == []


def test_figures_are_tabular() -> None:
    """Ensures every figure is as wide as every other, so that columns stand in line."""
    for weight in FILES:
        assert len({typeface(weight).width(figure) for figure in "0123456789"}) == 1


def test_text_below_six_and_a_half_points_is_refused() -> None:
    """Ensures nobody can set what cannot be read."""
    with pytest.raises(PaperError, match="too small"):
        Pen(page()).text(10, 10, "x", TextStyle(6.4))


@given(st.text(alphabet="ab cde-/⌀5⁄32.", max_size=300), st.floats(3.0, 80.0))
def test_wrapping_loses_nothing(text: str, width: float) -> None:
    """Ensures every character but the spaces at line ends is set, in order."""
    lines = wrapped(text, STYLE, width)
    back = "".join(piece for line in lines for piece, _ in line)
    assert back.replace(" ", "") == text.replace(" ", "")


@given(st.text(alphabet="abc defgh", max_size=200), st.floats(5.0, 80.0))
def test_no_line_is_wider_than_its_paragraph(text: str, width: float) -> None:
    """Ensures long words break rather than run over."""
    for line in wrapped(text, STYLE, width):
        assert text_width(line, STYLE) <= width + 1e-6


def test_marks_within_a_word_do_not_part_it() -> None:
    """Ensures 'a<b>b</b>,' wraps as one word: no line begins with its comma."""
    runs = (("one ", False), ("two", True), (", three", False))
    for line in wrapped(runs, STYLE, text_width("one two", TextStyle(9.0, bold=True)) - 0.2):
        assert not line[0][0].startswith(",")


def test_a_paragraph_takes_the_height_it_says() -> None:
    """Ensures measuring and drawing agree."""
    surface = page()
    text = "a paragraph of some length " * 5
    assert Pen(surface).paragraph(5, 5, 40, text, STYLE) == paragraph_height(text, STYLE, 40)


def test_a_fraction_is_set_as_a_fraction() -> None:
    """Ensures numerator, slash and denominator are set apart, the numerator raised, none below 6.5 pt."""
    surface = page()
    Pen(surface).text(10, 10, "7⁄32", TextStyle(8.0))
    numerator, slash, denominator = sides(pdf(surface))[0].words
    assert (numerator.text, slash.text, denominator.text) == ("7", "⁄", "32")
    assert numerator.bottom < denominator.bottom - 0.2
    assert min(numerator.size, denominator.size) >= 6.5


def test_a_fraction_for_the_hand_keeps_figures_for_the_hand() -> None:
    """Ensures the figures of a fraction set at 14 pt are 14 pt too."""
    surface = page()
    Pen(surface).text(10, 20, "7⁄64 in", TextStyle(14.0, bold=True))
    assert min(word.size for word in sides(pdf(surface))[0].words) >= 14.0


def test_the_same_pages_give_the_same_bytes_whatever_was_made_before() -> None:
    """Ensures a card's bytes do not depend on the cards before it."""

    def made() -> bytes:
        surface = page()
        Pen(surface).text(10, 10, "Nose ⌀38 Ж", STYLE)
        return pdf(surface)

    first = made()
    other = page()
    Pen(other).text(10, 10, "Ωმ Ա another", TextStyle(12.0, bold=True))
    pdf(other)
    assert made() == first


def test_a_page_is_as_large_as_it_says() -> None:
    """Ensures an A4 is 595.276 × 841.890 pt, not 595 × 842."""
    made = sides(pdf(page(210.0, 297.0)))[0]
    assert made.width == pytest.approx(210.0, abs=1e-4)
    assert round(297.0 * MM, 3) == 841.890
