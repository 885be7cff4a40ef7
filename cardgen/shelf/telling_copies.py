"""Copies that hang, or should → the line each that a person reads, and the records that a program reads."""

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any

from cardgen.shelf.copies import Copy, CopyState
from cardgen.shelf.ledger import BOOKLET, CARD, Entered
from cardgen.shelf.run import Noticed
from cardgen.shelf.telling import change_record, change_text, shortened


def copy_line(copy: Copy, places: str = "") -> str:
    """'to be exchanged  Grinder 2: SN-204-B-1a2b3c4d by SN-204-C-5e6f7081; change notice notices/….pdf'."""
    return f"{copy.state.value}  {places or copy.place}: {_what_to_do(copy)}"


def hangs(copy: Copy | Entered) -> str:
    """What hangs: the code of a card, 'strip SN-204-B-1a2b3c4d'; empty where nothing does."""
    return copy.code if copy.kind == CARD or not copy.code else f"{copy.kind} {copy.code}"


def _what_to_do(copy: Copy) -> str:
    told = [hangs(copy) or copy.part_id]
    match copy.state:
        case CopyState.RIGHT:
            told[0] += f", since {copy.day}" + (f" ({copy.by})" if copy.by else "")
        case CopyState.TO_EXCHANGE:
            told[0] += f" by {_new(copy)}"
            values = [change_text(each) for each in copy.changes if each.path != "title.issue"]
            told += [shortened(values) if values else "wording or drawing changed, no value"] * (not copy.why)
        case CopyState.TO_HANG:
            told[0] = copy.code_now
        case CopyState.TO_TAKE_DOWN | CopyState.UNKNOWN:
            pass
    told += [copy.why] if copy.why else []
    told += [f"notice {copy.notice}"] if copy.notice else []
    return "; ".join(told)


def _new(copy: Copy) -> str:
    return copy.code_now if copy.code_now != copy.code else "the same made anew"


def to_do(copy: Copy) -> str:
    """What is to be done about a copy, in short: 'exchange by SN-204-C-5e6f7081, issue 2'."""
    issue = "" if copy.kind == BOOKLET else f", issue {copy.issue_now}"
    issue += " (make it first)" * copy.to_make
    match copy.state:
        case CopyState.RIGHT:
            return "right"
        case CopyState.TO_EXCHANGE:
            return f"exchange by {_new(copy)}{issue}"
        case CopyState.TO_HANG:
            return f"hang {copy.code_now}{issue}"
        case CopyState.TO_TAKE_DOWN:
            return "take down"
        case CopyState.UNKNOWN:
            return f"look: {copy.why}"


def wrong_lines(copies: Sequence[Copy]) -> list[str]:
    """What hangs and is wrong, or may be: first a paper that is so at every place, and at the most places."""
    hung = Counter((copy.kind, copy.part_id) for copy in copies if copy.code)
    wrong = [copy for copy in copies if copy.code and copy.needs_doing]
    bad = Counter((copy.kind, copy.part_id) for copy in wrong)

    def urgency(copy: Copy) -> tuple[bool, int, str]:
        paper = copy.kind, copy.part_id
        return bad[paper] < hung[paper], -bad[paper], copy.part_id

    return _by_paper(sorted(wrong, key=urgency))


def other_lines(copies: Sequence[Copy], everything: bool) -> list[str]:
    """What is to be hung, and the rest as a count."""
    to_hang = [copy for copy in copies if copy.state is CopyState.TO_HANG]
    right = [copy for copy in copies if copy.state is CopyState.RIGHT]
    silent = [copy for copy in copies if copy.state is CopyState.UNKNOWN and not copy.code]
    lines = _by_paper([*to_hang, *(right + silent if everything else ())])
    if right and not everything:
        count = counted(len(right), "copy", "copies")
        lines.append(f"right  {count} that {'hangs' if len(right) == 1 else 'hang'}")
    if silent and not everything:
        all_of_them = counted(len(silent), "copy hangs", "copies hang")
        places = counted(len({copy.place for copy in silent}), "place", "places")
        lines.append(f"unknown  whether {all_of_them} at {places}: enter each with cardgen posted PART PLACE")
    return lines


def _by_paper(copies: Iterable[Copy]) -> list[str]:
    """A line for all the places at which the same is to be done by the same paper."""
    found: dict[tuple[CopyState, str], list[Copy]] = {}
    for copy in copies:
        found.setdefault((copy.state, _what_to_do(copy)), []).append(copy)
    return [copy_line(alike[0], ", ".join(copy.place for copy in alike)) for alike in found.values()]


def noticed_line(noticed: Noticed) -> str:
    """'notice  notices/….pdf: SN-204 at Grinder 2: A is exchanged by B'."""
    notice = noticed.notice
    if notice is None:
        return f"filed  {noticed.file}: nothing is to be done by it any more"
    if noticed.why_not:
        return f"not made  {noticed.file}: {noticed.why_not}"
    done = (
        f"exchange {notice.old_code} by {notice.new_code}"
        if notice.new_code
        else f"take {notice.old_code} down"
    )
    return f"notice  {noticed.file}: {done} at {', '.join(notice.posted_at)}"


def counted(count: int, one: str, more: str) -> str:
    return f"{count} {one if count == 1 else more}"


def copies_records(copies: Iterable[Copy]) -> list[dict[str, Any]]:
    """Every copy whole, for other programs."""
    return [
        {
            "state": copy.state.value,
            "paper": copy.kind,
            "part": copy.part_id,
            "place": copy.place,
            "code": copy.code or None,
            "issue": copy.issue or None,
            "since": copy.day or None,
            "by": copy.by or None,
            "code_now": copy.code_now or None,
            "issue_now": copy.issue_now or None,
            "why": copy.why,
            "needs_doing": copy.needs_doing,
            "revision_not_raised": copy.revision_not_raised,
            "notice": copy.notice or None,
            "changes": [change_record(each) for each in copy.changes],
        }
        for copy in copies
    ]
