"""A complaint: the place in a spec file, what is wrong there, and what would be right.

Reading never stops at the first mistake: mistakes are gathered as records and all shown.
"""

import difflib
from collections.abc import Iterable
from dataclasses import dataclass

RecordKey = tuple[str, str]  # (kind, id)


@dataclass(frozen=True, order=True)
class Complaint:
    """One mistake in a spec, with its place; `spoils` names the records that cannot be used for it."""

    path: str
    line: int  # from 1, as editors count
    column: int
    wrong: str
    right: str
    spoils: frozenset[RecordKey] = frozenset()

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}: {self.wrong}; {self.right}"


@dataclass(frozen=True)
class Mistake:
    """A mistake at a path of keys inside one record, not yet turned into a place of a file."""

    at: tuple[str | int, ...]
    wrong: str
    right: str
    on_key: bool = False  # the key itself is wrong, not what is written after it


class Refusal(ValueError):  # noqa: N818 – the reader refuses a value
    """A value that cannot be read: what is wrong with it and what would be right, without a place yet."""

    def __init__(self, wrong: str, right: str) -> None:
        self.wrong = wrong
        self.right = right
        super().__init__(f"{wrong}; {right}")


def shown(text: str) -> str:
    """The text in quotes for a message: on one line, not longer than a glance, nothing invisible."""
    line = "".join(letter if letter.isprintable() else "�" for letter in " ".join(text.split()))
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
