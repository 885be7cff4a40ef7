"""The library's series and sizes as plain records: figures as printed, the taper in every form, remarks."""

import math
from collections.abc import Iterator
from dataclasses import replace

from cardgen import tapers
from cardgen.booklet.tables import Printed, Remark, StandardSeries, StandardSize
from cardgen.compute import taper


def standard_series(series: tapers.Series) -> StandardSeries:
    """One series, each size with its figures as printed and the taper in every form."""
    return StandardSeries(
        name=series.name,
        title=series.title,
        unit=series.unit,
        planes=series.planes,
        grade=series.grade,
        not_known=tuple(tapers.WANTED[each] for each in series.not_known),
        gauge_line_at=series.sizes[0].gauge_line_at,
        one_taper=len({size.callout_text for size in series.sizes}) == 1,
        fractions=all(_is_fraction(size.size) for size in series.sizes if "/" in size.size),
        all_per_foot=all(
            size.rate.kind == "taper_per_foot" and "/" not in size.rate.text for size in series.sizes
        ),
        sizes=tuple(standard_size(size) for size in series.sizes),
        source=tapers.sourced(series.source, series.confidence),
        confidence=series.confidence,
        remarks=tuple(_remarks(series)),
    )


def _is_fraction(size: str) -> bool:
    """Whether a size is a fraction as a rule has them: its denominator halves, again and again, to one."""
    denominator = size.rpartition("/")[2]
    return denominator.isdigit() and int(denominator).bit_count() == 1


def standard_size(size: tapers.StandardTaper) -> StandardSize:
    """One size, its taper in every form."""
    return StandardSize(
        size=size.size or size.name,
        callout=size.callout_text,
        per_foot_in=taper.per_foot_from_ratio(size.ratio),
        ratio_1_to=taper.one_in_from_ratio(size.ratio),
        half_angle_deg=math.degrees(size.included_angle_rad / 2),
        large=_printed(size.large),
        small=_printed(size.small),
        length=_printed(size.length),
        projection=_printed(size.projection),
        tang=_printed(size.tang),
        flange=_printed(size.flange),
    )


def _printed(length: tapers.Length | None) -> Printed | None:
    return Printed(length.mm, length.text, length.unit, length.about) if length is not None else None


def _remarks(series: tapers.Series) -> Iterator[Remark]:
    """Notes of the series, then whatever is particular to sizes, told once for all that it holds for."""
    for note in series.notes:
        yield Remark("note", (), (), note)
    for conflict in series.conflicts:
        yield _conflict((), conflict)
    grouped: dict[tuple[str, ...], list[Remark]] = {}
    for remark in (remark for size in series.sizes for remark in _remarks_of(size, series)):
        grouped.setdefault((remark.kind, remark.text, remark.figure, remark.source), []).append(remark)
    for alike in grouped.values():
        sizes = tuple(size for remark in alike for size in remark.sizes)
        prints = tuple(text for remark in alike for text in remark.prints)
        yield replace(alike[0], sizes=sizes, prints=prints)


def _remarks_of(size: tapers.StandardTaper, series: tapers.Series) -> Iterator[Remark]:
    name = (size.size or size.name,)
    if (size.source, size.confidence) != (series.source, series.confidence):
        yield Remark("source", name, (), tapers.sourced(size.source, size.confidence))
    if size.note:
        yield Remark("note", name, (), size.note)
    if size.disagrees:
        yield Remark("disagrees", name, (), size.disagrees)
    for conflict in size.conflicts:
        yield _conflict(name, conflict)


def _conflict(size: tuple[str, ...], conflict: tapers.Conflict) -> Remark:
    return Remark("conflict", size, (conflict.prints,), conflict.because, conflict.figure, conflict.source)
