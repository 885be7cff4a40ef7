"""What hangs where: which paper was put up at which place or taken down there, and what it said.

    specs/hanging/*.json          one entry a file: a paper was posted, or withdrawn
    specs/hanging/papers/*.json   what each paper says that was ever posted, by its code

Text, meant for git. No file is changed once it is written, and its name ends in the digest of what it
holds: what two planners wrote lies side by side when their clones are put together. An entry names those
that it follows at its place, so no clock is asked what hangs: it is what an entry says that no other follows.
Where two planners wrote without knowing of each other there are two of them, and both are told.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Any, Literal, Protocol

from cardgen.bounds import read_file
from cardgen.shelf.digest import sha256
from cardgen.shelf.made_from import Ingredient, MadeFrom, as_json, plain_json
from cardgen.shelf.writing import clear_half_written, make_folder, write_if_different

FOLDER, PAPERS = "hanging", "papers"
ID_DIGITS = 12
WORD = (
    40  # letters of a part or a place in a file's name: its digest tells it apart, the words are for people
)

CARD = "card"
What = Literal["posted", "withdrawn"]
Spot = tuple[str, str, str]  # kind of paper, part, place as places are told apart


@dataclass(frozen=True)
class Entered:
    """That a paper was put up at a place, in the place of any other of its kind and part, or taken down."""

    what: What
    kind: str
    part_id: str
    code: str
    issue: int
    place: str
    day: str  # as written; for people, nothing is put in order by it
    by: str
    after: tuple[str, ...]  # the entries of this spot that it follows

    @property
    def spot(self) -> Spot:
        return spot(self.kind, self.part_id, self.place)


class Issued(Protocol):
    """A card that lies in the out folder."""

    @property
    def code_there(self) -> str: ...
    @property
    def issue(self) -> int: ...


@dataclass(frozen=True)
class Kept:
    """What a paper that was posted says, and the digest of its marks."""

    made: MadeFrom
    marks: str


@dataclass(frozen=True)
class Ledger:
    """Every entry, as it was read."""

    folder: Path
    entries: Mapping[str, Entered]  # by its digest
    unread: tuple[str, ...] = ()  # a line each for what is no entry
    _kept: dict[str, Kept | None] = field(default_factory=dict, compare=False, repr=False)

    @property
    def begun(self) -> bool:
        """Whether the shop keeps one at all."""
        return bool(self.entries or self.unread)

    @cached_property
    def last(self) -> dict[Spot, dict[str, Entered]]:
        """Of each spot the entries that no other follows, by their digests; more than one is doubtful."""
        followed = {each for entry in self.entries.values() for each in entry.after}
        found: dict[Spot, dict[str, Entered]] = {}
        for digest, entry in self.entries.items():
            if digest not in followed:
                found.setdefault(entry.spot, {})[digest] = entry
        return found

    def of_part(self, kind: str, part_id: str) -> tuple[Entered, ...]:
        """Each card of a part that was ever posted, once, the latest issue first."""
        return self._by_part.get((kind, part_id), ())

    @cached_property
    def _by_part(self) -> dict[tuple[str, str], tuple[Entered, ...]]:
        found: dict[tuple[str, str], dict[tuple[int, str], Entered]] = {}
        for each in self.entries.values():
            if each.code:
                found.setdefault((each.kind, each.part_id), {})[each.issue, each.code] = each
        return {part: tuple(mine[key] for key in sorted(mine, reverse=True)) for part, mine in found.items()}

    def doubtful(self, cards: Mapping[str, Issued]) -> set[str]:
        """Of these cards, each true and in the out folder, those of which something else was entered."""
        hung: dict[str, set[str]] = {}
        for (kind, part_id, _), last in self.last.items():
            if kind == CARD:
                hung.setdefault(part_id, set()).update(e.code for e in last.values() if e.what == "posted")
        gone = {part for part, card in cards.items() if card.issue > 1 and (CARD, part) not in self._by_part}
        return gone | {
            part_id
            for part_id in {part_id for kind, part_id in self._by_part if kind == CARD} & cards.keys()
            if hung[part_id] != {cards[part_id].code_there}
        }

    @property
    def places(self) -> tuple[str, ...]:
        """Every place that an entry names."""
        return tuple(dict.fromkeys(each.place for each in self.entries.values()))

    def kept(self, code: str) -> Kept | None:
        """What is kept of the paper of this code; None where nothing is."""
        if code not in self._kept:
            found = (_kept(path) for path in sorted((self.folder / PAPERS).glob(f"{_word(code)}-*.json")))
            self._kept[code] = next((each for each in found if each and each.made.code == code), None)
        return self._kept[code]


NO_LEDGER = Ledger(Path(), {})


def spot(kind: str, part_id: str, place: str) -> Spot:
    return kind, part_id, place_key(place)


@lru_cache(maxsize=4096)
def place_key(place: str) -> str:
    """By which places are told apart: neither capitals nor the width of a gap make another place."""
    return " ".join(place.split()).casefold()


def read_ledger(specs: Path) -> Ledger:
    """The ledger of a shop's specs; empty where none was begun."""
    folder = specs / FOLDER
    entries, unread = {}, []
    for path in sorted(folder.glob("*.json")):
        name = f"{specs.name}/{FOLDER}/{path.name}"
        try:
            entries[path.stem.rsplit("-", 1)[-1]] = _entry(plain_json(read_file(path, "spec.file")))
        except OSError as trouble:
            unread.append(f"{name}:1:1: this entry cannot be read ({trouble.strerror}); allow it to be read")
        except (AttributeError, KeyError, TypeError, ValueError, RecursionError):
            unread.append(f"{name}:1:1: this is no entry of what hangs; bring it back, or take it away")
    return Ledger(folder, entries, tuple(unread))


def post(ledger: Ledger, paper: Kept, places: Sequence[str], day: date, by: str) -> tuple[Entered, ...]:
    """Enter that a paper hangs at these places; what is entered already is not entered again.

    What the paper says is kept first. Only for the one who holds the shop's lock.
    """
    made = paper.made
    _begin(ledger)
    if ledger.kept(made.code) is None:
        _write(ledger.folder / PAPERS, _word(made.code), _paper_record(paper))
    new = [
        Entered("posted", made.kind, made.part_id, made.code, made.issue, place, day.isoformat(), by, ())
        for place in places
    ]
    return tuple(_enter(ledger, new))


def withdraw(
    ledger: Ledger, kind: str, part_id: str, places: Iterable[str], day: date, by: str
) -> tuple[Entered, ...]:
    """Enter that a part's paper hangs at these places no more; as `post`."""
    _begin(ledger)
    last = ledger.last
    new = []
    for place in places:
        hung = next(iter(last.get(spot(kind, part_id, place), {}).values()), None)
        code, issue = (hung.code, hung.issue) if hung else ("", 0)
        new.append(Entered("withdrawn", kind, part_id, code, issue, place, day.isoformat(), by, ()))
    return tuple(_enter(ledger, new))


def _begin(ledger: Ledger) -> None:
    make_folder(ledger.folder / PAPERS)
    clear_half_written(ledger.folder)


def _enter(ledger: Ledger, new: Iterable[Entered]) -> Iterator[Entered]:
    last = ledger.last
    for entry in new:
        before = last.get(entry.spot, {})
        said = {(each.what, each.code if each.what == "posted" else "") for each in before.values()}
        if said == {(entry.what, entry.code if entry.what == "posted" else "")}:
            continue
        after = tuple(sorted(before))
        name = f"{entry.day}-{_word(entry.part_id)}-{_word(entry.place)}-{entry.what}"
        _write(ledger.folder, name, {**_entry_record(entry), "after": list(after)})
        yield entry


def _write(folder: Path, name: str, record: Mapping[str, Any]) -> None:
    content = as_json(record) + b"\n"
    write_if_different(folder / f"{name}-{sha256(content)[:ID_DIGITS]}.json", content)


def _word(text: str) -> str:
    """As much of a text as any file system takes."""
    return re.sub(r"[^A-Za-z0-9]+", "-", text).strip("-")[:WORD] or "x"


def _entry_record(entry: Entered) -> dict[str, Any]:
    return {
        "what": entry.what,
        "paper": entry.kind,
        "part": entry.part_id,
        "code": entry.code,
        "issue": entry.issue,
        "place": entry.place,
        "day": entry.day,
        "by": entry.by,
    }


def _entry(told: Any) -> Entered:
    if told["what"] not in ("posted", "withdrawn"):
        raise ValueError(told["what"])
    kind, part_id, code, place, day, by = (
        str(told[key]) for key in ("paper", "part", "code", "place", "day", "by")
    )
    after = tuple(str(each) for each in told["after"])
    return Entered(told["what"], kind, part_id, code, int(told["issue"]), place, day, by, after)


def _paper_record(paper: Kept) -> dict[str, Any]:
    made = paper.made
    return {
        "paper": made.kind,
        "part": made.part_id,
        "revision": made.revision,
        "issue": made.issue,
        "code": made.code,
        "fingerprint": made.fingerprint,
        "marks": paper.marks,
        "posted_at": list(made.posted_at),
        "inputs": [{"name": one.name, "sha256": one.sha256, "text": one.text} for one in made.ingredients],
        "values": made.values,
    }


def _kept(path: Path) -> Kept | None:
    try:
        told = plain_json(read_file(path, "paper.file"))
        inputs = tuple(Ingredient(one["name"], one["sha256"], one["text"]) for one in told["inputs"])
        made = MadeFrom(
            kind=str(told["paper"]),
            part_id=str(told["part"]),
            revision=str(told["revision"]),
            issue=int(told["issue"]),
            code=str(told["code"]),
            fingerprint=str(told["fingerprint"]),
            ingredients=inputs,
            values=dict(told["values"]),
            posted_at=tuple(str(place) for place in told["posted_at"]),
            sealed=True,
        )
        return Kept(made, str(told["marks"]))
    except (OSError, AttributeError, KeyError, TypeError, ValueError, RecursionError):
        return None
