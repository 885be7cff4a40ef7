"""A gauge's reading along the axis, and the stock on the diameter that it tells of.

S = k (g − g_f): S the stock left on the diameter, g the reading, g_f the reading of a finished piece,
k the stock for one millimetre of reading. The gauge moves as metal comes off, so k has a sign:

    shoulder_gap        external, ring's large face to the shoulder             k = +C   gap too large
    small_end_standout  external, small end beyond the ring's small face        k = −C   standout too small
    plug_standoff       internal, plug's gauge line outside the mouth           k = +C   standoff too large
    plug_depth          internal, plug's end beyond a plane, inwards            k = −C   depth too small

Planes are counted from the shoulder or the mouth towards the small end. Stock is positive while metal
is left on: external work is then above size, internal work below.
"""

import math
from typing import assert_never

from cardgen import terms
from cardgen.compute import taper
from cardgen.compute.sum_error import SumError
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


def finish_shoulder_gap(face_diameter: float, gauge_diameter: float, ratio: float) -> float:
    """Gap left between a ring's large face and the shoulder on a finished piece: g_f = (D₀ − D_g) / C.

    face_diameter: D₀, mm, the taper's finish diameter carried on to the plane of the shoulder;
    gauge_diameter: D_g, mm, the ring's calibrated diameter in its large face; ratio: C, positive.
    Result: mm, positive when the ring stops short of the shoulder. A ring that is small reads long.
    Raises SumError when the ratio is not positive. Source: common practice, no source.
    """
    return taper.distance_between(face_diameter, gauge_diameter, ratio)


def finish_small_end_standout(length: float, gauge_length: float, finish_gap: float) -> float:
    """How far the small end of a finished piece stands out of the ring: g_f = L − l_g − gap.

    length: L, mm, shoulder to small end; gauge_length: l_g, mm, between the ring's faces; finish_gap:
    mm, from finish_shoulder_gap. Result: mm, negative when the end lies below the ring's small face.
    Source: common practice, no source.
    """
    return length - gauge_length - finish_gap


def finish_plug_standoff(gauge_diameter: float, mouth_diameter: float, ratio: float) -> float:
    """How far the plug's gauge line stands off the mouth of a finished hole: g_f = (D_g − D₀) / C.

    gauge_diameter: D_g, mm, the plug's calibrated diameter at its line; mouth_diameter: D₀, mm, the
    taper's finish diameter in the plane of the mouth; ratio: C, positive. Result: mm, negative when the
    line lies inside the hole. Raises SumError when the ratio is not positive.
    Source: common practice, no source.
    """
    return taper.distance_between(gauge_diameter, mouth_diameter, ratio)


def finish_plug_depth(gauge_length: float, finish_standoff: float, plane: float) -> float:
    """How far the plug's end passes a plane in a finished hole: g_f = l_g − standoff − plane.

    gauge_length: l_g, mm, from the plug's gauge line to its small end; finish_standoff: mm, from
    finish_plug_standoff; plane: mm, the plane read from, counted from the mouth into the hole.
    Result: mm, positive when the end lies beyond the plane. Source: common practice, no source.
    """
    return gauge_length - finish_standoff - plane


def finish_reading(
    kind: ReadingKind,
    face_diameter: float,
    gauge_diameter: float,
    ratio: float,
    length: float,
    gauge_length: float,
    plane: float,
) -> float:
    """What the gauge shows on a finished piece, by the kind of reading: g_f as the four functions above.

    face_diameter: D₀, mm, in the plane of the shoulder or the mouth; gauge_diameter: D_g, mm; ratio: C,
    positive; length: L, mm; gauge_length: l_g, mm; plane: mm, from the mouth into the hole. Result: mm.
    Raises SumError when the ratio is not positive. Source: those functions.
    """
    match kind:
        case "shoulder_gap":
            return finish_shoulder_gap(face_diameter, gauge_diameter, ratio)
        case "small_end_standout":
            gap = finish_shoulder_gap(face_diameter, gauge_diameter, ratio)
            return finish_small_end_standout(length, gauge_length, gap)
        case "plug_standoff":
            return finish_plug_standoff(gauge_diameter, face_diameter, ratio)
        case "plug_depth":
            standoff = finish_plug_standoff(gauge_diameter, face_diameter, ratio)
            return finish_plug_depth(gauge_length, standoff, plane)
        case _:
            assert_never(kind)


def gauge_line_from_face(
    kind: ReadingKind, finish: float, length: float, gauge_length: float, plane: float
) -> float:
    """Where the gauge's own line lies on a finished piece: the reverse of the four functions above.

    shoulder_gap g_f; small_end_standout L − l_g − g_f; plug_standoff −g_f; plug_depth −(l_g − g_f − plane).
    finish: g_f, mm; length: L, mm; gauge_length: l_g, mm; plane: mm, from the mouth into the hole.
    Result: mm from the shoulder or the mouth towards the small end. Source: common practice, no source.
    """
    match kind:
        case "shoulder_gap":
            return finish
        case "small_end_standout":
            return length - gauge_length - finish
        case "plug_standoff":
            return -finish
        case "plug_depth":
            return -(gauge_length - finish - plane)
        case _:
            assert_never(kind)


def stock_per_reading(kind: ReadingKind, ratio: float) -> float:
    """Stock on the diameter for one millimetre of reading: k = +C or −C, by the kind of reading.

    ratio: C, positive. Result: mm on the diameter per mm, positive where the reading is too large while
    stock is left. Raises SumError when the ratio is not positive. Source: common practice, no source.
    """
    if not ratio > 0:
        raise SumError(f"taper ratio must be above zero, not {ratio!r}")
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
    _readable(division, per_reading)
    count = reading / division
    return (whole_up(count) if per_reading > 0 else whole_down(count)) * division


def last_readable(reading: float, division: float, per_reading: float) -> float:
    """The reading moved to the tool's next division, on the side that has less stock on.

    For an upper limit, such as the most stock a blank may have. Arguments, result and errors as for
    next_readable, the other way. Source: common practice, no source.
    """
    return next_readable(reading, division, -per_reading)


def _readable(division: float, per_reading: float) -> None:
    if not division > 0:
        raise SumError(f"the tool's division must be above zero, not {division!r}")
    if per_reading == 0:
        raise SumError("stock per reading must not be zero: no taper, no reading")
