"""The commands for what is current and what hangs: how all stands, what was put up where, what taken down."""

import getpass
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cardgen.commands.common import (
    FAULT,
    WRONG,
    give_up,
    keep,
    read_changed,
    read_shop,
    require_known,
    say,
    say_all,
    say_json,
    sign_of_life,
    tell,
)
from cardgen.commands.typed import command, part_argument, shop_option

if TYPE_CHECKING:
    from cardgen.shelf.copies import Copy
    from cardgen.shelf.state import Standing
    from cardgen.shop.folder import Shop

NEEDS_DOING = 1

by_option = click.option(
    "--by", metavar="NAME", default=None, help="Who did it (else the name of this account)."
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
)
@part_argument
@places_argument
@shop_option
@click.option("--code", default="", help="What the hanging card's foot says (else it is the card in 'out').")
@by_option
def posted(part: str, places: tuple[str, ...], folder: Path, code: str, by: str | None) -> None:
    """Enter that the card of PART hangs at each PLACE, in the place of any other card of it there.

    What is entered is kept among the specs, with all that the card says; `cardgen status` then tells when
    the copy there is no longer right, and by which it is to be exchanged.
    """
    from cardgen.shelf.copies import CopyState
    from cardgen.shelf.telling_copies import copy_line
    from cardgen.shop.entering import enter_posted, place_named

    shop = read_changed(folder, part)
    require_known(shop, [part])
    strange = [place for place in places if not place_named(shop, place)[1]]
    new, copies = enter_posted(shop, part, places, code, _account() if by is None else by)
    for entry in new:
        say(f"{entry.place}: {entry.code} hangs")
    if not new:
        say("entered already")
    for place in strange:
        say(f"{place}: no spec and no entry named this place before", err=True)
    for copy in copies:
        if copy.state is not CopyState.RIGHT:
            say(copy_line(copy), err=True)


@command(
    "withdraw", "cardgen withdraw SN-204 'Grinder 2'", "cardgen withdraw SN-204 'Grinder 2' --by 'M. Rossi'"
)
@part_argument
@places_argument
@shop_option
@by_option
def withdraw(part: str, places: tuple[str, ...], folder: Path, by: str | None) -> None:
    """Enter that the card of PART was taken down at each PLACE, and no other put up."""
    from cardgen.shop.entering import enter_withdrawn

    shop = read_shop(folder)
    new = enter_withdrawn(shop, part, places, _account() if by is None else by)
    for entry in new:
        say(f"{entry.place}: {entry.code} was taken down")
    if not new:
        say("entered already")


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
    from cardgen.shelf.telling_copies import copies_lines, copies_records
    from cardgen.shop.keeping import doubts_of

    shop = read_changed(folder)
    with sign_of_life("holding the specs against the cards"):
        wanted = shop.wanted()
        standings, copies = with_copies(survey(wanted, shop.out), wanted, shop.out)
    doubts = doubts_of(shop)
    if place is not None:
        standings, copies, doubts = (), _at(copies, place), {}
    if as_json:
        say_json({"papers": standings_records(standings, doubts), "copies": copies_records(copies)})
    else:
        _say_standings(standings, doubts, everything)
        for line in copies_lines(copies, everything or place is not None):
            say(line)
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
    sys.exit(
        NEEDS_DOING
        if any(one.needs_doing for one in standings) or any(one.needs_doing for one in copies)
        else 0
    )


def _keep_walk_round(shop: "Shop", copies: "tuple[Copy, ...]", place: str | None) -> str:
    """Put the list to walk round with into the out folder."""
    from itertools import groupby

    from cardgen.paper.walk_round import AtPlace, WalkedPlace, walk_round
    from cardgen.shelf.telling_copies import to_do

    places = [
        WalkedPlace(at, [AtPlace(one.part_id, one.name, one.code, to_do(one)) for one in here])
        for at, here in groupby(copies, lambda copy: copy.place)
    ]
    if not places:
        give_up(["nothing hangs or should hang anywhere: no part has 'posted_at'"])
    paper = "letter" if shop.library.shop.paper in ("half letter", "5x8 in", "letter") else "A4"
    drawn = shop.drawn(lambda: walk_round(places, shop.today.isoformat(), paper, shop.templates))
    return keep(shop, place or "all places", "walk-round", drawn.pdf())


def _say_standings(
    standings: "tuple[Standing, ...]", doubts: "dict[str, tuple[str, ...]]", everything: bool
) -> None:
    """What needs doing about the papers, their warnings, and the rest as a count."""
    from cardgen.shelf.state import State
    from cardgen.shelf.telling import standing_line, warning_line
    from cardgen.shelf.telling_copies import counted

    current = [one for one in standings if one.state is State.CURRENT]
    for one in standings:
        if everything or one.state is not State.CURRENT:
            say(standing_line(one))
    if current and not everything:
        say(f"current  {counted(len(current), 'paper', 'papers')}")
    warnings = [line for one in standings if (line := warning_line(one))]
    warnings += [f"warning  {part_id}: {doubt}" for part_id, told in doubts.items() for doubt in told]
    say_all(warnings)


def _at(copies: "tuple[Copy, ...]", place: str) -> "tuple[Copy, ...]":
    """Those at a place; out, where nothing hangs or should hang at one of this name."""
    from cardgen.shelf.ledger import place_key
    from cardgen.spec.complaint import did_you_mean

    found = tuple(copy for copy in copies if place_key(copy.place) == place_key(place))
    if not found:
        known = tuple(dict.fromkeys(copy.place for copy in copies))
        give_up([f"nothing hangs or should hang at '{place}'; {did_you_mean(place, known)}"])
    return found
