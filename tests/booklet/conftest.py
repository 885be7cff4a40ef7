"""The demo booklet in every system of units, made once and read back once."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

from cardgen.booklet.tables import Booklet
from cardgen.paper.book.make import whole_booklet
from cardgen.paper.words.wording import TemplateFiles
from cardgen.shop.booklet_pdf import booklet_tables
from cardgen.shop.folder import Shop
from tests.booklet.reading_back import ReadBack, read_back
from tests.conftest import MadeOnce

TOP = Path(__file__).parents[2]
SYSTEMS = {"both": ("mm", "in"), "metric": ("mm",), "inch": ("in",)}
PAPERS = {"both": "A4", "metric": "A4", "inch": "letter"}


@dataclass(frozen=True)
class Made:
    """A booklet with its PDF and what was read back from it."""

    units: str
    values: Booklet
    pdf: bytes
    read: ReadBack

    @property
    def systems(self) -> tuple[str, ...]:
        return SYSTEMS[self.units]


@cache
def demo_shop() -> Shop:
    return Shop.read(TOP)


def with_record(**changes: object) -> Booklet:
    """The demo booklet with its record changed."""
    shop = demo_shop()
    record = shop.library.booklets["toolroom"].model_copy(update=changes)
    library = shop.library.__class__(
        **{**shop.library.__dict__, "booklets": {**shop.library.booklets, "toolroom": record}}
    )
    changed = Shop(shop.folder, library, shop.complaints, shop.spec_files, shop.today, shop._gathered)
    return booklet_tables(changed, "toolroom")


def booklet_of(units: str) -> Made:
    """The demo booklet in a system of units."""
    values = with_record(units=units, paper=PAPERS[units])
    pdf = whole_booklet(values, TemplateFiles.read(TOP / "templates")).pdf()
    return Made(units, values, pdf, read_back(pdf))


@pytest.fixture(scope="session", params=["both", "metric", "inch"])
def booklet(request: pytest.FixtureRequest, made_once: MadeOnce) -> Made:
    """The demo booklet, once in each system of units."""
    found: Made = made_once(f"booklet-{request.param}", lambda: booklet_of(request.param))
    return found


@pytest.fixture(scope="session")
def both(made_once: MadeOnce) -> Made:
    """The demo booklet as the shop has it: both systems, A4."""
    found: Made = made_once("booklet-both", lambda: booklet_of("both"))
    return found
