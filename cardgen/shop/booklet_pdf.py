"""A booklet of a shop: its record, the shop's cards, its code, its PDF."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING

from cardgen.shelf.changes import said
from cardgen.shelf.contents import remembered
from cardgen.shelf.copies import held_against
from cardgen.shelf.digest import Input, card_code, text_input
from cardgen.shelf.ledger import BOOKLET, CARD
from cardgen.shelf.made_from import Ingredient, MadeFrom
from cardgen.shelf.wanted import Job
from cardgen.shop.folder import Shop
from cardgen.shop.program_files import program_inputs

if TYPE_CHECKING:  # whether one is true is mostly told without its tables, and without drawing it
    from cardgen.booklet.tables import Booklet
    from cardgen.paper.press.document import Drawing
    from cardgen.spec.complaint import Complaint, RecordKey

NO_CODES: Mapping[str, str] = {}
ITS_RECORDS = (BOOKLET, "machine", "shop")  # what it tells besides the library and the cards


def booklet_tables(
    shop: Shop, booklet_id: str, code: str = "", listed: Mapping[str, str] = NO_CODES
) -> Booklet:
    """Everything a booklet says, under this code or its own; KeyError where the shop has none of this id.

    Its cards are `listed` under these codes, by part; the others as they are made.
    """
    from cardgen.booklet.gather_booklet import gather_booklet

    record = shop.library.booklets[booklet_id]
    parts = parts_listed(shop, booklet_id)
    wrong = _wrong(shop, parts)
    codes = _codes(shop, (part_id for part_id in parts if part_id not in wrong), listed)
    cards = {part_id: shop.card_bearing(part_id, bears) for part_id, bears in codes.items()}
    own = code or card_code(record.id, "", tuple(_inputs(shop, codes, wrong)))
    return gather_booklet(record, shop.library, cards, wrong, own)


def draw_booklet(shop: Shop, booklet: Booklet) -> Drawing:
    """The booklet; raises NotDrawnError where it cannot be put on paper."""
    from cardgen.paper.book.make import whole_booklet

    return shop.drawn(lambda: whole_booklet(booklet, shop.templates))


def booklet_job(shop: Shop, booklet_id: str, listed: Mapping[str, str] = NO_CODES) -> Job:
    """A booklet as a paper of the shelf; its cards as `booklet_tables` lists them."""
    parts = parts_listed(shop, booklet_id)
    wrong = _wrong(shop, parts)
    sound = (part_id for part_id in parts if part_id in shop.part_ids and part_id not in wrong)
    codes = _codes(shop, sound, listed)

    def draw(code: str) -> Drawing:
        whole = shop.whole()
        return shop.drawn(lambda: draw_booklet(whole, booklet_tables(whole, booklet_id, code, codes)))

    return Job(
        part_id=booklet_id,
        revision="",
        inputs=tuple(_inputs(shop, codes, wrong)),
        values={"cards": codes},
        draw=draw,
        kind=BOOKLET,
        cards_say=lambda: _say(shop, codes),
    )


def booklet_as_hung(shop: Shop, made: MadeFrom) -> Job:
    """The booklet that hangs as it would be made now, were its cards' codes those that it lists.

    A card that was made anew bears another code; as long as it says and prints the same, it is the same card.
    """
    then: Mapping[str, str] = made.values.get("cards", {})
    job = booklet_job(shop, made.part_id)
    same_words = _words(made.ingredients) == _words(map(remembered, job.inputs))
    now: Mapping[str, str] = job.values["cards"]
    say = _say(shop, [part_id for part_id in then.keys() & now.keys() if then[part_id] != now[part_id]])
    same = {
        part_id
        for part_id, says in say.items()
        if made.cards_say.get(part_id) == says and (same_words or _prints_as(shop, part_id, then[part_id]))
    }
    return booklet_job(shop, made.part_id, {part_id: then[part_id] for part_id in same})


def _prints_as(shop: Shop, part_id: str, code: str) -> bool:
    """Whether a part's card is known to print what the one of this code does that was entered."""
    entered = [each for each in shop.ledger.of_part(CARD, part_id) if each.code == code]
    if part_id in shop.vouched:
        now = shop.vouched[part_id].fingerprint
        return any(shop.ledger.prints_as(each.says, now) for each in entered)
    kept = ((each.says, shop.ledger.kept_of(each)) for each in entered)
    job = shop.job(part_id)
    return any(one and held_against(shop.ledger, says, one, job).print_stays for says, one in kept)


def _say(shop: Shop, part_ids: Iterable[str]) -> dict[str, str]:
    """The digest of what each of these cards says; one kept before the shop had a booklet is read."""
    from cardgen.card.values import as_plain

    known = {part_id: shop.vouched[part_id].says if part_id in shop.vouched else "" for part_id in part_ids}
    unread = tuple(part_id for part_id, says in known.items() if not says and part_id in shop.vouched)
    read = shop.with_read(unread) if unread else shop
    of = {part_id: read if part_id in unread else shop for part_id in known}
    return {
        part_id: says or said(as_plain(of[part_id].card(part_id).card)) for part_id, says in known.items()
    }


def _words(made_from: Iterable[Ingredient]) -> dict[str, str]:
    """Of what a booklet is made from, by name, what its cards are made from too but for their records."""
    kept = ("template ", "taper data", "program")
    return {one.name: one.sha256 for one in made_from if one.name.startswith(kept)}


def parts_listed(shop: Shop, booklet_id: str) -> tuple[str, ...]:
    """The parts that a booklet's record names; every part of the shop where it says all."""
    record, known = shop.library.booklets.get(booklet_id), shop.reading
    believed = known.named_by((BOOKLET, booklet_id), "part") if known else ()
    named = record.parts if record else believed
    return shop.part_ids if "all" in named else tuple(dict.fromkeys(named))


def _codes(shop: Shop, part_ids: Iterable[str], listed: Mapping[str, str]) -> dict[str, str]:
    return {part_id: listed.get(part_id) or shop.code_of(part_id) for part_id in part_ids}


def _wrong(shop: Shop, part_ids: tuple[str, ...]) -> dict[str, str]:
    """What is wrong with those of these parts that can get no card, as the booklet tells it."""
    told = {part_id: shop.complaints_of(part_id) for part_id in part_ids}
    return {part_id: _in_words(complaints) for part_id, complaints in told.items() if complaints}


def wrong_in_all(shop: Shop) -> dict[RecordKey, tuple[Complaint, ...]]:
    """The mistakes of what every booklet tells of: of each gauge, for its cone, and of the shop itself."""
    keys = (key for key in shop.library.source_of if key[0] in ("gauge", "shop"))
    told = {key: shop.complaints_of_record(*key) for key in keys}
    return {key: complaints for key, complaints in told.items() if complaints}


def _cone(shop: Shop, gauge_id: str) -> str:
    """The cone of a sound gauge as it is called for, read or believed."""
    gauge, known = shop.library.gauges.get(gauge_id), shop.reading
    if gauge is not None:
        return gauge.taper.callout.text
    return known.believed(("gauge", gauge_id)).cone if known else ""


def _in_words(complaints: Iterable[Complaint]) -> str:
    return "; ".join(f"{each.wrong}; {each.right}" for each in complaints)


def _inputs(shop: Shop, codes: Mapping[str, str], wrong: Mapping[str, str]) -> Iterator[Input]:
    """Everything a booklet is made from, by name; its cards by their codes."""
    yield text_input("cards", "\n".join(codes.values()))
    if wrong:
        yield text_input("parts left out", "\n".join(map(": ".join, wrong.items())))
    spoilt = wrong_in_all(shop)
    if spoilt:
        left_out = (f"{' '.join(key)}: {_in_words(complaints)}" for key, complaints in spoilt.items())
        yield text_input("records left out", "\n".join(left_out))
    of_file: dict[str, list[RecordKey]] = {}
    for key, source in shop.library.source_of.items():
        of_file.setdefault(source.path, []).append(key)
    for name, keys in of_file.items():
        if any(kind in ITS_RECORDS for kind, _ in keys):
            yield text_input(name, shop.spec_files[name].decode("utf-8", "replace"), name)
        # Every gauge's cone has a table, whatever part it is for; a calibration alone makes no other booklet.
        sound = [key for key in keys if key[0] == "gauge" and key not in spoilt]
        if sound:
            cones = (f"{gauge_id}: {_cone(shop, gauge_id)}" for _, gauge_id in sound)
            yield text_input(f"cones of {name}", "\n".join(cones), name)
    for name, text in shop.templates.texts:
        yield text_input(f"template {name}", text, f"templates/{name}")
    yield from program_inputs()
