"""The commands of the library and the booklet: parse, call, print."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cardgen.commands.common import FAULT, WRONG, give_up, keep, say, shop_option, tell

if TYPE_CHECKING:
    from cardgen.booklet.tables import TaperAnswer

PIPED_WIDTH = 130  # columns, where what is printed does not go to a terminal


@click.command(context_settings={"ignore_unknown_options": True})
@click.argument("words", nargs=-1)
def tapers(words: tuple[str, ...]) -> None:
    """List standard tapers, or find them by WORDS.

    By name ('Morse 3'), by use ('collet'), by taper in any form ('0.602 in/ft', '1:20'), or by two
    diameters and the length between them ('23.8 mm 19.8 mm 81 mm').
    """
    from cardgen.booklet.looking_up import look_up
    from cardgen.spec.complaint import Refusal

    asked = " ".join(words)
    try:
        answer = look_up(asked)
    except Refusal as refusal:
        give_up([str(refusal)])
    if not answer.matches:
        near = f"; did you mean {' or '.join(answer.suggestions)}?" if answer.suggestions else ""
        give_up([f"no standard taper '{asked}'{near}"])
    _print_matches(answer)


def _print_matches(answer: "TaperAnswer") -> None:
    from rich.console import Console
    from rich.table import Table

    from cardgen.paper.words.taper_list import heads, remarks, row

    console = Console(width=None if sys.stdout.isatty() else PIPED_WIDTH, highlight=False)
    table = Table(box=None, pad_edge=False, header_style="bold")
    for head in heads(answer):
        table.add_column(head.text, justify="right" if head.figure else "left", overflow="fold")
    for match in answer.matches:
        table.add_row(*row(match, answer))
    console.print(table)
    for line in remarks(answer):
        console.print(line, soft_wrap=True)


@click.command()
@click.argument("booklet_id", metavar="[ID]", required=False)
@shop_option
def booklet(booklet_id: str | None, folder: Path) -> None:
    """Make the booklet of tables ID; every booklet of the shop when none is named."""
    from cardgen.shop.booklet_pdf import KIND, booklet_tables, draw_booklet
    from cardgen.shop.folder import Shop
    from cardgen.spec.complaint import did_you_mean

    shop = Shop.read(folder)
    known = shop.library.ids(KIND)
    if not known:
        give_up([f"{folder}: no spec of the shop describes a booklet ('kind: booklet')"])
    if booklet_id is not None and booklet_id not in known:
        give_up([f"no booklet '{booklet_id}' in {folder}; {did_you_mean(booklet_id, known)}"])
    wanted = [booklet_id] if booklet_id is not None else known
    spoilt = [each for each in shop.complaints if any((KIND, name) in each.spoils for name in wanted)]
    if spoilt:
        tell(spoilt)
        sys.exit(WRONG)
    left_out = False
    for each in wanted:
        tables = booklet_tables(shop, each)
        say(f"{keep(shop, each, KIND, draw_booklet(shop, tables))}, {tables.code}")
        for part in tables.parts:
            if part.card is None:
                left_out = True
                say(f"{each}: part {part.id} is left out: {part.wrong}", err=True)
    sys.exit(FAULT if shop.faults else WRONG if left_out else 0)
