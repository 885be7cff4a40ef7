"""The spec files of a shop as they lie there, and a complaint about each that cannot be read."""

import os
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from cardgen.bounds import most, read_told
from cardgen.shelf.stamp import Stamp, stamp, stamp_of
from cardgen.shelf.trouble import NoSuchShopError, ShelfError
from cardgen.spec.complaint import Complaint

ENDINGS = (".yaml", ".yml")
NO_TEXT = re.compile("[\ud800-\udfff]")  # how Python has the bytes of a file's name that are no letters
LOCK = ".#"  # how an editor's lock begins: a link to nowhere, gone when the file is closed


@dataclass(frozen=True)
class SpecFiles:
    """What every file below 'specs' holds, by its place in the shop, and how it lay before it was read."""

    contents: dict[str, bytes] = field(default_factory=dict)
    stamps: dict[str, Stamp | None] = field(default_factory=dict)
    complaints: list[Complaint] = field(default_factory=list)


def read_spec_files(shop: Path) -> SpecFiles:
    """Every spec file; one that cannot be read never stops the others."""
    found = SpecFiles()

    def complain(path: Path, what: str, right: str) -> None:
        name = os.fsencode(path.relative_to(shop).as_posix()).decode("utf-8", "backslashreplace")
        found.complaints.append(
            Complaint(name, 1, 1, f"the {what}", f"{right}; what it says is not known till then")
        )

    def refused(trouble: OSError) -> None:
        complain(Path(trouble.filename), f"folder cannot be read ({trouble.strerror})", "allow it to be read")

    for place, file in _lying(shop, refused):
        if NO_TEXT.search(place):
            found.stamps[place] = None
            complain(Path(file), "name of the file, or of its folder, is not UTF-8 text", "rename it")
            continue
        try:
            found.contents[place], told = read_told(file, "paper.file")
            found.stamps[place] = stamp(told)
        except OSError as trouble:
            found.stamps[place] = None
            path = Path(file)
            if path.is_symlink() and not path.exists():
                if not path.name.startswith(LOCK):
                    complain(path, "file is a link that leads nowhere", "mend the link or take it away")
            elif not path.is_file():
                complain(path, "name ends as a spec's does, and it is no file", "take it away or rename it")
            else:
                complain(path, f"file cannot be read ({trouble.strerror})", "allow it to be read")
    if len(found.contents) > most("spec.files"):
        raise ShelfError(
            f"{shop / 'specs'} holds {len(found.contents)} specs; a shop has room for {most('spec.files')}"
        )
    return found


def spec_stamps(shop: Path) -> dict[str, Stamp | None]:
    """How every spec file lies, none of them read."""
    return {place: stamp_of(file) for place, file in _lying(shop)}


def _lying(shop: Path, refused: Callable[[OSError], None] | None = None) -> Iterator[tuple[str, str]]:
    """Every file below 'specs' that is named as a spec: its place in the shop, and where that is."""
    for folder, _, names in os.walk(shop / "specs", onerror=refused):
        place = Path(folder).relative_to(shop).as_posix()
        for name in names:
            if name.endswith(ENDINGS):
                yield f"{place}/{name}", f"{folder}{os.sep}{name}"


def out_of(folder: Path) -> Path:
    """Where a shop's papers lie; raises NoSuchShopError where the folder is none."""
    if not (folder / "specs").is_dir():
        raise NoSuchShopError(
            f"{folder} is no shop: it has no folder 'specs'; lay one down with 'cardgen new shop {folder}'"
        )
    return folder / "out"
