"""A booklet of a shop: its record, the shop's cards, its code, its PDF."""

from collections.abc import Iterator, Mapping
from typing import Any

from cardgen.booklet.gather_booklet import gather_booklet
from cardgen.booklet.tables import Booklet
from cardgen.card.values import Card
from cardgen.paper.book.make import whole_booklet
from cardgen.paper.press.document import Drawing
from cardgen.shelf.digest import Input, card_code, text_input
from cardgen.shelf.ledger import BOOKLET
from cardgen.shelf.wanted import Job
from cardgen.shop.folder import Shop
from cardgen.shop.program_files import program_inputs

ITS_RECORDS = (BOOKLET, "machine", "shop")  # what it tells besides the library and the cards


def booklet_tables(shop: Shop, booklet_id: str, code: str = "") -> Booklet:
    """Everything a booklet says, under this code or its own; KeyError where the shop has none of this id."""
    record = shop.library.booklets[booklet_id]
    cards: dict[str, Card] = {}
    wrong: dict[str, str] = {}
    for part_id in _part_ids(shop, record.parts):
        complaints = shop.complaints_of(part_id)
        if complaints:
            wrong[part_id] = "; ".join(f"{each.wrong}; {each.right}" for each in complaints)
        else:
            cards[part_id] = shop.card_as_made(part_id)
    codes = {part_id: card.title.code for part_id, card in cards.items()}
    own = code or card_code(record.id, "", tuple(_inputs(shop, codes)))
    return gather_booklet(record, shop.library, cards, wrong, own)


def draw_booklet(shop: Shop, booklet: Booklet) -> Drawing:
    """The booklet; raises NotDrawnError where it cannot be put on paper."""
    return shop.drawn(lambda: whole_booklet(booklet, shop.templates))


def booklet_job(shop: Shop, booklet_id: str, how: Mapping[str, Any] | None = None) -> Job:
    """A booklet as a paper of the shelf; `how` as one that lies there says it, else as its record does."""
    asked = how or {"of": list(shop.library.booklets[booklet_id].parts)}
    parts = _part_ids(shop, tuple(str(each) for each in asked.get("of", ())))
    sound = [part_id for part_id in parts if part_id in shop.part_ids and not shop.complaints_of(part_id)]
    codes = {part_id: shop.code_of(part_id) for part_id in sound}

    def draw(code: str) -> Drawing:
        whole = shop if shop.index is None else Shop.read(shop.folder, shop.today)
        return shop.drawn(lambda: draw_booklet(whole, booklet_tables(whole, booklet_id, code)))

    return Job(
        booklet_id, "", tuple(_inputs(shop, codes)), {"cards": codes}, draw, kind=BOOKLET, how=dict(asked)
    )


def _inputs(shop: Shop, codes: Mapping[str, str]) -> Iterator[Input]:
    """Everything a booklet is made from, by name; its cards by their codes."""
    yield text_input("cards", "\n".join(codes.values()))
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
