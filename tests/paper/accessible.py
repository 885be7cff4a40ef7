"""What a PDF tells a reader that does not see its pages."""

from itertools import pairwise

import pypdfium2
from pypdf import PdfReader

LINES_BACK_PT = 30  # higher up by so much is another place, and no raised figure of the same line
LABELS = 25  # one piece in so many may stand further back: a label of a picture, a table's cell beside one


def accessible(pdf: PdfReader) -> tuple[str | None, str]:
    """Its title, to be shown in place of the file's name, and its language; XMP must have both alike."""
    root, told = pdf.root_object, pdf.xmp_metadata
    assert root["/ViewerPreferences"]["/DisplayDocTitle"].value is True
    assert told is not None
    language = str(root["/Lang"])
    assert told.dc_language == [language]
    assert pdf.metadata is not None
    assert told.dc_title == {"x-default": pdf.metadata.title}
    return pdf.metadata.title, language


def out_of_order(page: pypdfium2.PdfPage) -> list[tuple[float, ...]]:
    """What another reader's copy has further up and further left than what it has before.

    A copy in order runs down its columns, left before right; a few labels of pictures do not count.
    """
    text = page.get_textpage()
    pieces = [text.get_rect(number) for number in range(text.count_rects())]
    back = [
        here
        for (left, bottom, _, _), here in pairwise(pieces)
        if here[3] > bottom + LINES_BACK_PT and here[0] < left
    ]
    return back if len(back) > len(pieces) // LABELS else []
