"""libyaml is asked first, for it is quick: what it makes of a text PyYAML's own reader makes of it too."""

from itertools import product
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.spec import yamlfile
from cardgen.spec.complaint import Source
from tests.spec.mistakes import CATALOGUE, sound_shop, written
from tests.spec.sketch import SKETCH
from tests.spec.test_random_edits import LINES, SCRAPS

SHOPS = [
    *(Path(__file__).parents[2] / "specs").glob("*.yaml"),
    *(Path(__file__).parents[1] / "card/made_shop").rglob("*.yaml"),
]

# The signs that YAML gives a meaning to, and such as it may take amiss beside them; the longest text of them.
SIGNS = {
    "blocks": ("a:- \n", 4),
    "lists and groups": ("a:[]{}, ", 4),
    "quotes": ("a'\": \n", 4),
    "texts of several lines": ("a|>-1# \n", 4),
    "remarks": ("a#: \n", 4),
    "keys of several lines": ("a?[]:, \n", 4),
    "line ends": ("a: \r\n\x85\u2028", 4),
    "blanks": ("a: \t\xa0\ufeff\n", 4),
    "escapes": ('a"\\x41u', 4),
    "what is refused": ("a@`!&*%: ", 3),
    "ends of documents": ("a.-\n ", 4),
}


class LeftError(Exception):
    """A text is left to PyYAML's own reader."""


def leave(*_: object) -> None:
    raise LeftError


def agree(text: str) -> bool:
    """Whether each document is left to PyYAML's own reader, or is the same tree to both, place by place."""
    return all(map(read_alike, yamlfile._parted("a.yaml", text)))


def read_alike(source: Source) -> bool:
    compose = yamlfile._compose.__wrapped__  # which remembers nothing
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(yamlfile, "_OwnReader", leave)
        try:
            quick = compose(source)
        except LeftError:
            return True
        patch.undo()
        patch.setattr(yamlfile, "_QUICK_READER", None)
        return bool(quick == compose(source))


@pytest.mark.parametrize("name", SIGNS)
def test_every_short_text_of_some_signs_is_read_alike(name: str) -> None:
    """Whatever YAML makes of its signs side by side."""
    signs, longest = SIGNS[name]
    texts = ("".join(letters) for length in range(longest + 1) for letters in product(signs, repeat=length))
    assert [text for text in texts if not agree(text)] == []


@pytest.mark.parametrize("name", CATALOGUE)
def test_every_mistake_that_is_known_is_read_alike(name: str) -> None:
    """The whole catalogue, the mistakes in YAML itself above all."""
    spoilt = {text for mistake in CATALOGUE[name] for text in written(mistake).values()}
    assert [text for text in spoilt - set(sound_shop().values()) if not agree(text)] == []


@pytest.mark.parametrize("path", SHOPS, ids=lambda path: path.stem)
@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"], ids=["LF", "CR LF", "CR"])
def test_sound_specs_are_read_alike(path: Path, ends: str) -> None:
    """With the line ends of any system, with a byte order mark too."""
    text = ends.join(path.read_text("utf-8").split("\n"))
    assert agree(text)
    assert agree(f"\ufeff{text}")


@pytest.mark.parametrize(
    "text",
    [
        *(opened * depth + "a" + closed * depth for depth in (19, 20, 21) for opened, closed in ("[]", "{}")),
        *("".join(f"{' ' * depth}a:\n" for depth in range(deepest)) for deepest in (19, 20, 21)),
        *("".join(f"{' ' * depth}a:\n" for depth in range(deepest)) + " " * 22 + "b" for deepest in (18, 20)),
        *(f"{'a' * length}: b\n" for length in (1022, 1023, 1024, 1025)),  # the longest key of YAML
        *(f"'{'a' * length}': b\n" for length in (1022, 1023, 1024, 1025)),
        *(f"[{'a, ' * count}a]: b\n" for count in (340, 341, 342)),
        "{a: }",
        "[a: , b]",
        "{a: # remark\n  , b: 1}",
        "a: &x [1]\nb: *x\n",
        "a: &x [*x]\n",
        "<<: {a: 1}\n",
        "a: !!int 1\n",
        "%YAML 1.1\n--- a\n",
        "--- a\n--- b\n...\nc\n---\n",
        "a: {b: 1, b: {c: 1, c: 2}}\na: {[1]: 2}\n",
        "[a, {b: 1, b: 2}]: 3\n",
        'a: "\\ud800\\x00"\n',
        "a: \ud800\n",
        "\ufeff\ufeff---\na: 1\n\ufeff---\nb: 2",
        "a: |2\n   b\n  c\n\n# remark\nd: >+\n e\n\n\n",
        "a: |# c\n  b\n",
        "a: >2-#\n  b\n",
        "a: 'b\n\n  c  \n d'\ne: f\n  g # h\n",
        "ä: [é,\n  ²b, 😀]  # 😀\nb: 1\nb: 😀\n",
        "a: [60, 90] rpm\nb: {c: [1, 2] mm/min, d: [3, 4]}\n[5] mm: 6\n",
        "a: " + "x " * 2_000,
    ],
    ids=lambda text: f"{text[:12]!a} of {len(text)}",
)
def test_a_text_at_the_limits_of_yaml_is_read_alike(text: str) -> None:
    """Depth, long keys, what a spec may not have, letters of several bytes, further documents."""
    assert agree(text)


@given(st.lists(st.one_of(st.sampled_from(LINES), SCRAPS), max_size=12))
def test_shuffled_lines_with_scraps_in_them_are_read_alike(pieces: list[str]) -> None:
    """Lines of a sound spec and signs of YAML in any order."""
    assert agree("".join(pieces))


@given(st.integers(0, len(SKETCH)), st.integers(0, 3), SCRAPS)
def test_a_sound_spec_with_a_scrap_in_it_is_read_alike(at: int, gone: int, scrap: str) -> None:
    """One slip of the hand somewhere."""
    line = SKETCH.rfind("\n", 0, at)
    assert agree(SKETCH[max(0, line - 200) : at] + scrap + SKETCH[at + gone :][:200])


@pytest.mark.parametrize("path", SHOPS, ids=lambda path: path.stem)
def test_sound_specs_are_read_by_libyaml(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """All of them, for else nothing would be won."""
    monkeypatch.setattr(yamlfile, "_compose", yamlfile._compose.__wrapped__)
    monkeypatch.setattr(yamlfile, "_OwnReader", leave)
    assert yamlfile.read_documents("a.yaml", path.read_bytes())[1] == []
