"""What hangs where: which paper was put up at which place or taken down there, and what it said.

    specs/hanging/*.json          one entry a file: a paper was posted, or withdrawn
    specs/hanging/papers/*.json   what each paper says that was ever posted, named by entries

Text, meant for git. No file is changed once it is written, and its name ends in the digest of what it
holds: what two planners wrote lies side by side when their clones are put together, and what was changed by
hand is told. An entry names those that it follows at its place, so no clock is asked what hangs: it is what
an entry says that no other follows. Where two planners wrote without knowing of each other there are two of
them, and both are told.

Entries are small and read at each run, in one pass; what a paper says is read only of those asked for.
"""

import json
import os
import re
import unicodedata
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Any, Literal, Protocol

from cardgen.bounds import read_file
from cardgen.shelf.digest import sha256
from cardgen.shelf.made_from import Ingredient, MadeFrom, as_json, plain_json
from cardgen.shelf.writing import clear_half_written, make_folder, write_if_different

FOLDER, PAPERS, ENDING = "hanging", "papers", ".json"
ID_DIGITS = 12
MOST_ISSUES = 100_000
WORD = 40  # letters of a part or a place in a file's name, for people: its digest tells it apart

CARD, BOOKLET = "card", "booklet"
What = Literal["posted", "withdrawn"]
Spot = tuple[str, str, str]  # kind of paper, part, place as places are told apart
Found = tuple[str, str]  # what is kept of a paper, by its digest, and the inputs of which one like it is made


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
    says: str = ""  # the digest of what is kept of that paper; of one taken down, none
    after: tuple[str, ...] = ()  # the entries of this spot that it follows

    @property
    def spot(self) -> Spot:
        return spot(self.kind, self.part_id, self.place)

    @property
    def hangs(self) -> bool:
        return self.what == "posted"


class Issued(Protocol):
    """A card that lies in the out folder."""

    @property
    def code_there(self) -> str: ...
    @property
    def issue(self) -> int: ...
    @property
    def fingerprint(self) -> str: ...


@dataclass(frozen=True)
class Kept:
    """What a paper that was posted says, and the digest of its marks."""

    made: MadeFrom
    marks: str
    card: str = ""  # of a strip or a record sheet: the digest of what is kept of the card that it goes with


@dataclass(frozen=True)
class Ledger:
    """Every entry, as it was read."""

    folder: Path
    entries: Mapping[str, Entered]  # by its digest
    unread: tuple[str, ...] = ()  # a line each for what is no entry
    known: Mapping[Found, bool] = field(default_factory=dict)  # found at an earlier run: whether it prints so
    found: dict[Found, bool] = field(default_factory=dict, compare=False, repr=False)  # at this one
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

    @cached_property
    def hanging(self) -> dict[Spot, list[Entered]]:
        """What is entered as hanging, by its spot; where two planners entered unlike things, each."""
        found = {at: [each for each in last.values() if each.hangs] for at, last in self.last.items()}
        return {at: hung for at, hung in found.items() if hung}

    @cached_property
    def hanging_codes(self) -> frozenset[str]:
        """The codes of all that hangs."""
        return frozenset(each.code for hung in self.hanging.values() for each in hung)

    def knows(self, part_id: str) -> bool:
        """Whether any paper of a part, or a booklet of this id, was ever entered."""
        return part_id in self._ids

    @cached_property
    def _ids(self) -> frozenset[str]:
        return frozenset(each.part_id for each in self.entries.values())

    def of(self, ids: Collection[str], kinds: Collection[str] = ()) -> "Ledger":
        """What is entered of some parts and booklets alone; of these kinds of paper, where any are named."""
        mine = {
            at: each
            for at, each in self.entries.items()
            if each.part_id in ids and (not kinds or each.kind in kinds)
        }
        return replace(self, entries=mine)

    def of_part(self, kind: str, part_id: str) -> tuple[Entered, ...]:
        """Each paper of a part that was ever posted, once, the latest issue first."""
        return self._by_part.get((kind, part_id), ())

    @cached_property
    def _by_part(self) -> dict[tuple[str, str], tuple[Entered, ...]]:
        found: dict[tuple[str, str], dict[tuple[int, str], Entered]] = {}
        for each in self.entries.values():
            if each.hangs:
                found.setdefault((each.kind, each.part_id), {})[each.issue, each.code] = each
        return {part: tuple(mine[key] for key in sorted(mine, reverse=True)) for part, mine in found.items()}

    def doubtful(self, cards: Mapping[str, Issued]) -> set[str]:
        """Of these cards, each true and in the out folder, those to be held against what was entered.

        Not a card that was entered under its issue, or prints as one that was, nor the first issue of a part
        of which none ever was, as long as nothing of the part hangs of which neither is known.
        """
        hung: dict[str, list[Entered]] = {}
        for (kind, part_id, _), entries in self.hanging.items():
            if kind != BOOKLET:
                hung.setdefault(part_id, []).extend(entries)
        return {part for part, card in cards.items() if self._in_doubt(part, card, hung.get(part, ()))}

    def _in_doubt(self, part_id: str, card: Issued, hung: Iterable[Entered]) -> bool:
        posted = self.of_part(CARD, part_id)
        issue = next((each.issue for each in posted if self._alike(each, card)), None) if posted else 1
        return card.issue != issue or not all(self._alike(each, card) for each in hung)

    def _alike(self, entry: Entered, card: Issued) -> bool:
        """Whether a card prints the same as the one that was entered, or that a strip was entered with."""
        if entry.code == card.code_there:
            return True
        kept = self.kept_of(entry) if entry.kind != CARD else None
        return bool(self.prints_as(kept.card if kept else entry.says, card.fingerprint))

    def prints_as(self, says: str, fingerprint: str) -> bool | None:
        """Whether what is kept of a paper was found to print what is made of these inputs, if it was."""
        at = says, fingerprint
        if at in self.known:
            self.found[at] = self.known[at]
        return self.found.get(at)

    @property
    def places(self) -> tuple[str, ...]:
        """Every place that an entry names."""
        return tuple(dict.fromkeys(each.place for each in self.entries.values()))

    def kept(self, code: str, says: str) -> Kept | None:
        """What is kept of a paper of this code, by its digest; None where nothing is."""
        if says not in self._kept:
            self._kept[says] = _kept(self.folder / PAPERS, f"{_word(code)}-{says}.json")
        return self._kept[says]

    def kept_of(self, entry: Entered) -> Kept | None:
        """What is kept of the paper that an entry is about."""
        return self.kept(entry.code, entry.says)


NO_LEDGER = Ledger(Path(), {})


def spot(kind: str, part_id: str, place: str) -> Spot:
    return kind, part_id, place_key(place)


@lru_cache(maxsize=4096)
def place_key(place: str) -> str:
    """By which places are told apart: not by capitals, gaps, or how an accent is put on its letter."""
    alike = unicodedata.normalize("NFC", " ".join(place.split())).casefold()
    return unicodedata.normalize("NFC", alike)


def each_once(places: Iterable[str]) -> tuple[str, ...]:
    """Places, each as it is written first."""
    return tuple({place_key(place): place for place in reversed(tuple(places))}.values())[::-1]


def read_ledger(specs: Path) -> Ledger:
    """The ledger of a shop's specs; empty where none was begun."""
    folder = specs / FOLDER
    entries, unread = {}, []
    try:
        names = sorted(name for name in os.listdir(folder) if name.endswith(ENDING) and name[0] != ".")
    except OSError:
        names = []
    for name in names:
        told = f"{specs.name}/{FOLDER}/{name}:1:1:"
        try:
            content = read_file(folder / name, "spec.file")
            entry = _entry(json.loads(content))
            _digest_in(name).encode("utf-8")  # a name that is no text no further entry could refer to
        except OSError as trouble:
            unread.append(f"{told} this entry cannot be read ({trouble.strerror}); allow it to be read")
        except (AttributeError, KeyError, TypeError, ValueError, RecursionError):
            unread.append(f"{told} this is no entry of what hangs; bring it back, or take it away")
        else:
            if not _as_written(name, content):
                unread.append(f"{told} this entry was changed after it was written; bring it back as it was")
            entries[_digest_in(name)] = entry
    return Ledger(folder, entries, tuple(unread))


def post(
    ledger: Ledger,
    papers: Sequence[Kept],
    places: Sequence[str],
    day: date,
    by: str,
    cards: Sequence[Kept] = (),
) -> tuple[Entered, ...]:
    """Enter that these papers hang at these places; what is entered already is not entered again.

    What they say is kept first, and of the `cards` that they go with. Only for the one who holds the shop's
    lock.
    """
    _begin(ledger)
    for card in cards:
        _write(ledger.folder / PAPERS, _word(card.made.code), _paper_record(card))
    new = []
    for paper in papers:
        made = paper.made
        says = _write(ledger.folder / PAPERS, _word(made.code), _paper_record(paper))
        told = (made.kind, made.part_id, made.code, made.issue)
        new += [Entered("posted", *told, place, day.isoformat(), by, says) for place in places]
    return tuple(_enter(ledger, new))


def withdraw(
    ledger: Ledger, kind: str, part_id: str, places: Iterable[str], day: date, by: str
) -> tuple[Entered, ...]:
    """Enter that a part's paper hangs at these places no more; as `post`."""
    _begin(ledger)
    new = []
    for place in places:
        hung = next(iter(ledger.last.get(spot(kind, part_id, place), {}).values()), None)
        code, issue = (hung.code, hung.issue) if hung else ("", 0)
        new.append(Entered("withdrawn", kind, part_id, code, issue, place, day.isoformat(), by))
    return tuple(_enter(ledger, new))


def kept_digest(paper: Kept) -> str:
    """By which an entry names what is kept of a paper."""
    return _named(_paper_record(paper))[1]


def _begin(ledger: Ledger) -> None:
    make_folder(ledger.folder / PAPERS)
    clear_half_written(ledger.folder)


def _enter(ledger: Ledger, new: Iterable[Entered]) -> Iterator[Entered]:
    for entry in new:
        before = ledger.last.get(entry.spot, {})
        if {(each.what, each.says) for each in before.values()} == {(entry.what, entry.says)}:
            continue
        name = f"{entry.day}-{_word(entry.part_id)}-{_word(entry.place)}-{entry.what}"
        _write(ledger.folder, name, _entry_record(replace(entry, after=tuple(sorted(before)))))
        yield entry


def _write(folder: Path, name: str, record: Mapping[str, Any]) -> str:
    """Keep a record under a name that ends in its digest; the digest."""
    content, digest = _named(record)
    write_if_different(folder / f"{name}-{digest}{ENDING}", content)
    return digest


def _named(record: Mapping[str, Any]) -> tuple[bytes, str]:
    content = as_json(record) + b"\n"
    return content, sha256(content)[:ID_DIGITS]


def _digest_in(name: str) -> str:
    return name.removesuffix(ENDING).rsplit("-", 1)[-1]


def _as_written(name: str, content: bytes) -> bool:
    """Whether a file holds what its name says; line ends are the checkout's."""
    return sha256(content.replace(b"\r\n", b"\n"))[:ID_DIGITS] == _digest_in(name)


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
        "says": entry.says,
        "after": list(entry.after),
    }


def _entry(told: Any) -> Entered:
    """An entry as JSON has it; ValueError and its like for what is none."""
    kind, part_id, code, place, day, by, says = texts = tuple(
        str(told[key]) for key in ("paper", "part", "code", "place", "day", "by", "says")
    )
    after = tuple(str(each) for each in told["after"])
    what: What = "posted" if told["what"] == "posted" else "withdrawn"
    if what != told["what"] or not 0 <= (issue := int(told["issue"])) <= MOST_ISSUES:
        raise ValueError(told["what"])
    "".join((*texts, *after)).encode("utf-8")  # refuses what is no text
    return Entered(what, kind, part_id, code, issue, place, day, by, says, after)


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
        "card": paper.card,
        "how": dict(made.how),
        "posted_at": list(made.posted_at),
        "inputs": [{"name": one.name, "sha256": one.sha256, "text": one.text} for one in made.ingredients],
        "values": made.values,
        **({"cards_say": dict(made.cards_say)} if made.cards_say else {}),
    }


def _kept(folder: Path, name: str) -> Kept | None:
    try:
        content = read_file(folder / name, "paper.file")
        if not _as_written(name, content):
            return None
        told = plain_json(content)
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
            how=dict(told["how"]),
            cards_say=dict(told.get("cards_say", {})),
        )
        return Kept(made, str(told["marks"]), str(told["card"]))
    except (OSError, AttributeError, KeyError, TypeError, ValueError, RecursionError):
        return None
