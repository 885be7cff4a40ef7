"""Spec files → the library of a shop, and every complaint about them.

Nothing stops at the first mistake. A complaint names the records that it spoils: the record it stands
in and all that refer to it; the others can still be used.
"""

import unicodedata
from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from cardgen.spec import standards
from cardgen.spec.build import build
from cardgen.spec.complaint import (
    Complaint,
    Mistake,
    RecordKey,
    Source,
    did_you_mean,
    nearest,
    not_shared,
    one_of,
    shown,
)
from cardgen.spec.library import Library, closure, placed
from cardgen.spec.magnitudes import beyond_sense
from cardgen.spec.models import (
    FORMAT,
    KINDS,
    OF_EVERY_RECORD,
    BookletRecord,
    GaugeRecord,
    MachineRecord,
    PartRecord,
    Record,
    ShopRecord,
    WheelRecord,
)
from cardgen.spec.models.keys import keys_of
from cardgen.spec.references import dependants, sniffed, unresolved
from cardgen.spec.sense import (
    gauge_findings,
    gauges_fit_part,
    machine_findings,
    machine_fits_part,
    part_findings,
    wheel_findings,
)
from cardgen.spec.yamlfile import Document, Node, read_documents


@dataclass
class _Desk:
    """What has been read so far."""

    sources: dict[RecordKey, Source] = field(default_factory=dict)
    nodes: dict[RecordKey, Node] = field(default_factory=dict)
    records: dict[RecordKey, Record] = field(default_factory=dict)
    found: list[tuple[tuple[RecordKey, ...], Complaint]] = field(default_factory=list)
    taken: dict[RecordKey, RecordKey] = field(default_factory=dict)  # by what two records may not share

    def lay(self, key: RecordKey, source: Source) -> None:
        """Where a record stands that was named; the first of a name stays."""
        self.sources.setdefault(key, source)
        self.taken.setdefault(not_shared(key), key)

    def find(self, key: RecordKey, findings: Iterable[Mistake]) -> None:
        for finding in findings:
            self.found.append(((key,), placed(self.sources[key], self.nodes[key], finding)))


def load_documents(
    contents: Mapping[Path, bytes], root: Path | None = None
) -> tuple[Library, list[Complaint]]:
    """Parse, check and resolve what these files hold; messages name each file as seen from `root`.

    The library holds the sound records only; the complaints are in the order of the files.
    """
    return load_parsed(parsed(path, content, root) for path, content in sorted(contents.items()))


@dataclass(frozen=True)
class Parsed:
    """A spec file of which only the YAML was read."""

    documents: list[Document]
    complaints: list[Complaint]


def parsed(path: Path, content: bytes, root: Path | None = None) -> Parsed:
    """A file's documents; messages name the file as seen from `root`."""
    name = path.relative_to(root).as_posix() if root and path.is_relative_to(root) else str(path)
    return Parsed(*read_documents(name, content))


def load_parsed(
    files: Iterable[Parsed | Mapping[RecordKey, Source]], believed: Container[RecordKey] = ()
) -> tuple[Library, list[Complaint]]:
    """As `load_documents`, of files in their order, where some records are known to be sound without a look.

    Those are `believed`: the library says where they stand, and no more. A file of nothing else is given as
    its records, each with its place.
    """
    desk = _Desk()
    for file in files:
        if isinstance(file, Mapping):
            for key, source in file.items():
                desk.lay(key, source)
        else:
            _lay_file(file, desk, believed)
    _build_all(desk)
    _check_all(desk)
    return _library(desk)


@dataclass(frozen=True)
class NamedRecord:
    """A record that a file names, or may have meant to, with what is written of it."""

    source: Source | None
    node: Node | None
    wrong: bool  # it cannot be read, or there are two of its name


def named_in(files: Iterable[Parsed]) -> dict[RecordKey, NamedRecord]:
    """The records that these files name, or may have meant to."""
    desk = _Desk()
    for file in files:
        _lay_file(file, desk)
    wrong = {owner for owners, _ in desk.found for owner in owners}
    return {
        key: NamedRecord(desk.sources.get(key), desk.nodes.get(key), key in wrong)
        for key in dict.fromkeys([*desk.sources, *wrong])
    }


def _lay_file(file: Parsed, desk: _Desk, believed: Container[RecordKey] = ()) -> None:
    for complaint in file.complaints:
        desk.found.append((_owners(complaint, file.documents), complaint))
    for document in file.documents:
        _take(document, desk, believed)


def _owners(complaint: Complaint, documents: list[Document]) -> tuple[RecordKey, ...]:
    """The records that a complaint about YAML spoils: its own, or all of a file that cannot be read."""
    before = [document for document in documents if document.source.line <= complaint.line]
    concerned = [document for document in documents if document.unread] or before[-1:]
    return tuple(key for document in concerned if (key := sniffed(document.source.text)))


def _take(document: Document, desk: _Desk, believed: Container[RecordKey]) -> None:
    """Put a document on the desk under its kind and id, or say why it cannot be."""
    root, source = document.root, document.source
    if root is None:
        key = sniffed(source.text)
        if key:
            desk.lay(key, source)
        return
    if not isinstance(root.value, dict):
        wrong, right = "a record is a group of keys", "start with 'kind: part' and 'id: …'"
        desk.found.append(((), source.complain(root.place, wrong, right)))
        return
    kind = root.value.get("kind")
    name = kind.value if kind and isinstance(kind.value, str) else ""
    if kind is None or name not in KINDS:
        _complain_of_kind(name, source, root, desk)
        return
    key = _key(name, source, root)
    twin = desk.taken.get(not_shared(key))
    if twin is None:
        desk.lay(key, source)
        if key not in believed:
            desk.nodes[key] = root
        return
    _complain_of_twin(key, twin, source, root, desk)


def _key(kind: str, source: Source, root: Node) -> RecordKey:
    """Kind and id of a record; one that names no id goes by its place."""
    written = root.at(("id",)).value
    record_id = unicodedata.normalize("NFC", " ".join(written.split())) if isinstance(written, str) else ""
    return kind, record_id or ("shop" if kind == "shop" else f"(line {root.place[0]} of {source.path})")


def _complain_of_kind(name: str, source: Source, root: Node, desk: _Desk) -> None:
    """A record of no kind that is known spoils the one it was likely meant for, by its word or its keys."""
    wrong = f"{shown(name)} is not a kind of record" if name else "the record does not say its kind"
    likely = nearest(name, KINDS, at_most=1) or _kinds_by_keys(root)
    right = did_you_mean(name, KINDS)
    if not name:
        right = f"by its keys write 'kind: {likely[0]}'" if likely else f"write 'kind: ' and {one_of(KINDS)}"
    owners = tuple(_key(kind, source, root) for kind in likely if "id" in root.keys or kind == "shop")
    for owner in owners:
        desk.lay(owner, source)
    desk.found.append((owners, source.complain(root.at(("kind",)).place, wrong, right)))


def _kinds_by_keys(root: Node) -> list[str]:
    """The kind whose keys a record has most of; none where two kinds have as many."""
    shared = {kind: len(set(root.keys) & set(keys_of(model))) for kind, model in KINDS.items()}
    most = max(shared.values())
    likely = [kind for kind, count in shared.items() if count == most]
    return likely if len(likely) == 1 else []


def _complain_of_twin(key: RecordKey, twin: RecordKey, source: Source, root: Node, desk: _Desk) -> None:
    line, column = desk.sources[twin].line, 1
    if twin in desk.nodes:
        line, column, _ = desk.nodes[twin].at(("id",)).place
    where = f"{desk.sources[twin].path}:{line}:{column}"
    if key[0] == "shop":
        wrong, right = f"a second record of kind shop, the first at {where}", "keep one"
    else:
        wrong = f"the {key[0]} {shown(key[1])} is there already, at {where}"
        right = "give one of the two another id (capitals do not tell ids apart)"
    desk.lay(key, source)  # what names the second one is told of this alone
    desk.found.append(((twin, key), source.complain(root.at(("id",)).place, wrong, right)))


def _build_all(desk: _Desk) -> None:
    """Text → models, the shop first because it holds what parts leave out."""
    shop: dict[str, Any] = {}
    for key, node in sorted(desk.nodes.items(), key=lambda item: item[0][0] != "shop"):
        plain = node.plain()
        data = (
            {name: value for name, value in plain.items() if name not in OF_EVERY_RECORD}
            if isinstance(plain, dict)
            else {}
        )
        desk.find(key, _of_another_format(plain))
        if key[0] == "part":
            data = _with_shop(data, shop)
        record, findings = build(KINDS[key[0]], data)
        desk.find(key, findings)
        if record is not None:
            desk.find(key, beyond_sense(key[0], record, node))
            desk.records[key] = record
            if key[0] == "shop":
                shop = data


def _of_another_format(plain: Any) -> Iterator[Mistake]:
    """A record that says it was written for other rules is told so, whatever else it says."""
    written = plain.get("format", str(FORMAT)) if isinstance(plain, dict) else str(FORMAT)
    if written != str(FORMAT):
        told = shown(written) if isinstance(written, str) else "a group"
        wrong = f"the record is of format {told}, and this program reads format {FORMAT}"
        right = (
            f"change what CHANGES.md names for format {FORMAT}, and write 'format: {FORMAT}' or leave it out"
        )
        yield Mistake(("format",), wrong, right)


def _with_shop(data: dict[str, Any], shop: dict[str, Any]) -> dict[str, Any]:
    """The part's keys with the shop's record below those that the part states for itself."""
    own = data.get("shop", {})
    if not isinstance(own, dict):
        return data
    merged = {**shop, **own}
    units = data.get("units", merged.get("units", "metric"))
    if units == "inch":
        merged.setdefault("sine_bar", "5 in")
    return {**data, "units": units, "shop": merged}


def _check_all(desk: _Desk) -> None:
    """Standards resolved, sense asked, references followed."""
    for key, node in desk.nodes.items():
        desk.find(key, unresolved(node, key[0], desk.sources))
    for key, record in list(desk.records.items()):
        match record:
            case GaugeRecord():
                desk.records[key], findings = standards.gauge_with_standard(record)
                desk.find(key, [*findings, *gauge_findings(record)])
            case MachineRecord():
                desk.find(key, machine_findings(record))
            case WheelRecord():
                desk.find(key, wheel_findings(record))
            case BookletRecord():
                desk.find(key, standards.booklet_findings(record))
            case ShopRecord():
                desk.find(key, standards.slip_set_findings(record.slip_sets, ("slip_sets",)))
    for key, record in list(desk.records.items()):  # once their gauges and machines are known
        if isinstance(record, PartRecord):
            _check_part(key, record, desk)


def _check_part(key: RecordKey, part: PartRecord, desk: _Desk) -> None:
    part, findings = standards.with_standard(part)
    desk.records[key] = part
    desk.find(key, findings)
    desk.find(key, part_findings(part))
    desk.find(key, standards.material_findings(part))
    desk.find(key, standards.grade_findings(part))
    own = desk.nodes[key].at(("shop",))
    if isinstance(own.value, dict) and "slip_sets" in own.value:
        desk.find(key, standards.slip_set_findings(part.shop.slip_sets, ("shop", "slip_sets")))
    gauges = {
        name: record
        for name in (part.gauging.gauge, part.gauging.light_gauge)
        if name and isinstance(record := desk.records.get(("gauge", name)), GaugeRecord)
    }
    light = gauges.get(part.gauging.light_gauge or "")
    desk.find(key, gauges_fit_part(part, gauges.get(part.gauging.gauge), light))
    machine = desk.records.get(("machine", part.machine))
    if isinstance(machine, MachineRecord):
        desk.find(key, machine_fits_part(part, machine))


def _library(desk: _Desk) -> tuple[Library, list[Complaint]]:
    """The sound records, and the complaints each with all that it spoils."""
    users = dependants(desk.nodes, desk.sources)
    complaints = [
        replace(complaint, spoils=frozenset().union(*(closure(key, users) for key in owners)))
        for owners, complaint in desk.found
    ]
    spoilt = frozenset(key for complaint in complaints for key in complaint.spoils)
    sound: dict[str, dict[str, Any]] = {kind: {} for kind in KINDS}
    for (kind, record_id), record in desk.records.items():
        if (kind, record_id) not in spoilt:
            sound[kind][record_id] = record
    library = Library(
        parts=sound["part"],
        gauges=sound["gauge"],
        machines=sound["machine"],
        wheels=sound["wheel"],
        booklets=sound["booklet"],
        shop_record=next(iter(sound["shop"].values()), None),
        source_of=desk.sources,
        nodes=desk.nodes,
        dependants=users,
    )
    return library, sorted(set(complaints), key=lambda one: (one.path, one.line, one.column, one.wrong))
