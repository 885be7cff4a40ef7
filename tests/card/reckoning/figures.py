"""Every figure and every choice of words that a card can hold, by its own types; and what stands there."""

from collections.abc import Callable
from dataclasses import fields, is_dataclass
from types import NoneType
from typing import Any, Literal, get_args, get_origin, get_type_hints


def number_paths(card: type) -> list[str]:
    """`stages[*].stock_mm`, `doubt.parts[*]`: the path of every number that a card can hold."""
    return list(_paths(card, "", lambda held: held in (int, float)))


def choice_paths(card: type) -> list[str]:
    """The path of every yes or no and of every choice between fixed words."""
    return list(_paths(card, "", lambda held: held is bool or get_origin(held) is Literal))


def _paths(held: Any, path: str, wanted: Callable[[Any], bool]) -> dict[str, None]:
    """In their order, each once."""
    if wanted(held):
        return {path: None}
    if isinstance(held, type) and is_dataclass(held):
        hints = get_type_hints(held)
        inner = [(hints[each.name], f"{path}.{each.name}".removeprefix(".")) for each in fields(held)]
    elif get_origin(held) is Literal:
        inner = []
    else:
        many = "[*]" if get_origin(held) in (tuple, dict) else ""
        inner = [(each, path + many) for each in get_args(held) if each not in (NoneType, Ellipsis, str)]
    return {found: None for each, at in inner for found in _paths(each, at, wanted)}


def figures_at(held: Any, path: str) -> Any:
    """A number, a word or None; for each `[*]` on the way a list or a dict of them."""
    if not path or held is None:
        return held
    head, _, rest = path.partition(".")
    name, many, _ = head.partition("[*]")
    below = getattr(held, name)
    if not many or below is None:
        return figures_at(below, rest)
    if isinstance(below, dict):
        return {key: figures_at(each, rest) for key, each in below.items()}
    return [figures_at(each, rest) for each in below]
