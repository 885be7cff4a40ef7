"""The commands of the library and the booklet: parse, call, print."""

import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from cardgen.commands.common import (
    FAULT,
    WRONG,
    give_up,
    keep_paper,
    read_changed,
    say,
    say_json,
    sign_of_life,
    tell,
)
from cardgen.commands.typed import booklet_argument, command, shop_option

if TYPE_CHECKING:
    from cardgen.booklet.tables import TaperAnswer

PIPED_WIDTH = 180  # columns, where what is printed does not go to a terminal


@command(
    "tapers",
    "cardgen tapers",
    "cardgen tapers Morse 3",
    "cardgen tapers 1:20",
    "cardgen tapers 23.8 mm 19.8 mm 81 mm --json",
    ignore_unknown_options=True,
)
@click.argument("words", nargs=-1)
@click.option("--json", "as_json", is_flag=True, help="For other programs.")
def tapers(words: tuple[str, ...], as_json: bool) -> None:
    """List standard tapers, or find them by WORDS.

    By name ('Morse 3', 'ISO 40'), by a standard's number ('DIN 228'), by use ('collet'), by taper in any form
    ('0.602 in/ft', '1:20', "8°18'"), by a diameter, or by two diameters and the length between them
    ('23.8 mm 19.8 mm 81 mm'). What can be meant in several ways is answered for each.
    """
    from cardgen.booklet.looking_up import look_up
    from cardgen.paper.words.taper_list import not_found

    answer = look_up(" ".join(words))
    if as_json:
        say_json(asdict(answer))
    if not answer.senses:
        give_up(not_found(answer))
    elif not as_json:
        _print(answer)


def _print(answer: "TaperAnswer") -> None:
    from rich.console import Console
    from rich.table import Table

    from cardgen.paper.words.taper_list import told

    console = Console(width=None if sys.stdout.isatty() else PIPED_WIDTH, highlight=False, markup=False)
    for line in told(answer):
        if isinstance(line, str):
            console.print(line, soft_wrap=True)
            continue
        headed = any(head.text for head in line.heads)
        table = Table(box=None, pad_edge=False, header_style="bold", show_header=headed)
        for number, head in enumerate(line.heads):
            side: Literal["right", "left"] = "right" if head.figure else "left"
            table.add_column(head.text, justify=side, overflow="fold", no_wrap=not number)
        for row in line.rows:
            table.add_row(*row)
        console.print(table)


@command("booklet", "cardgen booklet", "cardgen booklet toolroom")
@booklet_argument
@shop_option
def booklet(booklet_id: str | None, folder: Path) -> None:
    """Make the booklet of tables ID; every booklet of the shop when none is named."""
    from cardgen.shelf.ledger import BOOKLET
    from cardgen.shop.booklet_pdf import booklet_job, booklet_tables, draw_booklet, wrong_in_all
    from cardgen.spec.complaint import did_you_mean

    shop = read_changed(folder)
    known = shop.library.ids(BOOKLET)
    if not known:
        give_up([f"{folder}: no spec of the shop describes a booklet ('kind: booklet')"])
    if booklet_id is not None and booklet_id not in known:
        give_up([f"no booklet '{booklet_id}' in {folder}; {did_you_mean(booklet_id, known)}"])
    wanted = [booklet_id] if booklet_id is not None else known
    spoilt = [each for each in shop.complaints if any((BOOKLET, name) in each.spoils for name in wanted)]
    if spoilt:
        tell(spoilt)
        sys.exit(WRONG)
    spoiling = [(key, each) for key, found in wrong_in_all(shop).items() for each in found]
    for (kind, record_id), complaint in spoiling:
        say(f"{kind} {record_id} is left out: {complaint}", err=True)
    left_out = bool(spoiling)
    for each in wanted:
        with sign_of_life(f"making the booklet {each}"):
            job, whole = booklet_job(shop, each), shop.whole()
            tables = booklet_tables(whole, each, job.code, job.values["cards"])
            drawn = draw_booklet(whole, tables)
        say(f"{keep_paper(shop, job, drawn)}, {tables.code}")
        for part in tables.parts:
            if part.card is None:
                left_out = True
                say(f"{each}: part {part.id} is left out: {part.wrong}", err=True)
    sys.exit(FAULT if shop.faults else WRONG if left_out else 0)
