"""The type family: the fonts' files become widths, encoded strings and ready-made PDF font objects.

IBM Plex Sans Condensed carries words and figures; a character that it lacks (⌀, ⚠, arrows, Armenian,
Georgian) comes from DejaVu Sans Condensed. Every character has its fixed place in a fixed subset of one
font, the same in every document. So a subset is cut and compressed once a process, a string is encoded
once, and the bytes of a card never depend on which card was made before it.
"""

import unicodedata
import zlib
from collections.abc import Mapping, Set
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import Literal

from cardgen.paper.paper_error import PaperError as PaperError
from cardgen.paper.press.from_reportlab import FontFile, PdfFile, unicode_map

Weight = Literal["medium", "semi-bold", "bold"]
FONTS = Path(__file__).parent / "fonts"
# Each weight's own file, and the one for characters that it lacks.
FILES: Mapping[Weight, tuple[str, str]] = {
    "medium": ("IBMPlexSansCondensed-Medium.ttf", "DejaVuSansCondensed-Bold.ttf"),
    "semi-bold": ("IBMPlexSansCondensed-SemiBold.ttf", "DejaVuSansCondensed-Bold.ttf"),
    "bold": ("IBMPlexSansCondensed-Bold.ttf", "DejaVuSansCondensed-Bold.ttf"),
}
LEFT_TO_THE_OTHER = {ord("⁄")}  # made for its own font's small figures: it would run into ours
SMALL_PT = 9.5  # below it the medium weight loses its decimal points to the office copier

CAP_HEIGHT = 0.698  # of the size; figures are as tall as capitals

# Signs that come on nearly every card share the first subset with ASCII and Latin-1. The rest of the
# repertoire follows script by script, each subset with ASCII of its own, so that a Greek name with its
# spaces and figures is one piece. Scripts whose letters join or turn are left out: the font has
# their shapes, but setting them one by one would be wrong.
MARKS = "\u00a0°′″±⌀×÷≤≥→←↑↓↔−–—⁄⚠·…≈√∅∞‘’“”•■□▲▼▶◀✓✗☐"
SCRIPTS = (
    (0x0100, 0x019F),  # Latin
    (0x01A0, 0x02AF),
    (0x0370, 0x03FF),  # Greek
    (0x0400, 0x0481),  # Cyrillic
    (0x048A, 0x052F),
    (0x0531, 0x058F),  # Armenian
    (0x10A0, 0x10FF),  # Georgian
    (0x1E00, 0x1EFF),  # Latin and Greek, extended
    (0x1F00, 0x1FFF),
    (0x2010, 0x22FF),  # punctuation, signs, arrows, mathematics
    (0x2300, 0x27BF),
)
ASCII = range(0x20, 0x7F)
OTHERS = 160  # characters of a later subset beside its ASCII


class MissingGlyphError(PaperError):
    """A text has a character that the type family cannot set."""

    def __init__(self, character: str, text: str) -> None:
        name = unicodedata.name(character, "a control character")
        super().__init__(
            f"the card's font cannot set {character!r} (U+{ord(character):04X}, {name}) in {text[:60]!r}; "
            "write it in Latin, Greek, Cyrillic, Armenian or Georgian letters"
        )


def packed_stream(data: bytes, entries: str = "") -> bytes:
    """A compressed stream with further dictionary `entries`, as it stands in a file."""
    packed = zlib.compress(data, 6)
    head = f"<< /Filter /FlateDecode /Length {len(packed)} {entries}>>\nstream\n".encode("latin-1")
    return head + packed + b"\nendstream"


@dataclass(frozen=True)
class Subset:
    """At most 256 characters of a font, with everything a document needs to embed them."""

    base_name: str
    widths: str
    font_file: bytes
    to_unicode: bytes
    descriptor: str


class Typeface:
    """One weight of the family: measures, encodes, embeds."""

    def __init__(self, weight: Weight) -> None:
        self._weight = weight
        self._files = tuple(map(_font_file, FILES[weight]))
        self._subsets: list[tuple[FontFile, list[int]]] = []
        self._places: dict[int, tuple[int, int]] = {}  # of each character: subset and code
        for number, file in enumerate(self._files):
            self._place(file, own=number == 0)
        self._widths = {
            chr(code): self._subsets[subset][0].width(code) / 1000
            for code, (subset, _) in self._places.items()
        }
        self._usual = {  # the first subset sets nearly every text in one piece
            chr(code): _escaped(place) for code, (subset, place) in self._places.items() if subset == 0
        }

    def _place(self, file: FontFile, own: bool) -> None:
        """Give a place to each character that this file has and no file before it; ASCII is the first's."""
        first = len(self._subsets)
        left = LEFT_TO_THE_OTHER if own else set()
        for group in _groups(file.characters - self._places.keys() - left):
            codes = [code if own and code in ASCII else 0 for code in range(256)]
            free = [code for code in range(1, 256) if code not in ASCII]
            for code, character in zip(free, group, strict=False):
                codes[code] = character
                self._places[character] = (len(self._subsets), code)
            self._subsets.append((file, codes))
        if own:
            self._own = len(self._subsets)
            self._places.update({code: (first, code) for code in ASCII})

    def has(self, character: str) -> bool:
        """Whether the family can set this character."""
        return ord(character) in self._places

    @lru_cache(maxsize=65536)  # noqa: B019  two typefaces live as long as the process
    def width(self, text: str) -> float:
        """Width of a text set at size 1."""
        try:
            return sum(map(self._widths.__getitem__, text))
        except KeyError:
            raise MissingGlyphError(self._first_missing(text), text) from None

    @lru_cache(maxsize=65536)  # noqa: B019
    def encode(self, text: str) -> tuple[tuple[int, str], ...]:
        """A text as (subset, PDF string body) pieces, as few as may be."""
        try:
            return ((0, "".join(map(self._usual.__getitem__, text))),) if text else ()
        except KeyError:
            return self._in_pieces(text)

    def _in_pieces(self, text: str) -> tuple[tuple[int, str], ...]:
        pieces: list[tuple[int, list[str]]] = []
        homes = (self._home(each, text)[0] for each in text if ord(each) not in ASCII)
        latest = next((home for home in homes if home < self._own), 0)  # it has ASCII of its own
        for character in text:
            subset, code = self._home(character, text)
            if ord(character) in ASCII:
                subset = latest
            elif subset < self._own:
                latest = subset
            if not pieces or pieces[-1][0] != subset:
                pieces.append((subset, []))
            pieces[-1][1].append(_escaped(code))
        return tuple((subset, "".join(codes)) for subset, codes in pieces)

    def _home(self, character: str, text: str) -> tuple[int, int]:
        place = self._places.get(ord(character))
        if place is None:
            raise MissingGlyphError(character, text)
        return place

    def resource_name(self, subset: int) -> str:
        """The name by which pages call a subset."""
        return f"{self._weight}{subset}"

    def embed(self, document: PdfFile, subset: int) -> None:
        """Put a subset into a document as a font resource."""
        made = self.subset(subset)
        file = document.add(made.font_file)
        characters = document.add(made.to_unicode)
        descriptor = document.add(f"<< {made.descriptor} /FontFile2 {file} >>".encode("latin-1"))
        font = (
            f"<< /Type /Font /Subtype /TrueType /BaseFont /{made.base_name} /FirstChar 0 /LastChar 255 "
            f"/Widths [{made.widths}] /FontDescriptor {descriptor} /ToUnicode {characters} >>"
        )
        document.add_font(self.resource_name(subset), font.encode("latin-1"))

    @cache  # noqa: B019
    def subset(self, number: int) -> Subset:
        """Cut a subset out of the font: done once a process."""
        file, codes = self._subsets[number]
        tag = "CARD" + chr(65 + number // 26) + chr(65 + number % 26)
        base_name = f"{tag}+{file.name}"
        font_file = file.cut(codes)
        return Subset(
            base_name=base_name,
            widths=" ".join(f"{file.width(code):g}" for code in codes),
            font_file=packed_stream(font_file, f"/Length1 {len(font_file)} "),
            to_unicode=packed_stream(unicode_map(base_name, codes)),
            descriptor=file.descriptor(base_name),
        )

    def _first_missing(self, text: str) -> str:
        return next(character for character in text if character not in self._widths)


@cache
def _font_file(name: str) -> FontFile:
    """A file of the fonts, parsed once a process: the weights share the one of what they lack."""
    return FontFile(FONTS / name)


@cache
def typeface(weight: Weight) -> Typeface:
    """A weight of the family, parsed once a process."""
    return Typeface(weight)


def weight_of(bold: bool, size: float) -> Weight:
    """The weight in which a text of this size survives two copies, its decimal points and all."""
    if bold:
        return "bold"
    return "semi-bold" if size < SMALL_PT else "medium"


def _groups(known: Set[int]) -> list[list[int]]:
    """The characters of each subset: Latin-1 and the signs, then script by script."""
    latin = [code for code in range(0xA1, 0x100) if code in known and code != 0xAD]
    marks = [ord(mark) for mark in MARKS if ord(mark) in known and ord(mark) not in latin]
    groups, placed = [latin + marks], {*latin, *marks}
    for first, last in SCRIPTS:
        script = [code for code in range(first, last + 1) if code in known and code not in placed]
        groups += [script[start : start + OTHERS] for start in range(0, len(script), OTHERS)]
    return groups


def _escaped(code: int) -> str:
    if code in (0x28, 0x29, 0x5C):
        return "\\" + chr(code)
    return chr(code) if 0x20 <= code < 0x7F else f"\\{code:03o}"
