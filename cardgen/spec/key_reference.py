"""The reference of the keys: what the models say of them, and which papers show them, as was measured."""

import json
from collections.abc import Iterator
from functools import cache
from importlib.resources import files

from cardgen.spec.complaint import Refusal, did_you_mean, shown
from cardgen.spec.models import FORMAT, KINDS
from cardgen.spec.models.keys import Said, as_yaml, said_below, summary

SHOWN_ON = "shown_on.json"
NO_PAPER = "no paper: it names the record"


@cache
def shown_on() -> dict[str, tuple[str, ...]]:
    """Key, as 'part.taper.length' → the papers that another value of it changes."""
    held = json.loads((files("cardgen.spec") / SHOWN_ON).read_text("utf-8"))
    return {key: tuple(filter(None, papers.split(", "))) for key, papers in held.items()}


@cache
def every_key() -> tuple[Said, ...]:
    """Every key of every kind of record, each group before its keys."""
    return tuple(each for kind, model in KINDS.items() for each in said_below(model, (kind,)))


def about(asked: str) -> list[str]:
    """What is told of a kind, a group, a key or a key's bare name; nothing asked: of each key a line.

    Raises Refusal for what is no key.
    """
    if not asked:
        return [line for kind in KINDS for line in _short(kind)]
    found = [key for key in every_key() if f"{key.dotted}.".startswith(f"{asked}.") or key.name == asked]
    if not found:
        known = [*KINDS, *(key.dotted for key in every_key()), *(key.name for key in every_key())]
        raise Refusal(f"{shown(asked)} is no key of a spec", did_you_mean(asked, known))
    return [line for key in found for line in _whole(key)]


def _short(kind: str) -> Iterator[str]:
    yield f"{kind}: {summary(KINDS[kind])}"
    for key in every_key():
        if key.path[0] == kind:
            yield f"  {key.dotted:<42} {key.meaning}"


def _whole(key: Said) -> Iterator[str]:
    yield key.dotted
    yield f"    {key.meaning}"
    for what, told in _facts(key).items():
        yield f"    {what:<9} {told}"


def _facts(key: Said) -> dict[str, str]:
    """What else is told of a key, by what it answers."""
    facts = {"written": key.written}
    if key.example:
        facts["such as"] = f"{key.name}: {as_yaml(key.example)}"
    facts["left out"] = "must be written" if key.required else key.unstated
    if key.dotted in shown_on():
        facts["shown on"] = ", ".join(shown_on()[key.dotted]) or NO_PAPER
    return facts


PAGE = f"""\
# The keys of the specs

Made from the program's own models, so that it cannot lag behind them; `cardgen keys` prints the same, and
`cardgen keys part.taper` a part of it.

Every record starts with its `kind`, and may say the `format: {FORMAT}` that it was written for
(left out: this program's own). Every quantity carries its unit, and lengths are in inches or
millimetres as the print has them. Text that some readers of YAML take for something else stands in
quotes: a ratio (`"1:8"`), a date, what starts with `%`.

*Shown on*: the papers that another value of the key changes. *Values* is the JSON of `cardgen
values`, *notice* the change notice.
"""


def page() -> str:
    """The whole reference in Markdown."""
    return PAGE + "".join(f"\n## {kind}\n\n{summary(KINDS[kind])}\n\n{_table(kind)}" for kind in KINDS)


def _table(kind: str) -> str:
    lines = ["| key | meaning | written | such as | left out | shown on |", "|---|---|---|---|---|---|"]
    for key in every_key():
        if key.path[0] == kind:
            facts = _facts(key)
            such_as = f"`{as_yaml(key.example)}`" if key.example else ""
            cells = [f"`{key.dotted.partition('.')[2]}`", key.meaning, facts["written"], such_as]
            cells += [facts["left out"], facts.get("shown on", "")]
            lines.append(f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in cells)} |")
    return "\n".join(lines) + "\n"
