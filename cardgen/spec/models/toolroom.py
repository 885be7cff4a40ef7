"""The toolroom: what holds for every part that does not say otherwise, and booklets for its binder."""

import re
from typing import Annotated, Any, Literal

from cardgen.spec.complaint import Refusal, did_you_mean, shown
from cardgen.spec.models.fields import (
    Count,
    Factor,
    Id,
    Kelvin,
    ManyMm,
    Mm,
    Radians,
    References,
    Text,
    Texts,
    read_text,
    read_texts,
)
from cardgen.spec.models.keys import Keys, Written, left_out
from cardgen.spec.models.tooling import TestBar
from cardgen.spec.number import tidy
from cardgen.terms import BOOKLET_TABLES, BookletTables, PaperSize, Units

PAPERS = ("A6", "A5", "A4", "half letter", "letter", "5x8 in")


def read_paper(text: str) -> str:
    """A size of paper; '5 × 8 in' and '5x8 in' are one."""
    name = re.sub(r"\s*[x×]\s*", "x", tidy(read_text(text)))
    for paper in PAPERS:
        if name.casefold() == paper.casefold():
            return paper
    raise Refusal(f"{shown(text)} is not a paper that is known", did_you_mean(name, PAPERS))


def read_chapters(entries: str | list[Any]) -> tuple[str, ...]:
    """Chapters of a booklet, or all."""
    names = read_texts(entries)
    for name in names:
        if name not in (*BOOKLET_TABLES, "all"):
            raise Refusal(f"{shown(name)} is no chapter of a booklet", did_you_mean(name, BOOKLET_TABLES))
    return names


def read_date_format(text: str) -> str:
    """How dates are written: %Y %y %m %d %B %b and what stands between them."""
    form = read_text(text)
    marks = re.findall(r"%(.?)", form)
    if not marks or not set(marks) <= set("YymdBb"):
        raise Refusal(f"{shown(form)} is not a form of date", "write it of %Y %y %m %d %B %b: %Y-%m-%d")
    return form


Paper = Annotated[str, Written(read_paper, "paper", {"papers": ", ".join(PAPERS)})]
Chapters = Annotated[tuple[BookletTables | Literal["all"], ...], Written(read_chapters, "texts, chapters")]
DateFormat = Annotated[str, Written(read_date_format, "date format")]


class SetAndProve(Keys):
    """What the shop has to set a swivel and to prove an angle with, and how little each shows.

    What is left out is not there: no way to set and no proof by it is offered.
    """

    test_bar: TestBar | None = None
    indicator_mm: Mm | None = None
    light_gauge_mm: Mm = left_out("0.002 mm")
    rolls_mm: Mm | None = None
    balls_mm: Mm | None = None
    sine_bar_mm: Mm | None = None


class KnownToBeOut(Keys):
    """How far shop and machine may be out, for ranking the ways to set and for batches that are rehearsed.

    Each unstated figure is an assumption, with no source but the trade's usual experience.
    """

    scale_rad: Radians = left_out("4 arcmin")
    pivot_mm: Mm = left_out("3 mm")
    film: Factor = left_out("1.4")
    temperature_k: Kelvin = left_out("0.5 K")
    repeatability_mm: Mm = left_out("0.0008 mm")
    wear: Factor = left_out("1.4")


class ShopRecord(Keys):
    """The shop's record; a part may override any of it under its own key `shop`."""

    id: Id = left_out("shop")
    name: Text | None = None
    units: Units = left_out("metric")
    paper: Paper = left_out("A5")
    turn: Literal["long_edge", "short_edge"] = left_out("long_edge")
    table_rows: Count = left_out("40")
    date_format: DateFormat = left_out("%Y-%m-%d")
    blue_film_mm: Mm = left_out("0.005 mm")
    sine_bar_mm: Mm = left_out("100 mm")
    slip_sets: Texts = left_out(())
    rolls_mm: ManyMm = left_out(())
    temperature_difference_k: Kelvin = left_out("1 K")
    proving: SetAndProve = left_out({})
    rehearsal: KnownToBeOut = left_out({})


class BookletRecord(Keys):
    """Which tables a booklet for the toolroom's binder holds; `all` stands for everything of the shop."""

    id: Id
    title: Text
    units: Units = left_out("both")
    paper: PaperSize = left_out("A4")
    machines: References = left_out(("all",))
    parts: References = left_out(("all",))
    tapers: Texts = left_out(("all",))
    tables: Chapters = left_out(("all",))
