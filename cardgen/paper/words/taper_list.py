"""The library's answer to 'what taper is this?', as heads, rows and remarks for a screen."""

from collections.abc import Iterator
from typing import NamedTuple, assert_never

from cardgen.booklet.tables import Remark, StandardSeries, TaperAnswer, TaperMatch
from cardgen.digits import (
    decimal,
    degrees_minutes_seconds,
    inch_decimal,
    inch_plain,
    plain_number,
    signed,
    with_fractions,
)
from cardgen.terms import INCH

_ENDS = {"large": "large end", "small": "small end"}


class Head(NamedTuple):
    """The head of a column, and whether figures stand in it."""

    text: str
    figure: bool


def heads(answer: TaperAnswer) -> tuple[Head, ...]:
    """The columns of an answer."""
    common = (
        Head("taper", False),
        Head("callout", False),
        Head("in/ft", True),
        Head("1 : x", True),
        Head("half angle", True),
        Head("gauge line", False),
        Head("length", False),
    )
    if answer.asked_by in ("all", "name"):
        return common
    over = min(f"{plain_number(answer.over_mm, 4)} mm", f"{inch_plain(answer.over_mm / INCH, 5)} in", key=len)
    differs = (Head(f"differs over {over}", True), Head("in inches", True))
    if answer.asked_by == "ends":
        return (*common, *differs, Head("large end past the gauge line", True))
    return (*common[:5], *differs, Head("", False))


def row(match: TaperMatch, answer: TaperAnswer) -> tuple[str, ...]:
    """One standard taper under those heads."""
    size = match.size
    gauge_line = size.small if match.gauge_line_at == "small" else size.large
    name = match.name if match.alike == 1 else f"{match.name} and {match.alike - 1} more"
    common = (
        name,
        with_fractions(size.callout),
        inch_decimal(size.per_foot_in, 5),
        decimal(size.ratio_1_to, 4),
        degrees_minutes_seconds(size.half_angle_deg),
        with_fractions(f"{gauge_line.text} {gauge_line.unit}") if gauge_line and match.gauge_line_at else "",
        f"{size.length.text} {size.length.unit}" if size.length else "",
    )
    if match.difference_mm is None:
        return _plain(common)
    differs = (
        f"{signed(decimal(match.difference_mm, 4))} mm",
        signed(inch_decimal(match.difference_mm / INCH, 5)),
    )
    if answer.asked_by == "ends":
        past = match.beyond_gauge_line_mm
        return _plain((*common, *differs, "" if past is None else f"{signed(decimal(past, 2))} mm"))
    return _plain((*common[:5], *differs, "within the rounding" if match.agrees else ""))


def remarks(answer: TaperAnswer) -> Iterator[str]:
    """What the table does not say: how to read it, then sources and conflicts."""
    if answer.asked_by in ("taper", "ends") and answer.ratio is not None:
        yield _plain(
            (f"Asked about: 1 : {decimal(1 / answer.ratio, 4)}, {inch_decimal(12 * answer.ratio, 5)} in/ft.",)
        )[0]
        yield "Differences are on the diameter; positive: steeper than the standard taper."
    for series in answer.series:
        lines = _of_series(series, {match.size.size for match in answer.matches})
        yield from _plain(tuple(with_fractions(line) for line in lines))


def _of_series(series: StandardSeries, sizes: set[str]) -> Iterator[str]:
    yield f"{series.name}: {series.title}."
    if series.gauge_line_at:
        yield f"Gauge line at the {_ENDS[series.gauge_line_at]}. {series.planes}."
    yield f"Source: {series.source} ({series.confidence})."
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
            return f"{of}source: {remark.text} ({remark.source})."
        case "disagrees":
            return f"{of}these figures do not agree among themselves: {remark.text}."
        case "note":
            return f"{of}{remark.text}."
        case _:
            assert_never(remark.kind)


def _plain(cells: tuple[str, ...]) -> tuple[str, ...]:
    """Without no-break spaces and set fractions: a screen has its own."""
    return tuple(cell.replace("\u00a0", " ").replace("⁄", "/") for cell in cells)
