"""A booklet of tables for the toolroom's binder."""

from typing import Literal

from pydantic import Field

from cardgen.spec.models.fields import Id, Keys, References, Text, Texts
from cardgen.spec.models.shop import Units


class Booklet(Keys):
    """Which tables the booklet holds; `all` stands alone for everything of the shop."""

    id: Id = Field(description="names it for references")
    title: Text = Field(description="on its first page")
    units: Units = Field("both", description="units of its tables")
    paper: Literal["A4", "letter"] = Field("A4", description="size of its pages")
    machines: References = Field(("all",), description="ids of machines, or all")
    parts: References = Field(("all",), description="ids of parts, or all")
    tapers: Texts = Field(("all",), description="names of standard tapers or series, callouts, or all")
