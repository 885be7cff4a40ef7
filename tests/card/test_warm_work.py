"""What work still warm from grinding reads, by the published coefficient of its metal."""

from pathlib import Path

import pytest

from cardgen.shop.folder import Shop

TOP = Path(__file__).parents[2]


def test_a_bronze_plug_misreads_by_the_expansion_of_bearing_bronze() -> None:
    """Ensures D a ΔT / C with a = 18.0 millionths per kelvin.

    Source of a: Callister and Rethwisch, Fundamentals of Materials Science and Engineering, 3rd edition,
    table B.6, page 816, C93200.
    """
    card = Shop.read(TOP).card("VP-32").card
    diameter, one_in = card.taper.gauge_line_diameter_mm, card.taper.ratio_1_to
    for row in card.warmth:
        assert row.diameter_mm == pytest.approx(diameter * 18.0e-6 * row.warmer_k, rel=1e-9)
        assert abs(row.reading_mm) == pytest.approx(diameter * 18.0e-6 * row.warmer_k * one_in, rel=1e-9)
    assert round(abs(card.warmth[0].reading_mm), 3) == 0.029
