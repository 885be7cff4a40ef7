"""The commands: parse, call, print. No sums and no layout here."""

import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

if TYPE_CHECKING:
    from cardgen.shop import Shop

NEEDS_DOING = 1
WRONG = 2

shop_option = click.option(
    "--shop",
    "folder",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path("."),
    help="The shop's folder (default: here).",
)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="cardgen")
def commands() -> None:
    """Printable set-up cards and gauge tables for grinding tapers between centres."""


def main() -> None:
    """The command `cardgen`: every trouble a person can cause ends here in plain words."""
    from cardgen.shelf.trouble import ShelfError
    from cardgen.shop import NoSuchShopError

    try:
        commands(prog_name="cardgen")
    except (NoSuchShopError, ShelfError) as trouble:
        _give_up([str(trouble)])
    except OSError as trouble:
        _give_up([f"{trouble.filename or 'file'}: {trouble.strerror or trouble}"])


def _give_up(lines: Iterable[str]) -> NoReturn:
    for line in lines:
        click.echo(line, err=True)
    sys.exit(WRONG)


def _read_shop(folder: Path) -> "Shop":
    from cardgen.shop import Shop

    return Shop.read(folder)


def _sound_part(shop: "Shop", part_id: str) -> str:
    """The part's id if it can get a card; else everything that keeps it from one, and out."""
    from cardgen.spec.complaint import did_you_mean

    if part_id not in shop.part_ids:
        _give_up([f"no part '{part_id}' in {shop.folder}; {did_you_mean(part_id, shop.part_ids)}"])
    complaints = shop.complaints_of(part_id)
    if complaints:
        _give_up(str(complaint) for complaint in complaints)
    return part_id


@commands.command()
@click.argument("part")
@shop_option
def values(part: str, folder: Path) -> None:
    """Print everything the card of PART knows, as JSON."""
    import json

    from cardgen.card.values import as_plain

    shop = _read_shop(folder)
    card = shop.card(_sound_part(shop, part)).card
    click.echo(json.dumps(as_plain(card), ensure_ascii=False, indent=2, allow_nan=False))


@commands.command(context_settings={"ignore_unknown_options": True})  # a reading may be below zero
@click.argument("part")
@click.argument("reading")
@shop_option
def stock(part: str, reading: str, folder: Path) -> None:
    """Tell the stock left on PART at this READING ('5/32 in', '4.5 mm'), and how far to feed for it."""
    from cardgen.paper.answer import answer_lines
    from cardgen.spec.complaint import Refusal
    from cardgen.spec.quantity import read_length

    shop = _read_shop(folder)
    gathered = shop.card(_sound_part(shop, part))
    try:
        reading_mm = read_length(reading).value
    except Refusal as refusal:
        _give_up([f"the reading: {refusal}"])
    for line in answer_lines(gathered.card, shop.stock_at(part, reading_mm)):
        click.echo(line)


@commands.command()
def schema() -> None:
    """Print the JSON Schema of the spec files, for an editor's completion."""
    import json

    from cardgen.spec import json_schema

    click.echo(json.dumps(json_schema(), ensure_ascii=False, indent=2))
