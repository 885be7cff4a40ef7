"""The pen: draws text, lines, hatching, arrows and dimensions on a page.

All lengths are millimetres, the origin is the top left corner of whatever the pen is drawing, x
runs to the right, y runs **down**. Text sizes are points, as printers count them. Line widths are
millimetres. Grey runs from 0 (black) to 1 (white).

`pen.at(x, y)` is the same pen with its origin moved: a panel draws at its own origin and knows
nothing of where it stands on the page.
"""

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import lru_cache

from cardgen.paper.press.document import MM, Surface
from cardgen.paper.press.typeface import PaperError, Weight, typeface, weight_of
from cardgen.paper.press.typesetting import (
    SLASH,
    SLASH_AIR,
    SMALLEST_PT,
    Runs,
    TextStyle,
    pieces_of,
    text_width,
    wrapped,
)

Point = tuple[float, float]
Box = tuple[float, float, float, float]
START, LINE_TO, CURVE_TO = "%.3f %.3f m", " %.3f %.3f l", " %.3f %.3f %.3f %.3f %.3f %.3f c"
RECTANGLE = "%.3f %.3f %.3f %.3f re"
PAINT = {(True, True): "B", (True, False): "S", (False, True): "f", (False, False): "n"}  # outline, ground
BACK = {"left": 0.0, "centre": 0.5, "right": 1.0}  # how much of a text's width it begins before its place
SOLID = "[] 0"  # no dashes


class Pen:
    """Draws on a page; see the module's text for the directions and units."""

    def __init__(self, surface: Surface, x: float = 0.0, y: float = 0.0) -> None:
        self.surface = surface
        self._x = x
        self._y = y

    def at(self, x: float, y: float) -> "Pen":
        """The same pen with its origin moved by (x, y) mm."""
        return Pen(self.surface, self._x + x, self._y + y)

    def _to(self, x: float, y: float) -> tuple[float, float]:
        return (self._x + x) * MM, (self.surface.height - self._y - y) * MM

    # ---- text -------------------------------------------------------------------------------

    def text(
        self, x: float, y: float, text: str | Runs, style: TextStyle, align: str = "left", turned: float = 0.0
    ) -> float:
        """One line of text with its baseline at y; returns its width in mm.

        `align` says which part of the text stands at x: 'left', 'centre' or 'right'. `turned` is in
        degrees, counter-clockwise, about (x, y). '7⁄32' (with the fraction slash U+2044) is set as a
        fraction. Raises PaperError for a size below 6.5 pt and MissingGlyphError for a character
        that the family lacks.
        """
        runs: Runs = ((text, False),) if isinstance(text, str) else text
        width = text_width(text, style)
        back = BACK[align] * width
        if turned:
            angle = math.radians(turned)
            cos, sin = math.cos(angle), math.sin(angle)
            px, py = self._to(x - back * cos, y + back * sin)
            self._show(f"{cos:.5f} {sin:.5f} {-sin:.5f} {cos:.5f} {px:.3f} {py:.3f} Tm", runs, style)
        else:
            self.runs(x - back, y, runs, style)
        return width

    def runs(self, x: float, y: float, runs: Runs, style: TextStyle) -> None:
        """One line of text from x on, its baseline at y; nobody asks how wide it is."""
        px, py = self._to(x, y)
        self._show(f"{px:.3f} {py:.3f} Td", runs, style)

    def _show(self, matrix: str, runs: Runs, style: TextStyle) -> None:
        if style.size < SMALLEST_PT:
            raise PaperError(f"text of {style.size:g} pt is too small to read: {runs!r}")
        self.surface.set_state("g", "1" if style.reversed else "0")
        body, subsets = _operators(runs, style.bold, style.size)
        self.surface.subsets.update(subsets)
        self.surface.operators.append(f"BT {matrix}{body} ET")

    def paragraph(self, x: float, y: float, width: float, text: str | Runs, style: TextStyle) -> float:
        """Wrapped text with the top of its first line at y; returns the height taken in mm."""
        lines = wrapped(text, style, width)
        down = y + style.baseline(style.line)
        for line in lines:
            self.runs(x, down, line, style)
            down += style.line
        return len(lines) * style.line

    # ---- lines and shapes ---------------------------------------------------------------------

    def line(
        self, x1: float, y1: float, x2: float, y2: float, width: float = 0.2, dash: Sequence[float] = ()
    ) -> None:
        """A straight line; `dash` is lengths of dash and gap in mm, in turn."""
        self.polyline(((x1, y1), (x2, y2)), width, dash)

    def polyline(self, points: Sequence[Point], width: float = 0.2, dash: Sequence[float] = ()) -> None:
        """An open line through the points."""
        self._stroke_state(width, dash)
        self.surface.write(f"{self._path(points)} S")

    def polygon(self, points: Sequence[Point], width: float, fill: float | None = None) -> None:
        """A closed outline `width` mm thick (0: no outline), filled with a grey (None: not filled)."""
        self._paint(f"{self._path(points)} h", width, fill, ())

    def rectangle(
        self,
        x: float,
        y: float,
        width: float,
        height: float,
        line: float = 0.2,
        fill: float | None = None,
        dash: Sequence[float] = (),
    ) -> None:
        """A rectangle with its top left corner at (x, y)."""
        self._paint(RECTANGLE % self._box(x, y, width, height), line, fill, dash)

    def blocks(self, boxes: Sequence[Box], fill: float) -> None:
        """Filled rectangles without outlines: x and y of the top left corner, width, height."""
        self.surface.set_state("g", f"{fill:g}")
        numbers = [each for box in boxes for each in self._box(*box)]
        self.surface.write("\n".join([f"{RECTANGLE} f"] * len(boxes)) % tuple(numbers))

    def _box(self, x: float, y: float, width: float, height: float) -> Box:
        return (
            (self._x + x) * MM,
            (self.surface.height - self._y - (y + height)) * MM,
            width * MM,
            height * MM,
        )

    def circle(
        self,
        x: float,
        y: float,
        radius: float,
        width: float,
        fill: float | None = None,
        dash: Sequence[float] = (),
    ) -> None:
        """A circle about (x, y)."""
        self._paint(self._curve(_arc_points(x, y, radius, 0.0, 360.0)) + " h", width, fill, dash)

    def arc(self, x: float, y: float, radius: float, start: float, end: float, width: float) -> None:
        """An arc about (x, y) from `start` to `end` degrees: 0 points right, 90 up."""
        self.curve(_arc_points(x, y, radius, start, end), width)

    def curve(self, points: Sequence[Point], width: float) -> None:
        """Bézier pieces: a start point, then three points a piece (two handles and the end)."""
        self._stroke_state(width, ())
        self.surface.write(self._curve(points) + " S")

    def _curve(self, points: Sequence[Point]) -> str:
        return (START + CURVE_TO * (len(points) // 3)) % self._numbers(points)

    def _path(self, points: Sequence[Point]) -> str:
        return (START + LINE_TO * (len(points) - 1)) % self._numbers(points)

    def _numbers(self, points: Sequence[Point]) -> tuple[float, ...]:
        """Where points stand on the page, x and y in turn (pt); written all in one, it costs half."""
        left, down = self._x, self.surface.height - self._y
        return tuple([each for x, y in points for each in ((left + x) * MM, (down - y) * MM)])

    def _paint(self, path: str, width: float, fill: float | None, dash: Sequence[float]) -> None:
        if width:
            self._stroke_state(width, dash)
        if fill is not None:
            self.surface.set_state("g", f"{fill:g}")
        self.surface.write(f"{path} {PAINT[bool(width), fill is not None]}")

    def _stroke_state(self, width: float, dash: Sequence[float]) -> None:
        self.surface.set_state("w", _points(width))
        self.surface.set_state("d", f"[{' '.join(map(_points, dash))}] 0" if dash else SOLID)

    # ---- drawing practice -----------------------------------------------------------------------

    def hatch(self, points: Sequence[Point], spacing: float, angle: float, width: float) -> None:
        """Section lines within a polygon: `spacing` mm apart, at `angle` degrees, exactly bounded by it."""
        turn = math.radians(angle)
        cos, sin = math.cos(turn), math.sin(turn)
        left = max(-self._x, min(x for x, _ in points))
        right = min(self.surface.width - self._x, max(x for x, _ in points))
        top = max(-self._y, min(y for _, y in points))
        bottom = min(self.surface.height - self._y, max(y for _, y in points))
        if right <= left or bottom <= top:
            return
        corners = [(x, y) for x in (left, right) for y in (top, bottom)]
        across = [x * sin + y * cos for x, y in corners]
        along = [x * cos - y * sin for x, y in corners]
        with self.clipped(points):
            self._stroke_state(width, ())
            low, high, last = min(along), max(along), max(across)
            near_x, near_y, far_x, far_y = low * cos, low * sin, high * cos, high * sin
            numbers, offset = list[float](), math.ceil(min(across) / spacing) * spacing
            edge, down = self._x, self.surface.height - self._y
            while offset < last:
                x, y = offset * sin, offset * cos
                numbers += ((edge + (near_x + x)) * MM, (down - (y - near_y)) * MM)
                numbers += ((edge + (far_x + x)) * MM, (down - (y - far_y)) * MM)
                offset += spacing
            lines = "\n".join([START + LINE_TO] * (len(numbers) // 4))
            self.surface.write(f"{lines % tuple(numbers)} S")

    @contextmanager
    def clipped(self, points: Sequence[Point]) -> Iterator[None]:
        """Whatever is drawn meanwhile shows only inside the polygon."""
        state = self.surface.save()
        self.surface.write(f"{self._path(points)} h W n")
        yield
        self.surface.restore(state)

    def arrow_head(self, x: float, y: float, degrees: float, length: float = 2.2) -> None:
        """A filled head with its point at (x, y), pointing along `degrees` (0 right, 90 up)."""
        angle = math.radians(degrees)
        half = length * 0.17
        back_x, back_y = x - length * math.cos(angle), y + length * math.sin(angle)
        side_x, side_y = half * math.sin(angle), half * math.cos(angle)
        self.polygon(
            ((x, y), (back_x + side_x, back_y + side_y), (back_x - side_x, back_y - side_y)), 0, fill=0
        )

    def arrow(
        self,
        x1: float,
        y1: float,
        x2: float,
        y2: float,
        width: float,
        head: float,
        both: bool = False,
    ) -> None:
        """A straight arrow from (x1, y1) to (x2, y2), with a head at the far end, or at both."""
        degrees = math.degrees(math.atan2(y1 - y2, x2 - x1))
        reach = math.hypot(x2 - x1, y2 - y1) or 1.0
        trim = min(0.8 * head, reach / 2)
        ux, uy = (x2 - x1) / reach * trim, (y2 - y1) / reach * trim
        self.line(x1 + (ux if both else 0), y1 + (uy if both else 0), x2 - ux, y2 - uy, width)
        self.arrow_head(x2, y2, degrees, head)
        if both:
            self.arrow_head(x1, y1, degrees + 180, head)


@lru_cache(maxsize=256)
def _points(length: float) -> str:
    """Millimetres as a page's operators want them."""
    return f"{length * MM:.3f}"


@lru_cache(maxsize=65536)
def _operators(runs: Runs, all_bold: bool, size: float) -> tuple[str, frozenset[tuple[Weight, int]]]:
    """The operators that set a line from where the pen stands, and the subsets they need."""
    parts: list[str] = []
    used: set[tuple[Weight, int]] = set()
    for text, bold in runs:
        weight = weight_of(bold or all_bold, size)
        face = typeface(weight)
        risen = False
        for piece, points, rise in pieces_of(text, size):
            if rise or risen:
                parts.append(f" {rise:.3f} Ts")
                risen = bool(rise)
            for subset, body in face.encode(piece):
                used.add((weight, subset))
                shown = (
                    f"[{-1000 * SLASH_AIR:g} ({body}) {-1000 * SLASH_AIR:g}] TJ"
                    if piece == SLASH
                    else f"({body}) Tj"
                )
                parts.append(f" /{face.resource_name(subset)} {points:g} Tf {shown}")
        if risen:
            parts.append(" 0 Ts")
    return "".join(parts), frozenset(used)


@lru_cache(maxsize=256)
def _arc_points(x: float, y: float, radius: float, start: float, end: float) -> tuple[Point, ...]:
    """Bézier points of an arc, a piece for each 45 degrees or less."""
    count = max(1, math.ceil(abs(end - start) / 45))
    step = math.radians(end - start) / count
    handle = 4 / 3 * math.tan(step / 4) * radius
    angle = math.radians(start)
    points = [(x + radius * math.cos(angle), y - radius * math.sin(angle))]
    for _ in range(count):
        here = points[-1]
        points.append((here[0] - handle * math.sin(angle), here[1] - handle * math.cos(angle)))
        angle += step
        there = (x + radius * math.cos(angle), y - radius * math.sin(angle))
        points.append((there[0] + handle * math.sin(angle), there[1] + handle * math.cos(angle)))
        points.append(there)
    return tuple(points)
