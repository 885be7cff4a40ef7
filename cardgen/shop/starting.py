"""The shop that comes with the program: specs and templates to start from."""

import shutil
from importlib.resources import files
from pathlib import Path

from cardgen.shelf.trouble import NoSuchShopError, ShelfError

FOR_GIT = {
    ".gitignore": """\
# Papers are made from the specs, in any clone alike. To commit them all the same, take the next line away.
/out/
# Each clone's own, and what a killed run left.
/out/.cardgen*
/out/index.html
.*.half-written
""",
    ".gitattributes": """\
# Where papers are committed: a merge leaves them as they are, and 'cardgen make' makes them anew.
# Each clone has to be told once: git config merge.made-anew.driver true
/out/** merge=made-anew
""",
}
SCHEMA = "record-schema.json"  # beside the specs, whose first line ties them to it


def starting_files(name: str) -> Path:
    """The specs or templates that come with the program: in the package, or beside it in a checkout."""
    package = Path(str(files("cardgen")))
    installed = package / "starting" / name
    return installed if installed.is_dir() else package.parent / name


def lay_down(folder: Path) -> None:
    """Copy the starting shop into a new or empty folder; raises ShelfError for any other."""
    _require_empty(folder)
    for name in ("specs", "templates"):
        shutil.copytree(starting_files(name), folder / name)
    (folder / "out").mkdir()
    _lay_for_git(folder)


def lay_down_empty(folder: Path) -> None:
    """A shop of nothing but its own record; raises ShelfError for a folder that is not new or empty.

    Its wording and layout are the program's, until it has templates of its own.
    """
    from cardgen.spec.skeleton import skeleton

    _require_empty(folder)
    for name in ("specs", "out"):
        (folder / name).mkdir(parents=True)
    shutil.copy(starting_files("specs") / SCHEMA, folder / "specs" / SCHEMA)
    _write_new(folder / "specs" / "shop.yaml", skeleton("shop", "shop", SCHEMA))
    _lay_for_git(folder)


def lay_record(folder: Path, kind: str, record_id: str) -> Path:
    """A skeleton of a record among the shop's specs; raises ShelfError where one is there already.

    Raises Refusal for an id that is none, NoSuchShopError where the folder is no shop.
    """
    from cardgen.spec.models.fields import read_id
    from cardgen.spec.references import ids_in
    from cardgen.spec.skeleton import skeleton

    specs, name = folder / "specs", read_id(record_id)
    if not specs.is_dir():
        raise NoSuchShopError(
            f"{folder} is no shop: it has no folder 'specs'; lay one down with 'cardgen new shop DIR --empty'"
        )
    if name.casefold() in {known.casefold() for known in ids_in(specs, kind)}:
        raise ShelfError(f"the {kind} '{name}' is there already among {specs}; name another id")
    path = specs / (f"{name}.yaml" if kind == "part" else f"{kind}-{name}.yaml")
    _write_new(path, skeleton(kind, name, SCHEMA))
    return path


def _lay_for_git(folder: Path) -> None:
    for name, text in FOR_GIT.items():
        _write_new(folder / name, text)


def _require_empty(folder: Path) -> None:
    if folder.exists() and any(folder.iterdir()):
        raise ShelfError(
            f"{folder} is not empty; name a new folder, so that nothing of yours is written over"
        )


def _write_new(path: Path, text: str) -> None:
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError:
        raise ShelfError(f"{path} is there already, and nothing is written over; name another id") from None
