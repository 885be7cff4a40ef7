"""Everything that goes into a card → the short code that names it.

An input is named the same on every machine, and only names and contents are digested: no paths, no
times. Two shops with the same specs, templates and program get the same code.
"""

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property, lru_cache

CODE_DIGITS = 8


@dataclass(frozen=True)
class Input:
    """One thing that a card is made from."""

    name: str  # 'part SN-204', 'layout', 'program'
    content: bytes
    file: str = ""  # where a person finds it: 'specs/spindles.yaml'; not digested
    first_line: int = 1  # of this content in that file
    attach: bool = False  # the card carries it whole

    @cached_property
    def sha256(self) -> str:
        """Its content's; most inputs are every card's."""
        return sha256(self.content)


@lru_cache(maxsize=1024)  # a gauge or a machine is an input of many cards, and one for all of them
def text_input(name: str, text: str, file: str = "", first_line: int = 1, attach: bool = False) -> Input:
    """An input from text, its line ends made alike: a checkout on another system is no change."""
    content = text.replace("\r\n", "\n").replace("\r", "\n").encode("utf-8")
    return Input(name, content, file, first_line, attach)


def sha256(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def fingerprint(inputs: Iterable[Input]) -> str:
    """Digest of names and contents, in the order of the names; raises ValueError when two share a name."""
    ordered = sorted(inputs, key=lambda one: one.name)
    if len({one.name for one in ordered}) < len(ordered):
        raise ValueError(f"two inputs share a name: {[one.name for one in ordered]}")
    whole = hashlib.sha256()
    for one in ordered:
        for piece in (one.name.encode("utf-8"), one.content):
            # The length goes first, so that no two lists of inputs run together to the same bytes.
            whole.update(b"%d:" % len(piece))
            whole.update(piece)
    return whole.hexdigest()


def card_code(part_id: str, revision: str, inputs: Iterable[Input]) -> str:
    """'SN-204-B-1a2b3c4d': part, revision (left out where there is none), start of the fingerprint."""
    return "-".join(word for word in (part_id, revision, fingerprint(inputs)[:CODE_DIGITS]) if word)
