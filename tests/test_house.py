"""Rules of the house that a machine can hold: who imports whom, what lies where, what is not committed."""

import ast
import re
import shutil
import subprocess
from pathlib import Path

import pytest

TOP = Path(__file__).parent.parent
PACKAGE = TOP / "cardgen"
PLAIN_DATA = {"values", "tables"}


def allowed() -> dict[str, set[str]]:
    """The table of DEVELOPERS.md: room → rooms it may import."""
    rows = re.findall(r"^\| (\w+) \|([^|]*)\|$", (TOP / "DEVELOPERS.md").read_text("utf-8"), re.MULTILINE)
    assert len({room for room, _ in rows}) == len(rows), "a room stands twice in the table"
    table = {room: {name.strip() for name in names.split(",") if name.strip()} for room, names in rows}
    return {room: names for room, names in table.items() if room != "room"}


def room_of(path: Path, package: Path) -> str:
    return path.relative_to(package).parts[0].removesuffix(".py")


def imports(path: Path) -> set[str]:
    """Every module of the package that a file imports, wherever in it, as dotted names below the package."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {f"{node.module}.{alias.name}" for alias in node.names}
    return {name.removeprefix("cardgen.") for name in found if name.startswith("cardgen.")}


def turned_arrows(package: Path) -> list[str]:
    table, wrong = allowed(), []
    for path in sorted(package.rglob("*.py")):
        room = room_of(path, package)
        if room.startswith("__") or not path.is_file():
            continue
        for name in imports(path):
            other = name.split(".")[0]
            if other == room or other.startswith("__"):
                continue
            if other not in table.get(room, set()):
                wrong.append(f"{path.relative_to(package)} imports {name}")
            elif (
                other in ("card", "booklet")
                and room in ("paper", "shelf")
                and name.split(".")[1] not in PLAIN_DATA
            ):
                wrong.append(f"{path.relative_to(package)} imports {name}, which is more than plain data")
    return wrong


def test_arrows_between_the_rooms_point_forward_only() -> None:
    """No room imports one that the table in DEVELOPERS.md does not allow it."""
    assert turned_arrows(PACKAGE) == []


def test_every_room_stands_in_the_table() -> None:
    """A new room has to be given its arrows before it can import anything."""
    rooms = {room_of(path, PACKAGE) for path in PACKAGE.rglob("*.py")} - {"__init__", "__main__"}
    assert rooms == set(allowed())


@pytest.mark.parametrize(
    ("file", "line"),
    [
        ("compute/taper.py", "from cardgen.spec import quantity"),
        ("compute/taper.py", "import cardgen.tapers"),
        ("paper/words/figures.py", "from cardgen.compute import taper"),
        ("paper/words/figures.py", "from cardgen.card.gather import gather"),
        ("spec/quantity.py", "from cardgen.compute import taper"),
        ("shelf/digest.py", "from cardgen.spec import load_documents"),
    ],
)
def test_an_arrow_turned_is_caught(tmp_path: Path, file: str, line: str) -> None:
    """The rule is not idle: with the import turned round it fails."""
    package = tmp_path / "cardgen"
    shutil.copytree(PACKAGE, package, ignore=shutil.ignore_patterns("*.ttf", "__pycache__"))
    spoilt = package / file
    spoilt.write_text(spoilt.read_text("utf-8") + f"\n{line}\n", "utf-8")
    assert [wrong.split(" imports ")[0] for wrong in turned_arrows(package)] == [file]


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


def test_no_module_has_outgrown_a_reader() -> None:
    """Modules stay under about 400 lines, functions under about 60."""
    too_long = []
    for path in PACKAGE.rglob("*.py"):
        text = path.read_text("utf-8")
        if text.count("\n") > 440:
            too_long.append(f"{path.relative_to(PACKAGE)}: {text.count(chr(10))} lines")
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.FunctionDef) and (node.end_lineno or 0) - node.lineno > 66:
                too_long.append(f"{path.relative_to(PACKAGE)}: {node.name}")
    assert too_long == []


def contracts() -> dict[str, str]:
    """The table of DEVELOPERS.md: the one file that uses a library's own names → the contract of them."""
    rows = re.findall(
        r"^\| \w+ \| `(cardgen/\S+)` \| `(tests/\S+)` \|$",
        (TOP / "DEVELOPERS.md").read_text("utf-8"),
        re.MULTILINE,
    )
    return dict(rows)


def private_names_of_others(path: Path) -> set[str]:
    """Every x._name of a file where x is neither self nor cls nor super()."""
    return {
        node.attr
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Attribute) and node.attr.startswith("_") and not node.attr.startswith("__")
        if ast.unparse(node.value) not in ("self", "cls", "super()")
    }


def test_what_a_library_keeps_for_itself_is_used_in_one_file_with_a_contract() -> None:
    """A new version may change such a name without a word: the contract tells, before a card does."""
    using = {str(path.relative_to(TOP)): private_names_of_others(path) for path in PACKAGE.rglob("*.py")}
    assert {file for file, names in using.items() if names} <= set(contracts())
    assert all((TOP / contract).is_file() for contract in contracts().values())
    assert len(contracts()) == 3
