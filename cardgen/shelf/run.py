"""One run over the shelf: make what is out of date, leave the rest, tell both; or only look.

Order matters for a run that is killed: a card changed by hand is set aside before it is replaced,
and a notice is written before the card it speaks of, so that the next run finds all it needs.
"""

import time
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from pathlib import Path
from typing import Generic, Protocol, TypeVar

from cardgen.card.exchange_values import Notice
from cardgen.cores import OnAllCores
from cardgen.shelf.contents import card_pdf, sides_of
from cardgen.shelf.copies import Copy
from cardgen.shelf.ledger import BOOKLET, CARD
from cardgen.shelf.made_from import MadeFrom
from cardgen.shelf.notice import FOLDER as NOTICES
from cardgen.shelf.notice import (
    file_away,
    notice_for,
    notice_name,
    notice_pdf,
    notices_owed,
    open_notices,
    read_notice,
    take_down,
)
from cardgen.shelf.state import Standing, State, made_now, survey, with_copies, with_notices
from cardgen.shelf.trouble import NotDrawnError, ShelfError
from cardgen.shelf.wanted import Drawn, Job, Wanted, edited_since
from cardgen.shelf.writing import alone, make_folder, replace_own, set_aside, write_if_different, write_whole

INDEX, OUR_PAGE = "index.html", b"\n<!-- made by cardgen -->\n"
READINGS = 5  # how often specs that are being edited are read anew before we give up
SETTLE_S = 0.2


class Action(StrEnum):
    MADE = "made"
    REMADE = "remade"
    CURRENT = "current"
    LEFT = "left"  # no spec asks for it
    NOT_MADE = "not made"


@dataclass(frozen=True)
class Outcome:
    """What a run did about one paper."""

    action: Action
    before: Standing
    after: Standing
    notice: str = ""  # the file of the change notice written
    set_aside: str = ""  # the file in which a card changed by hand was kept
    sides: int = 0  # of the card written; other papers have as many as they take
    why_not: str = ""

    @property
    def written(self) -> bool:
        return self.action in (Action.MADE, Action.REMADE)


@dataclass(frozen=True)
class Noticed:
    """A notice that a run wrote, or filed away, where it is None."""

    file: str
    notice: Notice | None
    why_not: str = ""  # it could not be written


class ShopRead(Protocol):
    """A shop as it was read: the papers that it wants, and how those are drawn that a run adds."""

    def wanted(self) -> Wanted: ...
    def draw_notice(self, notice: Notice) -> Drawn: ...
    def draw_index(self, standings: tuple[Standing, ...], copies: tuple[Copy, ...]) -> bytes | None: ...
    def keep_index(self, standings: tuple[Standing, ...]) -> None: ...


Read = TypeVar("Read", bound=ShopRead)


@dataclass(frozen=True)
class Report(Generic[Read]):
    shop: Read  # that the papers were made from
    outcomes: tuple[Outcome, ...]
    standings: tuple[Standing, ...]  # of every paper, after the run
    copies: tuple[Copy, ...]  # that hang, or should
    noticed: tuple[Noticed, ...]
    edited: tuple[Path, ...]  # files that were edited while the run went on

    @property
    def all_done(self) -> bool:
        """Whether each paper asked for is made, and from what the files still say."""
        undone = any(one.action is Action.NOT_MADE for one in self.outcomes)
        return not (undone or self.edited or any(one.why_not for one in self.noticed))


def make(
    load: Callable[[], Read],
    out: Path,
    tell: Callable[[Outcome], None],
    only: Collection[str] | None = None,
    patience_s: float = 30.0,
) -> Report[Read]:
    """Bring the out folder up to date with the shop that `load` reads; `only` names the parts to touch.

    `tell` hears each outcome as it comes. Raises ShelfError when nothing more can be written; what was
    told as made is there, and everything else is as it was.
    """
    with alone(out, patience_s):
        # Read only now: a run that waited for another must not write what was true before that one.
        shop, wanted = _settled(load)
        outcomes: list[Outcome] = []
        undrawn: set[str] = set()  # whose card could not be made: cards come before all that waits for them
        standings = list(survey(wanted, out))
        asked = [
            place
            for place, one in enumerate(standings)
            if only is None or not set(only).isdisjoint(one.parts)
        ]
        jobs = [job for place in asked if (job := _to_make(standings[place]))]
        with OnAllCores(lambda job: card_pdf(job, job.draw(job.code)), jobs) as pdfs:
            for place in asked:
                outcome = _bring_up_to_date(standings[place], out, shop, pdfs, undrawn)
                if outcome.action is Action.NOT_MADE and outcome.before.kind in (CARD, BOOKLET):
                    undrawn.add(outcome.before.part_id)
                standings[place] = outcome.after
                outcomes.append(outcome)
                tell(outcome)
        shown, copies = with_copies(standings, wanted, out)
        noticed = _keep_notices(shown, copies, wanted, out, shop, only, undrawn)
        shown, copies = with_notices(shown, copies, out)
        _renew_page(shop, shown, copies, out)
        written = noticed or any(one.written for one in outcomes)
        edited = edited_since(wanted.sources) if written else ()
        return Report(shop, tuple(outcomes), shown, copies, noticed, edited)


def look_again(shop: ShopRead, out: Path) -> tuple[Copy, ...]:
    """Every copy, after something was entered; the page tells them. Only for the one who holds the lock."""
    wanted = shop.wanted()
    standings, copies = with_copies(survey(wanted, out), wanted, out)
    _renew_page(shop, standings, copies, out)
    return copies


def _renew_page(shop: ShopRead, standings: tuple[Standing, ...], copies: tuple[Copy, ...], out: Path) -> None:
    page = shop.draw_index(standings, copies)
    if page is not None:
        replace_own(out / INDEX, page + OUR_PAGE, OUR_PAGE)
    shop.keep_index(standings)


def _settled(load: Callable[[], Read]) -> tuple[Read, Wanted]:
    """The shop, and what it wants, once nobody is in the middle of saving its specs."""
    for _ in range(READINGS):
        shop = load()
        wanted = shop.wanted()
        edited = edited_since(wanted.sources)
        if not edited:
            return shop, wanted
        time.sleep(SETTLE_S)
    names = ", ".join(path.name for path in edited)
    raise ShelfError(f"{names}: still being edited while it was read; nothing was made. Run make again")


def _to_make(standing: Standing) -> Job | None:
    """The job of a paper that is to be made; None where it stays as it is."""
    stays = standing.state in (State.SPEC_HAS_ERRORS, State.PROGRAM_FAULT, State.CURRENT)
    unreadable = standing.state is State.CHANGED_BY_HAND and standing.content is None
    return None if stays or unreadable else standing.job


def _bring_up_to_date(
    standing: Standing, out: Path, shop: ShopRead, pdfs: OnAllCores[Job, bytes], undrawn: Collection[str]
) -> Outcome:
    """Make one paper where it is out of date; of a part that the ledger knows, notices are another's work.

    What bears the code of a card waits where that could not be drawn: there would be no card of that code.
    """
    job = standing.job
    if standing.state in (State.SPEC_HAS_ERRORS, State.PROGRAM_FAULT):
        return Outcome(Action.NOT_MADE, standing, standing)
    if job is None or standing.state is State.CURRENT:
        return Outcome(Action.LEFT if job is None else Action.CURRENT, standing, standing)
    if standing.state is State.CHANGED_BY_HAND and standing.content is None:
        return Outcome(Action.NOT_MADE, standing, standing, why_not=standing.why)
    owed = job.kind == CARD and not (standing.print_stays or standing.entered)
    notice = notice_for(standing.made, job) if standing.made and owed else None
    try:
        new = pdfs.next()
        if waits_for := [part for part in job.cards if part in undrawn]:
            raise NotDrawnError(f"it waits for the card of {', '.join(waits_for)}")
        noticed = notice_pdf(notice, shop.draw_notice(notice), standing.content or b"") if notice else b""
    except NotDrawnError as trouble:
        return Outcome(Action.NOT_MADE, standing, standing, why_not=str(trouble))
    set_aside = _set_aside(standing, out)
    told = _write_notice(notice, noticed, out) if notice else ""
    fresh = read_notice(noticed, told) if told else None
    notices = (*(one for one in standing.open_notices if one.file != told), *((fresh,) if fresh else ()))
    write_whole(out / job.file_name, new)
    after = replace(made_now(job, new, notices), entered=standing.entered)
    action = Action.MADE if standing.content is None else Action.REMADE
    sides = sides_of(new) if job.kind == CARD else 0
    before = standing if standing.content is None else replace(standing, content=b"")  # it is another now
    return Outcome(action, before, after, notice=told, set_aside=set_aside, sides=sides)


def _set_aside(standing: Standing, out: Path) -> str:
    """Keep a card changed by hand under a name of its own content; says where."""
    if standing.state is not State.CHANGED_BY_HAND or standing.content is None:
        return ""
    return set_aside(out / standing.file, standing.content)


def _keep_notices(
    standings: Sequence[Standing],
    copies: Sequence[Copy],
    wanted: Wanted,
    out: Path,
    shop: ShopRead,
    only: Collection[str] | None,
    undrawn: Collection[str],
) -> tuple[Noticed, ...]:
    """Write each notice that the ledger says is owed, file away each that is so no more.

    One that leads to a card which could not be made waits for it: there is nothing to put up yet, and whether
    there will be is not known.
    """
    owed = [
        *notices_owed(copies, wanted),
        *(take_down(made, made.posted_at) for made in map(_unasked, standings) if made),
    ]
    told, names = [], set()
    for notice in owed:
        name = notice_name(notice.old_code, notice.new_code)
        names.add(name)
        waits = bool(notice.new_code) and notice.part_id in undrawn
        if waits or (only is not None and notice.part_id not in only):
            continue
        try:
            drawn = notice_pdf(notice, shop.draw_notice(notice), b"")
        except NotDrawnError as trouble:
            told.append(Noticed(name, notice, str(trouble)))
            continue
        make_folder(out / NOTICES)
        if write_if_different(out / name, drawn):
            told.append(Noticed(name, notice))
    for one in open_notices(out):
        known = wanted.ledger.knows(one.part_id) and (only is None or one.part_id in only)
        if known and one.file not in names and one.part_id not in undrawn:
            told.append(Noticed(file_away(out, one), None))
    return tuple(told)


def _unasked(standing: Standing) -> MadeFrom | None:
    """A card that no spec asks for, that says it hangs, and of which nothing was ever entered."""
    made = standing.made
    if standing.state is not State.WITHOUT_SPEC or standing.perhaps_asked_for or standing.entered:
        return None
    return made if made and made.kind == CARD and made.posted_at else None


def _write_notice(notice: Notice, content: bytes, out: Path) -> str:
    make_folder(out / NOTICES)
    name = notice_name(notice.old_code, notice.new_code)
    write_if_different(out / name, content)
    return name
