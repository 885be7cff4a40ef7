"""Spec files → the library of a shop, and every complaint about them.

Nothing stops at the first mistake. A complaint names the records that it spoils: the record it stands
in and all that refer to it; the others can still be used.
"""

import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from cardgen.spec import standards
from cardgen.spec.build import build
from cardgen.spec.complaint import Complaint, Mistake, RecordKey, did_you_mean, nearest, one_of, shown
from cardgen.spec.library import Library, Source, closure, placed
from cardgen.spec.models import (
    FORMAT,
    KINDS,
    OF_EVERY_RECORD,
    BookletRecord,
    GaugeRecord,
    MachineRecord,
    PartRecord,
    ShopRecord,
    WheelRecord,
)
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

Record = PartRecord | GaugeRecord | MachineRecord | WheelRecord | BookletRecord | ShopRecord


@dataclass
class _Desk:
    """What has been read so far."""

    sources: dict[RecordKey, Source] = field(default_factory=dict)
    nodes: dict[RecordKey, Node] = field(default_factory=dict)
    records: dict[RecordKey, Record] = field(default_factory=dict)
    found: list[tuple[tuple[RecordKey, ...], Complaint]] = field(default_factory=list)

    def find(self, key: RecordKey, findings: Iterable[Mistake]) -> None:
        for finding in findings:
            complaint = placed(self.sources[key].path, self.nodes[key], finding, ())
            self.found.append(((key,), complaint))

    def of_kind(self, kind: str) -> Iterator[tuple[RecordKey, Record]]:
        return ((key, record) for key, record in list(self.records.items()) if key[0] == kind)


def load_documents(
    contents: Mapping[Path, bytes], root: Path | None = None
) -> tuple[Library, list[Complaint]]:
    """Parse, check and resolve what these files hold; messages name each file as seen from `root`.

    The library holds the sound records only; the complaints are in the order of the files.
    """
    desk = _Desk()
    for path, content in sorted(contents.items()):
        for document in _documents(path, content, root, desk):
            _take(document, desk)
    _build_all(desk)
    _check_all(desk)
    return _library(desk)


def _documents(path: Path, content: bytes, root: Path | None, desk: _Desk) -> list[Document]:
    name = path.relative_to(root).as_posix() if root and path.is_relative_to(root) else str(path)
    documents, complaints = read_documents(name, content)
    for complaint in complaints:
        desk.found.append((_owners(complaint, documents), complaint))
    return documents


def _owners(complaint: Complaint, documents: list[Document]) -> tuple[RecordKey, ...]:
    """The records that a complaint about YAML spoils: its own, or all of a file that cannot be read."""
    before = [document for document in documents if document.line <= complaint.line]
    concerned = [document for document in documents if document.unread] or before[-1:]
    return tuple(key for document in concerned if (key := sniffed(document.text)))


def _take(document: Document, desk: _Desk) -> None:
    """Put a document on the desk under its kind and id, or say why it cannot be."""
    root = document.root
    source = Source(document.path, document.line, document.text)
    if root is None:
        key = sniffed(document.text)
        if key:
            desk.sources.setdefault(key, source)
        return
    if not isinstance(root.value, dict):
        _unowned(desk, document, root, "a record is a group of keys", "start with 'kind: part' and 'id: …'")
        return
    kind = root.value.get("kind")
    name = kind.value if kind and isinstance(kind.value, str) else ""
    if kind is None or name not in KINDS:
        wrong = f"{shown(name)} is not a kind of record" if name else "the record does not say its kind"
        right = did_you_mean(name, KINDS) if name else f"write 'kind: ' and {one_of(KINDS)}"
        near = nearest(name, KINDS, at_most=1)
        _unowned(desk, document, kind or root, wrong, right, (("shop", "shop"),) if near == ["shop"] else ())
        return
    written = root.value.get("id")
    record_id = written.value if written and isinstance(written.value, str) else ""
    record_id = unicodedata.normalize("NFC", " ".join(record_id.split())) or (
        "shop" if name == "shop" else f"(line {root.line} of {document.path})"
    )
    key = (name, record_id)
    twin = _twin(key, desk)
    if twin is None:
        desk.sources[key], desk.nodes[key] = source, root
        return
    _complain_of_twin(key, twin, document, written or root, desk)


def _unowned(
    desk: _Desk, document: Document, node: Node, wrong: str, right: str, owners: tuple[RecordKey, ...] = ()
) -> None:
    """Say what is wrong with a document that is no record; it spoils nothing but perhaps the shop's."""
    for owner in owners:
        desk.sources.setdefault(owner, Source(document.path, document.line, document.text))
    desk.found.append((owners, Complaint(document.path, node.line, node.column, wrong, right)))


def _twin(key: RecordKey, desk: _Desk) -> RecordKey | None:
    """The record that this one cannot stand beside: the same id but for capitals, or another shop."""
    for other in desk.sources:
        if other[0] == key[0] and (key[0] == "shop" or other[1].casefold() == key[1].casefold()):
            return other
    return None


def _complain_of_twin(key: RecordKey, twin: RecordKey, document: Document, at: Node, desk: _Desk) -> None:
    node = desk.nodes.get(twin)
    first = node.at(("id",)) if node else None
    line, column = (first.line, first.column) if first else (desk.sources[twin].line, 1)
    where = f"{desk.sources[twin].path}:{line}:{column}"
    if key[0] == "shop":
        wrong, right = f"a second record of kind shop, the first at {where}", "keep one"
    else:
        wrong = f"the {key[0]} {shown(key[1])} is there already, at {where}"
        right = "give one of the two another id (capitals do not tell ids apart)"
    desk.found.append(((twin,), Complaint(document.path, at.line, at.column, wrong, right)))


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
        if isinstance(record, GaugeRecord):
            desk.records[key], findings = standards.gauge_with_standard(record)
            desk.find(key, [*findings, *gauge_findings(record)])
        elif isinstance(record, MachineRecord):
            desk.find(key, machine_findings(record))
        elif isinstance(record, WheelRecord):
            desk.find(key, wheel_findings(record))
        elif isinstance(record, BookletRecord):
            desk.find(key, standards.booklet_findings(record))
        elif isinstance(record, ShopRecord):
            desk.find(key, standards.slip_set_findings(record.slip_sets, ("slip_sets",)))
    for key, record in desk.of_kind("part"):
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
    complaints = []
    for owners, complaint in desk.found:
        spoils = frozenset().union(*(closure(key, users) for key in owners))
        complaints.append(
            Complaint(
                complaint.path, complaint.line, complaint.column, complaint.wrong, complaint.right, spoils
            )
        )
    spoilt = frozenset(key for complaint in complaints for key in complaint.spoils)
    sound = {key: record for key, record in desk.records.items() if key not in spoilt}
    shops = [record for record in sound.values() if isinstance(record, ShopRecord)]
    library = Library(
        parts={key[1]: record for key, record in sound.items() if isinstance(record, PartRecord)},
        gauges={key[1]: record for key, record in sound.items() if isinstance(record, GaugeRecord)},
        machines={key[1]: record for key, record in sound.items() if isinstance(record, MachineRecord)},
        wheels={key[1]: record for key, record in sound.items() if isinstance(record, WheelRecord)},
        booklets={key[1]: record for key, record in sound.items() if isinstance(record, BookletRecord)},
        shop=shops[0] if shops else ShopRecord(),
        source_of=desk.sources,
        spoilt=spoilt,
        nodes=desk.nodes,
        dependants=users,
    )
    return library, sorted(set(complaints), key=lambda one: (one.path, one.line, one.column, one.wrong))
