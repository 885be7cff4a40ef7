"""A shop's specs, read as far as needed: what the index vouches for is believed, the rest is loaded."""

from __future__ import annotations

import hashlib
import os
import unicodedata
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from cardgen.cores import OnAllCores
from cardgen.shelf.vouched import Stamp, Vouched, stamps
from cardgen.shop.shop_index import KnownFile, KnownRecord, ShopIndex
from cardgen.shop.to_read import Changed, to_read
from cardgen.spec.complaint import Complaint, RecordKey, Source
from cardgen.spec.library import Library

if TYPE_CHECKING:  # what nothing has changed in is not loaded, nor what would load it
    from cardgen.spec.load import Parsed
    from cardgen.spec.yamlfile import Node


@dataclass(frozen=True)
class SpecsRead:
    """What was read of a shop, and what was believed."""

    library: Library
    complaints: tuple[Complaint, ...]
    vouched: Mapping[str, Vouched]  # by part
    digests: Mapping[str, str]  # of every spec file, by its place in the shop
    known: Mapping[str, KnownFile]  # of those that were not read
    papers: Mapping[str, Stamp]  # of every file in the out folder, before any was read
    any_read: bool = True  # else everything is as the index says


def read_all(folder: Path, contents: Mapping[Path, bytes]) -> SpecsRead:
    """Everything, whatever was known."""
    papers = stamps(folder / "out")
    digests = {_place(folder, path): _digest(content) for path, content in contents.items()}
    library, complaints = _loaded(_parsed(folder, sorted(contents.items())).values(), (), True)
    return SpecsRead(library, complaints, {}, digests, {}, papers)


def read_changed(
    folder: Path,
    contents: Mapping[Path, bytes],
    index: ShopIndex,
    today: date,
    only: Collection[str] = (),
    doubtful: Collection[str] = (),
) -> SpecsRead:
    """What is not as the index says, and what hangs on it; of the parts in `only`, all that they need.

    The parts in `doubtful` are read whatever the index says.
    """
    papers = stamps(folder / "out")
    by_place = {_place(folder, path): (path, content) for path, content in contents.items()}
    digests = {place: _digest(content) for place, (_, content) in by_place.items()}
    changed = [place for place in digests if _otherwise(place, digests, index)]
    gone = [place for place in index.files if place not in digests]
    read = _parsed(folder, [by_place[place] for place in changed])
    told = Changed(
        files={*changed, *gone},
        records=_named_in(read),
        cards={part for part, card in index.cards.items() if papers.get(card.file) != card.stamp}
        | set(doubtful),
        today=today,
    )
    load = to_read(index, told, only)
    known = {place: index.files[place] for place in digests if place not in told.files}
    wanted = [place for place, file in known.items() if not (file.clean and load.isdisjoint(file.records))]
    read |= _parsed(folder, [by_place[place] for place in wanted])
    believed = {key for file in known.values() for key in file.records if key not in load}
    library, complaints = _loaded(_in_order(digests, read, known), believed, bool(read))
    vouched = {part: card for part, card in index.cards.items() if ("part", part) in believed}
    return SpecsRead(library, complaints, vouched, digests, known, papers, bool(read))


def _parsed(folder: Path, files: Sequence[tuple[Path, bytes]]) -> dict[str, Parsed]:
    """The documents of these files, by their place in the shop."""
    if not files:
        return {}
    from cardgen.spec.load import parsed

    with OnAllCores(lambda file: parsed(*file, folder), files) as each:
        return {_place(folder, path): each.next() for path, _ in files}


def _named_in(read: Mapping[str, Parsed]) -> dict[RecordKey, KnownRecord]:
    if not read:
        return {}
    from cardgen.spec.load import named_in

    return {key: known_record(key, node, 0) for key, node in named_in(read.values()).items()}


def _loaded(
    files: Iterable[Parsed | Mapping[RecordKey, Source]], believed: Collection[RecordKey], any_read: bool
) -> tuple[Library, tuple[Complaint, ...]]:
    """The library of these files; where none was read it only says where each record stands."""
    if not any_read:
        places = {key: source for file in files if isinstance(file, Mapping) for key, source in file.items()}
        return Library({}, {}, {}, {}, {}, None, places), ()
    from cardgen.spec.load import load_parsed

    library, complaints = load_parsed(files, believed)
    return library, tuple(complaints)


def files_to_keep(reading: SpecsRead) -> dict[str, KnownFile]:
    """What the next reading may believe of the spec files."""
    wrong = {complaint.path for complaint in reading.complaints}
    spoilt = {key for complaint in reading.complaints for key in complaint.spoils}
    found: dict[str, dict[RecordKey, KnownRecord]] = {place: {} for place in reading.digests}
    library = reading.library
    for key, source in library.source_of.items():
        known = reading.known.get(source.path)
        if key not in library.nodes and known is not None and key in known.records:
            found[source.path][key] = known.records[key]
        else:
            record = known_record(
                key, library.nodes.get(key), source.line, key not in spoilt, _due(library, key)
            )
            found[source.path][key] = record
    return {
        place: KnownFile(digest, place not in wrong, found[place])
        for place, digest in reading.digests.items()
    }


def known_record(
    key: RecordKey, node: Node | None, line: int, sound: bool = False, due: str = ""
) -> KnownRecord:
    """A record as far as others hang on it."""
    from cardgen.spec.references import references

    if node is None:
        return KnownRecord(line, (), "", due, sound)
    refers_to = ((each.kind, each.id) for each in references(key[0], node))
    piece = node.value.get("piece") if isinstance(node.value, dict) and key[0] == "part" else None
    written = piece.value if piece is not None and isinstance(piece.value, str) else ""
    named = unicodedata.normalize("NFC", " ".join(written.split()))
    return KnownRecord(line, tuple(each for each in refers_to if each[1] != "all"), named, due, sound)


def _due(library: Library, key: RecordKey) -> str:
    gauge = library.gauges.get(key[1]) if key[0] == "gauge" else None
    return gauge.calibration_due.isoformat() if gauge is not None and gauge.calibration_due else ""


def _in_order(
    digests: Mapping[str, str], read: Mapping[str, Parsed], known: Mapping[str, KnownFile]
) -> Iterator[Parsed | dict[RecordKey, Source]]:
    """Every file in the order of their places, as `load_documents` takes them."""
    for place in sorted(digests, key=lambda each: each.split("/")):
        if place in read:
            yield read[place]
        else:
            records = known[place].records
            yield {key: Source(place, record.line, "") for key, record in records.items()}


def _otherwise(place: str, digests: Mapping[str, str], index: ShopIndex) -> bool:
    known = index.files.get(place)
    return known is None or known.digest != digests[place]


def _place(folder: Path, path: Path) -> str:
    return str(path)[len(str(folder)) :].replace(os.sep, "/").lstrip("/") if folder.name else str(path)


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
