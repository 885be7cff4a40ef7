"""Gauges with least and most marks, the mating part as gauge, and a plane told from the small end."""

from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from cardgen.card.finding import PartErrors
from tests.card.bench_shop import Change, codes, gathered, shop

PRINT = "gauge_line: {diameter: 38.000 mm, tolerance: ± 0.010 mm}"
NO_PRINT: tuple[Change, ...] = (
    (PRINT, "gauge_line: {diameter: 38.000 mm}"),
    ("finish: 3.0 mm ± 0.08 mm", "finish: 3.0 mm"),
)
MATE: tuple[Change, ...] = (
    ("type: ring", "type: mate"),
    ("gauge_line: {diameter: 38.000 mm, uncertainty: 0.0015 mm}\n", ""),
    ("calibration_due: 2027-03-31\n", ""),
)


def marks(least: str, most: str) -> Change:
    """The ring with a step, its faces at these readings."""
    return "type: ring", f"type: ring\nmarks: {{least: {least}, most: {most}}}"


def words(folder: Path, *changes: Change) -> str:
    """All that the card prints."""
    read = shop(folder, *changes)
    pdf = read.draw_card(read.card("SN-204").card, "A5").pdf()
    text = " ".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)
    return " ".join(text.replace("\u00a0", " ").split())


def test_marks_alone_are_the_tolerance(tmp_path: Path) -> None:
    """At 1:8, marks 0.4 mm apart are 0.05 mm on the diameter; the aim is midway between them."""
    card = gathered(tmp_path, *NO_PRINT, marks("2.80 mm", "3.20 mm")).card
    assert card.taper.gauge_line_high_mm - card.taper.gauge_line_low_mm == pytest.approx(0.05)
    assert (card.reading.finish_low_mm, card.reading.finish_high_mm) == pytest.approx((2.8, 3.2))


def test_marks_that_agree_with_the_print_change_nothing(tmp_path: Path) -> None:
    """± 0.010 mm at 1:8 is ± 0.08 mm of gap: a step from 2.92 to 3.08 mm says the same."""
    plain = gathered(tmp_path).card
    marked = gathered(tmp_path, marks("2.92 mm", "3.08 mm"))
    assert marked.card.taper == plain.taper
    assert not {code for code in codes(marked) if code.startswith("marks")}
    assert marked.card.reading.marks is not None
    assert marked.card.reading.marks.within_size


def test_closer_marks_on_one_side_move_the_aim(tmp_path: Path) -> None:
    """Marks from 3.00 to 3.08 mm leave pieces from 38.000 to 38.010: the aim is 38.005."""
    card = gathered(tmp_path, marks("3.00 mm", "3.08 mm")).card
    assert (card.taper.gauge_line_low_mm, card.taper.gauge_line_high_mm) == pytest.approx((38.0, 38.01))
    assert card.reading.finish_mm == pytest.approx(3.04)


def test_between_the_marks_is_said_only_where_it_is_within_size(tmp_path: Path) -> None:
    """Marks that reach beyond the print must not be taken for its limits."""
    assert "between the marks" in words(tmp_path, marks("2.92 mm", "3.08 mm"))
    beyond = words(tmp_path, marks("2.80 mm", "3.20 mm"))
    assert "between the marks, within" not in beyond
    assert "not by the marks" in beyond


def test_marks_where_no_piece_is_of_size_make_no_card(tmp_path: Path) -> None:
    """A step from 3.5 to 3.7 mm belongs to another part."""
    read = shop(tmp_path, marks("3.50 mm", "3.70 mm"))
    with pytest.raises(PartErrors, match="no piece is within its limits of size"):
        read.card("SN-204")


def test_a_mate_knows_the_gap_and_no_diameter(tmp_path: Path) -> None:
    """The finish reading is the one stated; nothing on the card calls the mate calibrated or a ring."""
    found = gathered(tmp_path, *MATE)
    assert found.card.reading.finish_mm == pytest.approx(3.0)
    assert found.card.gauge.uncertainty_mm is None
    text = words(tmp_path, *MATE)
    assert "mating part R-204 not calibrated" in text
    assert "all holds for this mate alone" in text
    assert "ring gauge" not in text.lower()


@pytest.mark.parametrize(
    ("changes", "wrong"),
    [
        ((marks("3.2 mm", "2.8 mm"),), "does not read more"),
        ((marks("2.8 in", "2.8 in"),), "does not read more"),
        ((("type: ring", "type: mate"), ("calibration_due: 2027-03-31\n", "")), "not calibrated"),
        ((*MATE, ("  finish: 3.0 mm ± 0.08 mm\n", "")), "only the drawing can say what it reads"),
        ((*NO_PRINT,), "nothing says how far the size may be off"),
        (((PRINT, PRINT.replace("}", ", from_shoulder: 3 mm, from_small_end: 59 mm}")),), "told twice"),
        (((PRINT, PRINT.replace("}", ", from_small_end: 63 mm}")),), "beyond the length"),
        ((("length: 50 mm", "length: 50 mm\nface_from_line: 9 mm"),), "no collar"),
    ],
)
def test_what_cannot_be_meant_is_refused(tmp_path: Path, changes: tuple[Change, ...], wrong: str) -> None:
    """At its key, with what would be right."""
    assert any(wrong in str(complaint) for complaint in shop(tmp_path, *changes).complaints)


def test_a_plane_from_the_small_end_is_the_same_plane(tmp_path: Path) -> None:
    """59 mm from the small end of a taper of 62 mm is 3 mm from its shoulder."""
    ahead = gathered(tmp_path, (PRINT, PRINT.replace("}", ", from_shoulder: 3 mm}"))).card
    back = gathered(tmp_path, (PRINT, PRINT.replace("}", ", from_small_end: 59 mm}"))).card
    assert (back.taper, back.reading, back.stages) == (ahead.taper, ahead.reading, ahead.stages)
