"""A complaint with its line of the file below it, the caret under what is meant, whatever the letters."""

from pathlib import Path

import pytest

from cardgen.spec.complaint import WIDEST, Source
from tests.calling import cardgen
from tests.card.bench_shop import PART, REST


@pytest.mark.parametrize(
    ("text", "place", "below"),
    [
        ("length: 62", (1, 9, 2), ["    length: 62", "            ^^"]),
        ("length:", (1, 8, 1), ["    length:", "           ^"]),  # nothing is written there
        ("\tlength: 62", (1, 1, 1), ["    →length: 62", "    ^"]),
        ("name: 東京 x", (1, 10, 1), ["    name: 東京 x", "               ^"]),  # two columns a letter
        ("name: e\u0301 x", (1, 10, 1), ["    name: e\u0301 x", "            ^"]),  # none for an accent
        ("name: a\u202eb", (1, 9, 1), ["    name: a�b", "            ^"]),
        ("a: 1\nlength: 62", (2, 9, 2), ["    length: 62", "            ^^"]),
        ("a: 1\r\nlength: 62", (2, 9, 2), ["    length: 62", "            ^^"]),
        ("kind: part", (1, 1, 0), []),  # the whole record is meant
        ("kind: part", (7, 1, 1), []),
    ],
)
def test_the_caret_stands_under_what_is_meant(
    text: str, place: tuple[int, int, int], below: list[str]
) -> None:
    """In columns of a terminal, not in letters."""
    complaint = Source("a.yaml", 1, text).complain(place, "wrong", "right")
    assert list(complaint.lines) == [f"a.yaml:{place[0]}:{place[1]}: wrong; right", *below]


def test_of_a_long_line_the_part_that_is_meant_is_shown() -> None:
    """No line runs on for a screen."""
    text = "a" * 300 + "HERE" + "b" * 300
    _, line, caret = Source("a.yaml", 1, text).complain((1, 301, 4), "wrong", "right").lines
    assert len(line) <= 4 + WIDEST
    assert line[caret.index("^") :][:4] == "HERE"
    assert caret.count("^") == 4


def test_a_document_counts_from_its_own_first_line() -> None:
    """The second record of a file is told by the file's lines."""
    complaint = Source("a.yaml", 5, "kind: x\nid: y").complain((6, 5, 1), "wrong", "right")
    assert complaint.lines[1:] == ("    id: y", "        ^")


def test_a_piece_that_stands_once_is_what_is_meant() -> None:
    """Where it stands twice nobody knows which."""
    source = Source("a.yaml", 1, "length: 6 inn or 7 in")
    assert source.complain((1, 9, 5), "wrong", "right", piece="inn").column == 11
    assert source.complain((1, 9, 13), "wrong", "right", piece="in").column == 9


@pytest.mark.parametrize("command", [["make"], ["values", "SN-204"], ["status"], ["check"]])
def test_every_command_shows_the_line_and_the_caret(tmp_path: Path, command: list[str]) -> None:
    """On a terminal and where it is piped alike: one way to tell a mistake."""
    (tmp_path / "specs").mkdir()
    spec = f"{PART}---\n{REST}".replace("length: 62 mm", "length: 62")
    (tmp_path / "specs" / "all.yaml").write_text(spec, "utf-8")
    said = cardgen(*command, cwd=tmp_path)
    assert "      length: 62\n              ^^\n" in said.stdout + said.stderr
