"""The JSON Schema of the spec files, for editors that complete and check YAML as it is written."""

import json
from typing import Any

from cardgen.spec.models import FORMAT, KINDS
from cardgen.spec.models.keys import Example, Keys, Said, said, summary
from cardgen.spec.shapes import Shape, list_of, shapes


def json_schema() -> dict[str, Any]:
    """One schema for every kind of record: keys as written, quantities as texts with their unit.

    The key `kind` decides which keys are wanted, so that an editor tells of those alone.
    """
    known = shapes()
    kind = {"enum": list(KINDS), "description": "what is recorded; it decides which keys there are"}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Record of a grinding shop",
        "type": "object",
        "required": ["kind"],
        "properties": {"kind": kind},
        "allOf": [
            {
                "if": {"properties": {"kind": {"const": name}}, "required": ["kind"]},
                "then": {"$ref": f"#/$defs/{name}"},
            }
            for name in KINDS
        ],
        "$defs": {name: _record(name, known) for name in KINDS},
    }


def _record(kind: str, known: dict[str, Shape]) -> dict[str, Any]:
    """The schema of one kind, with the keys that say which kind it is and of which format."""
    group = _group(KINDS[kind], known)
    formed = {
        "const": FORMAT,
        "description": "what the record was written for. Left out: this program's own.",
    }
    own = {"kind": {"const": kind, "description": summary(KINDS[kind])}, "format": formed}
    return {**group, "title": kind, "properties": {**own, **group["properties"]}}


def _group(model: type[Keys], known: dict[str, Shape]) -> dict[str, Any]:
    keys = list(said(model))
    return {
        "type": "object",
        "additionalProperties": False,
        "required": [key.name for key in keys if key.required],
        "properties": {key.name: _key(key, known) for key in keys},
    }


def _key(key: Said, known: dict[str, Shape]) -> dict[str, Any]:
    """What is said of a key, and the shape of its value."""
    left_out = "" if key.required else f". Left out: {key.unstated}"
    told: dict[str, Any] = {"description": f"{key.meaning}{left_out}."}
    if key.below is not None:
        group = _group(key.below, known)
        return {**told, **({"type": "array", "items": group} if key.many else group)}
    shape = _one_of(key) if key.choices else known[key.shape]
    told["examples"] = [_typed(key.example, shape)]
    if key.default:
        told["default"] = _typed(key.default, shape)
    return {**told, **shape}


def _one_of(key: Said) -> Shape:
    """One of a fixed few words, or a list of such."""
    words: Shape = {"enum": list(key.choices)}
    return list_of(words) if key.shape == "texts" else words


def _typed(written: Example, shape: Shape) -> Any:
    """A value as JSON has it: a number or a truth where the shape takes one, else its text."""
    if isinstance(written, tuple):
        return list(written)
    bare = {"boolean", "integer", "number"} & set(shape.get("type", ())) - {"string"}
    return json.loads(written) if bare and shape["type"] != ["string", "number"] else written
