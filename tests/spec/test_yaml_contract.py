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
}
READERS = [yaml.SafeLoader, *([yaml.CBaseLoader] if yaml.__with_libyaml__ else [])]


@pytest.mark.parametrize("name", sorted(TAKEN))
def test_a_name_that_is_taken_is_there(name: str) -> None:
    """A PyYAML that has lost one is told by its name."""
    assert hasattr(yaml.SafeLoader(""), name)


def test_every_name_that_is_taken_is_in_the_contract() -> None:
    """Nothing more of the scanner is used than what stands above."""
    tree = ast.parse(inspect.getsource(yamlfile))
    reader = next(node for node in tree.body if isinstance(node, ast.ClassDef) and node.name == "_OwnReader")
    used = {
        node.attr
        for node in ast.walk(reader)
        if isinstance(node, ast.Attribute) and ast.unparse(node.value) in {"self", "super()"}
        if node.attr in dir(yaml.SafeLoader(""))
    }
    assert {base.attr for base in reader.bases if isinstance(base, ast.Attribute)} == {"SafeLoader"}
    assert used - {"__init__"} == TAKEN


class Watched(yaml.SafeLoader):
    """Takes '[ … ] rpm' as a text of our own making."""

    def fetch_flow_sequence_start(self) -> None:
        ahead = self.prefix(9)
        self.save_possible_simple_key()
        self.allow_simple_key = False
        start = self.get_mark()
        self.forward(len("[60] rpm"))
        self.tokens.append(yaml.ScalarToken(ahead, True, start, self.get_mark()))


def test_a_text_can_be_put_in_the_place_of_a_list() -> None:
    """The scanner asks for a list at each '[', says what lies ahead, and takes our token for it."""
    events = yaml.parse("a: 1\nb: [60] rpm\nc: 3\n", Loader=Watched)
    texts = [event.value for event in events if isinstance(event, yaml.ScalarEvent)]
    assert texts == ["a", "1", "b", "[60] rpm\n", "c", "3"]


def test_what_lies_ahead_of_the_end_is_padded_with_a_nought() -> None:
    """prefix() never runs short: what is beyond the text is a NUL and nothing."""
    assert yaml.SafeLoader("[1]").prefix(400).partition("\0")[0] == "[1]"


@pytest.mark.parametrize("reader", READERS)
def test_every_node_is_an_event_with_its_place(reader: Any) -> None:
    """Each key and value in its order, lists and groups with an end, and whether they stand in brackets."""
    seen = [
        (type(event).__name__, event.start_mark.line, event.start_mark.column, flow(event))
        for event in yaml.parse("a: [1]\nbb:\n- c\n", Loader=reader)
    ]
    ends = [name for name, *_ in seen if name.endswith("EndEvent")]
    assert ends == [f"{kind}EndEvent" for kind in ("Sequence", "Sequence", "Mapping", "Document", "Stream")]
    assert [event for event in seen if not event[0].endswith("EndEvent")] == [
        ("StreamStartEvent", 0, 0, False),
        ("DocumentStartEvent", 0, 0, False),
        ("MappingStartEvent", 0, 0, False),
        ("ScalarEvent", 0, 0, False),
        ("SequenceStartEvent", 0, 3, True),
        ("ScalarEvent", 0, 4, False),
        ("ScalarEvent", 1, 0, False),
        ("SequenceStartEvent", 2, 0, False),
        ("ScalarEvent", 2, 2, False),
    ]


def flow(event: Any) -> bool:
    """Whether it begins a list or a group in brackets."""
    return bool(getattr(event, "flow_style", False))


@pytest.mark.parametrize("reader", READERS)
def test_a_text_of_nothing_has_no_document(reader: Any) -> None:
    """Its stream ends as it begins."""
    events = yaml.parse("# remark\n", Loader=reader)
    assert [type(event) for event in events] == [yaml.StreamStartEvent, yaml.StreamEndEvent]


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize(
    ("text", "event", "anchor", "tag"),
    [
        ("&here a", yaml.ScalarEvent, "here", None),
        ("!mine a", yaml.ScalarEvent, None, "!mine"),
        ("a", yaml.ScalarEvent, None, None),
    ],
)
def test_an_event_tells_its_anchor_and_its_tag(
    reader: Any, text: str, event: type, anchor: str | None, tag: str | None
) -> None:
    """What a spec may not use can be told where it stands."""
    *_, found, _, _ = yaml.parse(text, Loader=reader)
    assert (type(found), found.anchor, found.tag) == (event, anchor, tag)


@pytest.mark.parametrize("reader", READERS)
def test_an_alias_is_an_event_of_its_own(reader: Any) -> None:
    """'*here' is not followed."""
    events = list(yaml.parse("[&here a, *here]", Loader=reader))
    assert [event.anchor for event in events if isinstance(event, yaml.AliasEvent)] == ["here"]


@pytest.mark.parametrize("reader", READERS)
def test_a_key_with_nothing_after_it_has_a_text_of_no_length(reader: Any) -> None:
    """It is told from an empty text in quotes."""
    texts = [each for each in yaml.parse("a:\nb: ''\n", reader) if isinstance(each, yaml.ScalarEvent)]
    assert [(each.value, each.end_mark.index - each.start_mark.index) for each in texts] == [
        ("a", 1),
        ("", 0),
        ("b", 1),
        ("", 2),
    ]


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


@pytest.mark.parametrize("reader", READERS)
def test_a_mark_has_its_place_in_the_text(reader: Any) -> None:
    """index counts letters, not bytes: what stands at a mark, and as far as another, can be looked at."""
    text = "²: [1,\r\n  ²b] # c\n"
    (start,) = (each for each in yaml.parse(text, reader) if isinstance(each, yaml.SequenceStartEvent))
    (end,) = (each for each in yaml.parse(text, reader) if isinstance(each, yaml.SequenceEndEvent))
    assert text[start.start_mark.index : end.end_mark.index] == "[1,\r\n  ²b]"
