"""A booklet of a shop: its record, the shop's cards, its code, its PDF."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from cardgen.shelf.digest import Input, card_code, text_input
from cardgen.shelf.ledger import BOOKLET
from cardgen.shelf.wanted import Job
from cardgen.shop.folder import Shop
from cardgen.shop.program_files import program_inputs

if TYPE_CHECKING:  # whether one is true is mostly told without its tables, and without drawing it
    from cardgen.booklet.tables import Booklet
    from cardgen.paper.press.document import Drawing

ITS_RECORDS = (BOOKLET, "machine", "shop")  # what it tells besides the library and the cards


def booklet_tables(shop: Shop, booklet_id: str, code: str = "") -> Booklet:
    """Everything a booklet says, under this code or its own; KeyError where the shop has none of this id."""
    from cardgen.booklet.gather_booklet import gather_booklet

    record = shop.library.booklets[booklet_id]
    parts = _part_ids(shop, record.parts)
    wrong = _wrong(shop, parts)
    cards = {part_id: shop.card_as_made(part_id) for part_id in parts if part_id not in wrong}
    codes = {part_id: card.title.code for part_id, card in cards.items()}
    own = code or card_code(record.id, "", tuple(_inputs(shop, codes, wrong)))
    return gather_booklet(record, shop.library, cards, wrong, own)


def draw_booklet(shop: Shop, booklet: Booklet) -> Drawing:
    """The booklet; raises NotDrawnError where it cannot be put on paper."""
    from cardgen.paper.book.make import whole_booklet

    return shop.drawn(lambda: whole_booklet(booklet, shop.templates))


def booklet_job(shop: Shop, booklet_id: str, how: Mapping[str, Any] | None = None) -> Job:
    """A booklet as a paper of the shelf; `how` as one that lies there says it, else as its record does."""
    asked = how or {"of": list(shop.library.booklets[booklet_id].parts)}
    parts = _part_ids(shop, tuple(str(each) for each in asked.get("of", ())))
    wrong = _wrong(shop, parts)
    sound = [part_id for part_id in parts if part_id in shop.part_ids and part_id not in wrong]
    codes = {part_id: shop.code_of(part_id) for part_id in sound}

    def draw(code: str) -> Drawing:
        whole = shop if shop.index is None else Shop.read(shop.folder, shop.today)
        return shop.drawn(lambda: draw_booklet(whole, booklet_tables(whole, booklet_id, code)))

    inputs = tuple(_inputs(shop, codes, wrong))
    return Job(booklet_id, "", inputs, {"cards": codes}, draw, kind=BOOKLET, how=dict(asked))


def _wrong(shop: Shop, part_ids: tuple[str, ...]) -> dict[str, str]:
    """What is wrong with those of these parts that can get no card, as the booklet tells it."""
    told = {part_id: shop.complaints_of(part_id) for part_id in part_ids}
    return {
        part_id: "; ".join(f"{each.wrong}; {each.right}" for each in complaints)
        for part_id, complaints in told.items()
        if complaints
    }


def _inputs(shop: Shop, codes: Mapping[str, str], wrong: Mapping[str, str]) -> Iterator[Input]:
    """Everything a booklet is made from, by name; its cards by their codes."""
    yield text_input("cards", "\n".join(codes.values()))
    if wrong:
        yield text_input("parts left out", "\n".join(map(": ".join, wrong.items())))
    files = {source.path for (kind, _), source in shop.library.source_of.items() if kind in ITS_RECORDS}
    for name, content in shop.spec_files.items():
        if name in files:
            yield text_input(name, content.decode("utf-8", "replace"), name)
    for name, text in shop.templates.texts:
        yield text_input(f"template {name}", text, f"templates/{name}")
    yield from program_inputs()


def _part_ids(shop: Shop, named: tuple[str, ...]) -> tuple[str, ...]:
    """The parts that a booklet names; every part of the shop where it says all."""
    return shop.part_ids if "all" in named else tuple(dict.fromkeys(named))
