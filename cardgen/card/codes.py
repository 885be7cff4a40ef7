"""Every check's code: what it means, and whether the hand at the machine has to hear it.

Codes are stable: other programs lean on them. An error keeps the card from being made; of the rest, the
card prints what is for the hand, and the part's page of the booklet all of it.
"""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Code:
    """What a check means, and for whom it is."""

    means: str
    for_hand: bool = True


CODES: Mapping[str, Code] = {
    # the figures among themselves
    "figures-disagree": Code("figures given beyond enough do not agree", for_hand=False),
    "figures-impossible": Code("a sum has no answer with these figures"),
    "finish-disagrees": Code("the finish reading is not what the gauge would show on the part's size"),
    "finish-from-gauge": Code("the finish reading is corrected by the gauge's calibration", for_hand=False),
    "gauge-line-at-face": Code("a standard taper's line is taken to lie at the face", for_hand=False),
    "gauge-line-off-taper": Code("the gauge line lies off the taper"),
    "gauge-line-unplaced": Code("nothing says where the basic diameter lies"),
    "small-end-vanishes": Code("the taper runs out to a point"),
    "no-hole": Code("the stock on a blank fills its hole"),
    "tolerances-disagree": Code("two tolerances of the size differ, the tighter is used", for_hand=False),
    "no-angle-tolerance": Code("no tolerance of the angle is stated", for_hand=False),
    "relief-over-gauge-line": Code("the relief takes in the plane of the gauge line", for_hand=False),
    # the gauge and the tools
    "gauge-lapsed": Code("a gauge's calibration has lapsed"),
    "gauge-other-taper": Code("the gauge has another taper than the part"),
    "gauge-taper-differs": Code("the gauge's taper differs within the angle tolerance", for_hand=False),
    "gauge-short": Code("the gauge touches less than two thirds of what is ground"),
    "gauge-meets-shoulder": Code("ring and shoulder, or collar and mouth, meet within the tolerance"),
    "gauge-on-unground": Code("the gauge reaches over what the wheel leaves at a shoulder or a bottom"),
    "reading-out-of-reach": Code("the place read at lies inside the hole", for_hand=False),
    "reading-off-piece": Code("a printed reading cannot be shown by this gauge on this piece"),
    "tool-too-coarse": Code(
        "a division of the finishing tool is more than a quarter of what may be accepted"
    ),
    "size-not-proved": Code("no reading of the finishing tool proves the size", for_hand=False),
    "allowance-not-seen": Code("what is left for finishing cannot be told from nothing"),
    "marks-miss-size": Code("no piece between the gauge's marks is within its limits of size"),
    "marks-beyond-size": Code("a piece between the gauge's marks may be outside its limits of size"),
    "marks-within-size": Code("the gauge's marks are closer than the limits of size", for_hand=False),
    "sized-to-mate": Code("the mating part is the gauge: nothing is proved but bearing and gap on it"),
    # the stock
    "blank-limits-not-told-apart": Code(
        "least and most of a blank lie within a division of the tool; the finishing tool's are printed",
        for_hand=False,
    ),
    "blank-limits-not-shown": Code("no tool of the part can tell the least of a blank from the most"),
    "blank-too-small": Code("a blank may have too little for cleaning up and finishing"),
    "stages-out-of-order": Code("the stages do not follow on one another"),
    "salvage-within-size": Code("worn pieces may be ground no further than new ones"),
    "salvage-off-gauge": Code("the gauge cannot show a worn piece that is ground as far as it may be"),
    "salvage-not-needed": Code("a worn piece that is worth starting would clean up as a blank does"),
    # the machine
    "handwheel-too-coarse": Code(
        "a division of the handwheel is more than a quarter of what may be accepted"
    ),
    "radii-disagree": Code("radii of one swivel differ by more than three times"),
    "radius-unlikely": Code("a radius of a swivel is none that a table has"),
    "swivel-beyond-limit": Code("neither table nor wheel head reaches the angle"),
    "start-beyond-stock": Code("the best way to set the swivel leaves more over than the stock can bear"),
    "start-far-off": Code(
        "the best way to set the swivel leaves more over than the proof lets pass: it is corrected",
        for_hand=False,
    ),
    "wheel-head-set": Code("the wheel head carries the angle", for_hand=False),
    # the wheel and the stroke
    "wheel-overspeed": Code("the wheel would run above its marking"),
    "wheel-speed-barred": Code("the machine has speeds that this wheel must not run at"),
    "wheel-stands": Code("the wheel hardly turns"),
    "wheel-slow": Code("the wheel runs below its sensible speed"),
    "wheel-out-of-shape": Code("the wheel is much wider than its diameter", for_hand=False),
    "wheel-too-large-for-bore": Code("the wheel does not go well into the hole"),
    "wheel-too-narrow": Code("by plunge, the wheel does not cover the taper"),
    "wheel-wears-fast": Code(
        "the wheel's wear on one piece is more than a quarter of the limits to accept; each is then sized",
        for_hand=False,
    ),
    "wheel-wear-unknown": Code("no grinding ratio is given, so every piece is gauged", for_hand=False),
    "plunge": Code("the taper is ground by plunge", for_hand=False),
    "no-relief": Code("the wheel cannot pass; the caution stands beside the travel", for_hand=False),
    "relief-narrow": Code("the wheel's edge turns back nearer to the shoulder than it should"),
    # the operations of one piece
    "operation-number-missing": Code("an operation of a piece with several has no number"),
    "operation-number-twice": Code("two operations of one piece have the same number"),
    "piece-differs": Code("two operations of one piece do not agree about the piece", for_hand=False),
    # the angle and the batch
    "angle-lopsided": Code("the angle may be off more one way than the other: it is aimed at the middle"),
    "angle-not-proved": Code("no means of proof at hand can decide the angle tolerance"),
    "check-too-seldom": Code("the part asks for fewer checks than are safe", for_hand=False),
    "centre-depth-spread": Code("the centres' depth uses up half of the size tolerance or more"),
}
