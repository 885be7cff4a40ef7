"""The bars of the method at full length: `python -m tests.bench.bars --batches 500`.

The bench's own parts and the demo's bores, in a shop that has test bar, indicator, rolls, balls and sine bar;
each by its card alone, on usual days. Where a check says that size or angle is not proved, that is told.
"""

import argparse
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

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
NOT_PROVED = {"size-not-proved", "angle-not-proved", "start-beyond-stock"}
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
    records = replace(records, shop=records.shop.model_copy(update={"proving": EQUIPPED}))
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


def line(part: str, tally: Tally, unproved: set[str]) -> str:
    """A row of the table."""
    shares = "  ".join(f"{tally.share(name)[0]:7.3f}" for name in (*BARS, "unclean", "set_aside", "reground"))
    told = tally.as_plain()["corrections"]
    said = ", ".join(sorted(unproved)) or "; ".join(broken_bars(tally)) or "held"
    return f"{part:<9}{tally.pieces:>7}  {shares}  {told['median']:>4g} / {told['percent_95']}  {said}"


HEAD = "part      pieces    under     over    angle  unclean    aside    again  corrections"


def main() -> None:
    """The table, a line a part as it is done."""
    asked = argparse.ArgumentParser()
    asked.add_argument("--batches", type=int, default=500)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    print(HEAD)
    for part in (*JOBS, *BORES):
        card, job, unproved = equipped(part)
        tally = rehearse(card, job, usual(job), given.batches, given.seed)
        print(line(part, tally, unproved), flush=True)


if __name__ == "__main__":
    main()
