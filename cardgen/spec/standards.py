"""Names in a spec that the tables know: standard tapers, groups of material, angle grades, slip sets.

A standard taper fills in what its part leaves out: the ratio, and the length and the gauge-line
diameter where the part gives none of its own.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace

from cardgen import tapers
from cardgen.spec.callout import CALLOUT_FORMS, Callout, read_callout
from cardgen.spec.complaint import Mistake, Refusal, did_you_mean, shown
from cardgen.spec.likely import likely
from cardgen.spec.models import BookletRecord, GaugeRecord, PartRecord
from cardgen.spec.quantity import Figure, read_slope
from cardgen.terms import INCH

_OTHER_UNIT = {"mm": ("in", INCH), "in": ("mm", 1 / INCH)}
LIKE = 0.01  # figures that lie nearer than this share are one figure, rounded
MOST_SIZES = 61  # a series is numbered below this
FEW = 9  # names of sizes that a message may hold


def with_standard(part: PartRecord) -> tuple[PartRecord, list[Mistake]]:
    """The part with its standard taper's figures filled in."""
    if part.taper.callout is None or part.taper.callout.standard is None:
        return part, []
    callout, standard, findings = _resolved(part.taper.callout)
    if standard is None:
        return part, findings
    taper = part.taper
    filled: dict[str, object] = {"callout": callout}
    if taper.length is None and standard.length is not None and not standard.length.about:
        filled["length"] = _figure(standard.length)
    given = {
        ("taper", "gauge_line", "diameter"): taper.gauge_line.diameter,
        ("taper", "large_diameter"): taper.large_diameter,
        ("taper", "small_diameter"): taper.small_diameter,
    }
    if not any(given.values()):
        if standard.gauge_line is not None and standard.gauge_line_at != "small":
            line = taper.gauge_line.model_copy(update={"diameter": _figure(standard.gauge_line)})
            filled["gauge_line"] = line
        elif standard.large is not None:
            filled["large_diameter"] = _figure(standard.large)
        elif standard.gauge_line is not None:
            filled["small_diameter"] = _figure(standard.gauge_line)
    findings = [found for at, diameter in given.items() for found in _in_other_unit(at, diameter, standard)]
    return part.model_copy(update={"taper": taper.model_copy(update=filled)}), findings


def gauge_with_standard(gauge: GaugeRecord) -> tuple[GaugeRecord, list[Mistake]]:
    """The gauge with its standard taper's ratio filled in."""
    callout, standard, findings = _resolved(gauge.taper.callout)
    if standard is not None and gauge.gauge_line is not None:
        findings = list(_in_other_unit(("gauge_line", "diameter"), gauge.gauge_line.diameter, standard))
    return gauge.model_copy(update={"taper": gauge.taper.model_copy(update={"callout": callout})}), findings


def _in_other_unit(
    at: tuple[str, ...], given: Figure | None, standard: tapers.StandardTaper
) -> Iterator[Mistake]:
    """A diameter that is one of the standard's but for the unit behind it."""
    number, _, unit = given.text.rpartition(" ") if given is not None else ("", "", "")
    if given is None or unit not in _OTHER_UNIT:
        return
    other, times = _OTHER_UNIT[unit]
    for own in (standard.gauge_line, standard.large, standard.small):
        if own is not None and abs(given.value * times / own.mm - 1) < LIKE:
            wrong = f"{shown(given.text)} is not a diameter of {standard.name}, which has {own}"
            yield Mistake(at, wrong, f"if the unit is mistaken, write {number} {other}")
            return


def _figure(length: tapers.Length) -> Figure:
    return Figure(length.mm, float(length.half_digit_mm), str(length))


def _resolved(callout: Callout) -> tuple[Callout, tapers.StandardTaper | None, list[Mistake]]:
    """The callout with the ratio of the standard taper it names, if it names one."""
    if callout.standard is None:
        return callout, None, []
    standard = tapers.find(callout.standard)
    if standard is None:
        refusal = _unknown(callout.standard)
        return (
            callout,
            None,
            [Mistake(("taper", "callout"), refusal.wrong, refusal.right, piece=refusal.piece)],
        )
    ratio = Figure(standard.ratio, standard.ratio_half_digit, standard.callout_text)
    return replace(callout, ratio=ratio, standard=standard.name), standard, []


def _unknown(text: str) -> Refusal:
    """Why a callout that is no number is no standard taper either, and what was likely meant."""
    sizes = [taper.name for size in range(MOST_SIZES) if (taper := tapers.find(f"{text} {size}")) is not None]
    if sizes:
        few = sizes if len(sizes) <= FEW else [*sizes[: FEW - 1], "…", sizes[-1]]
        return Refusal(f"{shown(text)} does not say which size", f"write one of {', '.join(few)}", text)
    near = tapers.suggestions(text)
    refusal = Refusal(
        f"{shown(text)} is not a standard taper that is known",
        f"did you mean '{near[0]}'?" if near else "",
        such_as=CALLOUT_FORMS,
    )
    if text[:1].isdigit() or text[:1] in ".+-":
        try:
            read_slope(text)
        except Refusal as of_number:
            refusal = of_number
    return Refusal(refusal.wrong, likely(text, _is_taper) or refusal.right, refusal.piece)


def _is_taper(text: str) -> bool:
    try:
        callout = read_callout(text)
    except Refusal:
        return False
    return callout.standard is None or tapers.find(callout.standard) is not None


def material_findings(part: PartRecord) -> Iterator[Mistake]:
    """The group of material is one whose grinding is known."""
    yield from _looked_up(("material", "group"), lambda: tapers.grinding_practice(part.material.group))


def grade_findings(part: PartRecord) -> Iterator[Mistake]:
    """The angle grade exists for a taper of this length."""
    tolerance, length = part.taper.angle_tolerance, part.taper.length
    if tolerance is not None and tolerance.grade is not None and length is not None:
        grade, length_mm = tolerance.grade, length.value
        yield from _looked_up(("taper", "angle_tolerance"), lambda: tapers.angle_grade(grade, length_mm))


def _looked_up(at: tuple[str | int, ...], look_up: Callable[[], object]) -> Iterator[Mistake]:
    try:
        look_up()
    except LookupError as error:
        wrong, _, right = str(error.args[0]).partition("; ")
        yield Mistake(at, wrong, right or "give the tolerance as ± over the length")


def slip_set_findings(names: tuple[str, ...], at: tuple[str, ...]) -> Iterator[Mistake]:
    """Each set of slip gauges is one whose pieces are known."""
    for index, name in enumerate(names):
        if tapers.slip_set(name) is None:
            known = [slip_set.name for slip_set in tapers.slip_sets()]
            wrong = f"{shown(name)} is not a set of slip gauges that is known"
            yield Mistake((*at, index), wrong, did_you_mean(name, known))


def booklet_findings(booklet: BookletRecord) -> Iterator[Mistake]:
    """Each taper of a booklet is `all`, a series or a trade's name for one, a standard taper or a callout."""
    for index, name in enumerate(booklet.tapers):
        if name.casefold() == "all" or tapers.series_named(name):
            continue
        try:
            callout = read_callout(name)
            if callout.standard and tapers.find(callout.standard) is None:
                raise _unknown(name)
        except Refusal as refusal:
            yield refusal.at(("tapers", index))
