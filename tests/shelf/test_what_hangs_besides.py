"""Strips, record sheets, booklets and the cards of a sheet hang as cards do."""

import json
import re
import shutil
from pathlib import Path

import pytest
from pypdf import PdfReader

from cardgen.shelf import truth
from cardgen.shelf.contents import PrintOut, read_print_out
from cardgen.shelf.wanted import file_name
from tests.conftest import MadeOnce
from tests.shelf.conftest import ROOT, Floor
from tests.shelf.test_what_hangs import LARGER, NEW_RING, back


def standing(floor: Floor) -> dict[tuple[str, str], str]:
    """Paper and place → how the copy stands."""
    told = json.loads(floor.run("status", "--json").stdout)["copies"]
    return {(one["paper"], one["place"]): one["state"] for one in told}


@pytest.fixture
def beside(floor: Floor, made_once: MadeOnce, tmp_path_factory: pytest.TempPathFactory) -> Floor:
    """The card hangs at both places, its strip at one of them and at a bench, its record sheet there too."""

    def make() -> Path:
        first = Floor("cardgen", tmp_path_factory.mktemp("beside") / "shop")
        shutil.copytree(floor.folder, first.folder)
        first.done("strip", "SN-204")
        first.done("record", "SN-204")
        first.done("posted", "SN-204", "Grinder 2", "Toolroom binder", "--by", "Ada")
        first.done("posted", "SN-204", "Grinder 2", "Setting bench", "--paper", "strip", "--by", "Ada")
        first.done("posted", "SN-204", "Setting bench", "--paper", "record", "--by", "Ada")
        return first.folder

    kept = made_once("papers that hang", make)
    shutil.rmtree(floor.folder)
    shutil.copytree(kept, floor.folder)
    return floor


def test_a_strip_hangs_beside_its_card_and_is_exchanged_with_it(beside):
    """One notice for the code that all bear, with each place's papers; each is entered by itself."""
    old = beside.code()
    assert set(standing(beside).values()) == {"right"}
    beside.edit(*NEW_RING)
    beside.done("make")
    new = beside.code()
    assert set(standing(beside).values()) == {"to be exchanged"}
    lines = beside.done("status", status=1)
    (strip,) = (line for line in lines if f": strip {old} by {new}; " in line)
    assert strip.startswith("to be exchanged  Grinder 2, Setting bench: ")
    assert strip.endswith(f"notice notices/{old}-to-{new[-8:]}.pdf")
    (notice,) = (beside.out / "notices").glob("*.pdf")
    (told,) = beside.done("read", str(notice))
    assert told.endswith("at Grinder 2 (card, strip), Setting bench (record, strip), Toolroom binder")
    beside.done("posted", "SN-204", "Grinder 2", "Setting bench", "--paper", "strip")
    assert standing(beside)["strip", "Grinder 2"] == "right"
    assert standing(beside)["card", "Grinder 2"] == "to be exchanged"
    assert standing(beside)["record", "Setting bench"] == "to be exchanged"


def test_a_strip_is_right_again_when_the_value_is_put_back_and_in_a_clone_without_papers(beside, monkeypatch):
    """What its card printed is kept beside it: a comment there is no false alarm, either; nor is it drawn
    again to find that once make did."""
    beside.edit(*LARGER)
    beside.done("make")
    beside.edit(*back(LARGER))
    beside.edit("spindle-nose.yaml", "machine: CG-2", "machine: CG-2  # a word")
    shutil.rmtree(beside.out)
    assert set(standing(beside).values()) == {"right"}
    beside.done("make")
    monkeypatch.setattr(truth, "_marks", lambda job, code: pytest.fail("what make found is found again"))
    assert set(standing(beside).values()) == {"right"}


def test_where_every_paper_is_lost_those_are_made_that_are_to_be_carried_somewhere(beside):
    """And no other, though more hang; the list to walk round with says what is still to be made."""
    shutil.rmtree(beside.out)
    assert [line.split("  ")[1] for line in beside.done("make")] == ["SN-204.pdf"]
    shutil.rmtree(beside.out)
    beside.edit(*NEW_RING)
    assert sum(line.startswith("never made") for line in beside.done("status", status=1)) == 3
    beside.done("status", "--pdf", status=1)
    assert told_to_make(beside) == 5
    made = [line.split("  ")[1] for line in beside.done("make") if line.startswith("made")]
    assert made == ["SN-204.pdf", "SN-204-strip.pdf", "SN-204-record.pdf"]
    beside.done("status", "--pdf", status=1)
    assert told_to_make(beside) == 0


def told_to_make(floor: Floor) -> int:
    """How often the list to walk round with says that a paper is to be made first."""
    pages = PdfReader(floor.out / "walk-round-all-places.pdf").pages
    return " ".join(" ".join(page.extract_text() for page in pages).split()).count("(make it first)")


def test_other_words_on_a_strip_are_exchanged_by_the_same_made_anew(beside):
    """Under the same code: the card has not changed, and no notice is owed."""
    own = beside.folder / "templates"
    own.mkdir()
    words = (ROOT / "templates" / "gap_strip.j2").read_text("utf-8")
    (own / "gap_strip.j2").write_text(words.replace("stock on the diameter", "stock left on it"), "utf-8")
    beside.done("make")
    lines = beside.done("status", status=1)
    assert sum("by the same made anew; wording or drawing changed" in line for line in lines) == 1
    assert beside.notices() == set()
    beside.done("posted", "SN-204", "Grinder 2", "Setting bench", "--paper", "strip")
    assert set(standing(beside).values()) == {"right"}


def test_the_papers_of_a_part_that_is_gone_are_all_to_be_taken_down(beside):
    """With its cards, in one notice."""
    (beside.folder / "specs" / "spindle-nose.yaml").unlink()
    beside.done("make")
    assert set(standing(beside).values()) == {"to be taken down"}
    assert len(beside.notices()) == 1
    beside.done("withdraw", "SN-204", "Grinder 2", "Toolroom binder")
    beside.done("withdraw", "SN-204", "Grinder 2", "Setting bench", "--paper", "strip")
    beside.done("withdraw", "SN-204", "Setting bench", "--paper", "record")
    beside.done("make")
    assert (standing(beside), beside.notices()) == ({}, set())


def test_a_strip_waits_for_a_card_that_cannot_be_drawn(beside):
    """There would be no card of the code that it would bear; nor is one made alone."""
    before = beside.files()
    own = beside.folder / "templates"
    own.mkdir()
    (own / "title.j2").write_text("{{ card.title.nothing_of_this_name }}", "utf-8")
    beside.edit(*NEW_RING)
    lines = beside.done("make", status=2)
    for kind in ("strip", "record"):
        assert f"not made  SN-204-{kind}.pdf: it waits for the card of SN-204" in lines
        (alone,) = beside.done(kind, "SN-204", status=2)
        assert alone.startswith("it waits for its card: ")
    after = beside.files()
    assert {name for name in before if before[name] != after[name]} <= {"index.html"}


def test_the_cards_of_a_sheet_are_entered_by_the_sheet(floor):
    """It is cut: what hangs are its cards."""
    floor.done("sheet", "--at", "Grinder 2")
    told = floor.done("posted", str(floor.out / "Grinder-2-sheet-A4.pdf"), "Grinder 2", "--by", "Ada")
    assert told == [f"Grinder 2: {floor.code()} hangs"]
    assert standing(floor)["card", "Grinder 2"] == "right"


def test_a_paper_is_entered_from_its_own_pdf_wherever_that_lies(hung):
    """An older card out of a mail: what it says is kept, and it is told by which it is to be exchanged."""
    mailed = hung.folder.parent / "mailed.pdf"
    shutil.copy(hung.out / "SN-204.pdf", mailed)
    old = hung.code()
    hung.edit(*NEW_RING)
    hung.done("make")
    lines = hung.done("posted", str(mailed), "Grinder 9")
    assert lines[0] == f"Grinder 9: {old} hangs"
    assert lines[-1].startswith(f"to be taken down  Grinder 9: {old}; the part's posted_at")


BOOKLET = ("booklet", "Toolroom binder")


@pytest.fixture
def bound(hung: Floor, made_once: MadeOnce, tmp_path_factory: pytest.TempPathFactory) -> Floor:
    """The card hangs at both places, and in the binder a booklet of few tables with the part's page."""

    def make() -> Path:
        first = Floor("cardgen", tmp_path_factory.mktemp("bound") / "shop")
        shutil.copytree(hung.folder, first.folder)
        text = (ROOT / "specs" / "toolroom-booklet.yaml").read_text("utf-8")
        few = re.sub(r"(?s)\nmachines: .*", "\nmachines: [CG-1]\ntapers: ['1:8']\ntables: [parts]\n", text)
        (first.folder / "specs" / "toolroom-booklet.yaml").write_text(few, "utf-8")
        first.done("booklet")
        first.done("posted", "toolroom", "Toolroom binder", "--by", "Ada")
        first.done("make")
        return first.folder

    kept = made_once("a booklet that hangs", make)
    shutil.rmtree(hung.folder)
    shutil.copytree(kept, hung.folder)
    assert standing(hung)[BOOKLET] == "right"
    return hung


def test_a_booklet_is_exchanged_when_a_card_of_its_list_is_another(bound):
    """Its line says by which booklet, its notice which cards; taken down where no spec asks for it."""
    bound.edit("spindle-nose.yaml", "pieces: 40", "pieces: 60")
    (line,) = (line for line in bound.done("status", status=1) if "booklet toolroom-" in line)
    assert line.startswith("to be exchanged  Toolroom binder: booklet toolroom-")
    assert "cards, SN-204: " in line
    bound.done("make")
    assert sum(name.startswith("toolroom-") for name in bound.notices()) == 1
    bound.done("posted", "toolroom", "Toolroom binder")
    assert any(line.startswith("filed  ") for line in bound.done("make"))
    (bound.folder / "specs" / "toolroom-booklet.yaml").unlink()
    lines = bound.done("status", status=1)
    assert any(line.endswith("; no spec asks for this booklet any more") for line in lines)


def remarked(floor: Floor, template: str, old: str = "", new: str = "") -> None:
    """The shop's own template, that prints the same or other words."""
    own = floor.folder / "templates"
    own.mkdir(exist_ok=True)
    words = (ROOT / "templates" / template).read_text("utf-8")
    assert old in words
    (own / template).write_text(words.replace(old, new, 1) + "{# a remark #}", "utf-8")


def say_a_word(floor: Floor) -> None:
    """In the part's spec."""
    floor.edit("spindle-nose.yaml", "machine: CG-2", "machine: CG-2  # a word")


@pytest.mark.parametrize(
    "change", [say_a_word, lambda floor: remarked(floor, "code.j2")], ids=["a comment", "a template"]
)
def test_what_prints_the_same_stays_right_where_every_paper_is_lost(bound, monkeypatch, change):
    """The card made anew bears another code, and the booklet lists the one that hangs: no alarm, before a
    make and after it; which once found it, so that no later status draws it again."""
    old = bound.code()
    shutil.rmtree(bound.out)
    change(bound)
    assert set(standing(bound).values()) == {"right"}
    bound.done("make")
    assert bound.code() != old
    assert bound.notices() == set()
    drawn = []
    monkeypatch.setattr(truth, "_marks", lambda job, code: drawn.append(job.file_name))
    assert set(standing(bound).values()) == {"right"}
    assert bound.done("make") == ["current  1 paper"]
    assert drawn == []


def test_a_booklet_is_exchanged_with_a_card_whose_words_are_others(bound, monkeypatch):
    """Though the card says the same: it bears another code, which the booklet lists. While they wait to be
    exchanged no status draws them again."""
    shutil.rmtree(bound.out)
    remarked(bound, "code.j2", "qualified", "skilled")
    assert set(standing(bound).values()) == {"to be exchanged"}
    bound.done("make")
    monkeypatch.setattr(truth, "_marks", lambda job, code: pytest.fail("what make found is found again"))
    assert set(standing(bound).values()) == {"to be exchanged"}


def test_a_booklet_waits_for_a_listed_part_whose_spec_has_a_mistake(bound):
    """The mistake alone is told, no fault of the program's; the booklet is left, and whether the one that
    hangs is right is not known till then."""
    before = bound.files()
    bound.edit("spindle-nose.yaml", "length: 62 mm", "length: 62")
    lines = bound.done("status", status=2)
    assert sum(line.startswith("unknown  Toolroom binder: booklet toolroom-") for line in lines) == 1
    mistake = "mistake at specs/spindle-nose.yaml:12:11"
    assert f"spec has errors  toolroom-booklet.pdf: {mistake}; the booklet there is left as it is" in lines
    lines = bound.done("make", status=2)
    assert f"not made  toolroom-booklet.pdf: {mistake}; the booklet there is left as it is" in lines
    assert sum(line.startswith("specs/spindle-nose.yaml:12:11: ") for line in lines) == 1
    assert not any("program-fault" in line for line in lines)
    assert {**bound.files(), "index.html": ""} == {**before, "index.html": ""}


def test_the_booklet_that_is_made_is_the_one_that_its_notice_names(bound):
    """In a clone without papers, where one card is another and one would only bear another code."""
    shutil.copy(ROOT / "specs" / "needle-valve.yaml", bound.folder / "specs")
    bound.done("make")
    bound.done("posted", "toolroom", "Toolroom binder")
    shutil.rmtree(bound.out)
    bound.edit("needle-valve.yaml", "kind: part", "kind: part  # a word")
    bound.edit("spindle-nose.yaml", "pieces: 40", "pieces: 60")
    lines = bound.done("make")
    (made,) = (line.split()[2].strip(":") for line in lines if line.startswith("made  toolroom-booklet.pdf"))
    assert any(name.endswith(f"-to-{made[-8:]}.pdf") for name in bound.notices() if name[0] == "t")
    assert sum(f" by {made}; cards, SN-204: " in line for line in bound.done("status", status=1)) == 1


def test_a_part_that_a_booklet_begins_to_list_is_one_of_its_cards(bound):
    """Its record says which, not the booklet that lies there."""
    spec = bound.folder / "specs" / "toolroom-booklet.yaml"
    text = spec.read_text("utf-8")
    shutil.copy(ROOT / "specs" / "needle-valve.yaml", bound.folder / "specs")
    spec.write_text(text + "parts: [SN-204]\n", "utf-8")
    bound.done("make")
    assert standing(bound)[BOOKLET] == "right"
    spec.write_text(text, "utf-8")
    assert any("cards, NV-30: none → NV-30-B-" in line for line in bound.done("status", status=1))


@pytest.mark.parametrize("command", [("posted", "SN-204", "Grinder 2"), ("withdraw", "SN-204", "Grinder 2")])
def test_the_page_says_at_once_what_was_entered(hung, command):
    """Without another make; and make then has nothing to write."""
    hung.done("posted", "SN-204", "Grinder 9")
    assert "Grinder 9 (to be taken down)" in (hung.out / "index.html").read_text("utf-8")
    hung.done("withdraw", "SN-204", "Grinder 9")
    before = hung.files()
    assert "Grinder 9" not in (hung.out / "index.html").read_text("utf-8")
    hung.done("make")
    assert hung.files() == before


def test_without_a_page_none_is_drawn_to_enter_what_hangs(floor):
    """A fresh clone: nothing is made there that nobody asked for."""
    shutil.copy(floor.out / "SN-204.pdf", floor.folder.parent)
    shutil.rmtree(floor.out)
    floor.done("posted", str(floor.folder.parent / "SN-204.pdf"), "Grinder 2")
    assert not list(floor.out.rglob("*"))


def test_what_hangs_and_is_wrong_leads_and_worst_is_first(hung):
    """A line for all places of a card; before the papers, before what is to be hung."""
    hung.edit("spindle-nose.yaml", "[Grinder 2, Toolroom binder]", "[Grinder 2, Toolroom binder, Grinder 3]")
    hung.edit(*NEW_RING)
    states = [line.split("  ")[0] for line in hung.done("status", status=1)]
    assert states == ["to be exchanged", "out of date", "to be hung"]


@pytest.mark.parametrize(
    ("kind", "words"),
    [("walk-round", ("status", "--pdf")), ("rehearsal", ("rehearse", "SN-204", "--batches", "1", "--pdf"))],
)
def test_a_print_out_of_a_moment_says_so_and_is_no_paper_of_the_shelf(hung, kind, words):
    """Neither current nor stale: it bears its moment, status leaves it out, read tells it."""
    hung.done(*words)
    (path,) = hung.out.glob(f"*{kind}*.pdf")
    assert " " not in path.name
    told = read_print_out(path.read_bytes())
    assert isinstance(told, PrintOut)
    (line,) = hung.done("read", str(path))
    assert line.startswith(f"a {kind} of ")
    assert told.moment in line
    assert line.endswith("print it anew before it is used again")
    assert hung.done("status")[0] == "current  1 paper"


def test_a_place_with_gaps_in_its_name_makes_a_file_without():
    """Whatever kind of gap."""
    assert file_name("Grinder 2\tleft", "sheet-A4") == "Grinder-2-left-sheet-A4.pdf"
    assert file_name("walk-round", "all places") == "walk-round-all-places.pdf"
