"""What the drawing says: notes at their leaders, the finish reading and its limits."""

from dataclasses import dataclass

from cardgen.card.values import Card, Taper
from cardgen.digits import NBSP
from cardgen.paper.pictures.section import Point, Section
from cardgen.paper.press.page import Looks
from cardgen.paper.press.typesetting import TextStyle, text_width
from cardgen.paper.words.figures import Figures

NOTE_AIR = 3.0  # mm between two notes below the view


@dataclass(frozen=True)
class Note:
    """A text below the view and the place it belongs to (true mm of the part)."""

    place: Point
    lines: tuple[str, ...]
    symbol: bool = False  # the taper symbol stands before the first line

    def width(self, looks: Looks) -> float:
        return max(
            text_width(line, note_style(looks, number))
            + (symbol_width(looks) if self.symbol and not number else 0.0)
            for number, line in enumerate(self.lines)
        )


def note_style(looks: Looks, line: int) -> TextStyle:
    """The first line of a note is bold."""
    return looks.label if line else looks.label.bolder()


def symbol_width(looks: Looks) -> float:
    """Width of the taper symbol with the air after it, mm."""
    return 2.2 * looks.label.cap + 1.0


def notes(card: Card, cut: Section, width: float, looks: Looks) -> tuple[tuple[Note, ...], tuple[str, ...]]:
    """The notes that fit side by side below the view, and the rest as sentences for the caption."""
    figures, taper = looks.figures, card.taper
    word = looks.words.label
    large, small = cut.ends
    place = small + 0.12 * (large - small)
    radius = cut.end_radii[1] + 0.12 * (cut.end_radii[0] - cut.end_radii[1])
    wanted = [
        Note(
            (cut.gauge_line.x, cut.gauge_line.radius),
            _gauge_line(card.taper, figures, width),
        ),
        Note(
            (place, radius),
            (figures.ratio(taper.ratio_1_to),),
            symbol=True,
        ),
    ]
    if cut.plane is not None:
        words = (f"{word('pictures', 'plane')}",)
        wanted.append(Note((cut.plane, cut.faces[0].radius), words))
    elif taper.relief_mm > 0:
        lines = (f"{word('pictures', 'relief')} {figures.length(taper.relief_mm)}",)
        wanted.append(Note((taper.relief_mm / 2, 0.97 * cut.end_radii[0]), lines))
    used = -NOTE_AIR
    placed: list[Note] = []
    said: list[str] = []
    for note in wanted:
        reach = note.width(looks) + NOTE_AIR
        if used + reach <= width:
            used += reach
            placed.append(note)
        else:
            said.append(f"{', '.join(note.lines)}.")
    return tuple(placed), tuple(said)


def _gauge_line(taper: Taper, figures: Figures, width: float) -> tuple[str, ...]:
    """⌀ with its tolerance, a line for each system of units; the leading one alone in a narrow column."""
    basic, low, high = taper.gauge_line_diameter_mm, taper.gauge_line_low_mm, taper.gauge_line_high_mm
    return tuple(
        f"⌀{figures.size_within(basic, low, high, system)}{NBSP}{system}" for system in figures.systems
    )


def finish_text(card: Card, looks: Looks) -> str:
    """The finish reading as its tool shows it."""
    finish = next(stage.reading_text for stage in card.stages if stage.name == "finish")
    return looks.figures.reading(finish)
