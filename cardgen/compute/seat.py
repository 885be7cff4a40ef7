"""How a taper and its gauge lie to each other and to the swivel's pivot, and where they touch.

Places along the work are counted from the swivel's pivot, positive towards the taper's large end.
"""

from dataclasses import dataclass

from cardgen.compute import taper
from cardgen.compute.sum_error import SumError
from cardgen.terms import Side


@dataclass(frozen=True)
class Seat:
    """How taper and gauge lie to the swivel's pivot when the reading is that of a finished piece.

    Places in mm along the work's axis from the pivot, positive towards the large end.
    """

    side: Side
    ratio: float  # C of the right taper
    large_diameter: float  # mm, of the finished taper at its large end
    large_end: float  # where the ground taper begins: shoulder (or edge of the relief), or mouth
    small_end: float  # where it ends
    gauge_large_end: float  # ring's large face, or plug's gauge line
    gauge_small_end: float  # ring's small face, or plug's end


def ring_seat(
    ratio: float,
    shoulder_diameter: float,
    length: float,
    relief: float,
    finish_gap: float,
    gauge_length: float,
    shoulder_from_pivot: float,
) -> Seat:
    """How an external taper and its ring lie to the pivot when the gap is that of a finished piece.

    ratio: C; shoulder_diameter: mm, the finished taper carried on to the shoulder's plane; length: mm,
    shoulder to small end; relief: mm, groove at the shoulder, 0 where none; finish_gap: mm; gauge_length:
    mm between the ring's faces; shoulder_from_pivot: mm, positive on the large-end side. Result: a Seat.
    Source: geometry.
    """
    return Seat(
        side="external",
        ratio=ratio,
        large_diameter=taper.diameter_at(shoulder_diameter, ratio, relief),
        large_end=shoulder_from_pivot - relief,
        small_end=shoulder_from_pivot - length,
        gauge_large_end=shoulder_from_pivot - finish_gap,
        gauge_small_end=shoulder_from_pivot - finish_gap - gauge_length,
    )


def plug_seat(
    ratio: float,
    mouth_diameter: float,
    length: float,
    finish_standoff: float,
    gauge_length: float,
    mouth_from_pivot: float,
) -> Seat:
    """How an internal taper and its plug lie to the pivot when the standoff is that of a finished piece.

    ratio: C; mouth_diameter: mm, of the finished hole; length: mm, mouth to the small end of the taper;
    finish_standoff: mm; gauge_length: mm, gauge line to the plug's end; mouth_from_pivot: mm, positive on
    the large-end side. Result: a Seat. Source: geometry.
    """
    return Seat(
        side="internal",
        ratio=ratio,
        large_diameter=mouth_diameter,
        large_end=mouth_from_pivot,
        small_end=mouth_from_pivot - length,
        gauge_large_end=mouth_from_pivot + finish_standoff,
        gauge_small_end=mouth_from_pivot + finish_standoff - gauge_length,
    )


def contact_ends(seat: Seat, stock: float = 0.0) -> tuple[float, float]:
    """The two ends of the length where gauge and work touch, while the reading tells this stock.

    With stock on, a ring lies S / C nearer the small end and a plug S / C nearer the mouth than on a
    finished piece; they touch where both are: from the nearer large end to the nearer small end.
    stock: mm on the diameter. Result: (large end, small end), mm from the pivot. Raises SumError when
    gauge and work do not overlap. Source: geometry.
    """
    moved = -stock / seat.ratio if seat.side == "external" else stock / seat.ratio
    # A plug goes on beyond its scribed line, so it touches from the mouth wherever the line comes to lie.
    large = seat.large_end
    if seat.side == "external":
        large = min(large, seat.gauge_large_end + moved)
    small = max(seat.small_end, seat.gauge_small_end + moved)
    if not large > small:
        raise SumError("gauge and work do not overlap: check the gauge's length and the finish reading")
    return large, small


def contact_length(seat: Seat, stock: float = 0.0) -> float:
    """The length along the axis over which gauge and work touch: ℓ = large end − small end of the contact.

    stock: mm on the diameter. Result: mm. Raises SumError as contact_ends. Source: geometry.
    """
    large, small = contact_ends(seat, stock)
    return large - small


def finish_diameter(seat: Seat, from_pivot: float) -> float:
    """The finished taper's diameter in a plane: D at the large end less C for each millimetre from it.

    from_pivot: u, mm. Result: mm. Source: ISO 3040 (definition of the cone taper).
    """
    return taper.diameter_at(seat.large_diameter, seat.ratio, seat.large_end - from_pivot)
