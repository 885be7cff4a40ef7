"""The JSON Schema for editors: keys as written, choices, descriptions, quantities as texts."""

import json
from typing import Any

from cardgen.spec import json_schema
from cardgen.spec.models import FORMAT, KINDS

SCHEMA = json_schema()


def record(kind: str) -> dict[str, Any]:
    """The schema of one kind."""
    (found,) = [one for one in SCHEMA["oneOf"] if one["title"] == kind]
    assert isinstance(found, dict)
    return found


def test_every_kind_of_record_is_in_the_schema() -> None:
    """Each told by the constant of its key `kind`."""
    assert {one["properties"]["kind"]["const"] for one in SCHEMA["oneOf"]} == set(KINDS)


def test_the_schema_is_json() -> None:
    """It can be printed for an editor."""
    assert json.loads(json.dumps(SCHEMA)) == SCHEMA


def test_keys_are_named_as_the_spec_writes_them() -> None:
    """`length`, not the program's `length_mm`."""
    assert "length" in record("gauge")["properties"]
    assert not [name for name in record("gauge")["properties"] if name.endswith("_mm")]


def test_a_quantity_is_a_text_with_an_example_of_its_unit() -> None:
    """Editors complete '50 mm', not a number of millimetres: and an example of this key, not of its type."""
    length = record("gauge")["properties"]["length"]
    assert length["type"] == "string"
    assert length["examples"] == ["50 mm"]


def test_choices_are_listed() -> None:
    """An editor offers ring, plug and light."""
    assert record("gauge")["properties"]["type"]["enum"] == ["ring", "plug", "light"]


def test_every_key_has_a_description() -> None:
    """At every depth of every record."""
    for definition in (*SCHEMA["oneOf"], *SCHEMA["$defs"].values()):
        for name, field in definition["properties"].items():
            assert field.get("description"), (definition, name)


def test_no_key_may_be_nothing() -> None:
    """An optional key is left out, never written with nothing after it."""
    assert '"null"' not in json.dumps(SCHEMA)


def test_an_editor_knows_the_format_of_every_record() -> None:
    """It need not be stated, and no other may be."""
    for kind in KINDS:
        assert record(kind)["properties"]["format"]["const"] == FORMAT
        assert "format" not in record(kind)["required"]
