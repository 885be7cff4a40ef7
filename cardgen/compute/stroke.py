"""The stroke: how far the table travels, and where the wheel's edges turn back."""

from dataclasses import dataclass
from math import cos

from cardgen.compute.sum_error import SumError


@dataclass(frozen=True)
class TableStroke:
    """Table travel and reversal places, all in mm along the ground surface."""

    slant: float
    overrun_open: float
    overrun_shoulder: float
    wheel_width: float
    travel: float
    plunge: bool
    reverse_at_shoulder: float | None
    reverse_at_open: float | None


def slant_length(length: float, half_angle: float) -> float:
    """Length of the taper along its surface, the way the wheel's edge runs over it.

    s = L / cos θ. Length L along the axis in mm (from the shoulder or mouth to the other end), half angle
    θ in radians; result in mm. Raises SumError for a length that is not positive.
    Source: plane geometry.
    """
    if length <= 0:
        raise SumError("the taper's length must be greater than nothing")
    return length / cos(half_angle)


def common_overrun(wheel_width: float) -> float:
    """Overrun that the trade allows at an open end: a third of the wheel's width.

    o = W / 3. Wheel width W in mm; result in mm. Source: common practice, from memory (1/4 to 1/2 of the
    width, never the whole of it, else the wheel drops off the end and the end is ground small).
    """
    return wheel_width / 3


def relief_overrun(relief: float, half_angle: float) -> float:
    """Overrun at the shoulder that lets the wheel's edge turn back in the middle of the relief groove.

    o₂ = − b / (2 cos θ). The taper's length runs from the shoulder itself, so the groove of width b lies
    inside it and an overrun above 0 would drive the wheel into the shoulder. Width b along the axis in mm,
    half angle in radians; result in mm, below 0. Raises SumError for a width that is not positive.
    Source: common practice.
    """
    if relief <= 0:
        raise SumError("a relief groove must be wider than nothing")
    return -relief / (2 * cos(half_angle))


def clearance_overrun(clearance: float, half_angle: float) -> float:
    """Overrun at a shoulder without relief, or at the bottom of a hole: short of it by the clearance.

    o₂ = − c / cos θ. Clearance c along the axis, square to the shoulder, in mm, half angle in radians; result
    in mm along the ground surface, below 0: the wheel cannot pass there, and no machine reverses to nothing.
    Raises SumError for a clearance that is not positive. Source: common practice.
    """
    if clearance <= 0:
        raise SumError("the wheel must keep clear of the shoulder")
    return -clearance / cos(half_angle)


def table_travel(slant: float, overrun_open: float, overrun_shoulder: float, wheel_width: float) -> float:
    """Travel of the table from one reversal to the other.

    T = s + o₁ + o₂ − W, for the wheel already covers its own width. Slant length s, overrun o₁ past the open
    end, o₂ past the other end (negative where something stands there), wheel width W, all in mm;
    result in mm. Not positive: the wheel covers the whole taper, which is then ground by plunge.
    Raises SumError where an overrun is as wide as the wheel. Source: plane geometry.
    """
    if max(overrun_open, overrun_shoulder) >= wheel_width:
        raise SumError("the overrun must be less than the wheel's width, or the wheel leaves the work")
    return slant + overrun_open + overrun_shoulder - wheel_width


def past_open_end(slant: float, overrun_shoulder: float, wheel_width: float) -> float:
    """How far a wheel that stands still, its one edge at the shoulder's end, reaches past the open end.

    W − o₂ − s. Slant length s, overrun o₂ at the shoulder's end (negative: short of it), wheel width W in mm
    along the ground surface; result in mm. Source: plane geometry.
    """
    return wheel_width - overrun_shoulder - slant


def set_stroke(
    length: float, half_angle: float, wheel_width: float, overrun_open: float, overrun_shoulder: float
) -> TableStroke:
    """The stroke as it is set on the machine: travel, and the two places where the table turns back.

    At the shoulder the wheel's shoulder-side edge turns back −o₂ before the shoulder (o₂ past an open end);
    at the other end its open-side edge turns back o₁ past the end; both along the ground surface. Lengths in
    mm, half angle in radians. By plunge there is nothing to turn back and both places are None.
    Raises as `slant_length` and `table_travel` do. Source: plane geometry.
    """
    slant = slant_length(length, half_angle)
    travel = table_travel(slant, overrun_open, overrun_shoulder, wheel_width)
    plunge = travel <= 0
    return TableStroke(
        slant=slant,
        overrun_open=overrun_open,
        overrun_shoulder=overrun_shoulder,
        wheel_width=wheel_width,
        travel=travel,
        plunge=plunge,
        reverse_at_shoulder=None if plunge else -overrun_shoulder,
        reverse_at_open=None if plunge else overrun_open,
    )
