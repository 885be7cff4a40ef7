"""Wording: what a template may do, and what is said when it breaks."""

from pathlib import Path
from typing import Any

import pytest

from cardgen.paper.words.wording import TemplateError, TemplateFiles, Words, environment, marked


def words(tmp_path: Path, text: str, **context: Any) -> Words:
    (tmp_path / "page.j2").write_text(text, encoding="utf-8")
    return Words(environment(TemplateFiles.read(tmp_path)), context)


def kinds(made: Words) -> list[str]:
    return [line.kind for line in made.lines("page")]


def test_each_mark_makes_its_kind_of_line(tmp_path: Path) -> None:
    """Ensures the marks that wording.py lists are read as it says."""
    text = "= A | B\n# A | B\nlabel | value\nlabel || value\na || b || c || d\n- step\n! caution\n> item\n"
    text += "|= a | b\n| c | d\n|* c | d\n|_ c | d\n? sign\n~ small\n---\nplain\n"
    assert kinds(words(tmp_path, text)) == [
        "title",
        "heading",
        "row",
        "hand",
        "hand pair",
        "step",
        "caution",
        "item",
        "head",
        "cells",
        "bold cells",
        "under cells",
        "write",
        "small",
        "rule",
        "text",
    ]


@pytest.mark.parametrize("name", ["<b>x</b> | y", "# heading", "- step", "| cell | cell", "a || b", "x\n! y"])
def test_a_value_never_becomes_a_mark(tmp_path: Path, name: str) -> None:
    """Ensures a part's name prints as it is, whatever it is made of."""
    (line,) = words(tmp_path, "{{ name }}", name=name).lines("page")
    assert line.kind == "text"
    assert line.fields == (((name.replace("\n", " "), False),),)


def test_bold_is_the_only_mark_within_a_line() -> None:
    """Ensures <b> sets bold and any other mark is refused by name."""
    assert marked("a <b>b</b> c") == (("a ", False), ("b", True), (" c", False))
    with pytest.raises(TemplateError, match="unknown mark <i>"):
        marked("a <i>b</i>")


def test_a_missing_name_is_an_error_with_its_place(tmp_path: Path) -> None:
    """Ensures a misspelt value is not printed as nothing."""
    with pytest.raises(TemplateError, match=r"page\.j2:2: 'card' is undefined"):
        words(tmp_path, "one\n{{ card.tite }}\n").lines("page")


def test_a_broken_template_is_an_error_with_its_place(tmp_path: Path) -> None:
    """Ensures file:line and what is wrong."""
    with pytest.raises(TemplateError, match=r"page\.j2:3: .*endif"):
        words(tmp_path, "one\n\n{% if x %}\n", x=1).lines("page")


def test_a_template_that_fails_while_running_names_its_line(tmp_path: Path) -> None:
    """Ensures a sum gone wrong in a template is found by its line."""
    with pytest.raises(TemplateError, match=r"page\.j2:2: division by zero"):
        words(tmp_path, "one\n{{ 1 / 0 }}\n").lines("page")


def test_a_template_cannot_reach_into_the_program(tmp_path: Path) -> None:
    """Ensures the sandbox refuses what a text has no business with."""
    with pytest.raises(TemplateError, match=r"page\.j2:1: .*unsafe"):
        words(tmp_path, "{{ name.__class__.__mro__ }}", name="x").lines("page")


def test_a_template_that_is_not_there_is_named(tmp_path: Path) -> None:
    """Ensures the file looked for is named."""
    with pytest.raises(TemplateError, match=r"absent\.j2: there is no such template"):
        words(tmp_path, "").lines("absent")


def test_a_label_that_is_not_there_is_named(tmp_path: Path) -> None:
    """Ensures the label and its file are named."""
    with pytest.raises(TemplateError, match=r"page\.j2: no line 'stock: …' in it"):
        words(tmp_path, "reading: Gap").label("page", "stock")


def test_a_mark_after_a_block_keeps_its_line(tmp_path: Path) -> None:
    """Ensures a line that ends with a block does not swallow the next: rows lost their values that way."""
    text = "a | b | note{% if yes %} more{% endif %}\n"
    text += "|= head | head\n| 1 | 2{% if yes %} + 3{% endif %}\n| 4 | 5\n"
    assert kinds(words(tmp_path, text, yes=True)) == ["row", "head", "cells", "cells"]


def test_a_row_without_a_tables_heading_is_refused(tmp_path: Path) -> None:
    """Ensures no row is set without its values."""
    with pytest.raises(TemplateError, match=r"page\.j2:\d+: the table row 'Traverse' has no heading line"):
        words(tmp_path, "label | value\n| Traverse | 700\n").lines("page")


@pytest.mark.parametrize("line", ["a | b | c | d", "- 4 | step | and more", "# a | b | c", "a || b | c | d"])
def test_more_fields_than_a_line_has_room_for_are_refused(tmp_path: Path, line: str) -> None:
    """Ensures no field is dropped in silence."""
    with pytest.raises(TemplateError, match=r"page\.j2:\d+: .*a line of kind '.*' has \d fields"):
        words(tmp_path, line).lines("page")


def test_a_mistake_in_a_rendered_line_is_placed_in_the_template(tmp_path: Path) -> None:
    """Ensures file:line for what only rendering brings to light."""
    with pytest.raises(TemplateError, match=r"page\.j2:3: .*unknown mark <i>"):
        words(tmp_path, "plain\n\nfeed <i>{{ n }}</i> divisions\n", n=3).lines("page")
