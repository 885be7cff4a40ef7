"""A current paper that need not be looked at again: what every list says of it, small enough to keep of all.

A card is believed without its sums, by its specs; another paper, by the digest of the inputs that it was held
against, which costs nothing to work out anew.

Somebody has held the paper against its specs, and both have stayed as they were: then what was told of it is
told again. Its values are those that lists show; whoever needs more has the part read.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from cardgen.card.exchange_values import Cause, LineChange
from cardgen.shelf.made_from import MadeFrom
from cardgen.shelf.stamp import Stamp
from cardgen.shelf.wanted import Job

# The values that lists show of a paper.
LISTED: Mapping[str, tuple[str, ...]] = {
    "title": ("name", "units", "operation", "drawing", "order"),
    "taper": ("standard", "callout", "large_diameter_mm", "small_diameter_mm", "length_mm", "side"),
    "swivel": ("machine", "machine_name"),
}


@dataclass(frozen=True)
class Vouched(Job):
    """A job whose paper is current, of which no more is known than its lists tell."""

    now: tuple[str, str] = ("", "")  # fingerprint and code, were it made now
    then: tuple[str, str] = ("", "")  # of the paper that is there
    causes: tuple[Cause, ...] = ()
    file: str = ""  # in the out folder
    stamp: Stamp = (0, 0, 0, 0)  # of that file
    findings: tuple[tuple[Any, ...], ...] = ()  # whoever keeps them reads them
    says: str = ""  # digest of all that it says, where a booklet may list it

    def __post_init__(self) -> None:
        object.__setattr__(self, "fingerprint", self.now[0])
        object.__setattr__(self, "code", self.now[1])

    @property
    def file_name(self) -> str:
        return self.file

    @property
    def code_there(self) -> str:
        """Of its paper in the out folder."""
        return self.then[1]

    @property
    def made(self) -> MadeFrom:
        """What its file says of itself, but for what it was made from."""
        fingerprint, code = self.then
        return MadeFrom(
            kind=self.kind,
            part_id=self.part_id,
            revision=self.revision,
            issue=self.issue,
            code=code,
            fingerprint=fingerprint,
            ingredients=(),
            values=dict(self.values),
            posted_at=self.posted_at,
            sealed=True,
        )


@dataclass(frozen=True)
class VouchedBeside:
    """Another paper than a card, found current: what it says of itself, and what it was held against."""

    file: str  # in the out folder
    stamp: Stamp  # of that file
    made: MadeFrom  # but for what it was made from
    now: tuple[str, str]  # fingerprint and code, were it made then
    causes: tuple[Cause, ...] = ()

    def holds_for(self, job: Job) -> bool:
        """Whether the specs ask for it as they did then."""
        asked = (job.file_name, (job.fingerprint, job.code), job.revision, job.values)
        return asked == (self.file, self.now, self.made.revision, self.made.values)


def listed(values: Mapping[str, Any]) -> dict[str, Any]:
    """Of a paper's values those that lists show."""
    found: dict[str, Any] = {}
    for group, keys in LISTED.items():
        held = values.get(group)
        if isinstance(held, Mapping):
            found[group] = {key: held[key] for key in keys if key in held}
    return found


def cause_as_plain(cause: Cause) -> dict[str, Any]:
    return asdict(cause)


def cause_from_plain(plain: Mapping[str, Any]) -> Cause:
    lines = tuple(LineChange(**line) for line in plain["lines"])
    return Cause(plain["name"], plain["file"], plain["what"], lines)
