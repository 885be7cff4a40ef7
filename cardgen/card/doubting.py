"""How sure the stock is that a gauge's reading tells, from the records of the gauge and the shop."""

from cardgen.card.geometry import Geometry
from cardgen.compute import doubt, inspection
from cardgen.spec.callout import TaperUncertainty
from cardgen.spec.models import GaugeRecord


def stock_doubt(
    gauge: GaugeRecord,
    geometry: Geometry,
    expansion: float,
    temperature_k: float,
    reading_from_finish: float,
    division: float,
) -> doubt.StockDoubt:
    """The doubt of the stock at a reading so far from the finish, by a tool of this division."""
    line = gauge.gauge_line
    return doubt.stock_doubt(
        ratio=geometry.ratio,
        reading_from_finish=reading_from_finish,
        diameter=geometry.line_diameter,
        expansion=expansion,
        reading=doubt.reading_uncertainty(division),
        gauge_ratio=_ratio_uncertainty(gauge.taper_uncertainty, geometry.half_angle),
        gauge_diameter=(
            doubt.standard_from_expanded(line.uncertainty_mm, line.coverage_factor)
            if line is not None
            else 0.0
        ),
        temperature=temperature_k,
    )


def _ratio_uncertainty(given: TaperUncertainty | None, half_angle: float) -> float:
    """The standard uncertainty of the gauge's taper as a ratio; 0 where its record gives none."""
    if given is None:
        return 0.0
    if given.ratio is not None:
        return given.ratio
    on_half_angle = given.half_angle_rad or (given.included_angle_rad or 0.0) / 2
    return inspection.angle_change_on_diameter(2 * on_half_angle, half_angle, 1.0)
