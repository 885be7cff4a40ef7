"""A PDF document: pages of drawing operators become one file, the same bytes for the same pages."""

from dataclasses import dataclass, field

from cardgen.paper.press.from_reportlab import PdfFile
from cardgen.paper.press.typeface import packed_stream, typeface
from cardgen.terms import INCH

MM = 72 / INCH  # points in a millimetre: our own, for a true A4 and true scales


@dataclass
class Surface:
    """One page while it is drawn: its size in mm, its operators, the font subsets it uses."""

    width: float
    height: float
    operators: list[str] = field(default_factory=list)
    subsets: set[tuple[bool, int]] = field(default_factory=set)
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


def pdf_bytes(surfaces: list[Surface], title: str, subject: str, keywords: str = "") -> bytes:
    """The finished file. No date goes in, so the same pages give the same bytes."""
    document = PdfFile(title, subject, keywords)
    for surface in surfaces:
        contents = packed_stream("\n".join(surface.operators).encode("latin-1"))
        document.add_page(surface.width * MM, surface.height * MM, contents)
    for bold, subset in sorted(set().union(*(surface.subsets for surface in surfaces))):
        typeface(bold).embed(document, subset)
    return document.finished()
