"""One line each, for people."""

from types import SimpleNamespace

import pytest

from cardgen.shelf.changes import Change
from cardgen.shelf.run import Action
from cardgen.shelf.telling import change_text, what_was_done


@pytest.mark.parametrize(
    ("change", "text"),
    [
        (Change("reading.finish_mm", 3.0, 3.2), "reading, finish: 3 → 3.2 mm"),
        (Change("stages[name=rough].stock_mm", 0.08, 0.1), "stages, rough, stock: 0.08 → 0.1 mm"),
        (Change("swivel.half_angle_deg", 3.5763, 4.0), "swivel, half angle: 3.5763 → 4°"),
        (Change("taper.per_foot_in", 1.5, 0.6), "taper, per foot: 1.5 → 0.6 in"),
        (Change("speeds.rough.traverse_mm_min", 1000.0, 900.0), "speeds, rough, traverse: 1000 → 900 mm/min"),
        (Change("batch.pieces", None, 40), "batch, pieces: none → 40"),
        (Change("swivel.beyond_limit", False, True), "swivel, beyond limit: no → yes"),
        (
            Change("stock_table[reading_mm=3.5].stock_mm", 0.0625, 0.07),
            "stock table, reading 3.5 mm, stock: 0.0625 → 0.07 mm",
        ),
        (Change("stock_table[reading_mm=3.5]", None, {}), "stock table, reading 3.5 mm: new"),
        (Change("stock_table[reading_mm=3.5]", {}, None), "stock table, reading 3.5 mm: gone"),
        (Change("checks", [1], [2]), "checks: changed"),
        (Change("title.name", "Nose", "Nose B"), "title, name: Nose → Nose B"),
    ],
)
def test_a_change_is_said_in_the_trades_words_with_its_unit(change, text):
    """The value's own name, its row, what was and what is."""
    assert change_text(change) == text


@pytest.mark.parametrize(
    ("files", "told"),
    [
        ("A B C", "3 made (A.pdf, B.pdf, C.pdf)"),
        ("A B C D", "4 made (A.pdf, B.pdf, C.pdf and 1 more)"),
    ],
)
def test_a_long_list_is_cut_after_three_and_the_rest_counted(files, told):
    """Three are named; a fourth is counted, and nothing is counted where none is left out."""
    made = [
        SimpleNamespace(before=SimpleNamespace(file=f"{name}.pdf"), written=True, action=Action.MADE)
        for name in files.split()
    ]
    assert what_was_done(made) == told
