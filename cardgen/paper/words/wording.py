"""Wording: Jinja2 templates become lines of marked text, or a list of labels.

A shop changes the words, not the program: everything a card says in words comes from
`templates/*.j2`. A template sees `card` (every value), `f` (the figures: how numbers are written)
and what the caller adds. Its text is read line by line:

    = Title | at the right              a card's title
    # Heading | note at the right       a panel's heading
    label | value | note                a value to be read
    label || value | note               a value the hand acts on, set large
    label || value || label || value    two of them side by side
    - step                              numbered, in order
    - 4 | step                          with a number of its own; what follows hangs below its words
    @ A | label | value | note          one of several ways, the first one's value large
    ! caution                           belongs to the step above it
    > item                              a list without numbers
    |= head | head                      a table's heading; `>` before a head aligns on the point
    | cell | cell                       a table's row; `|*` a row in bold
    |_ cell | cell                      a second line under the row above, for the other system of units
    ? label                             a line to be written on
    ~ words                             small print
    + words                             a remark in a box, set 8 pt or larger
    ---                                 a rule
    words                               a paragraph

`<b>…</b>` is bold. Whatever comes from a value is escaped: a part named '<b>| 1 |' prints as just
that. A template that breaks is reported with its file and line.
"""

import difflib
import html
import re
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Literal, TypeVar

from markupsafe import Markup, escape

from cardgen import sandbox
from cardgen.paper.paper_error import TemplateError as TemplateError
from cardgen.paper.words.template_files import TemplateFiles as TemplateFiles
from cardgen.sandbox import Sandbox

if TYPE_CHECKING:
    from cardgen.paper.press.typesetting import Runs

Made = TypeVar("Made")
Kind = Literal[
    "title",
    "heading",
    "row",
    "hand",
    "hand pair",
    "step",
    "choice",
    "caution",
    "item",
    "head",
    "cells",
    "bold cells",
    "under cells",
    "write",
    "small",
    "boxed",
    "rule",
    "text",
]
MARKS: tuple[tuple[str, Kind], ...] = (
    ("= ", "title"),
    ("# ", "heading"),
    ("- ", "step"),
    ("@ ", "choice"),
    ("! ", "caution"),
    ("> ", "item"),
    ("|=", "head"),
    ("|*", "bold cells"),
    ("|_", "under cells"),
    ("|", "cells"),
    ("? ", "write"),
    ("~ ", "small"),
    ("+ ", "boxed"),
    ("---", "rule"),
)
MOST_FIELDS: Mapping[Kind, int] = {
    "title": 2,
    "heading": 2,
    "row": 3,
    "hand": 3,
    "hand pair": 4,
    "step": 2,
    "choice": 4,
}  # others one
TABLE: tuple[Kind, ...] = ("head", "cells", "bold cells", "under cells")
TAG = re.compile(r"(</?[a-zA-Z][^>]*>)")
LABEL = re.compile(r"([\w.]+):\s*(.*)")


@dataclass(frozen=True)
class Line:
    """One line of a rendered template: what it is and its fields."""

    kind: Kind
    fields: "tuple[Runs, ...]"


@dataclass(frozen=True)
class Words:
    """The words of one card: templates rendered with its values, each once."""

    environment: Sandbox
    context: Mapping[str, Any]
    _lines: dict[str, tuple[Line, ...]] = field(default_factory=dict)
    _labels: dict[str, dict[str, str]] = field(default_factory=dict)
    _made: dict[Hashable, Any] = field(default_factory=dict)

    def once(self, key: Hashable, work: Callable[[], Made]) -> Made:
        """What a panel works out for this card, worked out once; `key` has all that it hangs on besides."""
        if key not in self._made:
            self._made[key] = work()
        found: Made = self._made[key]
        return found

    def lines(self, name: str) -> tuple[Line, ...]:
        """The lines of templates/<name>.j2; raises TemplateError where the template breaks."""
        if name not in self._lines:
            text = rendered(self.environment, f"{name}.j2", self.context)
            made: list[Line] = []
            for each in filter(str.strip, text.splitlines()):
                try:
                    made.append(_under_heads(_line(each, name), made))
                except TemplateError as wrong:
                    raise TemplateError(f"{self._place(name, each)}: {wrong}") from None
            self._lines[name] = tuple(made)
        return self._lines[name]

    def _place(self, name: str, text: str) -> str:
        """file:line of the template's line that a rendered line looks most like."""
        file = f"{name}.j2"
        source = self.environment.texts[file].splitlines()
        alike = [difflib.SequenceMatcher(None, line, text).ratio() for line in source]
        return f"{self.environment.folder / file}:{alike.index(max(alike)) + 1}"

    def labels(self, name: str) -> Mapping[str, str]:
        """All the words of templates/<name>.j2 by what stands before their colons."""
        if name not in self._labels:
            text = rendered(self.environment, f"{name}.j2", self.context)
            found = (LABEL.match(line.strip()) for line in text.splitlines())
            self._labels[name] = {each[1]: html.unescape(each[2]) for each in found if each}
        return self._labels[name]

    def label(self, name: str, key: str) -> str:
        """The words that templates/<name>.j2 gives after 'key:'."""
        try:
            return self.labels(name)[key]
        except KeyError:
            raise TemplateError(f"{self.environment.folder / name}.j2: no line '{key}: …' in it") from None


@lru_cache(maxsize=16)
def environment(files: TemplateFiles, bounds: str = "words") -> Sandbox:
    """The templates of a folder, compiled once a process."""
    return Sandbox(bounds, files.folder, dict(files.texts), _escaped)


def rendered(templates: Sandbox, name: str, context: Mapping[str, Any]) -> str:
    """A template's text; raises TemplateError with file:line and what is wrong."""
    try:
        return sandbox.rendered(templates, name, context)
    except sandbox.BrokenTemplateError as wrong:
        raise TemplateError(str(wrong)) from wrong


def marked(text: str, where: str = "") -> "Runs":
    """Text with `<b>` marks and entities as runs; raises TemplateError for any other mark."""
    if "<" not in text:
        return ((html.unescape(text), False),)
    bold = False
    runs: list[tuple[str, bool]] = []
    for piece in TAG.split(text):
        if piece in ("<b>", "</b>"):
            bold = piece == "<b>"
        elif TAG.fullmatch(piece):
            raise TemplateError(f"{where}: unknown mark {piece}; <b> and </b> are the only ones")
        elif piece:
            runs.append((html.unescape(piece), bold))
    return tuple(runs)


def _escaped(value: object) -> Markup:
    """A value made harmless: no marks, no bars, no places, no line of its own kind."""
    if isinstance(value, Markup):
        return value
    text = str(escape(value)).replace("|", "&#124;").replace("{", "&#123;").replace("\n", " ")
    if text.startswith(("=", "#", "-", "@", "!", ">", "?", "~", "+")):
        text = f"&#{ord(text[0])};{text[1:]}"
    return Markup(text)


def _under_heads(line: Line, before: list[Line]) -> Line:
    """The line as it is; raises TemplateError for a row of a table that has no heading above it."""
    if line.kind in TABLE[1:] and (not before or before[-1].kind not in TABLE):
        first = "".join(text for text, _ in line.fields[0])
        raise TemplateError(f"the table row {first!r} has no heading line '|= …' above it")
    return line


@lru_cache(maxsize=4096)
def _line(text: str, name: str) -> Line:
    stripped = text.strip()
    kind: Kind = "text"
    body = stripped
    for mark, found in MARKS:
        if stripped.startswith(mark):
            kind, body = found, stripped.removeprefix(mark).strip()
            break
    where = f"{name}.j2"
    if kind in TABLE:
        return Line(kind, tuple(marked(cell.strip(), where) for cell in body.split("|")))
    if kind == "text" and "||" in body:
        kind = "hand pair" if body.count("||") > 1 else "hand"
        parts = body.replace("||", "|").split("|")
    elif "|" in body:
        kind, parts = ("row" if kind == "text" else kind), body.split("|")
    else:
        parts = [body]
    if len(parts) > MOST_FIELDS.get(kind, 1):
        raise TemplateError(f"{where}: a line of kind '{kind}' has {len(parts)} fields: {stripped[:80]!r}")
    return Line(kind, tuple(marked(part.strip(), where) for part in parts))
