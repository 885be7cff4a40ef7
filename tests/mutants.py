"""Are the tests awake? Spoil the program in one place, run the tests of that room, and see who notices.

    python -m tests.mutants --count 60 --seed 1       15 of each room
    python -m tests.mutants --room card --count 20    one room keeps one core busy: start others beside it

A mutant is one small change of meaning: a sign, an operator, a cosine left out, a figure doubled, a rounding
turned round. One that no test notices is printed with its line; either a test is missing there, or the place
changes nothing that anybody reads, and should go.

This process imports pytest and the libraries once, never cardgen; for each mutant it forks, and the child
imports cardgen anew with one file spoilt. No file is changed, so what a test starts as a process of its own
is sound. First the sound program passes the same tests: that proves them, and tells which files are quick
(they come first) and when a spoilt program has gone on for too long.
"""

import argparse
import ast
import importlib
import multiprocessing
import os
import random
import resource
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from importlib.machinery import SourceFileLoader
from importlib.util import find_spec
from multiprocessing.connection import Connection
from pathlib import Path
from types import CodeType

import pytest
from hypothesis import Phase, settings

LIBRARIES = (
    *("click", "jinja2", "mpmath", "numpy", "PIL.Image", "pint", "pydantic", "pypdf", "pypdfium2"),
    *("reportlab.pdfgen.canvas", "rich.console", "uncertainties", "watchfiles", "yaml", "zxingcpp"),
)
CARD_PAPERS = (
    "tests/test_print_is_values.py",
    *(f"tests/paper/test_{paper}.py" for paper in ("change_notice", "gap_strip", "record_sheet")),
)
# What is spoilt, and the tests that have to notice. Pictures kept of pages are not among them: they notice
# everything, and tell nothing.
ROOMS = {
    "compute": (
        ("terms.py", "compute"),
        (
            "tests/compute",
            "tests/test_published.py",
            "tests/card/test_every_figure.py",
            "tests/card/test_one_truth.py",
        ),
    ),
    "card": (("card",), ("tests/card", *CARD_PAPERS)),
    "figures": (
        ("digits.py", "paper/words/figures.py"),
        (
            "tests/paper/test_figures.py",
            "tests/paper/test_terms.py",
            "tests/booklet/test_figures.py",
            *CARD_PAPERS,
        ),
    ),
    # Of the shelf, what is tried in this process; not the watching, for nobody is there to press Ctrl-C.
    "shelf": (
        ("shelf",),
        tuple(
            f"tests/shelf/test_{what}.py"
            for what in (
                *("card_codes", "card_contents", "making_cards", "one_run", "shelf_words", "true_cards"),
                "value_changes",
            )
        ),
    ),
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


@dataclass(frozen=True)
class Mutant:
    """One change: the bytes of a file from `start` to `end` become `text`."""

    file: Path
    line: int
    start: int
    end: int
    was: str
    text: str

    def __str__(self) -> str:
        line = self.file.read_text("utf-8").splitlines()[self.line - 1].strip()
        return f"{self.file.parent.name}/{self.file.name}:{self.line}: {self.was!r} → {self.text!r} in {line}"

    @property
    def source(self) -> bytes:
        """The file with the change in it."""
        sound = self.file.read_bytes()
        return sound[: self.start] + self.text.encode() + sound[self.end :]


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


def mutants_of(file: Path) -> Iterator[Mutant]:
    """Every small change of meaning that one file offers."""
    source = file.read_bytes()
    places = _Places(source)

    def change(line: int, start: int, end: int, text: str) -> Mutant:
        return Mutant(file, line, start, end, source[start:end].decode(), text)

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
    package = find_spec("cardgen")
    assert package is not None
    assert package.origin is not None
    places = [Path(package.origin).parent / place for place in ROOMS[room][0]]
    files = [
        file for place in places for file in (sorted(place.rglob("*.py")) if place.is_dir() else [place])
    ]
    found = [mutant for file in files for mutant in mutants_of(file)]
    random.Random(f"{room} {seed}").shuffle(found)
    return found[:count]


@dataclass(eq=False)
class Run:
    """What the tests told of one program: how long each file of them took, and the first that failed."""

    seconds: Counter[str] = field(default_factory=Counter)
    noticed_by: str = ""

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.seconds[report.nodeid.partition("::")[0]] += report.duration  # type: ignore[assignment]
        self.pytest_collectreport(report)

    def pytest_collectreport(self, report: pytest.TestReport | pytest.CollectReport) -> None:
        if report.failed:
            self.noticed_by = self.noticed_by or report.nodeid

    @property
    def quickest_first(self) -> list[str]:
        return sorted(self.seconds, key=lambda file: self.seconds[file])

    @property
    def enough(self) -> int:
        """Seconds of computing after which a spoilt program no longer comes to an end."""
        return 30 + 4 * round(self.seconds.total())


def run(tests: list[str], mutant: Mutant | None = None, enough: int = 3600) -> Run:
    """These tests in this order up to the first that fails, in a fork with the program sound or spoilt."""
    process = multiprocessing.get_context("fork")
    hears, tells = process.Pipe(duplex=False)
    child = process.Process(target=_try, args=(tests, mutant, enough, tells))
    child.start()
    tells.close()
    try:
        return hears.recv() if hears.poll(10 * enough) else Run(noticed_by="too long by the clock")
    except EOFError:
        return Run(noticed_by="too long, or ended")
    finally:
        child.kill()
        child.join()


def _try(tests: list[str], mutant: Mutant | None, enough: int, tells: Connection) -> None:
    for stream in (1, 2):
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream)
    resource.setrlimit(resource.RLIMIT_CPU, (enough, enough))  # the clock would count what others do here
    if mutant:
        _spoil(mutant)
    # A failure is enough: nobody needs the smallest example, and none is kept for the next mutant.
    settings.register_profile("mutants", phases=[Phase.explicit, Phase.generate], database=None)
    settings.load_profile("mutants")
    told = Run()
    status = pytest.main(["-n", "0", "-x", "-q", "-p", "no:cacheprovider", *tests], plugins=[told])
    if status != pytest.ExitCode.OK:
        told.noticed_by = told.noticed_by or f"pytest itself: {status!r}"
    tells.send(told)


def _spoil(mutant: Mutant) -> None:
    """From here on this process imports the mutant's file with its one change."""
    sound = SourceFileLoader.get_code

    def get_code(loader: SourceFileLoader, name: str) -> CodeType | None:
        if loader.path == str(mutant.file):
            return compile(mutant.source, mutant.file, "exec")
        return sound(loader, name)

    SourceFileLoader.get_code = get_code  # type: ignore[method-assign]


def main() -> None:
    """Spoil, run, tell."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--count", type=int, default=60, help="how many mutants in all")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--room", choices=sorted(ROOMS), action="append", help="only these rooms")
    asked = parser.parse_args()
    rooms = asked.room or sorted(ROOMS)
    for library in LIBRARIES:
        importlib.import_module(library)
    tried = survivors = 0
    for room in rooms:
        sound = run(list(ROOMS[room][1]))
        if sound.noticed_by:
            sys.exit(f"{room}: the sound program fails {sound.noticed_by}")
        print(f"{room}: the sound program passes in {sound.seconds.total():.0f} s", flush=True)
        for mutant in chosen(room, -(-asked.count // len(rooms)), asked.seed):
            noticed_by = run(sound.quickest_first, mutant, sound.enough).noticed_by
            tried += 1
            survivors += not noticed_by
            print(
                f"killed    {mutant}\n          {noticed_by}" if noticed_by else f"SURVIVES  {mutant}",
                flush=True,
            )
    print(f"{tried} mutants, {tried - survivors} killed, {survivors} survive")
    sys.exit(1 if survivors else 0)


if __name__ == "__main__":
    main()
