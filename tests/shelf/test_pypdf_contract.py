"""What reading a card asks of pypdf."""

from io import BytesIO

import pytest
from pypdf import PdfReader, PdfWriter


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
