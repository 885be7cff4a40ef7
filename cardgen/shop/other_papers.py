"""The other papers of a shop's parts."""

from collections.abc import Sequence

from cardgen.paper.bench_card import card_sides
from cardgen.paper.sheet import Turn, card_sheets
from cardgen.shop.folder import Shop


def draw_sheet(shop: Shop, part_ids: Sequence[str], sheet: str, turn: str | None) -> bytes:
    """The cards of sound parts on sheets; raises NotDrawnError where they do not go together."""
    how: Turn = "short_edge" if (turn or shop.library.shop.turn) == "short_edge" else "long_edge"

    def laid() -> bytes:
        papers = {part_id: shop.library.parts[part_id].shop.paper for part_id in part_ids}
        cards = [shop.card_as_made(part_id) for part_id in part_ids]
        sides = [card_sides(card, papers[card.title.part], shop.read_templates) for card in cards]
        return card_sheets(sides, sheet, how, f"Cards {', '.join(part_ids)}")

    return shop.drawn(laid)
