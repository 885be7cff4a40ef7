"""The commands: parse, call, print. No sums and no layout here."""

import gc
import signal
import sys
from io import TextIOWrapper
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cardgen.commands.common import (
    FAULT,
    give_up,
    keep_paper,
    read_changed,
    read_shop,
    say,
    say_json,
    sound_part,
)
from cardgen.commands.hanging import posted, status, withdraw
from cardgen.commands.make_command import make
from cardgen.commands.reference import booklet, tapers
from cardgen.commands.rehearse_command import rehearse
from cardgen.commands.specs import check, keys, new, schema
from cardgen.commands.typed import (
    GroupWithExamples,
    command,
    part_argument,
    parts_argument,
    shop_before_command,
    shop_option,
)

OBJECTS = 200_000  # made before unused ones in rings are looked for: of a large shop all are in use

if TYPE_CHECKING:
    from collections.abc import Callable

    from cardgen.shelf.wanted import Job
    from cardgen.shop.folder import Shop


@click.group(
    cls=GroupWithExamples,
    examples=("cardgen make", "cardgen make --help", "cardgen status --shop my-shop"),
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 110},
)
@click.version_option(package_name="cardgen")
@shop_before_command
def commands(folder: Path | None) -> None:
    """Printable set-up cards and gauge tables for grinding tapers between centres.

    Specs are text files in the folder 'specs' of a shop; papers come to lie in its folder 'out'.
    """


def main() -> None:
    """The command `cardgen`: every trouble, a person's or its own, ends here in plain words."""
    from cardgen.paper.paper_error import PaperError
    from cardgen.shelf.trouble import ProgramFaultError, ShelfError
    from cardgen.shop.fault import fault_line
    from cardgen.spec.complaint import Refusal

    gc.set_threshold(OBJECTS)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):  # a console that cannot show ⌀ must not end the run
            stream.reconfigure(errors="replace")
    before = signal.signal(signal.SIGTERM, signal.default_int_handler)  # told to end: as by Ctrl-C
    try:
        commands(prog_name="cardgen")
    except ProgramFaultError as fault:
        give_up([str(fault)], FAULT)
    except (ShelfError, Refusal, PaperError) as trouble:
        give_up([str(trouble)])
    except OSError as trouble:
        give_up([f"{trouble.filename or 'what was to be printed'}: {trouble.strerror or trouble}"])
    except Exception as fault:
        give_up([fault_line(fault)], FAULT)
    finally:
        signal.signal(signal.SIGTERM, before)


@command("values", "cardgen values SN-204", "cardgen values SN-204 | jq .swivel")
@part_argument
@shop_option
def values(part: str, folder: Path) -> None:
    """Print everything the card of PART knows, as JSON."""
    from cardgen.card.values import as_plain

    shop = read_changed(folder, part)
    card = shop.card_as_made(sound_part(shop, part))
    say_json(as_plain(card))


@command(
    "stock",
    "cardgen stock SN-204 '4.5 mm'",
    "cardgen stock DS-3 '11/64 in'",
    ignore_unknown_options=True,  # a reading may be below zero
)
@part_argument
@click.argument("reading")
@shop_option
def stock(part: str, reading: str, folder: Path) -> None:
    """Tell the stock left on PART at this READING ('11/64 in', '4.5 mm'), and how far to feed for it."""
    from cardgen.card.at_the_bench import bench_answer
    from cardgen.paper.words.answer import answer_lines
    from cardgen.shop.bench_answers import answers_of, kept_answers
    from cardgen.spec.complaint import Refusal
    from cardgen.spec.quantity import read_length_by

    known = kept_answers(folder, part)
    if known is None:
        shop = read_changed(folder, part)
        known = answers_of(shop, sound_part(shop, part))
    try:
        told = bench_answer(known.gauged, read_length_by(known.worths, reading).value)
    except Refusal as refusal:
        give_up([f"the reading: {refusal}"])
    for line in answer_lines(known.words, known.gauged.units, told):
        say(line)


@command("read", "cardgen read out/SN-204.pdf", "cardgen read 'copy from the wall.pdf' --json")
@click.argument("card", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@shop_option
@click.option("--json", "as_json", is_flag=True, help="For other programs.")
def read(card: Path, folder: Path, as_json: bool) -> None:
    """Tell from a CARD.pdf alone what it was made from, and whether the shop's specs still say so.

    It may be any paper of the shop: a strip, a record sheet, a sheet of cards, a booklet, a notice, a list.
    """
    from cardgen.bounds import read_file
    from cardgen.shelf.contents import read_card, read_print_out
    from cardgen.shelf.ledger import CARD
    from cardgen.shelf.notice import read_notice
    from cardgen.shelf.telling import notice_lines, print_out_line, read_json, read_lines
    from cardgen.shelf.trouble import NoSuchShopError
    from cardgen.shelf.truth import truth_of
    from cardgen.shelf.wanted import Wanted

    content = read_file(card, "paper.file")
    if notice := read_notice(content):
        for line in notice_lines(notice):
            say(line)
        return
    if print_out := read_print_out(content):
        say(print_out_line(print_out))
        return
    made = read_card(content)
    try:
        shop = read_shop(folder)
        wanted, faults = shop.wanted(), shop.faults
    except NoSuchShopError:
        wanted, faults = Wanted(()), []
    alike = (job for job in wanted.jobs if (job.kind, job.part_id) == (made.kind, made.part_id))
    job = next(alike, None) if made.kind == CARD else wanted.like(made)
    truth = truth_of(made, content, job) if job else None
    wrong = {**wanted.spoiled, **wanted.faults}.get(made.part_id, "")
    if as_json:
        click.echo(read_json(made, job, truth))
    else:
        for line in read_lines(made, job, truth, wrong):
            say(line)
    sys.exit(FAULT if faults else 0)


def _make_beside(folder: Path, part: str, job_of: "Callable[[Shop, str], Job]") -> None:
    """Make a paper that goes with the card of a part."""
    from cardgen.shop.other_papers import require_card

    shop = read_changed(folder, part)
    require_card(shop, sound_part(shop, part))
    say(keep_paper(shop, job_of(shop, part)))


@command("strip", "cardgen strip SN-204")
@part_argument
@shop_option
def strip(part: str, folder: Path) -> None:
    """Make the gap strip of PART: true to scale, graduated in stock, to cut out."""
    from cardgen.shop.other_papers import strip_job

    _make_beside(folder, part, strip_job)


@command("record", "cardgen record SN-204")
@part_argument
@shop_option
def record(part: str, folder: Path) -> None:
    """Make the record sheet of PART for its batch."""
    from cardgen.shop.other_papers import record_job

    _make_beside(folder, part, record_job)


@command(
    "sheet",
    "cardgen sheet SN-204 DS-3",
    "cardgen sheet SN-204 DS-3 --paper letter --turn short_edge",
    "cardgen sheet --at 'Grinder 2'",
)
@parts_argument()
@shop_option
@click.option("--at", "place", metavar="PLACE", default="", help="The cards that should hang at this place.")
@click.option("--paper", type=click.Choice(["A4", "letter"]), default="A4", show_default=True)
@click.option(
    "--turn",
    type=click.Choice(["long_edge", "short_edge"]),
    help="How the sheet is turned for its back side (default: as the shop's record says).",
)
def sheet(parts: tuple[str, ...], folder: Path, place: str, paper: str, turn: str | None) -> None:
    """Lay the cards of PARTS, or of a place, on sheets with cutting marks, their backs in register.

    The name of a piece stands for all its operations.
    """
    from cardgen.shop.entering import place_named
    from cardgen.shop.other_papers import parts_at, sheet_job

    if bool(parts) == bool(place):
        give_up(["name the parts, or a place with --at"])
    shop = read_shop(folder)
    place = place and place_named(shop, place)[0]
    sound = [sound_part(shop, part) for part in (parts_at(shop, place) if place else shop.together(parts))]
    if not sound:
        give_up([f"no part's posted_at names '{place}'"])
    say(keep_paper(shop, sheet_job(shop, sound, paper, turn or shop.library.shop.turn or "", place)))


for each in (
    make,
    status,
    posted,
    withdraw,
    stock,
    values,
    strip,
    record,
    rehearse,
    sheet,
    booklet,
    read,
    tapers,
    check,
    keys,
    new,
    schema,
):
    commands.add_command(each)
