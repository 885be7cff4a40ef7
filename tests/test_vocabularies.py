"""The fixed vocabularies of the trade stand once, and a new word leaves no place unnamed.

Tried by hand with a scale of half angles engraved in gon (400 to a turn), set on a card and in the booklet
and then taken out again. It touched five files, nine lines: `terms.py` (its word, its unit, its facts),
`digits.py` (how many decimals), `templates/scales.j2` (what it is called), and for the unit that
a spec gives its division in `spec/units.txt` and `spec/units.py`. Since then `rehearsal/grinder.py` is named
too, two lines: how the bench, which has its own arithmetic, reads it.
"""

import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import jinja2
import jinja2.nodes
import pytest

from cardgen import terms

TOP = Path(__file__).parent.parent
PACKAGE, TEMPLATES = TOP / "cardgen", TOP / "templates"


def places(word: str) -> list[str]:
    """file:line of every mention of a word in quotes, in the package and the templates."""
    return [
        f"{path.relative_to(TOP)}:{number}"
        for path in sorted([*PACKAGE.rglob("*.py"), *TEMPLATES.glob("*.j2")])
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1)
        if re.search(rf"""['"]{re.escape(word)}['"]""", line)
    ]


def files(found: list[str]) -> list[str]:
    return [place.rpartition(":")[0] for place in found]


BENCH = "cardgen/rehearsal/grinder.py"  # the true machine, which sets and turns by its own arithmetic


def test_a_scale_stands_in_five_places() -> None:
    """Its word and its facts, how its unit is written, what it is called, and how the bench reads it."""
    facts = ["cardgen/terms.py"] * 2
    change_of_taper = ["cardgen/paper/change_notice.py"]  # a value of the card that bears the same name
    assert files(places("mm_per_m")) == [*change_of_taper, BENCH, *facts, "templates/scales.j2"]
    of_the_package = [file for file in files(places("mm/m")) if file.startswith("cardgen/")]
    assert of_the_package == ["cardgen/digits.py", *facts]


@pytest.mark.parametrize("kind", ["collar_gap", "plug_depth"])
def test_a_kind_of_reading_stands_in_five_places(kind: str) -> None:
    """Its word and its facts, its formula, how the bench reads it, its words: a new kind touches four files.

    A kind that is read to a place of the gauge that no other is read to touches four more, as the collar
    did: the gauge's key (`spec/models/tooling.py`) and what it must not be left out of (`spec/sense.py`),
    its figure on the card (`card/values.py`), the drawing (`paper/pictures/section.py`).
    """
    facts = ["cardgen/terms.py"] * 2
    assert files(places(kind)) == [
        "cardgen/compute/reading.py",
        "cardgen/rehearsal/floor.py",
        *facts,
        "templates/terms.j2",
    ]


def test_a_way_of_swinging_stands_in_six_places() -> None:
    """Its word, its three formulas, and the two of the bench."""
    of_the_head = ["cardgen/card/setting.py", "cardgen/shop/rehearsing.py"]  # its indicator shows a chord
    formulas = ["cardgen/compute/swivel.py"] * 3 + [BENCH] * 2
    assert sorted(files(places("chord"))) == sorted([*of_the_head, *formulas, "cardgen/terms.py"])


def keys_of(template: str, name: str) -> Iterator[str]:
    """The keys of a table of words that a template sets."""
    tree = jinja2.Environment().parse((TEMPLATES / template).read_text("utf-8"))
    for table in tree.find_all(jinja2.nodes.Assign):
        if isinstance(table.target, jinja2.nodes.Name) and table.target.name == name:
            assert isinstance(table.node, jinja2.nodes.Dict)
            yield from (pair.key.as_const() for pair in table.node.items)


@pytest.mark.parametrize(
    ("template", "name", "vocabulary"),
    [
        ("scales.j2", "shown", terms.ScaleShows),
        ("terms.j2", "words", terms.ReadingKind),
    ],
)
def test_every_word_has_a_name_on_paper(template: str, name: str, vocabulary: object) -> None:
    """A kind without a name would break the card that needs it, and only that one."""
    assert tuple(keys_of(template, name)) == get_args(vocabulary)


def test_the_type_checker_names_every_place_that_a_new_word_left_out(tmp_path: Path) -> None:
    """A word added to its Literal alone fails at each `match` over it, and nowhere computes as another."""
    source = PACKAGE / "terms.py"
    text = source.read_text("utf-8")
    added = {
        "ReadingKind": "ring_depth",
        "ScaleShows": "half_angle_gon",
        "ScaleUnit": "gon",
        "SwingType": "arc",
    }
    for vocabulary, word in added.items():
        text = text.replace(f"\n{vocabulary} = Literal[", f'\n{vocabulary} = Literal["{word}", ')
    spoilt = tmp_path / "terms.py"
    spoilt.write_text(text, "utf-8")
    matching = [path for path in PACKAGE.rglob("*.py") if "assert_never(" in path.read_text("utf-8")]
    options = ["--config-file=", "--follow-imports=skip", "--cache-dir", str(tmp_path / "cache")]
    options += ["--shadow-file", str(source), str(spoilt), *map(str, matching)]
    told = subprocess.run([sys.executable, "-m", "mypy", *options], cwd=TOP, capture_output=True, text=True)
    named = re.findall(r"^(cardgen/\S+):\d+: .*\"Literal\['(\w+)'\]\"", told.stdout, re.MULTILINE)
    assert sorted(named) == [
        ("cardgen/compute/reading.py", "ring_depth"),
        *[("cardgen/compute/swivel.py", "arc")] * 3,
        ("cardgen/digits.py", "gon"),
        ("cardgen/rehearsal/floor.py", "ring_depth"),
        *[("cardgen/rehearsal/grinder.py", "arc")] * 2,
        ("cardgen/rehearsal/grinder.py", "half_angle_gon"),
        ("cardgen/terms.py", "half_angle_gon"),
        ("cardgen/terms.py", "ring_depth"),
    ], told.stdout + told.stderr


def test_no_match_over_a_fixed_vocabulary_takes_what_it_does_not_know_for_what_it_does() -> None:
    """`case _` is there only to say that nothing is left."""
    taking = re.compile(r"case _:\n(?! *assert_never\()")
    assert [str(path) for path in PACKAGE.rglob("*.py") if taking.search(path.read_text("utf-8"))] == []


def test_the_vocabularies_stand_in_one_file() -> None:
    """No two words of one vocabulary are written down as a Literal anywhere else."""
    words = {
        frozenset(get_args(held))
        for name, held in vars(terms).items()
        if name[0].isupper() and len(get_args(held)) > 1 and all(isinstance(w, str) for w in get_args(held))
    }
    again = [
        f"{path.relative_to(TOP)}: {found}"
        for path in PACKAGE.rglob("*.py")
        if path.name != "terms.py"
        for found in re.findall(r"Literal\[([^\]]*)\]", path.read_text("utf-8"))
        if frozenset(re.findall(r'"([^"]*)"', found)) in words
    ]
    assert again == []
