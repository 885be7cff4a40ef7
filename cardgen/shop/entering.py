"""What a person did at the machines, entered: a paper was put up at a place, or taken down there."""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from cardgen.bounds import read_file, table
from cardgen.shelf.contents import marks, read_card
from cardgen.shelf.copies import Copy, copies_of
from cardgen.shelf.ledger import (
    BOOKLET,
    CARD,
    NO_LEDGER,
    Entered,
    Kept,
    Ledger,
    each_once,
    kept_digest,
    place_key,
    post,
    read_ledger,
    spot,
    withdraw,
)
from cardgen.shelf.made_from import MadeFrom
from cardgen.shelf.run import INDEX, look_again
from cardgen.shelf.trouble import NotACardError, ShelfError
from cardgen.shelf.wanted import Wanted, file_name
from cardgen.shelf.writing import alone
from cardgen.shop.folder import Shop
from cardgen.shop.keeping import papers_beside

Papers = Callable[[Ledger], Sequence[Kept]]  # those that hang, found when nobody else writes
CAN_HANG = (CARD, "strip", "record", BOOKLET)


def kind_of(shop: Shop, named: str) -> str:
    """The paper that an id stands for where no other is named: a part's card, or a booklet, gone or not."""
    booklet = named in shop.library.ids(BOOKLET) or shop.ledger.of_part(BOOKLET, named)
    is_part = named in shop.part_ids or shop.ledger.of_part(CARD, named)
    return BOOKLET if booklet and not is_part else CARD


def places_of(shop: Shop, ledger: Ledger) -> tuple[str, ...]:
    """Every place that a spec or an entry names."""
    parts = (*shop.library.parts.values(), *(shop.index.cards.values() if shop.index else ()))
    return each_once((*ledger.places, *(place for part in parts for place in part.posted_at)))


def place_named(shop: Shop, place: str) -> tuple[str, bool]:
    """A place as it is written already, and whether it is; raises ShelfError for what names none."""
    limit, written = table()["part.posted_at"], " ".join(place.split())
    if not written or not limit.allows(len(written)) or not written.isprintable():
        raise ShelfError(f"a place is called by printable letters, {limit.told()}; '{place[:60]}' names none")
    known = {place_key(each): each for each in places_of(shop, shop.ledger)}
    return known.get(place_key(place), written), place_key(place) in known


def paper_named(shop: Shop, kind: str, named: str, code: str = "") -> Papers:
    """The paper of this code, or without one that in the out folder."""
    return lambda ledger: [_paper(shop, ledger, kind, named, code)]


def papers_in(shop: Shop, path: Path) -> Papers:
    """A paper that lies anywhere; of a sheet, all of its cards. Raises ShelfError for what cannot hang."""
    content = read_file(path, "paper.file")
    made = _sealed(path, read_card(content))
    if made.kind in CAN_HANG:
        return lambda ledger: [Kept(made, marks(content))]
    on_it = [(str(part), str(code)) for part, code in made.values.get("cards", {}).items()]
    return lambda ledger: [_paper(shop, ledger, CARD, part, code) for part, code in on_it]


def enter_posted(
    shop: Shop, papers: Papers, places: Sequence[str], by: str
) -> tuple[tuple[Entered, ...], tuple[Copy, ...]]:
    """Enter that these papers hang at these places: what is new of it, and how the copies there stand now."""

    def enter(ledger: Ledger) -> tuple[Entered, ...]:
        found = papers(ledger)
        cards = [card for paper in found for card in _cards_beside(shop, paper)]
        at = [place_named(shop, place)[0] for place in each_once(places)]
        return post(ledger, [_with_card(each, cards) for each in found], at, shop.today, by, cards)

    return _entered(shop, enter, places)


def enter_withdrawn(
    shop: Shop, named: str, places: Sequence[str], by: str, kind: str = CARD
) -> tuple[Entered, ...]:
    """Enter that no such paper hangs at these places; raises ShelfError where none did."""

    def enter(ledger: Ledger) -> tuple[Entered, ...]:
        known = {place_key(each): each for each in ledger.places}
        for place in each_once(places):
            if spot(kind, named, place) not in ledger.last:
                told = _entered_instead(ledger, kind, named, known)
                raise ShelfError(f"no {kind} of {named} was ever entered at '{place}'; {told}")
        at = [known[place_key(place)] for place in each_once(places)]
        return withdraw(ledger, kind, named, at, shop.today, by)

    return _entered(shop, enter, places)[0]


def _entered_instead(ledger: Ledger, kind: str, named: str, known: Mapping[str, str]) -> str:
    """Where else such a paper was entered, or which other papers of that id."""
    if hung := sorted(at[2] for at in ledger.last if at[:2] == (kind, named)):
        return f"it was entered at {', '.join(known[at] for at in hung)}"
    others = sorted({at[0] for at in ledger.last if at[1] == named})
    return f"name with --paper what was: {', '.join(others)}" if others else "nor any other paper of it"


def _entered(
    shop: Shop, enter: Callable[[Ledger], tuple[Entered, ...]], places: Iterable[str]
) -> tuple[tuple[Entered, ...], tuple[Copy, ...]]:
    """What was entered, alone in the shop, and how the copies of its papers at these places stand now.

    The out folder's own page says what hangs where: it is drawn anew where there is one.
    """
    with alone(shop.out):
        new = enter(read_ledger(shop.folder / "specs"))
        papers = {(entry.kind, entry.part_id) for entry in new}
        copies = _copies(shop, {named for _, named in papers})
    here = {place_key(place) for place in places}
    return new, tuple(
        copy for copy in copies if (copy.kind, copy.part_id) in papers and place_key(copy.place) in here
    )


def _copies(shop: Shop, ids: Collection[str]) -> tuple[Copy, ...]:
    """How copies stand now: all, where there is a page to tell them; else those of these papers."""
    after = Shop.read_changed(shop.folder, shop.today)
    if (shop.out / INDEX).is_file():
        return look_again(after, shop.out)
    if not ids:
        return ()
    parts = [each for each in ids if each in after.part_ids]
    if any(after.complaints_of(part_id) for part_id in parts):
        return ()
    jobs = tuple(after.vouched.get(part_id) or after.job(part_id) for part_id in parts)
    like, as_hung, wrong, _ = papers_beside(after)
    wanted = Wanted(jobs, ledger=after.ledger.of(ids), like=like, as_hung=as_hung, wrong=wrong)
    return copies_of(wanted, {(CARD, part_id): after.code_of(part_id) for part_id in parts})


def _paper(shop: Shop, ledger: Ledger, kind: str, named: str, code: str) -> Kept:
    """As `paper_named`; raises ShelfError where none is known."""
    path = shop.out / file_name(named, kind)
    try:
        content = read_file(path, "paper.file")
        made = read_card(content)
    except (OSError, NotACardError):
        content, made = b"", None
    if made and (made.kind, made.part_id) == (kind, named) and code in ("", made.code):
        return Kept(_sealed(path, made), marks(content))
    for entry in ledger.of_part(kind, named):
        if entry.code == code and (kept := ledger.kept_of(entry)):
            return kept
    if not code:
        how = {CARD: f"make {named}", BOOKLET: f"booklet {named}"}.get(kind, f"{kind} {named}")
        raise ShelfError(f"{path}: no {kind} to enter; run 'cardgen {how}', print it, and hang it first")
    here = f"{path} is {made.code}" if made else f"{path} is not there"
    raise ShelfError(f"no {kind} {code} of {named} is known: none was ever entered, {here}")


def _sealed(path: Path, made: MadeFrom) -> MadeFrom:
    if not made.sealed:
        raise ShelfError(f"{path} was changed after it was made; run make, then hang and enter that one")
    return made


def _cards_beside(shop: Shop, paper: Kept) -> tuple[Kept, ...]:
    """The card that a strip or a record sheet goes with, where it lies in the out folder."""
    made = paper.made
    if made.kind in (CARD, BOOKLET) or paper.card:
        return ()
    try:
        return (_paper(shop, NO_LEDGER, CARD, made.part_id, made.code),)
    except ShelfError:
        return ()


def _with_card(paper: Kept, cards: Iterable[Kept]) -> Kept:
    mine = (kept_digest(card) for card in cards if card.made.code == paper.made.code)
    return replace(paper, card=paper.card or next(mine, "")) if paper.made.kind != CARD else paper
