"""A booklet's record, the library of tapers and the shop's cards become one frozen `tables.Booklet`."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from cardgen import tapers
from cardgen.booklet import (
    limits,
    lines,
    machine_settings,
    proving_tables,
    putting_right,
    readings,
    standard_sizes,
    tables,
)
from cardgen.booklet.conversions import conversions
from cardgen.card.values import Card
from cardgen.spec.library import Library
from cardgen.spec.models import BookletRecord
from cardgen.terms import INCH, SYSTEMS, System

INCH_BAR = 5 * INCH  # the sine bar of an inch shop that names none; common practice, no source
METRIC_BAR = 100.0


@dataclass(frozen=True)
class _Tools:
    """What the shop measures with in one system of units."""

    system: System
    bar_mm: float
    slip_set: tapers.SlipSet | None


def gather_booklet(
    record: BookletRecord, library: Library, cards: Mapping[str, Card], wrong: Mapping[str, str], code: str
) -> tables.Booklet:
    """Everything a booklet says.

    cards: by part id, of every sound part of the shop; wrong: by part id, what keeps the others from having
    one. `code` names all that went in.
    """
    systems = SYSTEMS[record.units]
    part_ids = _ids(record.parts, sorted({*cards, *wrong}))
    chosen = [cards[part_id] for part_id in part_ids if part_id in cards]
    found = lines.lines(record.tapers, chosen)
    common = putting_right.common_lines(found, [card.taper.ratio for card in chosen])
    tools = [_tools(library, system) for system in systems]
    machine_ids = _ids(record.machines, sorted(library.machines))
    series = lines.chosen_series(record.tapers)
    expansions = _expansions_of_parts(library, part_ids)
    return tables.Booklet(
        id=record.id,
        title=record.title,
        shop=library.shop.name or "",
        units=record.units,
        paper=record.paper,
        code=code,
        lines=found,
        conversions=conversions(),
        standards=tuple(standard_sizes.standard_series(each) for each in series),
        stock=tuple(readings.stock_table(group, systems) for group in lines.alike(found, chosen)),
        machines=tuple(
            machine_settings.machine_tables(library.machines[machine], found, common, tools[0].slip_set)
            for machine in machine_ids
            if machine in library.machines
        ),
        test_bars=tuple(proving_tables.test_bar_table(found, system) for system in systems),
        corrections=putting_right.corrections(common, systems, library.shop.blue_film_mm),
        sines=tuple(
            proving_tables.sine_table(found, kind, tool.bar_mm, tool.system, tool.slip_set)
            for tool in tools
            for kind in ("bar", "centres")
        ),
        sine_angles=tuple(proving_tables.sine_angles(tool.bar_mm, tool.system) for tool in tools),
        rolls=tuple(proving_tables.roll_table(found, system) for system in systems),
        grades=limits.angle_grades(),
        expansions=limits.expansions(),
        growth=tuple(limits.growth_table(of, system) for of in expansions for system in systems),
        warm_readings=tuple(limits.warm_readings(common, system) for system in systems),
        parts=tuple(_part_page(library, part_id, cards, wrong) for part_id in part_ids),
        sources=tuple(_sources(series, tools, expansions)),
    )


def _ids(named: Sequence[str], known: Sequence[str]) -> list[str]:
    return list(known) if "all" in named else list(dict.fromkeys(named))


def _tools(library: Library, system: System) -> _Tools:
    """The shop's sine bar where it is one of this system, and its first set of slip gauges in it."""
    bar = library.shop.sine_bar_mm
    in_inches = abs(bar / INCH * 2 - round(bar / INCH * 2)) < 1e-9
    fits = in_inches == (system == "in")
    named = [found for name in library.shop.slip_sets if (found := tapers.slip_set(name)) is not None]
    return _Tools(
        system=system,
        bar_mm=bar if fits else METRIC_BAR if system == "mm" else INCH_BAR,
        slip_set=next((known for known in named if known.unit == system), None),
    )


def _expansions_of_parts(library: Library, part_ids: Sequence[str]) -> list[tables.ExpansionLine]:
    """One line for each coefficient that the parts' materials have; plain steel where there are no parts."""
    groups = [library.parts[part_id].material.group for part_id in part_ids if part_id in library.parts]
    found: dict[float, tables.ExpansionLine] = {}
    for group in groups or ["any material"]:
        line = limits.expansion_line(group)
        found.setdefault(line.per_k, line)
    return sorted(found.values(), key=lambda line: line.per_k)


def _part_page(
    library: Library, part_id: str, cards: Mapping[str, Card], wrong: Mapping[str, str]
) -> tables.PartPage:
    part, card = library.parts.get(part_id), cards.get(part_id)
    name = card.title.name if card is not None else part.name if part is not None else ""
    return tables.PartPage(part_id, name, card, wrong.get(part_id, "") if card is None else "")


def _sources(
    series: Sequence[tapers.Series], tools: Sequence[_Tools], expansions: Sequence[tables.ExpansionLine]
) -> Iterator[tables.SourceLine]:
    """Where every figure comes from that is not worked out."""
    for each in series:
        yield tables.SourceLine(each.name, each.source, each.confidence)
    for tool in tools:
        if tool.slip_set is not None:
            yield tables.SourceLine(
                f"Slip gauges, set of {tool.slip_set.name}", tool.slip_set.source, tool.slip_set.confidence
            )
    grades = tapers.angle_grades()[0]
    yield tables.SourceLine("Angle grades", grades.source, grades.confidence)
    for line in expansions:
        yield tables.SourceLine(f"Expansion of {line.value_for}", line.source, line.confidence)
