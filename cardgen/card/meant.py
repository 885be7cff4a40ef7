"""Which one figure of a part or its gauge, written otherwise, would make all the others agree.

It is asked only where figures do not agree, and it alters nothing: it tells where to look first.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TypeVar

from cardgen.card.at_the_bench import can_be_read
from cardgen.card.called import ratio_of
from cardgen.card.facts import Records, facts_of
from cardgen.card.finding import PartErrors, Place
from cardgen.compute.sum_error import SumError
from cardgen.spec.callout import Callout, read_callout
from cardgen.spec.complaint import Refusal, shown
from cardgen.spec.models.keys import Keys
from cardgen.spec.quantity import read_length

Group = TypeVar("Group", bound=Keys)
MOST = 2  # figures that are named: where more could be the wrong one, none is likely

OF_FIGURES = {  # codes of checks that hold a figure against another
    "gauge-other-taper",
    "figures-disagree",
    "gauge-line-off-taper",
    "small-end-vanishes",
    "finish-disagrees",
    "figures-impossible",
}

_LENGTH = re.compile(r"([0-9]*\.?[0-9]+) ?(mm|in)")
_ANGLE = re.compile(r"(included|half) angle ([0-9.]+) ?deg|([0-9.]+) ?deg (included|half)(?: angle)?")
_RATIO = re.compile(r"([0-9.]+) ?: ?([0-9.]+)")
_PART_KEYS = ("taper.gauge_line.diameter", "taper.large_diameter", "taper.small_diameter", "taper.length")
_GAUGE_KEYS = ("gauge_line.diameter",)


@dataclass(frozen=True)
class Slip:
    """A figure that was likely written wrong, and what was meant by it."""

    place: Place
    written: str
    advice: str  # "if '.938 mm' was meant in inches, write .938 in"


def with_likely_slips(records: Records, errors: PartErrors) -> PartErrors:
    """The errors told at the one figure that likely brought them about; as they are where none is likely."""
    if not any(found.code in OF_FIGURES for found in errors.findings):
        return errors
    slips = sorted(
        _slips(records), key=lambda slip: len(slip.written)
    )  # the fewer digits, the less looked at
    if not 0 < len(slips) <= MOST:
        return errors
    first, *others = slips
    elsewhere = "".join(
        f"; or {slip.advice} at {slip.place.key} of {slip.place.kind} {slip.place.id}" for slip in others
    )
    gravest = next(found for found in errors.findings if found.level == "error")
    return PartErrors([replace(gravest, place=first.place, right=f"{first.advice}{elsewhere}")])


def _slips(records: Records) -> Iterator[Slip]:
    """Every single figure that, written otherwise, makes part and gauge agree."""
    for kind, key, written in _figures(records):
        for meant, instead in (_callouts if key.endswith("callout") else _lengths)(written, key):
            try:
                tried = _with(records, kind, key, instead)
            except Refusal:
                continue
            if _agree(tried):
                record_id = records.part.id if kind == "part" else records.gauge.id
                advice = f"if {meant.format(shown(written))}, write {instead}"
                yield Slip(Place(kind, record_id, key), written, advice)
                break


def _figures(records: Records) -> Iterator[tuple[str, str, str]]:
    """Kind of record, key and text of each figure that may be the wrong one."""
    for kind, record, keys in (
        ("part", records.part, ("taper.callout", *_PART_KEYS)),
        ("gauge", records.gauge, ("taper.callout", *_GAUGE_KEYS)),
    ):
        for key in keys:
            found: object = record
            for step in key.split("."):
                found = getattr(found, step, None)
            if found is not None and getattr(found, "standard", None) is None:
                yield kind, key, str(getattr(found, "text", ""))


def _lengths(written: str, key: str) -> Iterator[tuple[str, str]]:
    """What a length may have been meant to be: the other unit, the radius, a decimal point that slipped."""
    match = _LENGTH.fullmatch(written)
    if match is None:
        return
    number, unit = match.groups()
    yield (
        ("{} was meant in inches", f"{number} in") if unit == "mm" else ("{} was meant in mm", f"{number} mm")
    )
    if key.endswith("diameter"):
        yield "{} is the radius", f"{2 * float(number):g} {unit}"
    for times in (10, 0.1):
        yield "the decimal point of {} slipped", f"{times * float(number):g} {unit}"


def _callouts(written: str, _key: str) -> Iterator[tuple[str, str]]:
    """What a taper may have been meant to be: the other angle, per foot, per cent, upside down, per side."""
    angle, ratio = _ANGLE.fullmatch(written), _RATIO.fullmatch(written)
    if angle is not None:
        which, number = angle[1] or angle[4], angle[2] or angle[3]
        other = "half" if which == "included" else "included"
        yield f"{{}} is the {other} angle", f"{other} angle {number} deg"
        yield f"{{}} is twice the {which} angle", f"{which} angle {float(number) / 2:g} deg"
        degrees, _, minutes = number.partition(".")
        if len(minutes) == 2:
            yield "{} is degrees and minutes", f"{which} angle {degrees} deg {minutes} min"
        return
    of_length = ratio_of(read_callout(written)).value
    if ratio is not None:
        yield "{} stands upside down", f"{ratio[2]}:{ratio[1]}"
    if ratio is None or "." in written:
        yield "{} is taper per foot", f"{of_length:.6g} in/ft"
        yield "{} is not per foot but inch for inch", f"{12 * of_length:.6g} in/in"
        yield "{} is per cent", f"{of_length:.6g} %"
        yield "{} is not per cent but the ratio", f"{100 * of_length:.6g} mm/mm"
    yield "{} is counted on the radius", f"1:{1 / (2 * of_length):.6g}"


def _with(records: Records, kind: str, key: str, text: str) -> Records:
    """The records with this text at this key; raises Refusal where it cannot be read."""
    value: object = read_callout(text) if key.endswith("callout") else read_length(text)
    if isinstance(value, Callout) and value.standard is not None:
        raise Refusal(
            f"{shown(text)} is no figure", "write one"
        )  # beyond sense as one, it was taken for a name
    if kind == "part":
        return replace(records, part=_copied(records.part, key.split("."), value))
    return replace(records, gauge=_copied(records.gauge, key.split("."), value))


def _copied(group: Group, steps: list[str], value: object) -> Group:
    below = value if len(steps) == 1 else _copied(getattr(group, steps[0]), steps[1:], value)
    return group.model_copy(update={steps[0]: below})


def _agree(records: Records) -> bool:
    """Whether part and gauge agree, so that every blank shows a reading."""
    try:
        facts = facts_of(records)
        touching = facts.contact > 0
    except (PartErrors, SumError, LookupError):
        return False
    of_gauge = ratio_of(records.gauge.taper.callout).value * records.gauge.length_mm
    blank = records.part.stock.blank.high / facts.per_reading
    readings = facts.geometry.finish_reading, facts.geometry.finish_reading + blank
    sharp = facts.geometry.gauge_diameter <= of_gauge
    return touching and not sharp and all(can_be_read(facts.seat, facts.sizing, each) for each in readings)
