"""Every number of a card against one formula of its own, worked out anew from the figures of the specs."""

from datetime import date
from functools import cache
from typing import Any

import mpmath
import pytest

from cardgen.card.at_the_bench import bench_answer
from cardgen.card.values import Card, StockAnswer
from cardgen.shop.folder import Shop
from cardgen.spec.complaint import Refusal
from tests.card.reckoning import batch, method, proving, raw, righting, running, setting, sizes, worn
from tests.card.reckoning import piece as taper
from tests.card.reckoning.figures import choice_paths, figures_at, number_paths
from tests.card.reckoning.piece import Formula, Piece

TODAY = date(2026, 6, 1)
ROOMS = (taper, sizes, setting, righting, running, proving, batch, worn, method)
FORMULAS: dict[str, Formula] = {path: formula for room in ROOMS for path, formula in room.FORMULAS.items()}
CHOICES: dict[str, Formula] = {path: formula for room in ROOMS for path, formula in room.CHOICES.items()}
TEXTS: dict[str, Formula] = {
    path: formula
    for room in (taper, sizes, setting, running, batch, method, worn)
    for path, formula in room.TEXTS.items()
}
ALIKE = {  # on every card there is
    "title.issue",  # of a shop in which nothing hung yet
    *("speeds.rough.spark_out_passes", "speeds.rough.dress_infeed_mm", "speeds.finish.dress_infeed_mm"),
    *("speeds.rough.name", "speeds.finish.name"),
}
piece_of = cache(Piece)  # what one formula has worked out serves the next
NEAR, NOISE = 1e-9, 1e-10  # of the figure itself; and of a millimetre, a second, a degree


@pytest.fixture(scope="module")
def shop() -> Shop:
    """The shop of the made parts."""
    found = Shop.read(raw.MADE_SHOP, TODAY)
    assert not found.complaints, [str(complaint) for complaint in found.complaints]
    return found


@pytest.fixture(scope="module")
def cards(shop: Shop) -> dict[str, Card]:
    """The cards of the made parts."""
    return {part_id: shop.card(part_id).card for part_id in raw.part_ids()}


def alike(found: Any, right: Any) -> bool:
    """Whether two figures, or two rows or columns of figures, are the same; a count must be the very same."""
    if isinstance(found, dict):
        return found.keys() == right.keys() and all(alike(found[key], right[key]) for key in found)
    if isinstance(found, list | tuple):
        return isinstance(right, list | tuple) and len(found) == len(right) and all(map(alike, found, right))
    if found is None or right is None or isinstance(found, int | str):
        return bool(found == right)
    return abs(found - right) <= NEAR * abs(right) + NOISE


def plain(figures: Any) -> str:
    """For a person: twelve digits are enough."""
    if isinstance(figures, dict):
        return str({key: plain(each) for key, each in figures.items()})
    if isinstance(figures, list | tuple):
        return f"[{', '.join(map(plain, figures))}]"
    return str(figures) if isinstance(figures, str | None) else mpmath.nstr(mpmath.mpf(figures), 12)


@pytest.mark.parametrize("path", [*FORMULAS, *CHOICES, *TEXTS])
def test_the_figure_is_what_its_own_formula_makes_it(path: str, cards: dict[str, Card]) -> None:
    """On every made part the card says what the formula gives."""
    formula, wrong = {**FORMULAS, **CHOICES, **TEXTS}[path], []
    for part_id, card in cards.items():
        found, right = figures_at(card, path), formula(piece_of(part_id))
        if not alike(found, right):
            wrong.append(f"{part_id}: {plain(found)} should be {plain(right)}")
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("part_id", raw.part_ids())
def test_what_a_reading_tells_at_the_bench_is_what_its_formulas_make_it(part_id: str, shop: Shop) -> None:
    """At each reading of the stock table, and beyond its ends as far as the gauge can show one."""
    rows = sizes.all_rows(piece_of(part_id))
    beyond = [sizes.Mark(row.piece, row.use, row.count + n) for row in (rows[0], rows[-1]) for n in (-9, 9)]
    for row in (*rows, *beyond):
        try:
            answer = bench_answer(shop.card(part_id).gauged, float(row.reading)).answer
        except Refusal:
            assert row in beyond
            continue
        wrong = {
            name: f"{plain(getattr(answer, name))} should be {plain(formula(row))}"
            for name, formula in {**sizes.ANSWERS, **sizes.FED}.items()
            if not alike(getattr(answer, name), formula(row))
        }
        assert not wrong, f"{part_id} at {plain(row.reading)}: {wrong}"


def test_every_number_of_an_answer_has_a_formula() -> None:
    """As for the card itself; the words of the stage besides."""
    numbers = {*number_paths(StockAnswer), *choice_paths(StockAnswer)}
    assert set(sizes.ANSWERS) == {*numbers, "stage"}


def test_every_number_that_a_card_holds_has_a_formula() -> None:
    """A new figure brings its formula with it, and one that goes takes it away."""
    assert set(FORMULAS) == set(number_paths(Card))


def test_every_choice_of_words_is_one_of_the_table() -> None:
    """A side, an end, a yes or no; the checks apart, which have tests of their own."""
    assert set(CHOICES) == {path for path in choice_paths(Card) if not path.startswith("checks[*].")}


def test_every_figure_differs_between_the_made_parts(cards: dict[str, Card]) -> None:
    """What no made part has, or all have alike, would be checked nowhere or by chance."""
    seen = {
        path: {each for card in cards.values() for each in every(figures_at(card, path))}
        for path in (*FORMULAS, *CHOICES)
    }
    assert {path for path, figures in seen.items() if len(figures) < 2} == ALIKE


def every(figures: Any) -> list[Any]:
    """One by one, out of whatever rows and columns they stand in."""
    if isinstance(figures, dict):
        figures = list(figures.values())
    return (
        [one for each in figures for one in every(each)] if isinstance(figures, list | tuple) else [figures]
    )
