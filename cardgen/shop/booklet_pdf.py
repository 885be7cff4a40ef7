"""A booklet of a shop: its record, the shop's cards, its code, its PDF."""

from collections.abc import Iterator

from cardgen.booklet.gather_booklet import gather_booklet
from cardgen.booklet.tables import Booklet
from cardgen.card.values import Card
from cardgen.paper.book.make import booklet_pdf
from cardgen.shelf.digest import Input, card_code, text_input
from cardgen.shop.folder import Shop
from cardgen.shop.program_files import program_inputs

KIND = "booklet"


def booklet_tables(shop: Shop, booklet_id: str) -> Booklet:
    """Everything a booklet says; KeyError where the shop has no sound booklet of this id."""
    record = shop.library.booklets[booklet_id]
    cards: dict[str, Card] = {}
    wrong: dict[str, str] = {}
    for part_id in _part_ids(shop, booklet_id):
        complaints = shop.complaints_of(part_id)
        if complaints:
            wrong[part_id] = "; ".join(f"{each.wrong}; {each.right}" for each in complaints)
        else:
            cards[part_id] = shop.card_as_made(part_id)
    code = card_code(record.id, "", booklet_inputs(shop, booklet_id, cards))
    return gather_booklet(record, shop.library, cards, wrong, code)


def draw_booklet(shop: Shop, booklet: Booklet) -> bytes:
    """The booklet as a PDF; raises NotDrawnError where it cannot be put on paper."""
    return shop.drawn(lambda: booklet_pdf(booklet, shop.templates))


def booklet_inputs(shop: Shop, booklet_id: str, cards: dict[str, Card]) -> tuple[Input, ...]:
    """Everything a booklet is made from, by name; its cards by their codes."""
    return tuple(_inputs(shop, booklet_id, cards))


def _inputs(shop: Shop, booklet_id: str, cards: dict[str, Card]) -> Iterator[Input]:
    library, record = shop.library, shop.library.booklets[booklet_id]
    machines = library.machines if "all" in record.machines else record.machines
    keys = [(KIND, booklet_id), *(("machine", each) for each in machines), ("shop", library.shop.id)]
    for kind, record_id in keys:
        if (kind, record_id) in library.source_of:
            source = library.source_of[kind, record_id]
            yield text_input(f"{kind} {record_id}", source.text, source.path, source.line, attach=True)
    yield text_input("cards", "\n".join(card.title.code for card in cards.values()))
    for name, text in shop.templates.texts:
        yield text_input(f"template {name}", text, f"templates/{name}")
    yield from program_inputs()


def _part_ids(shop: Shop, booklet_id: str) -> tuple[str, ...]:
    """The parts that a booklet names; every part of the shop where it says all."""
    named = shop.library.booklets[booklet_id].parts
    return shop.part_ids if "all" in named else tuple(dict.fromkeys(named))
