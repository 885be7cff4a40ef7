"""Work and gauges as profiles: corners (place along the axis, radius), straight in between.

Places grow towards the large end. External work is solid below its profile, internal work above it.
"""

from collections.abc import Sequence
from itertools import pairwise

from tests.brute_force.plane import Line, Vector

Profile = tuple[Vector, ...]  # corners in the order of their places


def radius(profile: Profile, place: float) -> float:
    """The radius at a place on the profile."""
    for (x0, r0), (x1, r1) in pairwise(profile):
        if x0 <= place <= x1:
            return r0 + (r1 - r0) * ((place - x0) / (x1 - x0))
    raise ValueError(f"{place} is not on the profile")


def diameter(profile: Profile, place: float) -> float:
    """What a micrometer would show at that place."""
    return 2 * radius(profile, place)


def cut(profile: Profile, line: Line, side: str) -> Profile:
    """What the wheel's line leaves: of external work what is below it, of internal what is above."""
    keep = min if side == "external" else max
    corners: list[Vector] = []
    for i, (x, r) in enumerate(profile):
        if i:
            before_x, before_r = profile[i - 1]
            gap_before = before_r - line.height_at(before_x)
            gap_now = r - line.height_at(x)
            if gap_before * gap_now < 0:
                cross = before_x + (x - before_x) * gap_before / (gap_before - gap_now)
                if before_x < cross < x:
                    corners.append((cross, line.height_at(cross)))
        corners.append((x, keep(r, line.height_at(x))))
    return tuple(corners)


def shifted(profile: Profile, along: float) -> Profile:
    """The same profile moved along the axis."""
    return tuple((x + along, r) for x, r in profile)


def fits(gauge: Profile, work: Profile, side: str) -> bool:
    """Whether gauge and work do not cut into each other: looked at in every corner of both."""
    low = max(gauge[0][0], work[0][0])
    high = min(gauge[-1][0], work[-1][0])
    if low > high:
        return True
    places = {low, high} | {x for x, _ in (*gauge, *work) if low <= x <= high}
    if side == "external":
        return all(radius(gauge, x) >= radius(work, x) for x in places)
    return all(radius(gauge, x) <= radius(work, x) for x in places)


def slid_on(gauge: Profile, work: Profile, side: str) -> float:
    """How far the gauge slides until it touches: its move along the axis from where its profile is given.

    A ring comes over the small end and goes towards the large; a plug comes in at the mouth and goes
    towards the small end. Found by halving the interval until the numbers have no middle.
    """
    if side == "external":
        free, jammed = work[0][0] - gauge[-1][0] - 1.0, work[-1][0] - gauge[0][0] - 1e-6
    else:
        free, jammed = work[-1][0] - gauge[0][0] + 1.0, work[0][0] - gauge[-1][0] + 1e-6
    if fits(shifted(gauge, jammed), work, side):
        raise ValueError("the gauge slides along the whole work without touching")
    while True:
        middle = (free + jammed) / 2
        if middle in (free, jammed):
            return free
        if fits(shifted(gauge, middle), work, side):
            free = middle
        else:
            jammed = middle


def straight(small: Vector, large: Vector) -> Profile:
    """A profile of two corners."""
    return (small, large)


def least_metal(work: Profile, finished: Profile, side: str) -> float:
    """The least stock anywhere on the work, on the diameter, over the length of the finished taper."""
    low, high = finished[0][0], finished[-1][0]
    places: Sequence[float] = [low, high, *(x for x, _ in work if low < x < high)]
    return min(metal(work, finished, side, x) for x in places)


def metal(work: Profile, finished: Profile, side: str, place: float) -> float:
    """The stock at a place, on the diameter: above the finished size outside, below it inside."""
    more = diameter(work, place) - diameter(finished, place)
    return more if side == "external" else -more
