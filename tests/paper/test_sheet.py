"""Several cards on a sheet: cut apart, every back is behind its front."""

from dataclasses import replace

import pypdfium2
import pypdfium2.raw as pdfium
import pytest

from cardgen.card.values import Card
from cardgen.paper.bench_card import Templates, card_sides
from cardgen.paper.press.document import MM, Surface
from cardgen.paper.press.page import FORMATS
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typeface import PaperError
from cardgen.paper.press.typesetting import TextStyle
from cardgen.paper.sheet import Turn, card_sheets, grid_for
from tests.paper.legibility import complaints, sides

TURNS: tuple[Turn, ...] = ("long_edge", "short_edge")


def marked_card(name: str, paper: str, count: int = 2) -> list[Surface]:
    """Sides with a mark near the top left corner and another at the middle of the top edge."""
    made = []
    for number in range(1, count + 1):
        surface = Surface(FORMATS[paper].width, FORMATS[paper].height)
        Pen(surface).text(10, 12, f"{name}{number}", TextStyle(9.0))
        Pen(surface).rectangle(surface.width / 2 - 0.5, 8.0, 1.0, 1.0, 0, fill=0)
        made.append(surface)
    return made


def squares(pdf: bytes, page: int) -> list[tuple[float, float]]:
    """Centres of the 1 mm squares on a page, mm from its top left corner, rounded."""
    found = []
    sheet = pypdfium2.PdfDocument(pdf)[page]
    for each in sheet.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH]):
        left, bottom, right, top = each.get_bounds()
        if abs(right - left - MM) < 0.05 and abs(top - bottom - MM) < 0.05:
            found.append(
                (round((left + right) / 2 / MM, 2), round((sheet.get_height() - (top + bottom) / 2) / MM, 2))
            )
    return sorted(found)


def turned_over(spots: list[tuple[float, float]], sheet: str, turn: Turn) -> list[tuple[float, float]]:
    """Where spots of the back lie as seen through the sheet from its front."""
    width, height = FORMATS[sheet].width, FORMATS[sheet].height
    if turn == "long_edge":
        return sorted((round(width - x, 2), y) for x, y in spots)
    return sorted((x, round(height - y, 2)) for x, y in spots)


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("paper", ["A6", "A5", "5x8 in", "half letter"])
@pytest.mark.parametrize("sheet", ["A4", "letter"])
def test_backs_lie_behind_their_fronts(sheet: str, paper: str, turn: Turn) -> None:
    """Ensures the hole of a front is the hole of its back to 0.02 mm, however the sheet is turned."""
    grid = grid_for(sheet, FORMATS[paper].width, FORMATS[paper].height)
    cards = [marked_card(f"{number}.", paper) for number in range(grid.places)]
    made = card_sheets(cards, sheet, turn, "t").pdf()
    fronts, backs = squares(made, 0), turned_over(squares(made, 1), sheet, turn)
    assert len(fronts) == grid.places
    for front, back in zip(fronts, backs, strict=True):
        assert back == pytest.approx(front, abs=0.02)


@pytest.mark.parametrize("turn", TURNS)
def test_each_back_is_its_own_fronts(turn: Turn) -> None:
    """Ensures no card gets another card's back, sheet after sheet."""
    cards = [marked_card(f"{number}.", "A6") for number in range(7)]
    made = sides(card_sheets(cards, "A4", turn, "t").pdf())
    assert len(made) == 4
    width, height = FORMATS["A4"].width, FORMATS["A4"].height
    for front, back in zip(made[::2], made[1::2], strict=True):
        for word in front.words:
            behind = [each for each in back.words if each.text == word.text.replace(".1", ".2")]
            assert len(behind) == 1
            x, y = (behind[0].left + behind[0].right) / 2, (behind[0].top + behind[0].bottom) / 2
            if turn == "long_edge":
                x = width - x
            else:
                y = height - y
            # Same card: within its 105 × 148 mm, the mark of the back mirrored left to right.
            assert abs(y - (word.top + word.bottom) / 2) < 1.0
            assert abs(x - (word.left + word.right) / 2) < 95.0


def test_a_third_side_makes_a_second_leaf() -> None:
    """Ensures no side is lost where a card has more than two."""
    made = sides(card_sheets([marked_card("a.", "A6", 3)], "A4", "long_edge", "t").pdf())
    assert [sorted(word.text for word in side.words) for side in made] == [["a.1", "a.3"], ["a.2"]]


def test_cards_of_two_sizes_are_refused() -> None:
    """Ensures a sheet is cut on one grid."""
    with pytest.raises(PaperError, match="one size"):
        card_sheets([marked_card("a", "A6"), marked_card("b", "A5")], "A4", "long_edge", "t").pdf()


def test_a_card_larger_than_the_sheet_is_refused() -> None:
    """Ensures nothing is cropped."""
    with pytest.raises(PaperError, match="does not fit"):
        grid_for("A5", 210.0, 297.0)


@pytest.mark.parametrize("turn", TURNS)
def test_cards_on_a_sheet_stay_legible(turn: Turn, sample: dict[str, Card], templates: Templates) -> None:
    """Ensures laying cards on a sheet changes nothing on them."""
    metric = sample["metric"]
    other = replace(metric, title=replace(metric.title, part="SN-205"))
    made = card_sheets([card_sides(card, "A5", templates) for card in (metric, other)], "A4", turn, "t").pdf()
    assert [each for each in complaints(made) if "row at" not in each] == []


def test_cutting_marks_stand_at_every_cut() -> None:
    """Ensures each edge of each card has a mark at both ends."""
    grid = grid_for("letter", FORMATS["A6"].width, FORMATS["A6"].height)
    made = card_sheets([marked_card("a", "A6")], "letter", "long_edge", "t").pdf()
    sheet = pypdfium2.PdfDocument(made)[0]
    upright = set()
    for each in sheet.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH]):
        left, bottom, right, top = each.get_bounds()
        if right - left < 1.0 and 6.0 < top - bottom < 14.0:
            upright.add(round((left + right) / 2 / MM, 1))
    cuts = [grid.left + column * grid.width for column in range(grid.columns + 1)]
    assert sorted(upright) == pytest.approx(cuts, abs=0.06)
