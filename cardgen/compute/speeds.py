"""Speeds, feeds, dressing and time: what to set on the machine's own steps, and how long it takes."""

from collections.abc import Sequence
from math import ceil, cos, floor, pi, sqrt

from cardgen.compute.sum_error import SumError

_NOISE = 1e-9  # floats: 0.30 / 0.02 is 15 passes, not 16

DRESSING_INFEED_LIMIT = 0.025  # mm a pass (0.001 in): common practice, no source


def surface_speed_m_s(diameter: float, rpm: float) -> float:
    """Surface speed of a wheel.

    v = π d n. Diameter d in mm, revolutions a minute n; result in m/s. Source: definition.
    """
    return pi * diameter * rpm / 60_000


def surface_speed_m_min(diameter: float, rpm: float) -> float:
    """Surface speed of the work.

    v_w = π d n. Diameter d in mm, revolutions a minute n; result in m/min. Source: definition.
    """
    return pi * diameter * rpm / 1000


def rpm_for_work_speed(speed_m_min: float, diameter: float) -> float:
    """Revolutions of the work that give a wanted surface speed.

    n_w = v_w / (π d). Speed v_w in m/min, diameter d in mm; result in rev/min.
    Raises SumError for a diameter that is not positive. Source: definition.
    """
    if diameter <= 0:
        raise SumError("the diameter must be greater than nothing")
    return speed_m_min * 1000 / (pi * diameter)


def highest_wheel_rpm(maximum_m_s: float, diameter: float) -> float:
    """Highest speed at which a wheel of this diameter stays within its marking.

    n = v_max / (π d). Marked maximum operating speed in m/s, diameter in mm; result in rev/min.
    Raises SumError for a diameter that is not positive. Source: definition; the duty to keep within the
    marking: 29 CFR 1910.215(d)(1).
    """
    return rpm_for_work_speed(maximum_m_s * 60, diameter)


def highest_whole_wheel_rpm(maximum_m_s: float, diameter: float) -> int:
    """Highest whole number of revolutions at which a wheel stays within its marking: rounded down.

    floor(v_max / (π d)). Arguments and errors as for `highest_wheel_rpm`; result in rev/min, never above it.
    Source: 29 CFR 1910.215(d)(1).
    """
    return floor(highest_wheel_rpm(maximum_m_s, diameter) * (1 + _NOISE))


def nearest_step(wanted: float, steps: Sequence[float]) -> float:
    """The machine's own step nearest to a wanted speed; of two equally near, the slower.

    Any unit. Raises SumError where the machine has no steps. Source: common practice, no source.
    """
    if not steps:
        raise SumError("the machine has no steps to choose from")
    return min(steps, key=lambda step: (abs(step - wanted), step))


def nearest_in_range(wanted: float, low: float, high: float) -> float:
    """The rate nearest to a wanted one on a drive that is set without steps.

    Any unit. Raises SumError where low lies above high. Source: plain sense.
    """
    if low > high:
        raise SumError("the range's low end lies above its high end")
    return min(max(wanted, low), high)


def steps_within_marking(
    steps: Sequence[float], new_diameter: float, maximum_m_s: float
) -> tuple[float, ...]:
    """The machine's wheel speeds that keep even the new wheel within its marking; none: it is not mounted.

    Steps in rev/min, diameter of the new wheel in mm, marked maximum in m/s; result in rev/min, in their
    order. Source: 29 CFR 1910.215(d)(1).
    """
    return tuple(step for step in steps if within_marking(new_diameter, step, maximum_m_s))


def within_marking(diameter: float, rpm: float, maximum_m_s: float) -> bool:
    """Whether a wheel runs at or below the maximum operating speed marked on it.

    π d n ≤ v_max. Diameter in mm, rev/min, m/s. Source: 29 CFR 1910.215(d)(1).
    """
    return surface_speed_m_s(diameter, rpm) <= maximum_m_s * (1 + _NOISE)


def traverse_rate(fraction_of_width: float, wheel_width: float, work_rpm: float) -> float:
    """Table traverse that moves the wheel by a fraction of its width at each turn of the work.

    f = (fraction) W n_w. Wheel width W in mm, work speed in rev/min; result in mm/min.
    Source: definition (the fraction is of the width for each WORK revolution).
    """
    return fraction_of_width * wheel_width * work_rpm


def traverse_fraction(traverse: float, wheel_width: float, work_rpm: float) -> float:
    """The fraction of its width that the wheel really moves at each turn of the work.

    f / (W n_w). Traverse in mm/min, width in mm, rev/min; result a plain fraction.
    Raises SumError for a width or work speed that is not positive. Source: definition.
    """
    if wheel_width <= 0 or work_rpm <= 0:
        raise SumError("the wheel's width and the work speed must be greater than nothing")
    return traverse / (wheel_width * work_rpm)


def passes(stock: float, infeed_per_pass: float) -> int:
    """How many passes take the stock off.

    N = ceil(S / i). Stock and infeed both in mm on the diameter; no stock needs no pass.
    Raises SumError for an infeed that is not positive. Source: definition.
    """
    if infeed_per_pass <= 0:
        raise SumError("the infeed must be greater than nothing")
    return max(0, ceil(stock / infeed_per_pass * (1 - _NOISE)))


def traverse_pass_time(travel: float, traverse: float, dwell: float) -> float:
    """Time of one pass of the table, from reversal to reversal, with the dwell at its end.

    t = T / f + dwell. Travel T in mm, traverse f in mm/min, dwell in s; result in s.
    Raises SumError for a traverse that is not positive. Source: definition.
    """
    if traverse <= 0:
        raise SumError("the traverse must be greater than nothing")
    return travel / traverse * 60 + dwell


def plunge_pass_time(work_rpm: float, turns: float, dwell: float) -> float:
    """Time of one step of infeed by plunge: so many turns of the work under the wheel, then the dwell.

    t = turns / n_w + dwell. Work speed in rev/min, dwell in s; result in s.
    Raises SumError for a work speed that is not positive. Source: definition.
    """
    if work_rpm <= 0:
        raise SumError("the work speed must be greater than nothing")
    return turns / work_rpm * 60 + dwell


def phase_time(infeed_passes: int, spark_out_passes: int, pass_time: float) -> float:
    """Time under the wheel for roughing or finishing: the passes with infeed and those that spark out.

    t = (N + N₀) t_pass. Time of a pass in s; result in s. Source: definition.
    """
    return (infeed_passes + spark_out_passes) * pass_time


def piece_time(rough: float, finish: float, gauging: float, dressing: float) -> float:
    """Time of one piece: roughing, finishing, gauging, and its share of dressing. All in s.

    Source: sum of its parts.
    """
    return rough + finish + gauging + dressing


def batch_time(pieces: int, piece: float) -> float:
    """Time of the whole batch, set-up not counted: n × the time of a piece, in s.

    Raises SumError for a negative number of pieces. Source: definition.
    """
    if pieces < 0:
        raise SumError("a batch cannot have fewer than no pieces")
    return pieces * piece


def dressing_traverse(effective_width: float, overlap: float, wheel_rpm: float) -> float:
    """Traverse of the diamond across the wheel for a wanted overlap of its cuts.

    f_d = (b_d / U_d) n_s: in one turn of the wheel the diamond moves on by its effective width b_d over the
    overlap U_d. Width in mm, wheel speed in rev/min; result in mm/min. A high overlap leaves a fine wheel.
    Raises SumError for an overlap that is not positive. Source: definition of the overlap ratio.
    """
    if overlap <= 0:
        raise SumError("the overlap must be greater than nothing")
    return effective_width / overlap * wheel_rpm


def dressing_overlap(effective_width: float, traverse: float, wheel_rpm: float) -> float:
    """Overlap that a given dressing traverse leaves.

    U_d = b_d n_s / f_d. Width in mm, traverse in mm/min, wheel speed in rev/min; result a plain number.
    Below 1 the diamond cuts a thread into the wheel. Raises SumError for a traverse that is not positive.
    Source: definition of the overlap ratio.
    """
    if traverse <= 0:
        raise SumError("the traverse must be greater than nothing")
    return effective_width * wheel_rpm / traverse


def dressing_infeed(wanted: float) -> float:
    """Infeed of the diamond for a pass, held at what the trade allows.

    min(wanted, 0.025 mm): not above 0.001 in a pass. In mm; raises SumError for a negative infeed.
    Source: common practice, no source (also printed for truing: Groover, abrasive processes).
    """
    if wanted < 0:
        raise SumError("an infeed cannot be negative")
    return min(wanted, DRESSING_INFEED_LIMIT)


def dressing_time(wheel_width: float, overrun: float, traverse: float, dressing_passes: int) -> float:
    """Time of dressing: so many passes of the diamond across the wheel and clear of it at both sides.

    t = N (W + 2 o) / f_d. Width and overrun in mm, traverse in mm/min; result in s.
    Raises SumError for a traverse that is not positive. Source: definition.
    """
    return dressing_passes * traverse_pass_time(wheel_width + 2 * overrun, traverse, 0.0)


def metal_removed_outside(large: float, small: float, length: float, stock: float) -> float:
    """Metal ground off the outside of a taper: the shell between the blank's cone and the finished one.

    V = π L S (D + d + S) / 4, exactly the difference of the two frusta. Finished diameters D and d, length L
    along the axis, stock S on the diameter, all in mm; result in mm³.
    Raises SumError for a negative stock. Source: volume of a frustum, π L (D² + D d + d²) / 12.
    """
    if stock < 0:
        raise SumError("there is no stock to take off")
    return pi * length * stock * (large + small + stock) / 4


def metal_removed_inside(large: float, small: float, length: float, stock: float) -> float:
    """Metal ground out of a tapered hole: the shell between the finished hole and the smaller one before.

    V = π L S (D + d − S) / 4. Finished diameters D and d, length L along the axis, stock S on the diameter,
    all in mm; result in mm³. Raises SumError for a negative stock or one above the small diameter.
    Source: volume of a frustum, π L (D² + D d + d²) / 12.
    """
    if not 0 <= stock <= small:
        raise SumError("the stock must lie between nothing and the small diameter")
    return pi * length * stock * (large + small - stock) / 4


def wheel_wear(removed: float, g_ratio: float, wheel_diameter: float, wheel_width: float) -> float:
    """How much smaller the wheel is on its diameter after grinding off so much metal.

    The wheel loses V / G, reckoned as spread evenly over its width (an estimate: at the leading edge it loses
    more, between the edges less): δ = d − √(d² − 4 V / (π G W)). Metal V in mm³, grinding
    ratio G, wheel diameter d and width W in mm; result in mm on the wheel's diameter.
    Raises SumError for a G or width that is not positive, or a wheel ground away.
    Source: definition of the grinding ratio (volume of metal over volume of wheel).
    """
    if g_ratio <= 0 or wheel_width <= 0:
        raise SumError("the grinding ratio and the wheel's width must be greater than nothing")
    left = wheel_diameter**2 - 4 * removed / (pi * g_ratio * wheel_width)
    if left <= 0:
        raise SumError("the wheel would be ground away")
    return wheel_diameter - sqrt(left)


def growth_from_wear(wear_on_diameter: float, half_angle: float) -> float:
    """How much the work's diameter grows, on an unmoved stop, by the wheel's wear (a hole: how much less).

    ΔD = δ / cos θ: the wheel draws back δ/2 square to the surface. Wear δ in mm on the wheel's diameter, half
    angle in radians; result in mm on the work's diameter. Source: plane geometry.
    """
    return wear_on_diameter / cos(half_angle)


def pieces_within_growth(allowed_growth: float, growth_per_piece: float) -> int | None:
    """How many pieces the wheel grinds until its wear has let them grow so much.

    n = floor(allowed / per piece), never one too many; None where the wheel does not wear. Both in mm on the
    work's diameter. Raises SumError for a negative figure. Source: common practice, no source.
    """
    if allowed_growth < 0 or growth_per_piece < 0:
        raise SumError("wear and allowance cannot be negative")
    if growth_per_piece == 0:
        return None
    return floor(allowed_growth / growth_per_piece * (1 + _NOISE))
