"""The doubt of the stock, against Monte Carlo and the `uncertainties` library."""

from math import sqrt

import numpy as np
import pytest
from uncertainties import ufloat

from cardgen.compute import doubt

NAMES = ("ratio", "away", "diameter", "division", "taper", "gauge", "kelvin")
CASES = {
    name: dict(zip(NAMES, figures, strict=True))
    for name, figures in {
        "1:8 spindle nose read with a rule": (1 / 8, 4.0, 38.0, 0.5, 2e-5, 0.0015, 1.0),
        "1:50 pin read with slip gauges": (1 / 50, 2.0, 10.0, 0.01, 1e-5, 0.001, 2.0),
        "7:24 shank read with a depth micrometer": (7 / 24, -1.5, 69.85, 0.0254, 5e-5, 0.001, 1.0),
    }.items()
}


def budget(case: dict[str, float]) -> doubt.StockDoubt:
    return doubt.stock_doubt(
        ratio=case["ratio"],
        reading_from_finish=case["away"],
        diameter=case["diameter"],
        expansion=11.5e-6,
        reading=doubt.reading_uncertainty(case["division"]),
        gauge_ratio=case["taper"],
        gauge_diameter=case["gauge"],
        temperature=case["kelvin"],
    )


@pytest.mark.parametrize("name", CASES)
def test_a_million_pieces_read_at_random_scatter_as_the_budget_says(name: str) -> None:
    """Ensures, by 10⁶ draws of reading, gauge and temperature, that the doubt is right within 1 %."""
    case, n = CASES[name], 1_000_000
    rng = np.random.default_rng(20_240_607)
    finish = 3.0
    reading = finish + case["away"] + rng.uniform(-case["division"] / 2, case["division"] / 2, n)
    ratio = rng.normal(case["ratio"], case["taper"], n)
    gauge_error = rng.normal(0, case["gauge"], n)
    warmer = rng.normal(0, case["kelvin"], n)
    # The ring touches where the work has its diameter; the work is the larger the warmer it is.
    stock = ratio * (reading - finish) + gauge_error - (case["diameter"] + gauge_error) * 11.5e-6 * warmer
    assert budget(case).standard == pytest.approx(float(stock.std()), rel=0.01)


@pytest.mark.parametrize("name", CASES)
def test_the_budget_agrees_with_a_library_that_differentiates_by_itself(name: str) -> None:
    """Ensures that every sensitivity is right: another program's propagation gives the same doubt."""
    case = CASES[name]
    reading = ufloat(3.0 + case["away"], case["division"] / sqrt(12))
    ratio = ufloat(case["ratio"], case["taper"])
    gauge_error, warmer = ufloat(0, case["gauge"]), ufloat(0, case["kelvin"])
    stock = ratio * (reading - 3.0) + gauge_error - case["diameter"] * 11.5e-6 * warmer
    assert budget(case).standard == pytest.approx(stock.std_dev, rel=1e-12)


def test_the_parts_make_up_the_whole() -> None:
    """Ensures that the squares of the parts listed add up to the square of the doubt."""
    b = budget(CASES["1:8 spindle nose read with a rule"])
    assert sum(part**2 for part in b.parts.values()) == pytest.approx(b.standard**2)
    assert set(b.parts) == {"reading", "gauge_taper", "gauge_diameter", "temperature"}


def test_at_finish_size_the_gauges_taper_does_not_matter() -> None:
    """Ensures that the part of the taper ratio grows with the distance from the finish reading only."""
    case = CASES["1:8 spindle nose read with a rule"] | {"away": 0.0}
    assert budget(case).parts["gauge_taper"] == 0


def test_internal_and_external_readings_are_doubted_alike() -> None:
    """Ensures that the sign of the ratio or of the distance from finish changes nothing."""
    case = CASES["7:24 shank read with a depth micrometer"]
    mirrored = case | {"ratio": -case["ratio"], "away": -case["away"]}
    assert budget(case) == budget(mirrored)


def test_the_expanded_doubt_is_twice_the_standard_one() -> None:
    """Ensures coverage k = 2."""
    b = budget(CASES["1:50 pin read with slip gauges"])
    assert b.expanded() == 2 * b.standard
    assert b.expanded(3) == 3 * b.standard


def test_a_calibration_record_is_taken_back_to_one_standard_uncertainty() -> None:
    """Ensures that a record's U with its k is divided, so that it is not counted twice over."""
    assert doubt.standard_from_expanded(0.003, 2) == 0.0015


def test_the_doubt_of_the_reading_is_the_stocks_over_the_ratio() -> None:
    """Ensures that 1.5 µm on the diameter is 75 µm of reading at 1:50."""
    assert doubt.doubt_as_reading(0.0015, 1 / 50) == pytest.approx(0.075)


def test_an_allowance_below_two_doubts_is_not_told_from_nothing() -> None:
    """Ensures the check on the finishing allowance: above two standard uncertainties, or it may be none."""
    assert doubt.told_from_nothing(0.08, 0.039)
    assert not doubt.told_from_nothing(0.08, 0.040)


@pytest.mark.parametrize(
    "call",
    [
        lambda: doubt.rectangular(-1),
        lambda: doubt.standard_from_expanded(1, 0),
        lambda: doubt.doubt_as_reading(0.001, 0),
        lambda: budget(CASES["1:50 pin read with slip gauges"] | {"gauge": -0.001}),
    ],
)
def test_senseless_doubts_are_refused(call) -> None:  # type: ignore[no-untyped-def]
    """Ensures that a negative uncertainty, a k of nothing or a straight piece raises."""
    with pytest.raises(ValueError, match=r"\w"):
        call()
