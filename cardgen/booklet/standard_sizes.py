"""The library's series with all that their sources print, conflicts and all, as tables."""

import math
from collections.abc import Iterator

from cardgen.booklet.basis import Basis, length
from cardgen.booklet.standard_records import standard_series
from cardgen.booklet.tables import (
    Amount,
    BookColumn,
    BookTable,
    Cell,
    Printed,
    Remark,
    StandardSeries,
    StandardSize,
    Way,
    Worded,
)
from cardgen.terms import INCH, System

FORMS = {"per_foot": Way("inches", 5), "one_in": Way("number", 4), "half_angle": Way("dms")}
SIZES_A_TAPER = 4  # on the average, at least, where each taper is told once below the table
ENDS = ("large", "small", "length", "projection", "tang", "flange")


def standards(basis: Basis) -> Iterator[BookTable]:
    """A table for each series: its sizes in the systems of the booklet, then sources and conflicts."""
    for each in basis.series:
        yield _standard_table(standard_series(each), basis.systems)


def _standard_table(series: StandardSeries, systems: tuple[System, ...]) -> BookTable:
    shown = [end for end in ENDS if any(getattr(size, end) for size in series.sizes)]
    columns, first = [BookColumn("size", Way("plain") if series.fractions else Way())], series.sizes[0]
    tapers_alike = _by_callout(series)
    told_below = not series.one_taper and len(tapers_alike) * SIZES_A_TAPER <= len(series.sizes)
    if not series.one_taper:
        columns += [] if series.all_per_foot and not told_below else [BookColumn("callout")]
        columns += [] if told_below else [BookColumn(key, way) for key, way in FORMS.items()]
    for end in shown:
        words = f"{end}_gauge_line" if end == series.gauge_line_at else end
        if len(systems) == 1:
            columns.append(BookColumn(f"{words}_alone", length(3, systems[0])))
        else:
            columns += [BookColumn(system, length(3, system), group=words) for system in systems]
    rows: list[tuple[Cell, ...]] = []
    for size in series.sizes:
        row: list[Cell] = [size.size]
        if not series.one_taper:
            row += [] if series.all_per_foot and not told_below else [size.callout]
            row += [] if told_below else [size.per_foot_in, size.ratio_1_to, size.half_angle_deg]
        row += [_as_printed(getattr(size, end), system) for end in shown for system in systems]
        rows.append(tuple(row))
    told: dict[str, str | Amount] = {
        "series": series.name,
        "title": series.title,
        "planes": f"{series.planes[:1].lower()}{series.planes[1:]}" if shown else "",
        **_in_every_form(first),
    }
    sources = [Worded("taper_of", _in_every_form(size)) for size in tapers_alike if told_below]
    sources.append(Worded("printed_in", {"source": series.source}))
    if series.grade:
        sources.append(Worded("grade", {"grade": series.grade}))
    if series.not_known:
        sources.append(Worded("not_known", {"what": ", ".join(series.not_known)}))
    bare = series.one_taper and not shown and len(series.sizes) == 1
    return BookTable(
        name=f"standard{'_one_taper' if series.one_taper else ''}{'' if shown else '_bare'}",
        columns=() if bare else tuple(columns),
        rows=() if bare else tuple(rows),
        told=told,
        notes=(*sources, *(_said(remark, series.name) for remark in series.remarks)),
    )


def _by_callout(series: StandardSeries) -> tuple[StandardSize, ...]:
    """The first size of each taper that the series has."""
    return tuple({size.callout: size for size in reversed(series.sizes)}.values())[::-1]


def _in_every_form(size: StandardSize) -> dict[str, str | Amount]:
    """A size's taper as words tell it."""
    return {
        "callout": size.callout,
        "one_in": Amount(size.ratio_1_to, FORMS["one_in"]),
        "per_foot": Amount(size.per_foot_in, FORMS["per_foot"]),
        "half_angle": Amount(size.half_angle_deg, FORMS["half_angle"]),
        "half_degrees": Amount(size.half_angle_deg, Way("number", 5)),
    }


def _as_printed(printed: Printed | None, system: System) -> Cell:
    """As its source prints it, or worked out in the other system: there 'about' has no more digits either."""
    if printed is None:
        return ""
    if printed.unit == system:
        text = printed.text
        return text.removeprefix("0") if system == "in" and text.startswith("0.") else text
    if not printed.about:
        return printed.mm
    figures = len(printed.text.replace(".", "").lstrip("0"))
    value = printed.mm if system == "mm" else printed.mm / INCH
    decimals = max(0, figures - 1 - math.floor(math.log10(value)))
    return Amount(printed.mm, length(decimals if system == "mm" else decimals - 1, system))


def _said(remark: Remark, series: str) -> Worded:
    """A remark by its kind, about the whole series or about some of its sizes."""
    of_series = not remark.sizes or remark.sizes == (series,)
    of = "" if of_series else f"{series} {', '.join(remark.sizes)}: "
    prints = [
        text if of_series else f"{text} for {size}"
        for text, size in zip(remark.prints, remark.sizes or remark.prints, strict=False)
    ]
    told = {"of": of, "prints": ", ".join(prints), "text": remark.text}
    kind = f"{remark.kind}_of_all" if remark.kind == "conflict" and of_series else remark.kind
    return Worded(kind, told | {"figure": remark.figure, "source": remark.source})
