"""A shop of three parts to try the shelf on, and a program to run in it."""

import hashlib
import json
import multiprocessing
import os
import re
import shutil
import subprocess
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.bare import bare_python
from tests.calling import captured, cardgen
from tests.conftest import MadeOnce
from tests.shelf import strained, stub_cardgen

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
SPECS = (
    "spindle-nose.yaml",
    "needle-valve.yaml",
    "drill-shank.yaml",
    "gauges.yaml",
    "machines.yaml",
    "wheels.yaml",
    "shop.yaml",
)
# The stand-in tests the shelf by itself; "cardgen" is the whole program.
PROGRAMS = ("stub", "cardgen")
# Processes that need no Python of their own are forked from one that has made a card.
FORKS = multiprocessing.get_context("forkserver")
FORKS.set_forkserver_preload(["tests.shelf.warmed"])


@dataclass(frozen=True)
class Forked:
    """A run of the program in a process of its own, at work or ended."""

    process: multiprocessing.process.BaseProcess
    printed: tuple[Path, Path]  # on each channel

    def send_signal(self, which: int) -> None:
        assert self.process.pid is not None
        os.kill(self.process.pid, which)

    def ended(self, seconds: float = 120) -> subprocess.CompletedProcess:
        """What it printed and how it ended; it is waited for."""
        self.process.join(seconds)
        assert self.process.exitcode is not None, "it does not end"
        out, err = (path.read_text("utf-8") for path in self.printed)
        return subprocess.CompletedProcess("cardgen", self.process.exitcode, out, err)


@dataclass(frozen=True)
class Trial:
    """A shop folder and the program that is run in it."""

    program: str
    folder: Path

    @property
    def out(self) -> Path:
        return self.folder / "out"

    def run(
        self, *arguments: str, strain: dict | None = None, env: dict | None = None
    ) -> subprocess.CompletedProcess:
        """The command in the shop: in a process of its own where it is strained, else in this one.

        With other variables it is a Python of its own, which reads them.
        """
        command, *rest = arguments
        words = (command, "--shop", str(self.folder), *rest)
        if strain:
            return self.start(*words, strain=strain).ended()
        if not env:
            if self.program == "stub":
                return captured(lambda: stub_cardgen.main(list(words)))
            return cardgen(*words)
        return subprocess.run(
            self.command(*words),
            env=environment(env),
            capture_output=True,
            text=True,
            encoding="utf-8",
            timeout=120,
            check=False,
        )

    def start(self, *arguments: str, strain: dict | None = None) -> Forked:
        """The program with these arguments in a process of its own, not waited for."""
        place = Path(tempfile.mkdtemp(dir=self.folder.parent))
        printed = place / "out", place / "err"
        for path in printed:
            path.touch()
        given = self.program, strain or {}, list(arguments), *map(str, printed)
        process = FORKS.Process(target=strained.forked, args=given)
        process.start()
        return Forked(process, printed)

    def command(self, *arguments: str) -> list[str]:
        return [bare_python(), str(HERE / "strained.py"), self.program, *arguments]

    def make(self, *names: str, **how) -> list[str]:
        """Run make, which has to go well; returns its lines, what it warns of last.

        What it warns of a part's spec, with its place there, is another test's.
        """
        done = self.run("make", *names, **how)
        assert done.returncode == 0, done.stdout + done.stderr
        warned = [line for line in done.stderr.splitlines() if not re.search(r"^warning  \S+: specs/", line)]
        return [*done.stdout.splitlines(), *warned]

    def status(self) -> dict[str, dict]:
        """How the card of every part stands, from `status --json`; its other papers stand there too."""
        papers = json.loads(self.run("status", "--json").stdout)["papers"]
        return {one["part"]: one for one in papers if one["kind"] == "card"}

    def edit(self, spec: str, old: str, new: str) -> None:
        path = self.folder / "specs" / spec
        text = path.read_text("utf-8")
        assert old in text
        path.write_text(text.replace(old, new), "utf-8")

    def files(self) -> dict[str, str]:
        """Every file in out but the lock and the index, and of what hangs → the digest of its bytes."""
        hanging = self.folder / "specs" / "hanging"
        return {
            str(path.relative_to(top)): hashlib.sha256(path.read_bytes()).hexdigest()
            for top in (self.out, hanging)
            for path in sorted(top.rglob("*"))
            if path.is_file() and not path.relative_to(top).parts[0].startswith(".cardgen")
        }


def environment(changes: dict | None = None) -> dict[str, str]:
    return {**os.environ, **(changes or {})}


def lay_out(program: str, folder: Path) -> Trial:
    (folder / "specs").mkdir(parents=True)
    for spec in SPECS:
        shutil.copy(ROOT / "specs" / spec, folder / "specs")
    return Trial(program, folder)


@pytest.fixture(params=PROGRAMS)
def new_trial(request, tmp_path: Path) -> Callable[[str], Trial]:
    """Lays out a shop in a folder of this name."""
    return lambda name="shop": lay_out(request.param, tmp_path / name)


@pytest.fixture
def stub_trial(tmp_path: Path) -> Trial:
    """A shop for the stand-in only, for tests that also call it from within."""
    return lay_out("stub", tmp_path / "shop")


@pytest.fixture
def trial(new_trial) -> Trial:
    """A shop nobody has made a card in yet."""
    return new_trial()


@pytest.fixture
def with_cards(made_once: MadeOnce, tmp_path_factory: pytest.TempPathFactory) -> Callable[[Trial], Trial]:
    """Puts the cards into a shop just laid out; made once, for the same specs give the same bytes."""

    def put(trial: Trial) -> Trial:
        def make() -> Path:
            first = lay_out(trial.program, tmp_path_factory.mktemp("with cards") / "shop")
            first.make()
            return first.out

        made = made_once(f"cards by {trial.program}", make)
        shutil.copytree(made, trial.out, dirs_exist_ok=True)
        return trial

    return put


@pytest.fixture
def shop(trial: Trial, with_cards: Callable[[Trial], Trial]) -> Trial:
    """A shop whose cards were just made."""
    return with_cards(trial)


class Floor(Trial):
    """A shop of one part, whose card is to hang at grinder 2 and in the binder."""

    def done(self, *words: str, status: int = 0) -> list[str]:
        """What a command tells, doubts about the specs left out."""
        ended = cardgen(*words, cwd=self.folder)
        assert ended.returncode == status, ended.stdout + ended.stderr
        lines = [*ended.stdout.splitlines(), *ended.stderr.splitlines()]
        return [line for line in lines if not line.startswith("warning  SN-204: specs/")]

    def copies(self) -> dict[str, str]:
        """Place → how its copy stands."""
        told = json.loads(cardgen("status", "--json", cwd=self.folder).stdout)["copies"]
        return {one["place"]: one["state"] for one in told}

    def code(self) -> str:
        return self.status()["SN-204"]["code"]

    def notices(self) -> set[str]:
        return {path.name for path in (self.out / "notices").glob("*.pdf")}


@pytest.fixture
def floor(tmp_path: Path, made_once: MadeOnce, tmp_path_factory: pytest.TempPathFactory) -> Floor:
    """The card just made, nothing entered yet."""

    def make() -> Path:
        first = Floor("cardgen", tmp_path_factory.mktemp("floor") / "shop")
        (first.folder / "specs").mkdir(parents=True)
        for spec in strained.FLOOR_SPECS:
            shutil.copy(ROOT / "specs" / spec, first.folder / "specs")
        first.done("make")
        return first.folder

    shutil.copytree(made_once("a card to hang", make), tmp_path / "shop", dirs_exist_ok=True)
    return Floor("cardgen", tmp_path / "shop")


@pytest.fixture
def hung(floor: Floor) -> Floor:
    """The card hangs where it should."""
    floor.done("posted", "SN-204", "Grinder 2", "Toolroom binder", "--by", "Ada")
    return floor
