"""Which tapers the tables have a line for: standards, callouts the booklet names, and the parts' own."""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from cardgen import tapers
from cardgen.booklet.tables import TaperLine
from cardgen.card.called import ratio_of
from cardgen.card.values import Card
from cardgen.compute import taper
from cardgen.spec.callout import read_callout

SAME = 1e-12  # two ratios nearer than this, of one of them, are one taper told in two ways


@dataclass(frozen=True)
class Alike:
    """Lines that are one and the same taper, and the parts that have it."""

    lines: tuple[TaperLine, ...]
    parts: tuple[str, ...]

    @property
    def first(self) -> TaperLine:
        return self.lines[0]


def chosen_series(names: Sequence[str]) -> tuple[tapers.Series, ...]:
    """The series of the library that a booklet names, whole or by one of its sizes."""
    wanted = {name.casefold() for name in names}
    if "all" in wanted:
        return tapers.all_series()
    sizes = {found.series for name in names if (found := tapers.find(name)) is not None}
    return tuple(
        series for series in tapers.all_series() if series.name.casefold() in wanted or series.name in sizes
    )


def lines(names: Sequence[str], cards: Iterable[Card]) -> tuple[TaperLine, ...]:
    """A line for each taper that a booklet names and for each that its parts have, in the library's order."""
    found = [*_standard_lines(names), *_callout_lines(names)]
    for card in cards:
        if not any(same(line.ratio, card.taper.ratio) for line in found):
            found.append(_part_line(card))
    return tuple(found)


def alike(found: Sequence[TaperLine], cards: Iterable[Card]) -> tuple[Alike, ...]:
    """The lines put together that are one taper, shallowest first."""
    groups: list[list[TaperLine]] = []
    for line in sorted(found, key=lambda each: each.ratio):
        if groups and same(groups[-1][0].ratio, line.ratio):
            groups[-1].append(line)
        else:
            groups.append([line])
    ratios = [(card.title.part, card.taper.ratio) for card in cards]
    return tuple(
        Alike(tuple(group), tuple(part for part, ratio in ratios if same(ratio, group[0].ratio)))
        for group in groups
    )


def same(one: float, other: float) -> bool:
    """Whether two ratios are one taper, told in two ways."""
    return math.isclose(one, other, rel_tol=SAME)


def _standard_lines(names: Sequence[str]) -> Iterator[TaperLine]:
    wanted = {name.casefold() for name in names}
    for series in chosen_series(names):
        whole = bool(wanted & {"all", series.name.casefold()})
        sizes = [size for size in series.sizes if whole or any(tapers.find(name) == size for name in names)]
        families: dict[str, list[tapers.StandardTaper]] = {}
        for size in sizes:
            families.setdefault(size.callout_text, []).append(size)
        for family in families.values():
            yield TaperLine(
                name=_family_name(series, family),
                callout=family[0].callout_text,
                ratio=family[0].ratio,
                half_angle_deg=math.degrees(family[0].included_angle_rad / 2),
                series=series.name,
            )


def _family_name(series: tapers.Series, family: Sequence[tapers.StandardTaper]) -> str:
    """'Jarno' for all sizes of a series; 'Brown & Sharpe 1, 2, 3' for some of them."""
    if len(family) == 1:
        return family[0].name
    if len(family) == len(series.sizes):
        return series.name
    first = family[0]
    label = first.name.removesuffix(first.size)
    if label.strip():
        return label + ", ".join(each.name.removeprefix(label) for each in family)
    return ", ".join(each.name for each in family)


def _callout_lines(names: Sequence[str]) -> Iterator[TaperLine]:
    series = {each.name.casefold() for each in tapers.all_series()}
    for name in names:
        if name.casefold() == "all" or name.casefold() in series or tapers.find(name) is not None:
            continue
        ratio = ratio_of(read_callout(name)).value
        yield TaperLine(name, name, ratio, math.degrees(taper.half_angle_from_ratio(ratio)), None)


def _part_line(card: Card) -> TaperLine:
    """A part's taper that is no standard: its callout, or its own name where it has none."""
    callout = card.taper.callout or f"1:{card.taper.ratio_1_to:.6g}"
    name = card.taper.callout or f"Part {card.title.part}"
    return TaperLine(name, callout, card.taper.ratio, card.taper.half_angle_deg, None)
