"""The sections' PDFs become one file: joined, bookmarked, numbered, opening at the contents."""

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO

from pypdf import PdfReader, PdfWriter
from pypdf.annotations import Link
from pypdf.constants import PageLabelStyle
from pypdf.generic import ArrayObject, Fit, IndirectObject, NameObject, RectangleObject, TextStringObject

from cardgen.paper.press.document import MM


@dataclass(frozen=True)
class Bookmark:
    """A bookmark: its depth, its words, its page counted from 0 over the whole booklet."""

    level: int
    title: str
    page: int


@dataclass(frozen=True)
class Area:
    """A place on a page that leads to another page; mm from the page's top left corner."""

    page: int
    x: float
    y: float
    width: float
    height: float
    to: int


@dataclass(frozen=True)
class Properties:
    """What the file says of itself."""

    title: str
    subject: str
    keywords: str


def joined(
    parts: Sequence[bytes],
    bookmarks: Sequence[Bookmark],
    links: Sequence[Area],
    front_pages: int,
    opens_at: int,
    properties: Properties,
) -> bytes:
    """One PDF of all parts in turn; the first `front_pages` pages are numbered i, ii …, the rest 1, 2 …"""
    writer = PdfWriter()
    for part in parts:
        writer.append(PdfReader(BytesIO(part)), import_outline=False)
    writer.compress_identical_objects()  # both kinds; their keywords differ between versions
    _bookmark(writer, bookmarks)
    for link in links:
        _link(writer, link)
    count = len(writer.pages)
    if front_pages:
        writer.set_page_label(0, front_pages - 1, PageLabelStyle.LOWERCASE_ROMAN)
    writer.set_page_label(front_pages, count - 1, PageLabelStyle.DECIMAL)
    page = writer.pages[opens_at].indirect_reference
    writer.root_object[NameObject("/OpenAction")] = ArrayObject([page, NameObject("/Fit")])
    writer.page_mode = "/UseOutlines"
    writer.root_object[NameObject("/Lang")] = TextStringObject("en-GB")
    writer.metadata = {
        "/Title": properties.title,
        "/Subject": properties.subject,
        "/Keywords": properties.keywords,
        "/Author": "cardgen",
        "/Creator": "cardgen",
        "/Producer": "cardgen",
    }
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def _bookmark(writer: PdfWriter, bookmarks: Sequence[Bookmark]) -> None:
    """Each bookmark under the nearest one above it that is less deep; sections closed."""
    above: dict[int, IndirectObject] = {}
    for entry in bookmarks:
        parent = next((above[level] for level in range(entry.level - 1, -1, -1) if level in above), None)
        made = writer.add_outline_item(
            title=entry.title, page_number=entry.page, parent=parent, fit=Fit.fit(), is_open=False
        )
        above = {level: item for level, item in above.items() if level < entry.level}
        above[entry.level] = made


def _link(writer: PdfWriter, link: Area) -> None:
    height = float(writer.pages[link.page].mediabox.height)
    left, top = link.x * MM, height - link.y * MM
    box = RectangleObject((left, top - link.height * MM, left + link.width * MM, top))
    made = writer.add_annotation(link.page, Link(rect=box, target_page_index=link.to, border=[0, 0, 0]))
    # pypdf 5 leaves the page's number there, which is right only for the page of another file.
    made[NameObject("/Dest")] = ArrayObject([writer.pages[link.to].indirect_reference, NameObject("/Fit")])
