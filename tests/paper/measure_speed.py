"""How many two-sided A5 cards a second one core draws, and what a bare canvas takes for their marks.

python -m tests.paper.measure_speed
"""

import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

from cardgen.card.values import Card
from cardgen.paper.bench_card import bench_card, read_templates
from tests.paper.replay import recorded, replayed
from tests.paper.sample import NECK, SPINDLE, sample_card

TEMPLATES = Path(__file__).parents[2] / "templates"
CARDS, WARM = 60, 4


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


def measured(count: int) -> tuple[float, float]:
    """Seconds of the processor a card, and for a bare canvas that draws the marks of it: of so many cards.

    In turns, so that a machine that others work on slows both alike; the first few are outside the count,
    for a process reads fonts and templates once.
    """
    templates = read_templates(TEMPLATES)
    ours, bare = [], []
    for number, card in enumerate(different_cards(count + WARM)):
        taken = _timed(lambda card=card: bench_card(card, "A5", templates).pdf())  # before any text is known
        pages = recorded(lambda card=card: bench_card(card, "A5", templates))
        again = _timed(lambda pages=pages: replayed(pages))
        if number >= WARM:
            ours.append(taken)
            bare.append(again)
    return sum(ours) / count, sum(bare) / count


def _timed(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start


def main() -> None:
    ours, bare = measured(CARDS)
    print(
        f"{1 / ours:.0f} cards a second, {1000 * ours:.1f} ms each; "
        f"{ours / bare:.2f} of the {1000 * bare:.1f} ms of a bare canvas"
    )


if __name__ == "__main__":
    main()
