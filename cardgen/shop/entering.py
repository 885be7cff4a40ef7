"""What a person did at the machines, entered: a card was put up at a place, or taken down there."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from cardgen.bounds import read_file, table
from cardgen.shelf.contents import marks, read_card
from cardgen.shelf.copies import Copy, copies_of
from cardgen.shelf.ledger import CARD, Entered, Kept, Ledger, place_key, post, read_ledger, spot, withdraw
from cardgen.shelf.state import code_to_bear
from cardgen.shelf.trouble import NotACardError, ShelfError
from cardgen.shelf.wanted import Wanted, file_name
from cardgen.shelf.writing import alone
from cardgen.shop.folder import Shop


def places_of(shop: Shop, ledger: Ledger) -> tuple[str, ...]:
    """Every place that a spec or an entry names."""
    parts = (*shop.library.parts.values(), *(shop.index.cards.values() if shop.index else ()))
    named = [place for part in parts for place in part.posted_at]
    return tuple({place_key(place): place for place in (*ledger.places, *named)}.values())


def place_named(shop: Shop, place: str) -> tuple[str, bool]:
    """A place as it is written already, and whether it is; raises ShelfError for what names none."""
    limit = table()["part.posted_at"]
    if not place.strip() or not limit.allows(len(place)) or not place.isprintable():
        raise ShelfError(f"a place is called by printable letters, {limit.told()}; '{place[:60]}' names none")
    known = {place_key(each): each for each in places_of(shop, shop.ledger)}
    return known.get(place_key(place), place.strip()), place_key(place) in known


def enter_posted(
    shop: Shop, part_id: str, places: Sequence[str], code: str, by: str
) -> tuple[tuple[Entered, ...], tuple[Copy, ...]]:
    """Enter that the card of this code (without one: that in the out folder) hangs at these places.

    What is new of it, and how the copies there stand now. Raises ShelfError where no such card is known.
    """
    with alone(shop.out):
        ledger = read_ledger(shop.folder / "specs")
        paper = _paper(shop, ledger, part_id, code)
        new = post(ledger, paper, [place_named(shop, place)[0] for place in places], shop.today, by)
    return new, _copies(shop, part_id, places)


def enter_withdrawn(shop: Shop, part_id: str, places: Iterable[str], by: str) -> tuple[Entered, ...]:
    """Enter that nothing of a part hangs at these places; raises ShelfError where nothing did."""
    with alone(shop.out):
        ledger = read_ledger(shop.folder / "specs")
        known = {place_key(each): each for each in ledger.places}
        for place in places:
            if spot(CARD, part_id, place) not in ledger.last:
                hung = sorted(at[2] for at in ledger.last if at[:2] == (CARD, part_id))
                where = f"it was entered at {', '.join(known[at] for at in hung)}" if hung else "nowhere else"
                raise ShelfError(f"no card of {part_id} was ever entered at '{place}'; {where}")
        return withdraw(ledger, CARD, part_id, [known[place_key(each)] for each in places], shop.today, by)


def _paper(shop: Shop, ledger: Ledger, part_id: str, code: str) -> Kept:
    path = shop.out / file_name(part_id)
    try:
        content = read_file(path, "paper.file")
        made = read_card(content)
    except (OSError, NotACardError):
        content, made = b"", None
    if made and made.part_id == part_id and code in ("", made.code):
        if not made.sealed:
            raise ShelfError(f"{path} was changed after it was made; run make, then hang and enter that one")
        return Kept(made, marks(content))
    kept = ledger.kept(code)
    if kept is not None and kept.made.part_id == part_id:
        return kept
    if not code:
        raise ShelfError(
            f"{path}: no card to enter; run 'cardgen make {part_id}', print it, and hang it first"
        )
    here = f", {path} is {made.code}" if made else f", {path} is not there"
    raise ShelfError(f"no card {code} of {part_id} is known: none was ever entered{here}")


def _copies(shop: Shop, part_id: str, places: Sequence[str]) -> tuple[Copy, ...]:
    """The copies of one part at these places, as they stand now."""
    if shop.complaints_of(part_id):
        return ()
    after = replace(shop, _jobs={}, ledger=read_ledger(shop.folder / "specs"))
    job = after.job(part_id)
    copies = copies_of(Wanted((job,), ledger=after.ledger), {part_id: code_to_bear(job, shop.out)})
    wanted = {place_key(place) for place in places}
    return tuple(each for each in copies if each.part_id == part_id and place_key(each.place) in wanted)
