"""Cards of parts made up at random, and what is wrong with their leaves.

The tests look at some of them, each on one paper; all on every paper, by hand, after the card was changed:

    python -m tests.paper.leaves --count 200 --seed legible
"""

import tempfile
from collections.abc import Iterator, Sequence
from itertools import islice
from pathlib import Path
from random import Random

import click

from cardgen.card.values import Card
from cardgen.paper.bench_card import bench_card, read_templates
from cardgen.shop.folder import Shop
from tests.made.shops import made_shop, write
from tests.paper.conftest import ROOT
from tests.paper.legibility import complaints, sides

TWO_SIDED = ("A5", "half letter", "5x8 in", "letter", "A4")


def random_shop(count: int, folder: Path, seed: str = "legible") -> Shop:
    """A made-up shop, from the text of its specs in this folder."""
    write(made_shop(Random(seed), count), folder)
    return Shop.read(folder)


def sound_cards(shop: Shop, parts: Sequence[str]) -> Iterator[Card]:
    """Of these parts the cards that would be made: a part with an error gets none."""
    for part in parts:
        card = shop.card(part).card
        if not any(check.level == "error" for check in card.checks):
            yield card


def faults(card: Card, paper: str) -> list[str]:
    """What is wrong with a card's leaf: more than two sides, or anything too small, covered or cut."""
    made = bench_card(card, paper, read_templates(ROOT / "templates")).pdf()
    count = len(sides(made))
    many = [] if count == 2 else [f"{count} sides"]
    return [f"{card.title.part} on {paper}: {fault}" for fault in (*many, *complaints(made))]


@click.command()
@click.option("--count", default=200)
@click.option("--seed", default="legible")
def look(count: int, seed: str) -> None:
    """Every card on every two-sided paper."""
    with tempfile.TemporaryDirectory() as folder:
        shop = random_shop(2 * count, Path(folder), seed)  # some have errors
        cards = list(islice(sound_cards(shop, shop.part_ids), count))
        found = [fault for card in cards for paper in TWO_SIDED for fault in faults(card, paper)]
    click.echo("\n".join((*found, f"{len(cards)} cards on {len(TWO_SIDED)} papers: {len(found)} faults")))


if __name__ == "__main__":
    look()
