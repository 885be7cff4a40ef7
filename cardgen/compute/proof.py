"""Which means can decide whether the angle is within its tolerance, and which cannot see that far.

The error of taper is a difference of diameters over the length where gauge and work touch.
"""

import math

from cardgen.compute.sum_error import SumError

PART_SEEN = 0.5  # of the tolerance: a means that sees no less cannot decide; common practice, no source


def two_readings_see(doubt: float, spacing: float, contact: float) -> float:
    """The least error that a difference of two readings shows: √2 d ℓ / l.

    doubt: d, mm on the diameter, of one of two diameters over rolls, or of an indicator along a sine bar;
    spacing: l, mm between the two; contact: ℓ, mm. Result: mm on the diameter over the contact. Raises
    SumError for a spacing that is not positive. Source: JCGM 100:2008 (5.1.2), two independent readings.
    """
    if spacing <= 0:
        raise SumError("two readings need a spacing")
    return math.sqrt(2) * doubt * contact / spacing


def decides(sees: float, tolerance: float) -> bool:
    """Whether a means can decide: the least error that it shows is no more than half of the tolerance.

    sees, tolerance (to one side): mm on the diameter over the same length.
    Source: common practice, no source.
    """
    return sees <= PART_SEEN * tolerance * (1 + 1e-9)


def turned_above(sees: float, tolerance: float) -> float:
    """The error shown above which the swivel is turned: max(d, T / 2 − d).

    What is shown and not turned stays, with the doubt d of the means, within the half of the tolerance T that
    the coarsest means which can decide would have left; below what the means shows nobody turns.
    sees: d, tolerance: T (to one side), mm on the diameter over the same length. Result: likewise.
    Source: ISO 14253-1, limits drawn in by the doubt; the half is common practice, no source.
    """
    return max(sees, PART_SEEN * tolerance - sees)
