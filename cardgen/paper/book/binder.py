"""Sections one behind the other: each knows the number of its first page."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from cardgen.paper.book.parts import CardPages
from cardgen.paper.book.sections import BookletSection, Running
from cardgen.paper.press.document import Surface

Label = Callable[[int], str]  # a page's number, counted from 1, as it is printed


@dataclass(frozen=True)
class BoundAt:
    """A section, or a part's card, with the number of its first page, counted from 1."""

    section: BookletSection | CardPages
    first: int

    @property
    def count(self) -> int:
        return len(self.section.pages)

    def marks(self) -> Iterator[tuple[int, str, int]]:
        """(level, title, page number) of every heading."""
        for mark in self.section.marks:
            yield mark.level, mark.title, self.first + mark.page

    def drawn(self, label: Label, running: Running) -> list[Surface]:
        """Its pages as they are printed."""
        return [
            self.section.draw(number, label(self.first + number), running) for number in range(self.count)
        ]


@dataclass
class Binder:
    """A run of pages that is numbered through, and how its numbers are printed."""

    label: Label
    placed: list[BoundAt] = field(default_factory=list)

    def add(self, section: BookletSection | CardPages) -> BoundAt:
        """Put a section behind the last one."""
        made = BoundAt(section, self.count + 1)
        self.placed.append(made)
        return made

    @property
    def count(self) -> int:
        """How many pages there are so far."""
        return sum(placed.count for placed in self.placed)

    def headings(self, deepest: int) -> Iterator[tuple[int, str, int]]:
        """(level, title, page number) of every heading no deeper than this."""
        for placed in self.placed:
            yield from (mark for mark in placed.marks() if mark[0] <= deepest)


def roman(number: int) -> str:
    """1 → i, 4 → iv: how the pages before the tables are numbered."""
    text = ""
    for value, letters in ((10, "x"), (9, "ix"), (5, "v"), (4, "iv"), (1, "i")):
        while number >= value:
            text, number = text + letters, number - value
    return text
