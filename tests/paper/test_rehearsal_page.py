"""The page of a rehearsal: nothing runs off it, and what lies beyond a limit is counted."""

from io import BytesIO
from typing import Any

import pytest
from pypdf import PdfReader

from cardgen.paper.rehearsal_page import Comparison, Spread, Worked, rehearsal_page

OUTCOME = [(f"row {number}", "0.12 %", "surely 0.05 to 0.31 %") for number in range(8)]


def page(measured: list[float], limit: float = 10.0) -> PdfReader:
    """As many rows as a rehearsal has at the most, and long notes."""
    spread = Spread("Size", "µm", measured, (-limit, limit), "under", "above")
    causes = [Worked(f"cause {number}", 5.0, 0.1, 2.0) for number in range(8)]
    helps = [Worked("the swivel set by a test bar on the wheel spindle", 12.0, 0.0, 0.0)] * 5
    drawn = rehearsal_page(
        "SN-204: a batch before it is ground",
        "100 batches",
        OUTCOME,
        (spread, spread),
        Worked("as it is", 5.5, 0.0, 0.5),
        (Comparison("What limits it", causes), Comparison("What would help", helps)),
        ("A note that is long enough to take two lines of the page, " * 4,) * 2,
    )
    return PdfReader(BytesIO(drawn.pdf()))


def test_the_longest_page_has_everything_on_it() -> None:
    """One page; no text nearer to an edge than 5 mm."""
    reader, places = page([0.0, 1.0]), list[tuple[float, float]]()

    def look(text: str, _cm: Any, matrix: list[float], *_: Any) -> None:
        if text.strip():
            places.append((matrix[4], matrix[5]))

    (only,) = reader.pages
    assert "cause 7" in only.extract_text(visitor_text=look)
    edge = 5 / 25.4 * 72
    assert len(places) > 60
    assert all(edge < x < only.mediabox.width - edge for x, _ in places)
    assert all(edge < y < only.mediabox.height - edge for _, y in places)


@pytest.mark.parametrize(("limit", "under", "above"), [(10.0, 2, 1), (40.0, 0, 0)])
def test_the_pieces_beyond_each_limit_are_counted(limit: float, under: int, above: int) -> None:
    """A piece at a limit is good; what lies far outside is counted all the same."""
    text = page([-30.0, -10.5, -10.0, 0.0, 10.0, 12.0], limit).pages[0].extract_text()
    assert f"{under} under" in text
    assert f"{above} above" in text


def test_without_a_tolerance_there_is_no_picture() -> None:
    """It says so in its place."""
    assert "no tolerance is stated" in page([0.0], float("inf")).pages[0].extract_text()
