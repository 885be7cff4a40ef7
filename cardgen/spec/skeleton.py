"""A record to fill in: every key with its meaning, what holds without it, and an example of its own.

What must be written, and what most records need, stands empty; the rest is commented out.
"""

import textwrap
from collections.abc import Iterator

from cardgen.spec.models import KINDS
from cardgen.spec.models.keys import Keys, Said, as_yaml, keys_of, said

INDENT, WIDTH = "  ", 100


def skeleton(kind: str, record_id: str, schema: str) -> str:
    """The text of a new spec file of this kind, tied to the schema that lies beside it."""
    head = [
        schema_line(schema),
        f"# A {kind}. Fill in what stands empty, or take it out where it says what holds when left out.",
        "# Take the # away from a key that you want. More of a key: 'cardgen keys' and its name.",
        f"kind: {kind}",
        f"id: {as_yaml(record_id)}",
    ]
    return "\n".join([*head, *_keys(KINDS[kind], "", "")]) + "\n"


def schema_line(schema: str) -> str:
    """What ties a spec to its schema: editors that know JSON Schema read it."""
    return f"# yaml-language-server: $schema={schema}"


def _keys(model: type[Keys], indent: str, off: str) -> Iterator[str]:
    """The lines of a group's keys; `off` is '#' where the whole group is commented out."""
    for key in said(model):
        if key.path != ("id",) or indent:
            yield from _key(key, indent, off)


def _key(key: Said, indent: str, off: str) -> Iterator[str]:
    asked = key.required or key.usual
    hidden = off or ("" if asked else "#")
    if not indent:
        yield ""
    yield from textwrap.wrap(
        _remark(key, bool(hidden)),
        WIDTH,
        initial_indent=f"{indent}# ",
        subsequent_indent=f"{indent}#   ",
        break_on_hyphens=False,
    )
    if key.below is None:
        written = as_yaml(key.example) if hidden else ""
        yield f"{indent}{hidden}{key.name}: {written}".rstrip()
    elif "id" in keys_of(key.below):  # a record in a record: its keys are told where that kind is
        yield f"{indent}{hidden}{key.name}: {key.example}"
    else:
        yield f"{indent}{hidden}{key.name}:"
        lines = list(_keys(key.below, indent + INDENT * (2 if key.many else 1), hidden))
        yield from _as_entry(lines, indent) if key.many else lines


def _as_entry(lines: list[str], indent: str) -> list[str]:
    """The first key of a group marked as an entry of a list, the remarks on it above the mark."""
    first = next(number for number, line in enumerate(lines) if not line.lstrip().startswith("# "))
    above = [f"{indent}{INDENT}{line.lstrip()}" for line in lines[:first]]
    return [*above, f"{indent}{INDENT}- {lines[first].lstrip()}", *lines[first + 1 :]]


def _remark(key: Said, hidden: bool) -> str:
    """What is said above a key; where it is commented out it shows its example itself."""
    facts = [key.meaning]
    if key.choices:
        facts.append(f"one of: {', '.join(key.choices)}")
    elif key.below is None and not hidden:
        facts.append(f"such as: {as_yaml(key.example)}")
    if not key.required and (key.below is None or key.usual):
        facts.append(f"left out: {key.unstated}")
    return "; ".join(facts)
