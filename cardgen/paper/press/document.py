"""A PDF document: pages of drawing operators become one file, the same bytes for the same pages."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from cardgen.paper.press.from_reportlab import PdfFile
from cardgen.paper.press.typeface import Weight, packed_stream, typeface
from cardgen.terms import INCH

BY_US = {"Creator": "cardgen", "Author": "cardgen"}
NOTHING: Mapping[str, Any] = MappingProxyType({})
MM = 72 / INCH  # points in a millimetre: our own, for a true A4 and true scales


@dataclass
class Surface:
    """One page while it is drawn: its size in mm, its operators, the font subsets it uses."""

    width: float
    height: float
    operators: list[str] = field(default_factory=list)
    subsets: set[tuple[Weight, int]] = field(default_factory=set)
    state: dict[str, str] = field(default_factory=dict)

    def write(self, operators: str) -> None:
        self.operators.append(operators)

    def set_state(self, operator: str, value: str) -> None:
        """Line width, dash, grey: written only when it changes."""
        if self.state.get(operator) != value:
            self.state[operator] = value
            self.operators.append(f"{value} {operator}")

    def save(self) -> dict[str, str]:
        self.operators.append("q")
        return dict(self.state)

    def restore(self, state: dict[str, str]) -> None:
        self.operators.append("Q")
        self.state = state


@dataclass(frozen=True)
class Drawing:
    """A paper that is drawn, not yet a file: who keeps it says what else the file is to carry."""

    surfaces: tuple[Surface, ...]
    title: str
    subject: str
    keywords: str = ""

    def pdf(
        self, properties: Mapping[str, str] = NOTHING, attachments: Mapping[str, bytes] = NOTHING
    ) -> bytes:
        """The finished file, with further properties and attachments. No date goes in, so the same drawing
        gives the same bytes.
        """
        told = {"Title": self.title, "Subject": self.subject, "Keywords": self.keywords, **BY_US}
        document = PdfFile({**told, **properties})
        for surface in self.surfaces:
            contents = packed_stream("\n".join(surface.operators).encode("latin-1"))
            document.add_page(surface.width * MM, surface.height * MM, contents)
        for weight, subset in sorted(set().union(*(surface.subsets for surface in self.surfaces))):
            typeface(weight).embed(document, subset)
        if attachments:
            packed = {name: packed_stream(data, "/Type /EmbeddedFile ") for name, data in attachments.items()}
            document.attach(packed)
        return document.finished()


def pdf_bytes(surfaces: list[Surface], title: str, subject: str, keywords: str = "") -> bytes:
    """The finished file of a paper that carries nothing besides its pages."""
    return Drawing(tuple(surfaces), title, subject, keywords).pdf()
