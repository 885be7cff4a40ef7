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
    STOPPED,
    WRONG,
    give_up,
    keep_paper,
    read_changed,
    read_shop,
    require_known,
    said,
    say,
    say_json,
    sound_part,
    tell,
)
from cardgen.commands.hanging import posted, status, withdraw
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

    from cardgen.shelf.run import Outcome, Report
    from cardgen.shelf.wanted import Job
    from cardgen.shop.folder import Shop
    from cardgen.spec.complaint import Complaint


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


@command("make", "cardgen make", "cardgen make SN-204 DS-3", "cardgen make --watch")
@parts_argument()
@shop_option
@click.option("--watch", "watching", is_flag=True, help="Go on, and make again as files are saved.")
@click.option("--all", "everything", is_flag=True, help="Tell of each card that is current, too.")
def make(parts: tuple[str, ...], folder: Path, watching: bool, everything: bool) -> None:
    """Make the cards of PARTS (all, when none is named) that are out of date, and the notices that are owed.

    What was made is told, and what could not be and why; the rest as a count. With --watch, each time only
    what is new.
    """
    teller = _Teller(everything=everything or bool(parts))
    if not watching:
        sys.exit(_make_once(folder, parts, teller))
    from cardgen.shelf.watch import watch
    from cardgen.shop.spec_files import out_of

    out = out_of(folder)
    click.echo("watching; Ctrl-C ends it")
    watch([folder], out, lambda: _make_and_go_on(folder, parts, teller))


def _make_and_go_on(folder: Path, parts: tuple[str, ...], teller: "_Teller") -> None:
    """Make once; a trouble that the next save may mend is told, and the watching goes on."""
    from cardgen.shelf.trouble import ShelfError
    from cardgen.shop.fault import fault_line

    try:
        _make_once(folder, parts, teller)
    except (ShelfError, OSError) as trouble:
        teller.say(str(trouble), err=True)
    except SystemExit as end:
        if end.code == STOPPED:
            raise
        return  # a part that was named is not there just now: told already, and the next save may bring it
    except Exception as fault:
        teller.say(fault_line(fault), err=True)
    teller.turn()


class _Teller:
    """Says what a run did as it comes, as long as anybody reads; the next run, only what is new."""

    def __init__(self, everything: bool) -> None:
        self.everything = everything  # of what is current, a line each
        self.done: list[Outcome] = []
        self.heard = True
        self.told: set[str] = set()
        self.before: set[str] = set()

    def say(self, line: str, err: bool = False) -> None:
        new = self._is_new(line)
        if new and err:
            say(line, err=True)
        elif new:
            self.heard = self.heard and said(line)

    def complain(self, complaint: "Complaint") -> None:
        """Of a mistake in a spec, its line of the file and the caret: one thing, told whole or not again."""
        if self._is_new("\n".join(complaint.lines)):
            tell([complaint])

    def _is_new(self, told: str) -> bool:
        new = told not in self.before and told not in self.told
        self.told.add(told)
        return new

    def tell(self, outcome: "Outcome") -> None:
        from cardgen.shelf.run import Action
        from cardgen.shelf.telling import outcome_line

        self.done.append(outcome)
        if self.everything or outcome.action is not Action.CURRENT:
            self.say(outcome_line(outcome))

    def turn(self) -> None:
        """A run is over."""
        self.before, self.told, self.done = self.told, set(), []


def _make_once(folder: Path, parts: tuple[str, ...], teller: _Teller) -> int:
    """One run over the shelf; the exit status."""
    from cardgen.shelf.run import make as bring_up_to_date
    from cardgen.shelf.telling import what_was_done
    from cardgen.shop.spec_files import out_of

    def load() -> "Shop":
        shop = read_changed(folder)
        require_known(shop, parts)
        return shop

    try:
        report = bring_up_to_date(load, out_of(folder), teller.tell, only=parts or None)
    except KeyboardInterrupt:
        give_up([f"stopped; {what_was_done(teller.done)}; run make again for the rest"], STOPPED)
    if not teller.heard:
        say(f"nobody read on; {what_was_done(teller.done)} all the same", err=True)
    _tell_report(report, teller)
    complaints = report.shop.complaints_about(parts or report.shop.part_ids)
    for complaint in complaints:
        teller.complain(complaint)
    if report.shop.faults:
        return FAULT
    return 0 if report.all_done and not complaints else WRONG


def _tell_report(report: "Report[Shop]", teller: _Teller) -> None:
    """What a run came to besides its outcomes: notices, warnings, the rest as a count."""
    from cardgen.shelf.ledger import CARD
    from cardgen.shelf.telling import current_line, warning_line
    from cardgen.shelf.telling_copies import noticed_line

    for noticed in report.noticed:
        teller.say(noticed_line(noticed))
    if not teller.everything and (line := current_line(report.outcomes)):
        teller.say(line)
    for outcome in report.outcomes:
        made_card = outcome.written and outcome.after.kind == CARD
        for doubt in report.shop.warnings_of(outcome.after.part_id) if made_card else ():
            teller.say(f"warning  {outcome.after.part_id}: {doubt}", err=True)
    for line in filter(None, map(warning_line, report.standings)):
        teller.say(line, err=True)
    for path in report.edited:
        teller.say(f"{path}: edited while the cards were made; run make again", err=True)


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
