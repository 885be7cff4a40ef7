"""Which records refer to which, read from the text itself so that spoilt records count too."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from cardgen.spec.complaint import Mistake, RecordKey, did_you_mean, shown
from cardgen.spec.yamlfile import DOCUMENT_MARK, Node

_REFERENCES: dict[str, tuple[tuple[tuple[str, ...], str], ...]] = {
    "part": (
        (("machine",), "machine"),
        (("wheel",), "wheel"),
        (("gauging", "gauge"), "gauge"),
        (("gauging", "light_gauge"), "gauge"),
    ),
    "gauge": ((("master",), "gauge"),),
    "booklet": ((("machines",), "machine"), (("parts",), "part")),
}


@dataclass(frozen=True)
class Reference:
    """A record named in another record."""

    at: tuple[str | int, ...]
    kind: str
    id: str  # or 'all' in a booklet


def references(kind: str, node: Node) -> Iterator[Reference]:
    """Every reference in a record."""
    for path, wanted in _REFERENCES.get(kind, ()):
        found = _exactly(node, path)
        if found is None and kind == "booklet":
            yield Reference(path, wanted, "all")
        listed: list[tuple[tuple[str | int, ...], Node]] = [(path, found)] if found else []
        if found and isinstance(found.value, list) and kind == "booklet":
            listed = [((*path, index), entry) for index, entry in enumerate(found.value)]
        for at, entry in listed:
            if isinstance(entry.value, str) and entry.value.strip():
                yield Reference(at, wanted, entry.value.strip())


def _exactly(node: Node, path: tuple[str, ...]) -> Node | None:
    for step in path:
        below = node.value.get(step) if isinstance(node.value, dict) else None
        if below is None:
            return None
        node = below
    return node


def unresolved(node: Node, kind: str, known: Mapping[RecordKey, object]) -> Iterator[Mistake]:
    """References to records that stand nowhere, with the nearest that do."""
    for reference in references(kind, node):
        if (reference.kind, reference.id) in known or (kind == "booklet" and reference.id == "all"):
            continue
        ids = [record_id for other, record_id in known if other == reference.kind]
        advice = did_you_mean(reference.id, ids) if ids else f"write a record of kind {reference.kind}"
        others = [other for other, record_id in known if record_id == reference.id]
        instead = f", it is that of a {others[0]}" if others else ""
        wrong = f"there is no {reference.kind} with the id {shown(reference.id)}{instead}"
        yield Mistake(reference.at, wrong, advice)


def dependants(
    nodes: Mapping[RecordKey, Node], known: Mapping[RecordKey, object]
) -> dict[RecordKey, frozenset[RecordKey]]:
    """For each record the records that refer to it; every part hangs on the shop's own record."""
    found: dict[RecordKey, set[RecordKey]] = {}
    shops = [key for key in known if key[0] == "shop"]
    for user, node in nodes.items():
        for reference in references(user[0], node):
            named = [(reference.kind, reference.id)]
            if user[0] == "booklet" and reference.id == "all":
                named = [key for key in known if key[0] == reference.kind]
            for key in named:
                found.setdefault(key, set()).add(user)
        if user[0] == "part":
            for key in shops:
                found.setdefault(key, set()).add(user)
    return {key: frozenset(users) for key, users in found.items()}


_WRITTEN = re.compile(r"^[ \t]*[^#\s]", re.M)
_SNIFF = {
    name: re.compile(rf"^{name}:[ \t]+['\"]?([^'\"#\n]+?)['\"]?[ \t]*(?:#.*)?$", re.M)
    for name in ("kind", "id")
}


def sniffed(text: str) -> RecordKey | None:
    """Kind and id of a document whose YAML cannot be parsed, as far as its lines still tell them."""
    kind, record_id = (_SNIFF[name].search(text) for name in ("kind", "id"))
    if kind and kind.group(1) == "shop":
        return "shop", record_id.group(1) if record_id else "shop"
    return (kind.group(1), record_id.group(1)) if kind and record_id else None


def all_sniffed(text: str) -> list[RecordKey | None]:
    """As `sniffed`, of each document of a file that is not empty."""
    return [sniffed(document) for document in DOCUMENT_MARK.split(text) if _WRITTEN.search(document)]


def ids_in(specs: Path, kind: str) -> list[str]:
    """Ids of the records of a kind as far as the lines of the files tell them: at once, for a shell."""
    texts = (path.read_text("utf-8", "replace") for path in sorted(specs.rglob("*.y*ml")))
    found = (key for text in texts for key in all_sniffed(text))
    return sorted({key[1] for key in found if key is not None and key[0] == kind})
