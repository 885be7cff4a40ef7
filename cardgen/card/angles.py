"""Callouts and angle tolerances in one form each: a taper ratio, and how far the half angle may lie off."""

from dataclasses import dataclass

from cardgen.compute import taper
from cardgen.spec.callout import AngleTolerance, Callout
from cardgen.tapers import angle_grade


@dataclass(frozen=True)
class Ratio:
    """A taper ratio and what the rounding of the figure it was called out with leaves open."""

    value: float
    half_digit: float


@dataclass(frozen=True)
class AngleLimit:
    """How far the half angle may lie off, each way, and where that comes from."""

    half_angle: float  # rad
    text: str
    source: str | None


def ratio_of(callout: Callout) -> Ratio:
    """The taper ratio of a callout, whichever form it has, with its rounding."""
    if callout.ratio is not None:
        return Ratio(callout.ratio.value, callout.ratio.half_digit)
    figure = callout.included_angle or callout.half_angle
    if figure is None:
        raise ValueError(f"the callout {callout.text!r} has no figure")
    share = 0.5 if callout.included_angle else 1.0
    half_angle = figure.value * share
    per_angle = taper.ratio_change_per_angle(half_angle)
    return Ratio(taper.ratio_from_half_angle(half_angle), per_angle * figure.half_digit * share)


def angle_limit(given: AngleTolerance, half_angle: float, length: float) -> AngleLimit:
    """How far the half angle may lie off, each way, by a grade, an angle or a difference of diameters."""
    if given.grade is not None:
        grade = angle_grade(given.grade, length)
        return AngleLimit(grade.at_alpha_rad / 4, given.text, grade.source)
    if given.included_angle_rad is not None:
        return AngleLimit(given.included_angle_rad / 2, given.text, None)
    if given.half_angle_rad is not None:
        return AngleLimit(given.half_angle_rad, given.text, None)
    over = given.over_mm or length
    return AngleLimit(taper.half_angle_change(half_angle, given.diameter_mm or 0.0, over), given.text, None)
