"""A spec file's bytes → its YAML documents as trees of text that remember line and column.

Every scalar stays the text that was written: `12:30`, `010`, `no` and `7:24` are not made into
numbers or truth values; the models say what each must be. The documents of a file are parsed one by
one, so that a slip in one leaves the others readable. Anchors, aliases and tags are refused: a record
says everything itself.
"""

import re
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

import yaml

from cardgen.bounds import most
from cardgen.spec.complaint import LINE_ENDS, Complaint, Place, Source, shown
from cardgen.spec.told import words

Plain = str | list[Any] | dict[str, Any]


@dataclass(frozen=True)
class Node:
    """A text, a list or a mapping of a document, and where it stands."""

    value: "str | list[Node] | dict[str, Node]"
    place: Place
    keys: Mapping[str, Place] = field(default_factory=dict)  # where each key of a mapping stands

    def plain(self) -> Plain:
        """The tree without its places; a key with nothing after it is kept as an empty text."""
        if isinstance(self.value, dict):
            return {key: node.plain() for key, node in self.value.items()}
        if isinstance(self.value, list):
            return [node.plain() for node in self.value]
        return self.value

    def at(self, path: tuple[str | int, ...]) -> "Node":
        """The node at this path, or the nearest one above it that is written."""
        node = self
        for step in path:
            below: Node | None = None
            if isinstance(node.value, dict) and isinstance(step, str):
                below = node.value.get(step)
            elif isinstance(node.value, list) and isinstance(step, int) and step < len(node.value):
                below = node.value[step]
            if below is None:
                break
            node = below
        return node


@dataclass(frozen=True)
class Document:
    """One YAML document of a file: its own text, and its tree (None where it cannot be parsed)."""

    source: Source
    root: Node | None
    unread: bool = False  # the whole file is no text that can be read


def read_documents(path: str, content: bytes) -> tuple[list[Document], list[Complaint]]:
    """The documents of a file and every complaint about its YAML; empty documents are left out."""
    if len(content) > most("spec.file"):
        return [], [
            Complaint(path, 1, 1, "the file is over a megabyte", "a spec is a few dozen lines of YAML")
        ]
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        # The records in it stay known by their lines, so that what refers to them is not called wrong.
        text = content.decode("utf-8", "replace")
        unread = [Document(source, None, unread=True) for source in _parted(path, text)]
        return unread, [_not_utf8(Source(path, 1, text), content, error)]
    documents: list[Document] = []
    complaints: list[Complaint] = []
    for source in _parted(path, text):
        root, found = _compose(source)
        complaints += found
        if root is not None or found:
            documents.append(Document(source, root))
    if not documents:
        complaints.append(
            Complaint(path, 1, 1, "the file holds no record", "write a record that starts with 'kind: part'")
        )
    return documents, complaints


def _not_utf8(source: Source, content: bytes, error: UnicodeDecodeError) -> Complaint:
    before = content[: error.start].decode("utf-8", "replace")
    what = f"byte 0x{content[error.start]:02x} is not UTF-8 text"
    return source.complain(_place(before, 1), what, "save the file as UTF-8")


def _place(before: str, first_line: int) -> Place:
    """The place that follows this text."""
    *above, line = LINE_ENDS.split(before)
    return first_line + len(above), len(line) + 1, 1


DOCUMENT_MARK = re.compile(r"(?:^|(?<=\r))(?:---|\.\.\.)(?=\s|$)", re.M)  # a line that begins with one


def _parted(path: str, text: str) -> Iterator[Source]:
    """The text of each document: a line that starts with --- always begins a new one."""
    start = 1
    lines: list[str] = []
    for number, line in enumerate(re.split(r"(?<=\n)|(?<=\r)(?!\n)", text), start=1):
        mark = DOCUMENT_MARK.match(line)
        if mark:
            yield Source(path, start, "".join(lines))
            rest = line[3:]
            start, lines = number, [f"   {rest}" if mark.group() == "---" else "\n"]
        else:
            lines.append(line)
    yield Source(path, start, "".join(lines))


class _OwnReader(yaml.SafeLoader):
    """PyYAML's own reader, which takes `[60, 90] rpm` as one text."""

    def fetch_flow_sequence_start(self) -> None:
        """A list with a unit after it, `[60, 90] rpm`, is no list in YAML: take it as a plain text."""
        match = _LIST_WITH_UNIT.match(self.prefix(400).partition("\0")[0])
        if match is None:
            super().fetch_flow_sequence_start()
            return
        self.save_possible_simple_key()
        self.allow_simple_key = False
        start = self.get_mark()
        self.forward(match.end())
        self.tokens.append(yaml.ScalarToken(match.group(), True, start, self.get_mark()))


_LIST_WITH_UNIT = re.compile(r"\[[^\[\]{}\"'#\n]*\] +[A-Za-z%°][^\s,\]}#]*(?=\s*(?:[,}\]\r\n#]|$))")


class _SlipError(Exception):
    """A place where the YAML cannot be followed; only raised and caught in this file."""

    def __init__(self, mark: Any, told: str) -> None:
        self.mark, self.told = mark, told
        super().__init__(told)


# libyaml, which most PyYAML have with them, finds the same several times as quickly. Where it refuses a text,
# or something is to be complained of, PyYAML's own reader is asked; so it is where the two may not agree.
_QUICK_READER = getattr(yaml, "CBaseLoader", None)
# Where they may: signs not shown, tabs, marks of byte order; '?' and a backslash; a remark at a block's sign.
_MAY_DIFFER = re.compile(
    r"[^\n\r -~\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]|[?\\]|[|>][-+0-9]*#"
)
# Line ends to YAML 1.1, signs to YAML 1.2 and to editors: they would shift every line that is told.
_FORBIDDEN = re.compile("[\x85\u2028\u2029]")
_WORD = re.compile(r"[&*!]?[\w./-]+")


@lru_cache(maxsize=512)  # a shop that is watched is read again and again, and little of it has changed
def _compose(source: Source) -> tuple[Node | None, tuple[Complaint, ...]]:
    """The tree of one document, which nobody changes; None where it is empty or cannot be parsed."""
    if _QUICK_READER is not None and not _MAY_DIFFER.search(source.text):
        with suppress(yaml.YAMLError, _SlipError):
            tree = _Tree(source, _QUICK_READER)
            if not (tree.complaints or tree.gaps):
                return tree.root, ()
    try:
        found = _FORBIDDEN.search(source.text)
        if found:
            raise yaml.reader.ReaderError("", found.start(), ord(found.group()), "", "")
        tree = _Tree(source, _OwnReader)
    except _SlipError as slip:
        return None, (_complaint(source, slip.mark, *_told(slip.told)),)
    except yaml.MarkedYAMLError as error:
        return None, (_complaint(source, *_in_plain_words(error, source.text)),)
    except yaml.reader.ReaderError as error:
        code = error.character if isinstance(error.character, int) else ord(error.character)
        what = f"the character U+{code:04X} is not allowed in a spec"
        place = _place(source.text[: error.position], source.line)
        return None, (source.complain(place, what, "take it out"),)
    return tree.root, tuple(tree.complaints)


def _complaint(source: Source, mark: Any, wrong: str, right: str) -> Complaint:
    """A complaint at a mark of YAML's, under the word that stands there."""
    word = _WORD.match(source.text, mark.index)
    place = source.line + mark.line, mark.column + 1, len(word.group()) if word else 1
    return source.complain(place, wrong, right)


class _Tree:
    """A document as nodes, of the events that a reader of YAML finds in its text.

    A group or a list that is written below its key, the `owner`, is told of at that key, and the whole
    record without a line of its own.
    """

    def __init__(self, source: Source, reader: Any) -> None:
        self.source, self.depth = source, 0
        self.gaps = False  # a key or a value is left empty: the two readers place it differently
        self.complaints: list[Complaint] = []
        self.events: Iterator[Any] = yaml.parse(source.text, Loader=reader)
        next(self.events)  # the stream's start; of documents there is one or none
        begun = isinstance(next(self.events), yaml.DocumentStartEvent)
        self.root = self._node(next(self.events)) if begun else None
        for _ in self.events:
            pass  # whatever follows must be YAML too

    def _node(self, event: Any, owner: Place | None = None) -> Node:
        """What begins with this event; raises _SlipError for what specs do not use."""
        mark, end = event.start_mark, event.end_mark
        if isinstance(event, yaml.AliasEvent):
            raise _SlipError(mark, "alias")
        if event.anchor is not None:
            raise _SlipError(mark, "anchor")
        if event.tag is not None:
            raise _SlipError(mark, "tag")
        if self.depth == most("spec.nesting"):
            raise _SlipError(mark, "nesting")
        if isinstance(event, yaml.ScalarEvent):
            self.gaps |= mark.index == end.index
            return Node(event.value, self._place(event, event))
        self.depth += 1
        keys: dict[str, Place] = {}
        value, last = self._list() if isinstance(event, yaml.SequenceStartEvent) else self._group(keys)
        self.depth -= 1
        below_its_key = owner or (self.source.line + mark.line, mark.column + 1, 0)
        return Node(value, self._place(event, last) if event.flow_style else below_its_key, keys)

    def _list(self) -> tuple[list[Node], Any]:
        found = []
        while not isinstance(event := next(self.events), yaml.SequenceEndEvent):
            found.append(self._node(event))
        return found, event

    def _group(self, keys: dict[str, Place]) -> tuple[dict[str, Node], Any]:
        """The values by their keys; one given twice is complained of at its second place, the first kept."""
        found: dict[str, Node] = {}
        while not isinstance(event := next(self.events), yaml.MappingEndEvent):
            wrong, right = self._wrong_with(event, keys)
            if wrong:
                self.complaints.append(_complaint(self.source, event.start_mark, wrong, right))
                self._pass_over(event)
                self._pass_over(next(self.events))
            else:
                keys[event.value] = self._node(event).place
                found[event.value] = self._node(next(self.events), keys[event.value])
        return found, event

    def _wrong_with(self, key: Any, before: Mapping[str, Place]) -> tuple[str, str]:
        if not isinstance(key, yaml.ScalarEvent):
            return "a key must be a plain word", "write 'key: value'"
        if key.value not in before:
            return "", ""
        line, column, _ = before[key.value]
        wrong = f"{shown(key.value)} is given twice, first at line {line}, column {column}"
        return wrong, "keep the one that holds"

    def _pass_over(self, event: Any) -> None:
        """Read what begins with this event, and complain of nothing in it but what cannot be followed."""
        told = len(self.complaints)
        self._node(event)
        del self.complaints[told:]

    def _place(self, first: Any, last: Any) -> Place:
        """Where something stands that has these ends, and how much is written there on its first line."""
        start, end = first.start_mark, last.end_mark
        length = end.index - start.index
        if start.line != end.line:
            length = len(LINE_ENDS.split(self.source.text[start.index : end.index], maxsplit=1)[0])
        return self.source.line + start.line, start.column + 1, max(1, length)


def _told(name: str, **case: str) -> tuple[str, str]:
    """What is wrong and what would be right, as yaml.toml has it."""
    told = words("cardgen.spec", "yaml.toml")[name]
    return told["wrong"].format(**case), told["right"]


def _in_plain_words(error: yaml.MarkedYAMLError, text: str) -> tuple[Any, str, str]:
    """What YAML's own complaint means to someone who writes specs: (mark, wrong, right)."""
    problem, mark = error.problem or "", error.problem_mark or error.context_mark
    opened = error.context_mark or mark
    lines = LINE_ENDS.split(text)
    line = lines[mark.line] if mark and mark.line < len(lines) else ""
    before = line[: mark.column] if mark else ""
    if line.startswith("%"):
        return opened, *_told("per-cent")
    here = shown(line[len(before) :][:1])
    known = words("cardgen.spec", "yaml.toml")
    name = next((name for name, told in known.items() if "says" in told and told["says"] in problem), "other")
    if "\t" in line and ("'\\t'" in problem or before.strip() == ""):
        name = "tab"
    elif "mapping values are not allowed" in problem and ": " not in before:
        name = "indent"
    elif "expected the node content" in problem:
        name = "start" if here != "''" else "bracket"
    elif "cannot start any token" in problem:
        name = "start"
    at = opened if known[name].get("opened") else mark
    return at, *_told(name, here=here, problem=str(problem or error.context))
