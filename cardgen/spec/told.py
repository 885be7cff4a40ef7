"""What is told of a mistake: words by name from a file of ours, with what is so in this case put in."""

from collections.abc import Callable, Mapping
from functools import cache
from importlib.resources import files
from string import Formatter
from typing import Any


@cache
def words(package: str, name: str) -> Mapping[str, Any]:
    """The words of a file beside the code that finds what they tell of, by name."""
    import tomllib  # not before something is wrong: every command would wait for it

    return tomllib.loads((files(package) / name).read_text("utf-8"))


class CaseWords(Formatter):
    """Puts a case into words: '{off:length}' in that way of writing, '{open:this|that}' by its truth."""

    def __init__(self, ways: Mapping[str, Callable[[Any], str]]) -> None:
        self.ways = ways

    def format_field(self, value: Any, format_spec: str) -> Any:
        if format_spec in self.ways:
            return self.ways[format_spec](value)
        if "|" in format_spec:
            return format_spec.split("|")[0 if value else 1]
        return super().format_field(value, format_spec)
