"""From stock on the diameter to divisions of the cross-feed handwheel.

The wheel's face lies along the surface being ground, so a cut goes square to that surface, not square
to the axis: a cut of depth a takes 2a/cos θ off the diameter. Dropping the cosine costs 0.03 % at a
Morse taper, 1 % at 7:24, 3.4 % at 30° and 13 % at 60° included: it is never dropped.
"""

import math

from cardgen.compute import reading
from cardgen.compute.sum_error import SumError, above_zero
from cardgen.terms import HandwheelReads, SlideFed, Swivelled


def _acute(name: str, angle: float) -> None:
    if not 0 <= angle < math.pi / 2:
        raise SumError(f"{name} must lie from 0 to below 90 degrees, not {math.degrees(angle)!r} degrees")


def depth_square_to_surface(stock: float, half_angle: float) -> float:
    """How deep to cut, square to the taper's surface, to take this stock off: a = (S / 2) cos θ.

    stock: S, mm on the diameter; half_angle: rad. Result: mm, same sign as the stock.
    Raises SumError when the half angle is outside 0 … π/2. Source: common practice, no source.
    """
    _acute("half angle", half_angle)
    return stock / 2 * math.cos(half_angle)


def stock_removed(depth: float, half_angle: float) -> float:
    """What a cut square to the taper's surface takes off the diameter: S = 2 a / cos θ.

    depth: a, mm; half_angle: rad. Result: mm on the diameter, same sign.
    Raises SumError when the half angle is outside 0 … π/2. Source: common practice, no source.
    """
    _acute("half angle", half_angle)
    return 2 * depth / math.cos(half_angle)


def cross_feed_travel(depth: float, feed_angle: float) -> float:
    """How far the cross-slide moves for a cut of this depth: a / cos φ.

    depth: a, mm, square to the surface; feed_angle: φ, rad, between the slide's movement and the square
    to the surface: 0 with the table swivelled under a straight cross-feed, or with a swivelled wheel head
    fed by the slide above its swivel; the half angle with a swivelled wheel head fed by the slide below.
    Result: mm. Raises SumError when the angle is outside 0 … π/2. Source: common practice, no source.
    """
    _acute("feed angle", feed_angle)
    return depth / math.cos(feed_angle)


def feed_angle(swivelled: Swivelled, slide_fed: SlideFed, half_angle: float) -> float:
    """The angle φ between the slide that is fed and the square to the ground surface: 0, or the half angle.

    It is the half angle only where the wheel head is swivelled and the slide fed lies below its swivel, so
    that it goes on moving square to the table ways.
    swivelled: what carries the half angle; slide_fed: whether the slide fed lies above or below the wheel
    head's swivel (of no account with the table swivelled); half_angle: rad. Result: rad.
    Source: common practice, no source.
    """
    return half_angle if swivelled == "wheel head" and slide_fed == "below" else 0.0


def handwheel_divisions(travel: float, reads: HandwheelReads, division: float) -> float:
    """Divisions of the handwheel that move the cross-slide this far: 2 t / δ, or t / δ.

    2 t / δ where the handwheel reads on the diameter, t / δ where it reads on the radius.
    travel: t, mm; reads: what the handwheel is engraved in; division: δ, mm as engraved, positive.
    Result: divisions, not rounded. Raises SumError when the division is not positive.
    Source: common practice, no source.
    """
    return travel / travel_per_division(reads, division)


def travel_per_division(reads: HandwheelReads, division: float) -> float:
    """How far one division of the handwheel moves the cross-slide: δ / 2 on the diameter, δ on the radius.

    reads: what the handwheel is engraved in; division: δ, mm as engraved, positive. Result: mm.
    Raises SumError when the division is not positive. Source: common practice, no source.
    """
    above_zero("the handwheel's division", division)
    return division / 2 if reads == "diameter" else division


def divisions_to_feed(divisions: float) -> int:
    """Whole divisions to feed in, never past the size aimed at: rounded down.

    divisions: from handwheel_divisions; negative on a piece already past the size. Result: whole
    divisions; what is left over stays on as stock. Source: common practice, no source.
    """
    return reading.whole_down(divisions)


def divisions_a_pass(wanted: float, per_division: float) -> int:
    """Whole divisions to feed for a pass: the nearest to the infeed wanted, one at the least.

    wanted: mm on the diameter; per_division: what one division takes off the diameter, mm, positive.
    Result: whole divisions, ≥ 1. Source: common practice, no source.
    """
    return max(1, round(wanted / per_division))


def whole_turns(divisions: int, in_turn: int) -> tuple[int, int]:
    """So many divisions of a handwheel as whole turns and the divisions over: d = t n + r, 0 ≤ r < n.

    divisions: d, not negative; in_turn: n, of the handwheel. Result: t, r. Raises SumError for fewer than
    none, or where a turn has none. Source: common practice, no source.
    """
    if divisions < 0 or in_turn < 1:
        raise SumError(f"{divisions} divisions make no turns of {in_turn}")
    return divmod(divisions, in_turn)


def position_back(divisions: float) -> int:
    """Where to stop, in whole divisions counted back from zero at finish size: rounded up.

    divisions: from handwheel_divisions for the stock to be left. Result: whole divisions; stopping there
    leaves at least that stock. Source: common practice, no source.
    """
    return reading.whole_up(divisions)
