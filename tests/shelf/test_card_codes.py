"""A card's code: part, revision, and a digest of all that went in."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.shelf.digest import Input, card_code, fingerprint, text_input
from cardgen.shelf.trouble import ShelfError
from cardgen.shelf.wanted import Job, check_names_apart, file_name

INPUTS = (text_input("part SN-204", "finish: 3.0 mm\n"), text_input("program", "1.0"))


def test_code_names_part_revision_and_digest():
    """Eight hexadecimal digits after the part and its revision."""
    code = card_code("SN-204", "B", INPUTS)
    assert code == f"SN-204-B-{fingerprint(INPUTS)[:8]}"
    assert card_code("toolroom", "", INPUTS) == f"toolroom-{fingerprint(INPUTS)[:8]}"


def test_code_does_not_depend_on_the_order_of_the_inputs_nor_where_they_lie():
    """Two shops that keep the same spec in unlike files have the same card."""
    moved = (text_input("program", "1.0", "elsewhere.py", 12), text_input("part SN-204", "finish: 3.0 mm\n"))
    assert fingerprint(moved) == fingerprint(INPUTS)


def test_line_ends_of_another_system_are_no_change():
    """A checkout with carriage returns gives the same code."""
    assert text_input("part", "a: 1\r\nb: 2\r\n") == text_input("part", "a: 1\nb: 2\n")


@given(
    st.lists(
        st.tuples(st.text(max_size=4), st.binary(max_size=4)), unique_by=lambda pair: pair[0], max_size=4
    ),
    st.lists(
        st.tuples(st.text(max_size=4), st.binary(max_size=4)), unique_by=lambda pair: pair[0], max_size=4
    ),
)
def test_unlike_inputs_have_unlike_fingerprints(one, other):
    """No byte can wander from a name to a content, or from one input to the next, unseen."""
    first, second = [fingerprint(Input(*pair) for pair in pairs) for pairs in (one, other)]
    assert (first == second) == (dict(one) == dict(other))


def test_two_inputs_of_one_name_are_refused():
    """Which of them was meant could not be told."""
    with pytest.raises(ValueError, match="share a name"):
        fingerprint((text_input("part", "a"), text_input("part", "b")))


@pytest.mark.parametrize(
    ("part_id", "name"),
    [
        ("SN-204", "SN-204.pdf"),
        ("Ø 38/2", "Ø 38%2F2.pdf"),
        ("../../etc/passwd", "%2E.%2F..%2Fetc%2Fpasswd.pdf"),
        (".hidden", "%2Ehidden.pdf"),
        ("100%", "100%25.pdf"),
        ("a\nb", "a%0Ab.pdf"),
        ("შპინდელი", "შპინდელი.pdf"),
    ],
)
def test_a_part_id_becomes_a_name_that_every_file_system_holds(part_id, name):
    """No id leads out of the folder, hides its card, or runs into another's name."""
    assert file_name(part_id) == name


def test_very_long_ids_keep_unlike_names():
    """Cut to what a file system holds, two ids that differ at the end still differ."""
    one, other = file_name("შ" * 200 + "1"), file_name("შ" * 200 + "2")
    assert one != other
    assert len(one.encode("utf-8")) < 140


def test_parts_that_differ_in_capitals_only_are_refused():
    """On many office machines their cards would be one file."""
    jobs = [Job(part_id, "A", INPUTS, {}, lambda code: b"") for part_id in ("sn-204", "SN-204")]
    with pytest.raises(ShelfError, match="SN-204 and sn-204 would share the file"):
        check_names_apart(jobs)
