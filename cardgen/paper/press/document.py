"""A PDF document: pages of drawing operators become one file, the same bytes for the same pages."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from html import escape
from types import MappingProxyType
from typing import Any

from cardgen.paper.press.from_reportlab import PdfFile
from cardgen.paper.press.typeface import Weight, packed_stream, typeface
from cardgen.terms import INCH

BY_US = {"Creator": "cardgen", "Author": "cardgen"}
NOTHING: Mapping[str, Any] = MappingProxyType({})
MM = 72 / INCH  # points in a millimetre: our own, for a true A4 and true scales


LANGUAGE = "en-GB"
XMP = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/">
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<dc:description><rdf:Alt><rdf:li xml:lang="x-default">{subject}</rdf:li></rdf:Alt></dc:description>
<dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>
</rdf:Description></rdf:RDF></x:xmpmeta>
<?xpacket end="r"?>"""


@dataclass
class Surface:
    """One page while it is drawn: its size in mm, its operators, the font subsets it uses."""

    width: float
    height: float
    operators: list[str] = field(default_factory=list)
    subsets: set[tuple[Weight, int]] = field(default_factory=set)
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
class Bookmark:
    """A bookmark: its depth, its words, its page counted from 0."""

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
class Ways:
    """How a file of many pages is found one's way through."""

    bookmarks: Sequence[Bookmark]
    areas: Sequence[Area]
    front_pages: int  # numbered i, ii …; the rest 1, 2 …
    opens_at: int


@dataclass(frozen=True)
class Drawing:
    """A paper that is drawn, not yet a file: who keeps it says what else the file is to carry."""

    surfaces: tuple[Surface, ...]
    title: str
    subject: str
    keywords: str = ""
    ways: Ways | None = None

    def pdf(
        self, properties: Mapping[str, str] = NOTHING, attachments: Mapping[str, bytes] = NOTHING
    ) -> bytes:
        """The finished file, with further properties and attachments. No date goes in, so the same drawing
        gives the same bytes.
        """
        told = {"Title": self.title, "Subject": self.subject, "Keywords": self.keywords, **BY_US}
        document = PdfFile({**told, **properties})
        pages = []
        for surface in self.surfaces:
            contents = packed_stream("\n".join(surface.operators).encode("latin-1"))
            pages.append(document.add_page(surface.width * MM, surface.height * MM, contents))
        for weight, subset in sorted(set().union(*(surface.subsets for surface in self.surfaces))):
            typeface(weight).embed(document, subset)
        if attachments:
            packed = {name: packed_stream(data, "/Type /EmbeddedFile ") for name, data in attachments.items()}
            document.attach(packed)
        document.set_root("Lang", _text(LANGUAGE))
        document.set_root("ViewerPreferences", b"<< /DisplayDocTitle true >>")
        document.set_root("Metadata", _xmp(self.title, self.subject))
        if self.ways is not None:
            _set_ways(document, self.surfaces, pages, self.ways)
        return document.finished()


def pdf_bytes(surfaces: list[Surface], title: str, subject: str, keywords: str = "") -> bytes:
    """The finished file of a paper that carries nothing besides its pages."""
    return Drawing(tuple(surfaces), title, subject, keywords).pdf()


def _set_ways(document: PdfFile, surfaces: Sequence[Surface], pages: Sequence[str], ways: Ways) -> None:
    _set_links(document, surfaces, pages, ways.areas)
    _set_bookmarks(document, pages, ways.bookmarks)
    roman = f"0 << /S /r >> {ways.front_pages}" if ways.front_pages else "0"
    document.set_root("PageLabels", f"<< /Nums [{roman} << /S /D >>] >>".encode("ascii"))
    document.set_root("PageMode", b"/UseOutlines")
    document.set_root("OpenAction", f"[{pages[ways.opens_at]} /Fit]".encode("ascii"))


def _text(text: str) -> bytes:
    """A text of any script as it stands in a file."""
    return b"<" + ("\ufeff" + text).encode("utf-16-be").hex().encode("ascii") + b">"


def _xmp(title: str, subject: str) -> bytes:
    """Title, subject and language once more, for programs that read no properties (XMP, ISO 16684-1)."""
    packet = XMP.format(title=escape(title), subject=escape(subject), language=LANGUAGE).encode("utf-8")
    head = f"<< /Type /Metadata /Subtype /XML /Length {len(packet)} >>\nstream\n".encode("ascii")
    return head + packet + b"\nendstream"


def _set_links(
    document: PdfFile, surfaces: Sequence[Surface], pages: Sequence[str], areas: Sequence[Area]
) -> None:
    on_page: dict[int, list[str]] = {}
    for area in areas:
        left, top = area.x * MM, (surfaces[area.page].height - area.y) * MM
        box = f"{left:.2f} {top - area.height * MM:.2f} {left + area.width * MM:.2f} {top:.2f}"
        on_page.setdefault(area.page, []).append(
            f"<< /Type /Annot /Subtype /Link /Rect [{box}] /Border [0 0 0] /Dest [{pages[area.to]} /Fit] >>"
        )
    for page, links in on_page.items():
        document.set_links(page, f"[{' '.join(links)}]".encode("ascii"))


def _set_bookmarks(document: PdfFile, pages: Sequence[str], bookmarks: Sequence[Bookmark]) -> None:
    """Each bookmark under the nearest one above it that is less deep, all of them closed."""
    tree = document.set_root("Outlines")
    below: dict[str, list[str]] = {tree: []}  # by a bookmark's mention, those under it
    parents, made = [tree], []
    for mark in bookmarks:
        del parents[mark.level + 1 :]
        mention = document.add()
        below[parents[-1]].append(mention)
        below[mention] = []
        made.append((mark, mention, parents[-1]))
        parents.append(mention)
    for mark, mention, parent in made:
        place = below[parent].index(mention)
        beside = {"/Prev": below[parent][place - 1 : place], "/Next": below[parent][place + 1 : place + 2]}
        entries = "".join(f" {key} {other[0]}" for key, other in beside.items() if other)
        entries += _ends(below[mention], "-") + f" /Parent {parent} /Dest [{pages[mark.page]} /Fit] >>"
        document.put(mention, b"<< /Title " + _text(mark.title) + entries.encode("ascii"))
    document.put(tree, f"<< /Type /Outlines{_ends(below[tree], '')} >>".encode("ascii"))


def _ends(below: Sequence[str], sign: str) -> str:
    """The first and the last of the bookmarks under one, and how many; a minus: they are not shown."""
    return f" /First {below[0]} /Last {below[-1]} /Count {sign}{len(below)}" if below else ""
