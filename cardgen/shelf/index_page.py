"""The out folder's own page: each card with the outline of its taper, in a file that needs nothing else."""

import json
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from cardgen.bounds import most
from cardgen.shelf.copies import Copy
from cardgen.shelf.ledger import CARD
from cardgen.shelf.state import Standing, State
from cardgen.shelf.telling import warning_text, why
from cardgen.shelf.trouble import ShelfError

if TYPE_CHECKING:
    from cardgen.sandbox import Sandbox

# Of the outline, in units of its own view box.
WIDTH, HEIGHT = 100.0, 60.0
SHOULDER = 10.0  # how much is shown of what stands before a shoulder
WALL = 1.25  # of a hole's large diameter: the piece around it


REST = "\N{START OF TEXT}"  # where these go, in the page as the template makes it: no text of a record has it


@dataclass(frozen=True)
class Shown:
    """One paper as the page shows it; all words, nothing to work out in the template."""

    part: str
    name: str
    kind: str
    taper: str
    machine: str
    revision: str
    code: str
    state: str
    remarks: tuple[str, ...]  # why it is not current, and what else there is to do
    posted_at: tuple[str, ...]
    link: str  # to the PDF, beside the page; empty where there is none
    notices: tuple[str, ...]  # links to open change notices
    outline: str  # of the taper, as a path of SVG; empty where its figures are not known


PATTERN = Shown("-", "-", "-", "-", "-", "-", "-", "-", ("-",), ("-",), "-", ("-",), "")


def index_page(
    standings: Sequence[Standing],
    copies: Sequence[Copy],
    doubts: Mapping[str, Sequence[str]],
    template: str,
    name: str,
    shop: str = "",
) -> bytes:
    """The page for these papers and copies; `name` is the template's file, for messages.

    `doubts`: of each part, what the planner should know. The first papers are the template's to write, the
    rest is data for its script: ten thousand entries would take a browser seconds, and us as well.
    Raises ShelfError where the template is broken.
    """
    from cardgen.sandbox import BrokenTemplateError, rendered

    of_paper: dict[tuple[str, str], list[Copy]] = {}
    for copy in copies:
        of_paper.setdefault((copy.kind, copy.part_id), []).append(copy)
    in_order = sorted(standings, key=_order)
    papers = [
        _shown(
            standing, of_paper.get((standing.kind, standing.part_id), ()), doubts.get(standing.part_id, ())
        )
        for standing in in_order
    ]
    path, first = Path(name), most("page.cards") if "{{ rest }}" in template else len(papers)
    rest = papers[first:]
    try:
        given = {"papers": papers[:first], "pattern": PATTERN, "rest": REST, "more": len(rest), "shop": shop}
        page = rendered(_sandbox(path, template), path.name, given)
    except BrokenTemplateError as trouble:
        raise ShelfError(str(trouble)) from trouble
    return page.replace(REST, _as_data(rest), 1).encode("utf-8", "backslashreplace")


@lru_cache(maxsize=4)  # while a shop is watched its page is written again and again
def _sandbox(path: Path, template: str) -> "Sandbox":
    from cardgen.sandbox import Sandbox

    return Sandbox("page", path.parent, {path.name: template}, trim_blocks=True, lstrip_blocks=True)


def _as_data(papers: Sequence[Shown]) -> str:
    """What is told of each, in JSON that no mark of HTML can end."""
    told = [{key: value for key, value in vars(paper).items() if value} for paper in papers]
    return json.dumps(told, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")


def _order(standing: Standing) -> tuple[str, int, str, str]:
    """The operations of one piece together, as in `status`."""
    part_id = standing.part_id
    piece, operation, _ = standing.job.place if standing.job and standing.job.place[0] else (part_id, 0, "")
    return piece.casefold(), operation, part_id.casefold(), standing.kind


def outline(values: dict[str, Any]) -> str:
    """The taper true to scale, as large as the view box lets it be: tells parts apart at a glance.

    A shank stands before its shoulder, its small end at the right; a hole has its mouth at the right.
    """
    try:
        taper = values["taper"]
        large, small, length = (
            float(taper[f"{name}_mm"]) for name in ("large_diameter", "small_diameter", "length")
        )
        outside = taper["side"] == "external"
        scale = min((WIDTH - SHOULDER) / length, HEIGHT / (WALL * large))
    except (KeyError, TypeError, ValueError, ZeroDivisionError):
        return ""
    middle, long = HEIGHT / 2, scale * length
    wide, narrow, around = (scale * each / 2 for each in (large, small, WALL * large))
    if outside:
        corners = [(0, -around), (SHOULDER, -around), (SHOULDER, -wide), (SHOULDER + long, -narrow)]
        return _path([*corners, *((x, -y) for x, y in reversed(corners))], middle)
    piece = [(0, -around), (SHOULDER + long, -around), (SHOULDER + long, around), (0, around)]
    hole = [(SHOULDER, -narrow), (SHOULDER + long, -wide), (SHOULDER + long, wide), (SHOULDER, narrow)]
    return _path(piece, middle) + _path(hole, middle)


def _path(corners: Sequence[tuple[float, float]], middle: float) -> str:
    return "M" + "L".join(f"{x:.1f} {middle + y:.1f}" for x, y in corners) + "Z"


def _shown(standing: Standing, copies: Sequence[Copy], doubts: Sequence[str]) -> Shown:
    made, job = standing.made, standing.job
    values: dict[str, Any] = made.values if made else dict(job.values) if job else {}
    return Shown(
        part=standing.part_id,
        name=_word(values, "title", "name"),
        kind=standing.kind,
        taper=_word(values, "taper", "standard") or _word(values, "taper", "callout"),
        machine=" ".join(
            word
            for word in (_word(values, "swivel", "machine"), _word(values, "swivel", "machine_name"))
            if word
        ),
        revision=made.revision if made else job.revision if job else "",
        code=made.code if made else "",
        state=standing.state.value,
        remarks=_remarks(standing, doubts if standing.kind == CARD else ()),
        posted_at=_places(standing, copies),
        link=quote(os.fsencode(standing.file)) if standing.content is not None else "",
        notices=tuple(quote(os.fsencode(one.file)) for one in standing.open_notices),
        outline=outline(values),
    )


def _remarks(standing: Standing, doubts: Sequence[str]) -> tuple[str, ...]:
    known = standing.state in (State.CURRENT, State.NEVER_MADE)
    told = ("" if known else why(standing), warning_text(standing), *doubts)
    return tuple(text for text in told if text)


def _places(standing: Standing, copies: Sequence[Copy]) -> tuple[str, ...]:
    """Where copies hang or should, with what is to be done there."""
    if not copies:
        return standing.made.posted_at if standing.made else ()
    return tuple(f"{each.place} ({each.state})" if each.needs_doing else each.place for each in copies)


def _word(values: dict[str, Any], *keys: str) -> str:
    found: Any = values
    for key in keys:
        found = found.get(key) if isinstance(found, dict) else None
    return "" if found is None else str(found)
