"""One run over the shelf: make what is out of date, leave the rest, tell both; or only look.

Order matters for a run that is killed: a card changed by hand is set aside before it is replaced,
and a notice is written before the card it speaks of, so that the next run finds all it needs.
"""

import time
from collections.abc import Callable, Collection
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Generic, Protocol, TypeVar

from cardgen.card.values import Notice
from cardgen.shelf.contents import card_pdf
from cardgen.shelf.notice import FOLDER as NOTICES
from cardgen.shelf.notice import notice_file, notice_for, notice_pdf, open_notices
from cardgen.shelf.state import Standing, State, made_now, survey
from cardgen.shelf.trouble import NotDrawnError, ShelfError
from cardgen.shelf.wanted import Drawn, Wanted, edited_since
from cardgen.shelf.writing import alone, make_folder, replace_own, set_aside, write_if_different, write_whole

INDEX, OUR_PAGE = "index.html", b"\n<!-- made by cardgen -->\n"
READINGS = 5  # how often specs that are being edited are read anew before we give up
SETTLE_S = 0.2


class Action(StrEnum):
    MADE = "made"
    REMADE = "remade"
    LEFT = "left"
    NOT_MADE = "not made"


@dataclass(frozen=True)
class Outcome:
    """What a run did about one paper."""

    action: Action
    before: Standing
    after: Standing
    notice: str = ""  # the file of the change notice written
    set_aside: str = ""  # the file in which a card changed by hand was kept
    why_not: str = ""

    @property
    def written(self) -> bool:
        return self.action in (Action.MADE, Action.REMADE)


class ShopRead(Protocol):
    """A shop as it was read: the papers that it wants, and how those are drawn that a run adds."""

    def wanted(self) -> Wanted: ...
    def draw_notice(self, notice: Notice) -> Drawn: ...
    def draw_index(self, standings: tuple[Standing, ...]) -> bytes: ...
    def keep_index(self, standings: tuple[Standing, ...]) -> None: ...


Read = TypeVar("Read", bound=ShopRead)


@dataclass(frozen=True)
class Report(Generic[Read]):
    shop: Read  # that the papers were made from
    outcomes: tuple[Outcome, ...]
    standings: tuple[Standing, ...]  # of every paper, after the run
    edited: tuple[Path, ...]  # files that were edited while the run went on

    @property
    def all_done(self) -> bool:
        """Whether each paper asked for is made, and from what the files still say."""
        undone = any(one.action is Action.NOT_MADE for one in self.outcomes)
        return not (undone or self.edited)


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
        outcomes = []
        standings = list(survey(wanted, out))
        for place, standing in enumerate(standings):
            if only is not None and standing.part_id not in only:
                continue
            outcome = _bring_up_to_date(standing, out, shop)
            standings[place] = outcome.after
            outcomes.append(outcome)
            tell(outcome)
        replace_own(out / INDEX, shop.draw_index(tuple(standings)) + OUR_PAGE, OUR_PAGE)
        shop.keep_index(tuple(standings))
        return Report(shop, tuple(outcomes), tuple(standings), edited_since(wanted.sources))


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


def _bring_up_to_date(standing: Standing, out: Path, shop: ShopRead) -> Outcome:
    job = standing.job
    if standing.state in (State.SPEC_HAS_ERRORS, State.PROGRAM_FAULT):
        return Outcome(Action.NOT_MADE, standing, standing)
    if job is None or standing.state is State.CURRENT:
        return Outcome(Action.LEFT, standing, standing)
    if standing.state is State.CHANGED_BY_HAND and standing.content is None:
        return Outcome(Action.NOT_MADE, standing, standing, why_not=standing.why)
    owed = job.kind == "card" and not standing.print_stays
    notice = notice_for(standing.made, job) if standing.made and owed else None
    try:
        new = card_pdf(job, job.draw(job.code))
        noticed = notice_pdf(notice, shop.draw_notice(notice), standing.content or b"") if notice else b""
    except NotDrawnError as trouble:
        return Outcome(Action.NOT_MADE, standing, standing, why_not=str(trouble))
    set_aside = _set_aside(standing, out)
    told = _write_notice(notice, noticed, out) if notice else ""
    write_whole(out / job.file_name, new)
    after = made_now(job, new, open_notices(out) if notice else standing.open_notices)
    action = Action.MADE if standing.content is None else Action.REMADE
    return Outcome(action, standing, after, notice=told, set_aside=set_aside)


def _set_aside(standing: Standing, out: Path) -> str:
    """Keep a card changed by hand under a name of its own content; says where."""
    if standing.state is not State.CHANGED_BY_HAND or standing.content is None:
        return ""
    return set_aside(out / standing.file, standing.content)


def _write_notice(notice: Notice, content: bytes, out: Path) -> str:
    make_folder(out / NOTICES)
    name = f"{NOTICES}/{notice_file(notice)}"
    write_if_different(out / name, content)
    return name
