"""Proving a size: between which limits a piece is surely good, and the tool that would be fine enough.

A reading is in doubt, so a piece that reads right on its limit is as likely beyond it. ISO 14253-1 has the
one who proves conformity draw the limits in by the expanded uncertainty of the measurement.
"""

import math
from typing import NamedTuple

from cardgen.compute.doubt import combined, reading_uncertainty
from cardgen.compute.sum_error import SumError

COVERAGE = 2.0  # k, for about 95 % (JCGM 100:2008, 6.3.3)
STEPS = (5.0, 2.0, 1.0)  # in which tools are divided, of each power of ten


class ProvedLimits(NamedTuple):
    """Between which readings a piece is surely good."""

    low: float
    high: float


def proved_within(low: float, high: float, expanded: float) -> ProvedLimits:
    """The limits between which a reading proves that a piece conforms: low + U … high − U.

    low, high: limits of size; expanded: U of the reading, all in mm of one quantity. Result: the limits
    drawn in; they cross where the doubt leaves no zone. Raises SumError for a negative U.
    Source: ISO 14253-1 (decision rule for proving conformity); the wording from memory.
    """
    if expanded < 0:
        raise SumError("an expanded uncertainty cannot be negative")
    return ProvedLimits(low + expanded, high - expanded)


def coarsest_division(band: float, ratio: float, other_doubt: float, share: float) -> float | None:
    """The coarsest division of a tool that is no more than a share of the zone which it leaves to prove in.

    C δ ≤ s (T − 2 k √(C² δ² / 12 + u₀²)), T the whole tolerance: solved for δ and rounded down to 1, 2 or 5
    of a power of ten. band: T, mm on the diameter; ratio: C; other_doubt: u₀, standard uncertainty of all but
    the tool, mm on the diameter; share: s. Result: δ, mm of reading; None where no tool, however fine, leaves
    a zone: then the gauge or the temperature is in doubt. Raises SumError for a ratio that is not positive.
    Source: ISO 14253-1 and JCGM 100:2008; the share is common practice, no source.
    """
    if ratio <= 0:
        raise SumError("a straight piece gives no reading")
    if band - 2 * COVERAGE * other_doubt <= 0:
        return None

    def fits(division: float) -> bool:
        doubt = COVERAGE * combined(ratio * reading_uncertainty(division), other_doubt)
        return ratio * division <= share * (band - 2 * doubt)

    power = math.floor(math.log10(band / ratio))
    tried = (step * 10.0 ** (power - down) for down in range(9) for step in STEPS)
    return next((division for division in tried if fits(division)), None)


def sure_enough(band: float, others: float) -> float | None:
    """How sure one part of the doubt has to be, beside the others, to leave three quarters to prove in.

    2 k √(u² + u₀²) = T / 4, with k = 2: u = √((T / 16)² − u₀²); or half of the others, where that is more:
    what is surer than that adds next to nothing to them. band: T, the whole tolerance, others: u₀, standard
    uncertainty of all but this part and the tool, mm on the diameter. Result: u, likewise; None where the
    others alone leave less than half. Source: ISO 14253-1 and JCGM 100:2008; the shares are common practice,
    no source.
    """
    if 2 * COVERAGE * others > band / 2:
        return None
    return math.sqrt(max((band / 8 / COVERAGE) ** 2 - others**2, (others / 2) ** 2))
