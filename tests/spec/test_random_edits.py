"""Whatever is written in a spec file, loading it gives a library and complaints, never a traceback."""

import tempfile
from pathlib import Path

from hypothesis import example, given, settings
from hypothesis import strategies as st

from cardgen.spec.complaint import Complaint
from cardgen.spec.library import Library
from cardgen.spec.load import load_documents
from tests.spec.sketch import SKETCH

LINES = SKETCH.splitlines(keepends=True)
# Signs that YAML or the grammar of quantities gives a meaning to, and scraps of good specs.
SIGNS = [*"{}[]'\"#\t -±:,%é\u2028\x000", "- ", ": ", "---\n", "...\n", "|\n", "> ", "&a ", "*a", "!x "]
WORDS = ["", "..", "1:8", "1/0", "1e999", "9" * 30, "mm", " in/ft", "no", "12:30", "kind", "id: x\n", "all"]
SHAPES = ["{a: b}", "[a]", "half angle ", "AT6", "Morse"]
SCRAPS = st.sampled_from([*SIGNS, *WORDS, *SHAPES])


def load_bytes(content: bytes) -> tuple[Library, list[Complaint]]:
    """Load one file of these bytes and look that every complaint is whole."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.yaml"
        path.write_bytes(content)
        library, complaints = load_documents({path: path.read_bytes()}, root=Path(folder))
    for complaint in complaints:
        assert complaint.line >= 1
        assert complaint.column >= 1
        assert complaint.wrong
        assert complaint.right
        assert "\n" not in str(complaint)
    return library, complaints


def is_sound(library: Library) -> None:
    """What is left in the library has nothing missing that it refers to."""
    for part in library.parts.values():
        assert part.gauging.gauge in library.gauges
        assert part.machine in library.machines
        assert part.wheel in library.wheels
        assert part.taper.length is not None


@given(st.binary(max_size=300))
def test_any_bytes_are_loaded_or_complained_of(content: bytes) -> None:
    """Random bytes."""
    library, complaints = load_bytes(content)
    assert complaints
    is_sound(library)


@given(st.lists(st.sampled_from(LINES), max_size=60))
def test_any_shuffle_of_good_lines_is_loaded_or_complained_of(lines: list[str]) -> None:
    """Lines of a good spec in any order, some left out, some twice."""
    library, _ = load_bytes("".join(lines).encode())
    is_sound(library)


@settings(max_examples=300)
@given(st.lists(st.tuples(st.integers(0, len(SKETCH)), st.integers(0, 12), SCRAPS), min_size=1, max_size=4))
@example([(0, 0, "---\n")])
def test_any_edit_of_a_good_spec_is_loaded_or_complained_of(edits: list[tuple[int, int, str]]) -> None:
    """A few characters taken out and a scrap put in, up to four times."""
    text = SKETCH
    for place, length, scrap in edits:
        text = text[:place] + scrap + text[place + length :]
    library, _ = load_bytes(text.encode("utf-8", "surrogatepass"))
    is_sound(library)


TREES = st.recursive(
    st.sampled_from(["38 mm", "1:8", "x", "''", "all", "60 deg", "1", "-", "Morse 3", "~"]),
    lambda below: st.one_of(
        st.lists(below, max_size=3).map(lambda entries: "[" + ", ".join(entries) + "]"),
        st.dictionaries(
            st.sampled_from(["a", "diameter", "rough", "ratio", "callout"]), below, max_size=3
        ).map(lambda group: "{" + ", ".join(f"{key}: {value}" for key, value in group.items()) + "}"),
    ),
    max_leaves=6,
)


@settings(max_examples=300)
@given(st.integers(0, len(LINES) - 1), TREES)
def test_any_shape_of_value_after_any_key_is_loaded_or_complained_of(line: int, tree: str) -> None:
    """A text, a list or a group of keys where another is wanted."""
    key, colon, _ = LINES[line].partition(": ")
    edited = [*LINES[:line], f"{key}{colon}{tree}\n" if colon else LINES[line], *LINES[line + 1 :]]
    library, _ = load_bytes("".join(edited).encode())
    is_sound(library)
