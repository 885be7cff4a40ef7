"""A table of the booklet gets its words and becomes blocks: title, note, figures, worked line, notes below.

The words are lines 'key: words' of templates/booklet_tables.j2. Of a table `test_bar`:

    test_bar.title: Rise along the test bar, {unit}
    test_bar.about: what is told above it, small        (may be left out, as all that follow)
    test_bar.worked: a line of it, worked: {taper}: … <b>{cell}</b>
    test_bar.index: what the index calls it; in a second way
    test_bar.rise: the head of its column `rise`        (or head.rise, where many tables have such a column)

In braces stands what the table tells: `unit` and whatever is its `told`; in a worked line also the row's
cells by their columns, `cell` for the one that is worked and `at` for what stands over it.
"""

import html
import re
from collections.abc import Iterator, Mapping
from functools import partial
from itertools import groupby
from typing import Literal

from cardgen.booklet.tables import Amount, BookColumn, BookTable, Cell, Worded
from cardgen.digits import NBSP, with_fractions
from cardgen.paper.book.blocks import (
    Block,
    ColumnsHeading,
    Picture,
    fits_in_a_column,
    heading,
    paragraph,
    table_block,
)
from cardgen.paper.book.flow import Stretch, column_width
from cardgen.paper.book.rub_pictures import picture_height, rub_pictures
from cardgen.paper.book.style import Sheet
from cardgen.paper.book.written import amount, written
from cardgen.paper.press.ruled_table import Row
from cardgen.paper.press.typesetting import Runs
from cardgen.paper.words.wording import TemplateError, Words, marked

WORDS = "booklet_tables"
DASH = "–"
PLACE = re.compile(r"\{(\w+)\}")
ALIGNED = ">"  # before the head of a column whose figures stand with their points in line

Told = Mapping[str, str]


class TableWords:
    """The words of one booklet's tables."""

    def __init__(self, words: Words) -> None:
        self._words = words
        self._labels = words.labels(WORDS)

    def word(self, key: str) -> str:
        """Words that must be there."""
        return self._words.label(WORDS, key)

    def columns(self, chapter: str) -> int:
        """How many columns the pages of a chapter have for its narrow tables."""
        return int(self._labels.get(f"columns.{chapter}", "1"))

    def about(self, chapter: str) -> tuple[Runs, ...]:
        """What a chapter says below its title."""
        key = f"about.{chapter}"
        return (self._filled(key, {}),) if self._labels.get(key) else ()

    @staticmethod
    def plain_text(text: str) -> str:
        """A text of the library as it is set."""
        return with_fractions(text)

    def title(self, table: BookTable) -> str:
        """The title of a table, without marks; one that has none belongs to the table before it."""
        key = f"{table.name}.title"
        return self._plain(key, told_by(table)) if key in self._labels else ""

    def subjects(self, table: BookTable) -> tuple[str, ...]:
        """What the index calls a table."""
        key = f"{table.name}.index"
        return tuple(self._plain(key, told_by(table)).split("; ")) if key in self._labels else ()

    def blocks(self, table: BookTable, level: Literal[1, 2], sheet: Sheet, columns: int) -> Stretch:
        """Everything of a table, from its title to the notes below it; in one of so many columns where it has
        room there, else over the whole width."""
        told, small = told_by(table), sheet.looks.small
        cells = self._cells(table, told)
        if columns > 1 and cells[2] and not fits_in_a_column(*cells, column_width(sheet, columns), sheet):
            columns = 1
        width = column_width(sheet, columns)

        def below() -> Iterator[Block]:
            if title := self.title(table):
                yield heading(level, title, width, sheet, table)
            if f"{table.name}.about" in self._labels:
                yield paragraph(self._filled(f"{table.name}.about", told), width, small)
            if table.picture is not None:
                draw = partial(rub_pictures, sheet=sheet, word=self.word)
                yield Picture(picture_height(sheet), draw)
            if table.rows:
                yield table_block(*cells, width, sheet)
            if table.worked is not None and table.rows and f"{table.name}.worked" in self._labels:
                yield paragraph(self._filled(f"{table.name}.worked", self._worked(table, told)), width, small)
            for note in table.notes:
                yield paragraph(self._said(table, note), width, small)

        return Stretch(columns, tuple(below()))

    def _cells(
        self, table: BookTable, told: Told
    ) -> tuple[tuple[Runs, ...], tuple[ColumnsHeading, ...], tuple[Row, ...]]:
        head = tuple(
            (
                (
                    ("" if each.way.kind == "text" and each.at is None else ALIGNED)
                    + self._head(table, each, told),
                    False,
                ),
            )
            for each in table.columns
        )
        rows = tuple(
            Row(
                tuple(
                    ((self.cell(table, value, column), False),)
                    for value, column in zip(row, table.columns, strict=True)
                )
            )
            for row in table.rows
        )
        return head, tuple(self._groups(table, told)), rows

    def _groups(self, table: BookTable, told: Told) -> Iterator[ColumnsHeading]:
        """Words over columns of one group, and over those of one key that hold for unlike figures."""
        first = 0
        for (group, key, inside), columns in groupby(table.columns, _over):
            count = len(list(columns))
            if group or key:
                over = dict(told) | {"told": with_fractions(inside)}
                yield ColumnsHeading(self._text(table, group or key, over), first, first + count - 1)
            first += count

    def _head(self, table: BookTable, column: BookColumn, told: Told) -> str:
        if column.at is not None:
            return with_fractions(column.at) if isinstance(column.at, str) else amount(column.at)
        return self._text(table, column.key, {**told, "unit": column.way.system or told["unit"]})

    def cell(self, table: BookTable, value: Cell, column: BookColumn) -> str:
        """A cell as it is written."""
        if value is None:
            return DASH
        if isinstance(value, Worded):
            return "".join(text for text, _ in self._said(table, value))
        if isinstance(value, Amount):
            return amount(value)
        return with_fractions(value) if isinstance(value, str) else written(value, column.way)

    def _worked(self, table: BookTable, told: Told) -> Told:
        """The cells of the worked row by their columns; lengths of one key are one length in two units."""
        row, at = table.worked or (0, 0)
        worked = table.columns[at]
        cells: dict[str, str] = {}
        for column, value in zip(table.columns, table.rows[row], strict=True):
            text = self.cell(table, value, column)
            if column.way.kind == "length":
                text += f"{NBSP}{column.way.system}"
                cells[column.key] = f"{cells[column.key]} = {text}" if column.key in cells else text
            elif column.key not in cells or column.group == worked.group:
                cells[column.key] = text
        unit = f"{NBSP}{worked.way.system}" if worked.way.kind == "length" else ""
        cell = self.cell(table, table.rows[row][at], worked) + unit
        return {**told, **cells, "cell": cell, "at": self._head(table, worked, told)}

    def _said(self, table: BookTable, said: Worded) -> Runs:
        texts = {
            key: amount(value) if isinstance(value, Amount) else value for key, value in said.told.items()
        }
        key = f"{table.name}.{said.key}"
        return self._filled(key if key in self._labels else f"note.{said.key}", {**told_by(table), **texts})

    def _text(self, table: BookTable, key: str, told: Told) -> str:
        own = f"{table.name}.{key}"
        return self._plain(own if own in self._labels else f"head.{key}", told)

    def _plain(self, key: str, told: Told) -> str:
        return "".join(text for text, _ in self._filled(key, told))

    def _filled(self, key: str, told: Told) -> Runs:
        """The words of a key with what is told in them, common fractions set."""

        def place(found: re.Match[str]) -> str:
            if found[1] not in told:
                raise TemplateError(
                    f"{WORDS}.j2: '{key}' names {{{found[1]}}}; there is {', '.join(sorted(told))}"
                )
            return html.escape(with_fractions(told[found[1]]), quote=False)

        return marked(PLACE.sub(place, self.word(key)), WORDS)


def told_by(table: BookTable) -> Told:
    """What a table tells its words."""
    texts = {key: amount(value) if isinstance(value, Amount) else value for key, value in table.told.items()}
    return {"unit": table.system or "", **texts}


def _over(column: BookColumn) -> tuple[str, str, str]:
    """What columns side by side share that stand under the same words; nothing where none stand over them."""
    return (column.group, column.key if column.at is not None and not column.group else "", column.told)
