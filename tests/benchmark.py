"""What a shop of any size costs, as ratios of one run: a machine that others work on slows both sides alike.

python -m tests.benchmark --parts 10000    (two cores: a quarter of an hour; 1.5 GB of disk, 3 of memory)

Two shops are made, one of a hundred parts and one of so many, every card of them. The unit is reading and
hashing the specs of the large one. Seconds are of the processor, the workers' among them, but for what is
told by the clock; memory is that of the largest process. The page is opened in Chromium, where there is one.
"""

import argparse
import hashlib
import math
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from tests.paper.measure_speed import measured

ROOT = Path(__file__).parents[1]
SHARED = ("gauges", "machines", "wheels", "shop")
RUN = "from cardgen.commands.program import main; main()"
SMALL, HASHING = 100, "hashing the specs"
ENDED = os.WEXITED | os.WNOHANG | os.WNOWAIT  # asked of a process that is waited for afterwards
CARDS = 40  # drawn to be held against a bare canvas
SCREEN = """const told = performance.getEntriesByType("navigation")[0];
    return [told.loadEventEnd, document.querySelectorAll("#cards > li").length]"""


@dataclass(frozen=True)
class Cost:
    """What one command took."""

    processor: float  # s
    clock: float  # s
    memory: float  # MB


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


def called(folder: Path, *words: str, until: Path | None = None) -> Cost:
    """What a command takes; by the clock till it ends, or till the file `until` is another."""
    before, begun = _stamp(until), time.perf_counter()
    run = subprocess.Popen(
        [sys.executable, "-c", RUN, *words, "--shop", str(folder)],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    there = 0.0
    while until is not None and not there and not os.waitid(os.P_PID, run.pid, ENDED):
        time.sleep(0.005)
        there = time.perf_counter() - begun if _stamp(until) != before else 0.0
    _, _, used = os.wait4(run.pid, 0)
    clock = there or time.perf_counter() - begun
    return Cost(used.ru_utime + used.ru_stime, clock, used.ru_maxrss / 1024)


def _stamp(path: Path | None) -> tuple[int, int] | None:
    try:
        return (path.stat().st_ino, path.stat().st_mtime_ns) if path else None
    except OSError:
        return None


def least(call: Callable[[], Cost]) -> Cost:
    return min((call() for _ in range(3)), key=lambda cost: cost.processor)


def opened(page: Path) -> float:
    """Seconds by the clock till a browser has loaded the page; not a number where there is none."""
    try:
        from selenium import webdriver
    except ImportError:
        return math.nan
    program, driver = shutil.which("chromium"), shutil.which("chromedriver")
    if not (program and driver):
        return math.nan
    options = webdriver.ChromeOptions()
    options.binary_location = program
    with tempfile.TemporaryDirectory() as profile:
        for flag in ("headless", "no-sandbox", "disable-gpu", "no-first-run", f"user-data-dir={profile}"):
            options.add_argument(f"--{flag}")
        browser = webdriver.Chrome(options=options, service=webdriver.ChromeService(executable_path=driver))
        try:
            taken = []
            for _ in range(3):
                browser.get("about:blank")
                browser.get(page.as_uri())
                taken.append(browser.execute_script(SCREEN)[0] / 1000)
            return statistics.median(taken)
        finally:
            browser.quit()


def measure(parts: int, folder: Path) -> dict[str, Cost]:
    """What is done in a new shop of so many parts, and what each takes."""
    ids = lay_out(folder, parts)
    part = next(each for each in ids if each.startswith("SN-204"))
    (spec,) = (folder / "specs").rglob(f"{part}.yaml")
    hashing = hashed(folder)
    names = iter(range(100))

    def one_saved() -> Cost:
        text = re.sub(r"^name: .*$", f"name: Spindle nose {next(names)}", spec.read_text("utf-8"), flags=re.M)
        spec.write_text(text, "utf-8")
        return called(folder, "make", until=folder / "out" / f"{part}.pdf")

    return {
        HASHING: Cost(hashing, hashing, 0.0),
        "make, all new": called(folder, "make"),
        "make, nothing to do": least(lambda: called(folder, "make")),
        "make, one spec saved; by the clock till its card is there": least(one_saved),
        "status": least(lambda: called(folder, "status")),
        "stock": least(lambda: called(folder, "stock", part, "4.5 mm")),
    }


def booklet(folder: Path) -> Cost:
    """The booklet of the demo shop, whole."""
    for name in ("specs", "templates"):
        shutil.copytree(ROOT / name, folder / name)
    return least(lambda: called(folder, "booklet"))


def lines(parts: int, below: Path) -> list[str]:
    """The table, and what stands below it."""
    empty = least(lambda: called(below, "--version"))
    ours, bare = measured(CARDS)
    book = booklet(below / "demo")
    small, large = measure(SMALL, below / "small"), measure(parts, below / "large")
    page = below / "large" / "out" / "index.html"
    new, cores = large["make, all new"], len(os.sched_getaffinity(0))
    growth = math.log(new.processor / small["make, all new"].processor) / math.log(parts / SMALL)
    unit = large[HASHING].processor
    told = [
        f"{cores} cores; {parts} parts",
        "",
        f"| what | s of the processor | s by the clock | MB | of hashing | of {SMALL} parts |",
        "|---|---|---|---|---|---|",
    ]
    for what, cost in large.items():
        told.append(
            f"| {what} | {cost.processor:.2f} | {cost.clock:.2f} | {cost.memory:.0f} "
            f"| {cost.processor / unit:.1f} | {cost.processor / small[what].processor:.1f} |"
        )
    told += [
        f"| start-up | {empty.processor:.2f} | {empty.clock:.2f} | {empty.memory:.0f} | | |",
        f"| booklet of the demo shop | {book.processor:.2f} | {book.clock:.2f} | {book.memory:.0f} | | |",
        f"| the page opens | | {opened(page):.2f} | | | |",
        "",
        f"- {parts / new.clock:.0f} cards a second, each in {1000 * new.processor / parts:.0f} processor ms",
        f"- a card is drawn in {1000 * ours:.0f} ms, {ours / bare:.2f} of a bare canvas with the same marks",
        f"- growth of make from {SMALL} to {parts} parts: exponent {growth:.3f}; "
        f"memory {new.memory / small['make, all new'].memory:.2f} of that of {SMALL}",
        f"- page: {page.stat().st_size / 1e6:.1f} MB, {page.stat().st_size / parts:.0f} bytes a card",
    ]
    return told


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--parts", type=int, default=1000)
    with tempfile.TemporaryDirectory() as below:
        print("\n".join(lines(options.parse_args().parts, Path(below))))


if __name__ == "__main__":
    main()
