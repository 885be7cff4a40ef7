"""The change notice: one page that says what changed, since which code, and where copies hang."""

from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from cardgen.card.values import Change, Notice
from cardgen.paper.change_notice import figure, notice_page, notice_rows
from cardgen.paper.words.figures import Figures
from cardgen.paper.words.wording import TemplateFiles

TEMPLATES = TemplateFiles.read(Path(__file__).parents[2] / "templates")


TOLD = Notice(
    part_id="SN-204",
    name="Spindle nose",
    units="metric",
    old_code="SN-204-B-1a2b3c4d",
    new_code="SN-204-C-5e6f7a8b",
    old_revision="B",
    new_revision="C",
    revision_not_raised=False,
    causes=(),
    because=("specs/nose.yaml line 9: ‘finish: 3.0 mm’ → ‘finish: 3.2 mm’",),
    changes=(Change("stroke.travel_mm", 3.0, 3.2),),
    posted_at=("Grinder 2", "Toolroom binder"),
)


def printed(told: Notice, paper: str = "A5") -> str:
    reader = PdfReader(BytesIO(notice_page(told, paper, TEMPLATES).pdf()))
    assert len(reader.pages) == 1
    return " ".join(reader.pages[0].extract_text().replace("\u00a0", " ").split())


def many(count: int, section: str = "speeds") -> tuple[Change, ...]:
    return tuple(Change(f"{section}.v{n}_mm", float(n), n + 0.5) for n in range(count))


def test_it_says_what_changed_from_what_to_what_and_where_copies_hang():
    """Codes, values with their units, the cause, and each place."""
    text = printed(TOLD)
    for words in (
        "SN-204 · Spindle nose",
        "Change notice",
        "SN-204-B-1a2b3c4d is replaced by SN-204-C-5e6f7a8b",
        "Table travel 3.0 mm 3.2 mm",
        "specs/nose.yaml line 9: ‘finish: 3.0 mm’ → ‘finish: 3.2 mm’",
        "Grinder 2",
        "Toolroom binder",
    ):
        assert words in text
    assert "the revision is still" not in text


def test_it_warns_where_old_and_new_bear_the_same_revision():
    """Only the code then tells the two cards apart."""
    assert "the revision is still C" in printed(replace(TOLD, revision_not_raised=True))


def test_a_notice_without_places_says_to_look_for_the_copies():
    """The old card named none."""
    assert "The old card names no place" in printed(replace(TOLD, posted_at=()))


@pytest.mark.parametrize("paper", ["A6", "A5", "A4", "half letter", "letter", "5x8 in"])
@pytest.mark.parametrize("count", [1, 12, 60, 400])
def test_what_the_page_has_no_room_for_is_counted_on_it(paper, count):
    """Rows shown and rows left out make the whole, on every size of paper."""
    text = printed(replace(TOLD, changes=many(count)), paper)
    shown = sum(f"speeds, v{n} " in text for n in range(count))
    assert shown > 0
    if shown < count:
        assert f"And {count - shown} more" in text


def test_long_tables_are_counted_in_one_line():
    """Two hundred figures of the reading table would hide the ten that matter."""
    changes = (*many(30, "stock_table"), *many(1, "reading"))
    rows = notice_rows(changes, Figures("metric"))
    assert [(row.label, row.count) for row in rows] == [("reading, v0", 1), ("stock table", 30)]
    assert rows[1].new == "30 figures changed"


def test_a_reading_is_told_as_its_tool_shows_it():
    """7⁄32 in, and not .2188 in beside it."""
    stage = "stages[name=rough]"
    changes = (
        Change(f"{stage}.reading_mm", 5.159375, 5.55625),
        Change(f"{stage}.reading_text", "13/64 in", "7/32 in"),
    )
    (row,) = notice_rows(changes, Figures("inch"))
    assert (row.label, row.old, row.new) == ("rough, reading", "13⁄64\u00a0in", "7⁄32\u00a0in")


def test_values_that_print_alike_are_shown_to_where_they_part():
    """No row says that something changed from 3.000 to 3.000."""
    (row,) = notice_rows((Change("stroke.travel_mm", 3.0, 3.0001),), Figures("metric"))
    assert (row.old, row.new) == ("3.0000000", "3.0001000")


@pytest.mark.parametrize(
    ("path", "value", "units", "text"),
    [
        ("taper.large_diameter_mm", 25.4, "both", "25.400 mm (1.0000 in)"),
        ("stroke.travel_mm", 33.96, "metric", "33.9 mm"),
        ("stroke.overrun_shoulder_mm", -1.52, "both", "−1.6 mm (−.060 in)"),
        ("stroke.clearance_mm", 1.016, "inch", ".040 in"),
        ("taper.length_mm", 62.0, "metric", "62.0 mm"),
        ("swivel.slip_radius_mm", 254.0, "inch", "10.000 in"),
        ("swivel.slip_mm", 15.5952, "metric", "15.595 mm"),
        ("swivel.half_angle_deg", 3.5763344, "metric", "3.5763°"),
        ("taper.per_foot_in", 0.602, "inch", ".60200 in/ft"),
        ("speeds.rough.traverse_mm_min", 1000.0, "metric", "1000 mm/min"),
        ("speeds.time_per_piece_s", 252.2, "metric", "4 min 13 s"),
        ("speeds.removed_per_piece_mm3", 1692.144, "metric", "1692.14 mm³"),
        ("batch.pieces", 40, "metric", "40"),
        ("batch.pieces", None, "metric", "none"),
        ("swivel.beyond_limit", True, "metric", "yes"),
        ("title.posted_at", ["Grinder 2", "Binder"], "metric", "Grinder 2, Binder"),
        ("reading.stock_low_mm", -0.01, "metric", "−0.010 mm"),
        ("inspection.sine_bar_stack", {"a": 1, "b": 2}, "metric", "2 entries"),
    ],
)
def test_a_value_is_written_as_on_the_card(path, value, units, text):
    """By the unit that its name ends in, in the part's units."""
    assert figure(path, value, Figures(units)).replace("\u00a0", " ") == text


def test_signs_the_type_lacks_do_not_stop_a_notice():
    """A comment in a spec may hold any sign; the new card must not wait for it."""
    assert "‘# □□’ → nothing" in printed(
        replace(TOLD, because=("specs/nose.yaml line 3: ‘# 研削’ → nothing",))
    )


@pytest.mark.parametrize("paper", ["A6", "A5", "5x8 in"])
def test_long_names_and_many_places_still_make_one_page(paper):
    """Two hundred letters, thirty places: a larger sheet if need be, and nothing lost."""
    told = replace(
        TOLD, name="Spindle nose " * 15, posted_at=tuple(f"Machine hall {n}, bench {n}" for n in range(30))
    )
    text = printed(told, paper)
    assert all(place in text for place in told.posted_at)
    assert "Table travel 3.0 mm 3.2 mm" in text


def test_the_same_notice_gives_the_same_bytes():
    """No date, no chance."""
    assert notice_page(TOLD, "A5", TEMPLATES).pdf() == notice_page(TOLD, "A5", TEMPLATES).pdf()


def test_exact_limits_that_no_paper_prints_are_not_told():
    """3.0956 beside a card that says 3.09 would be a second truth; the stage's line tells it."""
    exact = Change("reading.finish_high_mm", 3.0956, 3.0876)
    shown = Change("stages.finish high.reading_text", "3.09 mm", "3.08 mm")
    assert [row.new for row in notice_rows((exact, shown), Figures("metric"))] == ["3.08\xa0mm"]
