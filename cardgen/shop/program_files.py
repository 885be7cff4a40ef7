"""The program itself as something that papers are made from: its own files, by their digest.

Not by its version, which nobody raises for a corrected formula. Its tables of tapers are an input of their
own, so that a change in them is told by its name. Templates that come with the program are read as a shop's.
"""

import hashlib
import os
from collections.abc import Iterable, Iterator
from functools import cache
from importlib.resources import files
from pathlib import Path

from cardgen.shelf.digest import Input, text_input

DIGITS = 16  # of the digest: nobody is out to forge it
TABLES = "tapers/data/"
NOT_RUN = ("starting", "__pycache__")  # what a new shop begins with; what Python keeps for itself
CHANGES = "CHANGES.md"
FOR_PEOPLE = (CHANGES, "KEYS.md")
FONT = ".ttf"


@cache
def program_inputs() -> tuple[Input, ...]:
    """The program's tables, and the rest of its files; read once a process, for it runs what it was then."""
    package = Path(str(files("cardgen")))
    names = sorted(_names(package))
    tables = _digest(package, [name for name in names if name.startswith(TABLES)])
    rest = _digest(package, [name for name in names if not name.startswith(TABLES)])
    return (
        text_input("taper data", f"files {tables}"),
        text_input("program", f"{_version(package)}, files {rest}"),
    )


def _version(package: Path) -> str:
    """The newest in the list of changes: what was installed is the same, and takes longer to ask."""
    return (package / CHANGES).read_text("utf-8").partition("\n## ")[2].partition(",")[0]


def _digest(package: Path, names: Iterable[str]) -> str:
    whole = hashlib.sha256()
    for name in names:
        path = package / name
        if name.endswith(FONT):  # large, and a drawn page carries it: its size tells enough
            whole.update(f"{name} {path.stat().st_size};".encode())
        else:  # a checkout with the line ends of another system is no change
            content = path.read_bytes().replace(b"\r\n", b"\n")
            whole.update(f"{name} {len(content)}:".encode() + content)
    return whole.hexdigest()[:DIGITS]


def _names(package: Path) -> Iterator[str]:
    """The program's files by their place in the package: 'compute/taper.py', on every system."""
    for folder, below, names in os.walk(package):
        below[:] = [name for name in below if name not in NOT_RUN and not name.startswith(".")]
        inside = os.path.relpath(folder, package).replace(os.sep, "/")
        yield from (
            name if inside == "." else f"{inside}/{name}"
            for name in names
            if name[0] != "." and name not in FOR_PEOPLE
        )
