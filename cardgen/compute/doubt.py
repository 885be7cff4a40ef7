"""How sure the stock is that a reading tells: an uncertainty budget by the GUM."""

from dataclasses import dataclass
from math import sqrt

from cardgen.compute.sum_error import SumError


@dataclass(frozen=True)
class StockDoubt:
    """Standard uncertainty of the stock in mm on the diameter, and what it is made of."""

    standard: float
    parts: dict[str, float]

    def expanded(self, coverage_factor: float = 2.0) -> float:
        """The doubt to reckon with: U = k u, k = 2 for about 95 % (JCGM 100:2008, 6.2.1). In mm."""
        return coverage_factor * self.standard


def rectangular(half_width: float) -> float:
    """Standard uncertainty of a value known only to lie within ± a, all of it equally likely.

    u = a / √3. Half width a in any unit; result in the same. Raises SumError for a negative a.
    Source: JCGM 100:2008 (GUM), 4.3.7.
    """
    if half_width < 0:
        raise SumError("the half width of a range cannot be negative")
    return half_width / sqrt(3)


def reading_uncertainty(division: float) -> float:
    """Standard uncertainty of a reading taken to within half a division of the tool.

    u = (δ / 2) / √3 = 0.29 δ. Division δ in mm; result in mm of reading.
    Source: JCGM 100:2008 (GUM), F.2.2.1.
    """
    return rectangular(division / 2)


def standard_from_expanded(expanded: float, coverage_factor: float) -> float:
    """Standard uncertainty behind the figure in a gauge's calibration record.

    u = U / k. Expanded uncertainty U in any unit, coverage factor k as the record states it; result in the
    same unit. Raises SumError for a k that is not positive. Source: JCGM 100:2008 (GUM), 4.3.3.
    """
    if coverage_factor <= 0:
        raise SumError("the coverage factor must be greater than nothing")
    return expanded / coverage_factor


def combined(*parts: float) -> float:
    """Standard uncertainty of a sum of independent parts.

    u_c = √(u₁² + u₂² + …). Parts and result in the same unit.
    Source: JCGM 100:2008 (GUM), 5.1.2, equation (10).
    """
    return sqrt(sum(part * part for part in parts))


def stock_doubt(
    *,
    ratio: float,
    reading_from_finish: float,
    diameter: float,
    expansion: float,
    reading: float,
    gauge_ratio: float,
    gauge_diameter: float,
    temperature: float,
) -> StockDoubt:
    """How sure the stock is that a reading tells, and which part of the doubt comes from what.

    u²(S) = C² u²(g) + (g − g_f)² u²(C) + u²(D_gauge) + (D a)² u²(ΔT).
    Taper ratio C; g − g_f in mm (its sign does not matter); diameter D in mm; expansion a in 1/K; standard
    uncertainties of the reading in mm, of the gauge's taper ratio, of its gauge-line diameter in mm, and of
    the temperature of the work against the gauge in K. Result in mm on the diameter.
    The finish reading's own tolerance is left out: it is what the piece is held to, not a doubt.
    Raises SumError for a negative uncertainty. Source: JCGM 100:2008 (GUM), 5.1.2.
    """
    if min(reading, gauge_ratio, gauge_diameter, temperature) < 0:
        raise SumError("a standard uncertainty cannot be negative")
    parts = {
        "reading": abs(ratio) * reading,
        "gauge_taper": abs(reading_from_finish) * gauge_ratio,
        "gauge_diameter": gauge_diameter,
        "temperature": abs(diameter * expansion) * temperature,
    }
    return StockDoubt(standard=combined(*parts.values()), parts=parts)


def doubt_as_reading(stock_standard: float, ratio: float) -> float:
    """The doubt of the stock as it shows on the reading.

    u(S) / C. Standard uncertainty in mm on the diameter, taper ratio C; result in mm of reading.
    Raises SumError where the ratio is nothing. Source: the reading's own law, S = k (g − g_f).
    """
    if ratio == 0:
        raise SumError("a straight piece gives no reading")
    return stock_standard / abs(ratio)


def told_from_nothing(stock: float, standard: float) -> bool:
    """Whether an amount of stock can be told from none: it is above two standard uncertainties.

    S > 2 u(S), both in mm on the diameter. Source: JCGM 100:2008 (GUM), 6.3.3 (k = 2, about 95 %).
    """
    return stock > 2 * standard
