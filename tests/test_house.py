"""Rules of the house that a machine can hold: who imports whom, what lies where, what is not committed."""

import ast
import re
import subprocess
import sys
import tomllib
from collections import Counter
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

TOP = Path(__file__).parent.parent
PACKAGE = TOP / "cardgen"
PLAIN_DATA = {"values", "exchange_values", "tables"}
MOST_LINES = {"function": 60, "module": 400}


def allowed() -> dict[str, set[str]]:
    """The table of DEVELOPERS.md: room → rooms it may import."""
    rows = re.findall(r"^\| (\w+) \|([^|]*)\|$", (TOP / "DEVELOPERS.md").read_text("utf-8"), re.MULTILINE)
    assert len({room for room, _ in rows}) == len(rows), "a room stands twice in the table"
    table = {room: {name.strip() for name in names.split(",") if name.strip()} for room, names in rows}
    return {room: names for room, names in table.items() if room != "room"}


def room_of(path: Path, package: Path) -> str:
    return path.relative_to(package).parts[0].removesuffix(".py")


@cache
def tree(path: Path) -> ast.Module:
    """A file as Python reads it, read once."""
    return ast.parse(path.read_text("utf-8"))


@cache
def imports(path: Path, package: Path) -> set[str]:
    """Every module that a file imports, wherever in it and in whatever way, as full dotted names."""
    found = set()
    folder = ["cardgen", *path.relative_to(package).parent.parts]
    for node in ast.walk(tree(path)):
        match node:
            case ast.Import():
                found |= {alias.name for alias in node.names}
            case ast.ImportFrom():
                above = folder[: len(folder) - node.level + 1] if node.level else []
                module = ".".join([*above, *filter(None, [node.module])])
                found |= {f"{module}.{alias.name}" for alias in node.names}
            case ast.Attribute(value=ast.Name("cardgen"), attr=room):
                found.add(f"cardgen.{room}")  # reached through 'import cardgen.…', which binds the whole
            case ast.Attribute(value=ast.Attribute(ast.Name("cardgen"), room), attr=module):
                found.add(f"cardgen.{room}.{module}")
            case ast.Call() if ast.unparse(node.func).split(".")[-1] in ("import_module", "__import__"):
                found.add(named_at_run_time(node))
    return found


def named_at_run_time(call: ast.Call) -> str:
    """The module that import_module('cardgen.…') names; 'cardgen', which none may import, where unread."""
    match call.args:
        case [ast.Constant(value=str(name))] if not name.startswith(".") and not call.keywords:
            return name
    return "cardgen"


def turned_arrows(package: Path) -> list[str]:
    """Every import of a room that the table does not allow, of the whole package, or of more than data."""
    table, wrong = allowed(), []
    for path in sorted(package.rglob("*.py")):
        room = room_of(path, package)
        if room.startswith("__"):
            continue
        for name in sorted(imports(path, package)):
            first, other, below = [*name.split("."), "", ""][:3]
            if first != "cardgen" or other == room or other.startswith("__"):
                continue
            if other not in table.get(room, set()):
                wrong.append(f"{path.relative_to(package)} imports {name}")
            elif other in ("card", "booklet") and room in ("paper", "shelf") and below not in PLAIN_DATA:
                wrong.append(f"{path.relative_to(package)} imports {name}, which is more than plain data")
    return wrong


def places_of_libraries() -> dict[str, set[str]]:
    """The table of DEVELOPERS.md: a library's name in imports → the only files or folders that use it."""
    rows = re.findall(
        r"^\| [^|]+ \| `(\w+)` \| ([^|]+) \|$", (TOP / "DEVELOPERS.md").read_text("utf-8"), re.MULTILINE
    )
    return {library: set(re.findall(r"`cardgen/([^`]+)`", places)) for library, places in rows}


def uses_of_libraries(package: Path) -> set[tuple[str, str]]:
    """Every (file, library) where a file of the package imports what is neither its own nor Python's."""
    return {
        (path.relative_to(package).as_posix(), library)
        for path in package.rglob("*.py")
        for library in {name.split(".")[0] for name in imports(path, package)}
        if library != "cardgen" and library not in sys.stdlib_module_names
    }


def strayed_libraries(package: Path) -> list[str]:
    places = places_of_libraries()
    return [
        f"{file} imports {library}"
        for file, library in sorted(uses_of_libraries(package))
        if not any(
            file == place or (place.endswith("/") and file.startswith(place))
            for place in places.get(library, ())
        )
    ]


def test_arrows_between_the_rooms_point_forward_only() -> None:
    """No room imports one that the table in DEVELOPERS.md does not allow it."""
    assert turned_arrows(PACKAGE) == []


def test_every_room_stands_in_the_table() -> None:
    """A new room has to be given its arrows before it can import anything."""
    rooms = {room_of(path, PACKAGE) for path in PACKAGE.rglob("*.py")} - {"__init__", "__main__"}
    assert rooms == set(allowed())


def test_a_library_is_imported_only_where_the_table_says() -> None:
    """What a room needs from outside is one file's affair; the sums need nothing."""
    assert strayed_libraries(PACKAGE) == []


def test_the_table_of_libraries_names_no_place_that_does_without() -> None:
    """A library that has gone from a place goes from the table; one that pyproject requires is in it."""
    used = uses_of_libraries(PACKAGE)
    idle = [
        (library, place)
        for library, places in places_of_libraries().items()
        for place in places
        if not any(library == name and file.startswith(place) for file, name in used)
    ]
    assert idle == []
    project = tomllib.loads((TOP / "pyproject.toml").read_text("utf-8"))["project"]
    required = {re.split(r"\W", line)[0].casefold() for line in project["dependencies"]}
    first_words = re.findall(r"^\| (\w+)", (TOP / "DEVELOPERS.md").read_text("utf-8"), re.MULTILINE)
    assert required <= {word.casefold() for word in first_words}


def spoilt_by(tmp_path: Path, file: str, line: str) -> Path:
    """A package of this one file, with a line more."""
    spoilt = tmp_path / file
    spoilt.parent.mkdir(parents=True)
    spoilt.write_text((PACKAGE / file).read_text("utf-8") + f"\n{line}\n", "utf-8")
    return tmp_path


@pytest.mark.parametrize(
    ("file", "line"),
    [
        ("compute/taper.py", "from cardgen.spec import quantity"),
        ("compute/taper.py", "import cardgen.tapers"),
        ("compute/taper.py", "from cardgen import tapers"),
        ("compute/taper.py", "from .. import tapers"),
        ("compute/taper.py", "from ..tapers import lookup"),
        ("compute/__init__.py", "from ..tapers import lookup"),
        ("compute/taper.py", "import cardgen"),
        ("compute/taper.py", "import cardgen.compute.batch\ncardgen.tapers.lookup"),
        ("compute/taper.py", "import importlib\nimportlib.import_module('cardgen.tapers')"),
        ("compute/taper.py", "from importlib import import_module\nimport_module('..tapers', __package__)"),
        ("compute/taper.py", "__import__('cardgen.' + 'tapers')"),
        ("paper/words/figures.py", "from cardgen.compute import taper"),
        ("paper/words/figures.py", "from cardgen.card.gather import gather"),
        ("paper/words/figures.py", "from ...card.gather import gather"),
        ("paper/words/figures.py", "import cardgen.card"),
        ("paper/words/figures.py", "from cardgen import card"),
        ("paper/words/figures.py", "from cardgen.card import *"),
        ("spec/quantity.py", "from cardgen.compute import taper"),
        ("shelf/digest.py", "from cardgen.spec.load import load_documents"),
        ("shelf/digest.py", "from cardgen.card import gather"),
    ],
)
def test_an_arrow_turned_is_caught(tmp_path: Path, file: str, line: str) -> None:
    """The rule is not idle: with the import turned round it fails, however it is written."""
    package = spoilt_by(tmp_path, file, line)
    assert {wrong.split(" imports ")[0] for wrong in turned_arrows(package)} == {file}


@pytest.mark.parametrize(
    "line",
    [
        "from . import taper",
        "from .taper import Taper",
        "import cardgen.compute.taper",
        "from cardgen import __version__",
    ],
)
def test_what_is_of_the_room_itself_is_no_arrow(tmp_path: Path, line: str) -> None:
    """The rule asks about other rooms only, and the version is everybody's."""
    assert turned_arrows(spoilt_by(tmp_path, "compute/batch.py", line)) == []


@pytest.mark.parametrize(
    ("file", "line"),
    [
        ("compute/taper.py", "import numpy"),
        ("compute/taper.py", "def f():\n    from yaml import safe_load"),
        ("compute/taper.py", "import importlib\nimportlib.import_module('pint')"),
        ("tapers/lookup.py", "import yaml"),
        ("spec/number.py", "import pint"),
        ("card/gather.py", "from pydantic import BaseModel"),
        ("paper/press/document.py", "import reportlab.pdfgen.canvas"),
        ("paper/panels/panel.py", "import jinja2"),
        ("shelf/truth.py", "from pypdf import PdfReader"),
        ("shop/folder.py", "import click"),
    ],
)
def test_a_library_in_another_place_is_caught(tmp_path: Path, file: str, line: str) -> None:
    """The table of libraries is not idle either."""
    package = spoilt_by(tmp_path, file, line)
    assert [wrong.split(" imports ")[0] for wrong in strayed_libraries(package)] == [file]


def committed() -> list[Path]:
    if not (TOP / ".git").exists():
        pytest.skip("not a checkout: nothing to ask git for")
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=TOP, capture_output=True, check=True).stdout
    return [TOP / name for name in listed.decode().split("\0") if name and (TOP / name).is_file()]


def test_the_top_level_holds_what_was_agreed_and_nothing_else_visible() -> None:
    """A person who opens the checkout finds what the project's card fixes."""
    visible = {path.relative_to(TOP).parts[0] for path in committed()}
    agreed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "cardgen", "specs", "templates", "tests", "out"}
    assert {name for name in visible if not name.startswith(".")} <= agreed | {"LICENSE"}


def test_nothing_made_is_committed() -> None:
    """out/ holds cards, and cards are made, not kept."""
    assert [path.name for path in committed() if path.is_relative_to(TOP / "out")] == [".gitkeep"]


def overgrown(package: Path) -> list[str]:
    too_long = []
    for path in sorted(package.rglob("*.py")):
        if path.read_text("utf-8").count("\n") > MOST_LINES["module"]:
            too_long.append(str(path.relative_to(package)))
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                lines = (node.end_lineno or node.lineno) - node.lineno + 1
                if lines > MOST_LINES["function"]:
                    too_long.append(f"{path.relative_to(package)}: {node.name}")
    return too_long


def test_no_module_has_outgrown_a_reader() -> None:
    """No module and no function is longer than DEVELOPERS.md says."""
    assert overgrown(PACKAGE) == []
    said = "Functions of at most {function} lines, modules of at most {module}".format(**MOST_LINES)
    assert said in (TOP / "DEVELOPERS.md").read_text("utf-8")


def test_one_line_too_many_is_caught(tmp_path: Path) -> None:
    """A function of 60 lines passes and one of 61 does not; so a module of 400 and of 401."""
    for name, lines in (("holds", 60), ("fails", 61)):
        (tmp_path / f"{name}.py").write_text("def f():\n" + "    pass\n" * (lines - 1), "utf-8")
    for name, lines in (("full", 400), ("over", 401)):
        (tmp_path / f"{name}.py").write_text("pass\n" * lines, "utf-8")
    assert overgrown(tmp_path) == ["fails.py: f", "over.py"]


def classes() -> list[str]:
    """Every class of the package, by its name."""
    files = PACKAGE.rglob("*.py")
    return [node.name for path in files for node in ast.walk(tree(path)) if isinstance(node, ast.ClassDef)]


def modules() -> list[str]:
    """Every module and folder of the package, by its name."""
    files = [path for path in PACKAGE.rglob("*.py") if path.name != "__init__.py"]
    return [path.stem for path in files] + [path.parent.name for path in PACKAGE.rglob("__init__.py")]


@pytest.mark.parametrize("names", [classes, modules])
def test_no_two_things_bear_one_name(names: Callable[[], list[str]]) -> None:
    """A name says which thing is meant, wherever it is read: no class and no module stands twice."""
    assert [name for name, count in Counter(names()).items() if count > 1] == []


def test_every_place_that_the_map_names_is_there() -> None:
    """Ensures that a file that goes, or moves, is not looked for where it was."""
    named = re.findall(
        r"`((?:cardgen|templates|tests|\.ci)/[\w./*-]*)`", (TOP / "DEVELOPERS.md").read_text("utf-8")
    )
    assert len(named) > 40
    assert [place for place in named if not list(TOP.glob(place.rstrip("/")))] == []


def contracts() -> dict[str, str]:
    """The table of DEVELOPERS.md: the one file that uses a library's own names → the contract of them."""
    rows = re.findall(
        r"^\| \w+ \| `(cardgen/\S+)` \| `(tests/\S+)` \|$",
        (TOP / "DEVELOPERS.md").read_text("utf-8"),
        re.MULTILINE,
    )
    return dict(rows)


def private_names_of_others(path: Path) -> set[str]:
    """Every x._name of a file where x is neither self nor cls nor super(); os._exit is in Python's manual."""
    return {
        node.attr
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Attribute) and node.attr.startswith("_") and not node.attr.startswith("__")
        if ast.unparse(node.value) not in ("self", "cls", "super()") and ast.unparse(node) != "os._exit"
    }


def test_what_a_library_keeps_for_itself_is_used_in_one_file_with_a_contract() -> None:
    """A new version may change such a name without a word: the contract tells, before a card does."""
    using = {str(path.relative_to(TOP)): private_names_of_others(path) for path in PACKAGE.rglob("*.py")}
    assert {file for file, names in using.items() if names} <= set(contracts())
    assert all((TOP / contract).is_file() for contract in contracts().values())
    assert len(contracts()) == 4
