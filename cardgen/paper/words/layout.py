"""The layout file: which panels, on which side, in which order, for each format.

    A5:
      - side: at the wheel
        text: 9                            # points of running text: as large as fits, from here …
        least_text: 8                      # … down to this; then what does not fit goes on to a further side
        bands:
          - title                          # one panel over the whole width
          - columns:                       # panels side by side
              - {share: 60, panels: [drawing]}
              - {share: 40, panels: [swivel, stages]}
          - flow: {columns: 2, panels: [speeds, steps]}   # runs on from column to column, side to side
        spare: [swivel]                    # then these are left out, one by one, before a side is added
        shorter: {stages: stages_short}    # then these stand for others, one by one
        last_text: 7                       # then the text goes down to this
        foot: code                         # one panel at the bottom of this side
    half letter: A5                        # laid out like another format

Every mistake is reported with file:line:column, what is wrong and what would be right.
"""

import difflib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from typing import Any, Literal, TypeVar, assert_never, get_args

import yaml

from cardgen.bounds import most, table
from cardgen.paper.press.page import FORMATS
from cardgen.paper.press.typeface import PaperError


class LayoutError(PaperError):
    """The layout file is wrong; the message is file:line:column and what is wrong."""


@dataclass(frozen=True)
class ColumnPlan:
    """Panels one below the other, on a share of the width."""

    share: float
    panels: tuple[str, ...]


@dataclass(frozen=True)
class Columns:
    """Columns side by side."""

    columns: tuple[ColumnPlan, ...]


@dataclass(frozen=True)
class FlowingPanels:
    """Panels that run on from column to column, and on to further sides."""

    columns: int
    panels: tuple[str, ...]


Band = Columns | FlowingPanels


@dataclass(frozen=True)
class SidePlan:
    """One side of the card: its name, what stands on it from top to bottom, and what at its foot."""

    name: str
    bands: tuple[Band, ...]
    foot: str = ""
    text: float | None = None  # points of running text; None: the format's own
    least_text: float | None = None  # how small it may become where that saves a side
    last_text: float | None = None  # and how small where nothing else does
    spare: tuple[str, ...] = ()  # panels to leave out, one after the other, where that saves a side
    shorter: Mapping[str, str] = field(default_factory=dict)  # then what stands for a panel, one by one

    def given_up(self) -> Iterator["SidePlan"]:
        """The same side, then without what is spare, one by one, then with what is shorter."""
        instead: dict[str, str] = {}
        yield self
        for panel, other in (*((panel, "") for panel in self.spare), *self.shorter.items()):
            instead[panel] = other
            yield self._with(instead)

    def _with(self, instead: Mapping[str, str]) -> "SidePlan":
        """The same side with other panels for some of its own, or with none."""

        def kept(names: tuple[str, ...]) -> tuple[str, ...]:
            return tuple(filter(None, (instead.get(name, name) for name in names)))

        bands = tuple(
            replace(band, panels=kept(band.panels))
            if isinstance(band, FlowingPanels)
            else Columns(tuple(replace(column, panels=kept(column.panels)) for column in band.columns))
            for band in self.bands
        )
        return replace(self, bands=bands)


Layout = Mapping[str, tuple[SidePlan, ...]]
Key = TypeVar("Key", bound=str)
SideKey = Literal["side", "text", "least_text", "last_text", "spare", "shorter", "bands", "foot"]
SIDE_KEYS: tuple[SideKey, ...] = get_args(SideKey)


@lru_cache(maxsize=16)
def layout_from(text: str, path: Path) -> Layout:
    """The layout that a file's text lays down; raises LayoutError at the first mistake."""
    try:
        node = yaml.compose(text, Loader=_LayoutComposer)
    except yaml.MarkedYAMLError as wrong:
        mark = wrong.problem_mark
        place = f":{mark.line + 1}:{mark.column + 1}" if mark else ""
        raise LayoutError(f"{path}{place}: {wrong.problem}") from None
    except yaml.reader.ReaderError as wrong:
        line = text.count("\n", 0, wrong.position) + 1
        raise LayoutError(f"{path}:{line}:1: a character stands here that no text has; take it out") from None
    return _Reader(path).layout(node)


class _LayoutComposer(yaml.SafeLoader):
    """PyYAML's composer, which refuses what nests without end and what says a thing many times over."""

    depth = 0

    def compose_node(self, parent: Any, index: Any) -> Any:
        event: Any = self.peek_event()  # type: ignore[no-untyped-call]
        self.depth += 1
        deep = self.depth > most("template.nesting")
        if deep or isinstance(event, yaml.AliasEvent):
            wrong = "the brackets nest too deep" if deep else "write out what * stands for"
            raise yaml.MarkedYAMLError(problem=wrong, problem_mark=event.start_mark)
        node = super().compose_node(parent, index)
        self.depth -= 1
        return node


@dataclass(frozen=True)
class _Reader:
    """Turns YAML nodes into plans, knowing the file's name for complaints."""

    path: Path

    def wrong(self, node: yaml.Node | None, text: str) -> LayoutError:
        mark = node.start_mark if node else None
        place = f":{mark.line + 1}:{mark.column + 1}" if mark else ""
        return LayoutError(f"{self.path}{place}: {text}")

    def layout(self, node: yaml.Node | None) -> Layout:
        plans: dict[str, tuple[SidePlan, ...]] = {}
        for key, value in self.pairs(node, "the layout file"):
            name = self.word(key)
            if name not in FORMATS:
                raise self.wrong(key, f"no paper format {name!r}; {_nearest(name, FORMATS)}")
            if isinstance(value, yaml.ScalarNode):
                like = self.word(value)
                if like not in plans:
                    raise self.wrong(value, f"{like!r} is not laid out above; {_nearest(like, plans)}")
                plans[name] = plans[like]
            else:
                plans[name] = tuple(self.side(each) for each in self.items(value, f"the sides of {name}"))
                self.within("panels", sum(map(_panels, plans[name])), value, f"in {name}")
        return plans

    def side(self, node: yaml.Node) -> SidePlan:
        name = foot = ""
        text = least_text = last_text = None
        spare: tuple[str, ...] = ()
        shorter: dict[str, str] = {}
        bands: tuple[Band, ...] = ()
        for key, value in self.pairs(node, "a side"):
            match self.key(key, SIDE_KEYS):
                case "side":
                    name = self.word(value)
                case "foot":
                    foot = self.word(value)
                case "text":
                    text = self.within("text", self.number(value), value, "for a side's text")
                case "least_text":
                    least_text = self.within("text", self.number(value), value, "for a side's text")
                case "last_text":
                    last_text = self.within("text", self.number(value), value, "for a side's text")
                case "spare":
                    spare = self.words(value)
                case "shorter":
                    shorter = {
                        self.word(long): self.word(short) for long, short in self.pairs(value, "shorter")
                    }
                case "bands":
                    bands = tuple(self.band(each) for each in self.items(value, "bands"))
                case never:
                    assert_never(never)
        if not bands:
            raise self.wrong(node, "a side needs 'bands', a list of panels")
        return SidePlan(name, bands, foot, text, least_text, last_text, spare, shorter)

    def band(self, node: yaml.Node) -> Band:
        if isinstance(node, yaml.ScalarNode):
            return Columns((ColumnPlan(1.0, (self.word(node),)),))
        ((key, value), *others) = self.pairs(node, "a band")
        if others:
            raise self.wrong(others[0][0], "a band has one key; put '- ' before the next band")
        if self.key(key, ("columns", "flow")) == "flow":
            return self.flow(value)
        columns = tuple(self.column(each) for each in self.items(value, "columns"))
        self.within("columns", len(columns), value, "in a band")
        total = sum(column.share for column in columns)
        for column in columns:
            self.within("narrowest", column.share / total, value, "for the narrowest column")
        return Columns(tuple(ColumnPlan(column.share / total, column.panels) for column in columns))

    def column(self, node: yaml.Node) -> ColumnPlan:
        share = 1.0
        panels: tuple[str, ...] = ()
        for key, value in self.pairs(node, "a column"):
            if self.key(key, ("share", "panels")) == "share":
                share = self.within("share", self.number(value), value, "for a share")
            else:
                panels = self.words(value)
        return ColumnPlan(share, panels)

    def flow(self, node: yaml.Node) -> FlowingPanels:
        columns = 1
        panels: tuple[str, ...] = ()
        for key, value in self.pairs(node, "a flow"):
            if self.key(key, ("columns", "panels")) == "columns":
                columns = int(self.within("columns", self.number(value, int), value, "in a flow"))
            else:
                panels = self.words(value)
        return FlowingPanels(columns, panels)

    def pairs(self, node: yaml.Node | None, what: str) -> list[tuple[yaml.Node, yaml.Node]]:
        if not isinstance(node, yaml.MappingNode) or not node.value:
            raise self.wrong(node, f"{what} must be 'key: value' pairs")
        seen: set[str] = set()
        for key, _ in node.value:
            if self.word(key) in seen:
                raise self.wrong(key, f"{key.value!r} stands here twice")
            seen.add(key.value)
        return list(node.value)

    def items(self, node: yaml.Node, what: str) -> Iterator[yaml.Node]:
        if not isinstance(node, yaml.SequenceNode):
            raise self.wrong(node, f"{what} must be a list, each item after '- '")
        yield from node.value

    def words(self, node: yaml.Node) -> tuple[str, ...]:
        return tuple(self.word(each) for each in self.items(node, "panels"))

    def word(self, node: yaml.Node) -> str:
        if not isinstance(node, yaml.ScalarNode):
            raise self.wrong(node, "a single word is needed here")
        return str(node.value)

    def number(self, node: yaml.Node, kind: type[float] = float) -> float:
        try:
            value = float(self.word(node))
        except ValueError:
            raise self.wrong(node, f"a number is needed here, not {node.value!r}") from None
        if kind is int and not value.is_integer():
            raise self.wrong(node, f"a whole number is needed here, not {node.value!r}")
        return value

    def within(self, name: str, value: float, node: yaml.Node, what: str) -> float:
        limit = table()[f"layout.{name}"]
        if not limit.allows(value):
            raise self.wrong(node, f"{value:g} is not taken {what}: {limit.told()}")
        return value

    def key(self, node: yaml.Node, known: tuple[Key, ...]) -> Key:
        word = self.word(node)
        for each in known:
            if each == word:
                return each
        raise self.wrong(node, f"unknown key {word!r}; {_nearest(word, known)}")


def _panels(side: SidePlan) -> int:
    """How many panels stand on a side."""
    bands = [band.columns if isinstance(band, Columns) else (band,) for band in side.bands]
    return sum(len(column.panels) for columns in bands for column in columns)


def _nearest(word: str, known: Iterable[str]) -> str:
    names = list(known)
    near = difflib.get_close_matches(word, names, 1, 0.4)
    return f"did you mean {near[0]!r}?" if near else f"there are {', '.join(names) or 'none'}"
