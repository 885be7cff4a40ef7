"""The JSON Schema of the spec files, for editors that complete and check YAML as it is written."""

from typing import Any

from pydantic.json_schema import models_json_schema

from cardgen.spec.models import FORMAT, KINDS


def json_schema() -> dict[str, Any]:
    """One schema for every kind of record: keys as written, quantities as texts with their unit."""
    _, combined = models_json_schema(
        [(model, "validation") for model in KINDS.values()], ref_template="#/$defs/{model}"
    )
    definitions: dict[str, Any] = _plain(combined["$defs"])
    records = [_record(kind, definitions[model.__name__]) for kind, model in KINDS.items()]
    return {
        "$schema": "http://json-schema.org/draft-07/schema#",
        "title": "Record of a grinding shop",
        "type": "object",
        "required": ["kind"],
        "oneOf": records,
        "$defs": {name: definitions[name] for name in sorted(_referred(records, definitions))},
    }


def _record(kind: str, definition: dict[str, Any]) -> dict[str, Any]:
    """The schema of one kind, with the keys that say which kind it is and of which format."""
    says = {"const": kind, "description": definition.get("description", kind)}
    formed = {"const": FORMAT, "description": "what the record was written for; unstated: this one"}
    return {
        **definition,
        "title": kind,
        "properties": {"kind": says, "format": formed, **definition["properties"]},
        "required": ["kind", *definition.get("required", ())],
    }


def _referred(part: Any, definitions: dict[str, Any]) -> set[str]:
    """Names of the definitions that this part of the schema refers to, directly or through others."""
    if isinstance(part, list):
        return {name for entry in part for name in _referred(entry, definitions)}
    if not isinstance(part, dict):
        return set()
    found = {name for value in part.values() for name in _referred(value, definitions)}
    if "$ref" in part:
        name = part["$ref"].rpartition("/")[2]
        found |= {name} | _referred(definitions[name], definitions)
    return found


def _plain(part: Any) -> Any:
    """Without what only the program needs: titles of fields, nulls, defaults in mm, remarks on None."""
    if isinstance(part, list):
        return [_plain(entry) for entry in part]
    if not isinstance(part, dict):
        return part
    if isinstance(part.get("anyOf"), list):
        kept = [_plain(choice) for choice in part["anyOf"] if choice != {"type": "null"}]
        rest = {key: value for key, value in part.items() if key != "anyOf"}
        part = {**kept[0], **rest} if len(kept) == 1 and "$ref" not in kept[0] else {**rest, "anyOf": kept}
    found: dict[str, Any] = {}
    for key, value in part.items():
        if key == "properties":
            found[key] = {name: _plain(below) for name, below in value.items()}
        elif key == "description":
            found[key] = " ".join(value.partition("\n\n")[0].split())
        elif key not in ("title", "default") or (key == "default" and "enum" in part and value):
            found[key] = _plain(value)
    return found
