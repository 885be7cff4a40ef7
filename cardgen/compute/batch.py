"""The batch: how often to check, when to touch the stop, what a spread of centre depth costs."""

from dataclasses import dataclass

from cardgen.compute.reading import whole_down, whole_up
from cardgen.compute.sum_error import SumError

_NOISE = 1e-7  # of a division: arithmetic, no more
LEAST_SHORT = 2  # divisions: one is lost in the play of the feed; common practice, no source


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


@dataclass(frozen=True)
class StopRule:
    """When the stop of a batch is moved for the wear of the wheel, and how often a piece is looked at.

    A batch that cannot be run on the stop has no drift: every piece is gauged and sized by itself.
    """

    drift: int  # divisions of the tool that the reading may move before the stop is moved; 0: every piece
    feed: int  # divisions of the handwheel to feed the stop in then
    check_every: int  # pieces from one that is gauged to the next
    pieces: int | None  # about so many between two moves of the stop; None where the wear is not known

    @property
    def by_stop(self) -> bool:
        """Whether the batch can be run on the stop."""
        return self.drift > 0


def allowed_drift(room: float, centre_depth_spread: float) -> float:
    """How far the reading of a batch may drift from the aim with every piece still to be accepted.

    room − Δz, never below nothing: what lies between the aim and the nearer limit to accept, which has the
    doubt of warmth, gauge and tool in it, less the spread from piece to piece (the first may be the
    shallowest, the next the deepest). All in mm of reading; 0 says that the stop cannot hold the tolerance.
    Raises SumError where the aim lies beyond a limit. Source: common practice, no source.
    """
    if room < 0:
        raise SumError("the aim lies beyond its limits")
    return max(0.0, room - centre_depth_spread)


def stop_rule(
    allowed: float, division: float, handwheel_division: float, growth: float | None, longest: int
) -> StopRule:
    """One rule for how often to gauge, when to move the stop and by how much: no piece passes the drift.

    The stop is moved when the reading has come R divisions of the tool: half of the drift allowed, but
    worth a division of the handwheel, R = max(⌈h / δ⌉, ⌊A / 2δ⌋, 1). Gauging every n-th piece, the drift
    goes on by at most n pieces more: n = ⌊(A − Rδ) / g⌋, no more than the longest, or than ⌊Rδ / g⌋
    pieces from move to move. Where R is beyond A or n below one, or the wear is not known, every piece is.
    Between two looks the wear may go on past R: what is fed then is what the reading has come, in whole
    divisions of the handwheel, so that less than one of them is left to drift from.
    allowed: A, mm of reading, from allowed_drift; division: δ of the tool, mm; handwheel_division: h, mm of
    reading that one division of the handwheel moves; growth: g, mm of reading a piece, by wear of the wheel
    (None: not known); longest: pieces between two gaugings at most. Result: a StopRule, all rounded down.
    Raises SumError for a division, growth or longest that cannot be. Source: common practice, no source.
    """
    if division <= 0 or handwheel_division <= 0 or longest < 1 or (growth or 0.0) < 0:
        raise SumError("a stop rule needs divisions above nothing, no negative wear, and a piece to look at")
    drift = max(1, whole_up(handwheel_division / division), whole_down(allowed / division / 2))
    spare = allowed - drift * division
    pieces = max(1, whole_down(drift * division / growth)) if growth else None
    every = longest
    if growth is None:
        every = 1
    elif growth > 0 and pieces is not None:
        every = min(longest, pieces, whole_down(spare / growth))
    if spare < -_NOISE * division or every < 1:
        return StopRule(0, 0, 1, None)
    return StopRule(drift, whole_down(drift * division / handwheel_division), every, pieces)


def stop_short(unknown: float, per_division: float) -> int:
    """Divisions to stop short of size by, so that what is not known beforehand cannot take a piece past it.

    ⌈S / s⌉, two at the least. unknown: S, mm on the diameter; per_division: s, mm on the diameter that one
    division of the handwheel takes off. Result: whole divisions, rounded up. Raises SumError for a division
    that is not positive. Source: common practice, no source.
    """
    if per_division <= 0:
        raise SumError("a division of the handwheel must take something off")
    return max(LEAST_SHORT, whole_up(unknown / per_division))


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
