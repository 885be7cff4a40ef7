"""Setting the swivel to the half angle: by its scale, a test bar, slip gauges, an indicator or its screw.

Ways of measuring the swing of the table at a radius R from its pivot:
    sine     a button fixed on the table at R, measured square to its unswung line:  R sin θ
    tangent  the table's edge, measured at the fixed distance R along that line:     R tan θ
    chord    two equal buttons at R, one on the table, one on the bed:               2 R sin(θ / 2)
"""

import math
from typing import assert_never

from cardgen import terms
from cardgen.compute import taper
from cardgen.compute.sum_error import SumError, above_zero
from cardgen.terms import ScaleShows, SwingType

_NOISE = 1e-6  # of a division: 7.9999999 divisions are eight, as within_limit has it


def as_engraved(shows: ScaleShows, quantity: float) -> float:
    """A setting or a division as the number engraved on the scale: degrees, in/ft, mm/m or per cent.

    quantity: rad on a scale of angles, diameter per length on the others. Result: degrees; in/ft (12 C),
    mm/m (1000 C), per cent (100 C), as terms.scale has it. Source: common practice (definitions).
    """
    scale = terms.scale(shows)
    if isinstance(scale, terms.ScaleOfAngle):
        return quantity * (scale.in_turn / math.tau)
    return scale.of_ratio * quantity


def scale_value(shows: ScaleShows, half_angle: float) -> float:
    """What the swivel scale must show for this half angle: θ, 2θ, or the taper C = 2 tan θ in its unit.

    shows: what the scale is engraved in (the tapers on the diameter); half_angle: rad, above 0. Result: the
    number on the scale: degrees, in/ft, mm/m or per cent. Raises SumError outside 0 … π/2.
    Source: common practice, no source.
    """
    ratio = taper.ratio_from_half_angle(half_angle)
    scale = terms.scale(shows)
    shown = scale.half_angles * half_angle if isinstance(scale, terms.ScaleOfAngle) else ratio
    return as_engraved(shows, shown)


def half_angle_at_mark(shows: ScaleShows, mark: float) -> float:
    """The half angle the table stands at with this number on its scale: the reverse of scale_value.

    mark: degrees, in/ft, mm/m or per cent, 0 or above. Result: rad, 0 at the zero mark.
    Raises SumError when the mark is below zero. Source: common practice, no source.
    """
    if mark < 0:
        raise SumError(f"a mark counts from zero upwards, not {mark!r}")
    scale = terms.scale(shows)
    if isinstance(scale, terms.ScaleOfAngle):
        return mark * (math.tau / scale.in_turn) / scale.half_angles
    return math.atan(mark / scale.of_ratio / 2)


def nearest_mark(value: float, division: float) -> float:
    """The mark of the scale nearest to the setting wanted.

    value, division: numbers as engraved, division positive; half way goes to the higher mark.
    Result: a whole number of divisions. Raises SumError when the division is not positive.
    Source: common practice, no source.
    """
    above_zero("the scale's division", division)
    return math.floor(value / division + 0.5) * division


def reachable_mark(shows: ScaleShows, half_angle: float, division: float, limit: float) -> float:
    """The mark nearest to a half angle among those that the swivel can be turned to.

    shows, division: the scale and its division as engraved; half_angle: rad, above 0; limit: rad, how far
    the swivel turns each way. Result: the number engraved at the mark, never one beyond the limit.
    Raises SumError when the division is not positive. Source: common practice, no source.
    """
    mark = nearest_mark(scale_value(shows, half_angle), division)
    if within_limit(half_angle_at_mark(shows, mark), limit):
        return mark
    return math.floor(scale_value(shows, limit) / division + _NOISE) * division


def left_over_angle(half_angle: float, half_angle_at_mark: float) -> float:
    """What the mark leaves over in angle: the half angle wanted less the half angle at the mark.

    half_angle, half_angle_at_mark: rad. Result: rad, positive when the mark stands too shallow.
    Source: common practice, no source.
    """
    return half_angle - half_angle_at_mark


def left_over_diameter(half_angle: float, half_angle_at_mark: float, length: float) -> float:
    """What the mark leaves over in diameter along the taper: (C − C at the mark) L, with C = 2 tan θ.

    half_angle, half_angle_at_mark: rad; length: mm along the axis. Result: mm on the diameter, positive
    when the mark stands too shallow. Source: common practice, no source.
    """
    return 2 * (math.tan(half_angle) - math.tan(half_angle_at_mark)) * length


def within_limit(half_angle: float, limit: float) -> bool:
    """Whether the swivel reaches this half angle at all.

    half_angle, limit: rad, limit counted from straight, each way. Result: True up to the limit itself, a
    millionth of a degree of arithmetic noise forgiven. Source: common practice, no source.
    """
    return half_angle <= limit + math.radians(1e-6)


def test_bar_rise(travel: float, half_angle: float) -> float:
    """What an indicator gains along a parallel bar between centres while the table travels: T tan θ.

    The indicator stands on the wheel head, square to the ways; the table is swivelled.
    travel: T, mm of table travel; half_angle: rad. Result: mm. Source: common practice, no source.
    """
    return travel * math.tan(half_angle)


def slip_height(kind: SwingType, radius: float, half_angle: float) -> float:
    """The swing of the table at a radius from its pivot, as slips or an indicator measure it.

    Sine: R sin θ; tangent: R tan θ; chord: 2 R sin(θ / 2).
    radius: R, mm, positive; half_angle: rad, positive. Result: mm. Raises SumError when the radius is not
    positive. Source: common practice, no source.
    """
    above_zero("radius", radius)
    match kind:
        case "sine":
            return radius * math.sin(half_angle)
        case "tangent":
            return radius * math.tan(half_angle)
        case "chord":
            return 2 * radius * math.sin(half_angle / 2)
        case _:
            assert_never(kind)


def half_angle_from_slips(kind: SwingType, radius: float, height: float) -> float:
    """The half angle the table stands at with this swing at a radius: the reverse of slip_height.

    radius: R, mm, positive; height: mm. Result: rad, sign of the height. Raises SumError when the radius
    is not positive or the height is beyond what can be swung. Source: common practice, no source.
    """
    above_zero("radius", radius)
    match kind:
        case "sine":
            return math.asin(height / radius)
        case "tangent":
            return math.atan(height / radius)
        case "chord":
            return 2 * math.asin(height / (2 * radius))
        case _:
            assert_never(kind)


def indicator_travel(kind: SwingType, radius: float, half_angle_from: float, half_angle_to: float) -> float:
    """What an indicator at the table's end shows while the table is turned from one half angle to another.

    The difference of the two swings of slip_height. radius: mm, positive; half angles: rad. Result: mm,
    positive towards more taper. Raises SumError when the radius is not positive.
    Source: common practice, no source.
    """
    return slip_height(kind, radius, half_angle_to) - slip_height(kind, radius, half_angle_from)


def screw_division_angle(
    kind: SwingType, radius: float, lead: float, divisions: int, half_angle: float
) -> float:
    """How far one division of the adjusting screw turns the table, standing at this half angle.

    Sine: p / (n R cos θ); tangent: p cos²θ / (n R); chord: p / (n R cos(θ / 2)).
    radius: R, mm; lead: p, mm a turn; divisions: n in a turn, all positive; half_angle: rad, where the
    table stands. Result: rad a division, for a small turn. Raises SumError when one is not positive.
    Source: common practice, no source.
    """
    above_zero("radius", radius)
    per_division = _advance(lead, divisions) / radius
    match kind:
        case "sine":
            return per_division / math.cos(half_angle)
        case "tangent":
            return per_division * math.cos(half_angle) ** 2
        case "chord":
            return per_division / math.cos(half_angle / 2)
        case _:
            assert_never(kind)


def screw_divisions_between(
    half_angle_from: float, half_angle_to: float, kind: SwingType, radius: float, lead: float, divisions: int
) -> float:
    """Divisions to turn the adjusting screw from one half angle to another: n (swing to − swing from) / p.

    half angles: rad; kind, radius: as for slip_height; lead: p, mm a turn; divisions: n in a turn. Result:
    divisions, exact, not rounded, positive towards more taper. Raises SumError when radius, lead or
    divisions are not positive. Source: common practice, no source.
    """
    return indicator_travel(kind, radius, half_angle_from, half_angle_to) / _advance(lead, divisions)


def half_angle_after_screw(
    half_angle_from: float, turned: float, kind: SwingType, radius: float, lead: float, divisions: int
) -> float:
    """Where the table stands after so many divisions of the screw: the reverse of screw_divisions_between.

    half_angle_from: rad; turned: divisions, positive towards more taper; the rest as there. Result: rad.
    Raises SumError as there, and when the screw would go beyond what can be swung.
    Source: common practice, no source.
    """
    height = slip_height(kind, radius, half_angle_from) + turned * _advance(lead, divisions)
    return half_angle_from_slips(kind, radius, height)


def _advance(lead: float, divisions: int) -> float:
    """What one division of the screw moves it along: lead over divisions, mm."""
    above_zero("the screw's lead", lead)
    above_zero("the screw's divisions in a turn", divisions)
    return lead / divisions
