"""The figures that a check tells in words, and the noughts and small differences beside them."""

import json
import math
import re
from dataclasses import replace
from pathlib import Path

import pytest

from cardgen.card.values import as_plain
from cardgen.digits import small_text
from tests.card.bench_shop import codes, gathered
from tests.card.test_checks import BARE_SCALE

INCH = 25.4


def told(folder: Path, code: str, *changes: tuple[str, str]) -> str:
    """What the check of this code says is wrong."""
    return next(check.text for check in gathered(folder, *changes).card.checks if check.code == code)


def test_what_a_cleaned_up_blank_can_bear_is_told_beside_what_the_setting_may_leave(tmp_path: Path) -> None:
    """Ensures that 4′ of the scale and a tenth of its degree, over 62 mm, are set against 0.25 mm left on."""
    off = math.radians(10 / 60)
    left = 2 * 62 * (math.tan(math.atan(1 / 16) + off) - 1 / 16)
    text = told(tmp_path, "start-beyond-stock", *BARE_SCALE)
    assert f"may come out {left:.3f} mm wrong over the length" in text
    assert "a cleaned-up blank has 0.250 mm" in text


def test_a_bare_scale_that_leaves_less_than_there_is_to_spare_is_no_matter(tmp_path: Path) -> None:
    """Ensures the hand is not warned where a cleaned-up blank has room for what the scale leaves."""
    found = gathered(tmp_path, *BARE_SCALE, ("blank: 0.35 .. 0.50 mm", "blank: 1.35 .. 1.50 mm"))
    assert found.card.swivel.starts[0].leaves_mm < 1.35 - 0.10
    assert "start-beyond-stock" not in codes(found)


def test_an_allowance_that_cannot_be_seen_is_told_with_the_rules_own_doubt(tmp_path: Path) -> None:
    """Ensures a rule read to half of 5 mm at 1:8 has 2.5 / √3 / 8 mm for its standard uncertainty."""
    wrong = told(tmp_path, "allowance-not-seen", ("rough: steel rule 0.5 mm", "rough: steel rule 5 mm"))
    two = float(re.findall(r"two standard uncertainties are ([\d.]+) mm", wrong)[0])
    assert two == pytest.approx(2 * 2.5 / 3**0.5 / 8, rel=0.01)


@pytest.mark.parametrize(
    ("value_mm", "units", "text"),
    [
        (0.0024, "metric", "2.4 µm"),
        (-0.0024, "both", "2.4 µm"),
        (-0.00009 * INCH, "inch", "0.9 tenths of a thou"),
    ],
)
def test_a_small_difference_is_told_in_micrometres_or_tenths_of_a_thou(
    value_mm: float, units: str, text: str
) -> None:
    """Ensures a disagreement of figures is told in what the print's own system measures with."""
    assert small_text(value_mm, units) == text  # type: ignore[arg-type]


def test_a_nought_among_the_values_has_no_minus(tmp_path: Path) -> None:
    """Ensures what is nought but for arithmetic is the same nought in every card's values."""
    card = gathered(tmp_path).card
    just_below = replace(card, reading=replace(card.reading, finish_mm=-1e-12))
    assert json.dumps(as_plain(just_below)["reading"]["finish_mm"]) == "0.0"
