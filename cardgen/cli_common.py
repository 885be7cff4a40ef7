"""What every command shares: the shop's folder, the exit status, how to give up, how a paper is kept."""

import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

if TYPE_CHECKING:
    from cardgen.shop import Shop

WRONG = 2

shop_option = click.option(
    "--shop",
    "folder",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path("."),
    help="The shop's folder (default: here).",
)


def give_up(lines: Iterable[str]) -> NoReturn:
    """Say what is wrong, and out."""
    for line in lines:
        click.echo(line, err=True)
    sys.exit(WRONG)


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
