"""A panel's heading whose note moves to a line of its own where the two do not fit side by side."""

from cardgen.paper.page import Looks, draw_heading, heading_height
from cardgen.paper.pen import Pen, paragraph_height, text_width

AIR = 3.0  # mm, the least between heading and note


def headed_height(title: str, note: str, width: float, looks: Looks) -> float:
    """Height in mm that `draw_headed` takes."""
    own_line = 0.0 if _beside(title, note, width, looks) else paragraph_height(note, looks.small, width)
    return heading_height(looks) + own_line


def draw_headed(pen: Pen, title: str, note: str, width: float, looks: Looks) -> float:
    """Draw heading and note; returns the height taken in mm."""
    if _beside(title, note, width, looks):
        return draw_heading(pen, title, width, looks, note)
    y = draw_heading(pen, title, width, looks)
    return y + pen.paragraph(0, y, width, note, looks.small)


def _beside(title: str, note: str, width: float, looks: Looks) -> bool:
    return text_width(title, looks.heading) + AIR + text_width(note, looks.small) <= width
