"""The commands for what is current and what hangs: how all stands, what was put up where, what taken down."""

import getpass
import sys
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cardgen.commands.common import (
    FAULT,
    WRONG,
    give_up,
    keep,
    now,
    read_changed,
    require_known,
    say,
    say_again,
    say_all,
    say_json,
    sign_of_life,
    tell,
    told_before,
)
from cardgen.commands.typed import command, paper_argument, shop_option

if TYPE_CHECKING:
    from cardgen.shelf.copies import Copy
    from cardgen.shelf.state import Standing
    from cardgen.shop.folder import Shop

NEEDS_DOING = 1

by_option = click.option(
    "--by", metavar="NAME", default=None, help="Who did it (else the name of this account)."
)
paper_option = click.option(
    "--paper",
    type=click.Choice(["card", "strip", "record", "booklet"]),
    help="Which of the part's papers (else its card; of a booklet's id, the booklet).",
)
places_argument = click.argument("places", metavar="PLACE...", nargs=-1, required=True)


def _account() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError):  # an account without a name
        return ""


@command(
    "posted",
    "cardgen posted SN-204 'Grinder 2' 'Toolroom binder'",
    "cardgen posted SN-204 'Grinder 2' --code SN-204-B-1a2b3c4d --by 'M. Rossi'",
    "cardgen posted SN-204 'Grinder 2' --paper strip",
    "cardgen posted out/Grinder-2-sheet-A4.pdf 'Grinder 2'",
)
@paper_argument
@places_argument
@shop_option
@paper_option
@click.option("--code", default="", help="What the hanging paper says (else it is the one in 'out').")
@by_option
def posted(
    named: str, places: tuple[str, ...], folder: Path, paper: str | None, code: str, by: str | None
) -> None:
    """Enter that the card of PART hangs at each PLACE, in the place of any other card of it there.

    PART may be a booklet's id, or the PDF of any paper: a sheet stands for all of its cards. What is entered
    is kept among the specs, with all that the paper says; `cardgen status` then tells when the copy there is
    no longer right, and by which it is to be exchanged.
    """
    from cardgen.shelf.copies import CopyState
    from cardgen.shelf.ledger import each_once
    from cardgen.shelf.telling_copies import copy_line, hangs
    from cardgen.shop.entering import enter_posted, paper_named, papers_in, place_named

    shop = read_changed(folder)
    if named.lower().endswith(".pdf") and named not in shop.part_ids:
        if paper or code:
            give_up([f"{named} says itself which paper it is, of which code: leave out --paper and --code"])
        papers = papers_in(shop, Path(named))
    else:
        kind = _kind(shop, named, paper)
        papers = paper_named(shop, kind, named, code)
    strange = [place for place in each_once(places) if not place_named(shop, place)[1]]
    new, copies = enter_posted(shop, papers, places, _account() if by is None else by)
    for entry in new:
        say(f"{entry.place}: {hangs(entry)} hangs")
    if not new:
        say("entered already")
    for place in strange:
        say(f"{place}: no spec and no entry named this place before", err=True)
    for copy in copies:
        if copy.state is not CopyState.RIGHT:
            say(copy_line(copy), err=True)


@command(
    "withdraw", "cardgen withdraw SN-204 'Grinder 2'", "cardgen withdraw SN-204 'Grinder 2' --paper strip"
)
@paper_argument
@places_argument
@shop_option
@paper_option
@by_option
def withdraw(named: str, places: tuple[str, ...], folder: Path, paper: str | None, by: str | None) -> None:
    """Enter that the card of PART, or a booklet, was taken down at each PLACE, and no other put up."""
    from cardgen.shelf.telling_copies import hangs
    from cardgen.shop.entering import enter_withdrawn, kind_of

    shop = read_changed(folder)
    kind = paper or kind_of(shop, named)
    new = enter_withdrawn(shop, named, places, _account() if by is None else by, kind)
    for entry in new:
        say(f"{entry.place}: {hangs(entry)} was taken down")
    if not new:
        say("entered already")


def _kind(shop: "Shop", named: str, paper: str | None) -> str:
    """Which paper is meant; out, where the shop has no part, or no booklet, of this name."""
    from cardgen.shelf.ledger import BOOKLET
    from cardgen.shop.entering import kind_of
    from cardgen.spec.complaint import did_you_mean

    kind = paper or kind_of(shop, named)
    if kind != BOOKLET:
        require_known(shop, [named])
    elif named not in (known := shop.library.ids(BOOKLET)):
        give_up([f"no booklet '{named}' in {shop.folder}; {did_you_mean(named, known)}"])
    return kind


@command("status", "cardgen status", "cardgen status --at 'Grinder 2' --pdf", "cardgen status --json")
@shop_option
@click.option("--at", "place", metavar="PLACE", help="Only what hangs, or should, at this place.")
@click.option("--all", "everything", is_flag=True, help="A line for all that is current and right, too.")
@click.option("--json", "as_json", is_flag=True, help="For other programs.")
@click.option(
    "--pdf", is_flag=True, help="What hangs also as a list to walk round with, a sheet for each place."
)
def status(folder: Path, place: str | None, everything: bool, as_json: bool, pdf: bool) -> None:
    """Tell which cards are out of date and why, and which copies at the machines are no longer right.

    Exit status 1 where anything needs doing, 2 where a spec is wrong.
    """
    from cardgen.shelf.state import survey, with_copies
    from cardgen.shelf.telling import standings_records
    from cardgen.shelf.telling_copies import copies_records, wrong_lines
    from cardgen.shop.keeping import doubts_of

    plain = not (place or everything or as_json or pdf)
    if plain and (known := told_before(folder, "status")[0]):
        sys.exit(say_again(known))
    early: list[str] = []

    def first() -> list[str]:
        from cardgen.shop.hanging_first import copies_first

        early.extend(wrong_lines(copies_first(folder)))
        return early

    shop = read_changed(folder) if as_json or place else read_changed(folder, first=first)
    with sign_of_life("holding the specs against the cards"):
        wanted = shop.wanted()
        standings, copies = with_copies(survey(wanted, shop.out), wanted, shop.out)
    doubts = doubts_of(shop)
    if place is not None:
        standings, copies, doubts = (), _at(copies, place), {}
    if as_json:
        say_json({"papers": standings_records(standings, doubts), "copies": copies_records(copies)})
    else:
        lines = status_lines(standings, copies, doubts, everything, everything or place is not None)
        told = set(early)
        say_all(line for line in lines if line not in told)
    if pdf:
        say(_keep_walk_round(shop, copies, place), err=as_json)
    complaints = shop.complaints_about(shop.part_ids)
    tell(complaints)
    for line in wanted.ledger.unread:
        say(line, err=True)
    if shop.faults:
        sys.exit(FAULT)
    if complaints or wanted.ledger.unread:
        sys.exit(WRONG)
    sys.exit(status_of(standings, copies))


def status_of(standings: "Iterable[Standing]", copies: "Iterable[Copy]") -> int:
    """The exit status where nothing is wrong."""
    doing = any(one.needs_doing for one in standings) or any(one.needs_doing for one in copies)
    return NEEDS_DOING if doing else 0


def status_lines(
    standings: "Iterable[Standing]",
    copies: "tuple[Copy, ...]",
    doubts: "Mapping[str, tuple[str, ...]]",
    everything: bool = False,
    all_copies: bool = False,
) -> Iterator[str]:
    """What is said of the papers, and of the copies that hang."""
    from cardgen.shelf.telling_copies import other_lines, wrong_lines

    yield from wrong_lines(copies)
    yield from _standing_lines(tuple(standings), doubts, everything)
    yield from other_lines(copies, all_copies)


def _keep_walk_round(shop: "Shop", copies: "tuple[Copy, ...]", place: str | None) -> str:
    """Put the list to walk round with into the out folder."""
    from itertools import groupby

    from cardgen.paper.walk_round import AtPlace, WalkedPlace, walk_round
    from cardgen.shelf.contents import PrintOut, print_out_pdf
    from cardgen.shelf.telling_copies import hangs, to_do

    places = [
        WalkedPlace(at, [AtPlace(one.part_id, one.name, hangs(one), to_do(one)) for one in here])
        for at, here in groupby(copies, lambda copy: copy.place)
    ]
    if not places:
        give_up(["nothing hangs or should hang anywhere: no part has 'posted_at'"])
    paper = "letter" if shop.library.shop.paper in ("half letter", "5x8 in", "letter") else "A4"
    of, moment = place or "all places", now()
    drawn = shop.drawn(lambda: walk_round(places, moment, paper, shop.templates))
    return keep(shop, "walk-round", of, print_out_pdf(drawn, PrintOut("walk-round", of, "", moment)))


def _standing_lines(
    standings: "Iterable[Standing]", doubts: "Mapping[str, tuple[str, ...]]", everything: bool
) -> Iterator[str]:
    """What needs doing about the papers, their warnings, and the rest as a count."""
    from cardgen.shelf.state import State
    from cardgen.shelf.telling import standing_line, warning_line
    from cardgen.shelf.telling_copies import counted

    current = [one for one in standings if one.state is State.CURRENT]
    for one in standings:
        if everything or one.state is not State.CURRENT:
            yield standing_line(one)
    if current and not everything:
        yield f"current  {counted(len(current), 'paper', 'papers')}"
    yield from filter(None, map(warning_line, standings))
    yield from (f"warning  {part_id}: {doubt}" for part_id, told in doubts.items() for doubt in told)


def _at(copies: "tuple[Copy, ...]", place: str) -> "tuple[Copy, ...]":
    """Those at a place; out, where nothing hangs or should hang at one of this name."""
    from cardgen.shelf.ledger import place_key
    from cardgen.spec.complaint import did_you_mean

    found = tuple(copy for copy in copies if place_key(copy.place) == place_key(place))
    if not found:
        known = tuple(dict.fromkeys(copy.place for copy in copies))
        give_up([f"nothing hangs or should hang at '{place}'; {did_you_mean(place, known)}"])
    return found
