"""The gap strip: true to scale, graduated in stock."""

import ctypes
from dataclasses import replace
from itertools import pairwise

import pypdfium2
import pypdfium2.raw as pdfium
import pytest

from cardgen.card.values import Card
from cardgen.paper.bench_card import Templates
from cardgen.paper.gap_strip import MARGIN, gap_strip, graduations
from cardgen.paper.press.document import MM
from cardgen.paper.press.typeface import PaperError
from cardgen.paper.words.figures import Figures
from tests.paper.legibility import complaints, text_of

INCH = 25.4


def upright_lines(pdf: bytes) -> list[float]:
    """Distances in mm from the zero edge of every upright line on the page."""
    page = pypdfium2.PdfDocument(pdf)[0]
    found = []
    for each in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH]):
        points = points_of(each)
        if len(points) == 2 and points[0][0] == points[1][0]:
            found.append(points[0][0] / MM - MARGIN)
    return sorted(found)


def points_of(path: pypdfium2.PdfObject) -> list[tuple[float, float]]:
    """The points of a path as they stand in the file."""
    points = []
    for number in range(pdfium.FPDFPath_CountSegments(path.raw)):
        x, y = ctypes.c_float(), ctypes.c_float()
        pdfium.FPDFPathSegment_GetPoint(pdfium.FPDFPath_GetPathSegment(path.raw, number), x, y)
        points.append((x.value, y.value))
    return points


def test_every_graduation_stands_where_its_stock_is_read(
    demo_cards: tuple[Card, ...], templates: Templates
) -> None:
    """Ensures g = g_f + S/k for each line, exact in the PDF to 0.01 mm, by sums of the test's own."""
    for card in demo_cards:
        lines = upright_lines(gap_strip(card, templates).pdf())
        for system in Figures(card.title.units).systems:
            for graduation in graduations(card, system):
                wanted = card.reading.finish_mm + graduation.stock / card.reading.per_mm
                assert min(abs(line - wanted) for line in lines) < 0.01, (card.title.part, graduation)


def test_every_stage_with_a_length_has_its_line(demo_cards: tuple[Card, ...], templates: Templates) -> None:
    """Ensures blank, clean-up, rough and finish are drawn at their readings to 0.01 mm."""
    for card in demo_cards:
        lines = upright_lines(gap_strip(card, templates).pdf())
        for stage in card.stages:
            if stage.reading_mm > 0 and not stage.name.startswith("finish "):
                assert min(abs(line - stage.reading_mm) for line in lines) < 0.01, (
                    card.title.part,
                    stage.name,
                )


def test_the_proof_bars_are_true(sample: dict[str, Card], templates: Templates) -> None:
    """Ensures the bars are 100 mm and 4 in long to 0.01 mm."""
    page = pypdfium2.PdfDocument(gap_strip(sample["metric"], templates).pdf())[0]
    widths = []
    for each in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH]):
        across = [x for x, _ in points_of(each)]
        widths.append((max(across) - min(across)) / MM)
    for wanted in (100.0, 4 * INCH):
        assert min(abs(width - wanted) for width in widths) < 0.01


def test_graduations_are_whole_steps_far_enough_apart_to_see(demo_cards: tuple[Card, ...]) -> None:
    """Ensures lines stand at round figures of stock, 0.8 mm apart or more."""
    for card in demo_cards:
        lengths = [each.length for each in graduations(card, "mm")]
        assert all(second - first > 0.79 for first, second in pairwise(lengths))


def test_readings_below_a_face_have_no_strip(sample: dict[str, Card], templates: Templates) -> None:
    """Ensures no strip is drawn for lengths that are not there."""
    card = sample["metric"]
    stages = tuple(replace(stage, reading_mm=stage.reading_mm - 20) for stage in card.stages)
    with pytest.raises(PaperError, match="too short"):
        gap_strip(replace(card, stages=stages), templates).pdf()


def test_stages_too_near_together_are_said_to_be(demo_cards: tuple[Card, ...], templates: Templates) -> None:
    """Ensures a steep taper's strip says that it is too coarse a tool."""
    steep = next(card for card in demo_cards if card.title.part == "NV-30")
    assert "too near together" in text_of(gap_strip(steep, templates).pdf())


def test_strips_are_legible(demo_cards: tuple[Card, ...], templates: Templates) -> None:
    """Ensures nothing on a strip covers anything or is too small."""
    for card in demo_cards:
        assert complaints(gap_strip(card, templates).pdf()) == [], card.title.part
