"""The batch: how often to check, when to touch the stop, what a spread of centre depth costs."""

from math import floor

from cardgen.compute.trouble import SumError

_NOISE = 1e-9  # floats: 2.9999999999 pieces are three


def spread_on_diameter(centre_depth_spread: float, ratio: float) -> float:
    """What unequal centre-hole depths do to the size of pieces ground on one dead stop.

    ΔD = C Δz: the piece lies that much further along under the same wheel position. Spread Δz of the centre
    depth (deepest less shallowest) in mm, taper ratio C; result in mm on the diameter.
    On the reading the spread is Δz itself. Source: the taper's own ratio.
    """
    return abs(ratio) * centre_depth_spread


def share_of_tolerance(spread: float, tolerance_band: float) -> float:
    """How much of the size tolerance a spread uses up before the wheel has touched a piece.

    Both in the same unit, the tolerance as its whole band (upper less lower limit); result a fraction, 1 is
    all of it. Raises SumError for a band that is not positive. Source: common practice, no source.
    """
    if tolerance_band <= 0:
        raise SumError("the tolerance band must be greater than nothing")
    return spread / tolerance_band


def acceptance_limits(low: float, high: float, expanded_doubt: float) -> tuple[float, float]:
    """The limits drawn in by the doubt of measuring, within which a piece is surely good.

    low + U, high − U, in the unit of the reading. Raises SumError where nothing is left between them:
    the tool is too coarse for the tolerance. Source: ISO 14253-1 (guard band of one U), from memory.
    """
    if low + expanded_doubt > high - expanded_doubt:
        raise SumError("the tool is too coarse: its doubt is wider than the tolerance")
    return low + expanded_doubt, high - expanded_doubt


def allowed_drift(low: float, high: float, centre_depth_spread: float, expanded_doubt: float) -> float:
    """How far the reading of a batch may drift from the middle of its limits before the stop is moved.

    (high − low)/2 − Δz/2 − U, never below nothing: half the band, less half the spread from piece to piece,
    less the doubt of reading one. All in mm of reading; 0 says that the stop cannot hold the tolerance.
    Raises SumError where high lies below low. Source: common practice, no source.
    """
    if high < low:
        raise SumError("the upper limit lies below the lower one")
    return max(0.0, (high - low) / 2 - centre_depth_spread / 2 - expanded_doubt)


def pieces_before_moving_stop(drift_allowed: float, drift_per_piece: float) -> int | None:
    """After how many pieces the wear of the wheel has used up the drift that is allowed.

    n = floor(allowed / per piece), so never one too many; None where nothing drifts. Both in mm of reading
    (or both on the diameter). Raises SumError for a negative figure. Source: common practice, no source.
    """
    if drift_allowed < 0 or drift_per_piece < 0:
        raise SumError("a drift cannot be negative")
    if drift_per_piece == 0:
        return None
    return floor(drift_allowed / drift_per_piece * (1 + _NOISE))


def check_interval(pieces_before_moving: int | None, longest: int) -> int:
    """How often to check a piece: at least twice before the stop has to be moved.

    max(1, min(longest, n // 2)). Pieces before moving the stop n (None: no drift reckoned with) and the
    longest interval the shop allows, in pieces. Raises SumError where the longest is below 1.
    Source: common practice, no source.
    """
    if longest < 1:
        raise SumError("the longest interval must be at least one piece")
    if pieces_before_moving is None:
        return longest
    return max(1, min(longest, pieces_before_moving // 2))


def pieces_to_check(pieces: int, check_first: int, check_every: int) -> tuple[int, ...]:
    """Which pieces of the batch go to the gauge: the first few, then every so-manyth, and the last.

    Pieces count from 1. Raises SumError for no pieces, a negative first count or an interval below 1.
    Source: common practice, no source.
    """
    if pieces < 1 or check_first < 0 or check_every < 1:
        raise SumError("a check plan needs at least one piece and an interval of at least one")
    first = min(check_first, pieces)
    later = range(first + check_every, pieces + 1, check_every)
    return tuple(sorted({*range(1, first + 1), *later, pieces}))
