"""All that paper takes from ReportLab, under names of our own; no other file imports it.

Cards are written through ReportLab's document objects and not through its canvas: every character has
a fixed place in a fixed subset of the font, cut and compressed once a process. A card then costs
milliseconds, and its bytes never depend on the card before it. But most of what is used here stands in no
manual of ReportLab's, so tests/paper/test_from_reportlab.py says of each name what it must do.
"""

from collections.abc import Mapping, Sequence
from functools import cache
from hashlib import sha256
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from typing import Any

from reportlab.pdfbase import pdfdoc
from reportlab.pdfbase.ttfonts import FF_NONSYMBOLIC, FF_SYMBOLIC, TTFontFace, makeToUnicodeCMap


class _Ready(pdfdoc.PDFObject):  # type: ignore[misc]
    """An object whose bytes are ready; a document needs its own, since it writes its name on it."""

    __RefOnly__ = 1  # it stands by itself in the file, wherever it is mentioned

    def __init__(self, data: bytes) -> None:
        self.data = data

    def format(self, document: object) -> bytes:
        return self.data


class _Properties(pdfdoc.PDFInfo):  # type: ignore[misc]
    """What a PDF says of itself, under any names; it has no moment of making."""

    def __init__(self, told: Mapping[str, str]) -> None:
        self.told = told

    def format(self, document: object) -> bytes:
        entries = {name: pdfdoc.PDFString(text) for name, text in self.told.items()}
        data: bytes = pdfdoc.PDFDictionary(entries).format(document)
        return data


class _Bookmarks:
    """Stands where ReportLab keeps its own outline, which would else put ours away."""

    ready = 1

    def prepare(self, document: object, canvas: object) -> None:
        """Nothing is left to be done."""


class PdfFile:
    """A PDF in the making. No date goes in, so the same content gives the same bytes."""

    def __init__(self, properties: Mapping[str, str]) -> None:
        self._made = pdfdoc.PDFDocument(invariant=1, compression=1)
        self._pages: list[pdfdoc.PDFPage] = []
        self._added: dict[str, _Ready] = {}
        self._made.info = _Properties(properties)
        # ReportLab's own identifier is of the moment, in the machine's time zone.
        self._made._ID = b"[<%s> <%s>]" % (
            2 * (sha256(repr(properties).encode("utf-8")).hexdigest().encode(),)
        )

    def attach(self, files: Mapping[str, bytes]) -> None:
        """Files that it carries, by their names, each a stream with its entries as it stands in a file."""
        names = []
        for name, stream in sorted(files.items()):
            text = pdfdoc.PDFString(name)
            held = pdfdoc.PDFDictionary({"F": self._made.Reference(_Ready(stream))})
            told = {"Type": pdfdoc.PDFName("Filespec"), "F": text, "UF": text, "EF": held}
            names += [text, self._made.Reference(pdfdoc.PDFDictionary(told))]
        listed = pdfdoc.PDFDictionary({"Names": pdfdoc.PDFArray(names)})
        self._made.Catalog.Names = pdfdoc.PDFDictionary({"EmbeddedFiles": listed})

    def add_page(self, width_pt: float, height_pt: float, contents: bytes) -> str:
        """A page of these operators, a stream as it stands in a file; every font may be used on it.

        Returns how others mention it.
        """
        page = pdfdoc.PDFPage()
        page.MediaBox = pdfdoc.PDFArray([0, 0, round(width_pt, 4), round(height_pt, 4)])
        page.Contents = _Ready(contents)
        page.ExtGState = None  # ReportLab's canvas sets these two, and a page cannot be written without
        page._shadingUsed = {}
        self._made.addPage(page)
        self._pages.append(page)
        mention: bytes = self._made.Reference(page).format(self._made)
        return mention.decode("ascii")

    def set_links(self, page: int, data: bytes) -> None:
        """The array of a page's places that lead elsewhere; pages are counted from 0."""
        self._pages[page].Annots = _Ready(data)

    def set_root(self, key: str, data: bytes = b"") -> str:
        """What the file says of itself as a whole, under a key of a PDF's catalog; returns its mention."""
        mention = self.add(data)
        setattr(self._made.Catalog, key, self._added[mention])
        if key == "Outlines":
            self._made.Outlines = _Bookmarks()
        return mention

    def add(self, data: bytes = b"") -> str:
        """An object as it stands in a file; returns how others mention it: '7 0 R'."""
        made = _Ready(data)
        mention: str = self._made.Reference(made).format(self._made).decode("ascii")
        self._added[mention] = made
        return mention

    def put(self, mention: str, data: bytes) -> None:
        """What stands in an object that others had to mention first."""
        self._added[mention].data = data

    def add_font(self, name: str, data: bytes) -> None:
        """A font's object, under the name by which the pages' operators call it."""
        self._made.idToObject[pdfdoc.BasicFonts].dict[name] = self._made.Reference(_Ready(data))

    def finished(self) -> bytes:
        """The whole file; nothing can be added afterwards."""
        data: bytes = self._made.GetPDFData(None)
        return data


class FontFile:
    """A TrueType font: which characters it has, how wide they are, and smaller fonts cut out of it."""

    def __init__(self, path: Path) -> None:
        self._face = TTFontFace(str(path))
        self.name: str = self._face.name.decode("ascii")
        self.characters: frozenset[int] = frozenset(self._face.charToGlyph)

    def width(self, character: int) -> float:
        """The width of a character, in thousandths of the size; of a character it lacks, its blank's."""
        width: float = self._face.getCharWidth(character)
        return width

    def cut(self, characters: Sequence[int]) -> bytes:
        """A font file that has these characters alone, the first as its code 0, the next as its code 1 …"""
        data: bytes = self._face.makeSubset(list(characters))
        return data

    def descriptor(self, name: str) -> str:
        """The entries of a PDF's font descriptor for a font cut out of this one, its file left out."""
        face = self._face
        box = " ".join(f"{side:.0f}" for side in face.bbox)
        flags = (face.flags & ~FF_NONSYMBOLIC) | FF_SYMBOLIC
        return (
            f"/Type /FontDescriptor /FontName /{name} /Flags {flags} /FontBBox [{box}] "
            f"/ItalicAngle {face.italicAngle:g} /Ascent {face.ascent:.0f} /Descent {face.descent:.0f} "
            f"/CapHeight {face.capHeight:.0f} /StemV {face.stemV}"
        )


def unicode_map(name: str, characters: Sequence[int]) -> bytes:
    """The map by which a reader of the PDF finds the characters of a cut font's codes again."""
    text: str = makeToUnicodeCMap(name, list(characters))
    return text.encode("latin-1")


def qr_modules(data: bytes, mask: int) -> tuple[tuple[bool, ...], ...]:
    """Rows of the smallest QR code that holds these bytes, True where dark; error correction level M."""
    encoder = _qr_encoder()
    made = encoder.QRCode(None, encoder.QRErrorCorrectLevel.M)
    made.addData(encoder.QR8bitByte(data))
    made.version = made.calculate_version()
    made.makeImpl(False, mask)
    return tuple(tuple(bool(dark) for dark in row) for row in made.modules)


@cache
def _qr_encoder() -> Any:
    """ReportLab's encoder by itself: with its package come all its drawings, and a first card would wait."""
    file = Path(pdfdoc.__file__).parents[1] / "graphics" / "barcode" / "qrencoder.py"
    found = spec_from_file_location("reportlab_qrencoder", file)
    assert found is not None
    assert found.loader is not None
    made = module_from_spec(found)
    found.loader.exec_module(made)
    return made
