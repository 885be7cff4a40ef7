"""What a key of a record means, how it is written, what holds where it is left out: said once, in its model.

Every key of every model is made by `key`. The schema, the reference, the skeletons and the 'write it so' of
messages all come from there, through `said`; which papers show a key is measured by the tests.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Any, get_args, get_origin

from pydantic import BaseModel, ConfigDict, Field
from pydantic.fields import FieldInfo

Example = str | tuple[str, ...]


class Keys(BaseModel):
    """A group of keys of a record: frozen, and no key but its own."""

    model_config = ConfigDict(frozen=True, extra="forbid")


def key(
    meaning: str,
    example: Example = "",
    *,
    default: Any = None,
    unstated: str = "",
    usual: bool = False,
    alias: str | None = None,
) -> Any:
    """A key of a record: its meaning in the trade's words, and an example of its own as a spec writes it.

    It must be written where neither `default` (as a spec writes it, and read as one) nor `unstated` (what
    holds then, in words) is given. `usual`: it may be left out, yet most records need it, so that a
    skeleton asks for it. A group of keys needs no example: its keys have theirs.
    """
    optional = default is not None or bool(unstated)
    return Field(
        default if optional else ...,
        alias=alias,
        validate_default=default is not None,
        description=meaning,
        examples=[list(example) if isinstance(example, tuple) else example] if example else None,
        json_schema_extra={"unstated": unstated, "usual": usual},
    )


@dataclass(frozen=True)
class Written:
    """How a value is written, in words, and the name of its shape (`cardgen.spec.shapes`)."""

    words: str
    shape: str


@dataclass(frozen=True)
class Said:
    """What a model says of one key."""

    path: tuple[str, ...]  # from the record down, as a spec writes it
    meaning: str
    written: str  # how its value is written, in words
    shape: str  # the name of that way of writing
    choices: tuple[str, ...]  # where it is one of a fixed few
    example: Example  # nothing for a group of keys
    required: bool
    default: Example  # what holds where it is left out, as a spec writes it, if it can be written
    unstated: str  # what holds where it is left out
    usual: bool
    below: type[Keys] | None  # the group that it holds
    many: bool  # whether it holds several such groups

    @property
    def name(self) -> str:
        return self.path[-1]

    @property
    def dotted(self) -> str:
        return ".".join(self.path)


# A plain text that some reader of YAML takes for a date, minutes and seconds, a sign of YAML, or two texts.
_TO_QUOTE = re.compile(
    r"[0-9]+(:[0-9]+)+|[0-9]{4}-[0-9]{2}-[0-9]{2}|[%&*!|>@`'\"\[\]{}#?,-] ?[^0-9.]|.*(: | #)"
)


def as_yaml(example: Example) -> str:
    """The example as it stands in a spec: every reader of YAML, old or new, has the same text from it."""
    if isinstance(example, tuple):
        return f"[{', '.join(as_yaml(each) for each in example)}]"
    return f'"{example}"' if _TO_QUOTE.match(example) else example


def keys_of(model: type[Keys]) -> dict[str, FieldInfo]:
    """The model's fields by the keys that a spec writes."""
    return {field.alias or name: field for name, field in model.model_fields.items()}


def said(model: type[Keys], above: tuple[str, ...] = ()) -> Iterator[Said]:
    """What the model says of each of its keys, in their order."""
    for name, field in keys_of(model).items():
        yield _said((*above, name), field)


def said_below(model: type[Keys], above: tuple[str, ...] = ()) -> Iterator[Said]:
    """The same for the keys of every group in it too, each group before its keys.

    A record in a record, the shop's in a part's, is a kind of its own and told there.
    """
    for each in said(model, above):
        yield each
        if each.below is not None and "id" not in keys_of(each.below):
            yield from said_below(each.below, each.path)


def said_of(field: FieldInfo, name: str) -> Said:
    """What is said of the key of this field."""
    return _said((name,), field)


def _said(path: tuple[str, ...], field: FieldInfo) -> Said:
    extra = field.json_schema_extra if isinstance(field.json_schema_extra, dict) else {}
    written = next(_written(field.annotation, *field.metadata), None)
    choices = tuple(each for each in _literals(field.annotation) if isinstance(each, str))
    below = model_in(field.annotation)
    default = field.default if isinstance(field.default, str | tuple) else ""
    example = (field.examples or [""])[0]
    many = below is not None and get_origin(field.annotation) is tuple
    return Said(
        path=path,
        meaning=field.description or "",
        written=written.words if written else _of_no_text(choices, below, many),
        shape=written.shape if written else "",
        choices=choices,
        example=tuple(example) if isinstance(example, list) else str(example),
        required=field.is_required(),
        default=default,
        unstated=str(extra.get("unstated") or _in_words(default, below)),
        usual=bool(extra.get("usual")),
        below=below,
        many=many,
    )


def _of_no_text(choices: tuple[str, ...], below: type[Keys] | None, many: bool) -> str:
    if below is not None:
        return "a list of groups of keys" if many else "a group of keys"
    return f"one of: {', '.join(choices)}"


def _in_words(default: Example, below: type[Keys] | None) -> str:
    if below is not None:
        return "as each of its keys says"
    return ", ".join(default) if isinstance(default, tuple) else default


def _written(annotation: Any, *metadata: Any) -> Iterator[Written]:
    """How the value is written, wherever in `X | None` it is said."""
    yield from (each for each in metadata if isinstance(each, Written))
    for each in get_args(annotation):
        further = each.__metadata__ if get_origin(each) is Annotated else ()
        yield from _written(each, *further)


def _literals(annotation: Any) -> Iterator[Any]:
    """The words of a fixed vocabulary, of `Literal[…]` and `Literal[…] | None`."""
    for each in get_args(annotation):
        yield from _literals(each) if get_args(each) else (each,)


def summary(model: type[Keys]) -> str:
    """What a record or a group is: its model's first sentence."""
    return f"{' '.join((model.__doc__ or '').split()).partition('. ')[0].rstrip('.')}."


def model_in(annotation: Any) -> type[Keys] | None:
    """The model inside `Model`, `Model | None` or `tuple[Model, ...]`."""
    if isinstance(annotation, type) and issubclass(annotation, Keys):
        return annotation
    return next((found for inner in get_args(annotation) if (found := model_in(inner))), None)
