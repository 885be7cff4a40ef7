"""The register of printed sources, `sources.yaml`, and what a figure or the library names of it."""

import re
from pathlib import Path
from typing import Any

from tests.plain_data import read

TESTS = Path(__file__).parent
SOURCES: dict[str, dict[str, str]] = read(TESTS / "sources.yaml")
KINDS = {"standard", "book", "article", "examination", "manual", "web page"}
KEYS = {"kind", "title", "by", "publisher", "number", "year", "edition", "site", "found_at", "where"}
# How sure a figure is, and the sources that it may then name; None: any of the register.
CONFIDENCES: dict[str, set[str] | None] = {
    "published": None,
    "memory": {"from memory"}
    | set(SOURCES),  # a source of the register: it should print this, nobody has looked
    "seen on a page that cannot be named": {"a page that cannot be named"},
    "common practice, no source": {"common practice, no source"},
}
# A standard by its number: letters, then figures.
STANDARD = re.compile(r"\b(?:ISO|DIN|GOST|GB/T|IS|ASME|ASTM|JIS|SAE|JCGM)\b[A-Z\d./ -]*\d")


def can_be_found(source: dict[str, Any]) -> bool:
    """Whether a reader can look a source up: its title, and its author, number or site."""
    return bool(source.get("title", "").strip()) and any(source.get(key) for key in ("by", "number", "site"))


def belongs(figure: dict[str, Any]) -> bool:
    """Whether a figure's source is one that its confidence allows."""
    allowed = CONFIDENCES[figure["confidence"]]
    return figure["source"] in (SOURCES if allowed is None else allowed)


def named_in(text: str) -> set[str]:
    """The sources of the register that a text of the library names: by number, or by title and whose it is.

    A title in square brackets is in our words; such a source is named by whose it is alone.
    """
    return {
        name
        for name, source in SOURCES.items()
        if ("number" in source and source["number"] in text)
        or (
            any(source[key] in text for key in ("by", "site") if key in source)
            and (source["title"] in text or source["title"].startswith("["))
        )
    }
