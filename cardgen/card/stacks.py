"""Slip gauges of the shop's set for a height or an angle, for cards and booklets alike."""

from collections.abc import Iterable
from fractions import Fraction

from cardgen import tapers
from cardgen.card import values
from cardgen.card.facts import Facts
from cardgen.compute import inspection, two_stacks
from cardgen.digits import inch_plain, plain_number
from cardgen.terms import ARCSEC, INCH, MM

# Farther off than this the nearest stack is no answer: the height is lower than the set can build.
NEAR_MM = {"mm": 0.005, "in": 0.0005 * INCH}
NEAR_ENOUGH_ARCSEC = 1.0  # a sine bar that stands nearer than this needs no second stack


def shop_slip_set(facts: Facts) -> tapers.SlipSet | None:
    """The shop's first set in the part's own unit, else its first; None where it has none."""
    wanted_unit = "mm" if facts.metric else "in"
    named = [found for name in facts.records.shop.slip_sets if (found := tapers.slip_set(name)) is not None]
    return next((known for known in named if known.unit == wanted_unit), named[0] if named else None)


def near_stack(height_mm: float, slip_set: tapers.SlipSet | None) -> values.SlipStack | None:
    """The fewest pieces that come nearest to a height; None without a set, or where none comes near it."""
    if slip_set is None:
        return None
    try:
        stack = inspection.closest_stack(_in_unit(height_mm, slip_set), slip_set.sizes)
    except inspection.HeightOutOfReachError:
        return None
    made_mm = float(stack.height) * MM[slip_set.unit]
    if abs(height_mm - made_mm) > NEAR_MM[slip_set.unit]:
        return None
    return values.SlipStack(
        set_name=slip_set.name,
        unit=slip_set.unit,
        height_mm=made_mm,
        pieces_mm=_in_mm(stack.pieces, slip_set),
        pieces_text=_engraved(stack.pieces, slip_set),
        left_over_mm=height_mm - made_mm,
        source=slip_set.source,
    )


def sine_stack(angle: float, length_mm: float, slip_set: tapers.SlipSet | None) -> values.SineStack | None:
    """What to put under the rolls of a sine bar, or of sine centres, to set it to an angle in radians.

    One stack where it comes within a second; else, if that is nearer, a stack under each roll.
    """
    if slip_set is None:
        return None
    height_mm = inspection.sine_bar_height(length_mm, angle)
    wanted = _in_unit(height_mm, slip_set)

    def standing_on(pieces: Iterable[Fraction | int], other: Iterable[Fraction | int]) -> values.SineStack:
        here, there = tuple(pieces), tuple(other)
        made_mm = float(sum(here) - sum(there)) * MM[slip_set.unit]
        return values.SineStack(
            set_name=slip_set.name,
            unit=slip_set.unit,
            pieces_mm=_in_mm(here, slip_set),
            pieces_text=_engraved(here, slip_set),
            other_pieces_mm=_in_mm(there, slip_set),
            other_pieces_text=_engraved(there, slip_set),
            height_mm=made_mm,
            left_over_arcsec=(angle - inspection.angle_from_sine_bar(length_mm, made_mm)) * ARCSEC,
            source=slip_set.source,
        )

    found: list[values.SineStack] = []
    try:
        found.append(standing_on(inspection.closest_stack(wanted, slip_set.sizes).pieces, ()))
        if abs(found[0].left_over_arcsec) > NEAR_ENOUGH_ARCSEC:
            two = two_stacks.closest_difference(wanted, slip_set.sizes)
            found.append(standing_on(two.pieces, two.other))
    except inspection.HeightOutOfReachError:
        pass
    return min(found, key=lambda stack: round(abs(stack.left_over_arcsec), 6), default=None)


def _in_unit(height_mm: float, slip_set: tapers.SlipSet) -> Fraction:
    return Fraction(height_mm / MM[slip_set.unit]).limit_denominator(10**7)


def _in_mm(pieces: Iterable[Fraction | int], slip_set: tapers.SlipSet) -> tuple[float, ...]:
    return tuple(float(piece) * MM[slip_set.unit] for piece in pieces)


def _engraved(pieces: Iterable[Fraction | int], slip_set: tapers.SlipSet) -> tuple[str, ...]:
    """Pieces as they are engraved: '1.0005', '50', '.1005'."""
    write = inch_plain if slip_set.unit == "in" else plain_number
    return tuple(write(float(piece), 4) for piece in pieces)
