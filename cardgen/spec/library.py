"""The library: every sound record of a shop, and where each stands, for messages found later."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from cardgen.spec.complaint import Complaint, Mistake, RecordKey, Source

if TYPE_CHECKING:
    from cardgen.spec.models import (
        BookletRecord,
        GaugeRecord,
        MachineRecord,
        PartRecord,
        ShopRecord,
        WheelRecord,
    )
    from cardgen.spec.yamlfile import Node


@dataclass(frozen=True)
class Library:
    """The records that can be used: those without a mistake of their own or in what they refer to.

    `source_of` knows every record that was named, the spoilt ones too.
    """

    parts: "Mapping[str, PartRecord]"
    gauges: "Mapping[str, GaugeRecord]"
    machines: "Mapping[str, MachineRecord]"
    wheels: "Mapping[str, WheelRecord]"
    booklets: "Mapping[str, BookletRecord]"
    shop_record: "ShopRecord | None"
    source_of: Mapping[RecordKey, Source]
    nodes: "Mapping[RecordKey, Node]" = field(default_factory=dict, repr=False)
    dependants: Mapping[RecordKey, frozenset[RecordKey]] = field(default_factory=dict, repr=False)
    _with_users: dict[RecordKey, frozenset[RecordKey]] = field(
        default_factory=dict, compare=False, repr=False
    )

    @property
    def shop(self) -> "ShopRecord":
        """The shop's own record; one that leaves everything out, where there is none or it was not read."""
        if self.shop_record is not None:
            return self.shop_record
        from cardgen.spec.models import ShopRecord

        return ShopRecord()

    def complain(
        self, kind: str, record_id: str, field_path: str | tuple[str | int, ...], wrong: str, right: str
    ) -> Complaint:
        """A complaint at the place of a field ('taper.gauge_line.diameter', keys as in the file).

        Where the field is not written, at the nearest group above it. It spoils the record and all that
        refer to it. KeyError where there is no such record.
        """
        key = (kind, record_id)
        path = _steps(field_path) if isinstance(field_path, str) else field_path
        return placed(self.source_of[key], self.nodes[key], Mistake(path, wrong, right), self.with_users(key))

    def with_users(self, key: RecordKey) -> frozenset[RecordKey]:
        """The record and every record that refers to it, directly or through another."""
        if key not in self._with_users:
            self._with_users[key] = closure(key, self.dependants)
        return self._with_users[key]

    def ids(self, kind: str) -> list[str]:
        """The ids of every record of this kind that was named, spoilt or not, in order."""
        return sorted(record_id for named, record_id in self.source_of if named == kind)


def _steps(field_path: str) -> tuple[str | int, ...]:
    """'swivel.scales[1].shows' → ('swivel', 'scales', 0, 'shows'): lists are counted from one in words."""
    found = re.findall(r"\[(\d+)\]|([^.\[\]]+)", field_path)
    return tuple(int(index) - 1 if index else name for index, name in found)


def placed(source: Source, node: "Node", finding: Mistake, spoils: Iterable[RecordKey] = ()) -> Complaint:
    """The finding with its place in the file."""
    place = node.at(finding.at).place
    if finding.on_key:
        place = node.at(finding.at[:-1]).keys.get(str(finding.at[-1]), place)
    return source.complain(place, finding.wrong, finding.right, spoils, finding.piece)


def closure(key: RecordKey, dependants: Mapping[RecordKey, frozenset[RecordKey]]) -> frozenset[RecordKey]:
    """The record and all that hang on it."""
    found, waiting = {key}, [key]
    while waiting:
        for user in dependants.get(waiting.pop(), frozenset()):
            if user not in found:
                found.add(user)
                waiting.append(user)
    return frozenset(found)
