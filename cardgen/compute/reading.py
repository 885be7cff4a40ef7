"""A gauge's reading along the axis, and the stock on the diameter that it tells of.

S = k (g − g_f): S the stock left on the diameter, g the reading, g_f the reading of a finished piece,
k the stock for one millimetre of reading. The gauge moves as metal comes off, so k has a sign:

    shoulder_gap        external, ring's large face to the shoulder             k = +C   gap too large
    small_end_standout  external, small end beyond the ring's small face        k = −C   standout too small
    plug_standoff       internal, plug's gauge line outside the mouth           k = +C   standoff too large
    collar_gap          internal, plug's collar off the mouth                   k = +C   gap too large
    plug_depth          internal, plug's end beyond a plane, inwards            k = −C   depth too small

Planes are counted from the shoulder or the mouth towards the small end. Stock is positive while metal
is left on: external work is then above size, internal work below.
"""

import math
from typing import assert_never

from cardgen import terms
from cardgen.compute.sum_error import SumError, above_zero
from cardgen.terms import ReadingKind, Side

# A count of divisions this near to a whole number is that number: arithmetic noise is a thousand times
# less, and no hand or eye tells a ten-millionth of a division.
NOISE = 1e-7


def whole_up(count: float) -> int:
    """The next whole number of divisions upwards, arithmetic noise forgiven.

    count: divisions, either sign. Result: the least whole number not below count (less NOISE).
    Source: common practice, no source.
    """
    return math.ceil(count - NOISE)


def whole_down(count: float) -> int:
    """The next whole number of divisions downwards, arithmetic noise forgiven.

    count: divisions, either sign. Result: the greatest whole number not above count (plus NOISE).
    Source: common practice, no source.
    """
    return math.floor(count + NOISE)


def reading_from_gauge_line(
    kind: ReadingKind,
    line_from_face: float,
    length: float,
    gauge_length: float,
    plane: float,
    collar: float,
) -> float:
    """What is read while the gauge's own line (a ring's large face) lies in this plane of the work.

    shoulder_gap z; small_end_standout L − l_g − z; plug_standoff −z; collar_gap c − z; plug_depth l_g + z −
    plane. The collar, or the shoulder of the handle, is the face of a plug that a hand can reach while the
    line lies inside the hole.
    line_from_face: z, mm from the shoulder or the mouth towards the small end; on a finished piece it is
    taper.distance_between(D₀, D_g, C), so that a ring that is small reads long; length: L, mm; gauge_length:
    l_g, mm, between the ring's faces or from the plug's line to its end; plane: mm, from the mouth into the
    hole; collar: c, mm, from the plug's line out. Result: mm; a standout is negative when the end lies below
    the ring's small face, a standoff when the line lies inside the hole; a depth is positive beyond the
    plane. Source: common practice, no source.
    """
    match kind:
        case "shoulder_gap":
            return line_from_face
        case "small_end_standout":
            return length - gauge_length - line_from_face
        case "plug_standoff":
            return -line_from_face
        case "collar_gap":
            return collar - line_from_face
        case "plug_depth":
            return gauge_length + line_from_face - plane
        case _:
            assert_never(kind)


def gauge_line_from_face(
    kind: ReadingKind, shown: float, length: float, gauge_length: float, plane: float, collar: float
) -> float:
    """Where the gauge's own line lies while this is read: the reverse of reading_from_gauge_line.

    z = ± (g − g₀): g₀ is read with the line in the plane of the face, and what grows with the diameter of
    the work grows as the line moves to the small end. shown: g, mm; the rest as there. Result: z, mm.
    Source: common practice, no source.
    """
    at_face = reading_from_gauge_line(kind, 0.0, length, gauge_length, plane, collar)
    return shown - at_face if terms.reading(kind).grows_with_diameter else at_face - shown


def stock_per_reading(kind: ReadingKind, ratio: float) -> float:
    """Stock on the diameter for one millimetre of reading: k = +C or −C, by the kind of reading.

    ratio: C, positive. Result: mm on the diameter per mm, positive where the reading is too large while
    stock is left. Raises SumError when the ratio is not positive. Source: common practice, no source.
    """
    above_zero("taper ratio", ratio)
    return ratio if terms.reading(kind).grows_with_stock else -ratio


def stock_from_reading(reading: float, finish_reading: float, per_reading: float) -> float:
    """The stock left on the diameter when the gauge shows this reading: S = k (g − g_f).

    reading: g, mm; finish_reading: g_f, mm; per_reading: k, from stock_per_reading. Result: mm on the
    diameter, negative when the piece is under size. Source: common practice, no source.
    """
    return per_reading * (reading - finish_reading)


def reading_from_stock(stock: float, finish_reading: float, per_reading: float) -> float:
    """What the gauge shows while this stock is left on the diameter: g = g_f + S / k.

    stock: S, mm on the diameter; finish_reading: g_f, mm; per_reading: k. Result: mm.
    Source: common practice, no source.
    """
    return finish_reading + stock / per_reading


def stock_limits(side: Side, minus: float, plus: float) -> tuple[float, float]:
    """A size tolerance told as stock: the least and the most that a good piece may still have on.

    External work has most stock on at its upper limit of size, internal work at its lower.
    minus, plus: mm, how far the gauge-line diameter may lie below and above its nominal, both ≥ 0.
    Result: (least, most) stock, mm on the diameter, least ≤ 0 ≤ most. Raises SumError when an
    allowance is negative. Source: common practice, no source.
    """
    if minus < 0 or plus < 0:
        raise SumError(f"allowances below and above the nominal must not be negative: {minus!r}, {plus!r}")
    return (-minus, plus) if side == "external" else (-plus, minus)


def size_limits_as_readings(
    kind: ReadingKind, ratio: float, finish_reading: float, minus: float, plus: float
) -> tuple[float, float]:
    """A size tolerance told as readings: g_f + S/k at the two limits of size.

    ratio: C, positive; finish_reading: mm; minus, plus: mm, allowances of the gauge-line diameter, ≥ 0.
    Result: (lower, higher) reading, mm, in the order of the numbers. Raises SumError when the ratio is
    not positive or an allowance is negative. Source: common practice, no source.
    """
    per_reading = stock_per_reading(kind, ratio)
    limits = stock_limits(terms.reading(kind).side, minus, plus)
    ends = [reading_from_stock(stock, finish_reading, per_reading) for stock in limits]
    return min(ends), max(ends)


def reading_tolerance_as_size(
    kind: ReadingKind, ratio: float, minus: float, plus: float
) -> tuple[float, float]:
    """A tolerance on the reading told as a tolerance on the gauge-line diameter: C times it.

    A larger gap, and a greater plug depth, mean a larger diameter; a larger standout, and a larger
    standoff, mean a smaller one, so there plus and minus change places.
    ratio: C, positive; minus, plus: mm, allowances of the reading, ≥ 0. Result: (minus, plus) of the
    diameter, mm, ≥ 0. Raises SumError when the ratio is not positive or an allowance is negative.
    Source: common practice, no source.
    """
    if minus < 0 or plus < 0:
        raise SumError(f"allowances below and above the nominal must not be negative: {minus!r}, {plus!r}")
    size = abs(stock_per_reading(kind, ratio))
    if terms.reading(kind).grows_with_diameter:
        return size * minus, size * plus
    return size * plus, size * minus


def next_readable(reading: float, division: float, per_reading: float) -> float:
    """The reading moved to the tool's next division, on the side that leaves stock on.

    reading: mm; division: mm of the tool, positive; per_reading: k, not zero. Result: mm, a whole number
    of divisions: upwards where the reading grows with stock (k > 0), downwards where it shrinks. Raises
    SumError when the division is not positive or k is zero. Source: common practice, no source.
    """
    above_zero("the tool's division", division)
    if per_reading == 0:
        raise SumError("stock per reading must not be zero: no taper, no reading")
    count = reading / division
    return (whole_up(count) if per_reading > 0 else whole_down(count)) * division


def last_readable(reading: float, division: float, per_reading: float) -> float:
    """The reading moved to the tool's next division, on the side that has less stock on.

    For an upper limit, such as the most stock a blank may have. Arguments, result and errors as for
    next_readable, the other way. Source: common practice, no source.
    """
    return next_readable(reading, division, -per_reading)
