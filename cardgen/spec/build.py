"""A record's tree of text → its model, or every finding about it in plain words.

pydantic checks shape and calls the readers; what it says is turned into the words of the shop here.
"""

from typing import Any, TypeVar

from pydantic import ValidationError

from cardgen.spec.complaint import Mistake, Refusal, did_you_mean, nearest, one_of, shown
from cardgen.spec.likely import likely
from cardgen.spec.models import KINDS
from cardgen.spec.models.keys import Keys, Said, as_yaml, keys_of, said, said_below

# Keys that specs had and that nothing is made from now, and what to do with each.
OF_OLD = {"rounding": "leave it out: each figure is printed to the digits that its use asks for"}

_Model = TypeVar("_Model", bound=Keys)


def build(model: type[_Model], data: dict[str, Any]) -> tuple[_Model | None, list[Mistake]]:
    """The record, or None and every finding about it."""
    try:
        return model.model_validate(data), []
    except ValidationError as error:
        found = [_finding(model, data, detail) for detail in error.errors(include_url=False)]
        return None, [finding for finding in found if finding.at not in {each.meant for each in found}]


def _finding(model: type[Keys], data: dict[str, Any], detail: Any) -> Mistake:
    """One of pydantic's errors as a finding."""
    path: tuple[str | int, ...] = detail["loc"]
    key, name = _key_at(model, path), str(path[-1]) if path else ""
    if key is not None and detail["input"] == "":
        right = f"{_how_to_write(key, name)}{'' if key.required else ', or leave the key out'}"
        return Mistake(path, f"'{name}' stands empty{_inside(path)}", right)
    refusal = detail.get("ctx", {}).get("error")
    if isinstance(refusal, Refusal):
        return refusal.at(path, _instead(model, data, path, refusal))
    if detail["type"] == "extra_forbidden":
        return _unknown_key(model, path)
    if detail["type"] == "missing":
        return Mistake(path, f"'{name}' is missing{_inside(path)}", _how_to_write(key, name))
    if detail["type"] == "literal_error":
        choices = list(key.choices) if key is not None else []
        written = detail["input"] if isinstance(detail["input"], str) else "several entries"
        advice = did_you_mean(written, choices)
        return Mistake(path, f"{shown(written)} is not a choice for '{name}'", _with_choices(advice, choices))
    if detail["type"] in ("tuple_type", "list_type"):
        return Mistake(path, f"'{name}' must be a list", "write its entries one a line, each after '- '")
    known = ", ".join(keys_of(_model_at(model, path) or model))
    return Mistake(path, f"'{name}' must be a group of keys", f"write under it: {known}")


def _instead(model: type[Keys], data: dict[str, Any], path: tuple[str | int, ...], refusal: Refusal) -> str:
    """What was likely meant, else what the refusal says, else the key's own example."""

    def reads(text: str) -> bool:
        try:
            model.model_validate(_with(data, path, text))
        except ValidationError as error:
            return all(detail["loc"] != path for detail in error.errors(include_url=False))
        return True

    written: Any = data
    for step in path:
        written = written[step]
    meant = likely(written, reads) if isinstance(written, str) else ""
    key = _key_at(model, path)
    if meant or not refusal.such_as or key is None:
        return meant or refusal.right
    if not key.example or (isinstance(key.example, str) and not reads(key.example)):
        return refusal.right
    return f"write such as {as_yaml(key.example)} ({key.meaning})"


def _with(data: Any, path: tuple[str | int, ...], text: str) -> Any:
    """The record with this text at this path."""
    if not path:
        return text
    changed = dict(data) if isinstance(data, dict) else dict(enumerate(data))
    changed[path[0]] = _with(changed[path[0]], path[1:], text)
    return changed if isinstance(data, dict) else list(changed.values())


def _with_choices(advice: str, choices: list[str]) -> str:
    return advice if advice.startswith("known") else f"{advice} (the choices are {one_of(choices)})"


def _inside(path: tuple[str | int, ...]) -> str:
    """' in taper.gauge_line' for a path below the top, nothing at the top."""
    return f" in '{dotted(path[:-1])}'" if len(path) > 1 else ""


def dotted(path: tuple[str | int, ...]) -> str:
    """The path as people write it: swivel.scales[1].shows, counted from one."""
    text = "".join(f"[{step + 1}]" if isinstance(step, int) else f".{step}" for step in path)
    return text.removeprefix(".")


def _unknown_key(model: type[Keys], path: tuple[str | int, ...]) -> Mistake:
    key = str(path[-1])
    if key[:1].isdigit():
        return Mistake(
            path,
            f"{shown(key)} is not a key: a comma inside {{ }} parts entries",
            "leave the comma out" if "." in key else "write a decimal point, not a comma",
            on_key=True,
        )
    known = keys_of(_model_at(model, path[:-1]) or model)
    if key in OF_OLD:
        return Mistake(path, f"the key {shown(key)} serves nothing any more", OF_OLD[key], on_key=True)
    right = _at_home(model, key) or did_you_mean(key, known)
    meant = tuple((*path[:-1], name) for name in nearest(key, known, at_most=1) if name in right)
    return Mistake(
        path,
        f"{shown(key)} is not a key{_inside(path)}",
        right,
        on_key=True,
        meant=meant[0] if meant else None,
    )


def _at_home(model: type[Keys], key: str) -> str:
    """Where a key that is written in the wrong place belongs: in a group of its record, in another record."""
    for kind, record in sorted(KINDS.items(), key=lambda item: item[1] is not model):
        groups = [".".join(each.path[:-1]) for each in said_below(record) if each.name == key]
        if groups and record is model and all(groups):
            return f"write it in {one_of(groups)}"
        if groups and record is not model:
            return f"it is a key of a record of kind {kind}"
    return ""


def _how_to_write(key: Said | None, name: str) -> str:
    """'write it: length: 50 mm (length of its taper, along the axis)'."""
    if key is None:
        return f"write '{name}: …'"
    if key.below is not None:
        return f"write it with {', '.join(keys_of(key.below))} ({key.meaning})"
    if key.choices:
        return f"write '{name}: ' and {one_of(key.choices)} ({key.meaning})"
    return f"write '{name}: {as_yaml(key.example)}' ({key.meaning})"


def _key_at(model: type[Keys], path: tuple[str | int, ...]) -> Said | None:
    """What is said of the key at this path; None where there is no such key, or an entry of a list."""
    owner = _model_at(model, path[:-1]) if path else None
    return next((key for key in said(owner) if key.name == path[-1]), None) if owner else None


def _model_at(model: type[Keys], path: tuple[str | int, ...]) -> type[Keys] | None:
    """The model of the group of keys at this path; None where there is no such group."""
    found: type[Keys] | None = model
    for step in path:
        if isinstance(step, str):
            found = next((key.below for key in said(found) if key.name == step), None) if found else None
    return found
