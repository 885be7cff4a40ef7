"""The commands for whoever writes specs: what may be written, what is wrong with it, what to start from."""

import sys
from dataclasses import replace
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING

import click

from cardgen.commands.common import (
    FAULT,
    WRONG,
    read_shop,
    require_known,
    say,
    say_json,
    sign_of_life,
    tell,
)
from cardgen.commands.typed import GroupWithExamples, command, parts_argument, shop_here, shop_option

if TYPE_CHECKING:
    from cardgen.spec.complaint import Complaint

DOUBTFUL = 1


def _known_keys(_context: click.Context, _parameter: click.Parameter, begun: str) -> list[str]:
    from cardgen.spec.key_reference import shown_on

    return [key for key in shown_on() if key.startswith(begun)]


@command("keys", "cardgen keys", "cardgen keys gauge", "cardgen keys part.taper", "cardgen keys relief")
@click.argument("key", required=False, default="", shell_complete=_known_keys)
def keys(key: str) -> None:
    """Tell what can be written in a spec: every key, or all about KEY.

    KEY is a kind of record ('gauge'), a group ('part.taper'), a key ('part.taper.relief') or its bare name
    ('relief').
    """
    from cardgen.spec.key_reference import about

    for line in about(key):
        say(line)


@command("check", "cardgen check", "cardgen check SN-204")
@parts_argument()
@shop_option
def check(parts: tuple[str, ...], folder: Path) -> None:
    """Tell everything wrong or doubtful in the specs of PARTS (of the whole shop, when none is named).

    Each with its file, line and column; nothing is made. Exit status 0: nothing; 1: doubtful, the cards can
    be made; 2: wrong, and what refers to it gets no card; 3: the program itself failed.
    """
    from cardgen.shop.trial import trial

    shop = read_shop(folder)
    require_known(shop, parts)
    with sign_of_life("trying the cards"):
        wrong, doubtful = trial(shop, parts or shop.part_ids)
    tell(sorted({*_levelled("error", wrong), *_levelled("warning", doubtful)}), err=False)
    for fault in shop.faults:
        say(fault, err=True)
    say(f"{_counted(len(wrong), 'error')}, {_counted(len(doubtful), 'warning')}")
    sys.exit(FAULT if shop.faults else WRONG if wrong else DOUBTFUL if doubtful else 0)


def _levelled(level: str, complaints: "tuple[Complaint, ...]") -> "list[Complaint]":
    return [replace(each, wrong=f"{level}: {each.wrong}") for each in complaints]


def _counted(count: int, what: str) -> str:
    return f"{count or 'no'} {what}{'' if count == 1 else 's'}"


@command("schema", "cardgen schema > specs/record-schema.json")
def schema() -> None:
    """Print the JSON Schema of the spec files, for an editor's completion."""
    from cardgen.spec.schema import json_schema

    say_json(json_schema())


@click.group(cls=GroupWithExamples, examples=("cardgen new shop my-shop", "cardgen new part SN-301"))
def new() -> None:
    """Lay down something to start from; nothing is ever written over."""


@command("shop", "cardgen new shop my-shop", "cardgen new shop my-shop --empty")
@click.argument("folder", metavar="DIR", type=click.Path(file_okay=False, path_type=Path))
@click.option("--empty", is_flag=True, help="No demo parts: only the shop's own record, to fill in.")
def new_shop(folder: Path, empty: bool) -> None:
    """Lay down a shop in DIR, new or empty: specs, templates, and a folder 'out' for the papers."""
    from cardgen.shop.starting import lay_down, lay_down_empty

    if empty:
        lay_down_empty(folder)
        say(f"{folder}: specs and out are there, nothing in them but specs/shop.yaml; try:")
        say(f"  cardgen new machine CG-1 --shop {quote(str(folder))}   (then a wheel, a gauge, a part)")
    else:
        lay_down(folder)
        say(f"{folder}: specs, templates and out are there; try: cardgen make --shop {quote(str(folder))}")


def _new_record(kind: str, example: str) -> click.Command:
    """`cardgen new part ID` and its like."""

    def lay(record_id: str, folder: Path) -> None:
        from cardgen.shop.starting import lay_record

        path = lay_record(folder, kind, record_id)
        named = "" if folder == shop_here() else f" --shop {quote(str(folder))}"
        say(f"{path}: fill in what stands empty, then: cardgen check{named}")
        say(f"what a key means: cardgen keys {kind}")

    lay.__doc__ = f"""Lay a skeleton of a {kind} ID into the shop's specs, to fill in.

    It holds every key with its meaning, what holds without it, and an example; what may be left out is
    commented out. The file is specs/{"" if kind == "part" else f"{kind}-"}ID.yaml.
    """
    with_id = click.argument("record_id", metavar="ID")
    return command(kind, f"cardgen new {kind} {example}")(with_id(shop_option(lay)))


new.add_command(new_shop)
for each in (
    ("part", "SN-301"),
    ("gauge", "R-301"),
    ("machine", "CG-4"),
    ("wheel", "W-A46"),
    ("booklet", "binder"),
):
    new.add_command(_new_record(*each))
