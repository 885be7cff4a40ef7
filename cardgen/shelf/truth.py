"""Whether a paper that is there still says what would be printed now.

A paper is true when what it would print now is what it prints, whatever its code says. The code tells what
went in: two papers of one code are alike, but two of unlike codes may be alike too, where a comment was
written into a spec or the program changed in nothing that shows. So the inputs are compared first, which
costs nothing; where they are alike, so are the papers, and only the values, which are at hand, are looked
at besides. Where they are not, the paper is drawn with the code that it bears, and its marks compared.

    values alike, marks alike    it is true, and stays as it is
    values differ, marks alike   the file is out of date, for it carries the values; what hangs stays right
    values alike, marks differ   wording or drawing changed: what hangs is to be exchanged
    both differ                  figures changed: what hangs is to be exchanged, and a notice says so

Drawing is what takes long. Where a value changed that every card shows, whatever its layout, none is drawn.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass

from cardgen.card.exchange_values import Change
from cardgen.shelf.changes import value_changes
from cardgen.shelf.contents import marks
from cardgen.shelf.ledger import CARD, Kept
from cardgen.shelf.made_from import MadeFrom
from cardgen.shelf.trouble import NotACardError, NotDrawnError
from cardgen.shelf.wanted import Job

# The issue is printed from the second on; the readings are what every card is read by.
ALWAYS_SHOWN = re.compile(r"title\.(revision|issue)|stages\[name=(rough|finish)\]\.reading_text")


@dataclass(frozen=True)
class Truth:
    """What of a paper would be otherwise if it were made now."""

    changes: tuple[Change, ...]  # of its values
    print_stays: bool  # but for its code, the same marks
    not_drawn: str = ""  # why its marks could not be compared

    @property
    def whole(self) -> bool:
        """Whether nothing would."""
        return self.print_stays and not self.changes


def truth_of(made: MadeFrom, content: bytes, job: Job) -> Truth:
    """A paper's bytes and what they tell, held against what its job would make of them now."""
    return _truth(made, lambda: marks(content), job)


def truth_of_kept(kept: Kept, job: Job) -> Truth:
    """As `truth_of`, of a paper that was posted, from what the ledger keeps of it."""
    return _truth(kept.made, lambda: kept.marks, job)


def _truth(made: MadeFrom, marks_then: Callable[[], str], job: Job) -> Truth:
    alike = made.values == job.values  # seldom true of unlike codes, and a quick answer where it is
    changes = () if alike else value_changes(made.values, job.values)
    if not changes and (made.fingerprint, made.revision) == (job.fingerprint, job.revision):
        return Truth((), print_stays=True)
    if changes and job.kind != CARD:  # it bears the codes of its cards: they are others
        return Truth(changes, print_stays=False)
    if any(ALWAYS_SHOWN.fullmatch(change.path) for change in changes):
        return Truth(changes, print_stays=False)
    try:
        return Truth(changes, marks_then() == _marks(job, made.code))
    except (NotDrawnError, NotACardError) as trouble:
        return Truth(changes, print_stays=False, not_drawn=str(trouble))


def _marks(job: Job, code: str) -> str:
    """Those of a job's paper under this code, drawn once."""
    if code not in job.drawn:
        job.drawn[code] = marks(job.draw(code).pdf())
    return job.drawn[code]
