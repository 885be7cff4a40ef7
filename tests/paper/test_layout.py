"""The layout file: read whole, refused with the place."""

import re
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from cardgen.paper.bench_card import Templates, read_templates
from cardgen.paper.panels import PANELS
from cardgen.paper.press.page import FORMATS
from cardgen.paper.press.typeface import PaperError
from cardgen.paper.press.typesetting import TextStyle, wrapped
from cardgen.paper.words.layout import Columns, FlowingPanels, Layout, LayoutError, layout_from


def layout(text: str) -> Layout:
    return layout_from(text, Path("layout.yaml"))


def test_every_format_is_laid_out(templates: Templates) -> None:
    """Ensures a card can be printed on every size there is."""
    assert set(templates.layout) == set(FORMATS)


def test_every_panel_of_the_layout_is_there(templates: Templates) -> None:
    """Ensures each name is a panel of the program or a template of the folder."""
    for sides in templates.layout.values():
        for side in sides:
            names = [side.foot] if side.foot else []
            for band in side.bands:
                if isinstance(band, FlowingPanels):
                    names += band.panels
                else:
                    names += [name for column in band.columns for name in column.panels]
            for name in names:
                assert name in PANELS or (templates.files.folder / f"{name}.j2").exists()


def test_what_a_side_can_give_up_is_on_it(templates: Templates) -> None:
    """Ensures that leaving out a spare panel, or setting a shorter one, changes the side each time."""
    for sides in templates.layout.values():
        for side in sides:
            given_up = [plan.bands for plan in side.given_up()]
            assert len(given_up) == 1 + len(side.spare) + len(side.shorter)
            assert all(more != less for more, less in pairwise(given_up))
            assert all((templates.files.folder / f"{name}.j2").exists() for name in side.shorter.values())


def test_columns_share_the_width_by_their_shares() -> None:
    """Ensures shares need not add up to anything in particular."""
    columns = "[{share: 3, panels: [a]}, {share: 1, panels: [b]}]"
    text = f"A5:\n  - bands:\n      - columns: {columns}\n"
    (side,) = layout(text)["A5"]
    (band,) = side.bands
    assert isinstance(band, Columns)
    assert [column.share for column in band.columns] == [0.75, 0.25]


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("A7:\n  - bands: [a]\n", "1:1: no paper format 'A7'; did you mean 'A6'?"),
        ("A5:\n  - bands: [a]\nA4: A3\n", "3:5: 'A3' is not laid out above"),
        ("A5:\n  - band: [a]\n", "2:5: unknown key 'band'; did you mean 'bands'?"),
        ("A5:\n  - side: x\n", "2:5: a side needs 'bands'"),
        ("A5:\n  - bands:\n      - colums: []\n", "3:9: unknown key 'colums'; did you mean 'columns'?"),
        ("A5:\n  - bands:\n      - flow: {columns: two, panels: [a]}\n", "3:25: a number is needed here"),
        ("A5:\n  - bands: [a\n", "3:1: "),
        ("A5:\n  - bands: [a]\n    bands: [b]\n", "3:5: 'bands' stands here twice"),
        ("A5:\n  - text: 99\n    bands: [a]\n", "2:11: 99 is not taken for a side's text: 6.5 to 24 points"),
        ("", ": the layout file must be 'key: value' pairs"),
    ],
)
def test_a_mistake_is_told_with_its_place(text: str, complaint: str) -> None:
    """Ensures file:line:column and what would be right."""
    with pytest.raises(LayoutError, match=re.escape("layout.yaml") + ".*" + re.escape(complaint)):
        layout(text)


def test_a_folder_without_a_layout_is_told(tmp_path: Path) -> None:
    """Ensures a missing layout file is no traceback."""
    with pytest.raises(PaperError, match=r"layout\.yaml: there is no such file"):
        read_templates(tmp_path)


FLOW = "A5:\n  - bands:\n      - flow: {{columns: {}, panels: [title]}}"
ONE = "A5:\n  - side: at the wheel\n    bands: [title]\n"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (FLOW.format(1000), "3:25: 1000 is not taken in a flow: 1 to 6"),
        (FLOW.format(0.5), "3:25: a whole number is needed here"),
        (
            "A5:\n  - bands:\n      - columns: [{share: 1e-300, panels: [title]}]",
            "3:27: 1e-300 is not taken for a share: 1 to 100 parts",
        ),
        (
            "A5:\n  - bands:\n      - columns: [{share: 100, panels: [title]}, {share: 1, panels: [code]}]",
            "3:18: 0.00990099 is not taken for the narrowest column: at least 0.08 of the width",
        ),
        (f"A5:\n  - bands: {'[' * 500}", "2:29: the brackets nest too deep"),
        (ONE + "\0", "4:1: a character stands here that no text has"),
        ("A5: []", "1:5: 0 is not taken in A5: 1 to 100 panels"),
        ("A5:\n  - bands: &a [title]\n  - bands: *a", "3:12: write out what * stands for"),
        ("A5:\n  - bands: [" + "title, " * 101 + "]", "2:3: 101 is not taken in A5: 1 to 100 panels"),
    ],
)
def test_a_layout_beyond_sense_is_refused_with_its_place(text: str, told: str) -> None:
    """A thousand columns, a share of nothing, brackets without end, a side without a panel."""
    with pytest.raises(LayoutError) as wrong:
        layout(text)
    assert str(wrong.value).startswith(f"layout.yaml:{told}")


@pytest.mark.parametrize("width", [-5.0, 0.0, 1e-9, 0.5, 20.0])
@pytest.mark.parametrize("text", ["", " ", "W", "W" * 60, "two words", (("bold", True), ("plain", False))])
def test_text_is_wrapped_at_any_width_and_nothing_is_lost(text: Any, width: float) -> None:
    """Where not one letter has room each stands on a line of its own; it always ends."""
    lines = wrapped(text, TextStyle(9.0), width)
    letters = "".join(piece for line in lines for piece, _ in line)
    given = text if isinstance(text, str) else "".join(piece for piece, _ in text)
    assert letters.replace(" ", "") == given.replace(" ", "")
