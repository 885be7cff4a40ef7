"""What a wrong figure was likely meant to be, and that no right one is blamed: over all standard tapers."""

from dataclasses import replace
from pathlib import Path

import pytest

from cardgen import tapers
from cardgen.card import meant
from cardgen.card.facts import Records, facts_of
from cardgen.card.finding import Finding, PartErrors
from cardgen.spec.callout import read_callout
from cardgen.spec.quantity import read_length
from cardgen.spec.standards import gauge_with_standard, with_standard
from tests.spec.sketch import SKETCH, load

SIZED = [taper for taper in tapers.all_tapers() if taper.gauge_line or taper.large]


@pytest.fixture(scope="module")
def sketch(tmp_path_factory: pytest.TempPathFactory) -> Records:
    """The records of the sketch, to be made over."""
    library, _ = load(tmp_path_factory.mktemp("sketch"), SKETCH)
    part = library.parts["SN-204"]
    gauge, machine, wheel = library.gauges["R-204"], library.machines["CG-2"], library.wheels["W-A60"]
    return Records(part, gauge, None, machine, wheel, part.shop)


def as_written(size: tapers.Length) -> str:
    """A size as a spec writes it: '.938 in', '23.825 mm'."""
    return str(size)


def of_standard(sketch: Records, standard: tapers.StandardTaper, diameter: str) -> Records:
    """Part and gauge called out as this standard taper, both of the diameter given."""
    taper = sketch.part.taper
    line = taper.gauge_line.model_copy(update={"diameter": read_length(diameter)})
    half_way = read_length(diameter).value / standard.ratio / 2  # to the point of the cone
    fills_in_length = standard.length is not None and not standard.length.about
    length = None if fills_in_length else read_length(f"{half_way:.3f} mm")
    taper = taper.model_copy(
        update={
            "callout": read_callout(standard.name),
            "gauge_line": line,
            "length": length,
            "relief_mm": 0.0,
            "angle_tolerance": None,
        }
    )
    on_gauge = sketch.gauge.gauge_line
    assert on_gauge is not None
    gauge = sketch.gauge.model_copy(
        update={
            "taper": sketch.gauge.taper.model_copy(update={"callout": read_callout(standard.name)}),
            "gauge_line": on_gauge.model_copy(update={"diameter": read_length(diameter)}),
        }
    )
    return replace(sketch, part=sketch.part.model_copy(update={"taper": taper}), gauge=gauge)


@pytest.mark.parametrize("series", sorted({taper.series for taper in SIZED}))
def test_no_standard_taper_is_blamed_for_its_own_figures(sketch: Records, series: str) -> None:
    """Called out by its name, with its own diameter as its source prints it, on the part and on the gauge."""
    for standard in (taper for taper in SIZED if taper.series == series):
        for size in filter(None, (standard.gauge_line, standard.large)):
            records = of_standard(sketch, standard, as_written(size))
            part, on_part = with_standard(records.part)
            gauge, on_gauge = gauge_with_standard(records.gauge)
            assert (on_part, on_gauge) == ([], []), standard.name
            told = told_of(replace(records, part=part, gauge=gauge))
            assert [found for found in told if found.level == "error"] == [], standard.name


def told_of(records: Records) -> tuple[Finding, ...]:
    """What the figures of part and gauge are told of."""
    try:
        return facts_of(records).findings
    except PartErrors as errors:
        return meant.with_likely_slips(records, errors).findings


@pytest.mark.parametrize("series", sorted({taper.series for taper in SIZED}))
def test_a_diameter_of_a_standard_in_the_other_unit_is_told_by_its_name(sketch: Records, series: str) -> None:
    """Millimetres written for inches, or inches for millimetres: at the part's key and at the gauge's."""
    for standard in (taper for taper in SIZED if taper.series == series):
        size = standard.gauge_line or standard.large
        assert size is not None
        number, _, unit = as_written(size).rpartition(" ")
        wrong = f"{number} {'mm' if unit == 'in' else 'in'}"
        records = of_standard(sketch, standard, wrong)
        for _, found in (with_standard(records.part), gauge_with_standard(records.gauge)):
            assert [mistake.right for mistake in found] == [
                f"if the unit is mistaken, write {as_written(size)}"
            ]


def test_what_was_meant_is_told_of_figures_that_disagree_alone(sketch: Records, tmp_path: Path) -> None:
    """A figure that could be two others by likelihood is told with both; one of none is left as it was."""
    line = sketch.part.taper.gauge_line.model_copy(update={"diameter": read_length("29.3 mm")})
    taper = sketch.part.taper.model_copy(update={"gauge_line": line})
    records = replace(sketch, part=sketch.part.model_copy(update={"taper": taper}))
    with pytest.raises(PartErrors) as caught:
        facts_of(records)
    assert meant.with_likely_slips(records, caught.value) is caught.value
