"""The spec files of a shop as they lie there, and a complaint about each that cannot be read."""

import os
from pathlib import Path

from cardgen.bounds import most, read_file
from cardgen.shelf.trouble import ShelfError
from cardgen.spec.complaint import Complaint

ENDINGS = (".yaml", ".yml")
LOCK = ".#"  # how an editor's lock begins: a link to nowhere, gone when the file is closed


def read_spec_files(shop: Path) -> tuple[dict[str, bytes], list[Complaint]]:
    """What every file below 'specs' holds, by its place in the shop; one that cannot be read never stops the
    others."""
    contents: dict[str, bytes] = {}
    complaints: list[Complaint] = []

    def complain(path: Path, what: str, right: str) -> None:
        name = path.relative_to(shop).as_posix()
        complaints.append(
            Complaint(name, 1, 1, f"the {what}", f"{right}; what it says is not known till then")
        )

    def refused(trouble: OSError) -> None:
        complain(Path(trouble.filename), f"folder cannot be read ({trouble.strerror})", "allow it to be read")

    for folder, _, names in os.walk(shop / "specs", onerror=refused):
        place = Path(folder).relative_to(shop).as_posix()
        for name in (name for name in names if name.endswith(ENDINGS)):
            try:
                contents[f"{place}/{name}"] = read_file(f"{folder}{os.sep}{name}", "paper.file")
            except OSError as trouble:
                path = Path(folder, name)
                if path.is_symlink() and not path.exists():
                    if not path.name.startswith(LOCK):
                        complain(path, "file is a link that leads nowhere", "mend the link or take it away")
                elif not path.is_file():
                    complain(
                        path, "name ends as a spec's does, and it is no file", "take it away or rename it"
                    )
                else:
                    complain(path, f"file cannot be read ({trouble.strerror})", "allow it to be read")
    if len(contents) > most("spec.files"):
        raise ShelfError(
            f"{shop / 'specs'} holds {len(contents)} specs; a shop has room for {most('spec.files')}"
        )
    return contents, complaints
