"""What reading a spec asks of PyYAML beyond its manual: names of its scanner, words of its errors."""

import ast
import inspect
from typing import Any

import pytest
import yaml

from cardgen.spec import yamlfile
from cardgen.spec.told import words

TAKEN = {
    "fetch_flow_sequence_start",
    "save_possible_simple_key",
    "allow_simple_key",
    "get_mark",
    "prefix",
    "forward",
    "tokens",
    "compose_node",
    "peek_event",
    "get_single_node",
    "dispose",
}


@pytest.mark.parametrize("name", sorted(TAKEN))
def test_a_name_that_is_taken_is_there(name: str) -> None:
    """A PyYAML that has lost one is told by its name."""
    assert hasattr(yaml.SafeLoader(""), name)


def test_every_name_that_is_taken_is_in_the_contract() -> None:
    """Nothing more of the scanner and the composer is used than what stands above."""
    tree = ast.parse(inspect.getsource(yamlfile))
    composer = next(node for node in tree.body if isinstance(node, ast.ClassDef) and node.name == "_Composer")
    owners = {"self", "super()", "loader"}
    used = {
        node.attr
        for node in ast.walk(tree)
        if isinstance(node, ast.Attribute) and ast.unparse(node.value) in owners
        if node.attr in dir(yaml.SafeLoader(""))
    }
    assert {base.attr for base in composer.bases if isinstance(base, ast.Attribute)} == {"SafeLoader"}
    assert used - {"__init__"} == TAKEN


class Watched(yaml.SafeLoader):
    """Takes '[ … ] rpm' as a text of our own making, and notes what is composed."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.seen: list[tuple[str, int, int]] = []

    def fetch_flow_sequence_start(self) -> None:
        ahead = self.prefix(9)
        self.save_possible_simple_key()
        self.allow_simple_key = False
        start = self.get_mark()
        self.forward(len("[60] rpm"))
        self.tokens.append(yaml.ScalarToken(ahead, True, start, self.get_mark()))

    def compose_node(self, parent: Any, index: Any) -> Any:
        event = self.peek_event()
        mark = event.start_mark
        self.seen.append((type(event).__name__, mark.line, mark.column))
        return super().compose_node(parent, index)


def test_a_text_can_be_put_in_the_place_of_a_list() -> None:
    """The scanner asks for a list at each '[', says what lies ahead, and takes our token for it."""
    node = Watched("a: 1\nb: [60] rpm\nc: 3\n").get_single_node()
    assert [(key.value, value.value) for key, value in node.value] == [
        ("a", "1"),
        ("b", "[60] rpm\n"),
        ("c", "3"),
    ]


def test_what_lies_ahead_of_the_end_is_padded_with_a_nought() -> None:
    """prefix() never runs short: what is beyond the text is a NUL and nothing."""
    assert yaml.SafeLoader("[1]").prefix(400).partition("\0")[0] == "[1]"


def test_every_node_is_composed_with_its_place() -> None:
    """compose_node is asked for each key and value, and the event to come says where it stands."""
    watched = Watched("a: 1\nbb:\n- c\n")
    watched.get_single_node()
    assert watched.seen == [
        ("MappingStartEvent", 0, 0),
        ("ScalarEvent", 0, 0),
        ("ScalarEvent", 0, 3),
        ("ScalarEvent", 1, 0),
        ("SequenceStartEvent", 2, 0),
        ("ScalarEvent", 2, 2),
    ]


@pytest.mark.parametrize(
    ("text", "event", "anchor", "tag"),
    [
        ("&here a", yaml.ScalarEvent, "here", None),
        ("!mine a", yaml.ScalarEvent, None, "!mine"),
        ("a", yaml.ScalarEvent, None, None),
    ],
)
def test_an_event_tells_its_anchor_and_its_tag(
    text: str, event: type, anchor: str | None, tag: str | None
) -> None:
    """What a spec may not use can be told before it is composed."""
    *_, found, _, _ = yaml.parse(text, Loader=yaml.SafeLoader)
    assert (type(found), found.anchor, found.tag) == (event, anchor, tag)


def test_an_alias_is_an_event_of_its_own() -> None:
    """'*here' can be told before it is followed."""
    events = list(yaml.parse("[&here a, *here]", Loader=yaml.SafeLoader))
    assert [event.anchor for event in events if isinstance(event, yaml.AliasEvent)] == ["here"]


def test_a_key_with_nothing_after_it_is_told_from_an_empty_text() -> None:
    """A plain scalar has no style, one in quotes has."""
    node = yaml.compose("a:\nb: ''\n", Loader=yaml.SafeLoader)
    assert [(value.value, value.style) for _, value in node.value] == [("", None), ("", "'")]


SLIPS = {
    "could not find expected ':'": "a: 1\nb\nc: 1\n",
    "mapping values are not allowed": "a: b: c\n",
    "expected ',' or ']'": "a: [1, 2\nb: 3\n",
    "expected ',' or '}'": "a: {b: 1\nc: 3\n",
    "unexpected end of stream": "a: 'b\n",
    "unexpected document separator": "a: 'b\n---\n",
    "expected <block end>": "a: 'b' c\n",
    "sequence entries are not allowed": "a: - b\n",
    "unknown escape character": 'a: "\\q"\n',
    "expected '<document start>'": "a: 1\n%b\n",
    "expected the node content": "a: [\n",
    "cannot start any token": "a: @b\n",
}


@pytest.mark.parametrize(("words", "text"), SLIPS.items())
def test_an_error_says_what_and_where_in_the_words_that_are_looked_for(words: str, text: str) -> None:
    """PyYAML's words are turned into the shop's by looking for some of them."""
    with pytest.raises(yaml.MarkedYAMLError) as caught:
        yaml.compose(text, Loader=yaml.SafeLoader)
    assert words in (caught.value.problem or "")
    assert caught.value.problem_mark is not None
    assert caught.value.problem_mark.line < len(text.splitlines()) + 1


def test_every_error_that_is_looked_for_is_in_the_contract() -> None:
    """No words are looked for that PyYAML may never have said."""
    listed = words("cardgen.spec", "yaml.toml")
    looked_for = [each["says"] for each in listed.values() if "says" in each]
    assert len(looked_for) == len(SLIPS) - 2  # the last two are looked for by a rule
    assert [said for said in looked_for if not any(said in known for known in SLIPS)] == []
    assert {key for each in listed.values() for key in each} == {"says", "opened", "wrong", "right"}


def test_a_character_that_yaml_forbids_is_told_by_its_place() -> None:
    """ReaderError has the character and its place in the text."""
    with pytest.raises(yaml.reader.ReaderError) as caught:
        yaml.compose("a: \x07", Loader=yaml.SafeLoader)
    character = caught.value.character
    assert caught.value.position == 3
    assert (character if isinstance(character, int) else ord(character)) == 7


def test_a_mark_has_the_text_and_its_place_in_it() -> None:
    """buffer and pointer: what stands at a mark, and as far as another, can be looked at."""
    node = yaml.compose("a: [1,\r\n  ²b] # c\n", Loader=yaml.SafeLoader).value[0][1]
    start, end = node.start_mark, node.end_mark
    assert start.buffer[start.pointer : end.pointer] == "[1,\r\n  ²b]"
