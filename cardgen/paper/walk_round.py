"""The list to walk round with: of each place a sheet, what hangs there, and what is to be done about it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cardgen.paper.panels.piece import Piece
from cardgen.paper.panels.text import pieces
from cardgen.paper.press.document import Drawing, Surface
from cardgen.paper.press.page import looks_for, paper_format
from cardgen.paper.press.pen import Pen
from cardgen.paper.words.figures import Figures
from cardgen.paper.words.template_files import TemplateFiles
from cardgen.paper.words.wording import Words, environment

TEMPLATE = "walk_round"


@dataclass(frozen=True)
class AtPlace:
    """One copy; `to_do` says in a word what is to be done, and by which card."""

    part: str
    name: str
    hangs: str  # the code of what hangs; empty where nothing does
    to_do: str


@dataclass(frozen=True)
class WalkedPlace:
    place: str
    rows: Sequence[AtPlace]


def walk_round(places: Sequence[WalkedPlace], day: str, paper: str, templates: TemplateFiles) -> Drawing:
    """A sheet for each place, or more where one has not room for all."""
    made = paper_format(paper)
    words = environment(templates)
    width, room = made.width - 2 * made.margin, made.height - 2 * made.margin
    surfaces = []
    for place in places:
        looks = looks_for(made, Figures("metric"), Words(words, {"p": place, "day": day}))
        for page in _pages(pieces(looks.words.lines(TEMPLATE), width, looks), room):
            surface = Surface(made.width, made.height)
            pen, down = Pen(surface).at(made.margin, made.margin), 0.0
            for piece in page:
                piece.draw(pen.at(0, down))
                down += piece.height
            surfaces.append(surface)
    names = ", ".join(place.place for place in places)
    return Drawing(tuple(surfaces), f"What hangs, {day}", names)


def _pages(made: Sequence[Piece], room: float) -> Iterator[list[Piece]]:
    page: list[Piece] = []
    used = 0.0
    for piece in made:
        if page and used + piece.height > room:
            yield page
            page, used = [], 0.0
        page.append(piece)
        used += piece.height
    yield page
