"""The commands for whoever writes specs: skeletons to fill in, and what is wrong or doubtful in them."""

import os
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from cardgen.spec.models import KINDS
from cardgen.spec.models.keys import as_yaml, said_below
from tests.calling import cardgen

EXAMPLES = {each.path: each for kind, model in KINDS.items() for each in said_below(model, (kind,))}
# Made in this order, each refers to those before it by the ids of the examples.
RECORDS = {"machine": "CG-2", "wheel": "W-A60", "gauge": "R-204", "part": "SN-204", "booklet": "toolroom"}


def filled_in(kind: str, skeleton: str) -> str:
    """The skeleton with the example of each key that stands empty."""
    return "\n".join(_lines(kind, skeleton))


def _lines(kind: str, skeleton: str) -> Iterator[str]:
    above: dict[int, str] = {}  # indent → the key that a deeper line stands in
    for line in skeleton.splitlines():
        found = re.fullmatch(r"( *)(- )?(\w+):(.*)", line)
        if not found:
            yield line
            continue
        indent = len(found[1]) + len(found[2] or "")
        above = {depth: key for depth, key in above.items() if depth < indent} | {indent: found[3]}
        key = EXAMPLES.get((kind, *(above[depth] for depth in sorted(above))))
        empty = key is not None and key.below is None and not found[4]
        yield f"{line} {as_yaml(key.example)}" if key and empty else line


@pytest.fixture
def empty_shop(tmp_path: Path) -> Path:
    """A shop as `cardgen new shop --empty` lays it down."""
    assert cardgen("new", "shop", "shop", "--empty", cwd=tmp_path).returncode == 0
    return tmp_path / "shop"


def test_skeletons_pass_once_the_few_needed_values_are_filled_in(empty_shop: Path) -> None:
    """Machine, wheel, gauge, part and booklet, with the examples of their keys: a card can be made."""
    for kind, record_id in RECORDS.items():
        laid = cardgen("new", kind, record_id, cwd=empty_shop)
        assert laid.returncode == 0, laid.stderr
        path = empty_shop / laid.stdout.partition(":")[0]
        path.write_text(filled_in(kind, path.read_text("utf-8")), "utf-8")
    checked = cardgen("check", cwd=empty_shop)
    assert "no errors" in checked.stdout
    assert not checked.stderr
    assert cardgen("make", cwd=empty_shop).returncode == 0
    assert (empty_shop / "out" / "SN-204.pdf").exists()


def test_a_skeleton_as_it_stands_is_told_what_it_lacks(empty_shop: Path) -> None:
    """Each empty key at its place, and nothing else."""
    cardgen("new", "part", "SN-301", cwd=empty_shop)
    skeleton = (empty_shop / "specs" / "SN-301.yaml").read_text("utf-8").splitlines()
    told = cardgen("check", cwd=empty_shop)
    assert told.returncode == 2
    places = [int(line.split(":")[1]) for line in told.stdout.splitlines() if line.startswith("specs/")]
    assert len(places) > 15
    assert all(re.fullmatch(r" *[a-z_]+:", skeleton[line - 1]) for line in places)


@pytest.mark.parametrize("kind", RECORDS)
def test_every_key_of_a_kind_is_in_its_skeleton(empty_shop: Path, kind: str) -> None:
    """Those that may be left out commented out, with their example."""
    cardgen("new", kind, "X-1", cwd=empty_shop)
    name = "X-1.yaml" if kind == "part" else f"{kind}-X-1.yaml"
    keys = re.findall(r"^ *(?:- )?#?(\w+):", (empty_shop / "specs" / name).read_text("utf-8"), re.MULTILINE)
    assert sorted(keys) == sorted(["kind", *(path[-1] for path in EXAMPLES if path[0] == kind)])


def test_nothing_is_written_over(empty_shop: Path) -> None:
    """A file that is there, an id that another file has already (capitals do not tell ids apart), no id."""
    cardgen("new", "gauge", "R-1", cwd=empty_shop)
    (empty_shop / "specs" / "P-1.yaml").write_text("# mine\n", "utf-8")
    for words in (["gauge", "r-1"], ["part", "P-1"], ["part", "../P"], ["part", "a b"]):
        refused = cardgen("new", *words, cwd=empty_shop)
        assert (refused.returncode, refused.stdout) == (2, "")
        assert "fault" not in refused.stderr
    assert (empty_shop / "specs" / "P-1.yaml").read_text("utf-8") == "# mine\n"
    assert cardgen("new", "shop", ".", "--empty", cwd=empty_shop).returncode == 2


def test_new_says_where_the_file_went(empty_shop: Path) -> None:
    """And what to do next; from a folder inside the shop too."""
    assert cardgen("new", "wheel", "W-1", cwd=empty_shop).stdout.startswith("specs/wheel-W-1.yaml: fill in")
    above = cardgen("new", "gauge", "R-2", "--shop", empty_shop.name, cwd=empty_shop.parent).stdout
    assert "cardgen check --shop shop\n" in above
    inside = cardgen("new", "part", "P-2", cwd=empty_shop / "specs").stdout
    assert inside.startswith(f"{Path('..', 'specs', 'P-2.yaml')}: fill in")


@pytest.fixture(scope="module")
def demo_shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo") / "shop"
    cardgen("new", "shop", str(folder))
    return folder


def test_check_makes_nothing_and_its_exit_status_tells(demo_shop: Path) -> None:
    """Doubts of sound specs end with 1; each message once, first its place, then its level."""
    checked = cardgen("check", "SN-204", "WA-50", cwd=demo_shop)
    assert checked.returncode == 1
    told = [line for line in checked.stdout.splitlines() if not line.startswith(" ")]
    assert all(re.match(r"specs/[\w-]+\.yaml:\d+:\d+: warning: .+; .+", line) for line in told[:-1])
    assert len(told) == len(set(told))
    assert told[-1] == f"no errors, {len(told) - 1} warnings"
    assert list((demo_shop / "out").iterdir()) == []


def test_a_doubt_names_the_parts_that_it_is_of(demo_shop: Path, tmp_path: Path) -> None:
    """Two parts share a wheel and a machine: the place alone does not tell whose card is doubtful."""
    shop = shutil.copytree(demo_shop, tmp_path / "shop")
    nose = (shop / "specs" / "spindle-nose.yaml").read_text("utf-8")
    (shop / "specs" / "twin.yaml").write_text(nose.replace("id: SN-204", "id: SN-205"), "utf-8")
    wheels = shop / "specs" / "wheels.yaml"
    wheels.write_text(wheels.read_text("utf-8").replace("g_ratio: 40", "g_ratio: 0.5"), "utf-8")
    told = cardgen("check", "SN-204", "SN-205", cwd=shop).stdout.splitlines()
    shared = [line for line in told if re.match(r"specs/(wheels|machines)\.yaml", line)]
    assert shared
    assert all(": warning: SN-204, SN-205: " in line for line in shared)


def test_check_of_a_part_tells_of_no_other(demo_shop: Path) -> None:
    """And of an unknown part what is near it."""
    told = cardgen("check", "SN-204", cwd=demo_shop).stdout
    assert "spindle-nose.yaml" in told
    assert "wheel-adapter.yaml" not in told
    assert "did you mean 'SN-204'" in cardgen("check", "SN-24", cwd=demo_shop).stderr


def test_check_tells_errors_and_a_card_that_cannot_be_drawn(empty_shop: Path) -> None:
    """Wrong is 2; what only shows in the drawing is wrong too."""
    for kind, record_id in RECORDS.items():
        path = empty_shop / cardgen("new", kind, record_id, cwd=empty_shop).stdout.partition(":")[0]
        path.write_text(filled_in(kind, path.read_text("utf-8")), "utf-8")
    part = empty_shop / "specs" / "SN-204.yaml"
    sound = part.read_text("utf-8")
    part.write_text(sound.replace("name: Spindle nose", "name: 芯"), "utf-8")
    told = cardgen("check", cwd=empty_shop)
    assert told.returncode == 2
    assert re.search(r"^specs/SN-204\.yaml:\d+:\d+: error: .*芯", told.stdout, re.MULTILINE)


def test_the_shop_is_named_before_or_after_the_command_by_a_variable_or_found_above(
    demo_shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The nearer word holds: after the command, before it, CARDGEN_SHOP, then here or the nearest above."""
    named, nowhere = str(demo_shop), str(tmp_path / "nowhere")
    asked = ("stock", "SN-204", "4.5 mm")
    for words in (
        ("--shop", named, *asked),
        (*asked, "--shop", named),
        ("--shop", nowhere, *asked, "--shop", named),
    ):
        assert cardgen(*words, cwd=tmp_path).returncode == 0
    assert cardgen(*asked, cwd=demo_shop / "specs").returncode == 0
    assert cardgen(*asked, cwd=tmp_path).returncode == 2
    monkeypatch.setitem(os.environ, "CARDGEN_SHOP", named)
    assert cardgen(*asked, cwd=tmp_path).returncode == 0
    assert cardgen("--shop", nowhere, *asked, cwd=tmp_path).returncode == 2


def completed(shop: Path, shell: str, typed: str, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What the shell offers for the last word of what is typed."""
    words = typed.split(" ")
    monkeypatch.setenv("_CARDGEN_COMPLETE", f"{shell}_complete")
    monkeypatch.setenv("COMP_WORDS", " ".join(words[:-1]) if shell == "fish" else typed)
    monkeypatch.setenv("COMP_CWORD", words[-1] if shell == "fish" else str(len(words) - 1))
    told = cardgen(cwd=shop).stdout.split("\n")
    return told[1::3] if shell == "zsh" else [line.split(",")[1] for line in told if line]


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("cardgen make SN", ["SN-204"]),
        ("cardgen strip DS", ["DS-3"]),
        ("cardgen check SN-204 N", ["NV-30"]),
        ("cardgen booklet t", ["toolroom"]),
        ("cardgen keys part.taper.rel", ["part.taper.relief"]),
    ],
)
def test_ids_are_completed(
    demo_shop: Path, shell: str, typed: str, offered: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of the shop's own parts and booklets, and the keys of the specs."""
    assert completed(demo_shop, shell, typed, monkeypatch) == offered
