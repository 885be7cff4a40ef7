"""What `make` keeps to answer a reading with: `stock` says by it what the specs say, or leaves it alone."""

import math
import os
import re
import shutil
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from random import Random
from subprocess import CompletedProcess

import pytest

from cardgen.card.at_the_bench import bench_answer
from cardgen.commands import program
from cardgen.shelf.trouble import ShelfError
from cardgen.shelf.writing import put
from cardgen.shop import bench_answers, card_inputs, keeping
from cardgen.shop.bench_answers import ANSWERS, SPECS, answers_of, keep_answers, kept_answers
from cardgen.shop.folder import Shop
from cardgen.shop.sealed import FOLDER, sealed, unsealed
from tests.calling import cardgen
from tests.made.shops import made_shop, write

ROOT = Path(__file__).parents[2]
FEW = ("spindle-nose", "drill-shank", "needle-valve", "gauges", "machines", "wheels", "shop")
READINGS = ("4.5 mm", "11/64 in", "0 mm", "-1/64 in", "400 mm", "4.5", "4,5 mm", "3 ells", "9 thou", "1:8")


def keep(folder: Path) -> Shop:
    """The shop, its answers kept as a `make` keeps them."""
    shop = Shop.read(folder)
    assert shop.reading is not None
    keep_answers(shop, shop.reading)
    return shop


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    """Three parts of the demo shop."""
    (tmp_path / "specs").mkdir()
    for name in FEW:
        shutil.copy(ROOT / "specs" / f"{name}.yaml", tmp_path / "specs")
    shutil.copytree(ROOT / "templates", tmp_path / "templates")
    keep(tmp_path)
    return tmp_path


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    """The demo shop: both sides of work, worn pieces, marks, inches, two operations of one piece."""
    folder = tmp_path_factory.mktemp("whole")
    shutil.copytree(ROOT / "specs", folder / "specs")
    return keep(folder)


def test_what_is_kept_is_what_the_specs_say(whole: Shop, tmp_path: Path) -> None:
    """Of the demo's parts and of made-up ones of every kind: each figure to its last bit, each word."""
    for shop in (whole, keep(write(made_shop(Random("kept"), 15), tmp_path))):
        folder, told = shop.folder, 0
        for part_id in shop.part_ids:
            kept = kept_answers(folder, part_id)
            assert (kept is None) == bool(shop.complaints_of(part_id)), part_id
            if kept is not None:
                told += 1
                true = answers_of(shop, part_id)
                assert (kept.gauged, kept.words) == (true.gauged, true.words), part_id
        assert told > 8


@pytest.mark.parametrize("part", ["SN-204", "VP-32-WORN", "DS-3"])
def test_a_reading_is_answered_alike_with_no_spec_read(
    whole: Shop, part: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Sound readings, those that the gauge cannot show, and mistakes: the words and the exit status."""

    def answers() -> list[CompletedProcess[str]]:
        return [cardgen("stock", part, reading, cwd=whole.folder) for reading in READINGS]

    def no_need(*asked: object) -> Shop:
        raise AssertionError(f"{asked} is read")

    with monkeypatch.context() as patch:
        patch.setattr(program, "read_changed", no_need)
        kept = answers()
    monkeypatch.setattr(bench_answers, "kept_answers", lambda folder, part_id: None)
    monkeypatch.setattr(program, "read_changed", lambda folder, part_id: whole)
    true = answers()
    assert [(each.returncode, each.stdout, each.stderr) for each in kept] == [
        (each.returncode, each.stdout, each.stderr) for each in true
    ]
    assert {each.returncode for each in true} == {0, 2}


def restored(path: Path, old: str, new: str) -> None:
    """Other words of the same length, under the times that the file had."""
    text, told = path.read_text("utf-8"), path.stat()
    assert old in text
    assert len(old) == len(new)
    path.write_text(text.replace(old, new, 1), "utf-8")
    os.utime(path, ns=(told.st_atime_ns, told.st_mtime_ns))


def another_gets_its_answer(shop: Path) -> None:
    folder = shop / "out" / FOLDER / ANSWERS
    mine, other = (folder / bench_answers._name(part) for part in ("SN-204", "DS-3"))
    shutil.copy(other, mine)


def damage(shop: Path) -> None:
    for path in (shop / "out" / FOLDER / ANSWERS).iterdir():
        path.write_bytes(path.read_bytes().replace(b"0", b"1", 1))


def laid_out_otherwise(name: str, key: str) -> Callable[[Path], None]:
    """As a program might keep it that is under work, and whose head still says the same."""

    def change(shop: Path) -> None:
        path = shop / "out" / FOLDER / name
        plain = unsealed(bench_answers.HEAD, path.read_bytes())
        path.write_bytes(sealed(bench_answers.HEAD, {**plain, key: 1}))

    return change


OF_SN_204 = f"{ANSWERS}/{bench_answers._name('SN-204')}"
CHANGES: dict[str, Callable[[Path], object]] = {
    "its spec, under the times of before": lambda shop: restored(
        shop / "specs" / "spindle-nose.yaml", "revision: B", "revision: C"
    ),
    "its gauge": lambda shop: restored(shop / "specs" / "gauges.yaml", "id: R-204", "id: R-205"),
    "a word of the answer": lambda shop: restored(
        shop / "templates" / "stock_answer.j2", "stands at", "it is now"
    ),
    "the same part once more": lambda shop: shutil.copy(
        shop / "specs" / "spindle-nose.yaml", shop / "specs" / "again.yaml"
    ),
    "another spec, where it lies": lambda shop: restored(
        shop / "specs" / "drill-shank.yaml", "id: DS-3", "id: DS-4"
    ),
    "its answer is that of another part": another_gets_its_answer,
    "its answer is damaged": damage,
    "how the specs lay is not known": lambda shop: (shop / "out" / FOLDER / SPECS).unlink(),
    "its answer is laid out otherwise": laid_out_otherwise(OF_SN_204, "gauged"),
    "the worths of units are laid out otherwise": laid_out_otherwise(SPECS, "worths"),
    "its fingerprint is laid out otherwise": laid_out_otherwise(SPECS, "parts"),
}


@pytest.mark.parametrize("change", CHANGES)
def test_what_may_have_changed_is_read(demo: Path, change: str) -> None:
    """Digests decide of what the part is made from, whatever a file's times say."""
    assert kept_answers(demo, "SN-204") is not None
    CHANGES[change](demo)
    assert kept_answers(demo, "SN-204") is None


class KilledError(BaseException):
    """As a kill: nothing in the program catches it."""


def refused(*asked: object) -> None:
    raise ShelfError("the disk is full")


def killed(*asked: object) -> None:
    raise KilledError


def at(name: str, then: Callable[..., None]) -> Callable[[Path, bytes], None]:
    """`put`, that goes wrong at one file."""
    return lambda path, content: then() if path.name == name else put(path, content)


# What goes wrong while answers and index are put: whose function, its name, and what it does instead.
MISHAPS: dict[str, tuple[object, str, Callable[..., None]]] = {
    "no answer can be put": (bench_answers, "put", refused),
    "its answer cannot be put": (bench_answers, "put", at(bench_answers._name("SN-204"), refused)),
    "killed at its answer": (bench_answers, "put", at(bench_answers._name("SN-204"), killed)),
    "killed before it is put how the specs lie": (bench_answers, "put", at(SPECS, killed)),
    "the index cannot be put": (keeping, "write_index", lambda *asked: None),
}


def to_and_fro(shop: Path) -> None:
    """A figure of one part, and the shop's own record, gone or come: no part names it, and what each says
    hangs on it."""
    lies, away, part = shop / "specs" / "shop.yaml", shop / "shop.yaml", shop / "specs" / "spindle-nose.yaml"
    there, to = (lies, away) if lies.exists() else (away, lies)
    there.rename(to)
    larger, smaller = "diameter: 38.000 mm, tol", "diameter: 37.900 mm, tol"
    restored(part, *((larger, smaller) if larger in part.read_text("utf-8") else (smaller, larger)))


def believed(shop: Path) -> int:
    """How many parts are answered with what was kept; each as its specs say now."""
    now, count = Shop.read(shop), 0
    for part_id in now.part_ids:
        kept = kept_answers(shop, part_id)
        if kept is not None:
            true, count = answers_of(now, part_id), count + 1
            assert (kept.gauged, kept.words) == (true.gauged, true.words), part_id
    return count


@pytest.mark.parametrize("mishap", MISHAPS)
def test_after_a_mishap_no_older_answer_is_believed(
    demo: Path, mishap: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever was put and whatever not, through the runs that follow, and where the change is taken back."""
    restored(demo / "specs" / "shop.yaml", "difference: 1 K", "difference: 9 K")
    (demo / "specs" / "needle-valve.yaml").unlink()
    other = demo / "specs" / "drill-shank.yaml"

    def change_and_run_into_it() -> None:
        to_and_fro(demo)
        with monkeypatch.context() as patch, suppress(KilledError):
            patch.setattr(*MISHAPS[mishap])
            cardgen("make", "DS-3", cwd=demo)
        believed(demo)

    def run_on() -> None:
        cardgen("make", "DS-3", cwd=demo)
        believed(demo)
        other.write_text(f"{other.read_text('utf-8')}# looked through\n", "utf-8")
        cardgen("make", "DS-3", cwd=demo)
        believed(demo)

    cardgen("make", cwd=demo)
    assert believed(demo) == 2
    change_and_run_into_it()
    to_and_fro(demo)
    run_on()
    change_and_run_into_it()
    run_on()


def test_what_changes_no_answer_leaves_them_believed(demo: Path) -> None:
    """Templates of other papers are of no answer, as they are of no card."""
    with (demo / "templates" / "walk_round.j2").open("a", encoding="utf-8") as template:
        template.write("{# looked through #}\n")
    assert kept_answers(demo, "SN-204") is not None


def test_a_worn_piece_at_the_very_start_is_worth_starting(whole: Shop) -> None:
    """The start is a count of divisions, and 57 times 0.02 mm is not 1.14 mm to the last bit."""
    gauged = whole.card("VP-32-WORN").gauged
    assert gauged.worn_from is not None
    start = gauged.worn_from
    for told in (start, math.nextafter(start, -math.inf), math.nextafter(start, math.inf)):
        assert bench_answer(replace(gauged, worn_from=told), start).worth_starting


def test_an_answer_holds_till_a_calibration_of_its_gauges_lapses(demo: Path) -> None:
    """A shop's own words may tell what is found about a part, and that hangs on the day."""
    due = next(each for each in keep(demo).library.gauges.values() if each.id == "R-204").calibration_due
    today = date.today()
    assert due is not None
    days = [today - timedelta(1), today, due, due + timedelta(1)]
    held = [kept_answers(demo, "SN-204", day) is not None for day in days]
    assert held == [False, True, True, False]


def test_git_passes_by_what_is_kept(demo: Path) -> None:
    """Also where only answers could be kept, and no index."""
    assert (demo / "out" / FOLDER / ".gitignore").read_text("utf-8") == "*\n"


def test_what_cannot_be_put_leaves_nothing_half_written(tmp_path: Path) -> None:
    """Of what is not forced to the disk as of a paper."""
    (tmp_path / SPECS).mkdir()
    with pytest.raises(ShelfError, match="not written: a folder stands in its place"):
        put(tmp_path / SPECS, b"anything")
    assert [path.name for path in tmp_path.iterdir()] == [SPECS]


def test_another_program_reads_the_specs(demo: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A corrected formula may answer otherwise."""
    monkeypatch.setattr(card_inputs, "program_inputs", lambda: ())
    assert kept_answers(demo, "SN-204") is None


def test_a_remark_behind_the_specs_leaves_the_answers_true(demo: Path) -> None:
    """In a file of many records the others stay as they are, unread, and are answered as before."""
    cardgen("make", cwd=demo)
    with (demo / "specs" / "gauges.yaml").open("a", encoding="utf-8") as gauges:
        gauges.write("# looked through\n")
    assert kept_answers(demo, "SN-204") is None
    cardgen("make", cwd=demo)
    assert kept_answers(demo, "SN-204") is not None


def test_what_no_part_wants_any_more_is_forgotten(demo: Path) -> None:
    """Of a part that is gone, and of one that gets no card, nothing is left to answer by."""
    (demo / "specs" / "drill-shank.yaml").unlink()
    restored(demo / "specs" / "needle-valve.yaml", "kind: part", "kind: prat")
    shop = keep(demo)
    sound = [part_id for part_id in shop.part_ids if not shop.complaints_of(part_id)]
    assert len(list((demo / "out" / FOLDER / ANSWERS).iterdir())) == len(sound)
    assert kept_answers(demo, "DS-3") is None
    assert kept_answers(demo, "NV-30") is None


def test_a_place_in_a_part_s_name_stays_as_it_is_written(demo: Path) -> None:
    """Braces are a figure's place in the template's words alone."""
    restored(demo / "specs" / "spindle-nose.yaml", "name: Spindle nose", "name: '{left}|{x}'")
    assert "SN-204 {left}|{x}, revision B" in cardgen("stock", "SN-204", "4.5 mm", cwd=demo).stdout


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("stands: at {stagge}", "names {stagge}; there is left_on, part_way"),
        ("standz: at", "no line 'stands: …'"),
    ],
)
def test_an_answer_that_its_template_breaks_is_told_in_words(demo: Path, words: str, told: str) -> None:
    """A place that there is none of, or a line gone."""
    template = demo / "templates" / "stock_answer.j2"
    template.write_text(template.read_text("utf-8").replace("stands: stands at  {stage}", words), "utf-8")
    ended = cardgen("stock", "SN-204", "4.5 mm", cwd=demo)
    assert ended.returncode == 2
    assert told in ended.stderr


def test_an_answer_in_the_words_of_an_older_program_says_what_to_compare(demo: Path) -> None:
    """Its template was given the answer itself, and its lines had no names; `check` tells it too."""
    template = demo / "templates" / "stock_answer.j2"
    template.write_text("reading    {{ f.reading(answer.reading_text) }}\n", "utf-8")
    right = "'answer' is undefined; its lines have names now: compare it with the one that 'cardgen new shop'"
    asked, checked = cardgen("stock", "SN-204", "4.5 mm", cwd=demo), cardgen("check", "SN-204", cwd=demo)
    assert asked.returncode == 2
    assert right in asked.stderr
    assert checked.returncode == 1
    assert right in " ".join(checked.stdout.split())


def test_a_worn_piece_s_cut_a_pass_is_told_in_full(whole: Shop) -> None:
    """In the template's own words for a division, as the feeds are."""
    words = answers_of(whole, "VP-32-WORN").words
    assert re.search(r"clean up with the least, \d+ divisions? a pass", "".join(words["worth"]))
