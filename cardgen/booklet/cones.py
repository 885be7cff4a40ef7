"""Which cones the tables have a line for: every distinct one of library, booklet and shop."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from cardgen import tapers
from cardgen.card.called import ratio_of
from cardgen.card.values import Card
from cardgen.compute import taper
from cardgen.spec.callout import read_callout
from cardgen.terms import ARCSEC

if TYPE_CHECKING:
    from cardgen.spec.library import Library

ALIKE_ARCSEC = 0.1  # of the half angle: nobody sets or proves two cones nearer than this apart
MOST_LISTED = 6  # sizes of a family that a name lists one by one
LONGEST_LABEL = 22  # letters of its names in a row; the index has them all


@dataclass(frozen=True)
class ConeLine:
    """A cone with every name it goes by, worked out from the first; the shop's parts and gauges that have it.

    `owned`: of fixed use, named by the booklet, or the shop's own; it has a table of readings.
    `seldom`: one that is hardly ever set on a grinder.
    """

    names: tuple[str, ...]
    series: tuple[str, ...]
    ratio: float
    half_angle: float
    owned: bool
    seldom: bool
    used_by: tuple[str, ...] = ()

    @property
    def label(self) -> str:
        """What it is called in a row."""
        shown = self.names[0]
        for name in self.names[1:]:
            if len(shown) + len(name) > LONGEST_LABEL:
                return f"{shown}\u00a0…"
            shown = f"{shown} · {name}"
        return shown


@dataclass(frozen=True)
class _Named:
    """One name of a cone."""

    name: str
    series: str
    ratio: float
    half_angle: float
    owned: bool
    seldom: bool = False
    used_by: str = ""


def chosen_series(names: Sequence[str]) -> tuple[tapers.Series, ...]:
    """The series that a booklet names: whole, by a trade's name for it, or by one of its sizes."""
    wanted = {series for name in names for series in tapers.series_named(name)}
    wanted |= {found.series for name in names if (found := tapers.find(name)) is not None}
    return tuple(series for series in tapers.all_series() if _all(names) or series.name in wanted)


def _all(names: Sequence[str]) -> bool:
    return any(name.casefold() == "all" for name in names)


def cones(names: Sequence[str], library: "Library", cards: Mapping[str, Card]) -> tuple[ConeLine, ...]:
    """Every distinct cone, the shallow first; `cards` are of the parts that the booklet is for."""
    found = sorted(
        [*_standard(names), *_callouts(names), *_of_shop(library, cards)], key=lambda each: each.ratio
    )
    groups: list[list[_Named]] = []
    for each in found:
        apart = (each.half_angle - groups[-1][0].half_angle) * ARCSEC if groups else math.inf
        if apart <= ALIKE_ARCSEC:
            groups[-1].append(each)
        else:
            groups.append([each])
    return tuple(_cone(group) for group in groups)


def _cone(group: list[_Named]) -> ConeLine:
    """Standards first, in the order of the library; a part's or a gauge's own name where it has no other."""
    standing = {name: place for place, name in enumerate(series.name for series in tapers.all_series())}
    group.sort(key=lambda each: (bool(each.used_by), standing.get(each.series, len(standing))))
    named = [each for each in group if not each.used_by] or group[:1]
    return ConeLine(
        names=tuple(dict.fromkeys(each.name for each in named)),
        series=tuple(dict.fromkeys(each.series for each in named if each.series)),
        ratio=named[0].ratio,
        half_angle=named[0].half_angle,
        owned=any(each.owned for each in group),
        seldom=all(each.seldom for each in group),
        used_by=tuple(dict.fromkeys(each.used_by for each in group if each.used_by)),
    )


def _standard(names: Sequence[str]) -> Iterator[_Named]:
    everything = _all(names)
    whole = {series for name in names for series in tapers.series_named(name)}
    single = {tapers.find(name) for name in names}
    met = {line.series: line.met for line in tapers.index()}
    for series in chosen_series(names):
        families: dict[str, list[tapers.StandardTaper]] = {}
        for size in series.sizes:
            if everything or series.name in whole or size in single:
                families.setdefault(size.callout_text, []).append(size)
        for family in families.values():
            yield _Named(
                name=_family_name(series, family),
                series=series.name,
                ratio=family[0].ratio,
                half_angle=family[0].included_angle_rad / 2,
                owned=not everything or met[series.name] == "often",
                seldom=everything and met[series.name] == "seldom",
            )


def _family_name(series: tapers.Series, family: Sequence[tapers.StandardTaper]) -> str:
    """'Jarno' for all sizes of a series; 'Brown & Sharpe 1, 2, 3' for some of them."""
    if len(family) == 1:
        return family[0].name
    if len(family) == len(series.sizes):
        return series.name
    first = family[0]
    label = first.name.removesuffix(first.size)
    if len(family) > MOST_LISTED:
        return f"{first.name} to {family[-1].size}"
    if label.strip():
        return label + ", ".join(each.name.removeprefix(label) for each in family)
    return ", ".join(each.name for each in family)


def _callouts(names: Sequence[str]) -> Iterator[_Named]:
    for name in names:
        if name.casefold() != "all" and not tapers.series_named(name) and tapers.find(name) is None:
            ratio = ratio_of(read_callout(name)).value
            yield _Named(name, "", ratio, taper.half_angle_from_ratio(ratio), owned=True)


def _of_shop(library: "Library", cards: Mapping[str, Card]) -> Iterator[_Named]:
    """The cones of the booklet's parts and of every gauge; one that is no standard goes by its callout."""
    for part_id, card in cards.items():
        name = card.taper.callout or f"part {part_id}"
        half_angle = math.radians(card.taper.half_angle_deg)
        yield _Named(name, "", card.taper.ratio, half_angle, owned=True, used_by=part_id)
    for gauge_id, gauge in library.gauges.items():
        standard = tapers.find(gauge.taper.callout.standard or "")
        ratio = standard.ratio if standard is not None else ratio_of(gauge.taper.callout).value
        half_angle = taper.half_angle_from_ratio(ratio)
        yield _Named(gauge.taper.callout.text, "", ratio, half_angle, owned=True, used_by=gauge_id)
