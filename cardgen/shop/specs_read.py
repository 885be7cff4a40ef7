"""A shop's specs, read as far as needed: what the index vouches for is believed, the rest is loaded."""

import hashlib
import os
import unicodedata
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from cardgen.shelf.vouched import Stamp, Vouched, stamps
from cardgen.shop.shop_index import KnownFile, KnownRecord, RecordKey, ShopIndex
from cardgen.shop.to_read import Changed, to_read
from cardgen.spec.complaint import Complaint, Source
from cardgen.spec.library import Library
from cardgen.spec.load import Parsed, load_parsed, named_in, not_shared, parsed
from cardgen.spec.references import references
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


def read_all(folder: Path, contents: Mapping[Path, bytes]) -> SpecsRead:
    """Everything, whatever was known."""
    papers = stamps(folder / "out")
    digests = {_place(folder, path): _digest(content) for path, content in contents.items()}
    library, complaints = load_parsed(
        parsed(path, content, folder) for path, content in sorted(contents.items())
    )
    return SpecsRead(library, tuple(complaints), {}, digests, {}, papers)


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
    read = {place: parsed(*by_place[place], folder) for place in changed}
    told = Changed(
        files={*changed, *gone},
        records={key: known_record(key, node, 0) for key, node in named_in(read.values()).items()},
        cards={part for part, card in index.cards.items() if papers.get(card.file) != card.stamp}
        | set(doubtful),
        today=today,
    )
    load = to_read(index, told, not_shared, only)
    for place, file in index.files.items():
        if place in digests and place not in read and (not file.clean or not load.isdisjoint(file.records)):
            read[place] = parsed(*by_place[place], folder)
    known = {place: index.files[place] for place in digests if place not in told.files}
    believed = {key for file in known.values() for key in file.records if key not in load}
    library, complaints = load_parsed(_in_order(digests, read, known), believed)
    vouched = {part: card for part, card in index.cards.items() if ("part", part) in believed}
    return SpecsRead(library, tuple(complaints), vouched, digests, known, papers)


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
