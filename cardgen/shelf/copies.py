"""How each copy stands that hangs, or should: the ledger held against what the specs ask for now.

`posted_at` of a part says where copies should hang, the ledger where they do. A copy is right when it prints
what its card would print now, whatever its code says: a value put back makes it right again.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from cardgen.card.exchange_values import Change
from cardgen.shelf.changes import of_the_drawing, value_changes
from cardgen.shelf.ledger import CARD, Entered, Kept, Ledger, Spot, place_key, spot
from cardgen.shelf.truth import Truth, truth_of_kept
from cardgen.shelf.wanted import Job, Wanted


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
    why: str = ""
    changes: tuple[Change, ...] = ()
    revision_not_raised: bool = False  # what the drawing gives changed under the same revision
    notice: str = ""  # the file that tells what changed

    @property
    def needs_doing(self) -> bool:
        return self.state in (CopyState.TO_EXCHANGE, CopyState.TO_HANG, CopyState.TO_TAKE_DOWN) or bool(
            self.state is CopyState.UNKNOWN and self.code
        )


def copies_of(wanted: Wanted, code_to_hang: Mapping[str, str]) -> tuple[Copy, ...]:
    """Every copy that hangs or should, by place; `code_to_hang`: of a part, the card in `out` that is true.

    A part of which nothing was ever entered hangs nobody knows where, as long as the shop keeps no ledger.
    """
    ledger = wanted.ledger
    jobs = {job.part_id: job for job in wanted.jobs if job.kind == CARD}
    found: dict[Spot, Copy] = {}
    truths: dict[str, Truth | None] = {}
    for at, last in ledger.last.items():
        hung = [entry for entry in last.values() if entry.what == "posted"]
        if hung and hung[0].kind == CARD:
            found[at] = _hanging(hung, len(last), wanted, jobs.get(hung[0].part_id), code_to_hang, truths)
    for job in jobs.values():
        for place in job.posted_at:
            found.setdefault(spot(CARD, job.part_id, place), _not_hung(job, place, ledger, code_to_hang))
    return tuple(sorted(found.values(), key=lambda copy: (place_key(copy.place), copy.part_id, copy.kind)))


def issued(ledger: Ledger, job_of_issue: Callable[[int], Job]) -> Job:
    """A job with its issue: that of a card that was posted and is as this one, else the next one.

    So the issue is raised by what prints otherwise, and goes back where a value is put back.
    """
    first = job_of_issue(1)
    posted = ledger.of_part(first.kind, first.part_id)
    if not posted:
        return first
    jobs = {entry.issue: job_of_issue(entry.issue) for entry in posted}
    for entry in posted:
        if entry.code == jobs[entry.issue].code:
            return jobs[entry.issue]
    hang = {each.code for last in ledger.last.values() for each in last.values() if each.what == "posted"}
    for entry in posted:
        kept = ledger.kept(entry.code)
        # To draw one that hangs no more is worth while only where it may be alike.
        job = jobs[entry.issue]
        worth = kept and (entry.code in hang or not value_changes(kept.made.values, job.values))
        if kept and worth and truth_of_kept(kept, job).print_stays:
            return job
    return job_of_issue(posted[0].issue + 1)


def _not_hung(job: Job, place: str, ledger: Ledger, code_to_hang: Mapping[str, str]) -> Copy:
    state = CopyState.TO_HANG if ledger.begun else CopyState.UNKNOWN
    why = "" if ledger.begun else "nobody has entered whether one hangs there"
    code = code_to_hang.get(job.part_id, job.code)
    return Copy(state, CARD, job.part_id, place, name_of(job), code_now=code, issue_now=job.issue, why=why)


def _hanging(
    hung: list[Entered],
    entries: int,
    wanted: Wanted,
    job: Job | None,
    code_to_hang: Mapping[str, str],
    truths: dict[str, Truth | None],
) -> Copy:
    """A copy of which the ledger says that it hangs."""
    entry = hung[0]
    part_id = entry.part_id

    def stands(
        state: CopyState, why: str = "", changes: tuple[Change, ...] = (), not_raised: bool = False
    ) -> Copy:
        return Copy(
            state,
            entry.kind,
            part_id,
            entry.place,
            name_of(job, wanted.ledger.kept(entry.code)),
            entry.code,
            entry.issue,
            entry.day,
            entry.by,
            code_to_hang.get(part_id, job.code) if job and state is not CopyState.TO_TAKE_DOWN else "",
            job.issue if job else 0,
            why,
            changes,
            not_raised,
        )

    if len({one.code for one in hung}) > 1 or len(hung) < entries:
        return stands(CopyState.UNKNOWN, f"{' and '.join(_said(hung, entries))}; look, and enter what hangs")
    if part_id in wanted.spoiled or part_id in wanted.faults:
        return stands(CopyState.UNKNOWN, "its spec has errors; whether it is right is not known till then")
    if job is None:
        if wanted.unread:
            return stands(CopyState.UNKNOWN, "a spec that cannot be read may ask for it; correct that first")
        return stands(CopyState.TO_TAKE_DOWN, "no spec asks for this part any more")
    if job.posted_at and place_key(entry.place) not in map(place_key, job.posted_at):
        return stands(CopyState.TO_TAKE_DOWN, "the part's posted_at does not name this place")
    if entry.code in (job.code, code_to_hang.get(part_id)):
        return stands(CopyState.RIGHT)
    kept = wanted.ledger.kept(entry.code)
    if entry.code not in truths:
        truths[entry.code] = _truth_now(kept, job) if kept else None
    truth = truths[entry.code]
    if truth is None:
        return stands(CopyState.TO_EXCHANGE, "nothing is kept of what it says")
    if truth.print_stays:
        return stands(CopyState.RIGHT)
    stayed = kept is not None and kept.made.revision == job.revision
    return stands(
        CopyState.TO_EXCHANGE, truth.not_drawn, truth.changes, stayed and bool(of_the_drawing(truth.changes))
    )


def _truth_now(kept: Kept, job: Job) -> Truth:
    """As `truth_of_kept`; what is of another issue was found to print otherwise when that was found."""
    if kept.made.issue != job.issue:
        return Truth(value_changes(kept.made.values, job.values), print_stays=False)
    return truth_of_kept(kept, job)


def _said(hung: list[Entered], entries: int) -> Iterator[str]:
    for one in hung:
        yield f"{one.by or 'one'} entered {one.code} ({one.day})"
    if len(hung) < entries:
        yield "another that it was taken down"


def name_of(job: Job | None, kept: Kept | None = None) -> str:
    """The part's name, as its card titles it."""
    values = job.values if job else kept.made.values if kept else {}
    title = values.get("title", {})
    return str(title.get("name", "")) if isinstance(title, dict) else ""
