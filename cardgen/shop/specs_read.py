"""A shop's specs, read as far as needed: what the index vouches for is believed, the rest is loaded."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from cardgen.bounds import most
from cardgen.cores import OnAllCores
from cardgen.shelf.stamp import Stamp, stamps
from cardgen.shelf.vouched import Vouched
from cardgen.shop.sealed import digest
from cardgen.shop.shop_index import KnownFile, KnownRecord, ShopIndex, known_file
from cardgen.shop.to_read import Changed, to_read
from cardgen.spec.complaint import Complaint, RecordKey, Source
from cardgen.spec.library import Library

if TYPE_CHECKING:  # what nothing has changed in is not loaded, nor what would load it
    from cardgen.spec.load import Parsed
    from cardgen.spec.yamlfile import Node


Before = Callable[[], None]


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
    alike: Mapping[RecordKey, KnownRecord] = field(default_factory=dict)  # believed, of files that changed
    changed: Collection[str] = ()  # files that hold something else than the index says

    def named_by(self, key: RecordKey, kind: str) -> tuple[str, ...]:
        """The records of a kind, or 'all', that a record names which was believed and not read."""
        return tuple(name for named, name in self.believed(key).refers_to if named == kind)

    def believed(self, key: RecordKey) -> KnownRecord:
        """What is known of a record that was not read; nothing of one that was."""
        source = self.library.source_of.get(key)
        file = self.known.get(source.path) if source else None
        return self.alike.get(key) or (file.records.get(key) if file else None) or KnownRecord()


def at_once() -> None:
    """What is done before many records are read, where nothing is."""


def read_all(folder: Path, contents: Mapping[str, bytes], many: Before = at_once) -> SpecsRead:
    """Everything, whatever was known; `contents` of each spec file, by its place in the shop."""
    if len(contents) > most("hanging.first"):
        many()
    papers = stamps(folder / "out")
    digests = {place: digest(content) for place, content in contents.items()}
    library, complaints = _loaded(_parsed(folder, contents, _in_order(contents)).values())
    return SpecsRead(library, complaints, {}, digests, {}, papers)


def read_changed(
    folder: Path,
    contents: Mapping[str, bytes],
    index: ShopIndex,
    today: date,
    only: Collection[str] = (),
    doubtful: Collection[str] = (),
    many: Before = at_once,
) -> SpecsRead:
    """What is not as the index says, and what hangs on it; of the parts in `only`, all that they need.

    The parts in `doubtful` are read whatever the index says.
    """
    papers = stamps(folder / "out")
    digests = {place: digest(content) for place, content in contents.items()}
    changed = [place for place in digests if _otherwise(place, digests, index)]
    gone = [place for place in index.files if place not in digests]
    read = _parsed(folder, contents, changed)
    records, alike = _named_in(read, index)
    told = Changed(
        files={*changed, *gone},
        records=records,
        alike=alike,
        cards={part for part, card in index.cards.items() if papers.get(card.file) != card.stamp}
        | _told_otherwise(index, {*changed, *gone}, alike)
        | set(doubtful),
        today=today,
    )
    load = to_read(index, told, only)
    if len(load) > most("hanging.first"):
        many()
    known = {place: index.files[place] for place in digests if place not in told.files}
    wanted = [place for place, file in known.items() if not (file.clean and load.isdisjoint(file.keys))]
    read |= _parsed(folder, contents, wanted)
    believed = {key for file in known.values() for key in file.keys}.union(alike) - load
    if read:
        library, complaints = _loaded(_files(digests, read, known), believed)
    else:
        library, complaints = _unread(known), ()
    vouched = {part: card for part, card in index.cards.items() if ("part", part) in believed}
    return SpecsRead(library, complaints, vouched, digests, known, papers, bool(read), alike, told.files)


def _parsed(folder: Path, contents: Mapping[str, bytes], places: Sequence[str]) -> dict[str, Parsed]:
    """The documents of the files at these places."""
    if not places:
        return {}
    from cardgen.spec.load import parsed

    with OnAllCores(lambda place: parsed(folder / place, contents[place], folder), places) as each:
        return {place: each.next() for place in places}


def _named_in(
    read: Mapping[str, Parsed], index: ShopIndex
) -> tuple[dict[RecordKey, KnownRecord], dict[RecordKey, KnownRecord]]:
    """The records that these files name, and of them those that stand to the letter as the index says."""
    records: dict[RecordKey, KnownRecord] = {}
    alike: dict[RecordKey, KnownRecord] = {}
    if not read:
        return records, alike
    from cardgen.spec.load import named_in

    for key, named in named_in(read.values()).items():
        now = records[key] = known_record(key, named.node, named.source)
        file = index.files.get(named.source.path) if named.source and not named.wrong else None
        before = file.records.get(key) if file and file.clean else None
        if before and now.digest and now.digest == before.digest:
            alike[key] = replace(before, line=now.line)
    return records, alike


def _told_otherwise(
    index: ShopIndex, files: Collection[str], alike: Mapping[RecordKey, KnownRecord]
) -> set[str]:
    """Parts of which a line of one of these files is told, where that may be another line now."""
    if not files:
        return set()
    stay: dict[str, list[tuple[int, bool]]] = {}
    for place in files:
        old = index.files[place].records if place in index.files else {}
        at = ((record.line, key in alike and alike[key].line == record.line) for key, record in old.items())
        stay[place] = sorted(at)

    def moved(place: str, line: int) -> bool:
        above = [stays for first, stays in stay.get(place, ()) if first <= line]
        return place in stay and not (above and above[-1])

    return {
        part
        for part, card in index.cards.items()
        if any(moved(place, line) for place, line, *_ in card.findings)
        or any(moved(cause.file, one.line) for cause in card.causes for one in cause.lines)
    }


def _unread(known: Mapping[str, KnownFile]) -> Library:
    """The library where no file was read: it only says in which each record stands."""
    stands: dict[RecordKey, Source] = {}
    for place, file in known.items():
        stands |= _believed_in(place, file)
    return Library({}, {}, {}, {}, {}, None, stands)


def _loaded(
    files: Iterable[Parsed | Mapping[RecordKey, Source]], believed: Collection[RecordKey] = ()
) -> tuple[Library, tuple[Complaint, ...]]:
    from cardgen.spec.load import load_parsed

    library, complaints = load_parsed(files, believed)
    return library, tuple(complaints)


def files_to_keep(reading: SpecsRead) -> dict[str, KnownFile]:
    """What the next reading may believe of the spec files."""
    wrong = {complaint.path for complaint in reading.complaints}
    spoilt = {key for complaint in reading.complaints for key in complaint.spoils}
    library = reading.library
    here: dict[str, list[RecordKey]] = {place: [] for place in reading.digests}
    for key, source in library.source_of.items():
        here[source.path].append(key)

    def kept(place: str, digest: str) -> KnownFile:
        known, keys = reading.known.get(place), tuple(here[place])
        clean = place not in wrong and spoilt.isdisjoint(keys)
        records = reading.alike if known is None else known.records
        believed = {key: records[key] for key in keys if key in records and key not in library.nodes}
        if known is not None and (known.clean, known.keys, len(believed)) == (clean, keys, len(keys)):
            return known
        return known_file(
            digest,
            clean,
            {
                key: believed[key]
                if key in believed
                else known_record(
                    key, library.nodes.get(key), library.source_of[key], *_due_and_cone(library, key)
                )
                for key in keys
            },
        )

    return {place: kept(place, digest) for place, digest in reading.digests.items()}


def known_record(
    key: RecordKey, node: Node | None, source: Source | None, due: str = "", cone: str = ""
) -> KnownRecord:
    """A record as far as others hang on it."""
    from cardgen.spec.references import references

    if node is None or source is None:
        return KnownRecord((), "", due, cone)
    refers_to = ((each.kind, each.id) for each in references(key[0], node))
    piece = node.value.get("piece") if isinstance(node.value, dict) and key[0] == "part" else None
    written = piece.value if piece is not None and isinstance(piece.value, str) else ""
    named = unicodedata.normalize("NFC", " ".join(written.split()))
    text = digest(source.text.encode("utf-8"))
    return KnownRecord(tuple(refers_to), named, due, cone, text, source.line)


def _due_and_cone(library: Library, key: RecordKey) -> tuple[str, str]:
    gauge = library.gauges.get(key[1]) if key[0] == "gauge" else None
    if gauge is None:
        return "", ""
    return gauge.calibration_due.isoformat() if gauge.calibration_due else "", gauge.taper.callout.text


def _in_order(places: Iterable[str]) -> list[str]:
    """As `load_documents` takes files."""
    return sorted(places, key=lambda each: each.split("/"))


def _files(
    digests: Mapping[str, str], read: Mapping[str, Parsed], known: Mapping[str, KnownFile]
) -> Iterator[Parsed | dict[RecordKey, Source]]:
    """Every file in the order of their places."""
    for place in _in_order(digests):
        if place in read:
            yield read[place]
        else:
            yield _believed_in(place, known[place])


def _believed_in(place: str, file: KnownFile) -> dict[RecordKey, Source]:
    """The records of a file that was not read; where in it they stand nobody asks."""
    return dict.fromkeys(file.keys, Source(place, 1, ""))


def _otherwise(place: str, digests: Mapping[str, str], index: ShopIndex) -> bool:
    known = index.files.get(place)
    return known is None or known.digest != digests[place]
