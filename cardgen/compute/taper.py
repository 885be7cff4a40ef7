"""The taper itself: its ratio, its angles, its diameters along the axis.

C is the taper ratio: change of diameter for each unit of length along the axis (ISO 3040 writes it
1:x, with x = 1/C). The half angle is the angle between the surface and the axis, tan θ = C/2.
Distances along the axis are counted from the large end towards the small end.
"""

import math

from cardgen.compute.sum_error import SumError, above_zero


def _half_angle(value: float) -> None:
    if not 0 < value < math.pi / 2:
        raise SumError(f"half angle must lie between 0 and 90 degrees, not {math.degrees(value)!r} degrees")


def ratio_from_half_angle(half_angle: float) -> float:
    """The taper ratio of a cone of this half angle: C = 2 tan θ.

    half_angle: rad, between 0 and π/2. Result: diameter per length, positive.
    Raises SumError outside that range. Source: ISO 3040 (cone taper).
    """
    _half_angle(half_angle)
    return 2 * math.tan(half_angle)


def half_angle_from_ratio(ratio: float) -> float:
    """The half angle of a taper, which is what a swivel must be set to: θ = atan(C / 2).

    ratio: diameter per length, positive. Result: rad.
    Raises SumError when the ratio is not positive. Source: ISO 3040 (setting angle).
    """
    above_zero("taper ratio", ratio)
    return math.atan(ratio / 2)


def included_angle(half_angle: float) -> float:
    """The angle between the two sides of the taper: 2 θ.

    half_angle: rad. Result: rad. Raises SumError outside 0 … π/2. Source: ISO 3040 (cone angle α).
    """
    _half_angle(half_angle)
    return 2 * half_angle


def half_angle_from_included(included: float) -> float:
    """Half of the angle between the two sides: θ = α / 2.

    included: rad, between 0 and π. Result: rad. Raises SumError outside. Source: ISO 3040.
    """
    _half_angle(included / 2)
    return included / 2


def ratio_change_per_angle(half_angle: float) -> float:
    """How the taper ratio goes with the half angle, for a small change of it: dC/dθ = 2 / cos² θ.

    half_angle: θ, rad. Result: diameter per length for a radian. Source: the derivative of C = 2 tan θ.
    """
    return 2 / math.cos(half_angle) ** 2


def half_angle_change(half_angle: float, diameter: float, length: float) -> float:
    """What a greater difference of diameters over a length does to the half angle: atan(tan θ + Δ / 2L) − θ.

    half_angle: θ, rad; diameter: Δ, mm; length: L, mm along the axis, positive. Result: rad, positive when
    steeper. Source: plane geometry.
    """
    return math.atan(math.tan(half_angle) + diameter / length / 2) - half_angle


def ratio_from_per_foot(per_foot: float) -> float:
    """The taper ratio from the taper per foot: C = (in/ft) / 12.

    per_foot: inches on the diameter in one foot of length, positive. Result: diameter per length.
    Raises SumError when it is not positive. Source: common practice (definition).
    """
    above_zero("taper per foot", per_foot)
    return per_foot / 12


def per_foot_from_ratio(ratio: float) -> float:
    """Taper per foot, inches on the diameter in one foot of length: 12 C.

    ratio: diameter per length; a difference of two ratios may be negative. Result: in/ft, same sign.
    Source: common practice (definition).
    """
    return 12 * ratio


def ratio_from_one_in(length: float) -> float:
    """The taper ratio of a taper called out as 1:x (one in x): C = 1 / x.

    length: x, positive. Result: diameter per length. Raises SumError when x is not positive.
    Source: ISO 3040.
    """
    above_zero("x of 1:x", length)
    return 1 / length


def one_in_from_ratio(ratio: float) -> float:
    """The x of 1:x: the length in which the diameter changes by one: x = 1 / C.

    ratio: diameter per length, positive. Result: x. Raises SumError when it is not positive.
    Source: ISO 3040.
    """
    above_zero("taper ratio", ratio)
    return 1 / ratio


def per_cent_from_ratio(ratio: float) -> float:
    """The taper in per cent of the length, on the diameter: 100 C.

    ratio: diameter per length; a difference may be negative. Result: per cent, same sign.
    Source: common practice (definition).
    """
    return 100 * ratio


def mm_per_m_from_ratio(ratio: float) -> float:
    """The taper in millimetres on the diameter in a metre of length: 1000 C.

    ratio: diameter per length; a difference may be negative. Result: mm/m, same sign.
    Source: common practice (definition).
    """
    return 1000 * ratio


def ratio_from_ends(large: float, small: float, length: float) -> float:
    """The taper ratio from two diameters and the length between them: C = (D − d) / L.

    large, small: mm, large above small; length: mm along the axis, positive. Result: diameter per length.
    Raises SumError when the length is not positive or large is not above small. Source: ISO 3040.
    """
    above_zero("length", length)
    above_zero("large diameter less small diameter", large - small)
    return (large - small) / length


def diameter_at(large_diameter: float, ratio: float, distance: float) -> float:
    """The diameter at a distance along the axis, towards the small end: D − C z.

    large_diameter: mm, in the plane counted from; ratio: diameter per length; distance: mm, positive
    towards the small end, negative towards the large. Result: mm; not positive beyond the point where
    the taper vanishes. Source: ISO 3040 (definition of the cone taper).
    """
    return large_diameter - ratio * distance


def distance_between(large_diameter: float, small_diameter: float, ratio: float) -> float:
    """How far the small diameter lies from the large one along the axis: (D − d) / C.

    large_diameter, small_diameter: mm; ratio: diameter per length, positive. Result: mm, negative when
    the second diameter is the larger. Raises SumError when the ratio is not positive.
    Source: ISO 3040 (definition of the cone taper).
    """
    above_zero("taper ratio", ratio)
    return (large_diameter - small_diameter) / ratio


def far_end_disagreement(ratio_a: float, ratio_b: float, length: float) -> float:
    """How far two callouts of one taper part at the far end of its length: (C_a − C_b) L.

    ratio_a, ratio_b: diameter per length; length: mm. Result: mm on the diameter, positive when the
    first is the steeper. Source: common practice, no source.
    """
    return (ratio_a - ratio_b) * length
