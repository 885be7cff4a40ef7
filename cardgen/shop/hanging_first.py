"""What hangs and is wrong, found before a large shop is read: of its specs only those that this needs.

Where a record stands is told by the lines of its file. Whatever those leave in doubt (two of a name, a
mistake, a part that is not found) is left to the reading of the whole: nothing is told here that is told
otherwise there.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from cardgen.shelf.copies import Copy, copies_of
from cardgen.shelf.ledger import BOOKLET, CARD, each_once, read_ledger
from cardgen.shelf.state import with_notices
from cardgen.shelf.wanted import Wanted
from cardgen.shop.entering import CAN_HANG
from cardgen.shop.folder import Shop
from cardgen.shop.keeping import papers_beside
from cardgen.shop.spec_files import read_spec_files
from cardgen.spec.complaint import RecordKey, Source, not_shared
from cardgen.spec.load import Parsed, load_parsed, named_in, parsed
from cardgen.spec.models import KINDS
from cardgen.spec.references import all_sniffed, references

OF_PARTS = tuple(kind for kind in CAN_HANG if kind != BOOKLET)
PIECE = re.compile(rb"\bpiece\b|\\[xuU]")  # however its key may be written


def copies_first(folder: Path) -> tuple[Copy, ...]:
    """How the copies of parts stand that hang; no booklets, which may list many parts; none in doubt."""
    specs = read_spec_files(folder)
    contents = specs.contents
    ledger = read_ledger(folder / "specs")
    stands = _Stands.of(contents)
    hanging = {part_id for kind, part_id, _ in ledger.hanging if kind in OF_PARTS}
    ids = {part_id for part_id in hanging if stands.surely(("part", part_id))}
    if specs.complaints or not ids:
        return ()
    files, needed = _needed(folder, contents, stands, {("part", part_id) for part_id in ids})
    laid = (
        files.get(place) or dict.fromkeys(stands.keys[place], Source(place, 1, ""))
        for place in sorted(contents, key=lambda place: place.split("/"))
    )
    library, complaints = load_parsed(laid, {key for keys in stands.keys.values() for key in keys} - needed)
    shop = Shop(folder, library, (), contents, date.today(), ledger=ledger)
    if complaints or any(shop.complaints_of(part_id) for part_id in ids):
        return ()
    like, as_hung, wrong, _ = papers_beside(shop)
    wanted = Wanted(
        tuple(map(shop.job, sorted(ids))),
        ledger=ledger.of(ids, OF_PARTS),
        like=like,
        as_hung=as_hung,
        wrong=wrong,
    )
    copies = copies_of(wanted, {(CARD, part_id): shop.code_of(part_id) for part_id in ids})
    written = each_once(
        ledger.places
    )  # as the whole writes a place; another way the copy would be told twice
    return tuple(copy for copy in with_notices((), copies, shop.out)[1] if copy.place in written)


@dataclass(frozen=True)
class _Stands:
    """Where each record stands, as far as the lines of the files tell."""

    keys: Mapping[str, tuple[RecordKey, ...]]  # by file
    files: Mapping[RecordKey, tuple[str, ...]]  # by what no two records share
    unsure: Collection[str]  # files that the lines do not tell

    @classmethod
    def of(cls, contents: Mapping[str, bytes]) -> _Stands:
        keys: dict[str, tuple[RecordKey, ...]] = {}
        files: dict[RecordKey, tuple[str, ...]] = {}
        unsure = []
        for place, content in contents.items():
            found = all_sniffed(content.decode("utf-8-sig", "replace"))
            keys[place] = tuple(map(_as_read, filter(None, found)))
            if not all(map(_told, found)):
                unsure.append(place)
            for key in map(not_shared, keys[place]):
                files[key] = (*files.get(key, ()), place)
        return cls(keys, files, unsure)

    def surely(self, key: RecordKey) -> bool:
        """Whether there is one of this very name."""
        places = self.files.get(not_shared(key), ())
        return len(places) == 1 and key in self.keys[places[0]]


def _told(key: RecordKey | None) -> bool:
    """Whether a record's line tells its kind and its name: not one with signs in their stead, or below it."""
    return key is not None and key[0] in KINDS and not (key[1].startswith((">", "|")) or "\\" in key[1])


def _as_read(key: RecordKey) -> RecordKey:
    return key[0], unicodedata.normalize("NFC", " ".join(key[1].split()))


def _needed(
    folder: Path, contents: Mapping[str, bytes], stands: _Stands, parts: set[RecordKey]
) -> tuple[dict[str, Parsed], set[RecordKey]]:
    """The files in which these parts and all that they need stand, parsed; and which records those are."""
    files: dict[str, Parsed] = {}
    places, needed = set(stands.unsure), set[RecordKey]()
    more = parts | {key for keys in stands.keys.values() for key in keys if key[0] == "shop"}
    while more:
        needed |= more
        places |= {place for key in more for place in stands.files.get(not_shared(key), ())}
        if any(PIECE.search(contents[place]) for place in places):
            places |= {place for place, content in contents.items() if PIECE.search(content)}
        files |= {place: parsed(folder / place, contents[place], folder) for place in places - files.keys()}
        more = set(_named_by(files.values(), needed)) - needed
    return files, needed


def _named_by(files: Collection[Parsed], needed: Collection[RecordKey]) -> Iterator[RecordKey]:
    """What these records refer to, and every part that is an operation of a piece."""
    for key, record in named_in(files).items():
        of_piece = record.node is not None and key[0] == "part" and "piece" in record.node.keys
        if of_piece:
            yield key
        if record.node is not None and (of_piece or key in needed):
            yield from ((each.kind, each.id) for each in references(key[0], record.node))
