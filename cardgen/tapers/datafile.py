"""Our own data files: read when first asked for, every figure kept as the text it was printed as."""

from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any, Literal, get_args

import yaml

try:
    from yaml import CSafeLoader as SafeLoader
except ImportError:  # PyYAML built without libyaml: slower, the same result
    from yaml import SafeLoader  # type: ignore[assignment]

Confidence = Literal["published", "memory", "common practice, no source"]


def sourced(source: str, confidence: Confidence) -> str:
    """A source and how sure it is, once: 'From memory (ISO 297)' says so itself."""
    itself = source.casefold().startswith(f"from {confidence}") or confidence.startswith(source.casefold())
    return source if itself else f"{source} ({confidence})"


class DataFileError(Exception):
    """A data file of the package says something that it must not; the text names the file and the entry."""


@cache
def read(name: str) -> Any:
    """The content of one data file; `name` is its path below data/."""
    text = (files("cardgen.tapers") / "data" / name).read_text(encoding="utf-8")
    return yaml.load(text, Loader=SafeLoader)  # a safe loader, on a file of our own


class Entry:
    """One mapping of a data file, read key by key; what is missing, mistyped or left over is an error."""

    def __init__(self, raw: object, where: str) -> None:
        if not isinstance(raw, Mapping):
            raise DataFileError(f"{where}: a mapping is wanted, not {type(raw).__name__}")
        self.where = where
        self._raw = raw
        self._read: set[str] = set()

    def text(self, key: str) -> str:
        """A text that must be there."""
        value = self.optional_text(key)
        if value is None:
            raise DataFileError(f"{self.where}: {key} is missing")
        return value

    def optional_text(self, key: str) -> str | None:
        """A text or None. A number without quotes is an error: YAML would already have changed it."""
        self._read.add(key)
        value = self._raw.get(key)
        if value is None:
            return None
        if not isinstance(value, str):
            raise DataFileError(f"{self.where}: {key}: {value!r} must stand in quotes")
        return " ".join(value.split())

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts, empty where the key is missing."""
        self._read.add(key)
        value = self._raw.get(key) or []
        if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
            raise DataFileError(f"{self.where}: {key} must be a list of texts in quotes")
        return tuple(" ".join(item.split()) for item in value)

    def entries(self, key: str) -> list["Entry"]:
        """A list of mappings, empty where the key is missing."""
        self._read.add(key)
        value = self._raw.get(key) or []
        if not isinstance(value, list):
            raise DataFileError(f"{self.where}: {key} must be a list")
        return [Entry(item, f"{self.where}: {key} {number}") for number, item in enumerate(value, 1)]

    def confidence(self, inherited: str | None = None) -> Confidence:
        """How well the entry is sourced; taken from the series where the entry does not say."""
        value = self.optional_text("confidence") or inherited
        for known in get_args(Confidence):
            if value == known:
                return known  # type: ignore[no-any-return]
        raise DataFileError(
            f"{self.where}: confidence {value!r} is none of {', '.join(get_args(Confidence))}"
        )

    def end(self) -> None:
        """Every key has been read, or the file holds one that nobody knows."""
        unknown = sorted(str(key) for key in self._raw if key not in self._read)
        if unknown:
            raise DataFileError(f"{self.where}: unknown {', '.join(unknown)}")
