"""Run the program under a strain: killed at a moment, as nobody, with a short file limit, a mad clock.

It is `forked` in a child of multiprocessing's fork server; a Python of its own, under no strain, is

    python strained.py PROGRAM ARGUMENT…      PROGRAM: stub or cardgen

The strains are the operating system's own: a real SIGKILL, a real account without rights, a real
limit. Only the clock is a false one.
"""

import contextlib
import importlib
import io
import json
import os
import resource
import shutil
import signal
import sys
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

NOBODY = 65534
FOR_A_MAKE = (
    "cardgen.commands.program",
    "cardgen.shop.folder",
    "cardgen.shelf.run",
    "cardgen.shelf.index_page",
    "cardgen.paper.bench_card",
    "cardgen.paper.change_notice",
)
FLOOR_SPECS = ("spindle-nose.yaml", "gauges.yaml", "machines.yaml", "wheels.yaml", "shop.yaml")  # of one part
sys.path.append(str(Path(__file__).parents[2]))  # where the tests lie; behind the installed program


def program(name: str):
    """The program's entry: takes its arguments, returns its exit status. Imports what a make needs."""
    if name == "stub":
        from tests.shelf import stub_cardgen

        return stub_cardgen.main
    for module in FOR_A_MAKE:
        importlib.import_module(module)

    def run(arguments: list[str]) -> int:
        sys.argv = ["cardgen", *arguments]
        try:
            sys.modules["cardgen.commands.program"].main()
        except SystemExit as end:
            return int(end.code or 0)
        return 0

    return run


class DeadlyOs:
    """The os module as the shelf's writer sees it. At each `step`th of its calls the process parts in two:
    one makes the call and ends in SIGKILL, the other keeps a copy of what that one left and goes on.

    A write that is hit puts half of its bytes down first.
    """

    COUNTED = frozenset({"open", "write", "fsync", "close", "replace", "lseek"})

    def __init__(self, step: int, shop: Path, left: Path) -> None:
        self.calls, self.step = 0, step
        self.shop, self.left = shop, left

    def __getattr__(self, name: str):
        real = getattr(os, name)
        if name not in self.COUNTED:
            return real

        def counted(*arguments, **keywords):
            self.calls += 1
            if self.calls % self.step == 0:
                half = bytes(arguments[1])[: len(arguments[1]) // 2] if name == "write" else b""
                twin = os.fork()
                if twin == 0:
                    if half:
                        real(arguments[0], half)
                    os.kill(os.getpid(), signal.SIGKILL)
                assert os.waitstatus_to_exitcode(os.waitpid(twin, 0)[1]) == -signal.SIGKILL
                shutil.copytree(self.shop, self.left / str(self.calls))
                if half:  # both have the one place in the file
                    os.lseek(arguments[0], -len(half), os.SEEK_CUR)
            return real(*arguments, **keywords)

        return counted


def put_under(strain: dict) -> None:
    if "deadly" in strain:
        import cardgen.shelf.writing

        cardgen.shelf.writing.os = DeadlyOs(*strain["deadly"])
    if "quiet_ms" in strain:
        import cardgen.shelf.watch

        cardgen.shelf.watch.QUIET_MS = strain["quiet_ms"]
    if "longest_file" in strain:
        resource.setrlimit(resource.RLIMIT_FSIZE, (strain["longest_file"], strain["longest_file"]))
    if "clock" in strain:
        start, real, now = strain["clock"], time.time, time.time()
        time.time = lambda: start - 3600 * (real() - now)  # runs backwards, an hour a second
        time.time_ns = lambda: int(time.time() * 1e9)
    if strain.get("nobody"):
        os.setgroups([])
        os.setgid(NOBODY)
        os.setuid(NOBODY)


def fetch_all_that_is_fetched_late(run, arguments: list[str]) -> None:
    """Look at the shop once with all rights: the Python of this machine may lie where nobody may read."""
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        run(["status", *arguments[1:3]])


def every_moment(run, shop: Path, step: int, words: Sequence[str] = ("make",)) -> None:
    """Kill a command at each `step`th of its calls to the system, then run it again in what was left. Prints
    one JSON line for each moment: the files after the kill, and after that.

    A kill that left the very files of an earlier one, the half-written among them, is followed by what
    followed that one.
    """
    from tests.shelf.conftest import Trial

    copy, left = Trial("", shop.with_name("copy")), shop.with_name("left")
    arguments = [words[0], "--shop", str(copy.folder), *words[1:]]
    shutil.copytree(shop, copy.folder)
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        run(arguments)  # fonts and words are read once, here, and not in each child
    shutil.rmtree(copy.folder)
    shutil.copytree(shop, copy.folder)
    left.mkdir()
    unhurt = {
        "status": in_child(run, arguments, {"deadly": (step, copy.folder, left)}),
        "files": copy.files(),
    }
    moments = sorted(int(each.name) for each in left.iterdir())
    followed: dict[tuple, dict] = {}
    for moment in moments:
        shutil.rmtree(copy.folder)
        (left / str(moment)).rename(copy.folder)
        killed, there = copy.files(), tuple(all_bytes(copy.folder))
        if there not in followed:
            followed[there] = {"again": in_child(run, arguments, {}), "files": copy.files()}
        print(json.dumps({"moment": moment, "killed": killed, **followed[there]}))
    print(json.dumps({"moments": moments[-1], **unhurt}))


def all_bytes(folder: Path) -> Iterator[tuple[str, bytes]]:
    """Every file there is but the lock, which holds the number of the process."""
    for path in sorted(folder.rglob("*")):
        if path.is_file() and path.name != ".cardgen-lock":
            yield str(path.relative_to(folder)), path.read_bytes()


def another_program(folder: str) -> None:
    """What is imported from now on is the program that lies in this folder; other libraries stay."""
    for module in [name for name in sys.modules if name.partition(".")[0] == "cardgen"]:
        del sys.modules[module]
    sys.path.insert(0, folder)
    sys.dont_write_bytecode = False  # it is started more than once


def in_child(run, arguments: list[str], strain: dict) -> int:
    sys.stdout.flush()
    child = os.fork()
    if child == 0:
        sys.stdout = open(os.devnull, "w")  # noqa: SIM115 - until the child ends
        put_under(strain)
        os._exit(run(arguments))
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def forked(name: str, strain: dict, arguments: list[str], out: str, err: str) -> None:
    """The program in a child of the fork server; what it prints goes to two files that are there."""
    for number, (stream, path) in enumerate(((sys.stdout, out), (sys.stderr, err)), 1):
        os.dup2(os.open(path, os.O_WRONLY), number)
        stream.reconfigure(encoding="utf-8")  # type: ignore[union-attr]
    signal.signal(signal.SIGINT, signal.default_int_handler)  # its server may be deaf to it
    if strain.get("program_folder"):
        another_program(strain["program_folder"])
    entry = program(name)
    if strain.get("every_moment"):
        every_moment(entry, Path(strain["every_moment"]), strain["step"], arguments or ("make",))
        sys.exit()
    if strain.get("nobody"):
        fetch_all_that_is_fetched_late(entry, arguments)
    put_under(strain)
    sys.exit(entry(arguments))


if __name__ == "__main__":
    # Tests that a shell runs in its background are deaf to Ctrl-C, and so would be what they start.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    sys.exit(program(sys.argv[1])(sys.argv[2:]))
