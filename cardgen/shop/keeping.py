"""After a run: what the next reading of the shop may believe."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from cardgen.shelf.changes import said
from cardgen.shelf.digest import sha256
from cardgen.shelf.ledger import BOOKLET, CARD
from cardgen.shelf.notice import FOLDER as NOTICES
from cardgen.shelf.stamp import Stamp, stamp_of, stamps
from cardgen.shelf.state import Standing, State
from cardgen.shelf.vouched import Vouched, VouchedBeside, listed
from cardgen.shop.bench_answers import keep_answers
from cardgen.shop.card_inputs import INDEX_TEMPLATE, common_digest
from cardgen.shop.shop_index import FOLDER, ShopIndex, write_index
from cardgen.shop.specs_read import SpecsRead, files_to_keep

if TYPE_CHECKING:
    from cardgen.shelf.copies import Copy
    from cardgen.shelf.made_from import MadeFrom
    from cardgen.shelf.wanted import Job
    from cardgen.shop.folder import Shop

    Asked = Callable[[MadeFrom], Job | None]
    Beside = tuple[Asked, Asked, Callable[[MadeFrom], str], dict[str, VouchedBeside]]


def keep_index(shop: Shop, reading: SpecsRead, standings: Sequence[Standing]) -> None:
    """Write the index anew, where anything in it would be otherwise."""
    page, beside = _page_digest(shop), _beside_now(shop, reading, standings)
    found, before = dict(shop.ledger.found), shop.index
    keep_answers(shop, reading)
    if before is not None and not reading.any_read:
        now = replace(before, page=page, beside=beside, found=found)
        if (now.page, now.beside, now.found) != (before.page, before.beside, before.found):
            write_index(shop.out, now)
        return
    # Of the templates as this run read them: what was saved meanwhile is the next one's to see.
    common = common_digest(shop.templates)
    if before is not None and before.common != common:
        return
    in_booklets = bool(shop.library.ids(BOOKLET))
    believed = (_vouched_now(shop, reading, standing, in_booklets) for standing in standings)
    cards = {card.part_id: card for card in believed if card is not None}
    now = ShopIndex(common, shop.today, *shop_told(shop), page, files_to_keep(reading), cards, beside, found)
    if before is None or now != replace(
        before, day=now.day, shop_name=now.shop_name, shop_paper=now.shop_paper
    ):
        write_index(shop.out, now)


def draw_page(shop: Shop, standings: tuple[Standing, ...], copies: tuple[Copy, ...]) -> bytes | None:
    """The out folder's own page; None where it would be made of the very same as it was."""
    nothing_read = shop.reading is not None and not shop.reading.any_read
    if nothing_read and shop.index is not None and shop.index.page == _page_digest(shop):
        return None
    from cardgen.shelf.index_page import index_page

    text, path = shop.templates.text(INDEX_TEMPLATE), shop.templates.folder / INDEX_TEMPLATE
    return index_page(standings, copies, doubts_of(shop), text or "", str(path), shop_told(shop)[0])


def _page_digest(shop: Shop) -> str:
    """Of all that the out folder's own page is made of, where no spec has changed: and the page itself."""
    lie = [sorted(stamps(folder).items()) for folder in (shop.out, shop.out / NOTICES)]
    papers = [each for folder in lie for each in folder if not each[0].startswith(FOLDER)]
    told = (papers, shop.templates.texts, sorted(shop.ledger.entries), shop.ledger.unread)
    return sha256(repr(told).encode("utf-8"))


def shop_told(shop: Shop) -> tuple[str, str]:
    """The shop's name, and what it prints on where a part says nothing else; its record may not be read."""
    unread = any(key[0] == "shop" and key not in shop.library.nodes for key in shop.library.source_of)
    if shop.index is not None and unread:
        return shop.index.shop_name, shop.index.shop_paper
    return shop.library.shop.name or "", shop.library.shop.paper


def _vouched_now(
    shop: Shop, reading: SpecsRead, standing: Standing, listed_somewhere: bool
) -> Vouched | None:
    """What may be said of a paper without a look; None of one that is to be looked at again."""
    job, made = standing.job, standing.made
    if isinstance(job, Vouched):
        return job
    if standing.state is not State.CURRENT or job is None or made is None or job.kind != CARD:
        return None
    stamp = _stamp(shop, reading, standing)
    if stamp is None:
        return None
    return Vouched(
        part_id=job.part_id,
        revision=job.revision,
        inputs=(),
        values=listed(job.values),
        draw=job.draw,
        posted_at=job.posted_at,
        place=job.place,
        issue=job.issue,
        now=(job.fingerprint, job.code),
        then=(made.fingerprint, made.code),
        causes=standing.causes,
        file=standing.file,
        stamp=stamp,
        findings=tuple(
            (told.path, told.line, told.column, told.wrong, told.right)
            for told in shop.warnings_of(job.part_id)
        ),
        says=said(job.values) if listed_somewhere else "",
    )


def _beside_now(shop: Shop, reading: SpecsRead, standings: Sequence[Standing]) -> dict[str, VouchedBeside]:
    """The same of the other papers, by their files."""
    found = {}
    for one in standings:
        job, made, stamp = one.job, one.made, _stamp(shop, reading, one)
        if one.kind != CARD and one.state is State.CURRENT and job and made and stamp:
            told = replace(made, ingredients=(), cards_say={})
            now = (job.fingerprint, job.code)
            found[one.file] = VouchedBeside(one.file, stamp, told, now, one.causes)
    return found


def papers_beside(shop: Shop) -> Beside:
    """How other papers than cards are asked for, such that lie there and such that hang, and what keeps them
    from being made; those that are vouched for and lie as they did."""
    asked = partial(paper_like, shop), partial(paper_as_hung, shop), partial(wrong_with, shop)
    if shop.index is None or shop.reading is None:
        return *asked, {}
    lie, known, changed = shop.reading.papers, shop.index.beside, set(shop.reading.changed)
    believed = {
        file: paper
        for file, paper in known.items()
        if lie.get(file) == paper.stamp and changed.isdisjoint(cause.file for cause in paper.causes)
    }
    return *asked, believed


def _stamp(shop: Shop, reading: SpecsRead, standing: Standing) -> Stamp | None:
    """Of a paper: from before it was read, so that what changed meanwhile is seen."""
    return stamp_of(shop.out / standing.file) if standing.new else reading.papers.get(standing.file)


def doubts_of(shop: Shop) -> dict[str, tuple[str, ...]]:
    """What the planner should know of each part that can get a card, a line each with its place."""
    sound = (part_id for part_id in shop.part_ids if not shop.complaints_of(part_id))
    return {part_id: tuple(map(str, shop.warnings_of(part_id))) for part_id in sound}


def paper_like(shop: Shop, made: MadeFrom) -> Job | None:
    """The job of another paper than a card that lies there; what draws it is loaded where one does."""
    from cardgen.shop.other_papers import job_like

    return job_like(shop, made)


def paper_as_hung(shop: Shop, made: MadeFrom) -> Job | None:
    """The job of another paper than a card that hangs; a booklet lists each card under the code that it bore
    there, as long as that says and prints the same."""
    job = paper_like(shop, made)
    if job is None or made.kind != BOOKLET or job.values == made.values:
        return job
    from cardgen.shop.booklet_pdf import booklet_as_hung

    return booklet_as_hung(shop, made)


def wrong_with(shop: Shop, made: MadeFrom) -> str:
    """What in the specs keeps another paper that lies or hangs from being made again, a line each."""
    from cardgen.shop.other_papers import wrong_of

    return "\n".join(dict.fromkeys(str(each) for each in wrong_of(shop, made)))
