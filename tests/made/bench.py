"""What truly happens to a made-up part at the wheel and in its gauge.

Nothing of the package is used here. A piece is a straight line, radius over distance from the shoulder or
mouth; the gauge is another, pushed on till they meet; the wheel is the piece's own surface, moved by the
slide.
"""

import math
import re
from collections.abc import Callable
from fractions import Fraction

from tests.made.shops import COLLAR, INCH, Part

Point = tuple[float, float]


def radius(part: Part, size: float, z: float) -> float:
    """Radius of a piece at z from its face, ground to this diameter in the plane of its gauge line."""
    return size / 2 - (z - part.line_from_face) * part.ratio / 2


def reading(part: Part, size: float) -> float:
    """What the hand reads on a piece of this size: the gauge pushed on until it goes no further."""
    near, far = (-60.0, part.length + 400.0) if part.external else (-60.0 - part.gauge_length, 400.0)
    clear = _clear(part, size)
    for _ in range(52):
        middle = (near + far) / 2
        if clear(middle):
            far = middle
        else:
            near = middle
    match part.kind:
        case "shoulder_gap":
            return far
        case "small_end_standout":
            return part.length - (far + part.gauge_length)
        case "plug_standoff":
            return far
        case "collar_gap":
            return far + COLLAR
        case "plug_depth":
            return (part.gauge_length - far) - part.plane


def _clear(part: Part, size: float) -> Callable[[float], bool]:
    """Whether the gauge, its line this far off the face (a plug: out of the mouth), touches nowhere."""
    external, length, reach, line = part.external, part.length, part.gauge_length, part.line_from_face
    work, gauge, slope = size / 2, part.gauge_line / 2, part.ratio / 2

    def clear(off: float) -> bool:
        start = off if external else -off
        ends = max(0.0, start), min(length, start + reach)
        if ends[0] >= ends[1]:  # not on the work at all: told by where the gauge has come from
            return off > 0
        here, there = ((gauge - (z - start) * slope) - (work - (z - line) * slope) for z in ends)
        return here > 0 < there if external else here < 0 > there

    return clear


def size_with(part: Part, stock: float) -> float:
    """The diameter at the gauge line of a piece with so much stock on, above the size aimed at."""
    return part.aim + stock if part.external else part.aim - stock


def stock_of(part: Part, size: float) -> float:
    """The other way round."""
    return size - part.aim if part.external else part.aim - size


def ground(part: Part, size: float, slide: float) -> float:
    """The size after the slide has gone on so far, the wheel just touching a piece of this size before."""
    lean = math.atan2(part.ratio, 2.0)
    # A shank's outward normal leans to the small end by the half angle, a hole's inward one as much.
    square_to_ways = part.by_head and part.machine.slide_fed == "below"
    way = (0.0, -1.0) if square_to_ways else (-math.sin(lean), -math.cos(lean))
    if not part.external:
        way = (-way[0], -way[1])
    (z1, r1), (z2, r2) = (
        (z + slide * way[0], radius(part, size, z) + slide * way[1]) for z in (0.0, part.length)
    )
    return 2 * (r1 + (r2 - r1) * (part.line_from_face - z1) / (z2 - z1))


def shown(text: str) -> float:
    """A reading as printed, in mm: '-1 5/64 in', '3.50 mm', '−.074 in'."""
    found = re.fullmatch(r"([-−]?)(?:(\d+) )?(\d+/\d+|\d*\.?\d+) (mm|in)", text)
    assert found, text
    value = int(found[2] or 0) + Fraction(found[3])
    return float(-value if found[1] else value) * (INCH if found[4] == "in" else 1.0)
