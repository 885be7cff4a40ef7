"""The bars of the method at full length: `python -m tests.bench.bars --batches 500`.

The bench's own parts and the demo's bores, in a shop that has test bar, indicator, rolls, balls and sine bar;
each by its card alone, on usual days. Where a check says that size or angle is not proved, that is told.
"""

import argparse
import math
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

from cardgen.card.angle_proof import with_bars
from cardgen.card.facts import facts_of
from cardgen.card.gather import gather
from cardgen.card.values import as_plain
from cardgen.rehearsal.floor import FloorJob
from cardgen.rehearsal.outcome import Tally, rehearse
from cardgen.shop.folder import Shop
from cardgen.shop.rehearsing import job_of
from cardgen.spec.models.toolroom import SetAndProve
from tests.bench.jobs import JOBS
from tests.bench.judge import usual

TODAY, TOP = date(2026, 6, 1), Path(__file__).parents[2]
BORES = ("HB-40", "SS-2")
BARS = {"under": 0.03, "over": 0.3, "off_angle": 0.3}  # per cent of the pieces
NOT_PROVED = {"size-not-proved", "angle-not-proved", "start-beyond-stock", "start-far-off"}
EQUIPPED = SetAndProve.model_validate(
    {
        "test_bar": {"length": "300 mm", "straightness": "0.002 mm"},
        "indicator": "0.001 mm",
        "light_gauge": "0.0015 mm",
        "rolls": "0.001 mm",
        "balls": "0.001 mm",
        "sine_bar": "0.0006 mm",
    }
)


def equipped(part: str) -> tuple[dict[str, Any], FloorJob, set[str]]:
    """The card of a part in a well equipped shop, its job, and what its checks say is not proved."""
    shop = Shop.read(TOP if part in BORES else Path(__file__).parent, TODAY)
    records = shop.records(shop.library.parts[part])
    records = with_bars(replace(records, shop=records.shop.model_copy(update={"proving": EQUIPPED})))
    card = gather(records, "", TODAY).card
    job = job_of(facts_of(records), card) if part in BORES else JOBS[part]
    return as_plain(card), job, NOT_PROVED & {check.code for check in card.checks}


def broken_bars(tally: Tally) -> list[str]:
    """Every bar that is not held."""
    told = tally.as_plain()["corrections"]
    found = [
        f"{name} {tally.share(name)[0]:.3f} %" for name, most in BARS.items() if tally.share(name)[0] > most
    ]
    if told["median"] > 0 or told["percent_95"] > 2:
        found.append(f"corrections {told['median']:g} / {told['percent_95']}")
    return found


def at_most(count: int, pieces: int) -> float:
    """Per cent that a share surely does not exceed (95 %, one side), when so many of the pieces were counted.

    Clopper and Pearson's limit: the share at which no more than so many would be seen once in twenty times.
    Of none it is the rule of three, 3 / n: 10,000 pieces without one prove 0.030 %.
    """

    def seen(share: float) -> float:
        log = math.log(share), math.log1p(-share)
        return sum(
            math.exp(
                math.lgamma(pieces + 1) - math.lgamma(k + 1) - math.lgamma(pieces - k + 1)
                + k * log[0] + (pieces - k) * log[1]
            )
            for k in range(count + 1)
        )  # fmt: skip

    low, high = 1e-12, 1 - 1e-12
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if seen(middle) > 0.05 else (low, middle)
    return 100 * high


def line(part: str, tally: Tally, unproved: set[str]) -> str:
    """A row of the table: of each bar the share and what it surely does not exceed."""
    shares = "  ".join(
        f"{tally.share(name)[0]:5.3f} <{at_most(sum(tally.counts[name]), tally.pieces):6.3f}" for name in BARS
    )
    others = "  ".join(f"{tally.share(name)[0]:7.3f}" for name in ("unclean", "set_aside", "reground"))
    told = tally.as_plain()["corrections"]
    said = ", ".join(sorted(unproved)) or "; ".join(broken_bars(tally)) or "held"
    return (
        f"{part:<9}{tally.pieces:>7}  {shares}  {others}  {told['median']:>4g} / {told['percent_95']}  {said}"
    )


HEAD = (
    "part      pieces          under           over          angle  unclean    aside    again  corrections\n"
    "          (% of the pieces; < surely less, 95 %, one side, by Clopper and Pearson)"
)


def main() -> None:
    """The table, a line a part as it is done; with --advice that of every check that speaks, followed."""
    asked = argparse.ArgumentParser()
    asked.add_argument("--batches", type=int, default=500)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--advice", action="store_true")
    given = asked.parse_args()
    print(HEAD)
    if given.advice:
        from tests.bench.advice import followed, spoken

        for name, part in spoken():
            at = followed(name, part)
            unproved = NOT_PROVED & {check.code for check in at.card().checks}
            print(f"{name:<16}{line(part, at.worked(given.batches, given.seed), unproved)}", flush=True)
        return
    for part in (*JOBS, *BORES):
        card, job, unproved = equipped(part)
        tally = rehearse(card, job, usual(job), given.batches, given.seed)
        print(line(part, tally, unproved), flush=True)


if __name__ == "__main__":
    main()
