"""What hangs where is entered among the specs, and held against what the specs ask for now."""

import json
import re
import shutil
from pathlib import Path

import pytest
from pypdf import PdfReader

from cardgen.shelf.ledger import read_ledger
from cardgen.shelf.wanted import file_name
from cardgen.shop.folder import Shop
from tests.calling import cardgen
from tests.shelf.conftest import Floor

NEW_RING = ("gauges.yaml", "37.998 mm, uncertainty: 0.0010 mm", "37.995 mm, uncertainty: 0.0010 mm")
LARGER = ("spindle-nose.yaml", "diameter: 38.000 mm", "diameter: 38.010 mm")
WORD = "SN-204-B-[0-9a-f]{8}"


def back(edit: tuple[str, str, str]) -> tuple[str, str, str]:
    file, old, new = edit
    return file, new, old


def test_a_shop_that_enters_nothing_is_told_once_that_it_could(floor):
    """No alarm: whether copies hang is not known, and status ends as before."""
    assert floor.done("status") == [
        "current  1 paper",
        "unknown  whether 2 copies hang at 2 places: enter each with cardgen posted PART PLACE",
    ]


def test_what_hangs_as_it_should_is_right(hung):
    """And is counted; at its place it is told with the day and who entered it."""
    assert hung.done("status") == ["current  1 paper", "right  2 copies that hang"]
    (line,) = hung.done("status", "--at", "grinder  2")
    assert re.fullmatch(rf"right  Grinder 2: {WORD}, since \d{{4}}-\d\d-\d\d \(Ada\)", line)


def test_entering_the_same_again_writes_nothing(hung):
    """Nor does a place written otherwise make another place."""
    before = sorted(hung.folder.rglob("*.json"))
    assert hung.done("posted", "SN-204", "GRINDER 2", "--by", "Bert") == ["entered already"]
    assert sorted(hung.folder.rglob("*.json")) == before


SPELT = ("Grinder 2", "grinder 2 ", "GRINDER  2", "Grinder\u00a02")
ACCENTS = ("Fräse 1", "Fra\u0308se 1", "fr\u00c4se  1")


@pytest.mark.parametrize("spelt", [SPELT, ACCENTS], ids=["gaps and capitals", "accents"])
def test_a_place_written_in_many_ways_is_one_place(floor, spelt):
    """In one call, in the next, in the spec and on the list to walk round with."""
    (told,) = (line for line in floor.done("posted", "SN-204", *spelt) if line.endswith(" hangs"))
    place = told.partition(":")[0]
    assert place in spelt
    assert floor.done("posted", "SN-204", spelt[-1]) == ["entered already"]
    floor.edit("spindle-nose.yaml", "[Grinder 2, Toolroom binder]", f"['{spelt[1]}', '{spelt[0]}']")
    assert floor.copies() == {place: "right"}
    floor.done("make")
    floor.done("status", "--pdf")
    assert len(PdfReader(floor.out / "walk-round-all-places.pdf").pages) == 1
    floor.done("sheet", "--at", spelt[-1])
    (sheet,) = floor.out.glob("*sheet*.pdf")
    assert sheet.name == file_name(place, "sheet-A4")
    assert len(floor.done("withdraw", "SN-204", *spelt)) == 1
    assert len(read_ledger(floor.folder / "specs").entries) == 2


def test_places_of_another_number_are_two(floor):
    """What looks alike to a computer, a raised figure and a figure, is another place to a hand."""
    floor.done("posted", "SN-204", "Bay 2", "Bay ²")
    assert floor.copies().keys() > {"Bay 2", "Bay ²"}


def test_a_recalibrated_ring_makes_the_next_issue_and_no_revision(hung):
    """Both copies are to be exchanged by issue 2 of revision B, with one notice from what hangs."""
    hung.edit(*NEW_RING)
    old = hung.code()
    told = hung.done("make")
    assert not any("was not raised" in line for line in told)
    new = hung.code()
    notice = f"notices/{old}-to-{new[-8:]}.pdf"
    assert f"notice  {notice}: exchange {old} by {new} at Grinder 2, Toolroom binder" in told
    assert json.loads(hung.run("values", "SN-204").stdout)["title"]["issue"] == 2
    assert set(hung.copies().values()) == {"to be exchanged"}
    hung.done("posted", "SN-204", "Grinder 2")
    assert hung.copies() == {"Grinder 2": "right", "Toolroom binder": "to be exchanged"}
    hung.done("posted", "SN-204", "Toolroom binder")
    assert hung.notices() == {Path(notice).name}
    assert f"filed  notices/filed/{Path(notice).name}: nothing is to be done by it any more" in hung.done(
        "make"
    )
    assert hung.notices() == set()
    assert hung.done("status") == ["current  1 paper", "right  2 copies that hang"]


def test_a_value_put_back_makes_the_copy_right_again_and_the_notice_void(hung):
    """Though another card was made meanwhile: it never hung."""
    old = hung.code()
    hung.edit(*LARGER)
    assert any(line.startswith("warning  SN-204: what the drawing gives") for line in hung.done("make"))
    assert len(hung.notices()) == 1
    hung.edit(*back(LARGER))
    assert hung.copies() == {"Grinder 2": "right", "Toolroom binder": "right"}
    assert not any("was not raised" in line for line in hung.done("make"))
    assert hung.code() == old
    assert hung.notices() == set()
    assert hung.done("status") == ["current  1 paper", "right  2 copies that hang"]


def test_a_notice_leads_from_what_hangs_and_not_from_what_was_made_last(hung):
    """The revision was forgotten, the card made, then raised: the one notice names every value."""
    old = hung.code()
    hung.edit(*LARGER)
    hung.done("make")
    hung.edit("spindle-nose.yaml", "revision: B", "revision: C")
    assert not any("was not raised" in line for line in hung.done("make"))
    assert hung.notices() == {f"{old}-to-{hung.code()[-8:]}.pdf"}
    (copy, _) = json.loads(hung.run("status", "--json").stdout)["copies"]
    paths = {change["value"] for change in copy["changes"]}
    assert {"title.revision", "taper.gauge_line_diameter_mm"} <= paths


def test_a_fresh_clone_without_papers_knows_what_is_wrong_and_writes_the_notice(hung):
    """All that is needed is among the specs."""
    old = hung.code()
    shutil.rmtree(hung.out)
    hung.edit(*NEW_RING)
    assert set(hung.copies().values()) == {"to be exchanged"}
    hung.done("make")
    assert hung.notices() == {f"{old}-to-{hung.code()[-8:]}.pdf"}


def test_a_comment_leaves_the_copies_right(hung):
    """Whatever code the card would bear now."""
    hung.edit("spindle-nose.yaml", "machine: CG-2", "machine: CG-2  # a word")
    hung.done("make")
    assert set(hung.copies().values()) == {"right"}
    assert hung.notices() == set()


@pytest.mark.parametrize("how", ["deleted", "renamed"])
def test_the_cards_of_a_part_that_is_gone_are_to_be_taken_down(hung, how):
    """With a notice of its own, until each was taken down; of the new name, cards are to be hung."""
    old, spec = hung.code(), hung.folder / "specs" / "spindle-nose.yaml"
    if how == "deleted":
        spec.unlink()
    else:
        hung.edit("spindle-nose.yaml", "id: SN-204", "id: SN-305")
    told = hung.done("make")
    assert f"notice  notices/{old}-taken-down.pdf: take {old} down at Grinder 2, Toolroom binder" in told
    lines = hung.done("status", status=1)
    assert (
        f"to be taken down  Grinder 2, Toolroom binder: {old}; no spec asks for this part any more; "
        f"notice notices/{old}-taken-down.pdf" in lines
    )
    hang = "to be hung  Grinder 2, Toolroom binder: SN-305-B-"
    assert any(line.startswith(hang) for line in lines) == (how == "renamed")
    hung.done("withdraw", "SN-204", "Grinder 2", "Toolroom binder")
    hung.done("make")
    assert hung.notices() == set()


def test_a_place_that_the_part_no_longer_names_is_told(hung):
    """Where copies should hang is the spec's, where they do the ledger's."""
    hung.edit("spindle-nose.yaml", "[Grinder 2, Toolroom binder]", "[Grinder 2, Grinder 3]")
    states = hung.copies()
    assert (states["Toolroom binder"], states["Grinder 3"]) == ("to be taken down", "to be hung")


def test_a_spec_with_a_mistake_leaves_its_copies_unknown(hung):
    """Neither right nor wrong till it is mended, and no notice."""
    hung.edit("spindle-nose.yaml", "length: 62 mm", "length: 62")
    lines = hung.done("status", status=2)
    assert any(
        line.startswith("unknown  Grinder 2, Toolroom binder: SN-204-B-") and "has errors" in line
        for line in lines
    )
    hung.done("make", status=2)
    assert hung.notices() == set()


def test_two_who_entered_unlike_cards_at_one_place_are_both_told(hung):
    """Neither knew of the other: what hangs is unknown until somebody looked."""
    other = Floor("cardgen", hung.folder.parent / "other")
    shutil.copytree(hung.folder, other.folder)
    hung.edit(*NEW_RING)
    hung.done("make")
    hung.done("posted", "SN-204", "Grinder 2", "--by", "Ada")
    other.done("withdraw", "SN-204", "Grinder 2", "--by", "Bert")
    shutil.copytree(other.folder / "specs" / "hanging", hung.folder / "specs" / "hanging", dirs_exist_ok=True)
    (line,) = (line for line in hung.done("status", status=1) if line.startswith("unknown"))
    assert "Grinder 2" in line
    assert "look, and enter what hangs" in line
    hung.done("posted", "SN-204", "Grinder 2")
    assert hung.copies()["Grinder 2"] == "right"


def test_an_older_card_on_the_wall_is_entered_by_its_code(hung):
    """The code at its foot, of any that was ever entered; an unknown one is refused."""
    old = hung.code()
    hung.edit(*NEW_RING)
    hung.done("make")
    hung.done("posted", "SN-204", "Grinder 2")
    told = hung.done("posted", "SN-204", "Grinder 2", "--code", old)
    assert told[1].startswith(f"to be exchanged  Grinder 2: {old} by ")
    (line,) = hung.done("posted", "SN-204", "Grinder 2", "--code", "SN-204-B-00000000", status=2)
    assert "none was ever entered" in line


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("posted", "SN-24", "Grinder 2"), "did you mean 'SN-204'"),
        (("posted", "SN-204", " "), "a place is called by printable letters, at most 60 letters"),
        (("withdraw", "SN-204", "Grinder 7"), "it was entered at Grinder 2, Toolroom binder"),
        (("withdraw", "SN-204", "Grinder 2", "--paper", "strip"), "name with --paper what was: card"),
        (("withdraw", "SN-24", "Grinder 2"), "nor any other paper of it"),
        (("status", "--at", "Grinder 3"), "did you mean 'Grinder 2'"),
    ],
)
def test_what_cannot_be_entered_or_asked_says_what_would_be_right(hung, words, told):
    """In one line."""
    (line,) = hung.done(*words, status=2)
    assert told in line


def test_an_entry_that_is_none_is_told_by_its_file_and_the_others_hold(hung):
    """A merge gone wrong, a file cut short."""
    path = next((hung.folder / "specs" / "hanging").glob("*Grinder*.json"))
    path.write_text("<<<<<<< ours", "utf-8")
    lines = hung.done("status", status=2)
    assert any(line.startswith(f"specs/hanging/{path.name}:1:1: this is no entry") for line in lines)
    assert hung.copies()["Toolroom binder"] == "right"


def test_the_ledger_is_text_that_says_what_each_card_said(hung):
    """Whole, for a notice; each file named by its content, so none is ever written twice otherwise."""
    ledger = read_ledger(hung.folder / "specs")
    (entry, _) = ledger.entries.values()
    kept = ledger.kept_of(entry)
    assert kept.made.code == hung.code()
    assert kept.made.values["title"]["part"] == "SN-204"
    assert any(one.name == "part SN-204" and "38.000 mm" in one.text for one in kept.made.ingredients)
    assert {entry.by for entry in ledger.entries.values()} == {"Ada"}


def test_a_list_to_walk_round_with_has_a_sheet_for_each_place(hung):
    """What hangs, what to do, a box to tick; two places, two pages."""
    hung.edit(*NEW_RING)
    told = hung.done("status", "--pdf", status=1)
    assert "out/walk-round-all-places.pdf: made" in told
    pages = [page.extract_text() for page in PdfReader(hung.out / "walk-round-all-places.pdf").pages]
    assert [page.partition(" What hangs here")[0] for page in pages] == ["Grinder 2", "Toolroom binder"]
    words = rf"{WORD}.*exchange by {WORD}, issue 2 \(make it first\)"
    assert all(re.search(words, page.replace("\n", " ")) for page in pages)
    hung.done("make")
    hung.done("status", "--pdf", status=1)
    pages = [page.extract_text() for page in PdfReader(hung.out / "walk-round-all-places.pdf").pages]
    assert not any("make it first" in page for page in pages)


def test_no_notice_leads_to_a_card_that_could_not_be_drawn(hung):
    """It waits for the card: until then there is nothing to put up."""
    hung.edit(*NEW_RING)
    own = hung.folder / "templates"
    own.mkdir(exist_ok=True)
    spoilt = own / "title.j2"
    kept = spoilt.read_text("utf-8") if spoilt.exists() else None
    spoilt.write_text("{{ card.title.nothing_of_this_name }}", "utf-8")
    assert cardgen("make", cwd=hung.folder).returncode != 0
    assert hung.notices() == set()
    spoilt.unlink() if kept is None else spoilt.write_text(kept, "utf-8")
    hung.run("make")
    assert len(hung.notices()) == 1


def test_what_was_entered_long_ago_does_not_have_a_part_read_at_each_run(hung):
    """Hanging as it should, or taken down everywhere: the index is believed; with an old one up not."""
    old = hung.code()

    def believed() -> bool:
        return "SN-204" in Shop.read_changed(hung.folder).vouched

    assert believed()
    hung.edit(*NEW_RING)
    hung.done("make")
    assert not believed()
    hung.done("posted", "SN-204", "Grinder 2", "Toolroom binder")
    assert believed()
    hung.done("withdraw", "SN-204", "Grinder 2", "Toolroom binder")
    assert believed()
    hung.done("posted", "SN-204", "Grinder 2", "--code", old)
    assert not believed()


def test_an_entry_changed_by_hand_is_told_and_the_line_ends_of_a_checkout_are_no_change(hung):
    """Its name says what it holds; git on another system writes other line ends."""
    folder = hung.folder / "specs" / "hanging"
    for path in folder.rglob("*.json"):
        path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    assert hung.done("status")[-1] == "right  2 copies that hang"
    path = next(folder.glob("*Grinder*.json"))
    path.write_bytes(path.read_bytes().replace(b"Ada", b"Eve"))
    (line,) = (line for line in hung.done("status", status=2) if path.name in line)
    assert line.endswith("this entry was changed after it was written; bring it back as it was")
