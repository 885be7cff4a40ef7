"""Every mistake of the catalogue is told word for word: place, what is wrong, the line, what is right."""

import re

import pytest

from tests.spec.mistakes import CATALOGUE, Mistake, sound_shop, told, written

EACH = [
    pytest.param(mistake, id=f"{stem}: {mistake.title}")
    for stem, mistakes in CATALOGUE.items()
    for mistake in mistakes
]
FIRST = re.compile(r"[\w.]+:[1-9][0-9]*:[1-9][0-9]*: [^;]+; .+")


@pytest.mark.parametrize("mistake", EACH)
def test_a_mistake_is_told_as_the_catalogue_says(mistake: Mistake) -> None:
    """The whole of what is told, and nothing else."""
    assert told(written(mistake)) == mistake.told


@pytest.mark.parametrize("mistake", EACH)
def test_what_is_told_has_a_place_and_says_what_would_be_right(mistake: Mistake) -> None:
    """And a caret below the very line, or no line where the whole record or file is meant."""
    heads = [line for line in mistake.told if not line.startswith("    ")]
    assert heads
    for head in heads:
        assert FIRST.fullmatch(head), head
    carets = [line for line in mistake.told if line.startswith("    ")][1::2]
    assert all(set(line) == {" ", "^"} for line in carets)


def test_the_catalogue_is_large_and_names_each_mistake_once() -> None:
    """At least a hundred, each by another name."""
    titles = [param.id for param in EACH]
    assert len(titles) == len(set(titles))
    assert len(titles) >= 100


def test_the_shop_that_the_mistakes_are_made_in_is_sound() -> None:
    """So that what is told is told of the mistake alone."""
    assert told(sound_shop()) == []
