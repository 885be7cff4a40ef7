"""What binding a card asks of pypdf: its private names first, then what the seal and the booklet rely on."""

import re
from io import BytesIO

import pytest
from pypdf import PdfReader, PdfWriter
from pypdf.annotations import Link
from pypdf.constants import PageLabelStyle
from pypdf.generic import (
    ArrayObject,
    DecodedStreamObject,
    DictionaryObject,
    Fit,
    IndirectObject,
    NameObject,
    TextStringObject,
)

FIXED = {"/Title": "a card", "/CardSeal": "0" * 64}


def written(writer: PdfWriter) -> bytes:
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def pages(count: int) -> bytes:
    """A PDF of blank pages with an identifier, as the drawing's maker gives it one."""
    writer = PdfWriter()
    for _ in range(count):
        writer.add_blank_page(100, 100)
    writer.generate_file_identifiers()
    return written(writer)


def bound(content: bytes) -> PdfWriter:
    """A clone with no moment and no identifier, and one compressed attachment."""
    writer = PdfWriter(clone_from=PdfReader(BytesIO(content)))
    writer._ID = None
    writer.metadata = {"/Title": "another"}
    writer.add_metadata(FIXED)
    stream = DecodedStreamObject()
    stream.set_data(b"figures " * 100)
    packed = stream.flate_encode()
    packed[NameObject("/Type")] = NameObject("/EmbeddedFile")
    file = DictionaryObject({NameObject("/F"): writer._add_object(packed)})
    spec = DictionaryObject({NameObject("/F"): TextStringObject("a.txt"), NameObject("/EF"): file})
    names = ArrayObject([TextStringObject("a.txt"), writer._add_object(spec)])
    tree = DictionaryObject({NameObject("/Names"): names})
    root = DictionaryObject({NameObject("/EmbeddedFiles"): writer._add_object(tree)})
    writer.root_object[NameObject("/Names")] = root
    return writer


def test_a_writer_without_identifier_writes_none() -> None:
    """PdfWriter._ID: one that was cloned along can be taken out; it would differ from run to run."""
    content = pages(1)
    assert b"/ID" in content
    assert b"/ID" not in written(bound(content))


def test_an_object_that_is_added_is_mentioned_by_its_number() -> None:
    """PdfWriter._add_object: the writer keeps it and gives back how others mention it."""
    writer = PdfWriter()
    mention = writer._add_object(TextStringObject("here"))
    assert isinstance(mention, IndirectObject)
    assert mention.get_object() == "here"


def test_the_same_content_gives_the_same_bytes() -> None:
    """No moment of writing, nothing that depends on the run."""
    content = pages(2)
    first, second = written(bound(content)), written(bound(content))
    assert first == second
    assert b"/CreationDate" not in first


def test_a_property_stands_in_the_file_as_plain_text_once() -> None:
    """The seal is written over in the finished file: its place must be found there."""
    found = re.findall(rb"/CardSeal \(([0-9a-f]{64})\)", written(bound(pages(1))))
    assert found == [b"0" * 64]


def test_an_attachment_is_kept_compressed_and_read_back() -> None:
    """flate_encode, and PdfReader.attachments: name → contents, one for each file of that name."""
    content = written(bound(pages(1)))
    assert b"figures figures" not in content
    assert PdfReader(BytesIO(content)).attachments["a.txt"] == [b"figures " * 100]


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
