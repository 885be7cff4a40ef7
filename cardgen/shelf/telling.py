"""Standings and outcomes → the one line each that a person reads, and the JSON that a program reads."""

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from cardgen.card.exchange_values import Cause, Change, path_words
from cardgen.shelf.changes import cause_texts, causes
from cardgen.shelf.contents import PrintOut
from cardgen.shelf.ledger import CARD
from cardgen.shelf.made_from import MadeFrom
from cardgen.shelf.notice import OpenNotice
from cardgen.shelf.run import Action, Outcome
from cardgen.shelf.state import Standing, State
from cardgen.shelf.truth import Truth
from cardgen.shelf.wanted import Job

SHEET = 2  # sides of one sheet, which is what a card hangs as
MOST = 3  # changes named in a line; the rest are counted


def outcome_line(outcome: Outcome) -> str:
    """'remade  SN-204.pdf  SN-204-B-1a2b3c4d: specs/nose.yaml line 9: … → …; change notice notices/….pdf'."""
    standing = outcome.before
    reason = outcome.why_not or _in_short(standing)
    new_code = f"  {outcome.after.made.code}" if outcome.written and outcome.after.made else ""
    parts = [f"{outcome.action.value}  {standing.file}{new_code}: {reason}"]
    if outcome.set_aside:
        parts.append(f"the one changed by hand is kept as {outcome.set_aside}")
    if outcome.notice:
        parts.append(f"change notice {outcome.notice}")
    if outcome.sides > SHEET:
        parts.append(f"it takes {outcome.sides} sides: shorten names and notes, or choose a larger paper")
    text = "; ".join(parts)
    made = standing.made
    if outcome.written and made and made.posted_at and not standing.print_stays and not standing.entered:
        text += f", copies hang at {', '.join(made.posted_at)}"
    return text


def what_was_done(outcomes: Sequence[Outcome]) -> str:
    """'3 made (A.pdf, B.pdf, C.pdf), 1 not made', in short."""
    made = [one.before.file for one in outcomes if one.written]
    not_made = sum(one.action is Action.NOT_MADE for one in outcomes)
    return (f"{len(made)} made ({shortened(made)})" if made else "none made") + (
        f", {not_made} not made" if not_made else ""
    )


def standing_line(standing: Standing) -> str:
    """'out of date  SN-204.pdf: …'; a card without fault is named with its code."""
    return f"{standing.state.value}  {standing.file}: {_in_short(standing)}"


def current_line(outcomes: Sequence[Outcome]) -> str:
    """'current  12 papers': those that nothing was to be done about; empty where there is none."""
    count = sum(one.action is Action.CURRENT for one in outcomes)
    return f"current  {count} paper{'' if count == 1 else 's'}" if count else ""


def _in_short(standing: Standing) -> str:
    """Why, but of mistakes in specs, which are told besides, only where they are."""
    if standing.state is not State.SPEC_HAS_ERRORS:
        return why(standing)
    first, *others = [line.split(": ")[0] for line in standing.why.splitlines()] or ["its spec"]
    more = f" and {len(others)} more" if others else ""
    kept = f"; the {standing.kind} there is left as it is" if standing.content is not None else ""
    return f"mistake at {first}{more}{kept}"


def warning_line(standing: Standing) -> str:
    """The warning of a revision that was not raised; empty where there is none."""
    text = warning_text(standing)
    return f"warning  {standing.part_id}: {text}" if text else ""


def warning_text(standing: Standing) -> str:
    """What the warning says, without the part's name before it."""
    if not standing.revision_not_raised or standing.job is None:
        return ""
    revision = standing.job.revision or "(none)"
    text = f"what the drawing gives changed but revision {revision} was not raised"
    files = ", ".join(one.file for one in standing.open_notices if one.revision_not_raised)
    if standing.state is State.CURRENT and files:
        return f"{text}: raise it, or exchange the copies that hang and take {files} away"
    return f"{text}: raise it in the part's spec before the new card hangs beside the old"


def read_lines(made: MadeFrom, job: Job | None, truth: Truth | None, wrong: str = "") -> tuple[str, ...]:
    """What a card says of itself, and whether the shop's specs still say so.

    `job` and `truth` are None where the specs ask for no such card; `wrong` tells what keeps them from it.
    """
    seal = "as it was made" if made.sealed else "changed by hand since it was made"
    of_part = f"{made.kind} {made.code}: part {made.part_id}, revision {made.revision or 'none'}"
    of_other = f"a {made.kind}, code {made.code}, of {', '.join(made.how.get('parts', [])) or made.part_id}"
    lines = [
        f"{of_part if made.kind == CARD else of_other}; {seal}",
        *(f"  made from {one.name} ({one.sha256[:8]})" for one in made.ingredients),
    ]
    if made.posted_at:
        lines.append(f"  copies hang at {', '.join(made.posted_at)}")
    if job is None or truth is None:
        lines += ["whether it is true cannot be told:", *wrong.splitlines()] if wrong else []
        lines += [] if wrong else ["the shop has no spec for this part"]
        return tuple(lines)
    because = [f"  {text}" for cause in causes(made.ingredients, job.inputs) for text in cause_texts(cause)]
    if truth.whole:
        if made.code != job.code:
            lines += [f"made now it would bear the code {job.code} and print the same:", *because]
        lines.append("the shop's specs still say so")
        return tuple(lines)
    lines += [f"the shop's specs say otherwise now ({job.code}):", *because]
    lines.extend(f"  {change_text(change)}" for change in truth.changes)
    if truth.not_drawn:
        lines.append(f"  it cannot be drawn now: {truth.not_drawn}")
    elif truth.print_stays:
        lines.append("  what is printed stays: copies that hang stay right")
    elif not truth.changes:
        lines.append("  wording or drawing changed, no value")
    return tuple(lines)


def notice_lines(notice: OpenNotice) -> tuple[str, ...]:
    """What a notice says of itself."""
    by = f"is exchanged by {notice.new_code}" if notice.new_code else "is to be taken down"
    at = f" at {', '.join(notice.places)}" if notice.places else ""
    return (f"a change notice of part {notice.part_id}: {notice.old_code} {by}{at}",)


def print_out_line(told: PrintOut) -> str:
    """What a print-out says of itself."""
    by = f" by card {told.code}" if told.code else ""
    what = f"a {told.kind} of {told.of}{by}, {told.moment}"
    return f"{what}: true then, nothing keeps it so; print it anew before it is used again"


def standings_records(
    standings: Iterable[Standing], doubts: Mapping[str, Sequence[str]]
) -> list[dict[str, Any]]:
    """Every standing whole, for other programs; `doubts`: of each part, what the planner should know."""
    return [_standing_record(one, doubts.get(one.part_id, ())) for one in standings]


def read_json(made: MadeFrom, job: Job | None, truth: Truth | None) -> str:
    """What a card was made from and whether the specs still say so, for other programs."""
    record = {
        "kind": made.kind,
        "part": made.part_id,
        "revision": made.revision,
        "code": made.code,
        "as_made": made.sealed,
        "posted_at": list(made.posted_at),
        "made_from": [{"name": one.name, "sha256": one.sha256, "text": one.text} for one in made.ingredients],
        "has_spec": job is not None,
        "current": truth is not None and truth.whole,
        "print_stays": truth is not None and truth.print_stays,
        "code_now": job.code if job else None,
        "causes": [_cause_record(one) for one in causes(made.ingredients, job.inputs)] if job else [],
        "changes": [change_record(one) for one in truth.changes] if truth else [],
        "values": made.values,
    }
    return json.dumps(record, ensure_ascii=False, indent=1)


def change_text(change: Change) -> str:
    """'reading, finish: 3 → 3.2 mm'."""
    words, unit = path_words(change.path)
    if isinstance(change.new, dict | list) or isinstance(change.old, dict | list):
        if change.old is None:
            return f"{words}: new"
        return f"{words}: {'gone' if change.new is None else 'changed'}"
    return f"{words}: {_value_text(change.old)} → {_value_text(change.new)}{unit}"


def why(standing: Standing) -> str:
    """Why a paper stands as it does, in one line."""
    match standing.state:
        case State.CURRENT:
            return f"{standing.made.code if standing.made else ''} is true to its specs"
        case State.NEVER_MADE:
            return "there was none"
        case State.SPEC_HAS_ERRORS | State.PROGRAM_FAULT:
            kept = "; the card there is left as it is" if standing.content is not None else ""
            first, *others = standing.why.splitlines() or ["not told"]
            more = f" and {len(others)} more" if others else ""
            return f"{first}{more}{kept}"
        case State.WITHOUT_SPEC:
            code = standing.made.code if standing.made else "a card"
            note = f" ({standing.why})" if standing.why else ""
            if standing.perhaps_asked_for:
                return f"{code}{note}: a spec that cannot be read may ask for it; correct that first"
            hangs = standing.made.posted_at if standing.made and not standing.entered else ()
            there = f"it says that it hangs at {', '.join(hangs)}: take it down there, then take it away"
            return (
                f"{code}{note}: no spec asks for it; {there if hangs else 'take it away if it hangs nowhere'}"
            )
        case State.CHANGED_BY_HAND:
            and_so = f"; and {_what_changed(standing)}" if standing.causes else ""
            return standing.why + and_so
        case State.OUT_OF_DATE:
            not_drawn = f"; it cannot be drawn now: {standing.why}" if standing.why else ""
            return _what_changed(standing) + not_drawn


def _what_changed(standing: Standing) -> str:
    because = [text for cause in standing.causes for text in cause_texts(cause)]
    values = [change_text(change) for change in standing.changes if change.path != "title.issue"]
    told = [shortened(because)] if because else []
    if values:
        told.append(f"values: {shortened(values)}")
    if standing.print_stays:
        told.append("what is printed stays, copies that hang stay right")
    elif not values:
        told.append("wording or drawing changed, no value")
    return "; ".join(told)


def shortened(texts: Sequence[str]) -> str:
    more = f" and {len(texts) - MOST} more" if len(texts) > MOST else ""
    return ", ".join(texts[:MOST]) + more


def _value_text(value: Any) -> str:
    if value is None:
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:.6g}" if isinstance(value, float) else str(value)


def _standing_record(standing: Standing, doubts: Sequence[str]) -> dict[str, Any]:
    made, job = standing.made, standing.job
    return {
        "part": standing.part_id,
        "kind": standing.kind,
        "file": standing.file,
        "state": standing.state.value,
        "why": standing.why,
        "needs_doing": standing.needs_doing,
        "print_stays": standing.print_stays,
        "revision_not_raised": standing.revision_not_raised,
        "code": made.code if made else None,
        "code_now": job.code if job else None,
        "revision": made.revision if made else None,
        "revision_now": job.revision if job else None,
        "issue": made.issue if made else None,
        "issue_now": job.issue if job else None,
        "doubts": list(doubts),
        "posted_at": list(made.posted_at if made else job.posted_at if job else ()),
        "open_notices": [one.file for one in standing.open_notices],
        "causes": [_cause_record(one) for one in standing.causes],
        "changes": [change_record(one) for one in standing.changes],
    }


def _cause_record(cause: Cause) -> dict[str, Any]:
    lines = [{"line": one.line, "from": one.old, "to": one.new} for one in cause.lines]
    return {"input": cause.name, "file": cause.file or None, "what": cause.what, "lines": lines}


def change_record(change: Change) -> dict[str, Any]:
    return {"value": change.path, "from": change.old, "to": change.new}
