"""What the shop's specs ask for now: one job for each paper, and the files that were read for it."""

import hashlib
import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

from cardgen.bounds import read_file
from cardgen.shelf.digest import Input, card_code, fingerprint
from cardgen.shelf.ledger import CARD, NO_LEDGER, Ledger
from cardgen.shelf.made_from import MadeFrom
from cardgen.shelf.trouble import ShelfError

if TYPE_CHECKING:
    from cardgen.shelf.vouched import VouchedBeside

LONGEST_STEM = 120  # bytes: leaves room for endings within the 255 that file systems allow
DEVICE = re.compile(r"(?i)(con|prn|aux|nul|conin\$|conout\$|(com|lpt)[0-9¹²³])(\..*)?")
UNSAFE = set('<>:"/\\|?*%')


class Drawn(Protocol):
    """A paper that is drawn, not yet a file."""

    def pdf(self, properties: Mapping[str, str] = ..., attachments: Mapping[str, bytes] = ..., /) -> bytes:
        """The file, with these properties and attachments: the same bytes for the same paper."""


@dataclass(frozen=True)
class Job:
    """One paper to keep true. `draw` draws it, bearing the code that it is given; it is called only
    when the paper has to be made, or may print something else than the one that is there."""

    part_id: str
    revision: str
    inputs: tuple[Input, ...]
    values: Mapping[str, Any]  # all that the paper says, as JSON can carry it
    draw: Callable[[str], Drawn] = field(compare=False)
    posted_at: tuple[str, ...] = ()
    kind: str = CARD
    place: tuple[str, int, str] = ("", 0, "")  # what its paper is put in order by: piece, operation, part
    bears: str = ""  # the code of the card that it belongs to, where it has none of its own
    how: Mapping[str, Any] = field(default_factory=dict)  # it was asked for: of which parts, on what paper
    issue: int = 1  # of the paper: raised where it prints otherwise than the one that hangs
    cards_say: Callable[[], Mapping[str, str]] = field(default=dict, compare=False)  # of each that it lists
    drawn: dict[str, str] = field(default_factory=dict, compare=False, repr=False)  # code → its marks

    @cached_property
    def fingerprint(self) -> str:
        return fingerprint(self.inputs)

    @cached_property
    def code(self) -> str:
        return self.bears or card_code(self.part_id, self.revision, self.inputs)

    @property
    def parts(self) -> tuple[str, ...]:
        """The parts that it is of."""
        return tuple(self.how.get("parts", ())) or (self.part_id,)

    @property
    def cards(self) -> tuple[str, ...]:
        """The parts whose cards another paper belongs to."""
        return () if self.kind == CARD else tuple(self.values.get("cards", ()))

    @property
    def file_name(self) -> str:
        return file_name(self.part_id, self.kind)


@dataclass(frozen=True)
class Wanted:
    jobs: tuple[Job, ...]
    spoiled: Mapping[str, str] = field(default_factory=dict)  # part id → all that is wrong, a line each
    faults: Mapping[str, str] = field(default_factory=dict)  # part id → where the program failed at it
    sources: Mapping[str, bytes] = field(default_factory=dict)  # every file read, as it was read
    unread: bool = False  # whether something in the specs cannot be read, and may ask for a card too
    ledger: Ledger = NO_LEDGER
    like: Callable[[MadeFrom], Job | None] = lambda made: None  # another paper that lies there, made now
    as_hung: Callable[[MadeFrom], Job | None] = lambda made: None  # the same of one that hangs
    wrong: Callable[[MadeFrom], str] = lambda made: ""  # what keeps it from being made, a line each
    beside: Mapping[str, "VouchedBeside"] = field(default_factory=dict)  # by file


def file_name(part_id: str, kind: str = CARD) -> str:
    """The file a paper goes to: 'SN-204.pdf', 'toolroom-booklet.pdf', 'Grinder-2-sheet-A4.pdf'.

    A gap, which a place's name may have, becomes a hyphen. A character that some file system cannot hold is
    written %2F, and so is the first of a name that one of them gives to a device (CON, COM1); an id too long
    is cut and ends in its own digest, so that unlike ids keep unlike names.
    """
    name = part_id if kind == CARD else "-".join(f"{part_id}-{kind}".split())
    name = unicodedata.normalize("NFC", name)
    stem = "".join(f"%{ord(c):02X}" if c in UNSAFE or ord(c) < 32 else c for c in name)
    if stem.startswith(".") or DEVICE.fullmatch(stem):
        stem = f"%{ord(stem[0]):02X}{stem[1:]}"
    if len(stem.encode("utf-8")) > LONGEST_STEM:
        start = stem.encode("utf-8")[:LONGEST_STEM].decode("utf-8", "ignore")
        stem = f"{start}~{hashlib.sha256(name.encode('utf-8')).hexdigest()[:8]}"
    return stem + ".pdf"


def check_names_apart(jobs: Iterable[Job]) -> None:
    """Raises ShelfError when two jobs would share a file, on any common file system."""
    taken: dict[str, Job] = {}
    for job in jobs:
        other = taken.setdefault(job.file_name.casefold(), job)
        if other is not job:
            raise ShelfError(
                f"{job.part_id} and {other.part_id} would share the file {other.file_name}; "
                "give one of them an id that differs in more than capitals"
            )


def edited_since(sources: Mapping[str, bytes]) -> tuple[Path, ...]:
    """The files that no longer hold what was read from them."""

    def now(path: str) -> bytes | None:
        try:
            return read_file(path, "paper.file")
        except OSError:
            return None

    return tuple(Path(path) for path, content in sources.items() if now(path) != content)
