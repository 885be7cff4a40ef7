"""Two planners with a clone each: what they write comes together without a conflict that the program made."""

import os
import subprocess
from pathlib import Path

import pytest

from cardgen.shop.starting import FOR_GIT
from tests.shelf.conftest import Floor, Trial
from tests.shelf.test_what_hangs import NEW_RING


def git(folder: Path, *words: str) -> str:
    """What git prints; it has to go well."""
    own = {"GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_NOSYSTEM": "1"}
    named = {
        f"GIT_{who}_{what}": "planner@shop" for who in ("AUTHOR", "COMMITTER") for what in ("NAME", "EMAIL")
    }
    done = subprocess.run(
        ["git", *words],
        cwd=folder,
        env={**os.environ, **own, **named},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(params=["papers are not committed", "papers are committed"])
def clones(floor: Floor, request: pytest.FixtureRequest) -> tuple[Floor, Floor]:
    """Two clones of one shop, as the README says."""
    committed = request.param == "papers are committed"
    for name, text in FOR_GIT.items():
        told = text.replace("\n/out/\n", "\n") if committed else text
        (floor.folder / name).write_text(told, "utf-8")
    git(floor.folder, "init", "-q", "-b", "main")
    commit(floor, "begun")
    found = []
    for name in ("ada", "bert"):
        folder = floor.folder.parent / name
        git(floor.folder.parent, "clone", "-q", str(floor.folder), name)
        if committed:
            git(folder, "config", "merge.made-anew.driver", "true")
        found.append(Floor("cardgen", folder))
        found[-1].done("make")
    return found[0], found[1]


def commit(trial: Trial, why: str) -> None:
    git(trial.folder, "add", "-A")
    git(trial.folder, "commit", "-q", "--allow-empty", "-m", why)


def merge(into: Trial, other: Trial) -> None:
    git(into.folder, "pull", "-q", "--no-rebase", "--no-edit", str(other.folder), "main")


def test_what_two_planners_changed_and_entered_comes_together(clones):
    """Both made, hung and entered a card of the same part; after the merge either copy is to be exchanged."""
    ada, bert = clones
    ada.edit(*NEW_RING)
    bert.edit("spindle-nose.yaml", "pieces: 40", "pieces: 60")
    for one, place, name in ((ada, "Grinder 2", "Ada"), (bert, "Toolroom binder", "Bert")):
        one.done("make")
        one.done("posted", "SN-204", place, "--by", name)
        one.done("make")
        commit(one, f"changed by {name}")
    merge(ada, bert)
    merge(bert, ada)
    codes = set()
    for one in (ada, bert):
        assert set(one.copies().values()) == {"to be exchanged"}
        one.done("make")
        assert len(one.notices()) == 2
        codes.add(one.code())
        assert not any("lock" in line for line in git(one.folder, "status", "--porcelain").splitlines())
        one.done("posted", "SN-204", "Grinder 2", "Toolroom binder", "--by", "Ada")
        commit(one, "exchanged")
    assert len(codes) == 1, "one card of the merged specs, whoever made it"
    merge(ada, bert)
    assert set(ada.copies().values()) == {"right"}
    ada.done("make")
    assert ada.done("status") == ["current  1 paper", "right  2 copies that hang"]
    assert ada.notices() == set()


def test_the_same_done_by_both_is_one_thing(clones):
    """The same edit, the same card hung: files of one name hold the same."""
    ada, bert = clones
    for one in clones:
        one.edit(*NEW_RING)
        one.done("make")
        one.done("posted", "SN-204", "Grinder 2", "--by", "Ada")
        commit(one, "ring calibrated")
    merge(ada, bert)
    assert ada.copies()["Grinder 2"] == "right"
    assert len(list((ada.folder / "specs" / "hanging" / "papers").iterdir())) == 1
