"""Every figure of the card tried by itself on the true geometry, without noise."""

import pytest

from tests.bench.cards import card
from tests.bench.jobs import JOBS
from tests.bench.still import TRIALS


@pytest.mark.parametrize("part", list(JOBS))
@pytest.mark.parametrize("trial", TRIALS, ids=lambda trial: trial.__name__)
def test_the_figures_of_the_card_come_true(trial: object, part: str) -> None:
    """What the card says happens on a bench that is as it thinks, row by row."""
    assert callable(trial)
    assert list(trial(card(part), JOBS[part])) == []
