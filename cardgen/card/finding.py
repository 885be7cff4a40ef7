"""What the sums find wrong or worth knowing about a part: level, stable code, place, what to do."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

from cardgen.card.codes import CODES
from cardgen.compute.sum_error import SumError
from cardgen.terms import Level

if TYPE_CHECKING:
    from cardgen.card.values import Check


@dataclass(frozen=True)
class Place:
    """The key of a record that a finding is about: 'taper.gauge_line.diameter' of part SN-204."""

    kind: str
    id: str
    key: str


@dataclass(frozen=True)
class Finding:
    """One check that did not come out clean: what is wrong, and what to do about it."""

    level: Level
    code: str
    place: Place
    wrong: str
    right: str

    def as_check(self) -> "Check":
        """The finding as the card carries it."""
        from cardgen.card.values import Check

        return Check(self.level, self.code, f"{self.wrong}; {self.right}", CODES[self.code].for_hand)


class PartErrors(Exception):  # noqa: N818 – it holds many
    """The part's figures cannot be made into a card; `findings` says why, all at once."""

    def __init__(self, findings: list[Finding]) -> None:
        self.findings = tuple(findings)
        super().__init__("\n".join(f"{found.wrong}; {found.right}" for found in findings))


CORRECT_IT = "correct it, or what it does not go with: the part, its gauge, its machine or its wheel"


@contextmanager
def told_at(kind: str, record_id: str, key: str, wrong: str = "", right: str = CORRECT_IT) -> Iterator[None]:
    """A sum without an answer, within, is a mistake at this key of this record: raises PartErrors.

    `wrong` says it in figures, where the sum's own words do not.
    """
    try:
        yield
    except SumError as impossible:
        place = Place(kind, record_id, key)
        told = Finding("error", "figures-impossible", place, wrong or str(impossible), right)
        raise PartErrors([told]) from None
