"""The catalogue of mistakes: a sound small shop, and every way it was written wrong with what is told of it.

A mistake in a .txt beside this: what is put in another's place, and all that is told, word for word.

    == what was done
    - a text that stands once in the sound shop
    + what is written instead (nothing, where it is left out)
    > file:line:column: what is wrong; what would be right
    >     the line, and a caret under what is meant

`@ file.yaml` begins a file that the shop lacks. After words were changed, `python -m tests.spec.mistakes`
writes anew what is told: read the difference, line by line, before it is kept.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any
from unittest.mock import patch

from cardgen.card.finding import Finding, PartErrors
from cardgen.card.gather import gather
from cardgen.shop.folder import Shop
from cardgen.spec import load
from cardgen.spec.build import build
from cardgen.spec.models import PartRecord
from cardgen.spec.models.keys import Keys
from cardgen.spec.yamlfile import read_documents

HERE = Path(__file__).parent
TODAY = date(2026, 6, 1)
READ_ONCE = cache(read_documents)  # most of the shop is alike from mistake to mistake
BUILT: dict[tuple[object, str], Any] = {}


@dataclass
class Mistake:
    """One mistake of the catalogue."""

    title: str
    gone: list[str] = field(default_factory=list)
    instead: list[str] = field(default_factory=list)
    file: str = ""  # where it is a whole file
    told: list[str] = field(default_factory=list)

    @property
    def lines(self) -> list[str]:
        """As it stands in its file."""
        head = [f"== {self.title}", *([f"@ {self.file}"] if self.file else [])]
        marked = (("-", self.gone), ("+", self.instead), (">", self.told))
        return [*head, *(f"{mark} {line}".rstrip(" ") for mark, lines in marked for line in lines), ""]


def mistakes(path: Path) -> Iterator[Mistake]:
    """The mistakes of one file, in order."""
    found = None
    for line in path.read_text("utf-8").split("\n"):
        mark, text = line[:2].rstrip(), line[2:]
        if mark == "==":
            if found:
                yield found
            found = Mistake(text.strip())
        elif found and mark == "@":
            found.file = text
        elif found and mark in ("-", "+", ">"):
            {"-": found.gone, "+": found.instead, ">": found.told}[mark].append(text)
    if found:
        yield found


CATALOGUE = {path.stem: list(mistakes(path)) for path in sorted(HERE.glob("*.txt"))}


@cache
def sound_shop() -> dict[str, str]:
    """The sound shop: the text of each file."""
    return {path.name: path.read_text("utf-8") for path in sorted((HERE / "shop").glob("*.yaml"))}


def written(mistake: Mistake) -> dict[str, str]:
    """The shop with the mistake in it."""
    files = dict(sound_shop())
    gone, instead = "\n".join(mistake.gone), "\n".join(mistake.instead)
    if mistake.file:
        return {**files, mistake.file: f"{instead}\n"}
    if not mistake.instead:
        gone += "\n" if any(f"{gone}\n" in text for text in files.values()) else ""
    (name,) = (name for name, text in files.items() if gone in text)
    assert files[name].count(gone) == 1, mistake.title
    return {**files, name: files[name].replace(gone, instead)}


def told(files: dict[str, str]) -> list[str]:
    """All that is told of a shop: what is wrong in its specs, or else what the sums find wrong."""
    contents = {Path(name): text.encode() for name, text in files.items()}
    with patch.object(load, "read_documents", READ_ONCE), patch.object(load, "build", built_once):
        library, complaints = load.load_documents(contents)
    shop = Shop(Path(), library, tuple(complaints), contents, TODAY)
    if not complaints:
        for part in library.parts.values():
            complaints += [shop.complaint(found) for found in errors(shop, part)]
    return [line for complaint in complaints for line in complaint.lines]


def built_once(model: type[Keys], data: dict[str, Any]) -> Any:
    """What `build` makes of these very data."""
    key = model, repr(data)
    if key not in BUILT:
        BUILT[key] = build(model, data)
    return BUILT[key]


def errors(shop: Shop, part: PartRecord) -> Iterator[Finding]:
    """What keeps a part from getting a card."""
    try:
        found = gather(shop.records(part), "", TODAY).findings
    except PartErrors as wrong:
        found = wrong.findings
    return (each for each in found if each.level == "error")
