"""The command that makes: once, or again and again as specs are saved; what it says as it goes."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cardgen.commands.common import (
    FAULT,
    STOPPED,
    WRONG,
    give_up,
    read_changed,
    require_known,
    said,
    say,
    say_again,
    tell,
    told_before,
)
from cardgen.commands.hanging import status_lines, status_of
from cardgen.commands.typed import command, parts_argument, shop_option

if TYPE_CHECKING:
    from cardgen.shelf.run import Outcome, Report
    from cardgen.shop.folder import Shop
    from cardgen.spec.complaint import Complaint


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
    if not (watching or teller.everything):
        sys.exit(_make_all(folder, teller))
    if not watching:
        sys.exit(_make_once(folder, parts, teller)[0])
    from cardgen.shelf.watch import watch
    from cardgen.shop.spec_files import out_of

    out = out_of(folder)
    click.echo("watching; Ctrl-C ends it")
    watch([folder], out, lambda: _make_and_go_on(folder, parts, teller))


def _make_all(folder: Path, teller: "_Teller") -> int:
    """Make once, and keep what was said where nothing was to be done; where it is kept, say it again."""
    from cardgen.shop.keeping import doubts_of
    from cardgen.shop.quiet import SaidBefore, keep_said

    known, lies = told_before(folder, "make")
    if known:
        return say_again(known)
    status, report = _make_once(folder, (), teller)
    quiet = not (report.noticed or any(one.written for one in report.outcomes))
    if quiet and status == 0 and teller.heard:
        lines = status_lines(report.standings, report.copies, doubts_of(report.shop))
        told = tuple((line, False) for line in lines)
        of_status = SaidBefore(told, status_of(report.standings, report.copies))
        keep_said(report.shop, lies, {"make": SaidBefore(tuple(teller.lines), status), "status": of_status})
    return status


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
        self.lines: list[tuple[str, bool]] = []  # as they were said, each with whether it is an error's

    def say(self, line: str, err: bool = False) -> None:
        new = self._is_new(line)
        if new:
            self.lines.append((line, err))
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
        self.before, self.told, self.done, self.lines = self.told, set(), [], []


def _make_once(folder: Path, parts: tuple[str, ...], teller: _Teller) -> "tuple[int, Report[Shop]]":
    """One run over the shelf: the exit status, and what it came to."""
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
        return FAULT, report
    return (0 if report.all_done and not complaints else WRONG), report


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
