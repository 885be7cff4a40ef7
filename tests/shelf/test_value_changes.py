"""What differs between two makings: inputs line by line, values by their names."""

import copy

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.shelf.changes import (
    Cause,
    Change,
    LineChange,
    cause_texts,
    causes,
    of_the_drawing,
    value_changes,
)
from cardgen.shelf.digest import sha256, text_input
from cardgen.shelf.made_from import Ingredient

VALUES = {
    "title": {"code": "SN-204-B-1", "hardness": "60 HRC", "posted_at": ["Grinder 2"]},
    "reading": {"finish_mm": 3.0},
    "stages": [{"name": "rough", "stock_mm": 0.08}, {"name": "finish", "stock_mm": 0.0}],
    "stock_table": [{"reading_mm": 3.0, "stock_mm": 0.0}, {"reading_mm": 3.5, "stock_mm": 0.0625}],
    "checks": [],
}
json_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-5, 5)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=3),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=2), inner, max_size=3),
    max_leaves=12,
)


def changed(**places) -> dict:
    values = copy.deepcopy(VALUES)
    for place, value in places.items():
        section, key = place.split("__")
        target = values[section]
        if isinstance(target, list):
            row, key = key.split("_", 1)
            target[int(row)][key] = value
        else:
            target[key] = value
    return values


def then(name: str, text: str, kept: bool = True) -> Ingredient:
    return Ingredient(name, sha256(text.encode()), text if kept else None)


def test_a_changed_value_is_named_with_old_and_new():
    """In the card's order, each once."""
    now = changed(reading__finish_mm=3.2, stages__0_stock_mm=0.1)
    assert value_changes(VALUES, now) == (
        Change("reading.finish_mm", 3.0, 3.2),
        Change("stages[name=rough].stock_mm", 0.08, 0.1),
    )


def test_rows_are_compared_by_what_stands_first_in_them():
    """A row put in before others does not make the others changed."""
    now = changed()
    now["stock_table"].insert(0, {"reading_mm": 2.5, "stock_mm": -0.0625})
    del now["stock_table"][2]
    assert value_changes(VALUES, now) == (
        Change("stock_table[reading_mm=2.5]", None, {"reading_mm": 2.5, "stock_mm": -0.0625}),
        Change("stock_table[reading_mm=3.5]", {"reading_mm": 3.5, "stock_mm": 0.0625}, None),
    )


def test_the_code_alone_is_no_change():
    """It differs with every making."""
    assert value_changes(VALUES, changed(title__code="SN-204-B-2")) == ()


def test_the_last_binary_digit_is_no_change():
    """Two machines' arithmetic may differ there; the card does not."""
    assert value_changes(VALUES, changed(reading__finish_mm=3.0000000000000004)) == ()


def test_where_it_hangs_needs_no_new_revision_but_hardness_does():
    """The revision belongs to what the print calls for."""
    moved = value_changes(VALUES, changed(title__posted_at=["Grinder 3"]))
    harder = value_changes(VALUES, changed(title__hardness="62 HRC"))
    assert (len(moved), of_the_drawing(moved)) == (1, ())
    assert of_the_drawing(harder) == harder


@given(json_values)
def test_values_never_differ_from_themselves(values):
    """Whatever JSON can carry."""
    assert value_changes({"all": values}, {"all": copy.deepcopy(values)}) == ()


@given(json_values, json_values)
def test_any_two_values_can_be_compared(old, new):
    """A card read from a file that was tampered with may hold anything; the comparison still answers."""
    there = value_changes({"all": old}, {"all": new})
    back = value_changes({"all": new}, {"all": old})
    assert len(there) == len(back)


def test_a_cause_names_the_line_in_the_file():
    """Where the document starts at line 40, its second line is 41."""
    now = text_input("part SN-204", "id: SN-204\nfinish: 3.2 mm\n", "specs/nose.yaml", 40)
    (cause,) = causes([then("part SN-204", "id: SN-204\nfinish: 3.0 mm\n")], [now])
    assert (cause.file, cause.what) == ("specs/nose.yaml", "changed")
    assert cause.lines == (LineChange(41, "finish: 3.0 mm", "finish: 3.2 mm"),)


def test_each_line_of_a_changed_block_is_told_at_its_own_place():
    """A line taken out is told at the last that stands in the block's place."""
    now = text_input("part", "id: A\nlength: 62 mm\nwheel: W-2\nunits: metric\n", "f", 10)
    was = "id: A\nlength: 60 mm\nwheel: W-1\nnotes: x\nunits: metric\n"
    (cause,) = causes([then("part", was)], [now])
    assert [(one.line, one.new) for one in cause.lines] == [
        (11, "length: 62 mm"),
        (12, "wheel: W-2"),
        (12, ""),
    ]


def test_lines_put_in_and_taken_out_are_told():
    """One side is empty."""
    now = text_input("part", "a\nc\nd\n", "f")
    (cause,) = causes([then("part", "a\nb\nc\n")], [now])
    assert [(one.old, one.new) for one in cause.lines] == [("b", ""), ("", "d")]


def test_inputs_come_go_and_change_without_their_text_being_kept():
    """A layout is known by its digest only; another wheel is one input gone, one new."""
    was = [then("layout", "old", kept=False), then("wheel W-1", "x"), then("program", "1")]
    now = [text_input("layout", "new"), text_input("wheel W-2", "x"), text_input("program", "1")]
    assert [(one.name, one.what, one.lines) for one in causes(was, now)] == [
        ("layout", "changed", ()),
        ("wheel W-1", "dropped", ()),
        ("wheel W-2", "added", ()),
    ]


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (
            "blank: 0.35 .. 0.50 mm",
            "blank: 0.35 .. 0.60 mm",
            "‘blank: 0.35 .. 0.50 mm’ → ‘blank: 0.35 .. 0.60 mm’",
        ),
        (
            "gauge_line: {diameter: 38 mm, tolerance: ± 0.010 mm, from_shoulder: 3 mm}",
            "gauge_line: {diameter: 38 mm, tolerance: ± 0.008 mm, from_shoulder: 3 mm}",
            "‘tolerance: ± 0.010 mm’ → ‘tolerance: ± 0.008 mm’",
        ),
        ("batch: {pieces: 40}", "batch: {pieces: 400}", "‘pieces: 40’ → ‘pieces: 400’"),
        ("{a: 1, b: 2}", "{a: 1, c: 3, b: 2}", "nothing → ‘c: 3’"),
        ("taper: 1:8, steep", "{callout: 1:8}, steep", "‘taper: 1:8, steep’ → ‘{callout: 1:8}, steep’"),
        ("", "revision: C", "nothing → ‘revision: C’"),
        ("# old", "", "‘# old’ → nothing"),
    ],
)
def test_of_a_line_only_the_entry_that_changed_is_told(old, new, told):
    """Entries in braces that stayed are left out, whole lines are told whole."""
    cause = Cause("part", "specs/a.yaml", "changed", (LineChange(7, old, new),))
    assert cause_texts(cause) == [f"specs/a.yaml line 7: {told}"]


@given(st.text("{},: ab1", max_size=12), st.text("{},: ab1", max_size=12))
def test_unlike_lines_are_told_apart(old, new):
    """However braces and commas stand, what is told of two unlike lines is unlike."""
    (text,) = cause_texts(Cause("p", "f", "changed", (LineChange(1, old, new),)))
    was, now = text.removeprefix("f line 1: ").split(" → ")
    assert (was == now) <= (old == new)
