"""Whether what a record says lies within the limits of sense: figures, lists and texts, key by key.

The limits are data (cardgen/bounds.txt); a figure of a key without a line of its own has been held against
its kind of quantity when it was read.
"""

import math
from collections.abc import Iterator
from typing import Any

from cardgen.bounds import Limit, table
from cardgen.spec.build import dotted
from cardgen.spec.callout import AngleTolerance, Callout, TaperUncertainty, ToolCallout, read_callout
from cardgen.spec.complaint import Mistake, Refusal, shown
from cardgen.spec.likely import likely
from cardgen.spec.models.keys import Keys, key_of
from cardgen.spec.quantity import Figure, Span, Steps, Tolerance, Toleranced, read_length
from cardgen.spec.yamlfile import Node

Path = tuple[str | int, ...]


def beyond_sense(kind: str, record: Keys, node: Node) -> Iterator[Mistake]:
    """Every value written in a record that lies beyond its limits."""
    for path, written, value in _written(record, node, ()):
        keys = [step for step in path if isinstance(step, str)]
        name = ".".join(keys if keys[0] == "shop" and len(keys) > 1 else (kind, *keys))
        if isinstance(value, tuple):
            room = table().get(f"{name}.entries", table()["list"])
            if not room.allows(len(value)):
                told = f"the card has room for {room.most:g}"
                yield Mistake(path, f"there are {len(value)} {room.unit}", told)
        texts = [each for each in (value if isinstance(value, tuple) else (value,)) if isinstance(each, str)]
        for text in texts:
            yield from _too_long(path, text, table().get(name, table()["text"]))
        if isinstance(value, ToolCallout):
            yield from _too_long(path, value.name, table()["tool"])
        limit = table().get(name)
        if limit is not None and not texts and not all(map(limit.allows, _sizes(value))):
            told = shown(written.value) if isinstance(written.value, str) else "a figure"
            right = f"it takes {limit.told()}{_meant(written, value, limit)}"
            yield Mistake(path, f"{told} is beyond sense at '{dotted(path)}'", right)


def _meant(written: Node, value: Any, limit: Limit) -> str:
    """'; if millimetres was meant, write 38 mm', where that lies within the limit."""

    def sensible(text: str) -> bool:
        try:
            read: Any = read_callout(text) if isinstance(value, Callout) else read_length(text)
        except Refusal:
            return False
        return all(map(limit.allows, _sizes(read)))

    meant = likely(written.value, sensible) if isinstance(written.value, str) else ""
    return f"; {meant}" if meant else ""


def _too_long(path: Path, text: str, limit: Limit) -> Iterator[Mistake]:
    if not limit.allows(len(text)):
        yield Mistake(path, f"{shown(text)} has {len(text)} letters", f"the card has room for {limit.most:g}")


def _written(record: Keys, node: Node, path: Path) -> Iterator[tuple[Path, Node, Any]]:
    """(path, node, value) of every key that stands in the text, groups of keys opened."""
    for name in type(record).model_fields:
        key = key_of(name)
        below = node.value.get(key) if isinstance(node.value, dict) else None
        if below is None:
            continue
        value = getattr(record, name)
        if isinstance(value, Keys):
            yield from _written(value, below, (*path, key))
        elif isinstance(value, tuple) and value and isinstance(value[0], Keys):
            listed = below.value if isinstance(below.value, list) else []
            for index, (each, at) in enumerate(zip(value, listed, strict=False)):
                yield from _written(each, at, (*path, key, index))
        else:
            yield (*path, key), below, value


def _sizes(value: Any) -> Iterator[float]:
    """The numbers that a limit is held against, in the program's units."""
    match value:
        case bool() | None:
            return
        case int() | float():
            yield value
        case tuple():
            for each in value:
                yield from _sizes(each)
        case Figure():
            yield value.value
        case Span() | Steps():
            yield from (value.low, value.high)
        case Tolerance():
            yield from (value.minus, value.plus)
        case Toleranced():
            yield from (value.nominal - value.minus, value.nominal + value.plus)
        case ToolCallout():
            yield value.division_mm
        case Callout():
            yield from _ratios(value.ratio, value.included_angle, value.half_angle)
        case TaperUncertainty():
            ratio, included, half = value.ratio, value.included_angle_rad, value.half_angle_rad
            yield max(ratio or 0.0, included or 0.0, 2 * (half or 0.0))  # of small angles
        case AngleTolerance():
            for share, limits in ((1, value.included_angle_rad), (2, value.half_angle_rad)):
                yield share * max(limits.minus, limits.plus) if limits is not None else 0.0


def _ratios(ratio: Figure | None, included: Figure | None, half: Figure | None) -> Iterator[float]:
    """A callout as change of diameter per length; a standard's, which is none of the writer's, as it is."""
    if ratio is not None:
        yield ratio.value
    if included is not None:
        yield 2 * math.tan(min(included.value, 3.1) / 2)
    if half is not None:
        yield 2 * math.tan(min(half.value, 1.55))
