"""The library's series with all that their sources print, conflicts and all."""

import math
from collections.abc import Iterator

from cardgen import tapers
from cardgen.card.tables import Printed, Remark, StandardSeries, StandardSize
from cardgen.compute import taper


def standard_series(series: tapers.Series) -> StandardSeries:
    """One series, each size with its figures as printed and the taper in every form."""
    return StandardSeries(
        name=series.name,
        title=series.title,
        unit=series.unit,
        planes=series.planes,
        gauge_line_at=series.sizes[0].gauge_line_at,
        one_taper=len({size.callout_text for size in series.sizes}) == 1,
        sizes=tuple(_size(size) for size in series.sizes),
        source=series.source,
        confidence=series.confidence,
        remarks=tuple(_remarks(series)),
    )


def _size(size: tapers.StandardTaper) -> StandardSize:
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
    )


def _printed(length: tapers.Length | None) -> Printed | None:
    return Printed(length.mm, length.text, length.unit) if length is not None else None


def _remarks(series: tapers.Series) -> Iterator[Remark]:
    """Notes of the series, then whatever is particular to a size."""
    for note in series.notes:
        yield Remark("note", "", note)
    yield from (_conflict("", conflict) for conflict in series.conflicts)
    for size in series.sizes:
        name = size.size or size.name
        if (size.source, size.confidence) != (series.source, series.confidence):
            yield Remark("source", name, size.source, source=size.confidence)
        if size.note:
            yield Remark("note", name, size.note)
        if size.disagrees:
            yield Remark("disagrees", name, size.disagrees)
        yield from (_conflict(name, conflict) for conflict in size.conflicts)


def _conflict(size: str, conflict: tapers.Conflict) -> Remark:
    return Remark("conflict", size, conflict.because, conflict.figure, conflict.prints, conflict.source)
