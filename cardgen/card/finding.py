"""What the sums find wrong or worth knowing about a part: level, stable code, place, what to do.

The words are in checks.toml; the rules that ask for them stand where the figures are.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, cast

from cardgen.compute.sum_error import SumError
from cardgen.digits import angle_text, length_text, rpm_text, small_down_text, small_text, speed_text
from cardgen.spec.told import CaseWords, words
from cardgen.terms import Level

if TYPE_CHECKING:
    from cardgen.card.values import Check
    from cardgen.spec.models import PartRecord


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
    on_card: str | None = None  # the hand's own words; '' where it is for the planner alone

    def as_check(self) -> "Check":
        """The finding as the card carries it."""
        from cardgen.card.values import Check

        text = f"{self.wrong}; {self.right}"
        return Check(self.level, self.code, text, text if self.on_card is None else self.on_card)


def found(
    name: str, part: "PartRecord", /, *, at: str = "", level: Level | None = None, **case: Any
) -> Finding:
    """What checks.toml tells under this name, with the case's figures as the part's print has them.

    `at`, `level`: the key, and how grave it is, where the rule knows better. A record other than the part is
    named in the case by its kind.
    """
    told, units = words("cardgen.card", "checks.toml")[name], part.units
    case = {"part": part.id, "outside": part.taper.side == "external", **case}
    in_words = CaseWords(
        {
            "length": lambda length_mm: length_text(length_mm, units),
            "small": lambda length_mm: small_text(length_mm, units),
            "down": lambda length_mm: small_down_text(length_mm, units),
            "angle": angle_text,
            "rpm": rpm_text,
            "speed": speed_text,
        }
    )
    kind = told.get("of", "part")
    return Finding(
        level or cast(Level, told["level"]),
        name.partition("/")[0],
        Place(kind, case[kind], at or told["at"]),
        in_words.format(told["wrong"], **case),
        in_words.format(told["right"], **case),
        ""
        if told.get("for") == "planner"
        else in_words.format(told["card"], **case)
        if "card" in told
        else None,
    )


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
