"""What every command shares: the shop's folder, the exit status, how to give up, how a paper is kept."""

import os
import sys
import unicodedata
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

if TYPE_CHECKING:
    from cardgen.shop.folder import Shop
    from cardgen.spec import Complaint

WRONG = 2
FAULT = 3  # of the program itself
STOPPED = 130  # by Ctrl-C, as shells count it
UNSEEN = ("Cc", "Cf", "Cs", "Zl", "Zp")  # categories of characters that move a terminal's text or its cursor

shop_option = click.option(
    "--shop",
    "folder",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path("."),
    help="The shop's folder (default: here).",
)


def say(line: str, err: bool = False) -> None:
    """A line for a person: what a spec or a foreign file may have hidden in it is written out (\\x1b)."""
    click.echo("".join(map(_seen, line)), err=err)


def said(line: str) -> bool:
    """Say a line; False where nobody reads any more (`| head -1`): the work goes on all the same."""
    try:
        say(line)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # nor is there a complaint at the end
        return False
    return True


def _seen(letter: str) -> str:
    hidden = unicodedata.category(letter) in UNSEEN
    return letter.encode("unicode_escape").decode("ascii") if hidden else letter


def tell(complaints: Iterable["Complaint"]) -> None:
    """Complaints about specs, each with the line of the file that it is about."""
    for complaint in complaints:
        for line in complaint.lines:
            say(line, err=True)


def give_up(lines: Iterable[str], status: int = WRONG) -> NoReturn:
    """Say what is wrong, and out."""
    for line in lines:
        say(line, err=True)
    sys.exit(status)


def keep(shop: "Shop", name: str, kind: str, drawn: bytes) -> str:
    """Put a paper into the out folder, whole or not at all; what became of it, in words."""
    from cardgen.shelf.wanted import file_name
    from cardgen.shelf.writing import alone, write_if_different

    path = shop.out / file_name(name, kind)
    if path.name in {file_name(part_id) for part_id in shop.part_ids}:
        give_up([f"{path} is the card of another part; give that part an id that does not end in '-{kind}'"])
    with alone(shop.out):
        made = write_if_different(path, drawn)
    return f"{path}: {'made' if made else 'is current'}"
