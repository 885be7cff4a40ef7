"""What may be wrong in a shop, each by a stated amount, and what a batch meets of it on its day."""

import math
from dataclasses import dataclass, fields, replace
from random import Random


@dataclass(frozen=True)
class Errors:
    """How far things are out; mm, rad, K. What a card's values do not give is an assumption, no source."""

    scale: float  # of the swivel, rad, each way
    pivot: float  # mm along the axis and across it, each way
    film: float  # factor of the blue's film, up or down
    wear: float  # factor of the wheel's wear, up or down
    gauge: float  # standard uncertainty of the gauge, mm, and never beyond twice of it
    temperature: float  # K, standard deviation of work against gauge
    repeatability: float  # mm on the diameter, standard deviation on an unmoved stop
    reading: float = 1.0  # divisions that a tool is read to; 0 reads what there is
    proof: float = 1.0  # times the doubt that the shop gives for its proof of the angle
    start: float = 1.0  # times the doubt of test bar, slips and indicator
    radius: float = 0.004  # of the radii of screw and indicator, standard deviation; an assumption
    feed: float = 0.001  # of the cross-feed's travel, standard deviation; an assumption
    screw: float = 0.1  # of a division of the swivel screw, standard deviation; an assumption
    sight: float = 0.1  # of a width of light or a length of blue, standard deviation; an assumption
    touch: float = 0.002  # mm, how deep the first sparks are; an assumption
    blank: float = 0.015  # mm on the diameter that a blank's taper is out over its length; an assumption
    centres: float = 1.0  # times the spread of the centres' depth

    def without(self, cause: str) -> "Errors":
        """The same with one cause switched off: a factor is then one, all else nothing."""
        return replace(self, **{cause: 1.0 if cause in FACTORS else 0.0})

    @classmethod
    def none(cls) -> "Errors":
        """A shop in which nothing is out, and every tool shows what there is."""
        return cls(**{each.name: 1.0 if each.name in FACTORS else 0.0 for each in fields(cls)})


FACTORS = ("film", "wear")
CAUSES = tuple(each.name for each in fields(Errors))


@dataclass(frozen=True)
class Day:
    """What one batch meets: drawn anew for each."""

    errors: Errors
    scale_zero: float  # rad
    scale_sight: float  # rad, setting a mark to the line by eye
    radius: float
    feed: float
    pivot_along: float
    pivot_across: float
    film: float
    wear: float
    gauge: float
    warm: float = 0.0  # K, the work above the gauge


def drawn(errors: Errors, rng: Random) -> Day:
    """A usual day of a shop that is out by so much."""
    gauge = rng.gauss(0, 1)
    while abs(gauge) > 2:
        gauge = rng.gauss(0, 1)
    return Day(
        errors=errors,
        scale_zero=rng.uniform(-1, 1) * errors.scale,
        scale_sight=errors.scale / 6,
        radius=rng.gauss(0, errors.radius),
        feed=rng.gauss(0, errors.feed),
        pivot_along=rng.uniform(-1, 1) * errors.pivot,
        pivot_across=rng.uniform(-1, 1) * errors.pivot,
        film=math.exp(rng.uniform(-1, 1) * math.log(errors.film)),
        wear=math.exp(rng.uniform(-1, 1) * math.log(errors.wear)),
        gauge=gauge * errors.gauge,
    )
