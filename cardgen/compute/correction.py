"""When the taper is not right yet: which way to turn the swivel, how far, and what that does to the size.

The error of taper e is a difference of diameters over the length ℓ where gauge and work touch:
e = (C − C_actual) ℓ, positive when the work is too shallow. While it is not zero the gauge bears at one
end only, and its reading tells the diameter there; at the other end the work has less stock.

Places along the work are counted from the swivel's pivot, positive towards the taper's large end. The
pivot is taken to lie under the work's axis. With the cross-feed unmoved the distance h from the pivot to
the wheel's line stays, whatever the swivel does, and the wheel's line then stands for the diameter
D(u) = 2 (h / cos θ + u tan θ). Where that line has moved off the work nothing is ground until it is fed.
"""

import math
from dataclasses import dataclass

from cardgen.compute import reading, taper
from cardgen.compute.seat import Seat, contact_ends, finish_diameter
from cardgen.compute.sum_error import SumError, above_zero
from cardgen.terms import End, HeavyEnd, Meaning, OneEnd, ReadingKind, Side, Turn


@dataclass(frozen=True)
class Pattern:
    """One pattern of blue or light: where it bears, where light shows, what it means, which way to turn."""

    heavy_end: HeavyEnd
    light_end: End
    meaning: Meaning
    turn: Turn


@dataclass(frozen=True)
class LeastStock:
    """The least stock the reading must show before the turn, and the end that goes under with less."""

    stock: float  # mm on the diameter
    under_end: End  # 'none' where any stock will do


@dataclass(frozen=True)
class Correction:
    """One correction of the swivel, from the error found to what it does to size and reading."""

    error: float  # mm on the diameter over the contact length, positive: too shallow
    turn: Turn
    heavy_end: HeavyEnd
    half_angle_before: float  # rad
    half_angle_after: float  # rad
    angle_change: float  # rad, positive: more taper
    ratio_change: float  # diameter per length, positive: more taper
    size_shift: float  # mm, of the diameter the wheel's line stands for in the gauge-line plane
    stock_shift: float  # mm, stock after less the stock the reading told of
    reading_shift: float  # mm, reading with even bearing less reading while one end bears
    least_stock: float  # mm on the diameter
    under_end: End


def error_from_light_gap(gap: float, half_angle: float) -> float:
    """The error of taper from the light seen at the far end of the contact: e = 2 w / cos θ.

    gap: w, mm on each side, square to the gauge's surface; half_angle: rad, of the gauge. Result: mm on the
    diameter, no sign: signed_error gives it one. Source: common practice, no source.
    """
    return 2 * gap / math.cos(half_angle)


def error_from_blue(film: float, marked_fraction: float) -> float:
    """An estimate of the error of taper from how far along the blue has marked: e ≈ 2 f / q.

    film: f, mm, thickness of the blue (calibrated by the shop); marked_fraction: q, of the contact length
    from the bearing end, above 0 up to 1; at 1 the error is below this. Result: mm on the diameter, no
    sign. Raises SumError when q is outside. Source: common practice, no source.
    """
    if not 0 < marked_fraction <= 1:
        raise SumError(f"marked fraction must lie above 0 and not above 1, not {marked_fraction!r}")
    return 2 * film / marked_fraction


def actual_ratio(ratio: float, error: float, length: float) -> float:
    """The taper ratio the work has now: C_actual = C − e / ℓ.

    ratio: C wanted; error: e, mm, positive when too shallow; length: ℓ, mm, positive. Result: diameter per
    length. Raises SumError when the length is not positive, or the work would be no taper at all.
    Source: common practice, no source.
    """
    above_zero("contact length", length)
    actual = ratio - error / length
    if not actual > 0:
        raise SumError(f"an error of {error!r} over {length!r} leaves no taper of {ratio!r}")
    return actual


def angle_change(ratio: float, error: float, length: float) -> float:
    """How far the swivel has to be turned: Δθ = atan(C / 2) − atan(C_actual / 2).

    ratio: C wanted; error: e, mm, positive when too shallow; length: ℓ, mm. Result: rad, positive towards
    more taper. Raises SumError as actual_ratio. Source: common practice, no source.
    """
    now = taper.half_angle_from_ratio(actual_ratio(ratio, error, length))
    return taper.half_angle_from_ratio(ratio) - now


def turn_towards(error: float) -> Turn:
    """Which way to turn: towards more taper when the work is too shallow (e > 0), less when too steep.

    error: mm on the diameter. Result: 'more', 'less', or 'none' at zero. Source: common practice, no source.
    """
    if error == 0:
        return "none"
    return "more" if error > 0 else "less"


def heavy_end(side: Side, error: float) -> HeavyEnd:
    """The end at which the gauge bears: of external work too shallow the small end, of internal the large.

    side: of the work; error: mm, positive when too shallow. Result: 'large', 'small', or 'both' at zero.
    Source: common practice, no source.
    """
    if error == 0:
        return "both"
    return "small" if (side == "external") == (error > 0) else "large"


def signed_error(side: Side, heavy: OneEnd, size: float) -> float:
    """An error of known size given its sign by the end that bears: positive when the work is too shallow.

    side: of the work; heavy: the end that bears (light shows at the other); size: mm, ≥ 0. Result: mm.
    Source: common practice, no source.
    """
    return size if heavy_end(side, 1.0) == heavy else -size


def pattern(side: Side, heavy: HeavyEnd) -> Pattern:
    """What a pattern of blue or light means and which way to turn for it.

    side: of the work; heavy: where the blue comes off or the light is shut out. Result: a Pattern.
    Source: common practice, no source.
    """
    if heavy == "both":
        return Pattern("both", "none", "right", "none")
    error = signed_error(side, heavy, 1.0)
    light: End = "large" if heavy == "small" else "small"
    return Pattern(heavy, light, "too shallow" if error > 0 else "too steep", turn_towards(error))


def diameter_after_turn(
    diameter: float, from_pivot: float, half_angle_before: float, half_angle_after: float
) -> float:
    """What the wheel's line stands for in a plane after a turn of the swivel, the cross-feed unmoved.

    h = (D_before / 2 − u tan θ_before) cos θ_before;  D_after = 2 (h / cos θ_after + u tan θ_after).
    diameter: D_before, mm, in a plane at from_pivot: u, mm, positive towards the large end; half angles:
    rad. Result: mm. Source: geometry: turning about the pivot keeps its distance from the wheel's line.
    """
    from_line = (diameter / 2 - from_pivot * math.tan(half_angle_before)) * math.cos(half_angle_before)
    return 2 * (from_line / math.cos(half_angle_after) + from_pivot * math.tan(half_angle_after))


def size_shift(
    diameter: float, from_pivot: float, half_angle_before: float, half_angle_after: float
) -> float:
    """How much a turn of the swivel changes the diameter in a plane: D_after − D_before.

    Arguments as for diameter_after_turn. Result: mm, positive where the diameter grows (metal comes off
    internal work, the wheel leaves external work). Source: geometry, as there.
    """
    return diameter_after_turn(diameter, from_pivot, half_angle_before, half_angle_after) - diameter


def bearing_plane(seat: Seat, actual: float, stock: float) -> float:
    """Where the gauge bears while the taper is wrong: the heavy end of the contact, mm from the pivot.

    actual: C_actual, of the work as it is; stock: mm on the diameter, as the reading tells it. Result: mm.
    Raises SumError as contact_ends. Source: common practice (table of the blue), geometry.
    """
    large, small = contact_ends(seat, stock)
    return small if heavy_end(seat.side, seat.ratio - actual) == "small" else large


def shortfall(seat: Seat, actual: float, stock: float) -> float:
    """How much less stock the light end has than the reading says: |C − C_actual| × its distance.

    The distance runs from where the gauge bears to the end of the ground taper, which may lie beyond the
    contact. actual: C_actual; stock: mm on the diameter, as the reading tells it. Result: mm on the
    diameter, ≥ 0. Raises SumError as contact_ends. Source: geometry.
    """
    return _short_where_it_bears(seat, actual, bearing_plane(seat, actual, stock))


def _short_where_it_bears(seat: Seat, actual: float, bears: float) -> float:
    light = seat.large_end if heavy_end(seat.side, seat.ratio - actual) == "small" else seat.small_end
    return abs(seat.ratio - actual) * abs(light - bears)


def diameter_while_bearing(seat: Seat, actual: float, stock: float, from_pivot: float) -> float:
    """The work's diameter in a plane while its taper is wrong and the gauge bears at one end only.

    In the bearing plane it is the finish diameter plus the stock (internal: less the stock); from there it
    goes by the taper that the work really has. actual: C_actual; stock: mm, as the reading tells it;
    from_pivot: u, mm. Result: mm. Raises SumError as contact_ends. Source: geometry.
    """
    bears = bearing_plane(seat, actual, stock)
    metal = stock if seat.side == "external" else -stock
    return finish_diameter(seat, bears) + metal + actual * (from_pivot - bears)


def stock_shift(seat: Seat, actual: float, stock: float) -> float:
    """What a turn to the right taper does to the stock: what the wheel's line stands for less what was read.

    The reading told the diameter in the bearing plane, so it is the size shift in that plane, turned into
    stock by the side of the work. actual: C_actual; stock: mm, as the reading tells it. Result: mm on the
    diameter, negative where metal comes off. Raises SumError as contact_ends. Source: geometry.
    """
    bears = bearing_plane(seat, actual, stock)
    shift = size_shift(
        diameter_while_bearing(seat, actual, stock, bears),
        bears,
        taper.half_angle_from_ratio(actual),
        taper.half_angle_from_ratio(seat.ratio),
    )
    return shift if seat.side == "external" else -shift


def reading_shift(seat: Seat, actual: float, stock: float, per_reading: float) -> float:
    """How the reading changes when the taper is put right and ground with the cross-feed unmoved: ΔS / k.

    New reading, with even bearing, less the old one, taken while one end bears.
    actual: C_actual; stock: mm, as the old reading tells it; per_reading: k. Result: mm.
    Raises SumError as contact_ends. Source: geometry.
    """
    return stock_shift(seat, actual, stock) / per_reading


def least_stock(seat: Seat, actual: float) -> LeastStock:
    """The least stock the reading must show so that putting the taper right leaves no end under size.

    The greater of two: the shortfall of the light end, which is there already; and what the wheel's line
    goes in by at the bearing end when the swivel is turned with the cross-feed unmoved, that is the size
    shift of turning a finished piece back. As the gauge lies a little elsewhere with more stock on, the sum
    is repeated until it stands still.
    actual: C_actual. Result: a LeastStock. Raises SumError as contact_ends, or when the error is so
    great that no stock settles it. Source: geometry.
    """
    right, wrong = taper.half_angle_from_ratio(seat.ratio), taper.half_angle_from_ratio(actual)
    heavy = heavy_end(seat.side, seat.ratio - actual)
    light: End = "large" if heavy == "small" else "small"
    if heavy == "both":
        return LeastStock(0.0, "none")
    stock = 0.0
    for _ in range(100):
        bears = bearing_plane(seat, actual, stock)
        back = size_shift(finish_diameter(seat, bears), bears, right, wrong)
        goes_in = back if seat.side == "external" else -back
        short = _short_where_it_bears(seat, actual, bears)
        needed = max(goes_in, short)
        if abs(needed - stock) <= 1e-11:
            return LeastStock(needed, heavy if goes_in > short else light)
        stock = needed
    raise SumError(f"a taper of {actual!r} is too far from {seat.ratio!r} to be put right from a reading")


def correct(
    kind: ReadingKind,
    seat: Seat,
    error: float,
    length: float,
    gauge_line_from_pivot: float,
    stock: float,
) -> Correction:
    """Everything about one correction of the swivel: direction, angle, shifts, least stock.

    kind: of the reading; error: e, mm over length: ℓ, mm, positive when too shallow; gauge_line_from_pivot:
    mm, the plane the size shift is wanted in; stock: mm on the diameter, as the reading tells it before the
    turn. Result: a Correction. Raises SumError as the functions it calls. Source: those functions.
    """
    actual = actual_ratio(seat.ratio, error, length)
    before, after = taper.half_angle_from_ratio(actual), taper.half_angle_from_ratio(seat.ratio)
    at_gauge_line = diameter_while_bearing(seat, actual, stock, gauge_line_from_pivot)
    per_reading = reading.stock_per_reading(kind, seat.ratio)
    least = least_stock(seat, actual)
    return Correction(
        error=error,
        turn=turn_towards(error),
        heavy_end=heavy_end(seat.side, error),
        half_angle_before=before,
        half_angle_after=after,
        angle_change=angle_change(seat.ratio, error, length),
        ratio_change=seat.ratio - actual,
        size_shift=size_shift(at_gauge_line, gauge_line_from_pivot, before, after),
        stock_shift=stock_shift(seat, actual, stock),
        reading_shift=reading_shift(seat, actual, stock, per_reading),
        least_stock=least.stock,
        under_end=least.under_end,
    )
