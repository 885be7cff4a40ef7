"""The library's answer to 'what taper is this?', as lines and tables for a screen."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple, assert_never

from cardgen.booklet.tables import (
    Printed,
    Remark,
    StandardSeries,
    StandardSize,
    TaperAnswer,
    TaperMatch,
    TaperSense,
)
from cardgen.digits import (
    decimal,
    degrees_minutes_seconds,
    inch_decimal,
    inch_plain,
    plain_number,
    signed,
    with_fractions,
)
from cardgen.terms import INCH, System

_ENDS = {"large": "large end", "small": "small end"}
_DIMENSIONS = {
    "large": "large end",
    "small": "small end",
    "length": "length",
    "projection": "beyond line",
    "tang": "with tang",
    "flange": "to flange",
}
_READ_AS = {
    "per foot": "As a taper of {told}",
    "one in": "As a ratio of {told}",
    "ratio": "As a ratio of {told}",
    "share": "As a taper of {told}",
    "per cent": "As a taper of {told}",
    "per thousand": "As a taper of {told}",
    "length": "As a taper of {told}",
    "included": "As an included angle of {told}",
    "half": "As a half angle of {told}",
    "ends": "As two diameters and the length between them, {told}",
    "diameter": "As a diameter of {told}",
    "two diameters": "As two diameters, {told}",
    "numbered": "As the number of a size, {told}",
}
_WHAT_TO_TYPE = (
    "Type a name and size (Morse 3, B&S 9, ISO 40, HSK 63), a standard (DIN 228), a taper (0.602 in/ft, "
    "1:20, 5 %, half angle 8°18', included 16°), a diameter with its unit (44.45 mm), or two diameters and "
    "the length between them (.938 .778 3.1875 in)."
)


MOST_TOLD = 60  # characters of a question that is given back
FAR_MM = 1.0  # over 100 mm: beyond this a cone is not near
MANY = 60  # lines, beyond which each has the ends and the length alone
_OF_A_PIECE = ("diameter", "two diameters", "numbered")


class Head(NamedTuple):
    """The head of a column, and whether figures stand in it."""

    text: str
    figure: bool


class TaperTable(NamedTuple):
    """A table of an answer."""

    heads: tuple[Head, ...]
    rows: tuple[tuple[str, ...], ...]


def told(answer: TaperAnswer) -> Iterator[str | TaperTable]:
    """An answer, line by line and table by table; what the library has nothing for comes last, in a line."""
    empty = [sense for sense in answer.senses if sense.kind in _OF_A_PIECE and not sense.matches]
    full = [sense for sense in answer.senses if sense not in empty]
    for number, sense in enumerate(full):
        at_length = not number or bool(sense.matches or sense.equal)
        if number and at_length:
            yield ""
        yield from map(_plain_grid, _of_sense(sense, at_length))
    if empty:
        asked = "; ".join(_READ_AS[sense.kind].format(told=sense.told).removeprefix("As ") for sense in empty)
        yield _plain(f"Of no standard taper here: {asked}.")
    if any(sense.kind == "two diameters" for sense in answer.senses):
        yield "With the length between the two diameters the taper itself can be told: add it."
    sizes = {match.size.size for sense in answer.senses for match in sense.matches}
    for series in answer.series:
        yield from (_plain(with_fractions(line)) for line in _of_series(series, sizes))


def not_found(answer: TaperAnswer) -> tuple[str, str]:
    """What is said where nothing answers: why, the nearest names, and what can be typed."""
    asked = answer.asked if len(answer.asked) <= MOST_TOLD else f"{answer.asked[:MOST_TOLD]}…"
    wrong = answer.wrong or f"no standard taper '{asked}'"
    near = f"; did you mean {' or '.join(answer.suggestions)}?" if answer.suggestions else ""
    return f"{wrong}{near}", _WHAT_TO_TYPE


def _plain_grid(line: str | TaperTable) -> str | TaperTable:
    if isinstance(line, str):
        return _plain(line)
    return TaperTable(line.heads, tuple(tuple(map(_plain, row)) for row in line.rows))


def _of_sense(sense: TaperSense, at_length: bool) -> Iterator[str | TaperTable]:
    match sense.kind:
        case "rate":
            yield from _of_rate(sense, at_length)
        case "ends":
            yield f"{_heading(sense)}:"
            yield _compared(sense.near or sense.matches, sense.over_mm, past=True)
            yield "Differences are on the diameter; positive: steeper than the standard taper."
        case "diameter" | "two diameters" | "numbered":
            yield f"{_READ_AS[sense.kind].format(told=sense.told)}, of:"
            yield _sizes(sense.matches)
        case "size" | "series" | "standard" | "use" | "astray":
            yield from _of_name(sense)
        case _:
            assert_never(sense.kind)


def _heading(sense: TaperSense) -> str:
    read = _READ_AS[sense.reading].format(told=sense.told)
    return f"{read}: {_forms(sense.taper)}" if sense.taper else read


def _forms(size: StandardSize) -> str:
    """How fast it tapers, in every form."""
    half = size.half_angle_deg
    return (
        f"1 : {decimal(size.ratio_1_to, 4)}, {inch_decimal(size.per_foot_in, 5)} in/ft, "
        f"{plain_number(100 / size.ratio_1_to, 4)} %, half angle {degrees_minutes_seconds(half)} "
        f"({plain_number(half, 5)}°), included {degrees_minutes_seconds(2 * half)}"
    )


def _of_rate(sense: TaperSense, at_length: bool) -> Iterator[str | TaperTable]:
    """The families that are this cone, then the nearest; where other senses are likelier, in one line."""
    heading = _heading(sense)
    if not at_length:
        nearest, off = sense.near[0], sense.near[0].difference_mm or 0.0
        by = f"{signed(decimal(off, 3))} mm over {_over(sense.over_mm)}"
        near = f", nearest {nearest.name} ({by})" if abs(off) < FAR_MM else ""
        yield f"{heading}; no standard cone{near}."
        return
    yield f"{heading}."
    if not sense.equal:
        yield "No standard cone is this one; the nearest:"
    yield _compared((*sense.equal, *sense.near), sense.over_mm, past=False)
    yield "Differences are on the diameter; positive: steeper than the standard taper."


def _over(over_mm: float) -> str:
    return min(f"{plain_number(over_mm, 4)} mm", f"{inch_plain(over_mm / INCH, 5)} in", key=len)


_TAPER = (Head("in/ft", True), Head("1 : x", True), Head("half angle", True))


def _names(matches: Sequence[TaperMatch]) -> tuple[Head, ...]:
    """The first heads: callouts only where they say more than the taper per foot beside them."""
    called = any(not match.size.callout.endswith(" in/ft") for match in matches)
    return (Head("taper", False), *([Head("callout", False)] if called else ()))


def _common(match: TaperMatch, names: Sequence[Head]) -> tuple[str, ...]:
    size = match.size
    return (
        *(match.name, with_fractions(size.callout))[: len(names)],
        inch_decimal(size.per_foot_in, 5),
        decimal(size.ratio_1_to, 4),
        degrees_minutes_seconds(size.half_angle_deg),
    )


def _compared(matches: Sequence[TaperMatch], over_mm: float, past: bool) -> TaperTable:
    """Standard tapers beside the one asked about, a line each."""
    names = _names(matches)
    heads = (*names, *_TAPER, Head(f"differs over {_over(over_mm)}", True), Head("in inches", True))
    last = Head("large end past the gauge line" if past else "", past)
    rows = []
    for match in matches:
        off = match.difference_mm or 0.0
        differs = (f"{signed(decimal(off, 4))} mm", signed(inch_decimal(off / INCH, 5)))
        beyond = match.beyond_gauge_line_mm
        lies = "" if beyond is None else f"{signed(decimal(beyond, 2))} mm"
        agrees = "" if not match.agrees else "the same cone" if not round(off, 4) else "within the rounding"
        rows.append((*_common(match, names), *differs, lies if past else agrees, _doubt(match)))
    return TaperTable((*heads, last, Head("", False)), tuple(rows))


def _doubt(match: TaperMatch) -> str:
    return {"published": "", "memory": "from memory"}.get(match.confidence, match.confidence)


def _of_name(sense: TaperSense) -> Iterator[str | TaperTable]:
    if sense.told:
        yield f"{sense.told[:1].upper()}{sense.told[1:]}."
    if len(sense.matches) == 1 and len(sense.matches[0].sizes) == 1:
        yield from _one_size(sense.matches[0])
    elif sense.matches:
        yield _sizes(sense.matches)
    if sense.equal:
        names = "; ".join(match.name for match in sense.equal)
        yield f"The same cone, within the rounding of the figures: {names}."


def _one_size(match: TaperMatch) -> Iterator[str | TaperTable]:
    """One size, dimension by dimension."""
    size = match.size
    yield f"{match.name}: {_forms(size)}; by its standard {with_fractions(size.callout)}."
    rows = []
    for end, name in _DIMENSIONS.items():
        printed = getattr(size, end)
        if printed is not None:
            line = f"{name}, the gauge line" if end == match.gauge_line_at else name
            rows.append((line, *(f"{_in_system(printed, system)} {system}" for system in ("mm", "in"))))
    if rows:
        heads = (Head("", False), Head("", True), Head("", True))
        yield TaperTable(heads, tuple(rows))
    if size.small is None and size.large is not None and size.length is not None:
        small = size.large.mm - size.length.mm / size.ratio_1_to
        about, less = ("about ", 2) if size.length.about else ("", 0)
        there = f"{about}{decimal(small, 3 - less)} mm, {inch_decimal(small / INCH, 4 - less)} in"
        yield f"Small end at that length, by the taper: {there}."


def _sizes(matches: Sequence[TaperMatch]) -> TaperTable:
    """A line a size, its dimensions in both units; a line a family where the sizes were gathered."""
    ends = [end for end in _DIMENSIONS if any(_own(match, end) for match in matches)]
    if len(matches) > MANY:
        ends = ends[:3]  # of the whole library no line would fit
    names = _names(matches)
    heads = [*names, *_TAPER]
    for end in ends:
        heads += [Head(f"{_DIMENSIONS[end]} mm", True), Head("in", True)]
    rows = []
    for match in matches:
        row = list(_common(match, names))
        for end in ends:
            printed = _own(match, end)
            row += [_in_system(printed, "mm"), _in_system(printed, "in")] if printed else ["", ""]
        rows.append((*row, _doubt(match)))
    return TaperTable((*heads, Head("", False)), tuple(rows))


def _own(match: TaperMatch, end: str) -> Printed | None:
    """A dimension of one size; sizes gathered in one line have none in common."""
    found: Printed | None = getattr(match.size, end) if len(match.sizes) == 1 else None
    return found


def _in_system(printed: Printed, system: System) -> str:
    """As its source prints it, or worked out in the other system with no more digits than it can have."""
    about = "about " if printed.about else ""
    if printed.unit == system:
        text = printed.text
        return about + with_fractions(
            text.removeprefix("0") if system == "in" and text.startswith("0.") else text
        )
    less = 2 if printed.about else 0
    if system == "mm":
        return about + decimal(printed.mm, 3 - less)
    return about + inch_decimal(printed.mm / INCH, 4 - less)


def _of_series(series: StandardSeries, sizes: set[str]) -> Iterator[str]:
    yield f"{series.name}: {series.title}."
    if series.gauge_line_at:
        yield f"Gauge line at the {_ENDS[series.gauge_line_at]}. {series.planes}."
    if series.grade:
        yield f"Angle: {series.grade}."
    if series.not_known:
        yield f"Not known here: {', '.join(series.not_known)}."
    yield f"Source: {series.source}."
    for remark in series.remarks:
        if not remark.sizes or sizes & set(remark.sizes):
            yield _remark(remark, sizes)


def _remark(remark: Remark, sizes: set[str]) -> str:
    """A remark as far as it is about these sizes."""
    about = [number for number, size in enumerate(remark.sizes) if size in sizes]
    of = f"{', '.join(remark.sizes[number] for number in about)}: " if about else ""
    match remark.kind:
        case "conflict":
            prints = ", ".join([remark.prints[number] for number in about] or remark.prints)
            return f"{of}elsewhere {remark.figure} {prints} ({remark.source}); not used: {remark.text}."
        case "source":
            return f"{of}source: {remark.text}."
        case "disagrees":
            return f"{of}these figures do not agree among themselves: {remark.text}."
        case "note":
            return f"{of}{remark.text}."
        case _:
            assert_never(remark.kind)


def _plain(cell: str) -> str:
    """Without no-break spaces and set fractions: a screen has its own."""
    return cell.replace("\u00a0", " ").replace("⁄", "/")
