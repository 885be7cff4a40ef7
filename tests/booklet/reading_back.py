"""Reads a booklet's PDF back with pypdf: pages → tables of cells, as a person would copy them out.

What a piece of text is follows from its size and its place: a section's title is set in 17 pt, a table's in
11, that of one of many alike in 9.4, heads in 7.6, cells in 8.3 (their fractions smaller). Nothing of the
package is used.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from io import BytesIO

from pypdf import PageObject, PdfReader

SECTION, TABLE, SUB, BODY, SMALL, HEAD, CELL = 17.0, 11.0, 9.4, 9.2, 7.8, 7.6, 8.3
STYLES = (SECTION, TABLE, SUB, BODY, SMALL, HEAD, CELL)
FOOT_PT, HEAD_PT = 30.0, 45.0  # of the page's edges: the running head and foot lie beyond
CONTINUED = ", continued"


@dataclass
class Piece:
    """What is set at one place: a cell, a head, a line of words."""

    x: float
    y: float
    size: float
    text: str


@dataclass
class Table:
    """A table put together again from every page it stands on."""

    section: str
    title: str
    sub: str
    heads: list[str]
    rows: list[list[str]] = field(default_factory=list)
    parts: list[int] = field(default_factory=list)  # rows on each of its pages
    pages: list[int] = field(default_factory=list)
    heads_seen: list[list[str]] = field(default_factory=list)

    @property
    def name(self) -> str:
        return " / ".join(part for part in (self.section, self.title, self.sub) if part)


@dataclass
class Words:
    """Words between the tables, put together under their heading."""

    section: str
    title: str
    sub: str
    text: str


@dataclass
class ReadBack:
    """Everything that was read."""

    tables: list[Table]
    words: list[Words]
    pages: list[list[Piece]]  # everything on each page, running head and foot too

    def text(self, page: int) -> str:
        """All that stands on a page, run together."""
        return plain(" ".join(piece.text for piece in self.pages[page]))

    def foot(self, page: int) -> list[str]:
        """What stands at the foot of a page."""
        return [plain(piece.text) for piece in self.pages[page] if piece.y <= FOOT_PT]

    def of(self, section: str, title: str = "") -> list[Table]:
        """The tables of a section; of one title, where that is given."""
        return [each for each in self.tables if each.section == section and title in ("", each.title)]

    def table(self, section: str, title: str) -> Table:
        """The one table of this title."""
        (found,) = self.of(section, title)
        return found


def plain(text: str) -> str:
    """With the spaces and slashes of a keyboard."""
    return text.replace("\u00a0", " ").replace("⁄", "/").strip()


def read_back(pdf: bytes) -> ReadBack:
    """Every table and all words of a booklet but those of the parts' cards."""
    found = ReadBack([], [], [])
    section = title = sub = ""
    table: Table | None = None
    for number, page in enumerate(PdfReader(BytesIO(pdf)).pages):
        heads: list[Piece] = []
        again = table  # the table that may go on at the top of this page
        table, before_size = None, 0.0
        pieces = _pieces(page)
        found.pages.append(pieces)
        body = [piece for piece in pieces if FOOT_PT < piece.y < float(page.mediabox.height) - HEAD_PT]
        for line in _lines(body):
            size, text = line[0].size, " ".join(piece.text for piece in line)
            wrapped, before_size = size == before_size, size  # a heading may need a second line
            if size not in STYLES:
                break  # a card: its pages have styles of their own
            if size == HEAD:
                heads += line
            elif size == CELL:
                if table is None or heads:
                    # heads repeated: the same table goes on, on a further page or in a further column
                    before = table or again
                    names = [piece.text for piece in heads]
                    if (
                        before is not None
                        and (before.section, before.title, before.sub)
                        == (
                            section,
                            title,
                            sub,
                        )
                        and before.heads == names
                    ):
                        table = before
                    else:
                        table = Table(section, title, sub, names)
                        found.tables.append(table)
                    table.pages.append(number)
                    table.parts.append(0)
                    table.heads_seen.append(names)
                    heads = []
                table.rows.append([plain(piece.text) for piece in line])
                table.parts[-1] += 1
            elif size == SUB and text.endswith(CONTINUED):
                assert again is not None, f"page {number + 1}: {text!r} goes on from nowhere"
            elif size == SECTION:
                section, title, sub = f"{section} {plain(text)}" if wrapped else plain(text), "", ""
                table = None
            elif size == TABLE:
                title, sub, table = f"{title} {plain(text)}" if wrapped else plain(text), "", None
            elif size == SUB:
                sub, table = f"{sub} {plain(text)}" if wrapped else plain(text), None
            else:
                last = found.words[-1] if found.words else None
                if last and (last.section, last.title, last.sub) == (section, title, sub):
                    last.text += " " + plain(text)
                else:
                    found.words.append(Words(section, title, sub, plain(text)))
    return found


def _pieces(page: PageObject) -> list[Piece]:
    """In the order they were drawn; what is set at one place in one go is one piece."""
    pieces: list[Piece] = []

    def visit(text: str, _: object, matrix: list[float], __: object, size: float) -> None:
        text = text.strip("\n")
        x, y = round(matrix[4], 2), round(matrix[5], 2)
        if pieces and (pieces[-1].x, pieces[-1].y) == (x, y):
            pieces[-1].text += text
            if (
                text.strip() and pieces[-1].size not in STYLES
            ):  # it began with a fraction, or with a sign of its own size
                pieces[-1].size = size
        elif text.strip():
            pieces.append(Piece(x, y, size, text))

    page.extract_text(visitor_text=visit)
    return pieces


def _lines(pieces: list[Piece]) -> Iterator[list[Piece]]:
    """Neighbours on one base line and of one size."""
    line: list[Piece] = []
    for piece in pieces:
        if line and (piece.y, piece.size) != (line[0].y, line[0].size):
            yield line
            line = []
        line.append(piece)
    if line:
        yield line
