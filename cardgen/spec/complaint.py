"""A complaint: the place in a spec file, what is wrong there, and what would be right.

Reading never stops at the first mistake: mistakes are gathered as records and all shown.
"""

import difflib
import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass

RecordKey = tuple[str, str]  # (kind, id)
Place = tuple[int, int, int]  # line and column, both from 1, and how many characters are meant (0: all)
WIDEST = 100  # characters of a line that are shown below a complaint
LINE_ENDS = re.compile(r"\r\n|\n|\r")  # as editors count; YAML itself would count U+2028 too


def not_shared(key: RecordKey) -> RecordKey:
    """What no two records may share: the id but for capitals; of a shop there is one, whatever its id."""
    kind, record_id = key
    return kind, "" if kind == "shop" else record_id.casefold()


@dataclass(frozen=True, order=True)
class Complaint:
    """One mistake in a spec, with its place; `spoils` names the records that cannot be used for it."""

    path: str
    line: int  # from 1, as editors count
    column: int
    wrong: str
    right: str
    spoils: frozenset[RecordKey] = frozenset()
    text: str = ""  # the whole line, as it is written; empty where no one line is meant
    length: int = 0  # characters of it that are meant

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}: {self.wrong}; {self.right}"

    @property
    def lines(self) -> tuple[str, ...]:
        """The complaint as it is told: below it the line of the file, and a caret under all that is meant."""
        if not self.text.strip():
            return (str(self),)
        seen = "".join(map(_visible, self.text.ljust(self.column)))
        start = max(0, self.column - 1 - WIDEST // 2) if len(seen) > WIDEST else 0
        meant = slice(self.column - 1, self.column - 1 + self.length)
        indent = " " * _width(seen[start : meant.start])
        carets = "^" * max(1, _width(seen[meant][: WIDEST // 2]))
        return str(self), f"    {seen[start : start + WIDEST].rstrip()}", f"    {indent}{carets}"


@dataclass(frozen=True)
class Source:
    """Where a record stands, and the text of its own YAML document."""

    path: str
    line: int  # of the document's first line
    text: str

    def complain(
        self, place: Place, wrong: str, right: str, spoils: Iterable[RecordKey] = (), piece: str = ""
    ) -> Complaint:
        """A complaint at a place of the file; under `piece` of what stands there, where it stands once."""
        line, column, length = place
        lines = LINE_ENDS.split(self.text)
        text = lines[line - self.line] if length and 0 <= line - self.line < len(lines) else ""
        meant = text[column - 1 : column - 1 + length]
        if piece and meant.count(piece) == 1:
            column, length = column + meant.index(piece), len(piece)
        return Complaint(self.path, line, column, wrong, right, frozenset(spoils), text, length)


def _visible(letter: str) -> str:
    """A letter as it can be shown: a tab is an arrow, what cannot be seen a sign that stands for it."""
    return "→" if letter == "\t" else letter if letter.isprintable() else "�"


def _width(text: str) -> int:
    """Columns that a text takes on a terminal: none for a combining mark, two for a wide letter."""
    return sum(
        0 if unicodedata.combining(one) else 2 if unicodedata.east_asian_width(one) in "WF" else 1
        for one in text
    )


@dataclass(frozen=True)
class Mistake:
    """A mistake at a path of keys inside one record, not yet turned into a place of a file."""

    at: tuple[str | int, ...]
    wrong: str
    right: str
    on_key: bool = False  # the key itself is wrong, not what is written after it
    piece: str = ""  # of what is written there, the part that is wrong
    meant: tuple[str | int, ...] | None = None  # the key that was likely meant, which then does not lack


class Refusal(ValueError):  # noqa: N818 – the reader refuses a value
    """A value that cannot be read: what is wrong with it and what would be right, without a place yet.

    Where there is no more to say than how such a value is written, `such_as` says it for its kind of value,
    and its key has a better example of its own. `piece` is the part of it that is wrong.
    """

    def __init__(self, wrong: str, right: str = "", piece: str = "", *, such_as: str = "") -> None:
        self.wrong, self.piece, self.such_as = wrong, piece, "" if right else such_as
        self.right = right or f"write such as {such_as}"
        super().__init__(f"{wrong}; {self.right}")

    def at(self, path: tuple[str | int, ...], right: str = "") -> Mistake:
        """The refusal as a mistake at a key, with what is known there of what would be right."""
        return Mistake(path, self.wrong, right or self.right, piece=self.piece)


def shown(text: str) -> str:
    """The text in quotes for a message: on one line, not longer than a glance, nothing invisible."""
    line = "".join(map(_visible, " ".join(text.split())))
    return f"'{line[:57]}...'" if len(line) > 60 else f"'{line}'"


def nearest(word: str, known: Iterable[str], at_most: int = 3) -> list[str]:
    """The known words nearest to this one, nearest first; capitals make no difference."""
    word = word.casefold()[:80]
    scored: list[tuple[float, bool, str]] = []
    for name in dict.fromkeys(known):
        alike = difflib.SequenceMatcher(None, word, name.casefold()).ratio()
        if alike >= 0.5:
            scored.append((-alike, name[:1].casefold() != word[:1], name))
    return [name for _, _, name in sorted(scored)[:at_most]]


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Advice for an unknown word: the nearest known one, or else all that are known."""
    names = sorted(set(known))
    near = nearest(word, names, at_most=1)
    if near:
        return f"did you mean '{near[0]}'?"
    if len(names) > 12:
        return f"none of the {len(names)} that are known is near to it"
    return f"known are {one_of(names)}" if names else "none is known"


def one_of(names: Iterable[str]) -> str:
    """'a', 'b' or 'c' – the choices written out for a message."""
    quoted = [f"'{name}'" for name in names]
    return quoted[0] if len(quoted) == 1 else f"{', '.join(quoted[:-1])} or {quoted[-1]}"
