"""How each copy stands that hangs, or should: the ledger held against what the specs ask for now.

`posted_at` of a part says where copies should hang, the ledger where they do. A copy is right when it prints
what its card would print now, whatever its code says: a value put back makes it right again.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any

from cardgen.card.exchange_values import Change
from cardgen.shelf.changes import of_the_drawing, value_changes
from cardgen.shelf.ledger import BOOKLET, CARD, Entered, Kept, Ledger, each_once, place_key, spot
from cardgen.shelf.truth import Truth, truth_of_kept
from cardgen.shelf.wanted import Job, Wanted

ToHang = Mapping[tuple[str, str], str]  # kind of paper and part → code


class CopyState(StrEnum):
    RIGHT = "right"
    TO_EXCHANGE = "to be exchanged"
    TO_HANG = "to be hung"
    TO_TAKE_DOWN = "to be taken down"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Copy:
    """One paper at one place."""

    state: CopyState
    kind: str
    part_id: str
    place: str
    name: str = ""  # the part's
    code: str = ""  # of what hangs; empty where nothing does
    issue: int = 0
    day: str = ""  # since when, and who said so
    by: str = ""
    code_now: str = ""  # of what is to hang; empty where nothing is
    issue_now: int = 0
    to_make: bool = False  # what is to hang does not lie in the out folder yet
    why: str = ""
    changes: tuple[Change, ...] = ()
    revision_not_raised: bool = False  # what the drawing gives changed under the same revision
    notice: str = ""  # the file that tells what changed

    @property
    def needs_doing(self) -> bool:
        return self.state in (CopyState.TO_EXCHANGE, CopyState.TO_HANG, CopyState.TO_TAKE_DOWN) or bool(
            self.state is CopyState.UNKNOWN and self.code
        )


def copies_of(wanted: Wanted, code_to_hang: ToHang) -> tuple[Copy, ...]:
    """Every copy that hangs or should, by place; `code_to_hang`: of each paper in `out` that is true.

    A part of which nothing was ever entered hangs nobody knows where, as long as the shop keeps no ledger.
    """
    ledger = wanted.ledger
    cards = {job.part_id: job for job in wanted.jobs if job.kind == CARD}
    held = _Held(wanted, cards, code_to_hang)
    found = {at: _hanging(hung, len(ledger.last[at]), held) for at, hung in ledger.hanging.items()}
    for job in cards.values():
        for place in job.posted_at:
            found.setdefault(spot(CARD, job.part_id, place), _not_hung(job, place, ledger, code_to_hang))
    written = {place_key(each): each for each in each_once((*ledger.places, *_asked(cards.values())))}
    one_place = (
        copy if copy.place == (at := written[place_key(copy.place)]) else replace(copy, place=at)
        for copy in found.values()
    )
    return tuple(sorted(one_place, key=lambda copy: (place_key(copy.place), copy.part_id, copy.kind)))


def _asked(cards: Iterable[Job]) -> Iterator[str]:
    """Every place where a card should hang."""
    return (place for job in cards for place in job.posted_at)


def issued(ledger: Ledger, job_of_issue: Callable[[int], Job]) -> Job:
    """A job with its issue: that of a card that was posted and is as this one, else the next one.

    So the issue is raised by what prints otherwise, and goes back where a value is put back.
    """
    first = job_of_issue(1)
    posted = ledger.of_part(first.kind, first.part_id)
    if not posted:
        return first
    later = {entry.issue for entry in posted} - {first.issue}
    jobs = {first.issue: first, **{issue: job_of_issue(issue) for issue in later}}
    for entry in posted:
        if entry.code == jobs[entry.issue].code:
            return jobs[entry.issue]
    for entry in posted:
        kept = ledger.kept_of(entry)
        # To draw one that hangs no more is worth while only where it may be alike.
        job = jobs[entry.issue]
        worth = kept and (
            entry.code in ledger.hanging_codes or not value_changes(kept.made.values, job.values)
        )
        if kept and worth and held_against(ledger, entry.says, kept, job).print_stays:
            return job
    return job_of_issue(posted[0].issue + 1)


def held_against(ledger: Ledger, says: str, kept: Kept, job: Job) -> Truth:
    """As `truth_of_kept`, of what is kept under this digest; what was found once is not drawn again."""
    known = ledger.prints_as(says, job.fingerprint)
    if known is not None:
        return Truth(() if known else value_changes(kept.made.values, job.values), print_stays=known)
    truth = truth_of_kept(kept, job)
    if not truth.not_drawn and kept.made.fingerprint != job.fingerprint:
        ledger.found[says, job.fingerprint] = truth.print_stays
    return truth


def _not_hung(job: Job, place: str, ledger: Ledger, code_to_hang: ToHang) -> Copy:
    state = CopyState.TO_HANG if ledger.begun else CopyState.UNKNOWN
    why = "" if ledger.begun else "nobody has entered whether one hangs there"
    return Copy(
        state,
        CARD,
        job.part_id,
        place,
        name_of(job),
        code_now=code_to_hang.get((CARD, job.part_id), job.code),
        issue_now=job.issue,
        to_make=(CARD, job.part_id) not in code_to_hang,
        why=why,
    )


@dataclass(frozen=True)
class _Held:
    """What copies are held against, and what was found of each paper that hangs more than once."""

    wanted: Wanted
    cards: Mapping[str, Job]
    code_to_hang: ToHang
    _found: dict[tuple[str, str], tuple[Job | None, Truth | None]] = field(default_factory=dict)

    def code_now(self, job: Job) -> str:
        """Of what is to hang: the card in the out folder where that is true."""
        return self.code_to_hang.get((CARD, job.part_id), job.code) if job.kind == CARD else job.code

    def of(self, entry: Entered) -> tuple[Job | None, Truth | None]:
        """The paper of an entry as it would be made now, and whether that prints the same."""
        at = (entry.kind, entry.code) if not entry.says else (entry.kind, entry.says)
        if at not in self._found:
            self._found[at] = self._of(entry)
        return self._found[at]

    def _of(self, entry: Entered) -> tuple[Job | None, Truth | None]:
        job = self.cards.get(entry.part_id) if entry.kind == CARD else None
        if job is not None and entry.code in (job.code, self.code_now(job)):
            return job, Truth((), print_stays=True)
        kept = self.wanted.ledger.kept_of(entry)
        if kept is None:
            return job, None
        if entry.kind != CARD:
            job = self.wanted.as_hung(kept.made)
        truth = self._truth(entry.says, kept, job) if job else None
        if entry.kind != CARD and truth and not truth.print_stays:
            job = self.wanted.like(kept.made)  # what takes its place is made for itself
        return job, truth

    def _truth(self, says: str, kept: Kept, job: Job) -> Truth:
        """As `held_against`; what bears its card's code is exchanged with that card, and stays with it."""
        made = kept.made
        if not job.bears or made.code == job.code:
            return held_against(self.wanted.ledger, says, kept, job)
        card, card_now = self.wanted.ledger.kept(made.code, kept.card), self.cards.get(job.part_id)
        if card is None or card_now is None:
            return Truth((), print_stays=False)
        of_card = self._truth(kept.card, card, card_now)
        same_cards = replace(kept, made=replace(made, values=dict(job.values)))
        if not of_card.print_stays:
            return of_card
        return held_against(self.wanted.ledger, says, same_cards, job)


def _hanging(hung: list[Entered], entries: int, held: _Held) -> Copy:
    """A copy of which the ledger says that it hangs."""
    entry, wanted = hung[0], held.wanted
    copy = Copy(
        CopyState.UNKNOWN,
        entry.kind,
        entry.part_id,
        entry.place,
        code=entry.code,
        issue=entry.issue,
        day=entry.day,
        by=entry.by,
    )
    if len({(one.code, one.says) for one in hung}) > 1 or len(hung) < entries:
        return replace(copy, why=f"{' and '.join(_said(hung, entries))}; look, and enter what hangs")
    if _is_wrong(entry, wanted):
        return replace(copy, why="its spec has errors; whether it is right is not known till then")
    job, truth = held.of(entry)
    copy = replace(copy, name=name_of(held.cards.get(entry.part_id)) or _name_kept(entry, wanted.ledger))
    if job is None and wanted.unread:
        return replace(copy, why="a spec that cannot be read may ask for it; correct that first")
    if job is None and entry.kind != CARD and wanted.ledger.kept_of(entry) is None:
        return replace(copy, why="nothing is kept of what it says; look, and enter what hangs")
    if job is None:
        why = f"no spec asks for this {'booklet' if entry.kind == BOOKLET else 'part'} any more"
        return replace(copy, state=CopyState.TO_TAKE_DOWN, why=why)
    if job.kind == CARD and job.posted_at and place_key(entry.place) not in map(place_key, job.posted_at):
        why = "the part's posted_at does not name this place"
        return replace(copy, state=CopyState.TO_TAKE_DOWN, why=why, issue_now=job.issue)
    to_make = (job.kind, job.part_id) not in held.code_to_hang
    copy = replace(copy, code_now=held.code_now(job), issue_now=job.issue, to_make=to_make)
    if truth is not None and truth.print_stays:
        return replace(copy, state=CopyState.RIGHT)
    if truth is None:
        return replace(copy, state=CopyState.TO_EXCHANGE, why="nothing is kept of what it says")
    kept = wanted.ledger.kept_of(entry)
    stayed = entry.kind == CARD and kept is not None and kept.made.revision == job.revision
    return replace(
        copy,
        state=CopyState.TO_EXCHANGE,
        why=truth.not_drawn,
        changes=truth.changes,
        revision_not_raised=stayed and bool(of_the_drawing(truth.changes)),
    )


def _is_wrong(entry: Entered, wanted: Wanted) -> bool:
    """Whether a mistake in the specs keeps the paper of an entry from being made now."""
    kept = wanted.ledger.kept_of(entry) if entry.kind == BOOKLET else None
    if entry.kind == BOOKLET:
        return bool(kept and wanted.wrong(kept.made))
    return entry.part_id in wanted.spoiled or entry.part_id in wanted.faults


def _said(hung: list[Entered], entries: int) -> Iterator[str]:
    for one in hung:
        yield f"{one.by or 'one'} entered {one.code} ({one.day})"
    if len(hung) < entries:
        yield "another that it was taken down"


def name_of(job: Job | None) -> str:
    """The part's name, as its card titles it."""
    return _title_name(job.values) if job else ""


def _name_kept(entry: Entered, ledger: Ledger) -> str:
    kept = ledger.kept_of(entry)
    return _title_name(kept.made.values) if kept else ""


def _title_name(values: Mapping[str, Any]) -> str:
    title = values.get("title", {})
    return str(title.get("name", "")) if isinstance(title, dict) else ""
