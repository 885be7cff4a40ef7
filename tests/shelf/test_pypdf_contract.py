"""What reading a card, and joining a booklet, asks of pypdf."""

from io import BytesIO

import pytest
from pypdf import PdfReader, PdfWriter
from pypdf.annotations import Link
from pypdf.constants import PageLabelStyle
from pypdf.generic import ArrayObject, Fit, NameObject


def written(writer: PdfWriter) -> bytes:
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def pages(count: int) -> bytes:
    """A PDF of blank pages."""
    writer = PdfWriter()
    for _ in range(count):
        writer.add_blank_page(100, 100)
    return written(writer)


def test_attachments_are_read_by_their_names() -> None:
    """PdfReader.attachments: name → contents, one for each file of that name."""
    writer = PdfWriter(clone_from=PdfReader(BytesIO(pages(1))))
    writer.add_attachment("a.txt", b"figures " * 100)
    assert PdfReader(BytesIO(written(writer))).attachments["a.txt"] == [b"figures " * 100]


@pytest.mark.parametrize("damage", [b"", b"%PDF-1.4", b"no PDF at all"])
def test_a_file_that_cannot_be_read_raises(damage: bytes) -> None:
    """It is never taken for one without attachments."""
    with pytest.raises(Exception):  # noqa: B017, PT011  any exception will do, and any is caught
        _ = PdfReader(BytesIO(damage)).attachments["a.txt"]


def test_parts_are_joined_with_bookmarks_links_and_page_numbers() -> None:
    """What the booklet asks: append, outline, annotation, labels, identical objects written once."""
    writer = PdfWriter()
    for _ in range(2):
        writer.append(PdfReader(BytesIO(pages(2))), import_outline=False)
    writer.compress_identical_objects()
    above = writer.add_outline_item(title="Tables", page_number=1, fit=Fit.fit(), is_open=False)
    writer.add_outline_item(title="Tapers", page_number=3, parent=above, fit=Fit.fit(), is_open=False)
    made = writer.add_annotation(0, Link(rect=(0, 0, 9, 9), target_page_index=3, border=[0, 0, 0]))
    made[NameObject("/Dest")] = ArrayObject([writer.pages[3].indirect_reference, NameObject("/Fit")])
    writer.set_page_label(0, 0, PageLabelStyle.LOWERCASE_ROMAN)
    writer.set_page_label(1, 3, PageLabelStyle.DECIMAL)
    reader = PdfReader(BytesIO(written(writer)))
    tables, (tapers,) = reader.outline
    places = [reader.get_destination_page_number(each) for each in (tables, tapers)]
    assert (tables.title, tapers.title, places) == ("Tables", "Tapers", [1, 3])
    assert reader.page_labels == ["i", "1", "2", "3"]
    (link,) = reader.pages[0]["/Annots"]
    assert link.get_object()["/Dest"][0].get_object() == reader.pages[3].get_object()
