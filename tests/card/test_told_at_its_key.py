"""Figures that have no answer are told where they were written, and only figures are."""

import shutil
from datetime import date
from pathlib import Path

import pytest

from cardgen.shop.folder import Shop

SPECS = Path(__file__).parents[2] / "specs"


def demo_with(folder: Path, spec: str, old: str, new: str) -> Shop:
    """The demo shop with one text of one spec changed."""
    shutil.copytree(SPECS, folder / "specs")
    path = folder / "specs" / spec
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")
    return Shop.read(folder, date(2026, 6, 1))


@pytest.mark.parametrize(
    ("part", "spec", "old", "new", "place", "wrong"),
    [
        (
            "SS-2",
            "sleeve-socket.yaml",
            "inspection: {balls: [17 mm, 15.5 mm]}",
            "inspection: {balls: [12 mm, 16 mm]}",
            "inspection: {balls: ",
            "a ball of 12 mm does not touch the taper within its length",
        ),
        (
            "SS-2",
            "sleeve-socket.yaml",
            "inspection: {balls: [17 mm, 15.5 mm]}",
            "inspection: {discs: [14 mm, 14.001 mm]}",
            "inspection: {discs: ",
            "the discs would overlap",
        ),
    ],
)
def test_a_mistake_in_the_means_of_inspection_is_told_at_its_own_key(
    tmp_path, part, spec, old, new, place, wrong
):
    """Not at the taper, which is sound: the line and the column of the figure itself."""
    shop = demo_with(tmp_path, spec, old, new)
    (complaint,) = shop.complaints_of(part)
    lines = (tmp_path / "specs" / spec).read_text("utf-8").splitlines()
    row = next(number for number, line in enumerate(lines, 1) if line.startswith(place))
    assert (complaint.line, complaint.column) == (row, len(place) + 1)
    assert wrong in complaint.wrong
