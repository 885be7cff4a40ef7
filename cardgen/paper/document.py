"""A PDF document: pages of drawing operators become one file, the same bytes for the same pages."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from reportlab.pdfbase import pdfdoc

from cardgen.paper.typeface import Ready, packed_stream, typeface

MM = 72 / 25.4  # points in a millimetre: our own, for a true A4 and true scales


@dataclass
class Surface:
    """One page while it is drawn: its size in mm, its operators, the font subsets it uses."""

    width: float
    height: float
    operators: list[str] = field(default_factory=list)
    subsets: set[tuple[bool, int]] = field(default_factory=set)
    state: dict[str, str] = field(default_factory=dict)

    def write(self, operators: str) -> None:
        self.operators.append(operators)

    def set_state(self, operator: str, value: str) -> None:
        """Line width, dash, grey: written only when it changes."""
        if self.state.get(operator) != value:
            self.state[operator] = value
            self.operators.append(f"{value} {operator}")

    def save(self) -> dict[str, str]:
        self.operators.append("q")
        return dict(self.state)

    def restore(self, state: dict[str, str]) -> None:
        self.operators.append("Q")
        self.state = state


@dataclass(frozen=True)
class Attachment:
    """A file that the PDF carries within itself."""

    name: str
    data: bytes
    description: str
    media_type: str = "text/plain"


@dataclass(frozen=True)
class Bookmark:
    title: str
    page: int  # counted from 0
    level: int = 0


def pdf_bytes(
    surfaces: list[Surface],
    title: str,
    subject: str,
    keywords: str = "",
    attachments: tuple[Attachment, ...] = (),
    bookmarks: tuple[Bookmark, ...] = (),
) -> bytes:
    """The finished file. No date goes in, so the same pages give the same bytes."""
    document = pdfdoc.PDFDocument(invariant=1, compression=1)
    document.setTitle(title)
    document.setSubject(subject)
    document.setKeywords(keywords)
    document.setCreator("cardgen")
    document.setAuthor("cardgen")
    for surface in surfaces:
        _add_page(document, surface)
    for bold, subset in sorted(set().union(*(surface.subsets for surface in surfaces))):
        typeface(bold).embed(document, subset)
    if attachments:
        _attach(document, attachments)
    if bookmarks:
        _add_outline(document, bookmarks)
    data: bytes = document.GetPDFData(None)
    return data


def _add_page(document: Any, surface: Surface) -> None:
    page = pdfdoc.PDFPage()
    page.ExtGState = None
    page._shadingUsed = {}
    page.MediaBox = pdfdoc.PDFArray([0, 0, round(surface.width * MM, 4), round(surface.height * MM, 4)])
    page.Contents = Ready(packed_stream("\n".join(surface.operators).encode("latin-1")))
    document.inPage()
    document.addPage(page)


def _attach(document: Any, attachments: tuple[Attachment, ...]) -> None:
    names: list[Any] = []
    for attachment in sorted(attachments, key=lambda each: each.name):
        media = attachment.media_type.replace("/", "#2F")
        entries = f"/Type /EmbeddedFile /Subtype /{media} /Params << /Size {len(attachment.data)} >> "
        stream = Ready(packed_stream(attachment.data, entries))
        reference = document.Reference(stream, f"attached:{attachment.name}")
        file = pdfdoc.PDFDictionary(
            {
                "Type": pdfdoc.PDFName("Filespec"),
                "F": pdfdoc.PDFString(attachment.name),
                "UF": pdfdoc.PDFString(attachment.name),
                "Desc": pdfdoc.PDFString(attachment.description),
                "AFRelationship": pdfdoc.PDFName("Source"),
                "EF": pdfdoc.PDFDictionary({"F": reference, "UF": reference}),
            }
        )
        names += [pdfdoc.PDFString(attachment.name), document.Reference(file, f"file:{attachment.name}")]
    tree = pdfdoc.PDFDictionary({"EmbeddedFiles": pdfdoc.PDFDictionary({"Names": pdfdoc.PDFArray(names)})})
    document.Catalog.Names = tree


def _add_outline(document: Any, bookmarks: tuple[Bookmark, ...]) -> None:
    for number, bookmark in enumerate(bookmarks):
        target = f"mark{number}"
        page = pdfdoc.PDFObjectReference(f"Page{bookmark.page + 1}")
        destination = pdfdoc.PDFArray([page, pdfdoc.PDFName("Fit")])
        document.Reference(destination, f"destination:{target}")
        document.addDest(target, destination) if hasattr(document, "addDest") else None
        document.outline.addOutlineEntry(target, bookmark.level, bookmark.title)


def metadata(values: Mapping[str, str]) -> str:
    """Keyword text for the PDF's properties: 'name value, name value'."""
    return ", ".join(f"{name} {value}" for name, value in values.items() if value)
