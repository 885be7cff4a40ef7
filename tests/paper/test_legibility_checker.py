"""The checker itself: it complains of each fault it is there for, and of nothing else."""

import pytest

from cardgen.paper.press.document import Surface, pdf_bytes
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typesetting import TextStyle
from tests.paper.legibility import complaints, contrast, largest_size_of

STYLE = TextStyle(9.0)


def made(surface: Surface) -> bytes:
    return pdf_bytes([surface], "title", "subject")


def surface_with(*texts: tuple[float, float, str]) -> Surface:
    surface = Surface(148.0, 210.0)
    for x, y, text in texts:
        Pen(surface).text(x, y, text, STYLE)
    return surface


def test_a_legible_page_has_no_complaints() -> None:
    """Ensures no false alarm."""
    assert complaints(made(surface_with((10, 20, "Gap 3.00 mm"), (10, 25, "Stock 0.117 mm")))) == []


def test_small_text_is_seen() -> None:
    """Ensures text shrunk by a transformation is measured as printed."""
    surface = Surface(148.0, 210.0)
    surface.write("0.5 0 0 0.5 0 0 cm")
    Pen(surface).text(40, -100, "tiny", STYLE)
    assert "4.50 pt" in complaints(made(surface))[0]


def test_text_in_the_margin_is_seen() -> None:
    """Ensures the pouch's sealed edge is kept free."""
    (found,) = complaints(made(surface_with((3, 20, "edge"))))
    assert "margin" in found


def test_overlapping_texts_are_seen() -> None:
    """Ensures two texts on one another are found, whichever was set first."""
    (found,) = complaints(made(surface_with((10, 20, "Stock 0.117"), (14, 21.5, "Gap 3.00"))))
    assert "overlap" in found


def test_a_rule_through_a_text_is_seen_unless_it_is_covered() -> None:
    """Ensures a struck text is found, and one that stands on a white label over a line is not."""
    surface = surface_with((10, 20, "struck"))
    Pen(surface).line(5, 19, 60, 19)
    assert "struck through" in complaints(made(surface))[0]
    surface = Surface(148.0, 210.0)
    Pen(surface).line(5, 19, 60, 19)
    Pen(surface).rectangle(9, 16, 20, 6, 0, fill=1)
    Pen(surface).text(10, 20, "covered", STYLE)
    assert complaints(made(surface)) == []


def test_low_rows_are_seen() -> None:
    """Ensures table rows below 4 mm are found."""
    surface = surface_with((10, 22.8, "3.00"), (40, 22.8, "0.117"), (10, 26.6, "2.50"), (40, 26.6, "0.055"))
    for y in (20.0, 23.6, 27.6):
        Pen(surface).line(9, y, 60, y)
    assert "3.60 mm high" in complaints(made(surface))[0]


def test_faint_text_is_seen() -> None:
    """Ensures text on a dark tint fails, and white on black passes."""
    surface = Surface(148.0, 210.0)
    Pen(surface).rectangle(9, 15, 40, 8, 0, fill=0.45)
    Pen(surface).text(10, 20, "faint", STYLE)
    assert "contrast" in complaints(made(surface))[0]
    surface = Surface(148.0, 210.0)
    Pen(surface).rectangle(9, 15, 40, 8, 0, fill=0)
    Pen(surface).text(10, 20, "clear", TextStyle(9.0, reversed=True))
    assert complaints(made(surface)) == []


def test_contrast_is_that_of_the_published_examples() -> None:
    """Ensures black on white is 21 : 1 and #767676 on white 4.54 : 1 (WCAG 2.1, success criterion 1.4.3)."""
    assert contrast(0, 255) == pytest.approx(21.0)
    assert contrast(0x76, 255) == pytest.approx(4.54, abs=0.005)


def test_the_size_of_a_text_in_pieces_is_that_of_its_smallest() -> None:
    """Ensures a fraction counts by its figures."""
    surface = surface_with((10, 20, "7⁄32 in"))
    assert 6.4 < largest_size_of(made(surface), "7⁄32 in") < 7.0
    assert largest_size_of(made(surface), "absent") == 0.0
