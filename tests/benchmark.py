"""What a shop of any size costs, as ratios of one run: a machine that others work on slows both sides alike.

python -m tests.benchmark --parts 1000         (10,000 take an hour of one core)

The unit is reading and hashing the specs of the shop that is measured. Seconds are of the processor, the
workers' among them, but for what is told by the clock. What one card costs: tests.paper.measure_speed.
"""

import argparse
import hashlib
import os
import re
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parents[1]
SHARED = ("gauges", "machines", "wheels", "shop")
RUN = "from cardgen.commands.program import main; main()"


def lay_out(folder: Path, parts: int) -> list[str]:
    """A shop of so many parts like those of the demo shop, a file each; their ids."""
    demo = [path for path in sorted((ROOT / "specs").glob("*.yaml")) if path.stem not in SHARED]
    texts = {path.stem: path.read_text("utf-8") for path in demo}
    alone = {
        name: text for name, text in texts.items() if text.count("kind: part") == 1 and "\npiece:" not in text
    }
    (folder / "specs").mkdir(parents=True)
    shutil.copytree(ROOT / "templates", folder / "templates")
    for name in SHARED:
        shutil.copy(ROOT / "specs" / f"{name}.yaml", folder / "specs")
    ids = []
    for number in range(parts):
        name = sorted(alone)[number % len(alone)]
        part_id = f"{re.search(r'^id: (.*)$', alone[name], re.M)[1]}-{number:05d}"
        below = folder / "specs" / f"{number // 1000:02d}"
        below.mkdir(exist_ok=True)
        spec = re.sub(r"^id: .*$", f"id: {part_id}", alone[name], flags=re.M)
        (below / f"{part_id}.yaml").write_text(spec, "utf-8")
        ids.append(part_id)
    return ids


def hashed(folder: Path) -> float:
    """Seconds to read and hash every spec, the least of five times."""

    def once() -> float:
        begun = time.process_time()
        for here, _, names in os.walk(folder / "specs"):
            for name in names:
                hashlib.sha256(Path(here, name).read_bytes()).digest()
        return time.process_time() - begun

    return min(once() for _ in range(5))


def called(folder: Path, *words: str) -> tuple[float, float]:
    """Seconds of the processor that the command takes, its workers' among them, and seconds by the clock."""
    before, begun = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    subprocess.run(
        [sys.executable, "-c", RUN, *words, "--shop", str(folder)],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        check=False,
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    taken = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return taken, time.perf_counter() - begun


def least(call: Callable[[], tuple[float, float]]) -> float:
    return min(call()[0] for _ in range(3))


def measure(parts: int, folder: Path) -> dict[str, float]:
    """Seconds of the processor, by what was done in a new shop of so many parts."""
    ids = lay_out(folder, parts)
    made, by_clock = called(folder, "make")
    spec = next((folder / "specs" / "00").glob("*.yaml"))

    def one_saved() -> tuple[float, float]:
        spec.write_text(spec.read_text("utf-8") + "# saved\n", "utf-8")
        return called(folder, "make")

    return {
        "hashing the specs": hashed(folder),
        "make, all new": made,
        "make, all new, by the clock": by_clock,
        "make, nothing to do": least(lambda: called(folder, "make")),
        "make, one spec saved": least(one_saved),
        "status": least(lambda: called(folder, "status")),
        "stock": least(lambda: called(folder, "stock", ids[0], "4 mm")),
        "page, megabytes": (folder / "out" / "index.html").stat().st_size / 1e6,
        "peak memory, megabytes": resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024,
    }


def main() -> None:
    """Two shops, one ten times the other, and what the larger costs beside it and beside hashing it."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--parts", type=int, default=200)
    parts = options.parse_args().parts
    with tempfile.TemporaryDirectory() as below:
        start_up = least(lambda: called(Path(below), "--version"))
        small = measure(max(1, parts // 10), Path(below) / "small")
        large = measure(parts, Path(below) / "large")
    print(
        f"{len(os.sched_getaffinity(0))} cores; {parts} parts; start-up {start_up:.2f} s of the processor\n"
    )
    print("| what | s | of hashing the specs | of a tenth of the parts |\n|---|---|---|---|")
    for what, taken in large.items():
        print(
            f"| {what} | {taken:.3f} | {taken / large['hashing the specs']:.1f} | {taken / small[what]:.2f} |"
        )


if __name__ == "__main__":
    main()
