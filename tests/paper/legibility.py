"""Reads a PDF back and says what a person with wet hands in bad light could not read.

One checker for every paper: cards, sheets, booklet, notices. All lengths are mm from the page's top
left corner, sizes are points.
"""

import ctypes
import itertools
from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from math import inf

import pypdfium2
import pypdfium2.raw as pdfium

MM = 72 / 25.4
POUCH_EDGE = 5.0
LEAST_PT = 6.5
LEAST_CONTRAST = 7.0
LEAST_ROW = 4.0
HIGHEST_ROW = 12.0  # what is taller is no row of a table
HIDDEN = {"\x00", "\ufffd", "\u25a1"}  # what a missing glyph reads back as


@dataclass(frozen=True)
class Word:
    """A piece of text set in one go, with the box its ink needs."""

    text: str
    size: float
    left: float
    top: float
    right: float
    bottom: float
    grey: int

    @property
    def place(self) -> str:
        return f"{self.text!r} at {self.left:.1f}, {self.top:.1f}"


@dataclass(frozen=True)
class Rule:
    """A straight horizontal line."""

    left: float
    right: float
    y: float
    order: int = 0  # in which the page paints it


@dataclass(frozen=True)
class Cover:
    """A white area that hides what was painted before it."""

    left: float
    top: float
    right: float
    bottom: float
    order: int

    def hides(self, rule: Rule, word: Word) -> bool:
        """Whether it parts a word from a rule below it."""
        centre = (word.left + word.right) / 2
        return self.order > rule.order and self.left < centre < self.right and self.top < rule.y < self.bottom


@dataclass(frozen=True)
class Side:
    """One page: its size, its words, its horizontal rules and its white covers."""

    number: int
    width: float
    height: float
    words: tuple[Word, ...]
    rules: tuple[Rule, ...]
    covers: tuple[Cover, ...]


@lru_cache(maxsize=4)
def _pages(pdf: bytes) -> tuple[pypdfium2.PdfPage, ...]:
    """The pages of a PDF, read in once for their words and for their picture."""
    document = pypdfium2.PdfDocument(pdf)
    return tuple(document[number] for number in range(len(document)))


@lru_cache(maxsize=256)
def sides(pdf: bytes) -> tuple[Side, ...]:
    """Every page of a PDF."""
    return tuple(_side(page, number) for number, page in enumerate(_pages(pdf), 1))


def _side(page: pypdfium2.PdfPage, number: int) -> Side:
    width, height = page.get_size()
    text_page = page.get_textpage()
    words, rules, covers = [], [], []
    for order, found in enumerate(page.get_objects(max_depth=4)):
        if found.type == pdfium.FPDF_PAGEOBJ_TEXT:
            word = _word(found, text_page, height)
            if word.text.strip():
                words.append(word)
        elif found.type == pdfium.FPDF_PAGEOBJ_PATH:
            left, bottom, right, top = found.get_bounds()
            thin = top - bottom < 2.0 and pdfium.FPDFPath_CountSegments(found.raw) == 2
            if thin and right - left > 10:
                rules.append(Rule(left / MM, right / MM, (height - (top + bottom) / 2) / MM, order))
            elif _white(found):
                covers.append(
                    Cover(left / MM, (height - top) / MM, right / MM, (height - bottom) / MM, order)
                )
    return Side(number, width / MM, height / MM, tuple(words), tuple(rules), tuple(covers))


def _white(found: pypdfium2.PdfObject) -> bool:
    mode, stroke = ctypes.c_int(), ctypes.c_int()
    pdfium.FPDFPath_GetDrawMode(found.raw, mode, stroke)
    return mode.value != 0 and _grey(found) > 250


def _grey(found: pypdfium2.PdfObject) -> int:
    red, green, blue, opaque = (ctypes.c_uint() for _ in range(4))
    pdfium.FPDFPageObj_GetFillColor(found.raw, red, green, blue, opaque)
    return max(red.value, green.value, blue.value)


LONGEST = 4096  # bytes of UTF-16 in one piece of text, with a closing nought
LETTERS = (ctypes.c_ushort * (LONGEST // 2))()  # written over by each piece that is read


def _word(found: pypdfium2.PdfObject, text_page: pypdfium2.PdfTextPage, height: float) -> Word:
    length = pdfium.FPDFTextObj_GetText(found.raw, text_page.raw, LETTERS, LONGEST)
    assert length <= LONGEST
    text = ctypes.string_at(LETTERS, max(0, length - 2)).decode("utf-16-le").strip(" \r\n")
    size = ctypes.c_float()
    pdfium.FPDFTextObj_GetFontSize(found.raw, size)
    matrix = found.get_matrix()
    scale = (matrix.b**2 + matrix.d**2) ** 0.5
    left, bottom, right, top = found.get_bounds()
    return Word(
        text,
        size.value * scale,
        left / MM,
        (height - top) / MM,
        right / MM,
        (height - bottom) / MM,
        _grey(found),
    )


def complaints(pdf: bytes, margin: float = POUCH_EDGE) -> list[str]:
    """Everything that is hard to read, as sentences; empty for a legible paper."""
    found: list[str] = []
    for side in sides(pdf):
        for each in itertools.chain(
            too_small(side),
            outside(side, margin),
            unset(side),
            overlapping(side),
            struck(side),
            low_rows(side),
        ):
            found.append(f"side {side.number}: {each}")
    found += faint(pdf)
    return found


def too_small(side: Side, least: float = LEAST_PT) -> Iterator[str]:
    """Texts below the smallest size."""
    for word in side.words:
        if word.size < least - 0.01:
            yield f"{word.place} is set in {word.size:.2f} pt"


def outside(side: Side, margin: float) -> Iterator[str]:
    """Texts that reach into the edge of the paper."""
    for word in side.words:
        if (
            word.left < margin
            or word.top < margin
            or word.right > side.width - margin
            or word.bottom > side.height - margin
        ):
            yield f"{word.place} reaches into the margin of {margin:g} mm"


def unset(side: Side) -> Iterator[str]:
    """Texts with a character that has no glyph."""
    for word in side.words:
        if HIDDEN & set(word.text):
            yield f"{word.place} has a character without a glyph"


def overlapping(side: Side, tolerance: float = 0.12) -> Iterator[str]:
    """Pairs of texts whose ink boxes meet; the parts of one fraction may nest."""
    words = sorted(side.words, key=lambda word: word.top)
    for number, word in enumerate(words, 1):
        low, left, right = word.bottom - tolerance, word.left + tolerance, word.right - tolerance
        for other in itertools.islice(words, number, None):
            if other.top >= low:
                break
            if other.left >= right or other.right <= left:
                continue
            down = min(word.bottom, other.bottom) - other.top
            across = min(word.right, other.right) - max(word.left, other.left)
            if down <= tolerance or across <= tolerance:
                continue
            first, second = sorted((word, other), key=lambda each: each.left)
            if "⁄" not in word.text + other.text and not _one_fraction(first, second, side):
                yield f"{first.place} and {second.place} overlap by {across:.2f} × {down:.2f} mm"


def struck(side: Side) -> Iterator[str]:
    """Texts that a rule runs through."""
    rules = sorted(side.rules, key=lambda rule: rule.y)
    heights = [rule.y for rule in rules]
    for word in side.words:
        above, below = bisect_right(heights, word.top + 0.15), bisect_left(heights, word.bottom - 0.15)
        for rule in rules[above:below]:
            across = rule.left < word.right - 0.2 and rule.right > word.left + 0.2
            if across and not any(cover.hides(rule, word) for cover in side.covers):
                yield f"{word.place} is struck through by a rule"


def _one_fraction(word: Word, other: Word, side: Side) -> bool:
    """Whether two figures stand left and right of one fraction's slash."""
    if not (word.text[-1:].isdigit() and other.text[:1].isdigit()):
        return False
    return any(
        slash.text == "⁄" and slash.left < word.right + 1 and other.left < slash.right + 1
        for slash in side.words
        if abs(slash.top - word.top) < 3
    )


def low_rows(side: Side, least: float = LEAST_ROW) -> Iterator[str]:
    """Rows of tables that are lower than a row may be: rules of one width with text between them."""
    for upper, lower in _rows(side):
        if lower.y - upper.y < least - 0.02:
            yield f"a table row at {upper.left:.1f}, {upper.y:.1f} is only {lower.y - upper.y:.2f} mm high"


def table_words(side: Side) -> Iterator[Word]:
    """The texts that stand in rows of tables."""
    for upper, lower in _rows(side):
        yield from _between(side, upper, lower)


def _rows(side: Side) -> Iterator[tuple[Rule, Rule]]:
    by_width: dict[tuple[float, float], list[Rule]] = {}
    for rule in side.rules:
        by_width.setdefault((round(rule.left, 1), round(rule.right, 1)), []).append(rule)
    for rules in by_width.values():
        rules.sort(key=lambda rule: rule.y)
        rows = [
            (upper, lower)
            for upper, lower in itertools.pairwise(rules)
            if lower.y - upper.y < HIGHEST_ROW and len(_between(side, upper, lower)) > 1
        ]
        if len(rows) > 1:  # a picture may have two lines with words between, a table has rows
            yield from rows


def _between(side: Side, upper: Rule, lower: Rule) -> list[Word]:
    return [
        word
        for word in side.words
        if word.left > upper.left - 0.5
        and word.right < upper.right + 0.5
        and word.top > upper.y - 0.1
        and word.bottom < lower.y + 0.1
    ]


def faint(pdf: bytes, least: float = LEAST_CONTRAST) -> list[str]:
    """Texts whose ink and ground, as printed in grey, are too alike."""
    found = []
    for page, side in zip(_pages(pdf), sides(pdf), strict=True):
        picture = page.render(scale=2, grayscale=True).to_pil()
        per_mm = picture.width / side.width
        for word in side.words:
            box = (
                int(word.left * per_mm),
                int(word.top * per_mm),
                int(word.right * per_mm) + 1,
                int(word.bottom * per_mm) + 1,
            )
            low, high = picture.crop(box).getextrema()
            if contrast(low, high) < least:
                found.append(f"side {side.number}: {word.place} has a contrast of {contrast(low, high):.1f}")
    return found


def contrast(low: int, high: int) -> float:
    """Contrast of two greys of 0 … 255 (WCAG 2: relative luminances)."""
    return (_luminance(high) + 0.05) / (_luminance(low) + 0.05)


def _luminance(grey: int) -> float:
    share = grey / 255
    return share / 12.92 if share <= 0.04045 else float(((share + 0.055) / 1.055) ** 2.4)


def largest_size_of(pdf: bytes, text: str) -> float:
    """The largest size in which a text is set, in pt; 0 where it is not found.

    A text with a fraction or of two weights comes in pieces; pieces that stand in a row count as one
    text, whose size is that of its smallest piece (a fraction slash aside).
    """
    wanted = _bare(text)
    best = 0.0
    for words in _bare_words(pdf):
        for start, (first, _) in enumerate(words):
            if not wanted.startswith(first):
                continue
            joined, size = "", inf
            for piece, set_in in words[start : start + 6]:
                joined, size = joined + piece, min(size, set_in)
                if joined == wanted:
                    best = max(best, size)
                if not wanted.startswith(joined):
                    break
    return best


@lru_cache(maxsize=256)
def _bare_words(pdf: bytes) -> tuple[tuple[tuple[str, float], ...], ...]:
    """Each side's pieces of text without blanks, with their sizes; a fraction's slash may have any."""
    return tuple(
        tuple((_bare(word.text), inf if word.text == "⁄" else word.size) for word in side.words)
        for side in sides(pdf)
    )


def _bare(text: str) -> str:
    return "".join(text.replace("⁄", "/").split())


def text_of(pdf: bytes) -> str:
    """All text of all pages, in the order it was set, pieces parted by spaces."""
    return " ".join(word.text for side in sides(pdf) for word in side.words)
