"""A booklet from front to back: sections find their pages, contents and index are written, all is joined."""

import re
from collections.abc import Iterator, Mapping
from typing import Any

from cardgen.booklet.tables import Booklet
from cardgen.paper.book.binder import Binder, BoundAt, roman
from cardgen.paper.book.join import Area, Bookmark, Properties, joined
from cardgen.paper.book.parts import CardPages
from cardgen.paper.book.sections import BookletSection, Running, set_section, title_page, words_with
from cardgen.paper.book.style import SIDE, TOP, Sheet, sheet_for
from cardgen.paper.book.table_figures import TableFigures
from cardgen.paper.press.document import pdf_bytes
from cardgen.paper.words.wording import TemplateFiles, Words, environment

STANDARDS, STOCK = "standards", "stock"
TABLES = (
    "conversions",
    STANDARDS,
    STOCK,
    "swivel",
    "test_bar",
    "correction",
    "sine_bar",
    "rolls",
    "limits",
)
LISTED = 1  # the deepest headings that the contents list
PART_OF_NAME = re.compile(r"(\d+)")


def booklet_pdf(booklet: Booklet, templates: TemplateFiles) -> bytes:
    """The whole booklet; raises PaperError for what cannot be put on paper, naming the template."""
    words = Words(environment(templates, "tables"), {"b": booklet, "f": TableFigures(booklet.units)})
    sheet = sheet_for(booklet.paper, booklet.units, words)
    body = Binder(str)
    tables = {name: body.add(set_section(_template(name), words, sheet)) for name in TABLES}
    cards = _add_parts(body, booklet, words, sheet, templates)
    body.add(set_section(_template("sources"), words, sheet))
    index = _index(booklet, tables[STANDARDS], tables[STOCK], cards)
    tables["index"] = body.add(set_section(_template("index"), words_with(words, index), sheet))
    front = _front(words, sheet, body, {name: placed.first for name, placed in tables.items()})
    return _bound(booklet, front, body, Running(words))


def _template(name: str) -> str:
    return f"booklet_{name}"


def _add_parts(
    body: Binder, booklet: Booklet, words: Words, sheet: Sheet, templates: TemplateFiles
) -> Mapping[str, BoundAt]:
    """The list of parts and each part's card; where each card stands."""
    if not booklet.parts:
        return {}
    body.add(set_section(_template("parts"), words, sheet))
    return {
        part.id: body.add(CardPages(part.card, sheet, templates))
        for part in booklet.parts
        if part.card is not None
    }


def _front(words: Words, sheet: Sheet, body: Binder, pages: Mapping[str, int]) -> Binder:
    """Title, contents and how to use; set again until the contents are as long as they were taken to be."""
    title = title_page(_template("title"), words, sheet)
    how_to = set_section(_template("how_to"), words_with(words, {"pages": pages}), sheet)
    length = 1
    while True:
        how_to_page = len(title.pages) + length + 1
        entries = [{"level": 0, "title": how_to.title, "page": roman(how_to_page)}]
        entries += [
            {"level": level, "title": text, "page": str(page)} for level, text, page in body.headings(LISTED)
        ]
        contents = set_section(_template("contents"), words_with(words, {"entries": entries}), sheet)
        if len(contents.pages) == length:
            break
        length = len(contents.pages)
    front = Binder(roman)
    for section in (title, contents, how_to):
        front.add(section)
    return front


def _index(
    booklet: Booklet, standards: BoundAt, stock: BoundAt, cards: Mapping[str, BoundAt]
) -> dict[str, Any]:
    """Where each part and each taper stands."""
    series_page = {title: page for level, title, page in standards.marks() if level == 1}
    pages = [page for level, _, page in stock.marks() if level == 2]
    paged = list(zip(booklet.stock, pages, strict=True))
    by_name = {name: page for table, page in paged for name in table.names}
    by_part = {part: page for table, page in paged for part in table.parts}
    return {
        "index_of_parts": [
            {
                "part": part,
                "page": cards[part.id].first if part.id in cards else "–",
                "stock_page": by_part.get(part.id, "–"),
            }
            for part in booklet.parts
        ],
        "index_of_tapers": [
            {
                "line": line,
                "standard_page": series_page.get(line.series or "", "–"),
                "stock_page": by_name[line.name],
            }
            for line in sorted(booklet.lines, key=lambda line: _in_order(line.name))
        ],
    }


def _in_order(name: str) -> list[tuple[int, int, str]]:
    """As a person puts names in order: Morse 2 before Morse 10."""
    return [
        (0, int(part), "") if part.isdigit() else (1, 0, part.casefold())
        for part in PART_OF_NAME.split(name)
        if part
    ]


def _bound(booklet: Booklet, front: Binder, body: Binder, running: Running) -> bytes:
    """Draw every section, make it a PDF, join them."""
    pdfs: list[bytes] = []
    bookmarks: list[Bookmark] = []
    for binder, before in ((front, 0), (body, front.count)):
        for placed in binder.placed:
            surfaces = placed.drawn(binder.label, running)
            pdfs.append(pdf_bytes(surfaces, title=placed.section.title, subject=booklet.code))
            bookmarks += [Bookmark(level, name, before + page - 1) for level, name, page in placed.marks()]
    _, contents, how_to = front.placed
    return joined(
        pdfs,
        bookmarks,
        tuple(_links(contents, how_to, front.count, body)),
        front_pages=front.count,
        opens_at=contents.first - 1,
        properties=Properties(
            title=booklet.title,
            subject=booklet.code,
            keywords=f"booklet {booklet.id}, code {booklet.code}, units {booklet.units}",
        ),
    )


def _links(contents: BoundAt, how_to: BoundAt, front_pages: int, body: Binder) -> Iterator[Area]:
    """Every line of the contents leads to its page."""
    section = contents.section
    if not isinstance(section, BookletSection):
        raise TypeError("the contents are a section")
    targets = [how_to.first - 1, *(front_pages + page - 1 for _, _, page in body.headings(LISTED))]
    spots = [(number, spot) for number, page in enumerate(section.pages) for spot in page.leaders]
    for (number, spot), target in zip(spots, targets, strict=True):
        yield Area(
            page=contents.first - 1 + number,
            x=SIDE + spot.x,
            y=TOP + spot.y,
            width=section.column_width,
            height=spot.block.height,
            to=target,
        )
