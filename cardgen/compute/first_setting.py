"""How far out a taper may be that is ground on a swivel as it was first set, by each way to set it.

Every way leaves the table, or the head, a small angle wrong; the taper is then wrong by that angle's share of
its length. These are bounds, not spreads: what the hand has to reckon with before the first cut.
"""

import math

from cardgen.compute import swivel
from cardgen.compute.sum_error import SumError

READ_BETWEEN = 0.1  # of a division: how near a mark is set, or read between two; common practice, no source
SCREW_SET = 0.25  # of a division: how near a swivel screw is set; common practice, no source
RADIUS_KNOWN = 0.001  # of a radius from the pivot: an assumption, no source


def on_diameter(left: float, half_angle: float, length: float) -> float:
    """What an angle left over is worth along the taper: 2 (tan(θ + ε) − tan θ) L.

    left: ε, rad; half_angle: θ, rad; length: L, mm. Result: mm on the diameter. Source: geometry.
    """
    return abs(swivel.left_over_diameter(half_angle + left, half_angle, length))


def by_scale(scale_error: float, division: float, screw_division: float | None) -> float:
    """By a scale: its own error, the sight of a mark, and the screw that turns on from there if there is one.

    ε = e + δ / 10 + s / 4; with no screw the setting is read between the marks. scale_error: e, division: δ,
    screw_division: s, all as half angles in rad. Result: rad. Source: common practice, no source.
    """
    return scale_error + READ_BETWEEN * division + SCREW_SET * (screw_division or 0.0)


def by_swing(division: float, radius: float, half_angle: float) -> float:
    """By slips or an indicator at a radius: ε = δ / (R cos θ) + ρ tan θ.

    division: δ, mm, the least that is felt or read; radius: R, mm, known to a share ρ of itself;
    half_angle: θ, rad. Result: rad. Raises SumError for a radius that is not positive.
    Source: common practice, no source.
    """
    if radius <= 0:
        raise SumError("radius must be above zero")
    return division / radius / math.cos(half_angle) + RADIUS_KNOWN * math.tan(half_angle)


def by_test_bar(division: float, straightness: float, travel: float, half_angle: float) -> float:
    """By an indicator along a parallel bar, between centres or on the wheel spindle.

    ε = (δ / √2 + s + δ tan θ) cos²θ / T: two readings, each to half a division, the bar itself, and the
    travel, which is as sure as a division where slips lie between the table and its stop.
    division: δ, straightness: s, travel: T along the ways, mm; half_angle: θ between bar and ways, rad.
    Result: rad. Raises SumError for a travel that is not positive.
    Source: JCGM 100:2008 (5.1.2) for the two readings; the rest common practice, no source.
    """
    if travel <= 0:
        raise SumError("travel must be above zero")
    over = division / math.sqrt(2) + straightness + division * math.tan(half_angle)
    return over * math.cos(half_angle) ** 2 / travel
