"""A card is replaced → what its notice says: which values changed, since which code, where copies hang.

The notice's PDF carries the card that it replaces, so that nothing is lost when the new one takes
its place. A notice stays open until someone, the copies exchanged, takes it out of the folder.
"""

from dataclasses import asdict, dataclass
from pathlib import Path

from cardgen.bounds import read_file
from cardgen.card.values import Notice
from cardgen.shelf.changes import cause_texts, causes, of_the_part, value_changes
from cardgen.shelf.contents import MadeFrom, as_json, bind, unbind
from cardgen.shelf.trouble import NotACardError
from cardgen.shelf.wanted import Drawn, Job, file_name

FOLDER = "notices"
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


def notice_for(made: MadeFrom, job: Job) -> Notice | None:
    """The notice owed when `job`'s new card replaces the one made before; None where no value changed."""
    changes = value_changes(made.values, job.values)
    if not changes:
        return None
    title = job.values.get("title", {})
    came_from = causes(made.ingredients, job.inputs)
    return Notice(
        part_id=job.part_id,
        name=str(title.get("name", "")),
        units=title.get("units", "metric"),
        old_code=made.code,
        new_code=job.code,
        old_revision=made.revision,
        new_revision=job.revision,
        revision_not_raised=made.revision == job.revision and bool(of_the_part(changes)),
        causes=came_from,
        because=tuple(text for cause in came_from for text in cause_texts(cause)),
        changes=changes,
        posted_at=made.posted_at,
    )


def notice_file(notice: Notice) -> str:
    """The file that a notice goes to."""
    return file_name(f"{notice.old_code}-to-{notice.new_code.rsplit('-', 1)[-1]}")


def notice_pdf(notice: Notice, drawn: Drawn, replaced: bytes) -> bytes:
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
    return bind(drawn, manifest, {CHANGES: as_json(told), REPLACED: replaced})


def open_notices(out: Path) -> tuple[OpenNotice, ...]:
    """The notices that lie in the folder; one too damaged to read is passed over."""
    found = []
    for path in sorted((out / FOLDER).glob("*.pdf")):
        try:
            told = unbind(read_file(path, "paper.file")).manifest
            if told["paper"] != KIND:
                continue
            found.append(
                OpenNotice(
                    file=f"{FOLDER}/{path.name}",
                    part_id=str(told["part"]),
                    old_code=str(told["old_code"]),
                    new_code=str(told["code"]),
                    old_revision=str(told["old_revision"]),
                    new_revision=str(told["revision"]),
                    revision_not_raised=told["revision_not_raised"] is True,
                )
            )
        except (OSError, NotACardError, KeyError, TypeError):
            continue
    return tuple(found)
