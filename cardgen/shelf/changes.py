"""What differs between two makings of a card: in its inputs, line by line, and in its values."""

import difflib
import json
import math
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from cardgen.bounds import most
from cardgen.card.exchange_values import Cause, Change, LineChange
from cardgen.shelf.digest import Input, sha256
from cardgen.shelf.made_from import Ingredient, packed_json

ENTRY = re.compile(r"[{},]|[^{},]+")

ISSUE = "issue of "  # the input that tells the issue of a card after its first

SAME_NUMBER = 1e-9  # relative: below this two machines' last binary digits differ, not the card

# What the drawing gives: where one of these is another, the drawing's revision must be another too. All else
# (a gauge calibrated anew, a machine's new dial, allowances, wording) makes another issue of the card.
DRAWING_VALUES = (
    "taper.callout",
    "taper.standard",
    "taper.side",
    "taper.ratio",
    "taper.gauge_line_diameter_mm",
    "taper.gauge_line_from_face_mm",
    "taper.gauge_line_low_mm",
    "taper.gauge_line_high_mm",
    "taper.length_mm",
    "taper.relief_mm",
    "taper.angle_tolerance_text",
    "title.material",
    "title.hardness",
)


def causes(then: Iterable[Ingredient], now: Iterable[Input]) -> tuple[Cause, ...]:
    """Inputs that are new, gone or changed since a card was made, in the order of their names.

    The card's issue is none: it follows from what else changed.
    """
    was = {one.name: one for one in then if not one.name.startswith(ISSUE)}
    is_now = {one.name: one for one in now if not one.name.startswith(ISSUE)}
    found = []
    for name in sorted(was.keys() | is_now.keys()):
        old, new = was.get(name), is_now.get(name)
        if old is None and new is not None:
            found.append(Cause(name, new.file, "added", ()))
        elif old is not None and new is None:
            found.append(Cause(name, "", "dropped", ()))
        elif old is not None and new is not None and old.sha256 != new.sha256:
            found.append(Cause(name, new.file, "changed", _lines(old, new)))
    return tuple(found)


def value_changes(old: Mapping[str, Any], new: Mapping[str, Any]) -> tuple[Change, ...]:
    """The values that differ, in the card's own order; the code, which always differs, left out."""
    found = _differences("", json.loads(json.dumps(old)), json.loads(json.dumps(new)))
    return tuple(change for change in found if change.path != "title.code")


def of_the_drawing(changes: Iterable[Change]) -> tuple[Change, ...]:
    """Those changes for which the drawing's revision has to be raised."""
    return tuple(change for change in changes if change.path in DRAWING_VALUES)


def said(values: Mapping[str, Any]) -> str:
    """Digest of all that a card says but for its code and issue, the same on every machine."""
    title = {key: value for key, value in values["title"].items() if key not in ("code", "issue")}
    return sha256(packed_json(_plain({**values, "title": title})))


def _plain(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(each) for each in value]
    return _key(value)


def cause_texts(cause: Cause) -> list[str]:
    """Each changed line of an input with its place, or the input alone where its text is not kept."""
    name = f"{cause.file} ({cause.name})" if cause.file else cause.name
    if cause.what != "changed" or not cause.lines:
        return [f"{name} {cause.what}"]
    if not cause.file:
        return [f"{cause.name}: {_quoted(one.old)} → {_quoted(one.new)}" for one in cause.lines]
    texts = []
    for one in cause.lines:
        old, new = _narrowed(one.old, one.new)
        texts.append(f"{cause.file} line {one.line}: {_quoted(old)} → {_quoted(new)}")
    return texts


def _narrowed(old: str, new: str) -> tuple[str, str]:
    """Two versions of a line in braces without the entries they share: 'tolerance: ± 0.01 mm'."""
    was, now = ENTRY.findall(old), ENTRY.findall(new)
    if "{" not in was or "{" not in now:
        return old, new
    while was and now and was[0] == now[0]:
        del was[0], now[0]
    while was and now and was[-1] == now[-1]:
        del was[-1], now[-1]
    shorter = "".join(was).strip(" ,"), "".join(now).strip(" ,")
    return shorter if shorter[0] != shorter[1] else (old, new)


def _quoted(line: str) -> str:
    return f"‘{line}’" if line else "nothing"


def _lines(old: Ingredient, new: Input) -> tuple[LineChange, ...]:
    if old.text is None:
        return ()
    before = old.text.splitlines()
    after = new.content.decode("utf-8", "replace").splitlines()
    if max(len(before), len(after)) > most("spec.lines"):
        return ()  # no spec is so long, and to compare every line with every other would not end
    found = []
    matcher = difflib.SequenceMatcher(None, before, after, autojunk=False)
    for tag, i1, i2, j1, j2 in matcher.get_opcodes():
        if tag == "equal":
            continue
        for step in range(max(i2 - i1, j2 - j1)):
            was = before[i1 + step].strip() if i1 + step < i2 else ""
            is_now = after[j1 + step].strip() if j1 + step < j2 else ""
            if was or is_now:
                line = new.first_line + min(j1 + step, max(j2 - 1, j1))
                found.append(LineChange(line, was, is_now))
    return tuple(found)


def _differences(path: str, old: Any, new: Any) -> list[Change]:
    if isinstance(old, dict) and isinstance(new, dict):
        return _in_order(path, old, new, lambda key: f"{path}.{key}" if path else key)
    if isinstance(old, list) and isinstance(new, list):
        handle = _handle([old, new])
        if handle is not None:
            return _in_order(
                path,
                {_key(row[handle]): row for row in old},
                {_key(row[handle]): row for row in new},
                lambda key: f"{path}[{handle}={key}]",
            )
    return [] if _same(old, new) else [Change(path, old, new)]


def _in_order(path: str, old: Mapping[str, Any], new: Mapping[str, Any], name: Any) -> list[Change]:
    found: list[Change] = []
    for key in [*new, *(key for key in old if key not in new)]:
        found.extend(_differences(name(key), old.get(key), new.get(key)))
    return found


def _handle(tables: Sequence[list[Any]]) -> str | None:
    """The first key that tells the rows of each table apart; None when the rows are not records."""
    rows = [row for table in tables for row in table]
    if not rows or not all(isinstance(row, dict) for row in rows):
        return None
    for key in rows[0]:
        if all(key in row and isinstance(row[key], str | int | float) for row in rows) and all(
            len({_key(row[key]) for row in table}) == len(table) for table in tables
        ):
            return str(key)
    return None


def _key(value: Any) -> str:
    return f"{value:.9g}" if isinstance(value, float) else str(value)


def _same(old: Any, new: Any) -> bool:
    if isinstance(old, list) and isinstance(new, list):
        return len(old) == len(new) and all(_same(a, b) for a, b in zip(old, new, strict=True))
    if isinstance(old, dict) and isinstance(new, dict):
        return old.keys() == new.keys() and all(_same(old[key], new[key]) for key in old)
    numbers = isinstance(old, int | float) and isinstance(new, int | float)
    if numbers and not isinstance(old, bool) and not isinstance(new, bool):
        return math.isclose(old, new, rel_tol=SAME_NUMBER, abs_tol=1e-12)
    return bool(old == new)
