"""Printed figures come from sources that a reader can find, each of which stands once, in `sources.yaml`."""

import re
from collections import Counter
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from tests.plain_data import read
from tests.sources import CONFIDENCES, KEYS, KINDS, SOURCES, STANDARD, TESTS, belongs, can_be_found, named_in
from tests.test_published import FIGURES

CHECKS = read(TESTS / "tapers" / "published.yaml")["checks"]


DATA = sorted(Path(str(files("cardgen.tapers") / "data")).rglob("*.yaml"))


def published_texts(node: Any, confidence: str | None = None) -> Iterator[str]:
    """Every source that the library's data call published; a size is as sure as its series says."""
    if isinstance(node, dict):
        confidence = node.get("confidence", confidence)
        if confidence == "published" and "source" in node:
            yield node["source"]
        for key, part in node.items():
            yield from published_texts(part, confidence if key == "sizes" else None)
    elif isinstance(node, list):
        for part in node:
            yield from published_texts(part, confidence)


LIBRARY = sorted({text for path in DATA for text in published_texts(read(path))})


@pytest.mark.parametrize("name", SOURCES)
def test_a_source_can_be_found(name: str) -> None:
    """Ensures a title, and an author, a number or a site beside it; an address that a reader can type."""
    source = SOURCES[name]
    assert can_be_found(source)
    assert source["kind"] in KINDS
    assert set(source) <= KEYS
    assert all(isinstance(text, str) and text == text.strip() for text in source.values())
    assert not re.match(r"/|\w+://|file:", source.get("found_at", "a book")), (
        "no scheme and no path of a machine"
    )


@pytest.mark.parametrize(
    "source", [{"title": "Tapers"}, {"by": "a maker", "number": "7"}, {"title": " ", "by": "X"}]
)
def test_a_source_without_title_or_without_whose_it_is_would_be_seen(source: dict[str, str]) -> None:
    """Ensures that the form check does refuse what nobody could look up."""
    assert not can_be_found(source)


def test_a_source_stands_once() -> None:
    """Ensures that no two sources are one: the same title of the same author, number or site."""
    known = Counter(
        (source["title"], source.get("by"), source.get("number"), source.get("site"))
        for source in SOURCES.values()
    )
    assert [each for each, count in known.items() if count > 1] == []


@pytest.mark.parametrize("figure", [*FIGURES, *CHECKS], ids=lambda figure: figure["id"])
def test_a_figure_names_a_source_as_sure_as_it_is(figure: dict[str, Any]) -> None:
    """Ensures that 'published' stands only where the register says where to find it."""
    assert figure["confidence"] in CONFIDENCES
    assert belongs(figure)
    if figure["source"] == "a page that cannot be named":
        assert figure["where"].strip(), "what kind of page it was"


@pytest.mark.parametrize("text", LIBRARY)
def test_what_the_library_calls_published_can_be_found(text: str) -> None:
    """Ensures that the library names a standard by number, or a source of the register with whose it is."""
    assert STANDARD.search(text) or named_in(" ".join(text.split()))


def test_no_source_stands_idle() -> None:
    """Ensures that the register holds only what some figure, or the library, is taken from."""
    used = {figure["source"] for figure in (*FIGURES, *CHECKS)}
    for path in DATA:
        used |= named_in(" ".join(path.read_text("utf-8").replace("''", "'").split()))
    assert set(SOURCES) - used == set()
