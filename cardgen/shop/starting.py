"""The shop that comes with the program: specs and templates to start from."""

import shutil
from importlib.resources import files
from pathlib import Path

from cardgen.shelf.trouble import ShelfError


def starting_files(name: str) -> Path:
    """The specs or templates that come with the program: in the package, or beside it in a checkout."""
    package = Path(str(files("cardgen")))
    installed = package / "starting" / name
    return installed if installed.is_dir() else package.parent / name


def lay_down(folder: Path) -> None:
    """Copy the starting shop into a new or empty folder; raises ShelfError for any other."""
    if folder.exists() and any(folder.iterdir()):
        raise ShelfError(
            f"{folder} is not empty; name a new folder, so that nothing of yours is written over"
        )
    for name in ("specs", "templates"):
        shutil.copytree(starting_files(name), folder / name)
    (folder / "out").mkdir()
