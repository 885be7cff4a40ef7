"""What the models say of every key: its meaning, how it is written, an example of its own."""

import re
from typing import Any

import pytest
import yaml

from cardgen.spec import key_reference
from cardgen.spec.complaint import Refusal
from cardgen.spec.models import KINDS, fields, tooling, toolroom
from cardgen.spec.models.keys import Keys, Said, Written, as_yaml, keys_of, said, said_below
from cardgen.spec.told import words
from tests.kept_keys import written

EVERY = [each for kind, model in KINDS.items() for each in said_below(model, (kind,))]
VALUES = [each for each in EVERY if each.below is None]


def group_of(key: Said) -> type[Keys]:
    """The model that the key stands in."""
    model: type[Keys] = KINDS[key.path[0]]
    for step in key.path[1:-1]:
        model = next(each.below for each in said(model) if each.name == step and each.below)
    return model


def of_examples(model: type[Keys]) -> dict[str, Any]:
    """A record of nothing but the examples of its keys."""
    return {each.name: _example(each) for each in said(model)}


def _example(key: Said) -> Any:
    if key.below is None:
        return list(key.example) if isinstance(key.example, tuple) else key.example
    return [of_examples(key.below)] if key.many else of_examples(key.below)


@pytest.mark.parametrize("kind", KINDS)
def test_every_example_is_read_by_its_own_key(kind: str) -> None:
    """All keys of a record at once, each as its example has it."""
    KINDS[kind].model_validate(of_examples(KINDS[kind]))


@pytest.mark.parametrize("key", EVERY, ids=lambda key: key.dotted)
def test_a_key_says_what_it_means_and_what_holds_without_it(key: Said) -> None:
    """In words; one that may be left out says what holds then."""
    assert key.meaning
    assert key.written
    assert key.required or key.unstated


@pytest.mark.parametrize("key", VALUES, ids=lambda key: key.dotted)
def test_the_example_of_a_key_can_be_copied(key: Said) -> None:
    """It is read as it stands, by YAML readers old and new alike, and says more than the default does."""
    text = as_yaml(key.example)
    assert yaml.safe_load(f"a: {text}")["a"] == yaml.load(f"a: {text}", yaml.BaseLoader)["a"] or re.fullmatch(
        r"[0-9]+|true|false", text
    )
    written = key.example if isinstance(key.example, tuple) else (key.example,)
    assert not key.choices or set(written) <= set(key.choices)
    assert ", ".join(key.example) != key.unstated if isinstance(key.example, tuple) else True
    assert key.example != key.unstated


def test_no_two_keys_of_unlike_meaning_share_an_example_by_type() -> None:
    """Copied from a message, an example is of the key's own kind: a division is no length of a taper."""
    lengths = [each.example for each in VALUES if each.written.startswith("a length")]
    assert len(set(lengths)) > len(lengths) / 2


def test_the_words_of_the_keys_are_of_the_keys_that_there_are() -> None:
    """Every key of every model has its words, every value an example, and there are words of no other key."""
    told = words("cardgen.spec.models", "keys.toml")
    models = {model: None for key in EVERY for model in (group_of(key), key.below) if model}
    assert {name: set(keys) for name, keys in told.items()} == {
        model.__name__: set(keys_of(model)) for model in models
    }
    for each in (each for keys in told.values() for each in keys.values()):
        assert {"meaning"} <= set(each) <= {"meaning", "example", "unstated", "usual"}
    assert all(key.example for key in VALUES)


def test_every_kind_of_value_has_words_and_no_words_are_of_no_kind() -> None:
    """How it is written is told of each kind of value that a key holds."""
    kinds = [each.kind for module in (fields, tooling, toolroom) for each in written_in(module)]
    assert set(kinds) == set(words("cardgen.spec.models", "written.toml"))


def written_in(module: Any) -> list[Written]:
    """The ways of writing that a module of the models defines, in names of its own or in its groups."""
    own = [each for held in vars(module).values() for each in getattr(held, "__metadata__", ())]
    groups = [held for held in vars(module).values() if isinstance(held, type) and issubclass(held, Keys)]
    own += [each for group in groups for key in keys_of(group).values() for each in key.metadata]
    return [each for each in own if isinstance(each, Written)]


def test_the_page_of_the_keys_and_the_schema_beside_the_specs_are_true() -> None:
    """They are what the models say now; `python -m tests.kept_keys` keeps them anew."""
    assert {path: path.read_text("utf-8") for path in written()} == written()


def test_a_key_is_told_whole_when_it_is_asked_for() -> None:
    """What it means, how it is written, an example, what holds without it, which papers show it."""
    assert key_reference.about("gauge.calibration_due") == [
        "gauge.calibration_due",
        "    when it must be calibrated again",
        "    written   a date: year-month-day",
        '    such as   calibration_due: "2027-03-31"',
        "    left out  no date is watched",
        "    shown on  card, values, notice",
    ]


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ("", {"part.taper.relief", "machine.swivel.scales.shows"}),
        ("wheel.dresser", {"wheel.dresser", "wheel.dresser.type"}),
        ("relief", {"part.taper.relief"}),
        ("part", {"part.id", "part.taper.gauge_line.from_end"}),
    ],
)
def test_keys_are_found_by_kind_by_group_and_by_their_bare_name(asked: str, told: set[str]) -> None:
    """Nothing asked is everything, a line a key."""
    assert told <= {line.split()[0] for line in key_reference.about(asked) if line.strip()}


def test_an_unknown_key_is_answered_with_the_nearest() -> None:
    """Of all kinds, groups and names."""
    with pytest.raises(Refusal, match="is no key of a spec; did you mean 'relief'"):
        key_reference.about("relieff")
