"""Strips, record sheets, sheets of cards and booklets are papers of the shelf, as cards are."""

import re
import shutil
from pathlib import Path

import pytest
from pypdf import PdfReader

from cardgen.card.values import as_plain
from cardgen.shelf import truth
from cardgen.shelf.changes import said
from cardgen.shop.booklet_pdf import booklet_job
from cardgen.shop.folder import Shop
from cardgen.shop.other_papers import strip_job
from tests.shelf.conftest import ROOT, Floor
from tests.shelf.test_what_hangs import NEW_RING

MADE = {
    "strip": ("SN-204-strip.pdf", ("strip", "SN-204")),
    "record": ("SN-204-record.pdf", ("record", "SN-204")),
    "sheet-A4": ("SN-204-sheet-A4.pdf", ("sheet", "SN-204")),
    "sheet-letter": ("Grinder-2-sheet-letter.pdf", ("sheet", "--at", "Grinder 2", "--paper", "letter")),
}


@pytest.fixture
def papers(floor: Floor) -> Floor:
    """Every paper of the part, made once."""
    for file, words in MADE.values():
        assert floor.done(*words) == [f"out/{file}: made"]
    return floor


def test_a_paper_that_was_made_is_told_and_remade_when_its_card_is_another(papers):
    """The strip is cut out and laid on work: it must not outlive its card."""
    assert papers.done("status")[0] == "current  5 papers"
    papers.edit(*NEW_RING)
    stale = papers.done("status", status=1)
    told = papers.done("make")
    for file, _ in MADE.values():
        assert sum(line.startswith(f"out of date  {file}: card SN-204: ") for line in stale) == 1
        assert sum(line.startswith(f"remade  {file}  ") for line in told) == 1
    assert not any("sides" in line for line in told)  # a sheet of cards has as many as it takes
    assert papers.done("make") == ["current  5 papers"]


def test_a_comment_leaves_every_paper_as_it_is(papers):
    """Nor is one made that nobody asked for."""
    before = papers.files()
    papers.edit("spindle-nose.yaml", "kind: part", "# a word\nkind: part")
    assert papers.done("make") == ["current  5 papers"]
    # The page tells doubts with their lines, and those moved.
    assert {**papers.files(), "index.html": ""} == {**before, "index.html": ""}


@pytest.mark.parametrize("kind", MADE)
def test_a_paper_alone_tells_what_it_is_and_whether_it_is_true(papers, kind):
    """'a strip, code …': before and after its card is another."""
    file, _ = MADE[kind]
    first, *_, last = papers.done("read", str(papers.out / file))
    assert first.startswith(f"a {kind}, code ")
    assert first.endswith("of SN-204; as it was made")
    assert last == "the shop's specs still say so"
    papers.edit(*NEW_RING)
    assert any(
        line.startswith("the shop's specs say otherwise now")
        for line in papers.done("read", str(papers.out / file))
    )


def test_a_paper_changed_by_hand_is_kept_aside_and_one_of_a_part_that_is_gone_is_told(papers):
    """As for cards."""
    strip = papers.out / "SN-204-strip.pdf"
    strip.write_bytes(strip.read_bytes() + b"\n% a note\n")
    (line,) = (line for line in papers.done("make") if line.startswith("remade"))
    assert "kept as set-aside/SN-204-strip-" in line
    (papers.folder / "specs" / "spindle-nose.yaml").unlink()
    assert any(
        line.startswith("card without a spec  SN-204-strip.pdf: ") for line in papers.done("status", status=1)
    )


def test_a_booklet_is_remade_with_its_cards(floor):
    """It has their pages; read tells it."""
    text = (ROOT / "specs" / "toolroom-booklet.yaml").read_text("utf-8")
    shutil.copy(ROOT / "specs" / "toolroom-booklet.yaml", floor.folder / "specs")
    (floor.folder / "specs" / "toolroom-booklet.yaml").write_text(
        text.replace("tapers: [all]", "tapers: ['1:8']"), "utf-8"
    )
    floor.done("booklet")
    booklet = str(floor.out / "toolroom-booklet.pdf")
    assert floor.done("read", booklet)[0].startswith("a booklet, code toolroom-")
    assert floor.done("make") == ["current  2 papers"]
    floor.edit("spindle-nose.yaml", "pieces: 40", "pieces: 60")
    assert any(line.startswith("remade  toolroom-booklet.pdf") for line in floor.done("make"))
    assert floor.done("status")[0] == "current  2 papers"


NEW_GAUGE = """---
kind: gauge
id: R-30
type: ring
taper: {callout: "1:30"}
gauge_line: {diameter: 30.000 mm, uncertainty: 0.001 mm}
length: 40 mm
"""


@pytest.fixture
def shelved(floor):
    """A shop with a booklet of few tables, not made yet."""
    text = (ROOT / "specs" / "toolroom-booklet.yaml").read_text("utf-8")
    few = re.sub(r"(?s)\nmachines: .*", "\nmachines: [CG-2]\ntapers: ['1:8']\ntables: [stock]\n", text)
    (floor.folder / "specs" / "toolroom-booklet.yaml").write_text(few, "utf-8")
    return floor


def test_a_booklet_is_another_when_a_gauge_of_no_part_brings_a_cone(shelved, monkeypatch):
    """It has a table for each gauge's cone; a calibration of such a gauge is nothing to it."""
    (before,) = shelved.done("booklet")
    gauges = shelved.folder / "specs" / "gauges.yaml"
    gauges.write_text(gauges.read_text("utf-8") + NEW_GAUGE, "utf-8")
    assert any(
        line.startswith("out of date  toolroom-booklet.pdf") for line in shelved.done("status", status=1)
    )
    assert sum(line.startswith("remade  toolroom-booklet.pdf") for line in shelved.done("make")) == 1
    (after,) = shelved.done("booklet")
    assert before.split()[-1] != after.split()[-1]
    monkeypatch.setattr(truth, "_marks", lambda job, code: pytest.fail("it is drawn to be held against"))
    shelved.edit("gauges.yaml", "diameter: 30.000 mm", "diameter: 30.002 mm")
    assert shelved.done("status")[0] == "current  2 papers"


@pytest.mark.parametrize(
    ("old", "new", "kept"),
    [("30.000 mm,", "30.000 mmm,", True), ("kind: gauge", "kind: gage", False)],
    ids=["a unit, with the index", "a kind, without it"],
)
def test_a_booklet_without_a_gauge_that_has_a_mistake_is_another(shelved, old, new, kept):
    """It lacks the gauge's table, says so, and is made anew as soon as the mistake is corrected."""
    ring = shelved.folder / "specs" / "ring.yaml"
    ring.write_text(NEW_GAUGE, "utf-8")
    (whole,) = shelved.done("booklet")
    shelved.done("make")
    booklet = shelved.out / "toolroom-booklet.pdf"
    assert "R-30" in words(booklet)
    ring.write_text(NEW_GAUGE.replace(old, new), "utf-8")
    assert shelved.run("make").returncode == 2
    assert "R-30" in words(booklet)  # it waits for the gauge
    booklet.unlink()
    if not kept:
        shutil.rmtree(shelved.out / ".cardgen")
    left = shelved.run("booklet")
    assert left.returncode == 2
    assert "gauge R-30 is left out: specs/ring.yaml:" in left.stderr
    assert left.stdout.split()[-1] != whole.split()[-1]
    assert "R-30" not in words(booklet)
    ring.write_text(NEW_GAUGE, "utf-8")
    assert any(line.startswith("out of date  toolroom-b") for line in shelved.done("status", status=1))
    assert any(line.startswith("remade  toolroom-booklet.pdf") for line in shelved.done("make"))
    assert "R-30" in words(booklet)


def test_a_paper_is_made_of_the_specs_and_words_that_its_run_has_read(floor, request):
    """Whatever is saved meanwhile: the card that it goes with, and its code, are of those too."""
    floor.done("make")
    request.getfixturevalue("shelved")  # after the index was written: no digest of what cards say is kept
    whole, shop = Shop.read(floor.folder), Shop.read_changed(floor.folder)
    assert "SN-204" in shop.vouched
    book, strip = booklet_job(shop, "toolroom"), strip_job(shop, "SN-204")
    drawn = strip_job(whole, "SN-204").draw(strip.code).pdf()
    for template in (floor.folder / "templates").glob("*.j2"):
        template.write_text("{{ broken", "utf-8")
    (floor.folder / "specs" / "spindle-nose.yaml").unlink()
    assert book.cards_say() == {"SN-204": said(as_plain(whole.card("SN-204").card))}
    assert strip.draw(strip.code).pdf() == drawn


def words(paper: Path) -> str:
    return "".join(page.extract_text() for page in PdfReader(paper).pages)


def test_a_notice_tells_what_it_is(floor):
    """From its PDF alone."""
    floor.done("posted", "SN-204", "Grinder 2")
    old = floor.code()
    floor.edit(*NEW_RING)
    floor.done("make")
    (notice,) = (floor.out / "notices").glob("*.pdf")
    assert floor.done("read", str(notice)) == [
        f"a change notice of part SN-204: {old} is exchanged by {floor.code()} at Grinder 2"
    ]
