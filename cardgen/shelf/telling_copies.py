"""Copies that hang, or should → the line each that a person reads, and the records that a program reads."""

from collections.abc import Iterable, Sequence
from typing import Any

from cardgen.shelf.copies import Copy, CopyState
from cardgen.shelf.run import Noticed
from cardgen.shelf.telling import change_record, change_text, shortened


def copy_line(copy: Copy) -> str:
    """'to be exchanged  Grinder 2: SN-204-B-1a2b3c4d by SN-204-C-5e6f7081; change notice notices/….pdf'."""
    return f"{copy.state.value}  {copy.place}: {what_to_do(copy)}"


def what_to_do(copy: Copy) -> str:
    """The rest of such a line."""
    told = [copy.code or copy.part_id]
    match copy.state:
        case CopyState.RIGHT:
            told[0] += f", since {copy.day}" + (f" ({copy.by})" if copy.by else "")
        case CopyState.TO_EXCHANGE:
            told[0] += f" by {copy.code_now}"
            values = [change_text(each) for each in copy.changes if each.path != "title.issue"]
            told += (
                [shortened(values)]
                if values
                else []
                if copy.why
                else ["wording or drawing changed, no value"]
            )
        case CopyState.TO_HANG:
            told[0] = copy.code_now
        case CopyState.TO_TAKE_DOWN | CopyState.UNKNOWN:
            pass
    told += [copy.why] if copy.why else []
    told += [f"notice {copy.notice}"] if copy.notice else []
    return "; ".join(told)


def to_do(copy: Copy) -> str:
    """What is to be done about a copy, in short: 'exchange by SN-204-C-5e6f7081, issue 2'."""
    new = f"{copy.code_now}, issue {copy.issue_now}"
    match copy.state:
        case CopyState.RIGHT:
            return "right"
        case CopyState.TO_EXCHANGE:
            return f"exchange by {new}"
        case CopyState.TO_HANG:
            return f"hang {new}"
        case CopyState.TO_TAKE_DOWN:
            return "take down"
        case CopyState.UNKNOWN:
            return f"look: {copy.why}"


def copies_lines(copies: Sequence[Copy], everything: bool) -> list[str]:
    """Those that need doing, in the order of the places, and the rest as a count."""
    shown = [copy for copy in copies if everything or copy.needs_doing]
    lines = [copy_line(copy) for copy in shown]
    right = sum(copy.state is CopyState.RIGHT for copy in copies if copy not in shown)
    lines += (
        [f"right  {counted(right, 'copy', 'copies')} that {'hangs' if right == 1 else 'hang'}"]
        if right
        else []
    )
    silent = [
        copy for copy in copies if copy.state is CopyState.UNKNOWN and not copy.code and copy not in shown
    ]
    if silent:
        all_of_them = counted(len(silent), "copy hangs", "copies hang")
        places = counted(len({copy.place for copy in silent}), "place", "places")
        lines.append(f"unknown  whether {all_of_them} at {places}: enter each with cardgen posted PART PLACE")
    return lines


def noticed_line(noticed: Noticed) -> str:
    """'notice  notices/….pdf: SN-204 at Grinder 2: A is exchanged by B'."""
    notice = noticed.notice
    if notice is None:
        return f"filed  {noticed.file}: no copy hangs any more that it is about"
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
