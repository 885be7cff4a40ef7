"""The out folder's own page: every card with a small picture, in one file that needs nothing else."""

import base64
import re
import threading
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pypdfium2  # type: ignore[import-untyped]

from cardgen.sandbox import BrokenTemplateError, Sandbox, rendered
from cardgen.shelf.digest import sha256
from cardgen.shelf.state import Standing, State
from cardgen.shelf.telling import warning_text, why
from cardgen.shelf.trouble import ShelfError

PICTURE_WIDTH = 320  # pixels: twice what the page shows, for fine screens
KEPT_PICTURE = re.compile(rb'data-file="([0-9a-f]{64})"\s+src="(data:image/png;base64,[A-Za-z0-9+/=]+)"')

# pdfium's drawing is not made for two threads at once.
_one_at_a_time = threading.Lock()


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
    picture: str  # data URI; empty where the PDF cannot be drawn
    file_digest: str


def index_page(
    standings: Sequence[Standing], old_page: bytes, template: str, name: str, shop: str = ""
) -> bytes:
    """The page for these papers; pictures of unchanged files are taken over from the old page.

    `name` is the template's file, for messages. Raises ShelfError where the template is broken.
    """
    kept = {found[0].decode(): found[1].decode() for found in KEPT_PICTURE.findall(old_page)}
    in_order = sorted(standings, key=lambda standing: (standing.part_id.casefold(), standing.kind))
    papers = [_shown(standing, kept) for standing in in_order]
    path = Path(name)
    looks = Sandbox("page", path.parent, {path.name: template}, trim_blocks=True, lstrip_blocks=True)
    try:
        return rendered(looks, path.name, {"papers": papers, "shop": shop}).encode("utf-8")
    except BrokenTemplateError as trouble:
        raise ShelfError(str(trouble)) from trouble


def picture(content: bytes) -> str:
    """The first page of a PDF, small and grey, as a data URI; empty where it cannot be drawn."""
    with _one_at_a_time:
        try:
            document = pypdfium2.PdfDocument(content)
        except pypdfium2.PdfiumError:
            return ""
        try:
            page = document[0]
            drawn = page.render(scale=PICTURE_WIDTH / page.get_width(), grayscale=True).to_pil()
        except (pypdfium2.PdfiumError, IndexError, ZeroDivisionError):
            return ""
        finally:
            document.close()
    file = BytesIO()
    drawn.quantize(16).save(file, "PNG")
    return "data:image/png;base64," + base64.b64encode(file.getvalue()).decode("ascii")


def _shown(standing: Standing, kept: dict[str, str]) -> Shown:
    made, job = standing.made, standing.job
    values: dict[str, Any] = made.values if made else dict(job.values) if job else {}
    digest = sha256(standing.content) if standing.content is not None else ""
    drawn = ""
    if standing.content is not None:
        drawn = kept.get(digest) or picture(standing.content)
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
        remarks=_remarks(standing),
        posted_at=made.posted_at if made else job.posted_at if job else (),
        link=quote(standing.file) if standing.content is not None else "",
        notices=tuple(quote(one.file) for one in standing.open_notices),
        picture=drawn,
        file_digest=digest,
    )


def _remarks(standing: Standing) -> tuple[str, ...]:
    known = standing.state in (State.CURRENT, State.NEVER_MADE)
    return tuple(text for text in ("" if known else why(standing), warning_text(standing)) if text)


def _word(values: dict[str, Any], *keys: str) -> str:
    found: Any = values
    for key in keys:
        found = found.get(key) if isinstance(found, dict) else None
    return "" if found is None else str(found)
