"""Slip gauges as a card tells them: a stack for a height, and what goes under the rolls of a sine bar."""

from dataclasses import dataclass

from cardgen.terms import System


@dataclass(frozen=True)
class SlipStack:
    set_name: str
    unit: System  # of the set: what its pieces are engraved in
    height_mm: float
    pieces_mm: tuple[float, ...]
    pieces_text: tuple[str, ...]
    left_over_mm: float
    source: str


@dataclass(frozen=True)
class SineStack:
    """Slip gauges under a sine bar or sine centres; under both rolls where one stack would miss."""

    set_name: str
    unit: System
    pieces_mm: tuple[float, ...]
    pieces_text: tuple[str, ...]
    other_pieces_mm: tuple[float, ...]  # under the other roll; none where it stands on the plate
    other_pieces_text: tuple[str, ...]
    height_mm: float  # how much higher the one roll stands than the other
    left_over_arcsec: float  # angle wanted less the angle that the bar stands at
    source: str
