"""The other papers of a shop's parts, each a job of the shelf: strip, record sheet, sheet of cards, booklet.

Each bears the codes of the cards that it belongs to, so it is out of date as soon as one of those is
another; what else it is made from are templates, how it was asked for, and the program. What a paper carries
of itself says all that is needed to make it again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from cardgen.shelf.digest import Input, text_input
from cardgen.shelf.ledger import BOOKLET, place_key
from cardgen.shelf.made_from import MadeFrom
from cardgen.shelf.trouble import NotDrawnError
from cardgen.shelf.vouched import Vouched
from cardgen.shelf.wanted import Job
from cardgen.shop.folder import Shop
from cardgen.shop.program_files import program_inputs

if TYPE_CHECKING:
    from cardgen.paper.press.document import Drawing
    from cardgen.paper.sheet import Turn
    from cardgen.spec.complaint import Complaint

SHEETS = ("A4", "letter")
STRIP, RECORD, SHEET = "strip", "record", "sheet"


def job_like(shop: Shop, made: MadeFrom) -> Job | None:
    """The same paper as the shop's specs ask for it now; None where they have nothing to make it of."""
    from cardgen.shop.booklet_pdf import booklet_job

    how, place = made.how, str(made.how.get("place", ""))
    if any(wrong_of(shop, made)):
        return None
    if made.kind == BOOKLET:
        return booklet_job(shop, made.part_id) if made.part_id in shop.library.ids(BOOKLET) else None
    parts = _parts_of(shop, made)
    if not parts or any(part not in shop.part_ids for part in parts):
        return None
    if made.kind == STRIP:
        return strip_job(shop, parts[0])
    if made.kind == RECORD:
        return record_job(shop, parts[0])
    paper = made.kind.removeprefix(f"{SHEET}-")
    return sheet_job(shop, parts, paper, str(how.get("turn", "")), place) if paper in SHEETS else None


def _parts_of(shop: Shop, made: MadeFrom) -> tuple[str, ...]:
    """The parts that a paper is of, as the specs have them now."""
    from cardgen.shop.booklet_pdf import parts_listed

    if made.kind == BOOKLET:
        return parts_listed(shop, made.part_id)
    place = str(made.how.get("place", ""))
    return parts_at(shop, place) if place else tuple(str(each) for each in made.how.get("parts", ()))


def wrong_of(shop: Shop, made: MadeFrom) -> Iterator[Complaint]:
    """What keeps a paper from being made again: it waits for its parts, and a booklet for its own record."""
    yield from shop.complaints_of_record(made.kind, made.part_id)
    if made.kind == BOOKLET:
        from cardgen.shop.booklet_pdf import wrong_in_all

        yield from (complaint for complaints in wrong_in_all(shop).values() for complaint in complaints)
    for part_id in _parts_of(shop, made):
        yield from shop.complaints_of(part_id)


def strip_job(shop: Shop, part_id: str) -> Job:
    """The gap strip of a sound part."""

    def draw(of: Shop, code: str) -> Drawing:
        from cardgen.paper.gap_strip import gap_strip

        return gap_strip(of.card_bearing(part_id, code), of.read_templates)

    return _of_one(shop, STRIP, part_id, draw)


def record_job(shop: Shop, part_id: str) -> Job:
    """The record sheet of a sound part for its batch."""

    def draw(of: Shop, code: str) -> Drawing:
        from cardgen.paper.record_sheet import record_sheet

        card = of.card_bearing(part_id, code)
        paper = "letter" if card.title.units == "inch" else "A4"
        return record_sheet(card, paper, of.read_templates)

    return _of_one(shop, RECORD, part_id, draw)


def sheet_job(shop: Shop, part_ids: Sequence[str], paper: str, turn: str, place: str = "") -> Job:
    """The cards of sound parts on sheets; those of a place, where one is named."""
    how: Turn = "short_edge" if turn == "short_edge" else "long_edge"

    def draw(of: Shop, code: str) -> Drawing:
        from cardgen.paper.bench_card import card_sides
        from cardgen.paper.sheet import card_sheets

        cards = [of.card_as_made(part_id) for part_id in part_ids]
        papers = [of.library.parts[part_id].shop.paper for part_id in part_ids]
        sides = [card_sides(card, on, of.read_templates) for card, on in zip(cards, papers, strict=True)]
        return card_sheets(sides, paper, how, f"Cards {place or ', '.join(part_ids)}")

    codes = {part_id: shop.code_of(part_id) for part_id in part_ids}
    asked = {"parts": list(part_ids), "turn": how, "place": place}
    return Job(
        part_id=place or "-".join(part_ids),
        revision="",
        inputs=(text_input("sheet", f"{paper}, {how}"), *_inputs(shop, codes)),
        values={"cards": codes},
        draw=lambda code: _drawn(shop, part_ids, lambda of: draw(of, code)),
        kind=f"{SHEET}-{paper}",
        how=asked,
    )


def parts_at(shop: Shop, place: str) -> tuple[str, ...]:
    """The parts whose cards should hang at a place."""
    asked = {part_id: part.posted_at for part_id, part in shop.library.parts.items()}
    asked |= {part_id: card.posted_at for part_id, card in shop.vouched.items()}
    here = (part for part in shop.part_ids if place_key(place) in map(place_key, asked.get(part, ())))
    return tuple(part for part in here if not shop.complaints_of(part))


def require_card(shop: Shop, part_id: str) -> None:
    """Raises NotDrawnError where no true card lies there to go with, and none can be drawn."""
    if part_id in shop.vouched or (job := shop.job(part_id)).code != shop.code_of(part_id):
        return
    try:
        job.draw(job.code)
    except NotDrawnError as trouble:
        raise NotDrawnError(f"it waits for its card: {trouble}") from trouble


def _of_one(shop: Shop, kind: str, part_id: str, draw: Callable[[Shop, str], Drawing]) -> Job:
    code = shop.code_of(part_id)
    there = shop.vouched.get(part_id) or shop.library.parts[part_id]
    return Job(
        part_id=part_id,
        revision=there.revision,
        inputs=_inputs(shop, {part_id: code}),
        values={"cards": {part_id: code}},
        draw=lambda bears: _drawn(shop, [part_id], lambda of: draw(of, bears)),
        kind=kind,
        bears=code,
        how={"parts": [part_id]},
        issue=there.issue if isinstance(there, Vouched) else shop.job(part_id).issue,
    )


def _inputs(shop: Shop, codes: Mapping[str, str]) -> tuple[Input, ...]:
    cards = (text_input(f"card {part_id}", code) for part_id, code in codes.items())
    words = (text_input(f"template {name}", text, f"templates/{name}") for name, text in shop.templates.texts)
    return (*cards, *words, *program_inputs())


def _drawn(shop: Shop, part_ids: Sequence[str], draw: Callable[[Shop], Any]) -> Any:
    """What is drawn of these parts, read now where the index vouched for them."""
    if any(part_id in shop.vouched for part_id in part_ids):
        shop = shop.with_read(part_ids)
    return shop.drawn(lambda: draw(shop))
