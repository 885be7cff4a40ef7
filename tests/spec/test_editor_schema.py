"""The JSON Schema for editors: what it says of each key, what it catches while typing, no false alarm."""

import json
import re
from functools import cache
from pathlib import Path
from typing import Any, get_args

import pytest
import yaml
from hypothesis import example, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from pydantic import TypeAdapter, ValidationError
from ruamel.yaml import YAML

from cardgen.spec.models import FORMAT, KINDS, fields, tooling, toolroom
from cardgen.spec.models.keys import Written, said_below
from cardgen.spec.schema import json_schema
from cardgen.spec.shapes import shapes
from cardgen.spec.skeleton import schema_line, skeleton
from tests.conftest import TOP

SCHEMA = json_schema()
EDITOR = Draft202012Validator(SCHEMA)
LAID_DOWN = sorted((TOP / "specs").glob("*.yaml"))


def record(kind: str) -> dict[str, Any]:
    """The schema of one kind."""
    found = SCHEMA["$defs"][kind]
    assert isinstance(found, dict)
    return found


def at(path: tuple[str, ...]) -> dict[str, Any]:
    """What the schema says of a key."""
    found = record(path[0])
    for step in path[1:]:
        found = found.get("items", found)["properties"][step]
    return found


def complaints(text: str) -> list[str]:
    """Where an editor marks the documents of a text, and what it says."""
    found = []
    for document in YAML(typ="safe", pure=True).load_all(text):
        found += [f"{error.json_path}: {error.message}" for error in EDITOR.iter_errors(document)]
    return found


def test_it_is_a_schema_of_the_draft_that_it_names() -> None:
    """Draft 2020-12, and JSON."""
    Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == Draft202012Validator.META_SCHEMA["$id"]
    assert json.loads(json.dumps(SCHEMA)) == SCHEMA


def test_the_kind_decides_what_an_editor_says() -> None:
    """A gauge without a length is told that alone, not that it is no machine either."""
    (told,) = complaints("kind: wheel-head\n")
    assert "'wheel-head' is not one of ['part', 'gauge'" in told
    gauge = "kind: gauge\nid: R-1\ntype: ring\ntaper: {callout: '1:8'}\n"
    assert complaints(gauge) == ["$: 'length' is a required property"]
    (told,) = complaints(gauge + "length: 50 mm\nlenght: 50 mm\n")
    assert "'lenght' was unexpected" in told


EVERY = [each for kind, model in KINDS.items() for each in said_below(model, (kind,))]


@pytest.mark.parametrize("key", EVERY, ids=lambda key: key.dotted)
def test_a_key_has_its_description_its_example_and_its_default(key: Any) -> None:
    """As the model says them; example and default are themselves what the schema takes."""
    told = at(key.path)
    assert key.meaning in told["description"]
    assert key.required or key.unstated in told["description"]
    if key.below is None:
        for value in [*told["examples"], *([told["default"]] if "default" in told else [])]:
            assert Draft202012Validator(told).is_valid(value)
    assert ("default" in told) == bool(key.default and key.below is None)


def test_keys_are_named_as_the_spec_writes_them() -> None:
    """`length`, not the program's `length_mm`."""
    assert "length" in record("gauge")["properties"]
    assert not [name for name in record("gauge")["properties"] if name.endswith("_mm")]


def test_choices_are_listed() -> None:
    """An editor offers ring, plug and light."""
    assert at(("gauge", "type"))["enum"] == ["ring", "plug", "light", "mate"]


def test_an_editor_knows_the_format_of_every_record() -> None:
    """It need not be stated, and no other may be."""
    for kind in KINDS:
        assert record(kind)["properties"]["format"]["const"] == FORMAT
        assert "format" not in record(kind)["required"]


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("part.taper.length", "62"),
        ("part.taper.length", 62),
        ("part.taper.length", "62 mn"),
        ("part.taper.length", "62 deg"),
        ("part.taper.length", ""),
        ("part.taper.length", "1:8"),
        ("part.taper.gauge_line.tolerance", "± 0.010 rpm"),
        ("part.taper.gauge_line.tolerance", "0.010 mm"),
        ("part.taper.gauge_line.tolerance", "± 0.010"),
        ("part.taper.callout", "one in eight"),
        ("part.taper.callout", "0.602"),
        ("part.taper.callout", "60 deg"),
        ("part.taper.callout", "Mors 3"),
        ("part.taper.callout", "1/8"),
        ("part.taper.angle_tolerance", "AT99"),
        ("part.taper.angle_tolerance", "AT0"),
        ("part.taper.angle_tolerance", "8 arcsec"),
        ("part.taper.angle_tolerance", "± 8"),
        ("part.gauging.read_with.rough", "steel rule"),
        ("part.gauging.read_with.rough", "steel rule 0.5"),
        ("part.gauging.finish", "3.0 mm ± 0.2"),
        ("part.stock.blank", "0.35 .. 0.50"),
        ("part.stock.blank", "0.35 mm"),
        ("part.stock.spark_out_passes", "three"),
        ("part.batch.gauging_time", "40"),
        ("part.batch.gauging_time", "40 mm"),
        ("part.setup.wheel_speed", "1670"),
        ("gauge.calibration_due", "March 2027"),
        ("gauge.taper_uncertainty", "2 arcsec"),
        ("machine.swivel.limit", "10"),
        ("machine.swivel.scales.division", "1/8"),
        ("machine.work_speeds", "60, 90"),
        ("machine.work_speeds", [60, 90]),
        ("machine.traverse", "50 .. 4000 mm"),
        ("wheel.maximum_operating_speed", "35 mm"),
        ("wheel.id", "W A60"),
        ("shop.temperature_difference", "1"),
        ("shop.paper", "A7"),
    ],
)
def test_what_lacks_its_unit_or_has_anothers_shows_while_typing(key: str, value: Any) -> None:
    """Nonsense is marked in the editor, before anything is loaded."""
    assert not Draft202012Validator(at(tuple(key.split(".")))).is_valid(value)


@cache
def readers() -> dict[str, TypeAdapter[Any]]:
    """The reader of each way of writing a value, by the name of its shape."""
    found: dict[str, TypeAdapter[Any]] = {}
    for module in (fields, toolroom, tooling):
        for each in vars(module).values():
            for metadata in getattr(each, "__metadata__", ()):
                if isinstance(metadata, Written):
                    found.setdefault(metadata.shape, TypeAdapter(each))
    assert get_args(fields.Length)
    return found


NUMBERS = ["3", ".5", "0.010", "1 1/2", "1-1/2", "7/32", "1½", "⅜", "7⁄32", "1 000"]
SIGNS = ["", "-", "−", "–", "+", "± ", "+/-", "+.01 -", " .. ", "…", " – ", ":", "∶", ", ", " / ", "/"]
LENGTHS = ["mm", " mm", " in", '"', "''", "′′", "″", " ft", "′", " thou", " µm", " μm", "\u00a0mm", ""]
OTHERS = [
    "°",
    " deg",
    " min",
    " s",
    "'",
    " arcsec",
    " rpm",
    " rev/min",
    " r / minute",
    " m/s",
    " mm/min",
    " K",
    "°C",
    "º",
]
SLOPES = ["%", " in/ft", " mm/m", " mm per 100 mm", " in per ft", "mm/mm"]
WORDS = [
    "included angle ",
    "half ",
    " half angle",
    "AT",
    "at 6",
    " over the length",
    " over 50 mm",
    "rule ",
    " caliper ",
]
NAMES = [
    "Morse ",
    "morse taper no. ",
    "B&S",
    "Brown and Sharpe ",
    "R8",
    "5C",
    "ISO 40",
    "Jarno ",
    "MT3",
    "JT",
]
YAML_SIGNS = [
    "[",
    "]",
    "true",
    "No",
    "2027-03-31",
    "%Y",
    "A5",
    "half letter",
    "5 × 8 in",
    "SN-204",
    "Ü.1",
    "40",
]
PIECES = st.sampled_from([*NUMBERS, *SIGNS, *LENGTHS, *OTHERS, *SLOPES, *WORDS, *NAMES, *YAML_SIGNS])
FIGURE = st.tuples(st.sampled_from(NUMBERS), st.sampled_from([*LENGTHS, *OTHERS, *SLOPES])).map("".join)
SIGNED = st.tuples(st.sampled_from(SIGNS), FIGURE).map("".join)
TEXTS = st.one_of(
    st.lists(SIGNED, min_size=1, max_size=3).map("".join),
    st.lists(st.one_of(SIGNED, PIECES), min_size=1, max_size=4).map("".join),
    st.tuples(st.sampled_from(NAMES), st.sampled_from(NUMBERS)).map("".join),
)
NO_TEXTS = {"texts", "ids", "two lengths", "text"}  # lists, and what is any text


@settings(max_examples=100)
@example('± +3"')
@given(TEXTS)
def test_what_the_program_reads_is_never_marked_in_the_editor(text: str) -> None:
    """Whatever its signs and spaces: a pattern is never stricter than the reader that it stands for."""
    known = shapes_once()
    for shape, reader in readers().items():
        if shape in NO_TEXTS or known[shape].is_valid(text):
            continue
        try:
            value = reader.validate_python(text)
        except ValidationError:
            continue
        unknown_name = shape == "callout" and value.standard is not None
        grade = shape == "angle limits" and value.grade is not None  # the table of grades judges it later
        assert unknown_name or grade, (shape, text)


@cache
def shapes_once() -> dict[str, Draft202012Validator]:
    return {name: Draft202012Validator(shape) for name, shape in shapes().items()}


def test_every_name_of_a_standard_taper_is_taken() -> None:
    """In any spelling that the library knows."""
    from cardgen.tapers.lookup import index, spelled

    callout = shapes_once()["callout"]
    names = [" ".join(words) for line in index() for words in spelled(line)]
    names += [taper.name for line in index() for taper in spelled(line).values()]
    assert [name for name in names if not callout.is_valid(name)] == []


def test_every_shape_is_used_and_every_use_has_its_shape() -> None:
    """No pattern lies about that no key is written by."""
    assert {key.shape for key in EVERY if key.shape} == set(shapes())


def laid_down() -> list[Any]:
    """Every spec that the program lays down or shows: the demo shop, the README's, and empty skeletons."""
    readme = re.findall(r"```yaml\n(.*?)```", (TOP / "README.md").read_text("utf-8"), re.DOTALL)
    demo = [pytest.param(path.read_text("utf-8"), id=path.name) for path in LAID_DOWN]
    demo += [pytest.param(block, id="README") for block in readme]
    return [*demo, *(pytest.param(skeleton(kind, "X-1", "s.json"), id=f"new {kind}") for kind in KINDS)]


@pytest.mark.parametrize("text", laid_down())
def test_what_is_laid_down_loads_alike_in_every_reader_of_yaml(text: str) -> None:
    """1:8 is no number of minutes, a date no date: of YAML 1.1 and 1.2 alike, and as the program reads it."""
    old = list(yaml.safe_load_all(text))
    assert old == list(YAML(typ="safe", pure=True).load_all(text))
    assert _as_text(old) == _as_text(list(yaml.load_all(text, yaml.BaseLoader)))


def _as_text(part: Any) -> Any:
    if isinstance(part, dict):
        return {key: _as_text(value) for key, value in part.items()}
    if isinstance(part, list):
        return [_as_text(entry) for entry in part]
    return "" if part is None else str(part).casefold()


@pytest.mark.parametrize("path", LAID_DOWN, ids=lambda path: path.name)
def test_what_is_laid_down_is_tied_to_the_schema_and_passes_it(path: Path) -> None:
    """Its first line names the schema that lies beside it."""
    text = path.read_text("utf-8")
    assert text.splitlines()[0] == schema_line("record-schema.json")
    assert complaints(text) == []
