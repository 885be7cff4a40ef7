"""SIGKILL at random moments of a make, each in a fresh copy of a shop with work to do.

    python -m tests.shelf.random_kills --count 1000 --seed 1 --program cardgen

After each kill every file is whole, the old one or the new one, and none is gone; the next make ends with the
very files of a make that was never killed. Ends with exit status 1 where one of that failed.
"""

import argparse
import os
import random
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from tests.shelf.conftest import Trial, lay_out
from tests.shelf.strained import in_child, program

HALF = ".half-written"


def with_work_to_do(folder: Path, run) -> Trial:
    """One card current, one out of date at a higher revision, one changed by hand."""
    trial = lay_out("", folder)
    assert in_child(run, ["make", "--shop", str(folder)], {}) in (0, 1)
    trial.edit("spindle-nose.yaml", "0.35 .. 0.50 mm", "0.35 .. 0.60 mm")
    trial.edit("spindle-nose.yaml", "revision: B", "revision: C")
    card = trial.out / "NV-30.pdf"
    card.write_bytes(card.read_bytes() + b"\n% a note in the margin\n")
    return trial


def killed_after(seconds: float, run, arguments: list[str]) -> bool:
    """A make in a child of its own, killed from outside; whether it was still at work."""
    child = os.fork()
    if child == 0:
        status = 1
        try:  # whatever happens, the child never comes back into this program
            sys.stdout = open(os.devnull, "w")  # noqa: SIM115 - until the child ends
            status = run(arguments)
        finally:
            os._exit(status)
    time.sleep(seconds)
    os.kill(child, signal.SIGKILL)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == -signal.SIGKILL


def kills(name: str, count: int, seed: int, folder: Path) -> Iterator[tuple[bool, list[str]]]:
    """Of each moment whether the make was still at work, and what was found wrong after it."""
    run, rng = program(name), random.Random(seed)
    shop = with_work_to_do(folder / "shop", run)
    before = shop.files()
    whole = Trial("", folder / "whole")
    shutil.copytree(shop.folder, whole.folder)
    start = time.monotonic()
    in_child(run, ["make", "--shop", str(whole.folder)], {})
    lasts, after = time.monotonic() - start, whole.files()
    for _ in range(count):
        copy = Trial("", folder / "copy")
        shutil.rmtree(copy.folder, ignore_errors=True)
        shutil.copytree(shop.folder, copy.folder)
        arguments = ["make", "--shop", str(copy.folder)]
        at_work = killed_after(rng.uniform(0, 1.1 * lasts), run, arguments)
        left = copy.files()
        wrong = [f"{file} is torn" for file in left if not known(file, left[file], before, after)]
        wrong += [f"{file} is gone" for file in before.keys() - left.keys()]
        in_child(run, arguments, {})
        if copy.files() != after:
            wrong.append("the next make ends otherwise")
        yield at_work, wrong


def known(file: str, digest: str, before: dict[str, str], after: dict[str, str]) -> bool:
    return file.endswith(HALF) or digest in (before.get(file), after.get(file))


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.shelf.random_kills")
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--program", choices=("stub", "cardgen"), default="cardgen")
    given = parser.parse_args()
    at_work = faults = 0
    with tempfile.TemporaryDirectory() as folder:
        for moment, (hit, wrong) in enumerate(
            kills(given.program, given.count, given.seed, Path(folder)), start=1
        ):
            at_work += hit
            faults += bool(wrong)
            for each in wrong:
                print(f"moment {moment}: {each}", flush=True)
            if moment % 100 == 0 or moment == given.count:
                print(f"{moment} makes, {at_work} killed at work, {faults} with a fault", flush=True)
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
