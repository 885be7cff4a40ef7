"""What a shop held when it was last made, kept so that only what changed since is read again.

    out/.cardgen/index      one file, written whole; without it only time is lost

Of each spec file the digest and its records, each with the digest of its own text and what it refers to; of
each part whose card was current what lists tell of it, and of each other paper that was. One file of JSON,
for of 10,000 parts it is read in half the time that SQLite takes for as much, and never half written. What
it says is believed while the digests of the specs, of the templates and of the program are as they were, and
the papers lie as they did: by size, time and number on the disk.
"""

import contextlib
import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import Any

from cardgen.bounds import read_file
from cardgen.shelf.ledger import Found
from cardgen.shelf.made_from import MadeFrom
from cardgen.shelf.trouble import ShelfError
from cardgen.shelf.vouched import Vouched, VouchedBeside, cause_as_plain, cause_from_plain
from cardgen.shelf.writing import write_whole
from cardgen.shop.sealed import FOLDER as FOLDER
from cardgen.shop.sealed import lay_down, packed, sealed, unsealed
from cardgen.spec.complaint import RecordKey

NAME = "index"
HEAD = b"cardgen index 9 "  # what is kept, and how; another number is of another program


@dataclass(frozen=True)
class KnownRecord:
    """A record as far as others depend on it."""

    refers_to: tuple[RecordKey, ...] = ()  # of a booklet also 'all' of a kind
    piece: str = ""  # that a part is an operation of
    due: str = ""  # the calibration of a gauge, as an ISO date
    cone: str = ""  # of a gauge, as it is called for
    digest: str = ""  # of its own text; of one that cannot be read, none
    line: int = 1  # of its file, where it begins


@dataclass(frozen=True)
class KnownFile:
    """A spec file: the digest of what it holds, and its records, of which most runs need the names alone."""

    digest: str
    clean: bool  # nothing is wrong in it, nor with any record of it
    keys: tuple[RecordKey, ...]
    dues: tuple[str, ...]  # of the calibrations of its gauges
    pieces: tuple[str, ...]  # that its parts are operations of
    kinds: tuple[str, ...]  # of the records that its own refer to
    told: str = field(repr=False)  # each of its records, as JSON

    @cached_property
    def records(self) -> Mapping[RecordKey, KnownRecord]:
        told = (
            KnownRecord(tuple((kind, name) for kind, name in refers_to), *rest)
            for refers_to, *rest in json.loads(self.told)
        )
        return dict(zip(self.keys, told, strict=True))


def known_file(digest: str, clean: bool, records: Mapping[RecordKey, KnownRecord]) -> KnownFile:
    """A file of these records."""
    told = [
        [each.refers_to, each.piece, each.due, each.cone, each.digest, each.line] for each in records.values()
    ]
    dues = tuple(each.due for each in records.values() if each.due)
    pieces = tuple(each.piece for each in records.values() if each.piece)
    kinds = tuple(sorted({kind for each in records.values() for kind, _ in each.refers_to}))
    return KnownFile(digest, clean, tuple(records), dues, pieces, kinds, packed(told))


@dataclass(frozen=True)
class ShopIndex:
    """One state of a shop."""

    common: str  # of what every card, and every answer of `stock`, is made from (`common_digest`)
    day: date
    shop_name: str
    shop_paper: str
    page: str  # the digest of what the out folder's own page was made of
    files: Mapping[str, KnownFile]  # by their place in the shop
    cards: Mapping[str, Vouched] = field(repr=False)  # by part
    beside: Mapping[str, VouchedBeside]  # the other papers, by their files
    found: Mapping[Found, bool]  # of what hangs, whether it was found to print what one made now would


def read_index(out: Path) -> tuple[ShopIndex | None, str]:
    """The index that lies in an out folder, or None; then why, where one is there that is not to be used."""
    path = out / FOLDER / NAME
    try:
        content = read_file(path, "index.file")
    except FileNotFoundError:
        return None, ""
    except OSError as trouble:
        return None, f"{path}: not used ({trouble.strerror}); everything is read anew"
    try:
        return _from_plain(unsealed(HEAD, content)), ""
    except ValueError as amiss:
        return None, f"{path}: {amiss}; everything is read anew"


def write_index(out: Path, index: ShopIndex) -> None:
    """Keep it; where it cannot be kept nothing is lost, and nothing is said."""
    with contextlib.suppress(ShelfError):
        lay_down(out)
        write_whole(out / FOLDER / NAME, sealed(HEAD, _as_plain(index)))


def _as_plain(index: ShopIndex) -> dict[str, Any]:
    return {
        "common": index.common,
        "day": index.day.isoformat(),
        "shop": [index.shop_name, index.shop_paper],
        "page": index.page,
        "files": {
            path: [file.digest, file.clean, file.keys, file.dues, file.pieces, file.kinds, file.told]
            for path, file in index.files.items()
        },
        "cards": [
            [
                card.part_id,
                card.revision,
                card.values,
                card.posted_at,
                card.place,
                card.issue,
                card.now,
                card.then,
                [cause_as_plain(cause) for cause in card.causes],
                card.file,
                card.stamp,
                card.findings,
                card.says,
            ]
            for card in index.cards.values()
        ],
        "beside": [
            [one.file, one.stamp, asdict(one.made), one.now, [cause_as_plain(cause) for cause in one.causes]]
            for one in index.beside.values()
        ],
        "found": [[*at, alike] for at, alike in sorted(index.found.items())],
    }


def _from_plain(plain: Mapping[str, Any]) -> ShopIndex:
    cards = map(_card, plain["cards"])
    return ShopIndex(
        common=plain["common"],
        day=date.fromisoformat(plain["day"]),
        shop_name=plain["shop"][0],
        shop_paper=plain["shop"][1],
        page=plain["page"],
        files={path: _file(*told) for path, told in plain["files"].items()},
        cards={card.part_id: card for card in cards},
        beside={told[0]: _beside(*told) for told in plain["beside"]},
        found={(says, fingerprint): alike for says, fingerprint, alike in plain["found"]},
    )


def _file(digest: str, clean: bool, keys: list[list[str]], *told: Any) -> KnownFile:
    dues, pieces, kinds, rest = told
    named = tuple((kind, name) for kind, name in keys)
    return KnownFile(digest, clean, named, tuple(dues), tuple(pieces), tuple(kinds), rest)


def _card(told: list[Any]) -> Vouched:
    part_id, revision, values, posted_at, place, issue, now, then, causes, file, stamp, findings, says = told
    return Vouched(
        part_id=part_id,
        revision=revision,
        inputs=(),
        values=values,
        draw=_not_to_be_drawn,
        posted_at=tuple(posted_at),
        place=tuple(place),
        issue=issue,
        now=tuple(now),
        then=tuple(then),
        causes=tuple(map(cause_from_plain, causes)),
        file=file,
        stamp=tuple(stamp),
        findings=tuple(map(tuple, findings)),
        says=says,
    )


def _beside(
    file: str, stamp: list[int], made: dict[str, Any], now: list[str], causes: list[dict[str, Any]]
) -> VouchedBeside:
    told = MadeFrom(**{**made, "ingredients": (), "posted_at": tuple(made["posted_at"])})
    size, written, renamed, number = stamp
    fingerprint, code = now
    return VouchedBeside(
        file,
        (size, written, renamed, number),
        told,
        (fingerprint, code),
        tuple(map(cause_from_plain, causes)),
    )


def _not_to_be_drawn(code: str) -> Any:
    raise AssertionError(f"{code} is vouched for: it is read before it is drawn")
