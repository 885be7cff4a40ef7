"""A booklet from front to back: chapters find their pages, contents and index are written, all is drawn.

title page, contents, how to use        numbered i, ii …
the tables, copies of cards, index      numbered 1, 2 …
"""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby
from typing import Literal

from cardgen.booklet.tables import Booklet, BookTable, Chapter
from cardgen.paper.book.blocks import Block, Leader, blocks_of_lines, heading, leader, paragraph
from cardgen.paper.book.cards import CardSide, card_sides
from cardgen.paper.book.flow import WHOLE, BodyPage, Flow, Stretch, column_width, draw_body
from cardgen.paper.book.style import SIDE, TOP, Sheet, draw_foot, draw_head, sheet_for
from cardgen.paper.book.table_words import TableWords
from cardgen.paper.press.document import Area, Bookmark, Drawing, Surface, Ways
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typeface import typeface, weight_of
from cardgen.paper.words.wording import TemplateFiles, Words, environment
from cardgen.terms import SYSTEMS

FOLDED = 16  # rows, at least, of a table that is folded into two columns
MANY_ALIKE = 6  # tables of one kind in a chapter: of more the index tells, not the contents
PART_OF_NAME = re.compile(r"(\d+)")
TITLE_SIZE = 30.0  # pt, of the title page
TITLE_FROM_TOP = 62.0  # mm
INDEX_COLUMNS, CONTENTS_COLUMNS = 3, 2
INDEX = "index"  # what the contents lead to as the others lead to a chapter

Page = BodyPage | CardSide


def whole_booklet(booklet: Booklet, templates: TemplateFiles) -> Drawing:
    """The whole booklet; raises PaperError for what cannot be put on paper, naming the template."""
    surfaces, ways = drawn_booklet(booklet, templates)
    keywords = f"booklet {booklet.id}, code {booklet.code}, units {booklet.units}"
    return Drawing(tuple(surfaces), booklet.title, booklet.code, keywords, ways)


def drawn_booklet(booklet: Booklet, templates: TemplateFiles) -> tuple[list[Surface], Ways]:
    """Every page drawn, and the ways through them."""
    told = {"chapters": [chapter.name for chapter in booklet.chapters]}
    words = Words(environment(templates, "tables"), {"b": booklet, "systems": SYSTEMS[booklet.units], **told})
    sheet = sheet_for(booklet.paper, booklet.units, words)
    tables = TableWords(words)
    body = _body(booklet, tables, sheet)
    if booklet.with_cards:
        cards = [part.card for part in booklet.parts if part.card is not None]
        body += [side for card in cards for side in card_sides(card, sheet, templates)]
    body += _index(booklet, tables, sheet, _places(body))
    front = _front(words, tables, sheet, body)
    pages = [*front, *body]
    labels = ["", *map(_roman, range(2, len(front) + 1)), *map(str, range(1, len(body) + 1))]
    marks = [
        Bookmark(each.level, each.text, number) for number, page in enumerate(pages) for each in page.headings
    ]
    surfaces = [_drawn(page, tables, sheet, label) for page, label in zip(pages, labels, strict=True)]
    return surfaces, Ways(marks, list(_areas(pages, sheet)), len(front), opens_at=1)


def _body(booklet: Booklet, tables: TableWords, sheet: Sheet) -> list[Page]:
    """The chapters one behind the other, each with its title and what it says of itself."""
    flow = Flow(sheet)
    for chapter in booklet.chapters:
        opening: list[Block] = [
            heading(0, tables.word(f"chapter.{chapter.name}"), sheet.width, sheet, chapter),
            *(paragraph(body, sheet.width, sheet.looks.body) for body in tables.about(chapter.name)),
        ]
        flow.chapter(opening, list(_stretches(chapter, tables, sheet)))
    return [*flow.pages]


def _stretches(chapter: Chapter, tables: TableWords, sheet: Sheet) -> Iterator[Stretch]:
    """Tables side by side that have room there, and those between them that ask for the whole width.

    A long one is folded by itself. A short one that stands alone in its columns has the whole width: it would
    be crumbs.
    """
    of_kind = Counter(_kind(table) for table in chapter.tables)

    def set_in(columns: int, table: BookTable) -> Stretch:
        level: Literal[1, 2] = 2 if of_kind[_kind(table)] > MANY_ALIKE else 1
        return tables.blocks(table, level, sheet, columns)

    stood = [(table, set_in(tables.columns(chapter.name), table)) for table in chapter.tables]

    def place(each: tuple[BookTable, Stretch]) -> tuple[int, BookTable | None]:
        return each[1].columns, each[0] if len(each[0].rows) > WHOLE else None

    for (columns, _), alike in groupby(stood, place):
        of_one, *others = found = list(alike)
        if columns > 1 and not others and len(of_one[0].rows) < FOLDED:
            yield set_in(1, of_one[0])
        else:
            yield Stretch(columns, tuple(block for _, each in found for block in each.blocks))


def _kind(table: BookTable) -> str:
    """What tables are alike in: the first word of their names."""
    return table.name.partition("_")[0]


def _index(booklet: Booklet, tables: TableWords, sheet: Sheet, places: dict[int, int]) -> list[Page]:
    """Names and subjects in the order that a person looks in, each with the page of its table.

    A name in letters that the type lacks is understood by the command alone.
    """
    entries: dict[str, BookTable] = {}
    for name in booklet.names:
        text = tables.plain_text(f"{name.name}, {name.of}" if name.of else name.name)
        entries.setdefault(text, name.table)
    for chapter in booklet.chapters:
        for table in chapter.tables:
            for subject in tables.subjects(table):
                entries.setdefault(subject, table)
    width = column_width(sheet, INDEX_COLUMNS)
    title = heading(0, tables.word("chapter.index"), sheet.width, sheet, INDEX)
    lines, face = [], typeface(weight_of(False, sheet.looks.body.size))
    for text in sorted(filter(lambda text: all(map(face.has, text)), entries), key=_in_order):
        page = str(places[id(entries[text])] + 1)
        lines.append(leader(((text, False),), page, width, sheet, entries[text]))
    flow = Flow(sheet)
    flow.chapter([title], [Stretch(INDEX_COLUMNS, tuple(lines))])
    return [*flow.pages]


def _front(words: Words, tables: TableWords, sheet: Sheet, body: Sequence[Page]) -> list[Page]:
    """Title, contents and how to use."""
    large = replace(sheet, section=sheet.section.sized(TITLE_SIZE))
    title, after = Flow(large), Flow(sheet)
    title.chapter(list(blocks_of_lines(words.lines("booklet_title"), sheet.width, large)), (), TITLE_FROM_TOP)
    title.pages[0].chapter = ""  # and no running head
    width = column_width(sheet, CONTENTS_COLUMNS)
    lines = [
        leader(((each.text, False),), str(number), width, sheet, each.anchor, not each.level)
        for number, page in enumerate(body, 1)
        for each in page.headings
        if each.level < 2
    ]
    contents = heading(0, tables.word("chapter.contents"), sheet.width, sheet)
    after.chapter([contents], [Stretch(CONTENTS_COLUMNS, tuple(lines))])
    after.chapter(list(blocks_of_lines(words.lines("booklet_how_to"), sheet.width, sheet)))
    return [*title.pages, *after.pages]


def _places(pages: Sequence[Page]) -> dict[int, int]:
    """The page of each chapter's and each table's title, by what it is the title of."""
    return {
        id(each.anchor): number
        for number, page in enumerate(pages)
        for each in page.headings
        if each.anchor is not None
    }


def _areas(pages: Sequence[Page], sheet: Sheet) -> Iterator[Area]:
    """Every line of contents and index leads to its page."""
    places = _places(pages)
    for number, page in enumerate(pages):
        for spot in page.spots:
            block = spot.block
            if isinstance(block, Leader) and id(block.anchor) in places:
                place = SIDE + spot.x, TOP + spot.y, spot.width, block.height
                yield Area(number, *place, places[id(block.anchor)])


def _drawn(page: Page, tables: TableWords, sheet: Sheet, label: str) -> Surface:
    """A page as it is printed; without a label it has no running head either."""
    surface = Surface(sheet.paper.width, sheet.paper.height)
    pen = Pen(surface)
    if label:
        draw_head(pen, sheet, tables.word("running.head"), page)
    if isinstance(page, CardSide):
        page.draw(pen.at(SIDE, TOP))
    else:
        draw_body(pen.at(SIDE, TOP), page, sheet, tables.word("running.continued"))
    if label:
        draw_foot(pen, sheet, tables.word("running.foot"), label)
    return surface


def _in_order(name: str) -> list[tuple[int, int, str]]:
    """As a person puts names in order: Morse 2 before Morse 10."""
    return [
        (0, int(part), "") if part.isdigit() else (1, 0, part.casefold())
        for part in PART_OF_NAME.split(name)
        if part
    ]


def _roman(number: int) -> str:
    """1 → i, 4 → iv: how the pages before the tables are numbered."""
    text = ""
    for value, letters in ((10, "x"), (9, "ix"), (5, "v"), (4, "iv"), (1, "i")):
        while number >= value:
            text, number = text + letters, number - value
    return text
