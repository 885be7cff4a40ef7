"""The cards of the bench: each part of specs/ in the plain form that `cardgen values` prints."""

import json
from datetime import date
from functools import lru_cache
from pathlib import Path
from shutil import copytree

from cardgen.card.values import as_plain
from cardgen.rehearsal.rows_looked_up import Card
from cardgen.shop.folder import Shop

FOLDER = Path(__file__).parent


@lru_cache
def _shop() -> Shop:
    return Shop.read(FOLDER, today=date(2027, 1, 1))


@lru_cache
def card(part: str) -> Card:
    """The JSON of one part's card, there and back; whoever changes it works on a copy."""
    assert _shop().complaints_of(part) == ()
    printed: Card = json.loads(json.dumps(as_plain(_shop().card(part).card), allow_nan=False))
    return printed


def changed_card(folder: Path, part: str, file: str, *changes: tuple[str, str]) -> Card:
    """The card of one part, its spec in this file written otherwise, in a shop of its own in this folder."""
    copytree(FOLDER / "specs", folder / "specs")
    path = folder / "specs" / f"{file}.yaml"
    head, mark, rest = path.read_text("utf-8").partition(f"id: {part}\n")
    for written, instead in changes:
        assert written in rest
        rest = rest.replace(written, instead, 1)
    path.write_text(head + mark + rest, "utf-8")
    shop = Shop.read(folder, today=date(2027, 1, 1))
    assert shop.complaints_of(part) == ()
    return as_plain(shop.card(part).card)
