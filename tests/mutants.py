"""Are the tests awake? Spoil the program in one place, run the tests of that room, and see who notices.

    python -m tests.mutants --count 60 --seed 1        about a minute a mutant and core
    python -m tests.mutants --room card --count 20

A mutant is one small change of meaning: a sign, an operator, a cosine left out, a figure doubled, a rounding
turned round. One that no test notices is printed with its line; either a test is missing there, or the place
changes nothing that anybody reads, and should go.
"""

import argparse
import ast
import os
import random
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

TOP = Path(__file__).parent.parent
# Which files of the package are spoilt, and which tests have to notice; the quickest come first.
ROOMS = {
    "compute": (("terms.py", "compute"), ("tests/compute", "tests/test_published.py", "tests/card")),
    "card": (("card",), ("tests/card", "tests/booklet", "tests/test_print_is_values.py", "tests/paper")),
    "figures": (
        ("digits.py", "paper/words/figures.py"),
        ("tests/test_print_is_values.py", "tests/paper", "tests/booklet"),
    ),
    "shelf": (("shelf",), ("tests/shelf",)),
}
SWAPPED = {ast.Add: ("+", "-"), ast.Sub: ("-", "+"), ast.Mult: ("*", "/"), ast.Div: ("/", "*")}
TURNED = {
    ast.Lt: ("<", ">"),
    ast.Gt: (">", "<"),
    ast.LtE: ("<=", ">"),
    ast.GtE: (">=", "<"),
    ast.Eq: ("==", "!="),
    ast.NotEq: ("!=", "=="),
}
RENAMED = {
    "min": "max",
    "max": "min",
    "floor": "ceil",
    "ceil": "floor",
    "whole_up": "whole_down",
    "whole_down": "whole_up",
    "cos": "sin",
    "sin": "cos",
    "tan": "sin",
    "any": "all",
    "all": "any",
}
SECONDS = 900


@dataclass(frozen=True)
class Mutant:
    """One change: the bytes of a file from `start` to `end` become `text`."""

    file: str
    line: int
    start: int
    end: int
    was: str
    text: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.was!r} → {self.text!r}"


class _Places:
    """Where the bytes of a node lie in its file."""

    def __init__(self, source: bytes) -> None:
        self.source = source
        self.starts = [0]
        for line in source.splitlines(keepends=True):
            self.starts.append(self.starts[-1] + len(line))

    def start(self, node: ast.expr) -> int:
        return self.starts[node.lineno - 1] + node.col_offset

    def end(self, node: ast.expr) -> int:
        assert node.end_lineno is not None
        assert node.end_col_offset is not None
        return self.starts[node.end_lineno - 1] + node.end_col_offset


def mutants_of(path: Path, name: str) -> Iterator[Mutant]:
    """Every small change of meaning that one file offers."""
    source = path.read_bytes()
    places = _Places(source)

    def change(line: int, start: int, end: int, text: str) -> Mutant:
        return Mutant(name, line, start, end, source[start:end].decode(), text)

    def between(first: ast.expr, second: ast.expr, was: str, text: str) -> Mutant:
        """The operator between two operands, whatever brackets and line ends stand beside it."""
        start = source.index(was.encode(), places.end(first), places.start(second))
        return change(first.lineno, start, start + len(was), text)

    for node in _meant(ast.parse(source)):
        match node:
            case ast.BinOp(left, op, right) if type(op) in SWAPPED and not _is_text(left, right):
                yield between(left, right, *SWAPPED[type(op)])
            case ast.Compare(left, [op], [right]) if type(op) in TURNED:
                yield between(left, right, *TURNED[type(op)])
            case ast.Call(ast.Name(called) as name_node) if called in RENAMED:
                yield change(node.lineno, places.start(name_node), places.end(name_node), RENAMED[called])
            case ast.Call(ast.Attribute(_, called) as held) if called in RENAMED:
                end = places.end(held)
                yield change(node.lineno, end - len(called), end, RENAMED[called])
            case ast.Constant(value) if type(value) in (int, float) and value not in (0, 1):
                yield change(node.lineno, places.start(node), places.end(node), f"({value!r} * 2)")
            case ast.UnaryOp(ast.USub(), operand) if not isinstance(operand, ast.Constant):
                yield change(node.lineno, places.start(node), places.start(node) + 1, "+")
            case ast.BoolOp(op, [first, second, *_]):
                was, text = ("and", "or") if isinstance(op, ast.And) else ("or", "and")
                yield between(first, second, was, text)


def _meant(tree: ast.AST) -> Iterator[ast.AST]:
    """Every node that says what is done: no annotations, no raised messages."""
    if isinstance(tree, ast.Raise):
        return
    yield tree
    for name, held in ast.iter_fields(tree):
        if name in ("annotation", "returns", "decorator_list"):
            continue
        for child in held if isinstance(held, list) else [held]:
            if isinstance(child, ast.AST):
                yield from _meant(child)


def _is_text(*nodes: ast.expr) -> bool:
    return any(isinstance(node, ast.JoinedStr | ast.List | ast.Tuple) for node in nodes) or any(
        isinstance(node, ast.Constant) and isinstance(node.value, str) for node in nodes
    )


def chosen(room: str, count: int, seed: int) -> list[Mutant]:
    """So many mutants of a room, spread over its files by chance."""
    found = []
    for place in ROOMS[room][0]:
        path = TOP / "cardgen" / place
        files = sorted(path.rglob("*.py")) if path.is_dir() else [path]
        for file in files:
            found += list(mutants_of(file, file.relative_to(TOP).as_posix()))
    random.Random(f"{room} {seed}").shuffle(found)
    return found[:count]


def survives(mutant: Mutant, room: str, copy: Path) -> bool:
    """Whether the tests of the room pass all the same in a spoilt copy of the checkout."""
    path = copy / mutant.file
    sound = path.read_bytes()
    path.write_bytes(sound[: mutant.start] + mutant.text.encode() + sound[mutant.end :])
    try:
        return passes(copy, ROOMS[room][1])
    finally:
        path.write_bytes(sound)


def passes(copy: Path, tests: tuple[str, ...]) -> bool:
    """Whether these tests pass in a copy, one after the other, no further than the first failure."""
    environment = {**os.environ, "PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1"}
    # Pictures kept of pages notice everything, and tell nothing: the other tests have to.
    options = ["-n", "0", "-x", "-q", "-p", "no:cacheprovider", "--ignore=tests/paper/test_kept_pictures.py"]
    for each in tests:
        command = [sys.executable, "-m", "pytest", *options, each]
        try:
            run = subprocess.run(command, cwd=copy, env=environment, capture_output=True, timeout=SECONDS)
        except subprocess.TimeoutExpired:
            return False
        if run.returncode != 0:
            return False
    return True


def _copy(folder: Path) -> Path:
    ignored = shutil.ignore_patterns(".git", ".venv", "*_cache", "__pycache__", "*.egg-info", "build")
    shutil.copytree(TOP, folder, ignore=ignored)
    return folder


def main() -> None:
    """Spoil, run, tell."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--count", type=int, default=60, help="how many mutants in all")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--room", choices=sorted(ROOMS), action="append", help="only these rooms")
    asked = parser.parse_args()
    rooms = asked.room or sorted(ROOMS)
    share = -(-asked.count // len(rooms))
    jobs = [(room, mutant) for room in rooms for mutant in chosen(room, share, asked.seed)]
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(os.cpu_count()) as pool:
        copies = [_copy(Path(folder) / str(number)) for number in range(os.cpu_count() or 1)]
        free = list(copies)

        def tried(job: tuple[str, Mutant]) -> bool:
            copy = free.pop()
            try:
                return survives(job[1], job[0], copy)
            finally:
                free.append(copy)

        survivors = 0
        for (_, mutant), lives in zip(jobs, pool.map(tried, jobs), strict=True):
            survivors += lives
            print("SURVIVES" if lives else "killed  ", mutant, flush=True)
    print(f"{len(jobs)} mutants, {len(jobs) - survivors} killed, {survivors} survive")
    sys.exit(1 if survivors else 0)


if __name__ == "__main__":
    main()
