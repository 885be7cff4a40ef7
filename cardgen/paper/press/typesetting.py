"""Setting text: styles, widths, fractions within a text, and where a paragraph breaks.

Sizes are points, widths and heights millimetres. A text is a string, or runs of (text, bold).
"""

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from cardgen.paper.press.document import MM
from cardgen.paper.press.typeface import CAP_HEIGHT, typeface, weight_of

SMALLEST_PT = 6.5  # nothing on any paper is set smaller
HAND_PT = 14.0  # the least size of a value that the hand acts on
FRACTION = re.compile(r"(\d+)⁄(\d+)|⌀")
SPACING = re.compile(r"^ |  |\n| $|^$")  # what does not stay as it is where words are set one by one
SLASH, SLASH_AIR = (
    "⁄",
    0.07,
)  # of the size, on each side of a fraction's slash: its ends lean over the figures
DIAMETER_SIGN = 1.32  # the font draws it as tall as an x; drawings want it as tall as a figure

Run = tuple[str, bool]  # a piece of text and whether it is bold
Runs = tuple[Run, ...]


class TextStyle(NamedTuple):
    """How a text is set: size in points, weight, distance of lines as a multiple of the size."""

    size: float
    bold: bool = False
    leading: float = 1.22
    reversed: bool = False  # white, for text on a black ground

    @property
    def line(self) -> float:
        """Distance from line to line in mm."""
        return self.size * self.leading / MM

    @property
    def cap(self) -> float:
        """Height of capitals and figures in mm."""
        return self.size * CAP_HEIGHT / MM

    def baseline(self, height: float) -> float:
        """How far below the top of a box of this height the baseline lies, figures centred in it (mm)."""
        return (height + self.cap) / 2

    @lru_cache(maxsize=256)  # noqa: B019  a style is a plain value
    def bolder(self) -> "TextStyle":
        """The same style in the bold weight."""
        return TextStyle(self.size, True, self.leading, self.reversed)

    @lru_cache(maxsize=256)  # noqa: B019
    def sized(self, size: float) -> "TextStyle":
        """The same style in so many points."""
        return TextStyle(size, self.bold, self.leading, self.reversed)


@lru_cache(maxsize=16384)
def text_width(text: str | Runs, style: TextStyle) -> float:
    """Width in mm of a text set on one line; common fractions (7⁄32) are set as fractions."""
    if isinstance(text, str):
        return _width(text, style.bold, style.size) / MM
    return sum([_width(piece, bold or style.bold, style.size) for piece, bold in text]) / MM


def _width(text: str, bold: bool, size: float) -> float:
    """Width in points."""
    face = typeface(weight_of(bold, size))
    if "⁄" not in text and "⌀" not in text:
        return face.width(text) * size
    pieces = pieces_of(text, size)
    air = 2 * SLASH_AIR * sum(points for piece, points, _ in pieces if piece == SLASH)
    return air + sum(face.width(piece) * points for piece, points, _ in pieces)


@lru_cache(maxsize=16384)
def pieces_of(text: str, size: float) -> tuple[tuple[str, float, float], ...]:
    """A text cut at its fractions: (text, size, rise) in points; numerators raised, denominators lowered."""
    if "⁄" not in text and "⌀" not in text:
        return ((text, size, 0.0),)
    # A value the hand acts on keeps figures of that size in its fractions too.
    small = max(HAND_PT if size >= HAND_PT else SMALLEST_PT, 0.72 * size)
    slack = CAP_HEIGHT * (size - small)
    rise, drop = (slack + 0.07 * size, 0.0) if slack > 0.1 * size else (slack + 0.15 * size, -0.1 * size)
    pieces: list[tuple[str, float, float]] = []
    end = 0
    for found in FRACTION.finditer(text):
        if found.start() > end:
            pieces.append((text[end : found.start()], size, 0.0))
        end = found.end()
        if found[0] == "⌀":
            pieces.append(("⌀", DIAMETER_SIGN * size, 0.0))
            continue
        pieces.append((found[1], small, rise))
        pieces.append((SLASH, size, 0.0))
        pieces.append((found[2], small, drop))
    if end < len(text):
        pieces.append((text[end:], size, 0.0))
    return tuple(pieces)


@lru_cache(maxsize=16384)
def wrapped(text: str | Runs, style: TextStyle, width: float) -> tuple[Runs, ...]:
    """The lines of a paragraph `width` mm wide. A word too long for a line is broken; nothing is lost."""
    runs: Runs = ((text, False),) if isinstance(text, str) else text
    if len(runs) == 1 and SPACING.search(runs[0][0]) is None and text_width(runs, style) <= width:
        return (runs,)
    space = {bold: _width(" ", bold or style.bold, style.size) / MM for bold in (False, True)}
    lines: list[Runs] = []
    line: list[Run] = []
    used = 0.0
    for word in _words(runs):
        reach = text_width(word, style)
        gap = space[word[0][1]] if line else 0.0
        if line and used + gap + reach > width + 1e-6:
            lines.append(_joined(line))
            line, used, gap = [], 0.0, 0.0
        if gap:
            line.append((" ", word[0][1]))
        line += word
        used += gap + reach
        while line and used > width + 1e-6:
            head, line = _cut(line, style, width)
            lines.append(_joined(head))
            used = text_width(tuple(line), style)
    if line or not lines:
        lines.append(_joined(line))
    return tuple(lines)


def _words(runs: Runs) -> Iterator[Runs]:
    """Each word as runs: 'a<b>b</b>, c' is two words, the first of three runs."""
    word: list[Run] = []
    for text, bold in runs:
        first, *others = text.replace("\n", " ").split(" ")
        if first:
            word.append((first, bold))
        for other in others:
            if word:
                yield tuple(word)
            word = [(other, bold)] if other else []
    if word:
        yield tuple(word)


def _cut(line: list[Run], style: TextStyle, width: float) -> tuple[list[Run], list[Run]]:
    """A line that is too long, cut behind the last character that fits; at least one is taken."""
    head: list[Run] = []
    room = width
    for number, (text, bold) in enumerate(line):
        count = _fitting(text, bold or style.bold, style.size, room)
        if count < len(text):
            count = max(count, 0 if head else 1)
            head.append((text[:count], bold))
            rest = [(text[count:], bold)] if count < len(text) else []
            return head, [*rest, *line[number + 1 :]]
        head.append((text, bold))
        room -= _width(text, bold or style.bold, style.size) / MM
    return head, []


def _fitting(text: str, bold: bool, size: float, room: float) -> int:
    """How many characters fit into `room` mm."""
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if _width(text[:middle], bold, size) / MM <= room + 1e-6:
            low = middle
        else:
            high = middle - 1
    return low


def _joined(runs: Sequence[Run]) -> Runs:
    """Neighbours of one weight become one run, so that text read back stays whole."""
    joined: list[Run] = []
    for text, bold in runs:
        if not text:
            continue
        if joined and joined[-1][1] == bold:
            joined[-1] = (joined[-1][0] + text, bold)
        else:
            joined.append((text, bold))
    return tuple(joined)


def paragraph_height(text: str | Runs, style: TextStyle, width: float) -> float:
    """Height in mm that `Pen.paragraph` takes."""
    return len(wrapped(text, style, width)) * style.line
