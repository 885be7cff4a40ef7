"""What of a shop has to be read again: what changed since the index was kept, and whatever hangs on it.

A record hangs on those that it refers to, on the other operations of its piece, and on the shop's own record;
a record that is wrong, a part whose card is not known to be current, and a file with anything wrong in it are
read every time. All that these refer to is read beside them.
"""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from cardgen.shop.shop_index import KnownFile, KnownRecord, ShopIndex
from cardgen.spec.complaint import RecordKey, not_shared


@dataclass(frozen=True)
class Changed:
    """What lies in the shop otherwise than the index says."""

    files: Collection[str]  # changed, new or gone
    records: Mapping[RecordKey, KnownRecord]  # that changed and new files name
    alike: Collection[RecordKey]  # of them, those of which every letter stands as it did
    cards: Collection[str]  # parts whose card lies there otherwise, or of which something else would be told
    today: date


def to_read(index: ShopIndex, changed: Changed, only: Collection[str] = ()) -> set[RecordKey]:
    """The records to read; `only` names the parts that are asked for, where it is not the whole shop."""
    start = set(_in_doubt(index, changed))
    if not only:
        start |= set(_cards_in_doubt(index, changed))
    if not (start or only):
        return set()
    graph = _Graph(index, changed)
    if not only:
        return _all_from(_all_from(start, graph.hang_on), graph.needs)
    parts = {("part", part_id) for part_id in only}
    return _all_from(start | parts | {other for part in parts for other in graph.beside(part)}, graph.needs)


def _cards_in_doubt(index: ShopIndex, changed: Changed) -> Iterator[RecordKey]:
    """Parts whose card is not known to be current."""
    for file in index.files.values():
        for key in file.keys:
            if key[0] == "part" and (key[1] not in index.cards or key[1] in changed.cards):
                yield key


def _in_doubt(index: ShopIndex, changed: Changed) -> Iterator[RecordKey]:
    """Records that are not what the index says, or of which it says that something is wrong."""
    otherwise = changed.records.keys() - changed.alike
    yield from otherwise
    new_names = {not_shared(key) for key in otherwise}
    then, now = index.day.isoformat(), changed.today.isoformat()
    for path, file in index.files.items():
        if path in changed.files or not file.clean:
            yield from (key for key in file.keys if key not in changed.alike)
        if new_names:
            yield from (key for key in file.keys if not_shared(key) in new_names)
        if lapsed := {due for due in file.dues if (due < then) != (due < now)}:
            yield from (key for key, record in file.records.items() if record.due in lapsed)


class _Graph:
    """Which record needs which; of one that changed, as it was and as it is. Looks into what is asked."""

    def __init__(self, index: ShopIndex, changed: Changed) -> None:
        self._files, self._changed = index.files.values(), changed.records
        self._stands: dict[RecordKey, list[KnownFile]] = {}
        for file in self._files:
            for key in file.keys:
                self._stands.setdefault(key, []).append(file)
        self._all = self._stands.keys() | self._changed.keys()
        self._shops = {key for key in self._all if key[0] == "shop"}
        self._users: dict[str, dict[RecordKey, set[RecordKey]]] = {}

    def _as_was_and_is(self, key: RecordKey) -> Iterator[KnownRecord]:
        yield from (file.records[key] for file in self._stands.get(key, ()))
        if key in self._changed:
            yield self._changed[key]

    def _of(self, files: Iterable[KnownFile]) -> Iterator[tuple[RecordKey, KnownRecord]]:
        """The records of these files, and those that changed."""
        for file in files:
            yield from file.records.items()
        yield from self._changed.items()

    @cached_property
    def _pieces(self) -> dict[str, set[RecordKey]]:
        found: dict[str, set[RecordKey]] = {}
        for key, record in self._of(file for file in self._files if file.pieces):
            if record.piece:
                found.setdefault(record.piece, set()).add(key)
        return found

    def _users_of(self, key: RecordKey) -> Iterable[RecordKey]:
        """The records that refer to one."""
        kind = key[0]
        if kind not in self._users:
            found = self._users[kind] = {}
            for user, record in self._of(file for file in self._files if kind in file.kinds):
                for needed in record.refers_to:
                    found.setdefault(needed, set()).add(user)
        return self._users[kind].get(key, ())

    def beside(self, key: RecordKey) -> Iterator[RecordKey]:
        """The operations of the same piece."""
        for record in self._as_was_and_is(key):
            yield from self._pieces.get(record.piece, ()) if record.piece else ()

    def hang_on(self, key: RecordKey) -> Iterator[RecordKey]:
        """The records that a change of this one changes."""
        yield from self._users_of(key)
        yield from self.beside(key)
        if key[0] == "shop":
            yield from (each for each in self._all if each[0] == "part")

    def needs(self, key: RecordKey) -> Iterator[RecordKey]:
        """The records without which this one cannot be checked."""
        for record in self._as_was_and_is(key) if key[0] != "booklet" else ():
            yield from record.refers_to
        yield from self._shops


def _all_from(
    start: Iterable[RecordKey], leads_to: Callable[[RecordKey], Iterator[RecordKey]]
) -> set[RecordKey]:
    found = set(start)
    waiting = list(found)
    while waiting:
        for other in leads_to(waiting.pop()):
            if other not in found:
                found.add(other)
                waiting.append(other)
    return found
