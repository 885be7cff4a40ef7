"""YAML as text with places: the traps of YAML itself, and what is said when it cannot be followed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.spec.yamlfile import read_documents


def plain(text: str) -> object:
    """The one document of this text without its places."""
    documents, complaints = read_documents("a.yaml", text.encode())
    assert complaints == []
    (document,) = documents
    assert document.root is not None
    return document.root.plain()


@pytest.mark.parametrize(
    "text", ["12:30", "010", "no", "7:24", "1_000", "2027-03-31", "null", "~", "0x1F", "1e3"]
)
def test_a_value_stays_the_text_that_was_written(text: str) -> None:
    """YAML 1.1 would make these 750, 8, False and so on."""
    assert plain(f"a: {text}") == {"a": text}


def test_a_key_given_twice_is_an_error_that_names_both_places() -> None:
    """YAML's own way is to let the last one win in silence."""
    _, complaints = read_documents("a.yaml", b"length: 62 mm\nside: x\nlength: 26 mm\n")
    assert [str(complaint) for complaint in complaints] == [
        "a.yaml:3:1: 'length' is given twice, first at line 1, column 1; keep the one that holds"
    ]


def test_a_list_with_its_unit_after_it_is_one_text() -> None:
    """`[60, 90] rpm` is no YAML, and is what one writes; plain lists and block texts stay what they are."""
    text = "a: [60, 90] rpm  # steps\nb: {c: [1, 2] mm/min, d: [3, 4]}\ne: |\n  [5, 6] mm\n"
    assert plain(text) == {
        "a": "[60, 90] rpm",
        "b": {"c": "[1, 2] mm/min", "d": ["3", "4"]},
        "e": "[5, 6] mm\n",
    }


def test_a_slip_in_one_document_leaves_the_others_readable() -> None:
    """Each document of a file is parsed by itself, and places count from the top of the file."""
    documents, complaints = read_documents("a.yaml", b"a: 1\n---\nb: [1\n---\nc: 2\n")
    assert [document.root.plain() if document.root else None for document in documents] == [
        {"a": "1"},
        None,
        {"c": "2"},
    ]
    assert [(complaint.line, complaint.column) for complaint in complaints] == [(3, 4)]


def test_a_node_knows_its_line_and_column() -> None:
    """Counted from one, as editors count, over CR LF as well."""
    documents, _ = read_documents("a.yaml", b"# remark\r\na:\r\n  b: {c: 38 mm}\r\n")
    assert documents[0].root is not None
    node = documents[0].root.at(("a", "b", "c"))
    assert (node.value, *node.place) == ("38 mm", 3, 10, 5)


def test_a_path_that_is_not_written_leads_to_the_key_of_the_group_above_it() -> None:
    """So that a message about a missing key has a place."""
    documents, _ = read_documents("a.yaml", b"a:\n  b: 1\n")
    assert documents[0].root is not None
    assert documents[0].root.at(("a", "z", 3)).place == (1, 1, 1)


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"a: [1,\nb: 2", "1:4: a list in [ ] is not closed"),
        (b"a: {b: 1", "1:4: a group in { } is not closed"),
        (b"a:\n\tb: 1", "2:1: a tab stands where spaces must; indent with spaces"),
        (b"a: b: c", "1:5: a second ': ' stands in one line; put the value in quotes"),
        (b'a: "x', "1:4: a text in quotes is not closed; close the quotes"),
        (b"a: 1\n b: 2", "2:3: this line does not fit with those above it"),
        (b"a: 1\nfoo\n", "2:1: a key here has no ':' after it; write 'key: value'"),
        (b"a: - b", "1:4: a list entry stands where a text must"),
        (b"a: `x`", "1:4: a text cannot start with '`'; write it in quotes"),
        (b"a: }", "1:4: a text cannot start with '}'; write it in quotes"),
        (b'a: "\\q"', "1:6: a \\ in double quotes has a meaning of its own; use single quotes"),
        (b"a: *x", "1:4: a text that starts with * refers elsewhere in YAML; write the text in quotes"),
        (b"a: &x y", "1:4: a text that starts with & marks a place in YAML; write the text in quotes"),
        (b"a: !!python/object:os.system x", "1:4: a text that starts with ! is a tag in YAML"),
        (b"[[[[[[[[[[[[[[[[[[[[[[[[[[", "1:21: the brackets nest too deep"),
        (b"? [a]\n: b", "1:3: a key must be a plain word"),
        (b"a: \x00", "1:4: the character U+0000 is not allowed in a spec"),
        ("# a\u2028b\na: [1".encode(), "1:4: the character U+2028 is not allowed in a spec; take it out"),
        ("a: 1\nb: x\x85\nc: [1".encode(), "2:5: the character U+0085 is not allowed in a spec"),
        (b"%YAML 1.2\n---\na: 1", "a line that starts with % is no key"),
        (b"", "1:1: the file holds no record; write a record that starts with 'kind: part'"),
        (b"# only a remark\n", "1:1: the file holds no record"),
        (b"a: 1\nb: \xe9t\xe9\n", "2:4: byte 0xe9 is not UTF-8 text; save the file as UTF-8"),
        ("a: 1".encode("utf-16"), "1:1: byte 0xff is not UTF-8 text"),
        (b"a" * 1_000_001, "1:1: the file is over a megabyte"),
    ],
)
def test_yaml_that_cannot_be_followed_is_told_in_plain_words(content: bytes, message: str) -> None:
    """Place, what is wrong, what would be right; none of YAML's own terms."""
    _, complaints = read_documents("a.yaml", content)
    assert message in str(complaints[0])


def test_a_byte_order_mark_is_no_part_of_the_first_key() -> None:
    """Files saved by some editors begin with one."""
    assert plain("\ufeffa: 1") == {"a": "1"}


def test_a_document_that_reads_as_before_is_not_parsed_again() -> None:
    """One record of a watched shop is saved; the tree of the other is the very one that was there."""
    (one, _), _ = read_documents("a.yaml", b"id: one\n---\nid: two\n")
    (again, two), _ = read_documents("a.yaml", b"id: one\n---\nid: 2\n")
    assert again.root is one.root
    assert two.root is not None
    assert two.root.plain() == {"id": "2"}


@given(st.binary(max_size=200))
def test_any_bytes_give_documents_or_complaints(content: bytes) -> None:
    """No file brings the reader down, and one that gives nothing says why."""
    documents, complaints = read_documents("a.yaml", content)
    assert documents or complaints
    for complaint in complaints:
        assert complaint.line >= 1
        assert complaint.column >= 1


@given(st.text(alphabet="ab:-[]{}\"'#&*!|>%@`,? \n\t0.", max_size=80))
def test_any_scramble_of_yaml_signs_gives_documents_or_complaints(text: str) -> None:
    """Texts made of the signs YAML gives a meaning to, in any order."""
    documents, complaints = read_documents("a.yaml", text.encode())
    assert documents or complaints
