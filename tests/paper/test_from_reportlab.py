"""What paper asks of ReportLab: every name that it takes, and what each must do.

Most of these names are in no manual, so a new ReportLab may change them without a word. This file is
the contract: it holds with the lowest version that pyproject.toml allows and with the newest.
"""

import ast
import io
import re
import struct
from collections.abc import Sequence
from pathlib import Path

import pypdf
import pypdfium2
import pytest
import zxingcpp
from PIL import Image, ImageFont
from reportlab.graphics.barcode import qrencoder
from reportlab.pdfbase import pdfdoc, ttfonts

import cardgen
from cardgen.paper.panels.code import _modules
from cardgen.paper.press import from_reportlab
from cardgen.paper.press.from_reportlab import FontFile, PdfFile, qr_modules, unicode_map
from cardgen.paper.press.typeface import FILES, FONTS, packed_stream

TAKEN = {
    pdfdoc: {
        *("PDFObject", "PDFDocument", "PDFInfo", "PDFPage", "BasicFonts"),
        *("PDFArray", "PDFDictionary", "PDFName", "PDFString"),
    },
    pdfdoc.PDFDocument(): {
        "info",
        "Catalog",
        "addPage",
        "Outlines",
        "Reference",
        "idToObject",
        "GetPDFData",
    },
    pdfdoc.PDFPage(): {"Annots", "MediaBox", "Contents"},
    ttfonts: {"FF_NONSYMBOLIC", "FF_SYMBOLIC", "TTFontFace", "makeToUnicodeCMap"},
    ttfonts.TTFontFace(str(FONTS / FILES["bold"][1])): {
        "name",
        "charToGlyph",
        "getCharWidth",
        "makeSubset",
        "bbox",
        "flags",
        "italicAngle",
        "ascent",
        "descent",
        "capHeight",
        "stemV",
    },
    qrencoder: {"QRCode", "QRErrorCorrectLevel", "QR8bitByte"},
    qrencoder.QRErrorCorrectLevel: {"M"},
    qrencoder.QRCode(None, 0): {"addData", "version", "calculate_version", "makeImpl", "modules"},
}
GIVEN = {"ExtGState", "_ID", "_shadingUsed", "__RefOnly__", "Names"}  # we set them, ReportLab reads them
FONT = FontFile(FONTS / FILES["bold"][1])
UNITS_PER_EM = 2048  # of the font's own file
PILLOWS = ImageFont.truetype(
    str(FONTS / FILES["bold"][1]), UNITS_PER_EM
)  # a reading of the font from outside


def document() -> PdfFile:
    return PdfFile({"Title": "a title", "Subject": "a subject", "Keywords": "some keywords"})


def page_of(*shown: str, characters: str) -> bytes:
    """A PDF with a page for each string of codes, set large in a font cut to these characters."""
    made = document()
    for codes in shown:
        made.add_page(100, 100, packed_stream(f"BT /Cut 50 Tf 10 10 Td ({codes}) Tj ET".encode("latin-1")))
    points = [ord(each) for each in characters]
    data = FONT.cut(points)
    file = made.add(packed_stream(data, f"/Length1 {len(data)} "))
    descriptor = made.add(f"<< {FONT.descriptor('CUT')} /FontFile2 {file} >>".encode())
    names = made.add(packed_stream(unicode_map("CUT", points)))
    widths = " ".join(f"{FONT.width(each):g}" for each in points)
    font = (
        f"<< /Type /Font /Subtype /TrueType /BaseFont /CUT /FirstChar 0 /LastChar {len(points) - 1} "
        f"/Widths [{widths}] /FontDescriptor {descriptor} /ToUnicode {names} >>"
    )
    made.add_font("Cut", font.encode())
    return made.finished()


@pytest.mark.parametrize(
    ("owner", "name"), [(owner, name) for owner, names in TAKEN.items() for name in sorted(names)]
)
def test_a_name_that_is_taken_is_there(owner: object, name: str) -> None:
    """A ReportLab that has lost one is told by its name, not by a card that cannot be made."""
    assert hasattr(owner, name)


def test_every_name_that_is_taken_is_in_the_contract() -> None:
    """Nothing more of ReportLab is used than what stands above."""
    tree = ast.parse(Path(from_reportlab.__file__).read_text("utf-8"))
    ours = {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}
    ours |= {"_made", "_face", "_pages", "_added", "name", "characters", "data", "told"}  # our own attributes
    pythons = {"encode", "decode", "format", "dict", "join", "items", "append", "sha256", "hexdigest"}
    pythons |= {"parents", "__file__", "loader", "exec_module"}
    used = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    used |= {
        alias.name for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) for alias in node.names
    } - {
        *(
            "Any",
            "Path",
            "Sequence",
            "Mapping",
            "cache",
            "module_from_spec",
            "spec_from_file_location",
            "pdfdoc",
        ),
    }
    assert used - ours - pythons <= set().union(*TAKEN.values()) | GIVEN


def test_the_encoder_of_codes_is_reportlab_s_own() -> None:
    """It needs nothing of its package, and is loaded without it."""
    assert from_reportlab._qr_encoder().__file__ == qrencoder.__file__


def test_no_other_file_knows_reportlab() -> None:
    """The contract is short because one file alone is bound by it."""
    package = Path(cardgen.__file__).parent
    asking = re.compile(r"^\s*(import|from) reportlab\b", re.MULTILINE)
    assert [path.name for path in package.rglob("*.py") if asking.search(path.read_text("utf-8"))] == [
        "from_reportlab.py"
    ]


def test_the_same_content_gives_the_same_bytes() -> None:
    """PDFDocument(invariant=1), and properties of our own: no moment of making is in the file."""
    first, second = (page_of("\\000", characters="A") for _ in range(2))
    assert first == second
    assert b"Date" not in first


def test_the_properties_are_those_that_were_given() -> None:
    """PDFDocument.info: any names, any signs in what they say, and no others."""
    given = {"/Title": "Шпиндель ⌀ 38 (new) \\ old", "/CardCode": "SN-204-B-1a2b3c4d"}
    made = PdfFile({name[1:]: text for name, text in given.items()})
    made.add_page(100, 100, packed_stream(b""))
    assert pypdf.PdfReader(io.BytesIO(made.finished())).metadata == given


def test_a_property_of_plain_letters_stands_in_the_file_once_as_it_is() -> None:
    """PDFString: the seal is written over in the finished file, so its place must be found there."""
    made = PdfFile({"Title": "/CardSeal (" + "1" * 64 + ")", "CardSeal": "0" * 64})
    made.add_page(100, 100, packed_stream(b""))
    assert re.findall(rb"/CardSeal \(([0-9a-f]{64})\)", made.finished()) == [b"0" * 64]


def test_attachments_are_read_back_by_their_names() -> None:
    """PDFDocument.Catalog's Names: a tree of embedded files, whatever letters their names have."""
    given = {"values.json": b"{}", "part Шпиндель.yaml": b"kind: part\n" * 99, "empty": b""}
    made = document()
    made.add_page(100, 100, packed_stream(b""))
    made.attach({name: packed_stream(data, "/Type /EmbeddedFile ") for name, data in given.items()})
    file = made.finished()
    read = pypdf.PdfReader(io.BytesIO(file), strict=True)
    assert read.attachments == {name: [data] for name, data in given.items()}
    assert pypdfium2.PdfDocument(file).count_attachments() == len(given)


def test_pages_stand_in_turn_with_their_own_size_and_operators() -> None:
    """PDFPage's MediaBox and Contents, PDFDocument's addPage: nothing of ReportLab's own is drawn."""
    made = document()
    for number in range(12):
        made.add_page(100 + number, 841.88976, packed_stream(f"{number} w".encode()))
    pages = pypdf.PdfReader(io.BytesIO(made.finished())).pages
    assert [page.get_contents().get_data().decode() for page in pages] == [f"{n} w" for n in range(12)]
    assert [float(page.mediabox.width) for page in pages] == [100.0 + n for n in range(12)]
    assert float(pages[0].mediabox.height) == 841.8898  # to the fourth decimal of a point


def test_an_object_is_written_as_it_stands_and_mentioned_by_its_number() -> None:
    """PDFDocument.Reference, PDFObject.format and __RefOnly__: the bytes are put in once, untouched."""
    made = document()
    made.add_page(100, 100, packed_stream(b""))
    mention = made.add(b"<< /Here (as it  stands) >>")
    made.add(f"<< /There {mention} >>".encode())
    found = re.findall(rb"(\d+ 0) obj[^<]*<< /Here \(as it  stands\) >>", made.finished())
    assert [each.decode() + " R" for each in found] == [mention]


def test_the_root_says_what_it_was_given_and_pages_have_their_links() -> None:
    """PDFDocument's Catalog and Outlines, PDFPage's Annots: what stands there is ours, and no less."""
    made = document()
    first = made.add_page(100, 100, packed_stream(b""))
    tree = made.set_root("Outlines")
    mark = made.add(f"<< /Title (here) /Parent {tree} /Dest [{first} /Fit] >>".encode())
    made.put(tree, f"<< /First {mark} /Last {mark} /Count 1 >>".encode())
    made.set_root("ViewerPreferences", b"<< /DisplayDocTitle true >>")
    made.set_links(0, f"[<< /Subtype /Link /Rect [0 0 9 9] /Dest [{first} /Fit] >>]".encode())
    reader = pypdf.PdfReader(io.BytesIO(made.finished()))
    assert [each.title for each in reader.outline] == ["here"]
    assert reader.root_object["/ViewerPreferences"]["/DisplayDocTitle"].value is True
    (link,) = reader.pages[0]["/Annots"]
    assert reader.get_page_number(link["/Dest"][0].get_object()) == 0


def test_a_font_can_be_called_by_every_page() -> None:
    """PDFDocument's idToObject and BasicFonts: the fonts that each page's resources name."""
    reader = pypdf.PdfReader(io.BytesIO(page_of("\\000", "\\000", characters="A")))
    for page in reader.pages:
        assert list(page["/Resources"]["/Font"]) == ["/Cut"]


@pytest.mark.parametrize("character", "AiM1⌀′½Ж")
def test_a_width_is_that_of_the_fonts_own_file(character: str) -> None:
    """TTFontFace.getCharWidth, in thousandths of the size, against Pillow's reading of the same file."""
    assert character in map(chr, FONT.characters)
    # TTFontFace rounds a width to a whole thousandth or keeps the fraction, so half of one is allowed.
    assert FONT.width(ord(character)) == pytest.approx(
        1000 * PILLOWS.getlength(character) / UNITS_PER_EM, abs=0.51
    )


def test_a_character_that_the_font_lacks_is_not_among_its_characters() -> None:
    """TTFontFace.charToGlyph names those that can be set, and no other."""
    assert ord("漢") not in FONT.characters


def ink(page: pypdfium2.PdfPage) -> tuple[int, int, int, int] | None:
    """The box of what is dark on a page of 100 points, by pixels of a point."""
    white = page.render(scale=1).to_pil().convert("L")
    return white.point(lambda grey: 255 if grey < 128 else 0).getbbox()


def test_a_cut_font_draws_its_characters_by_their_place() -> None:
    """TTFontFace.makeSubset: code 0 is the first character, code 1 the second."""
    pages = pypdfium2.PdfDocument(page_of("\\000", "\\001", "\\002", characters="■. "))
    square, dot, space = (ink(page) for page in pages)
    assert square is not None
    assert dot is not None
    assert square[3] - square[1] > 25
    assert dot[3] - dot[1] < 10
    assert space is None


def test_a_cut_font_is_smaller_than_its_file() -> None:
    """makeSubset leaves out the characters that were not asked for."""
    whole = (FONTS / FILES["bold"][1]).stat().st_size
    assert len(FONT.cut([ord("A")])) < whole / 10


def test_text_in_a_cut_font_can_be_found_and_copied() -> None:
    """makeToUnicodeCMap leads from codes back to characters."""
    page = pypdfium2.PdfDocument(page_of("\\000\\001\\002", characters="Ж⌀1"))[0]
    assert page.get_textpage().get_text_range().strip() == "Ж⌀1"


def table_of_font(tag: str) -> bytes:
    """A table of the font's file, as the OpenType specification lays it out (ISO/IEC 14496-22)."""
    data = (FONTS / FILES["bold"][1]).read_bytes()
    (count,) = struct.unpack_from(">H", data, 4)
    entries = [struct.unpack_from(">4s4xII", data, 12 + 16 * number) for number in range(count)]
    ((start, length),) = [(start, length) for name, start, length in entries if name == tag.encode()]
    return data[start : start + length]


def test_a_descriptor_says_what_the_font_is() -> None:
    """TTFontFace's measures are those of the file's own tables; the flags by ISO 32000-1:2008, table 123."""
    descriptor = FONT.descriptor("CUT")
    told = dict(re.findall(r"/(\w+) ([-\d.]+)", descriptor))
    flags = int(told["Flags"])
    assert flags & 1 << 2  # bit 3: symbolic, since codes are places in the cut font
    assert not flags & 1 << 5  # bit 6: not nonsymbolic
    ascent, descent = struct.unpack_from(">hh", table_of_font("OS/2"), 68)  # sTypoAscender, sTypoDescender
    box = struct.unpack_from(">hhhh", table_of_font("head"), 36)  # xMin, yMin, xMax, yMax
    measures = [float(told[name]) for name in ("Ascent", "Descent", "ItalicAngle")]
    assert measures == [round(1000 * each / UNITS_PER_EM) for each in (ascent, descent, 0)]
    assert f"/FontBBox [{' '.join(f'{1000 * each / UNITS_PER_EM:.0f}' for each in box)}]" in descriptor


def read(rows: Sequence[Sequence[bool]]) -> tuple[str, str]:
    """The text of a QR code and its level of correction, as another library reads them."""
    side = len(rows)
    picture = Image.new("L", (side + 8, side + 8), 255)
    for y, row in enumerate(rows):
        for x, dark in enumerate(row):
            picture.putpixel((x + 4, y + 4), 0 if dark else 255)
    (found,) = zxingcpp.read_barcodes(picture.resize((4 * (side + 8),) * 2, Image.Resampling.NEAREST))
    return found.text, found.ec_level


@pytest.mark.parametrize("mask", range(8))
def test_a_qr_code_is_read_by_another_librarys_reader(mask: int) -> None:
    """QRCode with its data, version and mask: what it draws is a code."""
    assert read(qr_modules("конус-Б-7f3a91c2".encode(), mask)) == ("конус-Б-7f3a91c2", "M")


@pytest.mark.parametrize(("length", "version"), [(14, 1), (15, 2), (26, 2), (27, 3), (62, 4), (213, 10)])
def test_a_qr_code_is_the_smallest_that_holds_its_bytes(length: int, version: int) -> None:
    """ISO/IEC 18004, capacity of the versions in bytes at level M; a version's side is 17 + 4 × version.

    From version 4 on the bytes stand in several blocks, in version 10 in blocks of two lengths.
    """
    text = ("SN-204-B-7f3a91c2 " * 12)[:length]
    rows = qr_modules(text.encode(), 3)
    assert len(rows) == 17 + 4 * version
    assert read(rows) == (text, "M")


def test_a_qr_code_that_was_asked_for_before_cannot_be_changed() -> None:
    """The code that is kept for the card's next side is drawn as it was."""
    assert {type(row) for row in _modules("SN-204-B-7f3a91c2")} == {tuple}
