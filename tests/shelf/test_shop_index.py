"""The index of a shop saves looking, and no more: without it the program does and says the same."""

import os
import re
import shutil
import signal
import time
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from random import Random

import pytest

from cardgen.commands import common
from cardgen.shelf import state, truth
from cardgen.shop import folder as shop_folder
from cardgen.shop.quiet import NAME as QUIET
from cardgen.shop.shop_index import FOLDER, NAME, read_index
from tests.calling import cardgen
from tests.conftest import MadeOnce
from tests.shelf.conftest import Trial

ROOT = Path(__file__).parents[2]
SPECS = ("spindle-nose", "needle-valve", "fan-shaft", "sleeve-socket", "gauges", "machines", "wheels", "shop")
SHEETS = (("sheet", "SN-204", "NV-30"), ("sheet", "--at", "Grinder 2"))
BESIDE = (("strip", "SN-204"), ("record", "NV-30"), *SHEETS)
ASKED = (("status",), ("status", "--json"), ("values", "SN-204"), ("stock", "SN-204", "4.5 mm"), ("make",))


@pytest.fixture
def shop(made_once: MadeOnce, tmp_path_factory, tmp_path) -> Path:
    """A shop whose cards, two of them of one piece, other papers and index were just made."""

    def make() -> Path:
        laid = tmp_path_factory.mktemp("with an index") / "shop"
        (laid / "specs").mkdir(parents=True)
        for name in SPECS:
            shutil.copy(ROOT / "specs" / f"{name}.yaml", laid / "specs")
        shutil.copytree(ROOT / "templates", laid / "templates")
        for words in BESIDE:
            assert cardgen(*words, cwd=laid).returncode == 0
        assert cardgen("make", cwd=laid).returncode == 0
        return laid

    shutil.copytree(made_once("a shop with an index", make), tmp_path / "shop")
    assert cardgen("make", cwd=tmp_path / "shop").returncode == 0  # the papers lie elsewhere on the disk now
    return tmp_path / "shop"


def index_of(shop: Path) -> Path:
    return shop / "out" / FOLDER / NAME


def papers(shop: Path) -> dict[str, bytes]:
    """Every file in out but what the program keeps for itself."""
    found = (path for path in sorted((shop / "out").rglob("*")) if path.is_file())
    return {str(path): path.read_bytes() for path in found if ".cardgen" not in str(path)}


def same_without(shop: Path, *asked: str) -> str:
    """Run a command here, and in a copy that has no index; what it printed, the same in both."""
    copy = shop.parent / "copy" / shop.name
    shutil.rmtree(copy.parent, ignore_errors=True)
    shutil.copytree(shop, copy)
    shutil.rmtree(copy / "out" / FOLDER, ignore_errors=True)
    here, there = cardgen(*asked, cwd=shop), cardgen(*asked, cwd=copy)
    assert (here.returncode, here.stdout, here.stderr) == (there.returncode, there.stdout, there.stderr)
    assert list(papers(shop).values()) == list(papers(copy).values())
    return here.stdout + here.stderr


def some_spec(shop: Path, draw: Random) -> Path:
    return draw.choice(sorted((shop / "specs").glob("*.yaml")))


def edit_a_figure(shop: Path, draw: Random) -> None:
    """One digit of one figure in one spec is another."""
    spec = some_spec(shop, draw)
    text = spec.read_text("utf-8")
    at = draw.choice([found.start() for found in re.finditer(r"(?<=[ .])\d(?= |\.|\d)", text)])
    spec.write_text(f"{text[:at]}{draw.randrange(1, 10)}{text[at + 1 :]}", "utf-8")


def shift_the_lines(shop: Path, draw: Random) -> None:
    """Of all records of a spec, or of those below one of them."""
    spec = some_spec(shop, draw)
    text = spec.read_text("utf-8")
    at = draw.choice([0, *(found.start() for found in re.finditer(r"(?m)^---", text))])
    spec.write_text(f"{text[:at]}# another line\n{text[at:]}", "utf-8")


def turn_records_round(shop: Path, draw: Random) -> None:
    """Those of a spec stand the other way round."""
    spec = some_spec(shop, draw)
    records = re.split(r"(?m)^---\n", spec.read_text("utf-8"))
    spec.write_text("---\n".join(records[::-1]), "utf-8")


def spoil(shop: Path, draw: Random) -> None:
    """A line of a spec is lost, or a key misspelt."""
    spec = some_spec(shop, draw)
    lines = spec.read_text("utf-8").splitlines(keepends=True)
    at = draw.randrange(len(lines))
    lines[at] = draw.choice(["", lines[at].replace("e", "f", 1), "  : [\n"])
    spec.write_text("".join(lines), "utf-8")


def copy_a_spec(shop: Path, draw: Random) -> None:
    """A second record of each id in a file, before or behind the first."""
    spec = some_spec(shop, draw)
    shutil.copy(spec, spec.with_name(draw.choice("az") + "-copy.yaml"))


def rename_a_spec(shop: Path, draw: Random) -> None:
    spec = some_spec(shop, draw)
    spec.rename(spec.with_name(f"{draw.choice('az')}-{spec.name}"))


def delete_a_spec(shop: Path, draw: Random) -> None:
    some_spec(shop, draw).unlink()


def restore_a_spec(shop: Path, draw: Random) -> None:
    """As the demo shop has it, with the times of then."""
    shutil.copy2(ROOT / "specs" / f"{draw.choice(SPECS)}.yaml", shop / "specs")


def let_a_calibration_lapse(shop: Path, draw: Random) -> None:
    spec = shop / "specs" / "gauges.yaml"
    if spec.exists():
        text = spec.read_text("utf-8")
        spec.write_text(
            re.sub(
                r"(calibration_due: 20)\d\d",
                rf"\g<1>{draw.choice(['20', '31'])}",
                text,
                count=draw.randrange(1, 9),
            ),
            "utf-8",
        )


def change_a_paper(shop: Path, draw: Random) -> None:
    """By hand: other bytes, as many and of the same time; or none."""
    paper = draw.choice(sorted((shop / "out").glob("*.pdf")))
    told, content = paper.stat(), bytearray(paper.read_bytes())
    content[draw.randrange(len(content))] ^= 1
    if draw.random() < 0.3:
        paper.unlink()
    else:
        paper.write_bytes(content)
        os.utime(paper, ns=(told.st_atime_ns, told.st_mtime_ns))


def swap_papers(shop: Path, draw: Random) -> None:
    one, other = draw.sample(sorted((shop / "out").glob("*.pdf")), 2)
    content = one.read_bytes()
    one.write_bytes(other.read_bytes())
    other.write_bytes(content)


def change_a_template(shop: Path, draw: Random) -> None:
    template = shop / "templates" / draw.choice(["terms.j2", "index.html.j2", "notes.j2"])
    template.write_text(template.read_text("utf-8") + "{# a remark #}", "utf-8")


def take_notices_away(shop: Path, draw: Random) -> None:
    for notice in (shop / "out" / "notices").glob("*.pdf"):
        notice.unlink()


def kill_a_make(shop: Path, draw: Random) -> None:
    edit_a_figure(shop, draw)
    running = Trial("cardgen", shop).start("make", "--shop", str(shop))
    time.sleep(draw.uniform(0.05, 0.5))
    running.send_signal(signal.SIGKILL)
    running.ended()


CHANGES: tuple[Callable[[Path, Random], None], ...] = (
    edit_a_figure,
    edit_a_figure,
    shift_the_lines,
    turn_records_round,
    spoil,
    copy_a_spec,
    rename_a_spec,
    delete_a_spec,
    restore_a_spec,
    restore_a_spec,
    let_a_calibration_lapse,
    change_a_paper,
    swap_papers,
    change_a_template,
    take_notices_away,
)


def changed_at_random(shop: Path, seed: int, steps: int) -> None:
    """So many changes, each followed by a command or two."""
    draw = Random(seed)
    for _ in range(steps):
        for change in draw.sample(CHANGES, draw.choice([1, 1, 2])):
            if any((shop / "specs").glob("*.yaml")) and len(list((shop / "out").glob("*.pdf"))) > 1:
                change(shop, draw)
        for asked in draw.sample(ASKED, 2):
            same_without(shop, *asked)


@pytest.mark.parametrize("seed", range(2))
def test_with_the_index_and_without_it_the_same_is_done_and_said(shop, seed):
    """After edits, deletions, renames, restored old files and papers changed by hand."""
    changed_at_random(shop, seed, 4)


def test_a_killed_make_leaves_nothing_that_is_wrongly_believed(shop):
    kill_a_make(shop, Random(5))
    same_without(shop, "status")
    same_without(shop, "make")


def test_a_day_on_which_a_calibration_lapses_is_not_slept_through(shop, monkeypatch):
    """Nor one on which the clock is set back."""

    def on(day: date) -> str:
        for where in (shop_folder, common):
            monkeypatch.setattr(where, "date", type("Day", (date,), {"today": staticmethod(lambda: day)}))
        return same_without(shop, "make")

    assert "lapsed" not in on(date(2026, 11, 27))
    assert "lapsed calibration of gauge R-204" in on(date(2027, 3, 31) + timedelta(days=1))
    assert "lapsed calibration of gauge R-204" in on(date(2026, 11, 27))


def test_a_damaged_index_is_told_in_one_line_and_made_anew(shop):
    path = index_of(shop)
    whole = path.read_bytes()
    path.write_bytes(whole.replace(b"SN-204", b"SN-205"))
    told = cardgen("make", cwd=shop)
    assert told.stderr.splitlines()[0] == "out/.cardgen/index: damaged; everything is read anew"
    assert cardgen("make", cwd=shop).stderr == "\n".join(told.stderr.splitlines()[1:])
    path.write_bytes(b"cardgen index 0 " + whole)
    assert "of another version; everything is read anew" in cardgen("status", cwd=shop).stderr


def test_an_index_that_is_gone_costs_only_time(shop):
    shutil.rmtree(index_of(shop).parent)
    assert cardgen("make", cwd=shop).returncode == 0
    assert read_index(shop / "out")[0] is not None


def test_of_a_file_of_many_records_only_what_changed_is_held_against_its_cards(shop, monkeypatch):
    """One ring is another: the parts that it is named in are reckoned, those of its neighbours are not; and a
    line above it moves what is told of the file's records."""
    seen = []
    reckon = shop_folder.Shop.card
    monkeypatch.setattr(
        shop_folder.Shop, "card", lambda of, part_id: seen.append(part_id) or reckon(of, part_id)
    )
    gauges, wheels = shop / "specs" / "gauges.yaml", shop / "specs" / "wheels.yaml"
    text = gauges.read_text("utf-8")
    gauges.write_text(text.replace("37.998 mm, uncertainty", "37.995 mm, uncertainty"), "utf-8")
    before = cardgen("status", cwd=shop).stdout
    assert set(seen) == {"SN-204"}
    gauges.write_text(text, "utf-8")
    wheels.write_text("# another line\n" + wheels.read_text("utf-8"), "utf-8")
    after = cardgen("status", cwd=shop).stdout
    (was,), (now,) = (re.findall(r"SS-2: specs/wheels.yaml:(\d+):", told) for told in (before, after))
    assert int(now) == int(was) + 1


def test_what_has_not_changed_is_not_read(shop, monkeypatch):
    """With nothing to do no spec is parsed; the one that was saved is, and what it needs."""
    parsed = []
    from cardgen.spec import load

    read = load.read_documents
    monkeypatch.setattr(
        load, "read_documents", lambda name, content: parsed.append(name) or read(name, content)
    )
    cardgen("make", cwd=shop)
    assert parsed == []
    spec = shop / "specs" / "needle-valve.yaml"
    spec.write_text(spec.read_text("utf-8") + "# saved\n", "utf-8")
    cardgen("status", cwd=shop)
    assert sorted(parsed) == [
        f"specs/{name}.yaml" for name in ("gauges", "machines", "needle-valve", "shop", "wheels")
    ]


@pytest.fixture
def with_booklet(shop: Path) -> Path:
    """The shop with a booklet of few tables, and all of it made."""
    text = (ROOT / "specs" / "toolroom-booklet.yaml").read_text("utf-8")
    few = re.sub(r"(?s)\nmachines: .*", "\nmachines: [CG-1]\ntapers: ['1:8']\nparts: [all]\n", text)
    (shop / "specs" / "toolroom-booklet.yaml").write_text(few, "utf-8")
    for words in (("booklet",), ("make",)):
        assert cardgen(*words, cwd=shop).returncode == 0
    return shop


def test_no_paper_is_opened_when_nothing_changed(with_booklet, monkeypatch):
    """Neither a card nor a strip, a record sheet, a sheet or a booklet."""
    opened = []
    read = state.read_file
    monkeypatch.setattr(state, "read_file", lambda path, limit: opened.append(path.name) or read(path, limit))
    assert cardgen("status", cwd=with_booklet).stdout.startswith("current  10 papers")
    assert cardgen("make", cwd=with_booklet).stdout == "current  10 papers\n"
    assert opened == []


def test_what_was_drawn_to_find_it_alike_is_not_drawn_again(with_booklet, monkeypatch):
    """A template said otherwise what prints the same: a make holds every paper against it, the next none."""
    template = with_booklet / "templates" / "terms.j2"
    template.write_text(template.read_text("utf-8") + "{# a remark #}", "utf-8")
    assert same_without(with_booklet, "make") == "current  10 papers\n"
    drawn = []
    monkeypatch.setattr(truth, "_marks", lambda job, code: drawn.append(job.file_name))
    assert cardgen("status", cwd=with_booklet).stdout.startswith("current  10 papers")
    assert drawn == []


def test_a_change_reaches_the_papers_beside_the_cards_as_without_the_index(with_booklet):
    """A machine's record reaches the booklet, a mistake in a part's spec every paper of the part."""
    for file, old, new, asked in (
        ("machines.yaml", "kind: machine", "# a word\nkind: machine", "status"),
        ("needle-valve.yaml", "pieces: ", "pices: ", "make"),
        ("needle-valve.yaml", "pices: ", "pieces: no", "status"),
    ):
        spec = with_booklet / "specs" / file
        text = spec.read_text("utf-8")
        assert old in text
        spec.write_text(text.replace(old, new, 1), "utf-8")
        same_without(with_booklet, asked)


def quiet(shop: Path) -> bool:
    """Whether `make` and `status` are answered by what was said before."""
    here = common.told_before(shop, "make")[0], common.told_before(shop, "status")[0]
    assert len({each is None for each in here}) == 1
    return here[0] is not None


@pytest.fixture
def still(shop: Path) -> Path:
    """The shop, and nothing to be done in it."""
    for _ in range(2):
        assert cardgen("make", cwd=shop).returncode == 0
    assert quiet(shop)
    return shop


def test_where_nothing_is_to_be_done_the_same_is_said_with_no_record_looked_at(still, monkeypatch):
    """Word for word and with the same status, of `make` and of `status`."""
    asked = {words: cardgen(words, "--all", cwd=still) for words in ("make", "status")}
    (still / "out" / FOLDER / QUIET).rename(still / "kept")
    true = cardgen("status", cwd=still), cardgen("make", cwd=still)
    (still / "kept").replace(still / "out" / FOLDER / QUIET)
    monkeypatch.setattr(common, "read_changed", lambda *asked: pytest.fail(f"{asked} is read"))
    monkeypatch.setattr(shop_folder.Shop, "read_changed", lambda *asked: pytest.fail(f"{asked} is read"))
    said = cardgen("status", cwd=still), cardgen("make", cwd=still)
    for here, there in zip(said, true, strict=True):
        assert (here.returncode, here.stdout, here.stderr) == (there.returncode, there.stdout, there.stderr)
    assert all("SN-204" in each.stdout for each in asked.values())  # asked otherwise, it is looked at


def a_figure_under_the_times_of_before(shop: Path) -> None:
    spec = shop / "specs" / "spindle-nose.yaml"
    told, text = spec.stat(), spec.read_text("utf-8")
    spec.write_text(text.replace("revision: B", "revision: C"), "utf-8")
    os.utime(spec, ns=(told.st_atime_ns, told.st_mtime_ns))


SMALL_CHANGES: dict[str, Callable[[Path], object]] = {
    "a figure of a spec": a_figure_under_the_times_of_before,
    "another spec": lambda shop: copy_a_spec(shop, Random(1)),
    "a template": lambda shop: change_a_template(shop, Random(1)),
    "a paper": lambda shop: change_a_paper(shop, Random(1)),
    "a paper gone": lambda shop: next((shop / "out").glob("*.pdf")).unlink(),
    "another file among the papers": lambda shop: shutil.copy(ROOT / "README.md", shop / "out" / "x.pdf"),
    "the page": lambda shop: (shop / "out" / "index.html").unlink(),
    "a notice": lambda shop: (shop / "out" / "notices").mkdir() or (shop / "out" / "notices" / "x").touch(),
    "what hangs": lambda shop: cardgen("posted", "SN-204", "Grinder 2", cwd=shop),
    "the index": lambda shop: index_of(shop).write_bytes(index_of(shop).read_bytes() + b" "),
    "what was said": lambda shop: (index_of(shop).parent / QUIET).write_bytes(b"cardgen quiet 1 "),
}


@pytest.mark.parametrize("change", SMALL_CHANGES)
def test_whatever_changes_is_looked_at(still, change):
    """Nothing is said again of a shop that is another."""
    SMALL_CHANGES[change](still)
    assert not quiet(still)


def test_a_wait_till_a_calibration_lapses_is_looked_at(still, monkeypatch):
    """And a clock that was set back."""
    for day in (date(2099, 1, 1), date(2020, 1, 1)):
        monkeypatch.setattr(
            common, "date", type("Day", (date,), {"today": staticmethod(lambda day=day: day)})
        )
        assert not quiet(still)


def test_a_booklet_that_is_new_to_a_shop_says_of_each_card_what_it_says(with_booklet):
    """Those that were believed before there was one, too: one part is saved, and the booklet made with it."""
    spec = with_booklet / "specs" / "needle-valve.yaml"
    spec.write_text(re.sub(r"pieces: \d+", "pieces: 7", spec.read_text("utf-8")), "utf-8")
    assert "remade  toolroom-booklet.pdf" in same_without(with_booklet, "make")


def test_git_is_not_shown_the_index(shop):
    assert (index_of(shop).parent / ".gitignore").read_text() == "*\n"
