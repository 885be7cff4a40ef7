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


def seated(
    side: Side,
    ratio: float,
    face_diameter: float,
    length: float,
    relief: float,
    gauge_line_from_face: float,
    gauge_length: float,
    face_from_pivot: float,
) -> Seat:
    """How a finished taper and its gauge lie to the pivot: planes from the face become places from it.

    ratio: C; face_diameter: mm, the finished taper carried on to the plane of the shoulder, or at the mouth;
    length: mm, from there to the small end; relief: mm, groove at the shoulder, 0 where none;
    gauge_line_from_face: mm towards the small end, of the ring's large face or the plug's gauge line;
    gauge_length: mm, from there to the gauge's small end; face_from_pivot: mm, positive on the large-end
    side. Result: a Seat. Source: geometry.
    """
    return Seat(
        side=side,
        ratio=ratio,
        large_diameter=taper.diameter_at(face_diameter, ratio, relief),
        large_end=face_from_pivot - relief,
        small_end=face_from_pivot - length,
        gauge_large_end=face_from_pivot - gauge_line_from_face,
        gauge_small_end=face_from_pivot - gauge_line_from_face - gauge_length,
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


def gauge_line_at_rest(
    side: Side,
    gauge_ratio: float,
    gauge_diameter: float,
    gauge_length: float,
    work_ratio: float,
    face_diameter: float,
    large_end: float,
    length: float,
) -> float:
    """Where the gauge's line lies on a piece of another taper than the gauge's: z = b + (D(b) − D_g) / C_g.

    It bears at one end b of the contact alone: outside at the small end of a piece shallower than the ring,
    inside at its large end; the other way round where it is steeper. As b may move with the gauge, the sum
    is repeated until it stands still. gauge_ratio: C_g; gauge_diameter: D_g, mm at its line; work_ratio and
    face_diameter: of the piece, D(z) in the plane z; large_end, length: mm from the face, the planes in which
    the ground taper begins and ends. Result: mm from the face towards the small end. Raises SumError where
    it does not come to stand. Source: geometry.
    """
    line = taper.distance_between(face_diameter, gauge_diameter, gauge_ratio)
    at_small = (side == "external") == (work_ratio < gauge_ratio)
    for _ in range(100):
        nearest = max(large_end, line) if side == "external" else large_end
        bears = min(length, line + gauge_length) if at_small else nearest
        there = taper.diameter_at(face_diameter, work_ratio, bears)
        moved = bears + taper.distance_between(there, gauge_diameter, gauge_ratio)
        if abs(moved - line) <= 1e-12:
            return moved
        line = moved
    raise SumError(f"a gauge of taper {gauge_ratio!r} does not come to rest on a piece of {work_ratio!r}")


def finish_diameter(seat: Seat, from_pivot: float) -> float:
    """The finished taper's diameter in a plane: D at the large end less C for each millimetre from it.

    from_pivot: u, mm. Result: mm. Source: ISO 3040 (definition of the cone taper).
    """
    return taper.diameter_at(seat.large_diameter, seat.ratio, seat.large_end - from_pivot)
