"""The toolroom: what holds for every part that does not say otherwise, and booklets for its binder."""

import re
from typing import Annotated, Literal

from pydantic import Field, PlainValidator, WithJsonSchema

from cardgen.spec.complaint import Refusal, did_you_mean, shown
from cardgen.spec.models.fields import Count, Id, Kelvin, Keys, ManyMm, Mm, References, Text, Texts, read_text
from cardgen.spec.number import tidy
from cardgen.terms import PaperSize, Units

PAPERS = ("A6", "A5", "A4", "half letter", "letter", "5x8 in")


def read_paper(text: str) -> str:
    """A size of paper; '5 × 8 in' and '5x8 in' are one."""
    name = re.sub(r"\s*[x×]\s*", "x", tidy(read_text(text)))
    for paper in PAPERS:
        if name.casefold() == paper.casefold():
            return paper
    raise Refusal(f"{shown(text)} is not a paper that is known", did_you_mean(name, PAPERS))


def read_date_format(text: str) -> str:
    """How dates are written: %Y %y %m %d %B %b and what stands between them."""
    form = read_text(text)
    marks = re.findall(r"%(.?)", form)
    if not marks or not set(marks) <= set("YymdBb"):
        raise Refusal(f"{shown(form)} is not a form of date", "write it of %Y %y %m %d %B %b: %Y-%m-%d")
    return form


Paper = Annotated[str, PlainValidator(read_paper), WithJsonSchema({"type": "string", "enum": list(PAPERS)})]
DateFormat = Annotated[str, PlainValidator(read_date_format), WithJsonSchema({"type": "string"})]


class ShopRecord(Keys):
    """The shop's record; a part may override any of it under its own key `shop`."""

    id: Id = Field("shop", description="names the shop's record")
    name: Text | None = Field(None, description="the shop's name on the card")
    units: Units = Field("metric", description="units of a part that does not state its own")
    paper: Paper = Field("A5", description="size of the card")
    turn: Literal["long_edge", "short_edge"] = Field("long_edge", description="how sheets are turned over")
    table_rows: Count = Field(40, description="most rows of a table on the card")
    date_format: DateFormat = Field("%Y-%m-%d", description="how dates are written")
    blue_film_mm: Mm = Field(0.005, alias="blue_film", description="thickness of the blue as rubbed on")
    sine_bar_mm: Mm = Field(
        100.0, alias="sine_bar", description="length of the sine bar (5 in for inch parts)"
    )
    slip_sets: Texts = Field((), description="sets of slip gauges in the shop")
    rolls_mm: ManyMm = Field((), alias="rolls", description="diameters of measuring rolls in the shop")
    temperature_difference_k: Kelvin = Field(
        1.0, alias="temperature_difference", description="standard uncertainty of work less gauge temperature"
    )


class BookletRecord(Keys):
    """Which tables the booklet holds; `all` stands alone for everything of the shop."""

    id: Id = Field(description="names it for references")
    title: Text = Field(description="on its first page")
    units: Units = Field("both", description="units of its tables")
    paper: PaperSize = Field("A4", description="size of its pages")
    machines: References = Field(("all",), description="ids of machines, or all")
    parts: References = Field(("all",), description="ids of parts, or all")
    tapers: Texts = Field(("all",), description="names of standard tapers or series, callouts, or all")
