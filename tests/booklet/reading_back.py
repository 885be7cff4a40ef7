"""Reads a booklet's PDF back: pages → tables of cells, as a person would copy them out.

What a page draws is taken in its order: pieces of text and rules. What a piece is follows from its size: a
chapter's title is set in 17 pt, a table's in 11, that of one of many alike in 9.4, heads in 7.6, cells in
8.3 (8 where a table is short of room); a row ends with the rule below it, and lines at one place from the
left are a cell.
The characters come from the fonts' own maps in the file. Nothing of the package is used.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from io import BytesIO

from pypdf import PageObject, PdfReader

SECTION, TABLE, SUB, BODY, SMALL = 17.0, 11.0, 9.4, 9.2, 7.8
HEADS, CELLS = (7.6, 7.2), (8.3, 8.0)
STYLES = (SECTION, TABLE, SUB, BODY, SMALL, *HEADS, *CELLS)
FOOT_PT, HEAD_PT = 30.0, 45.0  # of the page's edges: the running head and foot lie beyond
CONTINUED = ", continued"
SIGN = 1.32  # of its text's size: how large the sign of a diameter is set
DRAWN = re.compile(
    rb"BT ([\d.-]+) ([\d.-]+) Td(.*?) ET(?=\n|$)|^([\d.-]+) ([\d.-]+) m ([\d.-]+) ([\d.-]+) l S$",
    re.DOTALL | re.MULTILINE,
)
SET = re.compile(rb"/([\w-]+) ([\d.]+) Tf \[?(?:-?[\d.]+ )?\(((?:[^\\()]|\\.)*)\)[^T]*T[jJ]", re.DOTALL)
CODE = re.compile(rb"\\(\d{3}|.)|(.)", re.DOTALL)


@dataclass
class Piece:
    """What is set at one place: a cell, a head, a line of words; or a level rule, which has no text."""

    x: float
    y: float
    size: float
    text: str
    rule_to: float | None = None


@dataclass
class Table:
    """A table put together again from every page it stands on."""

    section: str
    title: str
    heads: list[str]
    rows: list[list[str]] = field(default_factory=list)
    parts: list[int] = field(default_factory=list)  # rows on each of its pages
    pages: list[int] = field(default_factory=list)
    heads_seen: list[list[str]] = field(default_factory=list)
    words: str = ""  # above and below it

    @property
    def name(self) -> str:
        return f"{self.section} / {self.title}"


@dataclass
class ReadBack:
    """Everything that was read."""

    tables: list[Table]
    pages: list[list[Piece]]  # everything on each page, running head and foot too
    words: dict[tuple[str, str], str]  # by chapter and title

    def text(self, page: int) -> str:
        """All that stands on a page, run together."""
        return plain(" ".join(piece.text for piece in self.pages[page]))

    def foot(self, page: int) -> list[str]:
        """What stands at the foot of a page."""
        return [plain(piece.text) for piece in self.pages[page] if piece.y <= FOOT_PT and piece.text]

    def of(self, section: str, title: str = "") -> list[Table]:
        """The tables of a chapter; of one title, where that is given."""
        return [each for each in self.tables if each.section == section and title in ("", each.title)]

    def table(self, section: str, title: str) -> Table:
        """The one table of this title."""
        (found,) = self.of(section, title)
        return found


def plain(text: str) -> str:
    """With the spaces and slashes of a keyboard."""
    return text.replace("\u00a0", " ").replace("⁄", "/").strip()


def read_back(pdf: bytes) -> ReadBack:
    """Every table and all words of a booklet, but those of the copies of cards."""
    found = ReadBack([], [], {})
    reader = _Reader(found)
    for number, page in enumerate(PdfReader(BytesIO(pdf)).pages):
        pieces = list(_pieces(page))
        found.pages.append(pieces)
        top = float(page.mediabox.height) - HEAD_PT
        reader.page(number, [piece for piece in pieces if FOOT_PT < piece.y < top])
    return found


class _Reader:
    """Goes through the pieces in their order."""

    def __init__(self, found: ReadBack) -> None:
        self.found = found
        self.section = self.title = ""
        self.table: Table | None = None
        self.heads: list[Piece] = []
        self.row: list[Piece] = []
        self.before = 0.0
        self.number = 0

    def page(self, number: int, pieces: list[Piece]) -> None:
        self.number, self.heads, self.row, self.before = number, [], [], 0.0
        for piece in pieces:
            if piece.rule_to is not None:
                self._rule()
            elif piece.size in CELLS:
                self.row.append(piece)
            elif piece.size in HEADS:
                self.heads.append(piece)
            elif piece.text.strip():
                if piece.size not in STYLES:
                    break  # a card: its pages have styles of their own
                self._words(piece, wrapped=piece.size == self.before)
            self.before = piece.size

    def _words(self, piece: Piece, wrapped: bool) -> None:
        text = plain(piece.text)
        if piece.size == SECTION:
            self.section, self.title = f"{self.section} {text}" if wrapped else text, ""
        elif piece.size in (TABLE, SUB):
            if not text.endswith(CONTINUED):
                self.title = f"{self.title} {text}" if wrapped else text
        else:
            key = (self.section, self.title)
            self.found.words[key] = f"{self.found.words.get(key, '')} {text}".strip()

    def _rule(self) -> None:
        if not self.row:
            return
        if self.heads:
            self._begin([piece.text for piece in self.heads])
            self.heads = []
        assert self.table is not None
        self.table.rows.append([plain(" ".join(lines)) for lines in _cells(self.row)])
        self.table.parts[-1] += 1
        self.row = []

    def _begin(self, names: list[str]) -> None:
        """A table, or the next part of one whose heads are repeated."""
        before = self.table
        if before is None or (before.section, before.title, before.heads) != (
            self.section,
            self.title,
            names,
        ):
            self.table = Table(self.section, self.title, names)
            self.found.tables.append(self.table)
        assert self.table is not None
        self.table.pages.append(self.number)
        self.table.parts.append(0)
        self.table.heads_seen.append(names)


def _cells(row: list[Piece]) -> Iterator[list[str]]:
    """The lines of each cell: those at one place from the left, one under the other."""
    lines: list[str] = []
    last: Piece | None = None
    for piece in row:
        if last is not None and not (piece.x == last.x and piece.y < last.y):
            yield lines
            lines = []
        lines.append(piece.text)
        last = piece
    yield lines


def _pieces(page: PageObject) -> Iterator[Piece]:
    maps = {
        name[1:].encode(): _map_of(font.get_object()) for name, font in page["/Resources"]["/Font"].items()
    }
    contents = page.get_contents()
    for found in DRAWN.finditer(contents.get_data() if contents is not None else b""):
        if found[1] is None:
            x1, y1, x2, y2 = (float(found[number]) for number in range(4, 8))
            if y1 == y2 and x2 > x1:
                yield Piece(x1, y1, 0.0, "", x2)
            continue
        sizes, text = [], ""
        for font, size, codes in SET.findall(found[3]):
            sizes.append(float(size))
            text += _said(maps[font], codes)
        usual = [size for size in (*sizes, *(round(each / SIGN, 1) for each in sizes)) if size in STYLES]
        yield Piece(float(found[1]), float(found[2]), (usual or sizes or [CELLS[0]])[0], text)


def _code(found: re.Match[bytes]) -> int:
    if found[1] is None:
        return found[2][0]
    return int(found[1], 8) if len(found[1]) == 3 else found[1][0]


def _map_of(font: object) -> bytes:
    """A font's own map to Unicode."""
    return font["/ToUnicode"].get_object().get_data()  # type: ignore[index, no-any-return]


@cache
def _said(map_of_font: bytes, codes: bytes) -> str:
    """The characters of a text that is set in a font."""
    characters = _characters(map_of_font)
    return "".join(characters[_code(each)] for each in CODE.finditer(codes))


@cache
def _characters(data: bytes) -> dict[int, str]:
    """A font's characters by their codes."""
    found: dict[int, str] = {}
    for block in re.findall(rb"beginbfrange(.*?)endbfrange", data, re.DOTALL):
        for first, _, texts in re.findall(rb"<(\w+)>\s*<(\w+)>\s*(\[.*?\]|<\w+>)", block, re.DOTALL):
            for number, text in enumerate(re.findall(rb"<(\w+)>", texts)):
                found[int(first, 16) + number] = bytes.fromhex(text.decode()).decode("utf-16-be")
    for block in re.findall(rb"beginbfchar(.*?)endbfchar", data, re.DOTALL):
        for code, text in re.findall(rb"<(\w+)>\s*<(\w+)>", block):
            found[int(code, 16)] = bytes.fromhex(text.decode()).decode("utf-16-be")
    return found
