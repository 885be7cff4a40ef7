"""A booklet's record, the library of tapers and the shop's cards become one frozen `tables.Booklet`."""

from collections.abc import Iterator, Mapping, Sequence

from cardgen import tapers
from cardgen.booklet import (
    at_the_wheel,
    conversions,
    errors_of_taper,
    machines,
    planner,
    proofs,
    readings,
    standard_sizes,
)
from cardgen.booklet.basis import Basis, Maker, tools_of
from cardgen.booklet.cones import chosen_series, cones
from cardgen.booklet.tables import BookColumn, Booklet, BookTable, Cell, Chapter, IndexEntry, PartPage
from cardgen.card.values import Card
from cardgen.spec.library import Library
from cardgen.spec.models import BookletRecord
from cardgen.terms import BOOKLET_TABLES, SYSTEMS, BookletTables

# The chapters in their order; copies of the cards are pages of their own and no tables.
CHAPTERS: dict[BookletTables, Maker] = {
    "conversions": conversions.conversions,
    "standards": standard_sizes.standards,
    "stock": readings.stock,
    "divisions": readings.divisions,
    "swivel": machines.swivels,
    "test_bar": errors_of_taper.test_bars,
    "correction": errors_of_taper.corrections,
    "sine_bar": proofs.sine_bars,
    "rolls": proofs.rolls,
    "grades": proofs.grades,
    "warmth": proofs.warm_work,
    "speeds": at_the_wheel.speed_tables,
    "dressing": at_the_wheel.dressing,
    "centre_holes": at_the_wheel.centre_holes,
    "numbers": conversions.numbers,
    "parts": planner.part_tables,
}


def gather_booklet(
    record: BookletRecord, library: Library, cards: Mapping[str, Card], wrong: Mapping[str, str], code: str
) -> Booklet:
    """Everything a booklet says.

    cards: by part id, of every sound part of the shop; wrong: by part id, what keeps the others from having
    one. `code` names all that went in.
    """
    systems = SYSTEMS[record.units]
    part_ids = _ids(record.parts, sorted({*cards, *wrong}))
    chosen = {part_id: cards[part_id] for part_id in part_ids if part_id in cards}
    series = chosen_series(record.tapers)
    basis = Basis(
        systems=systems,
        cones=cones(record.tapers, library, chosen),
        series=series,
        machines=tuple(
            library.machines[each]
            for each in _ids(record.machines, sorted(library.machines))
            if each in library.machines
        ),
        parts=tuple(_part_page(library, part_id, cards, wrong) for part_id in part_ids),
        tools=tuple(tools_of(library, system) for system in systems),
        blue_film_mm=library.shop.blue_film_mm,
    )
    wanted = BOOKLET_TABLES[:-1] if "all" in record.tables else record.tables
    chapters = [Chapter(name, tuple(make(basis))) for name, make in CHAPTERS.items() if name in wanted]
    chapters.append(Chapter("sources", tuple(_sources(basis, {chapter.name for chapter in chapters}))))
    return Booklet(
        id=record.id,
        title=record.title,
        shop=library.shop.name or "",
        units=record.units,
        paper=record.paper,
        code=code,
        chapters=tuple(chapter for chapter in chapters if chapter.tables),
        names=tuple(_names(chapters, basis)),
        machines=tuple((machine.id, machine.name) for machine in basis.machines),
        parts=basis.parts,
        with_cards="cards" in record.tables,
    )


def _ids(named: Sequence[str], known: Sequence[str]) -> list[str]:
    return list(known) if "all" in named else list(dict.fromkeys(named))


def _part_page(
    library: Library, part_id: str, cards: Mapping[str, Card], wrong: Mapping[str, str]
) -> PartPage:
    part, card = library.parts.get(part_id), cards.get(part_id)
    name = card.title.name if card is not None else part.name if part is not None else ""
    return PartPage(part_id, name, card, wrong.get(part_id, "") if card is None else "")


def _names(chapters: Sequence[Chapter], basis: Basis) -> Iterator[IndexEntry]:
    """Every name that somebody looks for, with the table that it leads to."""
    trades = {line.series: line.spelled for line in tapers.index()}
    for table in (table for chapter in chapters for table in chapter.tables):
        told = {key: value for key, value in table.told.items() if isinstance(value, str)}
        if table.name.startswith("standard"):
            series = told["series"]
            yield IndexEntry(series, "", table)
            for word in trades[series]:
                if word.casefold() != series.casefold():
                    yield IndexEntry(word, series, table)
        elif table.name.startswith("stock_of"):
            for cone in basis.owned:
                if " · ".join(cone.names) == told["names"]:
                    yield from (IndexEntry(name, "reading", table) for name in (*cone.names, *cone.used_by))
        elif table.name in ("scales", "settings"):
            yield IndexEntry(told["machine"], told["machine_name"], table)
        elif table.name == "part_laid":
            yield IndexEntry(told["part"], told["part_name"], table)


def _sources(basis: Basis, told: set[str]) -> Iterator[BookTable]:
    """Where every figure comes from that is not worked out; a series whose table stands here has it there."""
    rows: list[tuple[Cell, ...]] = []
    if "standards" not in told:
        rows += [(each.name, each.source, each.confidence) for each in basis.series]
    for tool in basis.tools:
        if (known := tool.slip_set) is not None:
            rows.append((f"Slip gauges, set of {known.name}", known.source, known.confidence))
    grades = tapers.angle_grades()[0]
    rows.append(("Angle grades", grades.source, grades.confidence))
    alloys: dict[tuple[str, str], dict[str, None]] = {}
    for found in map(tapers.expansion, tapers.material_groups()):
        alloys.setdefault((found.source, found.confidence), {})[found.value_for] = None
    rows += [(f"Expansion of {', '.join(names)}", *source) for source, names in alloys.items()]
    columns = tuple(BookColumn(key) for key in ("what", "source", "how_sure"))
    yield BookTable("sources", columns, tuple(rows))
