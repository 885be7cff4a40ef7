"""Standings and outcomes → the one line each that a person reads, and the JSON that a program reads."""

import json
from collections.abc import Iterable, Sequence
from typing import Any

from cardgen.shelf.changes import Cause, Change, cause_texts, causes, path_words, value_changes
from cardgen.shelf.contents import MadeFrom
from cardgen.shelf.run import Outcome
from cardgen.shelf.state import Standing, State
from cardgen.shelf.wanted import Job

MOST = 3  # changes named in a line; the rest are counted


def outcome_line(outcome: Outcome) -> str:
    """'remade  SN-204.pdf  SN-204-B-1a2b3c4d: specs/nose.yaml line 9: … → …; change notice notices/….pdf'."""
    standing = outcome.before
    reason = outcome.why_not or why(standing)
    new_code = f"  {outcome.after.made.code}" if outcome.written and outcome.after.made else ""
    parts = [f"{outcome.action.value}  {standing.file}{new_code}: {reason}"]
    if outcome.set_aside:
        parts.append(f"the one changed by hand is kept as {outcome.set_aside}")
    if outcome.notice:
        places = ", ".join(standing.made.posted_at) if standing.made and standing.made.posted_at else ""
        parts.append(f"change notice {outcome.notice}" + (f", copies hang at {places}" if places else ""))
    return "; ".join(parts)


def standing_line(standing: Standing) -> str:
    """'out of date  SN-204.pdf: …'; a card without fault is named with its code."""
    return f"{standing.state.value}  {standing.file}: {why(standing)}"


def warning_line(standing: Standing) -> str:
    """The warning of a revision that was not raised; empty where there is none."""
    text = warning_text(standing)
    return f"warning  {standing.part_id}: {text}" if text else ""


def warning_text(standing: Standing) -> str:
    """What the warning says, without the part's name before it."""
    if not standing.revision_not_raised or standing.job is None:
        return ""
    revision = standing.job.revision or "(none)"
    text = f"values changed but revision {revision} was not raised"
    if standing.state is State.CURRENT:
        files = ", ".join(one.file for one in standing.open_notices if one.revision_not_raised)
        return f"{text}: raise it, or exchange the copies that hang and take {files} away"
    return f"{text}: raise it in the part's spec before the new card hangs beside the old"


def read_lines(made: MadeFrom, job: Job | None) -> tuple[str, ...]:
    """What a card says of itself, and whether the shop's specs (`job`; None: no such part) still say so."""
    seal = "as it was made" if made.sealed else "changed by hand since it was made"
    lines = [
        f"{made.kind} {made.code}: part {made.part_id}, revision {made.revision or 'none'}; {seal}",
        *(f"  made from {one.name} ({one.sha256[:8]})" for one in made.ingredients),
    ]
    if made.posted_at:
        lines.append(f"  copies hang at {', '.join(made.posted_at)}")
    if job is None:
        lines.append("the shop has no spec for this part")
    elif made.fingerprint == job.fingerprint and made.revision == job.revision:
        lines.append("the shop's specs still say so")
    else:
        found = causes(made.ingredients, job.inputs)
        lines.append(f"the shop's specs say otherwise now ({job.code}):")
        lines.extend(f"  {text}" for cause in found for text in cause_texts(cause))
        changed = value_changes(made.values, job.values)
        lines.extend(f"  {change_text(change)}" for change in changed)
        if not changed:
            lines.append("  no value of the card changed")
    return tuple(lines)


def standings_json(standings: Iterable[Standing]) -> str:
    """Every standing whole, for other programs."""
    return json.dumps([_standing_record(one) for one in standings], ensure_ascii=False, indent=1)


def read_json(made: MadeFrom, job: Job | None) -> str:
    """What a card was made from and whether the specs still say so, for other programs."""
    current = job is not None and made.fingerprint == job.fingerprint and made.revision == job.revision
    record = {
        "kind": made.kind,
        "part": made.part_id,
        "revision": made.revision,
        "code": made.code,
        "as_made": made.sealed,
        "posted_at": list(made.posted_at),
        "made_from": [{"name": one.name, "sha256": one.sha256, "text": one.text} for one in made.ingredients],
        "has_spec": job is not None,
        "current": current,
        "code_now": job.code if job else None,
        "causes": [_cause_record(one) for one in causes(made.ingredients, job.inputs)] if job else [],
        "changes": [_change_record(one) for one in value_changes(made.values, job.values)] if job else [],
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
        case State.SPEC_HAS_ERRORS:
            kept = "; the card there is left as it is" if standing.content is not None else ""
            first, *others = standing.why.splitlines() or ["not told"]
            more = f" and {len(others)} more" if others else ""
            return f"{first}{more}{kept}"
        case State.WITHOUT_SPEC:
            code = standing.made.code if standing.made else "a card"
            note = f" ({standing.why})" if standing.why else ""
            return f"{code}{note}: no spec asks for it; take it away if it hangs nowhere"
        case State.CHANGED_BY_HAND:
            and_so = f"; and {_what_changed(standing.causes, standing.changes)}" if standing.causes else ""
            return standing.why + and_so
        case State.OUT_OF_DATE:
            return _what_changed(standing.causes, standing.changes)


def _what_changed(found: Sequence[Cause], changes: Sequence[Change]) -> str:
    because = [text for cause in found for text in cause_texts(cause)] or ["the revision changed"]
    values = [change_text(change) for change in changes]
    text = _shortened(because)
    return (
        f"{text}; values: {_shortened(values)}"
        if values
        else f"{text}; no value changed, copies that hang stay right"
    )


def _shortened(texts: Sequence[str]) -> str:
    more = f" and {len(texts) - MOST} more" if len(texts) > MOST else ""
    return ", ".join(texts[:MOST]) + more


def _value_text(value: Any) -> str:
    if value is None:
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:.6g}" if isinstance(value, float) else str(value)


def _standing_record(standing: Standing) -> dict[str, Any]:
    made, job = standing.made, standing.job
    return {
        "part": standing.part_id,
        "kind": standing.kind,
        "file": standing.file,
        "state": standing.state.value,
        "why": standing.why,
        "needs_doing": standing.needs_doing,
        "revision_not_raised": standing.revision_not_raised,
        "code": made.code if made else None,
        "code_now": job.code if job else None,
        "revision": made.revision if made else None,
        "revision_now": job.revision if job else None,
        "posted_at": list(made.posted_at if made else job.posted_at if job else ()),
        "open_notices": [one.file for one in standing.open_notices],
        "causes": [_cause_record(one) for one in standing.causes],
        "changes": [_change_record(one) for one in standing.changes],
    }


def _cause_record(cause: Cause) -> dict[str, Any]:
    lines = [{"line": one.line, "from": one.old, "to": one.new} for one in cause.lines]
    return {"input": cause.name, "file": cause.file or None, "what": cause.what, "lines": lines}


def _change_record(change: Change) -> dict[str, Any]:
    return {"value": change.path, "from": change.old, "to": change.new}
