"""The toolroom: what holds for every part that does not say otherwise, and booklets for its binder."""

import re
from typing import Annotated, Any, Literal

from pydantic import PlainValidator

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
from cardgen.spec.models.keys import Keys, Written, key
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


Paper = Annotated[str, PlainValidator(read_paper), Written(f"one of: {', '.join(PAPERS)}", "paper")]
Chapters = Annotated[
    tuple[BookletTables | Literal["all"], ...],
    PlainValidator(read_chapters),
    Written("a list of chapters, or all", "texts"),
]
DateFormat = Annotated[
    str,
    PlainValidator(read_date_format),
    Written("%Y %y %m %d %B %b and what stands between", "date format"),
]


class SetAndProve(Keys):
    """What the shop has to set a swivel and to prove an angle with, and how little each shows.

    What is left out is not there: no way to set and no proof by it is offered.
    """

    test_bar: TestBar | None = key("a parallel test bar between centres", unstated="none")
    indicator_mm: Mm | None = key(
        "one division of the dial indicator", "0.001 mm", unstated="none", alias="indicator"
    )
    light_gauge_mm: Mm = key(
        "width of the narrowest light that is seen at a light gauge, on one side; from memory",
        "0.0015 mm",
        default="0.002 mm",
        alias="light_gauge",
    )
    rolls_mm: Mm | None = key(
        "how sure a size over two rolls is", "0.001 mm", unstated="not measured so", alias="rolls"
    )
    balls_mm: Mm | None = key(
        "how sure a diameter of a hole is, found by two balls",
        "0.001 mm",
        unstated="not measured so",
        alias="balls",
    )
    sine_bar_mm: Mm | None = key(
        "how sure the indicator's readings along a piece on the sine bar are",
        "0.001 mm",
        unstated="not measured so",
        alias="sine_bar",
    )


class KnownToBeOut(Keys):
    """How far shop and machine may be out, for ranking the ways to set and for batches that are rehearsed.

    Each unstated figure is an assumption, with no source but the trade's usual experience.
    """

    scale_rad: Radians = key(
        "how far a swivel's scale is out, as a half angle", "2 arcmin", default="4 arcmin", alias="scale"
    )
    pivot_mm: Mm = key(
        "how far the pivot stands from where the records say", "2 mm", default="3 mm", alias="pivot"
    )
    film: Factor = key("most that the blue's film differs from its figure, as a factor", "2", default="1.4")
    temperature_k: Kelvin = key(
        "standard deviation of work against gauge", "0.3 K", default="0.5 K", alias="temperature"
    )
    repeatability_mm: Mm = key(
        "standard deviation of the size from piece to piece on an unmoved stop",
        "0.0005 mm",
        default="0.0008 mm",
        alias="repeatability",
    )
    wear: Factor = key("most that wheel wear differs from its figure, as a factor", "2", default="1.4")


class ShopRecord(Keys):
    """The shop's record; a part may override any of it under its own key `shop`."""

    id: Id = key("names the shop's record in messages", "toolroom", default="shop")
    name: Text | None = key(
        "the shop's name, as its papers show it", "Riverside toolroom", unstated="no name"
    )
    units: Units = key("units of a part's paper where the part does not say", "both", default="metric")
    paper: Paper = key("size of the card", "half letter", default="A5")
    turn: Literal["long_edge", "short_edge"] = key(
        "how sheets of cards are turned over for their back side", "short_edge", default="long_edge"
    )
    table_rows: Count = key("most rows of the reading table on a card", "30", default="40")
    date_format: DateFormat = key("how dates are written", "%d.%m.%Y", default="%Y-%m-%d")
    blue_film_mm: Mm = key(
        "thickness of the blue as rubbed on; calibrate your own",
        "0.004 mm",
        default="0.005 mm",
        alias="blue_film",
    )
    sine_bar_mm: Mm = key(
        "length of the sine bar between its rollers",
        "200 mm",
        default="100 mm",
        unstated="100 mm; 5 in for a part in inches",
        alias="sine_bar",
    )
    slip_sets: Texts = key(
        "sets of slip gauges in the shop, out of which stacks are built",
        ("metric 88", "inch 81"),
        default=(),
        unstated="none, and no stack is built",
    )
    rolls_mm: ManyMm = key(
        "diameters of the measuring rolls in the shop",
        ("6 mm", "10 mm", "1/2 in"),
        default=(),
        unstated="none",
        alias="rolls",
    )
    temperature_difference_k: Kelvin = key(
        "how unlike in temperature work and gauge may be (standard uncertainty)",
        "2 K",
        default="1 K",
        alias="temperature_difference",
    )

    proving: SetAndProve = key("what the shop sets and proves an angle with", default={})
    rehearsal: KnownToBeOut = key("how far out shop and machine may be, where it is known", default={})


class BookletRecord(Keys):
    """Which tables a booklet for the toolroom's binder holds; `all` stands for everything of the shop."""

    id: Id = key("names the booklet and its file", "toolroom")
    title: Text = key("the title on its first page", "Taper tables for the toolroom")
    units: Units = key("units of its tables", "metric", default="both")
    paper: PaperSize = key("size of its pages", "letter", default="A4")
    machines: References = key("machines that it has swivel tables for", ("CG-1", "CG-2"), default=("all",))
    parts: References = key("parts that it has a page for", ("SN-204", "DS-3"), default=("all",))
    tapers: Texts = key(
        "tapers in its tables: standard tapers, whole series or trades' names for them, callouts, or all",
        ("Morse", "BT", "1:8"),
        default=("all",),
    )
    tables: Chapters = key(
        "its chapters; all stands for every one but copies of the cards, which must be named",
        ("stock", "swivel", "correction"),
        default=("all",),
    )
