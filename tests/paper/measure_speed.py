"""How many two-sided A5 cards a second one core draws.

python -m tests.paper.measure_speed
"""

import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from cardgen.card.values import Card
from cardgen.paper.bench_card import bench_card, read_templates
from tests.paper.sample import NECK, SPINDLE, sample_card

TEMPLATES = Path(__file__).parents[2] / "templates"
CARDS = 200


def different_cards(count: int) -> Iterator[Card]:
    """Cards that share neither code nor name nor figures, so that no cache helps more than in a shop."""
    for number in range(count):
        job = (SPINDLE, NECK)[number % 2]
        job = replace(
            job,
            part=f"{job.part}-{number}",
            name=f"{job.name} {number}",
            line=job.line * (1 + 0.003 * number),
            large=job.large * (1 + 0.003 * number),
            finish=job.finish + 0.01 * (number % 50),
            blank=tuple(stock * (1 + 0.002 * number) for stock in job.blank),
        )
        card = sample_card(job)
        yield replace(card, title=replace(card.title, code=f"{job.part}-B-{number:08x}"))


def main() -> None:
    """Draw them, the first few outside the count: a process reads fonts and templates once."""
    templates = read_templates(TEMPLATES)
    cards = list(different_cards(CARDS))
    for card in cards[:4]:
        bench_card(card, "A5", templates).pdf()
    start = time.process_time()
    for card in cards[4:]:
        bench_card(card, "A5", templates).pdf()
    taken = (time.process_time() - start) / (CARDS - 4)
    print(f"{1 / taken:.0f} cards a second, {1000 * taken:.1f} ms each")


if __name__ == "__main__":
    main()
