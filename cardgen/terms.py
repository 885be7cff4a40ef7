"""The trade's fixed vocabularies, each with its facts once; every room may import this, it imports none.

A new word is added to its Literal; the type checker then names each place that must know it, for a `match`
over these words ends in `assert_never`. The names that a card prints for them are in the templates.
"""

import math
from dataclasses import dataclass
from functools import cache
from typing import Literal, assert_never, get_args

# The work and how it is held.

Side = Literal["external", "internal"]
End = Literal["large", "small", "both", "none"]  # of the taper
OneEnd = Literal["large", "small"]
HeavyEnd = Literal["large", "small", "both"]
GaugeType = Literal["ring", "plug", "light", "mate"]  # mate: the mating part itself, uncalibrated

# Readings.

ReadingKind = Literal["shoulder_gap", "small_end_standout", "plug_standoff", "collar_gap", "plug_depth"]


@dataclass(frozen=True)
class ReadingFacts:
    """What holds of every reading of a kind."""

    side: Side
    grows_with_stock: bool
    gauge_end: OneEnd  # of the gauge, that the reading is taken at
    from_plane: bool = False  # read from a plane that the part may name
    to_collar: bool = False  # read to a face of the plug that stays outside
    closes: bool = False  # at nought gauge and work meet, and nothing is shown any more

    @property
    def grows_with_diameter(self) -> bool:
        """Whether larger work reads more: stock makes a shank larger, and leaves a hole smaller."""
        return self.grows_with_stock == (self.side == "external")


@cache
def reading(kind: ReadingKind) -> ReadingFacts:
    """The facts of a kind of reading."""
    match kind:
        case "shoulder_gap":
            return ReadingFacts("external", grows_with_stock=True, gauge_end="large", closes=True)
        case "small_end_standout":
            return ReadingFacts("external", grows_with_stock=False, gauge_end="small")
        case "plug_standoff":
            return ReadingFacts("internal", grows_with_stock=True, gauge_end="large")
        case "collar_gap":
            return ReadingFacts(
                "internal", grows_with_stock=True, gauge_end="large", to_collar=True, closes=True
            )
        case "plug_depth":
            return ReadingFacts("internal", grows_with_stock=False, gauge_end="small", from_plane=True)
        case _:
            assert_never(kind)


READING_KINDS: tuple[ReadingKind, ...] = get_args(ReadingKind)

# Stages on the way to size.

StageName = Literal[
    "blank low", "blank high", "clean-up", "rough", "semi-finish", "finish low", "finish", "finish high"
]
ToolUse = Literal["rough", "finish"]
PastSize = Literal["under size", "over size"]
StandsAt = (
    PastSize
    | Literal["set aside", "finished", "finishing", "roughing", "cleaning up", "blank", "too much stock"]
)

# The machine: scales of the swivel, what measures its swing, which way it turns.

ScaleShows = Literal["half_angle", "included_angle", "taper_per_foot", "mm_per_m", "per_cent"]
ScaleUnit = Literal["deg", "in/ft", "mm/m", "%"]
SCALE_UNITS: tuple[ScaleUnit, ...] = get_args(ScaleUnit)
DEGREES_IN_TURN = 360


@dataclass(frozen=True)
class ScaleOfAngle:
    """What a scale of angles is engraved in."""

    unit: ScaleUnit
    in_turn: int  # units in a full turn
    half_angles: Literal[1, 2]  # that it shows: 2 on a scale of included angles


@dataclass(frozen=True)
class ScaleOfTaper:
    """What a scale of tapers on the diameter is engraved in."""

    unit: ScaleUnit
    of_ratio: int  # units in a taper ratio of 1


RateKind = Literal["ratio", ScaleShows]  # in which a standard defines its taper: 7:24, or as a scale shows it


def scale(shows: ScaleShows) -> ScaleOfAngle | ScaleOfTaper:
    """The facts of what a swivel's scale shows."""
    match shows:
        case "half_angle":
            return ScaleOfAngle("deg", DEGREES_IN_TURN, half_angles=1)
        case "included_angle":
            return ScaleOfAngle("deg", DEGREES_IN_TURN, half_angles=2)
        case "taper_per_foot":
            return ScaleOfTaper("in/ft", 12)
        case "mm_per_m":
            return ScaleOfTaper("mm/m", 1000)
        case "per_cent":
            return ScaleOfTaper("%", 100)
        case _:
            assert_never(shows)


SwingType = Literal["sine", "tangent", "chord"]
Swivelled = Literal["table", "wheel head"]
SlideFed = Literal["below", "above"]
HandwheelReads = Literal["diameter", "radius"]
TableMoves = Literal["tailstock end towards wheel", "tailstock end away from wheel"]
Rotation = Literal["clockwise", "anticlockwise"]  # a wheel head seen from above, a screw from its dial

# Setting the swivel and proving the angle.

StartWay = Literal["test bar", "slips", "indicator", "scale", "spindle bar", "wheel head"]
ProofMeans = Literal["blue", "light gauge", "rolls", "balls", "sine bar"]

# The moves of a batch: what is done, by what means, until what, and what if not.

MovePhase = Literal["set up", "prove", "rough", "finish", "mind"]  # 'mind': holds for every finished piece
MoveId = Literal[
    "mount the wheel",
    "accept blanks",
    "set the swivel",
    "set the stroke",
    "clean up",
    "rub",
    "prove the angle",
    "rough the first",
    "rough the batch",
    "semi-finish",
    "dress",
    "finish the first",
    "finish on the stop",
    "finish each",
    "clean up with the least",
    "move the stop",
    "grind again",
    "set aside",
    "salvage or scrap",
]
MoveMeans = ProofMeans | StartWay | Literal["rough tool", "finish tool", "eye"]
MoveUntil = Literal[
    "set",
    "within the limits",
    "ground all over",
    "bears all over",
    "no error is seen",
    "at the reading",
    "all are ground",
]
MoveIfNot = Literal[
    "send back",
    "lay aside",
    "scrap",
    "prove before the first cut",
    "turn and clean up",
    "turn, clean up and inspect elsewhere",
    "feed by the table",
    "leave the batch more",
    "nothing",
]

# Putting the taper right.

Meaning = Literal["too shallow", "too steep", "right"]
Towards = Literal["more", "less"]  # taper
Turn = Towards | Literal["none"]
ReadingMoves = Literal["up", "down"]

# The paper.

Level = Literal["error", "warning", "note"]
Units = Literal["inch", "metric", "both"]
System = Literal["mm", "in"]
PaperSize = Literal["A4", "letter"]
BookletTables = Literal[
    "conversions",
    "standards",
    "stock",
    "divisions",
    "swivel",
    "test_bar",
    "correction",
    "sine_bar",
    "rolls",
    "grades",
    "warmth",
    "speeds",
    "dressing",
    "centre_holes",
    "numbers",
    "parts",
    "cards",
]
BOOKLET_TABLES: tuple[BookletTables, ...] = get_args(BookletTables)

SYSTEMS: dict[Units, tuple[System, ...]] = {"metric": ("mm",), "inch": ("in",), "both": ("mm", "in")}
INCH = 25.4  # mm, the international inch of 1959
ARCSEC = math.degrees(1) * 3600  # arc seconds in a radian
MM: dict[System, float] = {"mm": 1.0, "in": INCH}
