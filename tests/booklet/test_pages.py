"""The booklet as a thing of paper: pages, numbers, contents, bookmarks, heads, rules, legibility."""

import hashlib
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from io import BytesIO

import pypdfium2
import pytest
from pypdf import PdfReader
from pypdf.generic import Destination

from cardgen.booklet.gather_booklet import gather_booklet
from cardgen.booklet.tables import IndexEntry
from cardgen.paper.book.make import whole_booklet
from cardgen.paper.words.wording import TemplateFiles
from cardgen.terms import BOOKLET_TABLES
from tests.booklet.conftest import TOP, Made, booklet_of, demo_shop, with_record
from tests.booklet.library import all_series
from tests.booklet.reading_back import BODY, CELLS, FOOT_PT, HEAD_PT, SECTION, TABLE, plain, read_back
from tests.conftest import MadeOnce
from tests.paper.accessible import accessible, out_of_order
from tests.paper.legibility import complaints, sides

MM = 72 / 25.4
HOW_SURE = "(?:published|memory|common practice, no source)"
SHORT = tuple(name for name in BOOKLET_TABLES if name not in ("sine_bar", "conversions", "cards"))
FEW = {"tapers": ("Morse 3", "7:24"), "parts": ("SN-204",), "machines": ("CG-2",)}


def reader(booklet: Made) -> PdfReader:
    return PdfReader(BytesIO(booklet.pdf))


def bookmarks(pdf: PdfReader, level: int = 0, among: list | None = None) -> Iterator[tuple[int, str, int]]:
    """(depth, title, page) of every bookmark."""
    for item in pdf.outline if among is None else among:
        if isinstance(item, Destination):
            yield level, plain(item.title), pdf.get_destination_page_number(item)
        else:
            yield from bookmarks(pdf, level + 1, item)


def in_the_contents(booklet: Made) -> list[tuple[str, int]]:
    """(title, page) of what the contents list: every chapter and its tables, but those of many alike."""
    found: list[tuple[str, int]] = []
    for number, pieces in enumerate(booklet.read.pages):
        before = 0.0
        for piece in (each for each in pieces if each.text.strip()):
            if piece.size in (SECTION, TABLE):
                if piece.size == before:
                    found[-1] = (f"{found[-1][0]} {plain(piece.text)}", number)
                else:
                    found.append((plain(piece.text), number))
            before = piece.size
    return found[next(place for place, (title, _) in enumerate(found) if title == "Conversions") :]


def test_pages_are_of_the_paper_named(booklet: Made) -> None:
    """Ensures true A4 and letter, to a hundredth of a millimetre."""
    width, height = {"A4": (210.0, 297.0), "letter": (215.9, 279.4)}[booklet.values.paper]
    for page in reader(booklet).pages:
        assert abs(float(page.mediabox.width) / MM - width) < 0.01
        assert abs(float(page.mediabox.height) / MM - height) < 0.01


def test_it_opens_at_the_contents_with_the_bookmarks_shown(both: Made) -> None:
    """Ensures that a reader sees the contents first, beside the outline."""
    pdf = reader(both)
    page, fit = pdf.root_object["/OpenAction"]
    assert "Contents" in both.read.text(pdf.get_page_number(page.get_object()))
    assert (fit, pdf.page_mode) == ("/Fit", "/UseOutlines")


def test_properties_name_the_booklet(both: Made) -> None:
    """Ensures that the file says what it is and by which code."""
    told = reader(both).metadata
    assert told is not None
    assert told.title == both.values.title
    assert told.subject == both.values.code
    assert re.fullmatch(r"toolroom-[0-9a-f]{8}", both.values.code)


def test_page_labels_are_the_numbers_printed(booklet: Made) -> None:
    """Ensures that 'page 57' is found by 57 on the screen and on the paper: i, ii … before the tables."""
    pdf = reader(booklet)
    labels = pdf.page_labels
    first = labels.index("1")
    assert labels[:first] == ["i", "ii", "iii"][:first]
    assert labels[first:] == [str(number) for number in range(1, len(labels) - first + 1)]
    for number in range(1, len(labels)):  # the title page has no foot
        assert booklet.read.foot(number) == [booklet.values.code, labels[number]]


def test_bookmarks_lead_to_their_headings(booklet: Made) -> None:
    """Ensures that every bookmark's title stands on the page it leads to, sections in order."""
    pdf = reader(booklet)
    found = list(bookmarks(pdf))
    assert [title for level, title, _ in found if level == 0] == [
        *(booklet.values.title, "Contents", "How to use these tables", "Conversions", "Standard tapers"),
        *("Reading → stock", "What a division is worth", "Swivel settings", "Test bar", "Correction"),
        *("Sine bar and slip gauges", "Rolls, discs and balls", "Angle grades", "Warm work"),
        *("Surface speeds", "Dressing", "Centre holes", "Fractions, minutes, seconds", "Parts", "Sources"),
        "Index",
    ]
    assert [page for _, _, page in found] == sorted(page for _, _, page in found)
    for _, title, page in found:
        # a part's card sets '·' between id and name
        text = booklet.read.text(page).replace(" · ", " ")
        assert re.sub(r"\s+", "", title.replace(" · ", " ")) in re.sub(r"\s+", "", text)


def test_contents_give_the_pages_as_printed(booklet: Made) -> None:
    """Ensures that every chapter, and every table not one of many alike, stands there with its page."""
    labels = reader(booklet).page_labels
    listed = [(words, printed) for words, printed, _ in entries(booklet, "Contents")]
    assert listed == [(title, labels[page]) for title, page in in_the_contents(booklet)]


def links(pdf: PdfReader) -> dict[int, list[tuple[float, float, int]]]:
    """By page: where each link lies (left, top) and the page that it leads to."""
    found: dict[int, list[tuple[float, float, int]]] = {}
    for number, page in enumerate(pdf.pages):
        for note in page.get("/Annots") or []:
            left, _, _, top = map(float, note.get_object()["/Rect"])
            target = pdf.get_page_number(note.get_object()["/Dest"][0].get_object())
            found.setdefault(number, []).append((left, top, target))
    return found


def entries(booklet: Made, section: str) -> list[tuple[str, str, int]]:
    """(words, page as printed, page number) of each line of contents or index, as they stand on its pages."""
    labels, found, inside = reader(booklet).page_labels, [], False
    for number, pieces in enumerate(booklet.read.pages):
        titles = [plain(piece.text) for piece in pieces if piece.size == SECTION]
        inside = section in titles or (inside and not titles)
        if inside:
            text = ""
            for piece in pieces:
                if piece.size == BODY and piece.text.strip():
                    if plain(piece.text) in labels and text:
                        found.append((text, plain(piece.text), number))
                        text = ""
                    else:
                        text = f"{text} {plain(piece.text)}".strip()
    return found


@pytest.mark.parametrize("section", ["Contents", "Index"])
def test_every_line_of_contents_and_index_is_a_link(section: str, booklet: Made) -> None:
    """Ensures that a touch on a line goes to the page that it prints."""
    pdf = reader(booklet)
    lines, leading, labels = entries(booklet, section), links(pdf), pdf.page_labels
    pages = dict.fromkeys(number for _, _, number in lines)
    targets = [target for number in pages for _, _, target in leading[number]]
    assert [labels[target] for target in targets] == [printed for _, printed, _ in lines]
    assert set(leading) - set(pages) <= {n for s in ("Contents", "Index") for _, _, n in entries(booklet, s)}


def test_the_index_leads_to_what_it_names(both: Made) -> None:
    """Ensures that trades' names, tapers, subjects, machines and parts are found on the pages it names."""
    pages = {label: number for number, label in enumerate(reader(both).page_labels)}
    found = {words: pages[printed] for words, printed, _ in entries(both, "Index")}
    wanted = {
        "BT, BT shank": "BT shank",
        "CAT, CAT shank": "CAT shank",
        "SK, SK shank": "SK shank",
        "INT, 7:24": "7:24",
        "HSK, Hollow shank": "Hollow shank",
        "MT, Morse": "Morse",
        "MK, ISO Morse": "ISO Morse",
        "JT, Jacobs": "Jacobs",
        "B&S, Brown & Sharpe": "Brown & Sharpe",
        "Morse 3, reading": "Morse 3",
        "drop per thou": "Stock for any taper and any reading",
        "light, width of a gap and error": "cos² and light by taper",
        "surface speed of the wheel": "Wheel: most revolutions a minute, mm",
        "CG-2, Universal grinder 2": "CG-2 Universal grinder 2: scales",
        "SN-204, Spindle nose": "SN-204 Spindle nose",
    }
    for entry, title in wanted.items():
        assert title in both.read.text(found[entry]), (entry, title)
    for table in (
        each
        for chapter in both.values.chapters
        for each in chapter.tables
        if each.name.startswith("stock_of")
    ):
        assert any(name.startswith(str(table.told["names"]).split(" · ")[0]) for name in found)


def test_the_index_is_in_the_order_a_person_looks_in(both: Made) -> None:
    """Ensures that Morse 2 stands before Morse 5 and that capitals do not matter."""
    words = [entry for entry, _, _ in entries(both, "Index")]
    order = ["angle", "Bearing", "Morse 2, reading", "Morse 5, reading", "NPT", "overlap", "Wheel hub"]
    places = [next(n for n, each in enumerate(words) if each.startswith(name)) for name in order]
    assert places == sorted(places)


def test_a_name_in_letters_that_the_type_lacks_is_left_to_the_command() -> None:
    """Ensures that such a name of the library costs its line of the index, and not the booklet."""
    values = with_record(units="metric", **{**FEW, "tables": ("standards",)})
    foreign = IndexEntry("モールス", "Morse", values.chapters[0].tables[0])
    pdf = whole_booklet(
        replace(values, names=(foreign, *values.names)), TemplateFiles.read(TOP / "templates")
    )
    read = read_back(pdf.pdf())
    assert "MT, Morse" in read.text(-1)
    assert "モ" not in read.text(-1)


def test_a_running_head_names_the_tables_of_its_page(both: Made) -> None:
    """Ensures that a page open on the bench says what stands on it."""
    for table in both.read.of("Test bar") + both.read.of("Sine bar and slip gauges"):
        for page in table.pages:
            head = plain(
                " ".join(piece.text for piece in both.read.pages[page] if piece.y > 297 * MM - HEAD_PT)
            )
            on_page = {each.title for each in both.read.tables if page in each.pages}
            assert any(title in head for title in on_page), (page, head)


def test_no_page_is_nearly_empty(booklet: Made) -> None:
    """Ensures that no page ends after a few lines, but the last of the tables and the last of the index."""
    last_of_all = booklet.read.tables[-1].pages[-1], len(booklet.read.pages) - 1
    for number, pieces in enumerate(booklet.read.pages):
        if number >= 2 and number not in last_of_all:
            lowest = min(piece.y for piece in pieces if piece.y > FOOT_PT)
            assert lowest < 0.62 * max(piece.y for piece in pieces), f"page {number + 1}"


def test_the_full_booklet_is_no_longer_than_it_must_be(both: Made) -> None:
    """Ensures that tables are not doubled nor pages half empty: it had 130 once."""
    assert len(both.read.pages) <= 63  # with the tables of five machines and the pages of fourteen parts


def test_no_part_of_a_table_is_shorter_than_five_rows(booklet: Made) -> None:
    """Ensures that no page holds one or two lost rows, and that pages break where the heavy rule is."""
    for table in booklet.read.tables:
        *before, last = table.parts
        assert all(rows % 5 == 0 for rows in before), table.name
        assert not before or last >= 5, table.name


def test_heads_are_repeated_on_every_page(booklet: Made) -> None:
    """Ensures that the heads of a table that goes on stand over each of its parts."""
    gone_on = [table for table in booklet.read.tables if len(table.pages) > 1]
    assert len(gone_on) >= 6
    for table in gone_on:
        assert table.heads
        assert all(heads == table.heads for heads in table.heads_seen), table.name


def test_every_fifth_row_has_a_heavier_rule(both: Made) -> None:
    """Ensures that an eye keeps its line: thin rules, the fifth and the last of a table heavier."""
    pdf = reader(both)
    page = next(page for _, title, page in bookmarks(pdf) if title == "From taper per foot")
    width, rules = 0.0, []
    for line in pdf.pages[page].get_contents().get_data().decode("latin-1").splitlines():
        if found := re.fullmatch(r"([\d.]+) w", line):
            width = float(found[1]) / MM
        elif found := re.fullmatch(r"([\d.]+) ([\d.]+) m ([\d.]+) ([\d.]+) l S", line):
            x1, y1, x2, y2 = (float(each) / MM for each in found.groups())
            if y1 == y2 and x2 - x1 > 100:
                rules.append(width)
    rows = rules[-both.read.table("Conversions", "From taper per foot").parts[0] :]
    assert [round(each, 2) for each in rows[:10]] == [0.07, 0.07, 0.07, 0.07, 0.4] * 2
    assert rows[-1] > 0.3


def test_decimal_points_stand_in_line(both: Made) -> None:
    """Ensures that in each column of figures the points stand one under the other, to a twentieth of a mm."""
    pdf = pypdfium2.PdfDocument(both.pdf)
    table = both.read.table("Reading → stock", "Stock for any taper and any reading")
    text = pdf[table.pages[1]].get_textpage()
    places = [
        text.get_charbox(number)[0] / MM
        for number in range(text.count_chars())
        if text.get_text_range(number, 1) == "."
    ]
    columns: dict[int, list[float]] = {}
    for place in places:
        columns.setdefault(round(place), []).append(place)
    full = [column for column in columns.values() if len(column) >= table.parts[1] >= 40]
    assert len(full) >= 10
    assert all(max(column) - min(column) < 0.05 for column in full)


@pytest.mark.parametrize(
    ("units", "paper", "tables"),
    [
        ("both", "A4", SHORT),
        ("inch", "letter", ("swivel", "parts", "dressing")),
        ("metric", "A4", ("stock", "correction", "centre_holes", "numbers")),
        ("both", "letter", ("swivel", "correction", "test_bar")),
    ],
)
def test_every_page_is_legible(units: str, paper: str, tables: tuple[str, ...]) -> None:
    """Ensures no clipping, overlap, faint, tiny or missing characters, and rows of at least 4 mm."""
    values = with_record(units=units, paper=paper, **{**FEW, "tables": tables})
    pdf = whole_booklet(values, TemplateFiles.read(TOP / "templates")).pdf()
    assert complaints(pdf) == []  # faint ones among them


def test_long_names_are_wrapped_not_clipped() -> None:
    """Ensures that a long title or shop costs lines, not letters."""
    long = (
        "Prüftafeln und Einstellwerte für die Werkzeugmacherei der Abteilung Rundschleifen, zweite Fassung "
    )
    values = with_record(units="inch", paper="letter", title=2 * long, **{**FEW, "tables": ("swivel",)})
    pdf = whole_booklet(replace(values, shop=long), TemplateFiles.read(TOP / "templates")).pdf()
    assert complaints(pdf) == []
    assert "zweite Fassung" in read_back(pdf).text(0)


def test_errors_may_be_larger_than_the_taper() -> None:
    """Ensures that a booklet for a taper next to none is made: its table of turns is that of all others."""
    values = with_record(units="metric", tapers=("1:100000",), parts=(), machines=())
    read = read_back(whole_booklet(values, TemplateFiles.read(TOP / "templates")).pdf())
    assert any(row[0] == "1:100000" for row in read.table("Correction", "cos² and light by taper").rows)


def test_cells_of_tables_are_at_least_eight_points(both: Made) -> None:
    """Ensures that figures of tables can be read at the bench, on every page of tables."""
    sizes = {piece for side in sides(both.pdf) for piece in (round(word.size, 1) for word in side.words)}
    assert CELLS[0] in sizes
    assert min(CELLS) >= 8.0
    assert min(sizes) >= 6.5


def test_the_same_input_gives_the_same_bytes() -> None:
    """Ensures it in one process, and in another whose hashes are seeded otherwise."""
    values = with_record(units="both", **FEW, tables=("swivel", "correction"))
    files = TemplateFiles.read(TOP / "templates")
    here = whole_booklet(values, files).pdf()
    assert here == whole_booklet(values, files).pdf()
    script = (
        "import sys; sys.path.append(sys.path.pop(0));"  # the installed program, whatever lies here
        "import hashlib; from tests.booklet.conftest import *; from tests.booklet.test_pages import FEW;"
        "files = TemplateFiles.read(TOP / 'templates');"
        "values = with_record(units='both', **FEW, tables=('swivel', 'correction'));"
        "print(hashlib.sha256(whole_booklet(values, files).pdf()).hexdigest())"
    )
    seed = "2" if os.environ.get("PYTHONHASHSEED") == "1" else "1"
    elsewhere = subprocess.run(
        [sys.executable, "-c", script],
        cwd=TOP,
        env={**os.environ, "PYTHONHASHSEED": seed},
        capture_output=True,
        check=True,
        text=True,
    )
    assert elsewhere.stdout.strip() == hashlib.sha256(here).hexdigest()


def test_all_fonts_are_embedded(both: Made) -> None:
    """Ensures that it prints alike everywhere."""
    pdf = reader(both)
    fonts = {
        font.get_object()["/FontDescriptor"].get_object().get("/FontFile2") is not None
        for page in pdf.pages
        for font in page["/Resources"]["/Font"].values()
    }
    assert fonts == {True}


def test_a_line_of_every_table_is_worked(booklet: Made) -> None:
    """Ensures that the figure of each worked line is the one that stands in its table."""
    made_tables = [each for chapter in booklet.values.chapters for each in chapter.tables if each.rows]
    assert len(made_tables) == len(booklet.read.tables)
    for values, read in zip(made_tables, booklet.read.tables, strict=True):
        if values.worked is not None and values.name != "grades_microradians":
            row, column = values.worked
            assert read.rows[row][column] in booklet.read.words[read.section, read.title], read.name


def test_copies_of_cards_are_bound_in_where_they_are_named() -> None:
    """Ensures that each part's card with its code follows the tables; 'all' leaves the copies out."""
    values = with_record(units="both", **{**FEW, "tables": ("parts", "cards")})
    pdf = whole_booklet(values, TemplateFiles.read(TOP / "templates")).pdf()
    pages = {title: page for _, title, page in bookmarks(PdfReader(BytesIO(pdf)))}
    (part,) = values.parts
    assert part.card is not None
    last_side = pages["Index"] - 1  # a leaf bears its code at the foot of its last side
    assert pages["Sources"] < pages["SN-204 Spindle nose"] <= last_side
    assert part.card.title.code in read_back(pdf).text(last_side)
    assert not with_record(units="both", **FEW).with_cards


def test_the_record_chooses_the_tables() -> None:
    """Ensures that a booklet holds the chapters that its record names, sources and index, and no other."""
    values = with_record(units="metric", **{**FEW, "tables": ("rolls", "conversions")})
    read = read_back(whole_booklet(values, TemplateFiles.read(TOP / "templates")).pdf())
    assert {table.section for table in read.tables} == {"Conversions", "Rolls, discs and balls", "Sources"}


def test_every_part_is_listed_with_the_code_of_its_card(both: Made) -> None:
    """Ensures that the planner sees which issue of a card the pages belong to."""
    listed, *_ = both.read.of("Parts")
    cards = {part.id: part.card for part in both.values.parts}
    assert {row[0]: row[-1] for row in listed.rows} == {
        part: card.title.code for part, card in cards.items() if card is not None
    }


def test_every_source_is_told(both: Made) -> None:
    """Ensures that each series has its source below it, and slip sets, grades and alloys are among them."""
    told = {row[0]: row[1:] for row in both.read.of("Sources")[0].rows}
    for series in all_series():
        words = both.read.words["Standard tapers", series.name]
        assert re.search(rf"Source: (.+ \({HOW_SURE}\)|From memory.*)\.", words), series.name
    assert {"Slip gauges, set of 88 metric", "Slip gauges, set of 81 inch", "Angle grades"} <= set(told)
    assert any("steel 1020" in name for name in told)
    assert all(re.fullmatch(HOW_SURE, how_sure) for _, how_sure in told.values())


def test_a_booklet_without_the_standards_names_their_sources() -> None:
    """Ensures that a taper's source is told where its table does not stand in the booklet."""
    values = with_record(units="metric", **{**FEW, "tables": ("rolls",)})
    read = read_back(whole_booklet(values, TemplateFiles.read(TOP / "templates")).pdf())
    assert {"Morse", "7:24"} <= {row[0] for row in read.of("Sources")[0].rows}


def test_a_conflict_between_sources_is_shown_with_its_reason(both: Made) -> None:
    """Ensures that what another table prints stands below the figures used, and why it is not used."""
    told = both.read.words["Standard tapers", "Morse"]
    assert "elsewhere large .36510 in for 0" in told
    assert "3 1/16 in for 3" in told
    assert told.count("that is the distance to the keyway") <= 2


def test_a_booklet_of_few_tapers_and_nothing_of_the_shop() -> None:
    """Ensures that a booklet can be made of one series alone, without machines and parts."""
    values = with_record(
        units="inch", paper="letter", tapers=("R8", "1:7.3", "Morse 2"), machines=(), parts=()
    )
    read = read_back(whole_booklet(values, TemplateFiles.read(TOP / "templates")).pdf())
    titles = [table.title for table in read.of("Reading → stock")]
    assert [title for title in titles if title in ("Morse 2", "1:7.3", "R8")] == ["Morse 2", "1:7.3", "R8"]
    assert {table.section for table in read.tables} >= {"Test bar", "Correction", "Rolls, discs and balls"}
    assert read.of("Parts") == read.of("Swivel settings") == []


def test_trades_names_choose_their_series() -> None:
    """Ensures that BT, HSK and MK are names that a booklet may use, as the command does."""
    values = with_record(units="metric", tapers=("BT", "HSK", "MK"), machines=(), parts=())
    read = read_back(whole_booklet(values, TemplateFiles.read(TOP / "templates")).pdf())
    assert [table.title for table in read.of("Standard tapers")] == ["ISO Morse", "BT shank", "Hollow shank"]


def test_an_inch_booklet_is_in_inches_throughout(made_once: MadeOnce) -> None:
    """Ensures that no length is told in millimetres where the booklet says inches.

    A standard's own figures, factors for either unit, what a metric machine has engraved and where it has its
    buttons, may be.
    """
    found: Made = made_once("booklet-inch", lambda: booklet_of("inch"))
    read = found.read
    either = ("Standard tapers", "Sources", "Rolls, discs and balls", "Fractions, minutes, seconds", "Parts")
    for (section, title), words in read.words.items():
        if section and section not in (*either, "How to use these tables"):
            heads = " ".join(head for table in read.of(section, title) for head in table.heads)
            text = re.sub(r"at \d+ mm from the pivot|divisions of \d+ mm/m", "", plain(f"{heads} {words}"))
            assert not re.search(r"\bmm\b|µm", text), (section, title)


def test_a_part_without_a_card_is_named_with_its_reason() -> None:
    """Ensures that doubt is shown: a part that cannot have a card is not left out in silence."""
    library = demo_shop().library
    record = library.booklets["toolroom"].model_copy(update={**FEW, "tables": ("parts",)})
    values = gather_booklet(record, library, {}, {"SN-204": "the blank is smaller than the finish"}, "code")
    told = read_back(whole_booklet(values, TemplateFiles.read(TOP / "templates")).pdf()).words
    assert any(
        "SN-204 Spindle nose has no card: the blank is smaller than the finish" in text
        for text in told.values()
    )


def test_a_file_says_what_it_is_to_those_who_cannot_see_it(booklet: Made) -> None:
    """Ensures title shown, language, and the same in XMP."""
    pdf = reader(booklet)
    assert accessible(pdf) == (booklet.values.title, "en-GB")


PLAINLY_COPIED = ("Correction", "Angle grades", "Warm work", "Surface speeds", "Dressing")


def test_text_reads_in_order_when_it_is_copied(both: Made) -> None:
    """Ensures that another reader's copy of a page runs title, then row after row from left to right."""
    pdf = pypdfium2.PdfDocument(both.pdf)
    whole = [table for table in both.read.tables if len(table.pages) == 1 and table.section in PLAINLY_COPIED]
    assert len(whole) >= 8
    for table in whole:
        text = pdf[table.pages[0]].get_textpage().get_text_range()
        copied = plain(re.sub(r"\s+", " ", text.replace("\u00a0", " ")))
        places = [copied.index(" ".join(row)) for row in table.rows]
        assert places == sorted(places), table.title
        assert copied.index(table.title) < places[0]


def test_every_page_is_copied_down_its_columns(booklet: Made) -> None:
    """Ensures that a copy of any page runs down each of its columns, left before right."""
    for number, page in enumerate(pypdfium2.PdfDocument(booklet.pdf), 1):
        assert out_of_order(page) == [], number


def test_the_booklet_stays_small(both: Made) -> None:
    """Ensures that the file is no burden to send: under a megabyte."""
    assert len(both.pdf) < 1_000_000
