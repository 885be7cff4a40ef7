"""A card's marks drawn once more by a bare ReportLab canvas: the least that drawing them with it can cost."""

from collections.abc import Callable, Iterator
from io import BytesIO

import pytest
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from cardgen.paper.press.document import MM, Drawing
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typeface import FILES, FONTS, weight_of
from cardgen.paper.press.typesetting import Runs, TextStyle

Mark = tuple[str, list[float], list[tuple[str, str, float]]]  # operator, numbers, texts with font and size
PATH = ("m", "l", "c", "re", "h")


def recorded(draw: Callable[[], Drawing]) -> list[tuple[float, float, list[Mark]]]:
    """Each page that `draw` draws: its size in points, and its marks in their order."""
    texts: list[tuple[Runs, TextStyle]] = []
    show = Pen._show

    def noted(pen: Pen, matrix: str, runs: Runs, style: TextStyle) -> None:
        texts.append((runs, style))
        show(pen, matrix, runs, style)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Pen, "_show", noted)
        drawing = draw()
    given = iter(texts)
    return [
        (page.width * MM, page.height * MM, list(_marks(page.operators, given))) for page in drawing.surfaces
    ]


def _marks(operators: list[str], texts: Iterator[tuple[Runs, TextStyle]]) -> Iterator[Mark]:
    for each in operators:
        if each.startswith("BT "):
            runs, style = next(texts)
            words = each.split()
            at = words.index("Td") if "Td" in words[:4] else words.index("Tm")
            place = [float(word) for word in words[at - 2 : at]]
            told = [(text, weight_of(bold or style.bold, style.size), style.size) for text, bold in runs]
            yield "text", place, told
            continue
        numbers: list[float] = []
        for word in each.replace("[", "[ ").replace("]", " ]").split():
            if word.lstrip("-").replace(".", "").isdigit():
                numbers.append(float(word))
            elif word not in "[]":
                yield word, numbers, []
                numbers = []


def replayed(pages: list[tuple[float, float, list[Mark]]]) -> bytes:
    """A file of these pages."""
    for weight, (name, _) in FILES.items():
        if weight not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(TTFont(weight, FONTS / name))
    held = BytesIO()
    canvas = Canvas(held, pageCompression=1, invariant=1)
    for width, height, marks in pages:
        canvas.setPageSize((width, height))
        path = canvas.beginPath()
        for operator, numbers, texts in marks:
            if operator == "text":
                x, y = numbers
                for text, font, size in texts:
                    canvas.setFont(font, size)
                    canvas.drawString(x, y, text)
            elif operator in PATH:
                {"m": path.moveTo, "l": path.lineTo, "c": path.curveTo, "re": path.rect, "h": path.close}[
                    operator
                ](*numbers)
            elif operator in "SfB":
                canvas.drawPath(path, stroke=operator != "f", fill=operator != "S")
                path = canvas.beginPath()
            elif operator == "W":
                canvas.clipPath(path, stroke=0, fill=0)
            elif operator == "n":
                path = canvas.beginPath()
            elif operator == "w":
                canvas.setLineWidth(*numbers)
            elif operator == "d":
                canvas.setDash(numbers[:-1])
            elif operator == "g":
                canvas.setFillGray(*numbers)
            elif operator == "q":
                canvas.saveState()
            elif operator == "Q":
                canvas.restoreState()
        canvas.showPage()
    canvas.save()
    return held.getvalue()
