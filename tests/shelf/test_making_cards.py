"""make: only what is out of date, by content; nothing removed; each said in one line."""

import json

import pytest

from cardgen.shelf.contents import read_card, unbind


def test_cards_are_made_once_and_then_left(trial):
    """The second run writes nothing and counts the cards that are true."""
    first = trial.make()
    before = trial.files()
    stamps = {path: path.stat().st_mtime_ns for path in trial.out.rglob("*.pdf")}
    second = trial.make()
    assert [line.split()[0] for line in first] == ["made"] * 3
    assert second == ["current  3 papers"]
    assert trial.files() == before
    assert {path: path.stat().st_mtime_ns for path in stamps} == stamps


def test_only_the_card_whose_spec_changed_is_remade(shop):
    """And its line says which file, which line, what was and what is."""
    before = shop.files()
    shop.edit("spindle-nose.yaml", "0.35 .. 0.50 mm", "0.35 .. 0.60 mm")
    lines = shop.make()
    remade = [line for line in lines if line.startswith("remade")]
    assert len(remade) == 1
    assert "SN-204.pdf" in remade[0]
    assert "specs/spindle-nose.yaml line 20" in remade[0]
    assert "‘blank: 0.35 .. 0.50 mm’ → ‘blank: 0.35 .. 0.60 mm’" in remade[0]
    changed = {name for name, digest in shop.files().items() if before.get(name) != digest}
    assert {name for name in changed if name.endswith(".pdf") and "/" not in name} == {"SN-204.pdf"}


def test_a_record_that_a_part_refers_to_makes_its_card_out_of_date(shop):
    """The gauge was calibrated anew: only the part gauged with it is concerned."""
    shop.edit("gauges.yaml", "37.998 mm, uncertainty: 0.0010 mm", "37.998 mm, uncertainty: 0.0012 mm")
    states = {part: one["state"] for part, one in shop.status().items()}
    assert "out of date" in states.values()
    assert "current" in states.values()
    found = next(one for one in shop.status().values() if one["state"] == "out of date")
    assert found["causes"][0]["file"] == "specs/gauges.yaml"


def test_a_comment_changes_no_card(shop):
    """What would be printed is what is printed: the card stays as it is, its code holds, nothing is owed."""
    before = shop.files()
    shop.edit("spindle-nose.yaml", "revision: B", "revision: B   # as drawn")
    assert shop.make() == ["current  3 papers"]
    assert shop.files() == before
    assert shop.run("status").returncode == 0


def test_only_the_parts_named_are_touched(trial):
    """`make PART` says nothing of the others and leaves them."""
    lines = trial.make("NV-30")
    assert [line.split()[1] for line in lines] == ["NV-30.pdf"]
    assert [path.name for path in trial.out.glob("*.pdf")] == ["NV-30.pdf"]


def test_nothing_is_removed_when_a_spec_goes(shop):
    """The card stays, is told as a card without a spec, and status asks for something to be done."""
    (shop.folder / "specs" / "needle-valve.yaml").unlink()
    lines = shop.make()
    assert any(line.startswith("left  NV-30.pdf") and "no spec asks for it" in line for line in lines)
    assert (shop.out / "NV-30.pdf").exists()
    assert shop.status()["NV-30"]["state"] == "card without a spec"
    assert shop.run("status").returncode == 1


def test_papers_of_other_origin_in_the_folder_are_let_be(shop):
    """A scanned drawing beside the cards is none of our business."""
    (shop.out / "drawing.pdf").write_bytes(b"%PDF-1.4\nsomething else\n%%EOF\n")
    assert not any("drawing" in line for line in shop.make())
    assert shop.run("status").returncode == 0


def test_a_part_with_an_error_keeps_its_card_and_the_others_are_made(shop):
    """Told as having errors, never as a card without a spec."""
    kept = shop.files()["SN-204.pdf"]
    shop.edit("spindle-nose.yaml", "revision: B\n", "")
    shop.edit("needle-valve.yaml", "pieces:", "pieces:  ")
    done = shop.run("make")
    assert done.returncode == 2
    assert shop.files()["SN-204.pdf"] == kept
    assert shop.status()["SN-204"]["state"] == "spec has errors"
    assert shop.status()["NV-30"]["state"] == "current"


def test_status_tells_each_state_and_its_exit_status(trial):
    """Nothing made: 1; all made: 0; one changed: 1, and status itself writes nothing."""
    assert {one["state"] for one in trial.status().values()} == {"never made"}
    assert trial.run("status").returncode == 1
    assert not trial.out.exists()
    trial.make()
    assert {one["state"] for one in trial.status().values()} == {"current"}
    assert trial.run("status").returncode == 0
    trial.edit("spindle-nose.yaml", "0.35 .. 0.50 mm", "0.35 .. 0.60 mm")
    before = trial.files()
    looked = trial.run("status")
    assert looked.returncode == 1
    assert trial.files() == before
    line = next(line for line in looked.stdout.splitlines() if line.startswith("out of date"))
    assert "SN-204.pdf" in line
    assert "0.60 mm" in line


def test_a_card_changed_by_hand_is_kept_and_the_true_one_put_back(shop):
    """Nobody's note is lost."""
    card = shop.out / "SN-204.pdf"
    true = card.read_bytes()
    noted = true + b"\n% stop at 2.9 on Mondays\n"
    card.write_bytes(noted)
    assert shop.status()["SN-204"]["state"] == "changed by hand"
    line = next(line for line in shop.make() if line.startswith("remade"))
    assert "the one changed by hand is kept as set-aside/SN-204-" in line
    assert card.read_bytes() == true
    assert [path.read_bytes() for path in (shop.out / "set-aside").iterdir()] == [noted]


def test_allowances_ask_for_no_new_revision(shop):
    """What the drawing gives is as it was: another issue of the card, of the same drawing."""
    shop.edit("spindle-nose.yaml", "0.35 .. 0.50 mm", "0.35 .. 0.60 mm")
    assert not shop.status()["SN-204"]["revision_not_raised"]
    assert not any("warning" in line for line in shop.make())
    assert shop.run("status").returncode == 0


def test_a_value_of_the_drawing_changed_without_a_new_revision_is_a_warning_until_it_is_settled(shop):
    """In status before, in make, and in status after, until the revision is raised."""
    shop.edit("spindle-nose.yaml", "diameter: 38.000 mm", "diameter: 38.010 mm")
    assert shop.status()["SN-204"]["revision_not_raised"]
    warning = "warning  SN-204: what the drawing gives changed but revision B was not raised"
    assert warning in shop.run("status").stdout
    assert any(line.startswith(warning) for line in shop.make())
    assert shop.status()["SN-204"]["state"] == "current"
    assert warning in shop.run("status").stdout
    assert shop.run("status").returncode == 1
    shop.edit("spindle-nose.yaml", "revision: B", "revision: C")
    assert not any("warning" in line for line in shop.make())
    assert shop.run("status").returncode == 0


def test_the_warning_ends_when_the_notice_is_taken_away(shop):
    """The copies exchanged, someone files the notice: nothing more to do."""
    shop.edit("spindle-nose.yaml", "diameter: 38.000 mm", "diameter: 38.010 mm")
    shop.make()
    for path in (shop.out / "notices").iterdir():
        path.unlink()
    assert shop.run("status").returncode == 0


def test_a_replaced_card_leaves_a_notice_that_carries_it(shop):
    """Values from → to, where the copies hang, and the old card itself, whole."""
    old = (shop.out / "SN-204.pdf").read_bytes()
    shop.edit("spindle-nose.yaml", "0.35 .. 0.50 mm", "0.35 .. 0.60 mm")
    shop.edit("spindle-nose.yaml", "revision: B", "revision: C")
    line = next(line for line in shop.make() if line.startswith("remade"))
    (path,) = (shop.out / "notices").iterdir()
    assert f"change notice notices/{path.name}, copies hang at Grinder 2, Toolroom binder" in line
    notice = unbind(path.read_bytes())
    assert notice.attachments["replaced-card.pdf"] == old
    assert notice.manifest["old_code"] == read_card(old).code
    assert notice.manifest["code"] == read_card((shop.out / "SN-204.pdf").read_bytes()).code
    assert notice.sealed
    changes = json.loads(notice.attachments["changes.json"])["changes"]
    assert any(change["path"].startswith("stages[name=blank") for change in changes)


def test_a_card_alone_tells_whether_the_specs_still_say_so(shop):
    """read: the same card, before and after a change in the shop."""
    card = shop.folder / "a copy from the wall.pdf"
    card.write_bytes((shop.out / "SN-204.pdf").read_bytes())
    assert shop.run("read", str(card)).stdout.endswith("the shop's specs still say so\n")
    shop.edit("spindle-nose.yaml", "0.35 .. 0.50 mm", "0.35 .. 0.60 mm")
    shop.make()
    told = shop.run("read", str(card)).stdout
    assert "the shop's specs say otherwise now" in told
    assert "‘blank: 0.35 .. 0.50 mm’ → ‘blank: 0.35 .. 0.60 mm’" in told
    record = json.loads(shop.run("read", str(card), "--json").stdout)
    assert (record["current"], record["as_made"], record["part"]) == (False, True, "SN-204")
    assert any(one["input"] == "part SN-204" for one in record["causes"])


@pytest.mark.parametrize("content", [b"", b"no pdf at all"])
def test_reading_what_is_no_card_says_so(trial, content):
    """One line, no trace."""
    paper = trial.folder / "paper.pdf"
    paper.write_bytes(content)
    done = trial.run("read", str(paper))
    assert done.returncode not in (0, None)
    assert done.stderr.count("\n") == 1
    assert "Traceback" not in done.stderr
