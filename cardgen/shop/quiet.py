"""What was said of a shop in which nothing was to be done: said again while nothing about it is otherwise.

    out/.cardgen/quiet    the lines of `make` and of `status`, and all that they hang on, as digests

Only a `make` keeps it, and only one that read no spec and wrote nothing. It holds for specs, templates and a
program of the same digests, while the papers, notices, entries of what hangs and the index lie as they did,
and no calibration has lapsed since. How all lies is taken before the run looked at anything, so that what
changed meanwhile is seen the next time.
"""

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from cardgen.bounds import read_file
from cardgen.paper.words.template_files import TemplateFiles
from cardgen.shelf.digest import fingerprint, text_input
from cardgen.shelf.ledger import FOLDER as HANGING
from cardgen.shelf.ledger import PAPERS
from cardgen.shelf.notice import FOLDER as NOTICES
from cardgen.shelf.stamp import stamp_of, stamps
from cardgen.shelf.trouble import ShelfError
from cardgen.shelf.writing import put
from cardgen.shop.bench_answers import laid
from cardgen.shop.card_inputs import shop_templates
from cardgen.shop.program_files import program_inputs
from cardgen.shop.sealed import FOLDER, digest, packed, sealed, unsealed
from cardgen.shop.shop_index import NAME as INDEX
from cardgen.shop.spec_files import read_spec_files, spec_stamps

if TYPE_CHECKING:
    from cardgen.shop.folder import Shop

NAME = "quiet"
HEAD = b"cardgen quiet 1 "  # what is kept, and how; another number is of another program


@dataclass(frozen=True)
class SaidBefore:
    """The lines of a command, and its exit status."""

    lines: tuple[tuple[str, bool], ...]  # each with whether it is an error's
    status: int


def how_it_lies(folder: Path) -> str:
    """A digest of all that can be told of a shop without reading its specs; '' where something is amiss."""
    out, hanging = folder / "out", folder / "specs" / HANGING
    try:
        found = [
            _drawn_from(shop_templates(folder)),
            laid(spec_stamps(folder)),
            [each for each in sorted(stamps(out).items()) if not each[0].startswith(FOLDER)],
            [sorted(stamps(each).items()) for each in (out / NOTICES, hanging, hanging / PAPERS)],
            stamp_of(out / FOLDER / INDEX),
        ]
    except ShelfError:
        return ""
    return digest(packed(found).encode("utf-8", "surrogatepass"))


def _drawn_from(templates: TemplateFiles) -> str:
    """A digest of every template and of the program."""
    texts = (text_input(f"template {name}", text) for name, text in templates.texts)
    return fingerprint((*texts, *program_inputs()))


def said_before(folder: Path, command: str, lies: str, today: date) -> SaidBefore | None:
    """What a command said of the very same shop; None where it has to be asked."""
    try:
        kept = unsealed(HEAD, read_file(folder / "out" / FOLDER / NAME, "index.file"))
        first, last = (date.fromisoformat(kept[end]) for end in ("from", "until"))
        if kept["lies"] != lies or not first <= today <= last:
            return None
        specs = read_spec_files(folder)  # the digests decide, whatever the files' times say
    except (OSError, ValueError, ShelfError):
        return None
    if specs.complaints or kept["specs"] != _specs({at: digest(text) for at, text in specs.contents.items()}):
        return None
    lines, status = kept["said"][command]
    return SaidBefore(tuple((line, err) for line, err in lines), status)


def keep_said(shop: "Shop", lies: str, said: Mapping[str, SaidBefore]) -> None:
    """Keep what the commands say of a shop in which nothing was read and nothing is to be done."""
    reading, index = shop.reading, shop.index
    if not lies or index is None or reading is None or reading.any_read:
        return
    if shop.complaints or shop.faults or shop.ledger.unread:
        return
    today = shop.today.isoformat()
    ends = [due for file in index.files.values() for due in file.dues if due >= today]
    kept = {
        "lies": lies,
        "specs": _specs(reading.digests),
        "from": today,
        "until": min(ends, default=date.max.isoformat()),
        "said": {name: [each.lines, each.status] for name, each in said.items()},
    }
    with suppress(ShelfError):
        put(shop.out / FOLDER / NAME, sealed(HEAD, kept))


def _specs(digests: Mapping[str, str]) -> str:
    return digest(packed(sorted(digests.items())).encode("utf-8", "surrogatepass"))
