"""What a notice says: which card to take down where, what to put up instead, and which values changed.

Where the ledger knows what hangs, notices lead from that to what is to hang, and one that has become void is
filed away. Of a part that nobody ever entered, a notice leads from the card that was replaced, which it
carries, and stays open until someone takes it out of the folder.
"""

import contextlib
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from cardgen.bounds import read_file
from cardgen.card.exchange_values import Notice
from cardgen.shelf.changes import cause_texts, causes, of_the_drawing, value_changes
from cardgen.shelf.contents import bind, unbind
from cardgen.shelf.copies import Copy, CopyState
from cardgen.shelf.ledger import BOOKLET, CARD, Kept, spot
from cardgen.shelf.made_from import MadeFrom, as_json
from cardgen.shelf.stamp import Stamp, stamp_of
from cardgen.shelf.trouble import NotACardError
from cardgen.shelf.wanted import Drawn, Job, Wanted, file_name
from cardgen.shelf.writing import make_folder, move

FOLDER = "notices"
FILED = "notices/filed"
KIND = "change notice"
CHANGES = "changes.json"
REPLACED = "replaced-card.pdf"


@dataclass(frozen=True)
class OpenNotice:
    """A notice lying in the folder, as far as its own PDF tells."""

    file: str
    part_id: str
    old_code: str
    new_code: str
    old_revision: str
    new_revision: str
    revision_not_raised: bool
    places: tuple[str, ...] = ()  # where the old card hangs


def notice_for(made: MadeFrom, job: Job, places: tuple[str, ...] | None = None) -> Notice | None:
    """The notice owed when `job`'s new card takes the place of another; None where no value changed.

    Without `places`, the copies hang where the old card itself says that they should.
    """
    changes = value_changes(made.values, job.values)
    if not changes:
        return None
    came_from = causes(made.ingredients, job.inputs)
    return replace(
        take_down(made, made.posted_at if places is None else places),
        name=str(_title(job.values).get("name", "")),
        units=_title(job.values).get("units", "metric"),
        new_code=job.code,
        new_revision=job.revision,
        new_issue=job.issue,
        revision_not_raised=made.revision == job.revision and bool(of_the_drawing(changes)),
        causes=came_from,
        because=tuple(text for cause in came_from for text in cause_texts(cause)),
        changes=tuple(change for change in changes if change.path != "title.issue"),
    )


def take_down(made: MadeFrom, places: tuple[str, ...]) -> Notice:
    """The notice owed where nothing takes the place of a card that hangs."""
    return Notice(
        part_id=made.part_id,
        name=str(_title(made.values).get("name", "")),
        units=_title(made.values).get("units", "metric"),
        old_code=made.code,
        new_code="",
        old_revision=made.revision,
        new_revision="",
        revision_not_raised=False,
        causes=(),
        because=(),
        changes=(),
        posted_at=places,
        old_issue=made.issue,
        paper=BOOKLET if made.kind == BOOKLET else CARD,
    )


def notices_owed(copies: Iterable[Copy], wanted: Wanted) -> tuple[Notice, ...]:
    """From each card that hangs, as entered, to the one that is to hang; and one for each to take down."""
    jobs = {job.part_id: job for job in wanted.jobs if job.kind == CARD}
    by_codes: dict[tuple[str, str], list[Copy]] = {}
    for copy in copies:
        if copy.state in (CopyState.TO_EXCHANGE, CopyState.TO_TAKE_DOWN) and copy.code != copy.code_now:
            by_codes.setdefault((copy.code, copy.code_now), []).append(copy)
    owed = []
    for (_, code_now), hung in by_codes.items():
        kept = _kept_of(hung, wanted)
        if kept is None:
            continue
        made, places = kept.made, _where(hung)
        job = jobs.get(made.part_id) if made.kind == CARD else wanted.like(made)
        if not code_now:
            owed.append(replace(take_down(made, places), entered=True))
        elif job and (notice := notice_for(made, job, places)):
            owed.append(replace(notice, new_code=code_now, entered=True))
    return tuple(owed)


def _kept_of(hung: Iterable[Copy], wanted: Wanted) -> Kept | None:
    """What is kept of papers of one code: of the card, where that is known, which the others go with."""
    ledger, found = wanted.ledger, None
    for copy in hung:
        entry = ledger.hanging[spot(copy.kind, copy.part_id, copy.place)][0]
        kept = ledger.kept_of(entry)
        found = ledger.kept(entry.code, kept.card) if kept and kept.card else kept
        if found and found.made.kind == CARD:
            break
    return found


def _where(hung: Iterable[Copy]) -> tuple[str, ...]:
    """'Grinder 2', 'Grinder 3 (strip)', 'Toolroom binder (card, record)'; a booklet has no other papers."""
    kinds: dict[str, list[str]] = {}
    for copy in hung:
        kinds.setdefault(copy.place, []).append(copy.kind)
    alone = ([CARD], [BOOKLET])
    return tuple(
        place if papers in alone else f"{place} ({', '.join(papers)})" for place, papers in kinds.items()
    )


def _title(values: Mapping[str, Any]) -> Mapping[str, Any]:
    title = values.get("title")
    return title if isinstance(title, Mapping) else {}


def notice_name(old_code: str, new_code: str) -> str:
    """Where a notice lies in the out folder; without a new code, the one to take cards down."""
    short = f"to-{new_code.rsplit('-', 1)[-1]}" if new_code else "taken-down"
    return f"{FOLDER}/{file_name(f'{old_code}-{short}')}"


def notice_pdf(notice: Notice, drawn: Drawn, replaced: bytes) -> bytes:
    """The notice as a file; it carries the card that it replaces, where no ledger keeps what that said."""
    manifest = {
        "paper": KIND,
        "part": notice.part_id,
        "code": notice.new_code,
        "revision": notice.new_revision,
        "old_code": notice.old_code,
        "old_revision": notice.old_revision,
        "revision_not_raised": notice.revision_not_raised,
        "posted_at": list(notice.posted_at),
    }
    told = {"causes": [asdict(c) for c in notice.causes], "changes": [asdict(c) for c in notice.changes]}
    return bind(drawn, manifest, {CHANGES: as_json(told), **({REPLACED: replaced} if replaced else {})})


def file_away(out: Path, notice: OpenNotice) -> str:
    """Take a notice that nobody has to act on any more out of the open ones; says where it is."""
    make_folder(out / FILED)
    name = f"{FILED}/{Path(notice.file).name}"
    move(out / notice.file, out / name)
    return name


def read_notice(content: bytes, file: str = "") -> OpenNotice | None:
    """What a notice says of itself; None for what is none, or too damaged to tell."""
    try:
        told = unbind(content).manifest
        if told["paper"] != KIND:
            return None
        return OpenNotice(
            file=file,
            part_id=str(told["part"]),
            old_code=str(told["old_code"]),
            new_code=str(told["code"]),
            old_revision=str(told["old_revision"]),
            new_revision=str(told["revision"]),
            revision_not_raised=told["revision_not_raised"] is True,
            places=tuple(str(place) for place in told["posted_at"]),
        )
    except (NotACardError, KeyError, TypeError):
        return None


def open_notices(out: Path) -> tuple[OpenNotice, ...]:
    """The notices that lie in the folder; one too damaged to read is passed over."""
    found = []
    for path in sorted((out / FOLDER).glob("*.pdf")):
        with contextlib.suppress(OSError):
            found.append(_notice_at(path, stamp_of(path)))
    return tuple(filter(None, found))


@lru_cache(maxsize=10_000)
def _notice_at(path: Path, stamp: Stamp | None) -> OpenNotice | None:
    """The notice that lies there, opened once while it lies there as it does."""
    return read_notice(read_file(path, "paper.file"), f"{FOLDER}/{path.name}")
