"""What a PDF tells a reader that does not see its pages."""

from pypdf import PdfReader


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
