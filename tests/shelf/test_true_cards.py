"""A card is true when what it would print now is what it prints, whatever its code says."""

import json
import re
import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest

from cardgen.shelf.contents import card_pdf, marks, read_card
from cardgen.shelf.digest import text_input
from cardgen.shelf.trouble import NotACardError, NotDrawnError
from cardgen.shelf.truth import truth_of
from cardgen.shelf.wanted import Job
from cardgen.shop.booklet_pdf import booklet_tables
from cardgen.shop.folder import Shop
from cardgen.shop.program_files import program_inputs
from tests.conftest import MadeOnce
from tests.paper.legibility import text_of
from tests.shelf.conftest import ROOT, Trial, lay_out
from tests.shelf.stub_cardgen import pages


@dataclass(frozen=True)
class Copy(Trial):
    """A shop worked with a copy of the program that a test may change."""

    program_folder: Path = Path()

    def run(self, *arguments: str, strain: dict | None = None, env: dict | None = None):
        command, *rest = arguments
        words = (command, "--shop", str(self.folder), *rest)
        return self.start(*words, strain={"program_folder": str(self.program_folder)}).ended()

    def change_program(self, file: str, old: str, new: str) -> None:
        path = self.program_folder / file
        text = path.read_text("utf-8")
        assert text.count(old) == 1
        path.write_text(text.replace(old, new), "utf-8")


@pytest.fixture
def copy(tmp_path: Path, made_once: MadeOnce, tmp_path_factory: pytest.TempPathFactory) -> Copy:
    """Three cards just made by a copy of the program; made once, and copied with that program."""

    def make() -> Path:
        folder = tmp_path_factory.mktemp("copy")
        for name in ("cardgen", "specs", "templates"):
            shutil.copytree(ROOT / name, folder / "program" / name)  # with what Python compiled of it
        Copy("cardgen", lay_out("cardgen", folder / "shop").folder, folder / "program").make()
        return folder

    shutil.copytree(made_once("cards by a copy of the program", make), tmp_path, dirs_exist_ok=True)
    return Copy("cardgen", tmp_path / "shop", tmp_path / "program")


def test_another_formula_makes_every_card_out_of_date_and_tells_the_values(copy):
    """Nobody raised the version. status says so and why; make replaces the cards, each with its notice.

    The drawing gave nothing else than it did, so nobody is asked for another revision of it.
    """
    (copy.folder / "specs" / "drill-shank.yaml").unlink()  # its figures would disagree
    (copy.out / "DS-3.pdf").unlink()
    copy.change_program("cardgen/compute/reading.py", "    return ratio if", "    return 0.9 * ratio if")
    looked = copy.run("status")
    assert looked.returncode == 1
    lines = looked.stdout.splitlines()
    cards = [line for line in lines if line.startswith("out of date")]
    assert len(cards) == 2
    assert all("; values: " in line and "program: ‘" in line for line in cards)
    assert not any("was not raised" in line for line in lines)
    remade = [line for line in copy.make() if line.startswith("remade")]
    assert len(remade) == 2
    assert all("change notice notices/" in line and "; values: " in line for line in remade)


def test_a_comment_in_the_program_leaves_every_card_as_it_is(copy):
    """Its digest is another, what would be printed is not: nothing is written, the old codes hold."""
    before = copy.files()
    copy.change_program(
        "cardgen/compute/reading.py", "    return ratio if", "    # a word\n    return ratio if"
    )
    looked = copy.run("status")
    assert (looked.returncode, looked.stdout.splitlines()[0]) == (0, "current  3 papers"), looked.stdout
    copy.make()
    assert copy.files() == before
    told = copy.run("read", str(copy.out / "SN-204.pdf")).stdout
    assert "made now it would bear the code SN-204-B-" in told
    assert told.endswith("the shop's specs still say so\n")


def test_other_words_in_a_template_of_the_program_make_a_card_out_of_date_by_its_wording(copy):
    """No figure changed, so no notice; the line says what did, and where the old card hangs."""
    copy.change_program("templates/step_rough.j2", "<b>Rough.</b>", "<b>Rough it.</b>")
    looked = copy.run("status")
    assert looked.returncode == 1
    assert looked.stdout.count("wording or drawing changed, no value") == 3, looked.stdout
    line = next(line for line in copy.make() if line.startswith("remade  SN-204.pdf"))
    assert line.endswith("wording or drawing changed, no value, copies hang at Grinder 2, Toolroom binder")
    assert not (copy.out / "notices").exists()


def test_a_key_that_no_card_shows_asks_for_no_notice_and_no_revision(tmp_path):
    """Discs for inspection: the file is made anew, for it carries the values; what hangs stays right."""
    trial = lay_out("cardgen", tmp_path / "shop")
    trial.make()
    trial.edit("spindle-nose.yaml", "machine: CG-2", "inspection: {discs: [20 mm, 16 mm]}\nmachine: CG-2")
    standing = trial.status()["SN-204"]
    assert (standing["state"], standing["print_stays"]) == ("out of date", True)
    assert not standing["revision_not_raised"]
    line = next(line for line in trial.make() if line.startswith("remade"))
    assert "inspection, disc centres" in line
    assert line.endswith("what is printed stays, copies that hang stay right")
    assert not (trial.out / "notices").exists()


def codes_borne(trial: Trial) -> dict[str, set[str]]:
    """Every paper of DS-3, made now beside its card → the codes of that part that it bears."""
    borne = {"values": trial.run("values", "DS-3").stdout}
    for command, file in (("strip", "strip"), ("record", "record"), ("sheet", "sheet-A4")):
        assert trial.run(command, "DS-3").returncode == 0
        borne[command] = text_of((trial.out / f"DS-3-{file}.pdf").read_bytes())
    listed = booklet_tables(Shop.read(trial.folder), "toolroom").parts
    borne["booklet"] = " ".join(part.card.title.code for part in listed if part.card)
    return {paper: set(re.findall(r"DS-3-A-[0-9a-f]{8}", text)) for paper, text in borne.items()}


@pytest.fixture
def with_booklet(tmp_path: Path) -> Trial:
    """A shop that also has a booklet, of one taper, in which nobody has made a card yet."""
    trial = lay_out("cardgen", tmp_path / "shop")
    booklet = (ROOT / "specs" / "toolroom-booklet.yaml").read_text("utf-8")
    assert "tapers: [all]" in booklet
    (trial.folder / "specs" / "toolroom-booklet.yaml").write_text(
        booklet.replace("tapers: [all]", "tapers: ['1:8']"), "utf-8"
    )
    return trial


def test_every_paper_of_a_part_bears_the_code_of_its_card_while_that_one_is_true(with_booklet):
    """A comment leaves card and code, and each other paper comes out byte for byte as before."""
    trial = with_booklet
    trial.make("DS-3")
    code = read_card((trial.out / "DS-3.pdf").read_bytes()).code
    assert set(map(frozenset, codes_borne(trial).values())) == {frozenset({code})}
    trial.make("DS-3")  # the out folder's page lists the other papers too
    before = trial.files()
    trial.edit("drill-shank.yaml", "kind: part", "# a word for the next planner\nkind: part")
    assert trial.status()["DS-3"]["code_now"] != code
    assert trial.make("DS-3")[0].startswith("current")
    assert set(map(frozenset, codes_borne(trial).values())) == {frozenset({code})}
    assert trial.files() == before


@pytest.mark.parametrize("card", ["never made", "of another figure", "changed by hand"])
def test_a_card_that_is_not_true_lends_its_code_to_no_paper(with_booklet, card):
    """The papers bear the code that `make` then puts on the card."""
    trial = with_booklet
    there = trial.out / "DS-3.pdf"
    if card != "never made":
        trial.make("DS-3")
    old = read_card(there.read_bytes()).code if there.exists() else ""
    if card == "of another figure":
        trial.edit("drill-shank.yaml", "pieces: ", "pieces: 1")
    if card == "changed by hand":
        there.write_bytes(there.read_bytes() + b"\n% a stamp\n")
        trial.edit("drill-shank.yaml", "kind: part", "# a word for the next planner\nkind: part")
    now = trial.status()["DS-3"]["code_now"]
    assert now != old
    assert set(map(frozenset, codes_borne(trial).values())) == {frozenset({now})}
    trial.run("make", "DS-3")
    assert read_card(there.read_bytes()).code == now


SPEC = text_input("part P-1", "a: 1", attach=True)


def job(spec=SPEC, words="one", values=None, draw=None) -> Job:
    """A job that prints these words and its code."""
    shown = draw or (lambda code: pages(code, [words]))
    return Job("P-1", "A", (spec,), values or {"title": {"code": "x"}, "stock": 1.0}, shown)


def kept(one: Job) -> bytes:
    return card_pdf(one, one.draw(one.code))


OTHER_SPEC = text_input("part P-1", "a: 1  # a comment", attach=True)
OTHER_VALUES = {"title": {"code": "y"}, "stock": 2.0}


@pytest.mark.parametrize(
    ("now", "changed", "print_stays"),
    [
        (job(), 0, True),
        (job(OTHER_SPEC), 0, True),
        (job(OTHER_SPEC, "two"), 0, False),
        (job(OTHER_SPEC, values=OTHER_VALUES), 1, True),
        (job(OTHER_SPEC, "two", OTHER_VALUES), 1, False),
        (job(values=OTHER_VALUES), 1, True),
        (job(words="two", values=OTHER_VALUES), 1, False),
    ],
)
def test_values_and_marks_decide_and_not_the_code(now, changed, print_stays):
    """Also where inputs are alike and values are not, as when a library reckons otherwise than it did."""
    content = kept(job())
    truth = truth_of(read_card(content), content, now)
    assert (len(truth.changes), truth.print_stays) == (changed, print_stays)
    assert truth.whole == (print_stays and not changed)


def test_a_card_of_like_inputs_is_not_drawn_to_be_found_true():
    """status of a shop in which nothing changed costs no drawing."""

    def never(code: str) -> bytes:
        raise AssertionError("drawn")

    content = kept(job())
    assert truth_of(read_card(content), content, job(draw=never)).whole


def test_what_cannot_be_drawn_now_is_not_taken_for_true():
    """A template that breaks since: out of date, and the reason is kept."""

    def cannot(code: str) -> bytes:
        raise NotDrawnError("steps.j2:3: no such value")

    content = kept(job())
    truth = truth_of(read_card(content), content, job(OTHER_SPEC, draw=cannot))
    assert (truth.whole, truth.not_drawn) == (False, "steps.j2:3: no such value")


def test_marks_are_those_of_the_pages_alone():
    """Attachments, properties and seal are none; a word, a place or a size of paper is."""
    drawn = job().draw("c")
    file = drawn.pdf()
    assert marks(file) == marks(card_pdf(job(), drawn))
    assert marks(file) != marks(job(words="other").draw("c").pdf())
    assert marks(file) != marks(job().draw("d").pdf())
    assert marks(file) != marks(file.replace(b"419.5", b"419.6"))
    with pytest.raises(NotACardError):
        marks(b"%PDF-1.4 nothing")


def test_the_program_is_told_by_its_version_and_the_digest_of_its_files():
    """In a form that a person can compare."""
    tables, program = program_inputs()
    assert tables.name == "taper data"
    version, _, digest = program.content.decode().partition(", files ")
    assert version
    assert len(bytes.fromhex(digest)) == 8


def test_a_sound_card_tells_of_no_lapsed_gauge(tmp_path):
    """One whose gauge is in date was made from no lapse; with a gauge out of date the card says of which."""
    trial = lay_out("cardgen", tmp_path / "shop")
    trial.make("SN-204")
    card = str(trial.out / "SN-204.pdf")
    assert "lapsed" not in trial.run("read", card).stdout
    gauges = trial.folder / "specs" / "gauges.yaml"
    lapsed = re.sub("calibration_due: .*", "calibration_due: 2020-01-31", gauges.read_text("utf-8"))
    gauges.write_text(lapsed, "utf-8")
    trial.make("SN-204")
    told = json.loads(trial.run("read", card, "--json").stdout)["made_from"]
    assert any(one["name"].startswith("lapsed calibration of gauge ") for one in told)
