"""What lies in the out folder, held against what the specs ask for: how each paper stands."""

import os
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from pathlib import Path

from cardgen.bounds import read_file
from cardgen.card.exchange_values import Cause, Change
from cardgen.shelf.changes import causes, of_the_drawing
from cardgen.shelf.contents import bears_our_mark, made_of, read_card, read_print_out
from cardgen.shelf.copies import Copy, CopyState, copies_of
from cardgen.shelf.ledger import CARD, spot
from cardgen.shelf.made_from import MadeFrom
from cardgen.shelf.notice import OpenNotice, notice_name, open_notices
from cardgen.shelf.trouble import NotACardError, ShelfError
from cardgen.shelf.truth import Truth, truth_of
from cardgen.shelf.vouched import Vouched
from cardgen.shelf.wanted import Job, Wanted, check_names_apart, file_name

CHANGED_SINCE = "the file was changed after it was made"


class State(StrEnum):
    CURRENT = "current"
    OUT_OF_DATE = "out of date"
    NEVER_MADE = "never made"
    CHANGED_BY_HAND = "changed by hand"
    WITHOUT_SPEC = "card without a spec"
    SPEC_HAS_ERRORS = "spec has errors"
    PROGRAM_FAULT = "fault of the program"


@dataclass(frozen=True)
class Standing:
    """How one paper stands."""

    state: State
    kind: str
    part_id: str
    file: str  # in the out folder
    why: str = ""  # what no cause or change tells: how it was changed by hand, what is wrong in the spec
    causes: tuple[Cause, ...] = ()
    changes: tuple[Change, ...] = ()
    print_stays: bool = False  # made anew, it would print what it prints: copies that hang stay right
    revision_not_raised: bool = False
    perhaps_asked_for: bool = False  # a card without a spec, while some spec cannot be read
    open_notices: tuple[OpenNotice, ...] = ()
    entered: bool = False  # the ledger knows where its copies hang, or hung
    job: Job | None = field(default=None, repr=False, compare=False)
    made: MadeFrom | None = field(default=None, repr=False)
    content: bytes | None = field(default=None, repr=False)  # of the file, while anybody may ask for it
    new: bool = False  # just made

    @property
    def parts(self) -> tuple[str, ...]:
        """The parts that it is of."""
        return self.job.parts if self.job else (self.part_id,)

    @property
    def needs_doing(self) -> bool:
        return self.state is not State.CURRENT or self.revision_not_raised


def survey(wanted: Wanted, out: Path) -> tuple[Standing, ...]:
    """Every paper wanted or found: jobs in order, parts that cannot get one, other papers and cards without a
    spec, and what is to be carried to where another hangs."""
    if out.exists() and not out.is_dir():
        raise ShelfError(f"{out}: a file stands where the folder of papers should be; take it away")
    check_names_apart(wanted.jobs)
    notices, of_part = open_notices(out), dict[str, tuple[OpenNotice, ...]]()
    for notice in notices:
        of_part[notice.part_id] = (*of_part.get(notice.part_id, ()), notice)
    standings = [
        _vouched_for(job, of_part.get(job.part_id, ()))
        if isinstance(job, Vouched)
        else _of_job(job, *_read(out / job.file_name), notices)
        for job in wanted.jobs
    ]
    claimed = {job.file_name for job in wanted.jobs}
    not_known = [(State.SPEC_HAS_ERRORS, *each) for each in wanted.spoiled.items()]
    not_known += [(State.PROGRAM_FAULT, *each) for each in wanted.faults.items()]
    for state, part_id, wrong in not_known:
        name = file_name(part_id)
        if name not in claimed:
            claimed.add(name)
            standings.append(_not_known(state, part_id, wrong, name, _read(out / name)[0]))
    for name in sorted(os.listdir(out) if out.is_dir() else ()):
        if (
            name.endswith(".pdf")
            and name not in claimed
            and not name.startswith(".")
            and (out / name).is_file()
        ):
            stray = _stray(out / name, notices) if (known := _beside(name, wanted)) is None else None
            if known is not None:
                standings.append(known)
            elif stray is not None:
                standings.append(_as_asked(stray, wanted))
    standings += list(_to_carry(standings, wanted))
    return tuple(
        replace(one, entered=True) if wanted.ledger.of_part(one.kind, one.part_id) else one
        for one in standings
    )


def _beside(name: str, wanted: Wanted) -> Standing | None:
    """How another paper than a card stands that is vouched for; None where it has to be read."""
    known = wanted.beside.get(name)
    job = wanted.like(known.made) if known else None
    if known is None or job is None or not known.holds_for(job):
        return None
    return Standing(
        State.CURRENT,
        job.kind,
        job.part_id,
        name,
        causes=known.causes,
        print_stays=True,
        job=job,
        made=known.made,
        content=b"",
    )


def _as_asked(stray: Standing, wanted: Wanted) -> Standing:
    """How a paper stands that no list of jobs has: another than a card is asked for by its lying there."""
    made = stray.made
    if made is None or made.kind == CARD:
        return replace(stray, perhaps_asked_for=wanted.unread)
    job = wanted.like(made)
    if job is not None and job.file_name == stray.file:
        return _of_job(job, stray.content, "", ())
    if wrong := wanted.wrong(made):
        return replace(stray, state=State.SPEC_HAS_ERRORS, why=wrong)
    return replace(stray, perhaps_asked_for=wanted.unread)


def with_copies(
    standings: Sequence[Standing], wanted: Wanted, out: Path
) -> tuple[tuple[Standing, ...], tuple[Copy, ...]]:
    """The standings as the ledger has it, and every copy that hangs or should.

    Of a part that was ever entered, only a copy that hangs can make its revision one that was not raised.
    """
    copies = copies_of(wanted, _true(standings))
    not_raised = {copy.part_id for copy in copies if copy.revision_not_raised}
    settled = (
        replace(one, revision_not_raised=one.part_id in not_raised)
        if one.kind == CARD and one.entered
        else one
        for one in standings
    )
    return with_notices(tuple(settled), copies, out)


def _true(standings: Iterable[Standing]) -> dict[tuple[str, str], str]:
    """The code of each paper that lies there and is true."""
    current = (one for one in standings if one.state is State.CURRENT)
    return {(one.kind, one.part_id): one.made.code for one in current if one.made}


def _to_carry(standings: Sequence[Standing], wanted: Wanted) -> Iterator[Standing]:
    """Strips, record sheets and booklets to be exchanged that do not lie there, as in a fresh clone."""
    lie = {one.file for one in standings}
    hung = [each for entries in wanted.ledger.hanging.values() for each in entries if each.kind != CARD]
    if all(file_name(each.part_id, each.kind) in lie for each in hung):
        return
    for copy in copies_of(wanted, _true(standings)):
        at = spot(copy.kind, copy.part_id, copy.place)
        if copy.kind != CARD and copy.state is CopyState.TO_EXCHANGE:
            kept = wanted.ledger.kept_of(wanted.ledger.hanging[at][0])
            job = wanted.like(kept.made) if kept else None
            if job and job.file_name not in lie:
                lie.add(job.file_name)
                yield _of_job(job, None, "", ())


def with_notices(
    standings: Sequence[Standing], copies: Sequence[Copy], out: Path
) -> tuple[tuple[Standing, ...], tuple[Copy, ...]]:
    """The same with the notices that lie in the folder now."""
    of_part: dict[str, list[OpenNotice]] = {}
    for notice in open_notices(out):
        of_part.setdefault(notice.part_id, []).append(notice)
    files = {notice.file for mine in of_part.values() for notice in mine}
    named = ((copy, notice_name(copy.code, copy.code_now) if copy.code else "") for copy in copies)
    return (
        tuple(
            replace(one, open_notices=mine)
            if one.kind == CARD and (mine := tuple(of_part.get(one.part_id, ()))) != one.open_notices
            else one
            for one in standings
        ),
        tuple(
            copy if copy.notice == (told := name if name in files else "") else replace(copy, notice=told)
            for copy, name in named
        ),
    )


def made_now(job: Job, content: bytes, notices: tuple[OpenNotice, ...]) -> Standing:
    """How a paper stands that has just been made from `job`."""
    return replace(_of_job(job, content, "", notices, made_of(job)), new=True)


def code_to_bear(job: Job, out: Path) -> str:
    """The code of the card that lies in `out`, where that card is current; else the code of now."""
    standing = _of_job(job, *_read(out / job.file_name), ())
    return standing.made.code if standing.made and standing.state is State.CURRENT else job.code


def _vouched_for(job: Vouched, mine: tuple[OpenNotice, ...]) -> Standing:
    return Standing(
        state=State.CURRENT,
        kind=job.kind,
        part_id=job.part_id,
        file=job.file_name,
        causes=job.causes,
        print_stays=True,
        revision_not_raised=_not_raised(job, mine),
        open_notices=mine,
        job=job,
        made=job.made,
        content=b"",
    )


def _not_raised(job: Job, notices: tuple[OpenNotice, ...]) -> bool:
    """Whether an open notice says that the revision was not raised, and it has not been since."""
    return any(one.revision_not_raised and one.new_revision == job.revision for one in notices)


def _of_job(
    job: Job,
    content: bytes | None,
    trouble: str,
    notices: tuple[OpenNotice, ...],
    known: MadeFrom | None = None,
) -> Standing:
    """How a paper stands; `known` is what its file is known to say of itself, else the file is read."""
    mine = tuple(one for one in notices if one.part_id == job.part_id and job.kind == "card")

    def stands(
        state: State, why: str = "", made: MadeFrom | None = None, truth: Truth | None = None
    ) -> Standing:
        changes = truth.changes if truth else ()
        print_stays = truth is not None and truth.print_stays
        same_revision = made is not None and made.revision == job.revision
        return Standing(
            state=state,
            kind=job.kind,
            part_id=job.part_id,
            file=job.file_name,
            why=why,
            causes=causes(made.ingredients, job.inputs) if made else (),
            changes=changes,
            print_stays=print_stays,
            revision_not_raised=(same_revision and not print_stays and bool(of_the_drawing(changes)))
            or _not_raised(job, mine),
            open_notices=mine,
            job=job,
            made=made,
            content=b"" if state is State.CURRENT else content,  # of a whole shop it would fill gigabytes
        )

    if content is None:
        return stands(State.CHANGED_BY_HAND, trouble) if trouble else stands(State.NEVER_MADE)
    try:
        made = known or read_card(content)
    except NotACardError as no_card:
        return stands(State.CHANGED_BY_HAND, str(no_card))
    if (made.kind, made.part_id) != (job.kind, job.part_id):
        return stands(State.CHANGED_BY_HAND, f"it is the {made.kind} of {made.part_id}")
    truth = truth_of(made, content, job)
    if not made.sealed:
        return stands(State.CHANGED_BY_HAND, CHANGED_SINCE, made, truth)
    return stands(State.CURRENT if truth.whole else State.OUT_OF_DATE, truth.not_drawn, made, truth)


def _not_known(state: State, part_id: str, wrong: str, name: str, content: bytes | None) -> Standing:
    made = None
    if content is not None:
        try:
            made = read_card(content)
        except NotACardError:
            made = None
    return Standing(state, "card", part_id, name, wrong, made=made, content=content)


def _stray(path: Path, notices: tuple[OpenNotice, ...]) -> Standing | None:
    content, _ = _read(path)
    if content is None:
        return None
    try:
        made = read_card(content)
    except NotACardError as trouble:
        if not bears_our_mark(content) or read_print_out(content):
            return None  # some other paper of the shop's: none of our business; or one of a moment
        return Standing(State.WITHOUT_SPEC, "card", path.stem, path.name, str(trouble), content=content)
    mine = tuple(one for one in notices if one.part_id == made.part_id and made.kind == CARD)
    why = "" if made.sealed else CHANGED_SINCE
    return Standing(
        State.WITHOUT_SPEC,
        made.kind,
        made.part_id,
        path.name,
        why,
        open_notices=mine,
        made=made,
        content=content,
    )


def _read(path: Path) -> tuple[bytes | None, str]:
    """A file's bytes, or None and why it cannot be read; None and no reason where there is none."""
    try:
        return read_file(path, "paper.file"), ""
    except FileNotFoundError:
        return None, ""
    except OSError as trouble:
        return None, f"it cannot be read: {trouble.strerror or trouble}"
