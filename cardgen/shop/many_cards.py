"""The sums of many cards, on all of the machine's cores."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING

from cardgen.bounds import most
from cardgen.card.finding import PartErrors
from cardgen.cores import OnAllCores

if TYPE_CHECKING:
    from cardgen.card.gather import Gathered
    from cardgen.shop.folder import Shop


def gather_many(shop: Shop, found: dict[str, Gathered]) -> None:
    """Put the cards of all parts that were read among those found; few are found when each is asked for.

    A part that fails is met again, and told, where it is asked for.
    """
    sound = [part_id for part_id in shop.part_ids if part_id in shop.library.parts]
    if len(sound) < most("cores.few"):
        return
    with OnAllCores(shop.card, sound) as cards:
        for part_id in sound:
            with suppress(PartErrors):
                found[part_id] = cards.next()
