"""What a paper says of itself, wherever that is kept: in its own PDF, or in the ledger of what hangs."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

DEEPEST, MOST_DIGITS = 20, 18  # of the JSON that a paper carries


@dataclass(frozen=True)
class Ingredient:
    """One input as a card remembers it: always its digest, the text only of what the card carries."""

    name: str
    sha256: str
    text: str | None = None


@dataclass(frozen=True)
class MadeFrom:
    """What a card says of itself, read from its PDF alone."""

    kind: str
    part_id: str
    revision: str
    issue: int
    code: str
    fingerprint: str
    ingredients: tuple[Ingredient, ...]
    values: dict[str, Any]
    posted_at: tuple[str, ...]
    sealed: bool  # the file is as the program made it
    how: Mapping[str, Any] = field(default_factory=dict)  # another paper than a card was asked for
    cards_say: Mapping[str, str] = field(
        default_factory=dict
    )  # of each card that it lists, the digest of that


def plain_json(content: bytes) -> Any:
    """JSON that this program could have written; ValueError for any other.

    What no paper holds (endless figures, broken letters, lists in lists) would fail later, elsewhere.
    """
    tree = json.loads(content, parse_int=_whole)
    packed_json(tree)  # refuses what is no number and what is no text
    if _depth(tree) > DEEPEST:
        raise ValueError("it nests too deep")
    return tree


def _whole(digits: str) -> int:
    if len(digits) > MOST_DIGITS:
        raise ValueError(f"{digits[:MOST_DIGITS]}… is no figure that this program writes")
    return int(digits)


def _depth(tree: Any) -> int:
    below = tree.values() if isinstance(tree, dict) else tree if isinstance(tree, list) else ()
    return 1 + max(map(_depth, below), default=0)


def as_json(values: Any) -> bytes:
    return json.dumps(values, ensure_ascii=False, indent=1, allow_nan=False).encode("utf-8")


def packed_json(values: Any) -> bytes:
    """On one line: for what no person reads, in a tenth of the time."""
    return json.dumps(values, ensure_ascii=False, allow_nan=False).encode("utf-8")
