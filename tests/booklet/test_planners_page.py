"""The planner's page of each part, read back from the PDF, against the same worked out from the specs."""

from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest
from mpmath import mpf

from cardgen.paper.book.make import whole_booklet
from cardgen.paper.words.wording import TemplateFiles
from cardgen.shop.booklet_pdf import booklet_tables
from cardgen.shop.folder import Shop
from tests.booklet.conftest import TOP, Made, demo_shop
from tests.booklet.reading_back import ReadBack, Table, plain, read_back
from tests.booklet.reckoner import MM, dms, fixed, length, short
from tests.card.reckoning import batch, proving, raw, running
from tests.card.reckoning import piece as taper
from tests.card.reckoning.piece import Formula, Piece
from tests.conftest import MadeOnce

FORMULAS: dict[str, Formula] = {
    **taper.FORMULAS,
    **running.FORMULAS,
    **proving.FORMULAS,
    **proving.CHOICES,
    **batch.FORMULAS,
}
LAID, MEASURED, PLANNED = "Sine bar of", "Finished taper", "Planned and expected"
# The wheel is too fast, or narrower than the taper that it plunges; the table does not reach the angle.
NO_CARD = ("GAP-INCH", "HEAD-ABOVE", "STEPPED")
PARTS = [part_id for part_id in raw.part_ids() if part_id not in NO_CARD]


@pytest.fixture(scope="module")
def pages(made_once: MadeOnce) -> ReadBack:
    """The booklet of the made shop, which has balls, discs and slips of another unit, with all its parts."""
    found: ReadBack = made_once("planners-pages", all_parts)
    return found


def all_parts() -> ReadBack:
    shop = Shop.read(raw.MADE_SHOP, date(2026, 6, 1))
    wanted = {"tapers": ("Morse 3",), "machines": (), "parts": tuple(raw.part_ids()), "tables": ("parts",)}
    record = demo_shop().library.booklets["toolroom"].model_copy(update=wanted)
    library = shop.library.__class__(**{**shop.library.__dict__, "booklets": {"toolroom": record}})
    made = Shop(shop.folder, library, shop.complaints, shop.spec_files, shop.today, shop._gathered)
    return read_back(
        whole_booklet(booklet_tables(made, "toolroom"), TemplateFiles.read(TOP / "templates")).pdf()
    )


def of_part(read: ReadBack, part_id: str, kind: str) -> list[Table]:
    """The tables of this kind on the pages of a part."""
    return [
        table
        for table in read.of("Parts")
        if table.title.split(" ")[0] == part_id and plain(table.heads[0]).startswith(kind)
    ]


def figure(part_id: str, path: str) -> Any:
    """What the figure's own formula makes of the specs."""
    return FORMULAS[path](Piece(part_id))


def unit(part_id: str) -> str:
    return "in" if Piece(part_id).inch else "mm"


def size(part_id: str, value: mpf) -> str:
    return length(value, unit(part_id), 3, 4)


def fine(part_id: str, value: mpf) -> str:
    return length(value, unit(part_id), 4, 5)


def three(part_id: str, path: str, at: int | None = None) -> list[str]:
    """At the aim, at the least and at the most."""
    found = [figure(part_id, f"{path}.{end}_mm") for end in ("aim", "least", "most")]
    return [fine(part_id, each if at is None else each[at]) for each in found]


def measured_rows(part_id: str) -> Iterator[list[str]]:
    """Over rolls, over the same raised; the depth of each ball; the centres of the discs."""
    if (roll := figure(part_id, "inspection.roll_diameter_mm")) is not None:
        raised = size(part_id, figure(part_id, "inspection.roll_raise_mm"))
        yield [f"Over rolls of {size(part_id, roll)}", *three(part_id, "inspection.over_rolls")]
        yield [f"Over them, raised {raised}", *three(part_id, "inspection.over_raised_rolls")]
    for at, ball in enumerate(figure(part_id, "inspection.balls_mm[*]") or ()):
        yield [f"Depth of a ball of {size(part_id, ball)}", *three(part_id, "inspection.ball_depths[*]", at)]
    if (discs := figure(part_id, "inspection.discs_mm[*]")) is not None:
        what = ", ".join(size(part_id, disc) for disc in discs)
        centres = fine(part_id, figure(part_id, "inspection.disc_centres_mm"))
        yield [f"Discs of {what}", centres, "", ""]


@pytest.mark.parametrize("part_id", PARTS)
def test_what_is_measured_on_the_finished_taper(part_id: str, pages: ReadBack) -> None:
    """Ensures rolls, balls and discs at the aim and at both limits; no table where nothing is measured."""
    rows = list(measured_rows(part_id))
    tables = of_part(pages, part_id, MEASURED)
    assert [table.rows for table in tables] == ([rows] if rows else [])
    assert all(plain(table.heads[0]) == f"Finished taper, {unit(part_id)}" for table in tables)


def engraved(pieces: list[mpf], system: str, page: str) -> str:
    """A stack as its pieces are engraved, with their unit where it is not the page's."""
    texts = [short(each / MM[system], 4) for each in pieces]
    texts = [text.removeprefix("0") for text in texts] if system == "in" else texts
    return " + ".join(texts) + (f" {system}" if system != page else "") if texts else "–"


def laid_row(part_id: str, words: str, angle: mpf, way: str) -> list[str]:
    """The height for the angle, what each roll stands on and what that leaves over."""
    stack, row = f"inspection.{way}_stack", [f"{words}, {dms(angle)}"]
    row.append(fine(part_id, figure(part_id, f"inspection.{way}_mm")))
    system = figure(part_id, f"{stack}.unit")
    if system is None:
        return [*row, "–", "–", "–"]
    for roll in ("pieces_mm", "other_pieces_mm"):
        row.append(engraved(figure(part_id, f"{stack}.{roll}[*]"), system, unit(part_id)))
    return [*row, fixed(figure(part_id, f"{stack}.left_over_arcsec"), 2, sign=True)]


@pytest.mark.parametrize("part_id", PARTS)
def test_what_stands_under_each_roll_of_the_sine_bar(part_id: str, pages: ReadBack) -> None:
    """Ensures both rolls' slip gauges: of two stacks one alone would set another angle."""
    (table,) = of_part(pages, part_id, LAID)
    half, rows = Piece(part_id).half_angle, []
    if figure(part_id, "inspection.sine_bar_mm") is not None:
        rows.append(laid_row(part_id, "Lying", 2 * half, "sine_bar"))
    rows.append(laid_row(part_id, "Centres", half, "sine_centres"))
    assert table.rows == rows
    bar, written = figure(part_id, "inspection.sine_bar_length_mm"), plain(table.heads[0])
    assert written in {f"{LAID} {short(bar / MM[system], 4)} {system}" for system in MM}


@pytest.mark.parametrize("part_id", NO_CARD)
def test_a_part_without_a_card_has_no_page(part_id: str, pages: ReadBack) -> None:
    """Ensures that no figures are planned with where the card is refused."""
    assert not any(of_part(pages, part_id, head) for head in (MEASURED, LAID, PLANNED))


def test_some_part_needs_slip_gauges_under_both_rolls(pages: ReadBack) -> None:
    """Ensures that what the rows above say of a second stack is tried at all, in its own unit."""
    (table,) = of_part(pages, "STANDOUT-INCH", LAID)
    assert all(row[3].endswith(" mm") for row in table.rows)


@pytest.mark.parametrize("part_id", PARTS)
def test_times_wear_tolerance_and_doubt(part_id: str, pages: ReadBack) -> None:
    """Ensures what the planner reckons with."""
    (table,) = of_part(pages, part_id, PLANNED)
    piece, of = Piece(part_id), unit(part_id)
    names = [f"{each['id']} {each.get('name', '')}".strip() for each in (piece.gauge, piece.wheel)]
    master = piece.gauge.get("master")
    rows = [
        [f"Gauge {names[0]}", f"proved by {master}" if master else "no master named"],
        [f"Wheel {names[1]}", f"dressed with: {piece.wheel['dresser']['type']}"],
        ["A piece", f"{fixed(figure(part_id, 'speeds.time_per_piece_s'), 0)} s"],
        ["Gauging, of that", f"{fixed(figure(part_id, 'speeds.gauging_time_s'), 0)} s"],
        ["Metal removed a piece", f"{fixed(figure(part_id, 'speeds.removed_per_piece_mm3'), 0)} mm³"],
    ]
    if (worn := figure(part_id, "speeds.wheel_wear_per_piece_mm")) is not None:
        rows.append(["Wear of the wheel a piece, on ⌀", f"{fine(part_id, worn)} {of}"])
    rows.append(
        ["Wheel worn out, surface speed", f"{fixed(figure(part_id, 'speeds.wheel_m_s.worn'), 1)} m/s"]
    )
    if (off := figure(part_id, "taper.angle_tolerance_mm")) is not None:
        stated = piece.part["taper"]["angle_tolerance"]
        aimed = figure(part_id, "taper.angle_aim_mm")
        about = f" about {fine(part_id, aimed)} {of} more" if aimed else " on ⌀"
        rows.append([f"Angle {stated}", f"± {fine(part_id, off)} {of}{about}"])
    for words, name in (
        ("Doubt of the stock, k = 1", "stock_standard_mm"),
        ("The same when roughing", "rough_stock_standard_mm"),
    ):
        rows.append([words, f"{fine(part_id, figure(part_id, f'doubt.{name}'))} {of}"])
    assert table.rows == rows


def test_every_part_of_the_shop_has_its_planners_page(both: Made) -> None:
    """Ensures on the demo's pages the figures of the card that follows."""
    for part in both.values.parts:
        assert part.card is not None
        (laid,), (planned,) = (of_part(both.read, part.id, head) for head in (LAID, PLANNED))
        card, system = part.card, "in" if part.card.title.units == "inch" else "mm"
        heights = (card.inspection.sine_bar_mm, card.inspection.sine_centres_mm)
        told = [length(mpf(height), system, 4, 5) for height in heights if height is not None]
        assert [row[1] for row in laid.rows] == told
        assert ["A piece", f"{fixed(mpf(card.speeds.time_per_piece_s), 0)} s"] in planned.rows
