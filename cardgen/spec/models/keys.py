"""What a key of a record means, how it is written, what holds where it is left out: said once.

A model says which keys there are, of which kind, and what holds where one is left out; keys.toml beside it
what they mean. The schema, the reference, the skeletons and the 'write it so' of messages all come from
there, through `said`; which papers show a key is measured by the tests.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any, get_args, get_origin

from pydantic import BaseModel, ConfigDict, Field, GetCoreSchemaHandler
from pydantic.fields import FieldInfo
from pydantic_core import core_schema

from cardgen.spec.told import words

Example = str | tuple[str, ...]
_UNIT = re.compile(r"_(mm|rad|s|m_s|rpm|k)$")  # of a field's name: the key itself carries it in its value


def key_of(name: str) -> str:
    """The key that a spec writes for a field, whose name has the unit too."""
    return _UNIT.sub("", name)


class Keys(BaseModel):
    """A group of keys of a record: frozen, and no key but its own."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        validate_default=True,
        defer_build=True,  # until one is met: most groups are only ever read within their record
        alias_generator=key_of,
    )


def left_out(holds: Any) -> Any:
    """What holds where a key is left out, as a spec would write it, and read as one."""
    return Field(holds)


@dataclass(frozen=True)
class Written:
    """How a value is read from text, and the kind that written.toml has words for."""

    read: Callable[..., Any]
    kind: str
    figures: Mapping[str, object] = field(default_factory=dict, hash=False)  # that its words name

    @property
    def words(self) -> str:
        """How it is written, in words."""
        told: str = words("cardgen.spec.models", "written.toml")[self.kind]
        return told.format(**self.figures)

    @property
    def shape(self) -> str:
        """The name of its shape (`cardgen.spec.shapes`)."""
        return self.kind.partition(",")[0]

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> Any:
        return core_schema.no_info_plain_validator_function(self.read)


@dataclass(frozen=True)
class WrittenBeside(Written):
    """One that is read by what stands beside it, which the reader is given too."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> Any:
        return core_schema.with_info_plain_validator_function(self.read)


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
    return {key_of(name): key for name, key in model.model_fields.items()}


def said(model: type[Keys], above: tuple[str, ...] = ()) -> Iterator[Said]:
    """What the model says of each of its keys, in their order."""
    told = words("cardgen.spec.models", "keys.toml")[model.__name__]
    for name, key in keys_of(model).items():
        yield _said((*above, name), key, told[name])


def said_below(model: type[Keys], above: tuple[str, ...] = ()) -> Iterator[Said]:
    """The same for the keys of every group in it too, each group before its keys.

    A record in a record, the shop's in a part's, is a kind of its own and told there.
    """
    for each in said(model, above):
        yield each
        if each.below is not None and "id" not in keys_of(each.below):
            yield from said_below(each.below, each.path)


def _said(path: tuple[str, ...], key: FieldInfo, told: dict[str, Any]) -> Said:
    written = next(_written(key.annotation, *key.metadata), None)
    choices = tuple(each for each in _literals(key.annotation) if isinstance(each, str))
    below = model_in(key.annotation)
    default = key.default if isinstance(key.default, str | tuple) else ""
    example = told.get("example", "")
    many = below is not None and get_origin(key.annotation) is tuple
    return Said(
        path=path,
        meaning=told["meaning"],
        written=written.words if written else _of_no_text(choices, below, many),
        shape=written.shape if written else "",
        choices=choices,
        example=tuple(example) if isinstance(example, list) else example,
        required=key.is_required(),
        default=default,
        unstated=told.get("unstated") or _in_words(default, below),
        usual=told.get("usual", False),
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
