"""The booklet as a thing of paper: pages, numbers, contents, bookmarks, heads, rules, legibility."""

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

from cardgen.paper.book.make import booklet_pdf
from cardgen.paper.words.wording import TemplateFiles
from tests.booklet.conftest import TOP, Made, with_record
from tests.booklet.reading_back import CELL, Table, plain, read_back
from tests.paper.legibility import complaints, sides

MM = 72 / 25.4
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


def in_the_contents(pdf: PdfReader) -> list[tuple[str, int]]:
    """(title, page) of what the contents list: how to use, then every section with its tables.

    The tables of readings and stock are too many: the index has them.
    """
    found: list[tuple[str, int]] = []
    section = ""
    for level, title, page in bookmarks(pdf):
        section = title if level == 0 else section
        listed = section not in ("How to use these tables", "Reading → stock")
        if level == 0 or (level == 1 and listed):
            found.append((title, page))
    start = next(number for number, (title, _) in enumerate(found) if title == "How to use these tables")
    return found[start:]


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
    assert labels[:3] == ["i", "ii", "iii"]
    first = labels.index("1")
    assert labels[first:] == [str(number) for number in range(1, len(labels) - first + 1)]
    for number in range(1, len(labels)):  # the title page has no foot
        assert booklet.read.foot(number) == [booklet.values.code, labels[number]]


def test_bookmarks_lead_to_their_headings(booklet: Made) -> None:
    """Ensures that every bookmark's title stands on the page it leads to, sections in order."""
    pdf = reader(booklet)
    found = list(bookmarks(pdf))
    assert [title for level, title, _ in found if level == 0] == [
        *(booklet.values.title, "Contents", "How to use these tables", "Conversions", "Standard tapers"),
        *("Reading → stock", "Swivel settings", "Test bar", "Correction", "Sine bar and slip gauges"),
        *("Over rolls", "Angle grades and temperature", "Parts", "Sources", "Index"),
    ]
    assert [page for _, _, page in found] == sorted(page for _, _, page in found)
    for _, title, page in found:
        # a part's card sets '·' between id and name
        text = booklet.read.text(page).replace(" · ", " ")
        assert re.sub(r"\s+", "", title.replace(" · ", " ")) in re.sub(r"\s+", "", text)


def contents_of(booklet: Made) -> list[tuple[str, str]]:
    """(title, page as printed) of every line of the contents, wrapped lines put together."""
    told = next(words.text for words in booklet.read.words if words.section == "Contents")
    labels = set(reader(booklet).page_labels)
    lines = []
    for title, _ in in_the_contents(reader(booklet)):
        assert told.startswith(title), (told[:60], title)
        page, _, told = told[len(title) :].strip().partition(" ")
        assert page in labels
        lines.append((title, page))
    assert not told
    return lines


def test_contents_give_the_pages_as_printed(booklet: Made) -> None:
    """Ensures that every section and every table stands in the contents with its page."""
    pdf = reader(booklet)
    labels = pdf.page_labels
    assert contents_of(booklet) == [(title, labels[page]) for title, page in in_the_contents(pdf)]


def test_every_line_of_the_contents_is_a_link(booklet: Made) -> None:
    """Ensures that a touch on a line of the contents goes to its page."""
    pdf = reader(booklet)
    pages = [page for _, page in in_the_contents(pdf)]
    links = [note.get_object() for page in pdf.pages for note in page.get("/Annots") or []]
    targets = []
    for link in links:
        target = link["/Dest"][0]
        targets.append(int(target) if isinstance(target, int) else pdf.get_page_number(target.get_object()))
    assert targets == pages


def test_the_index_leads_to_parts_and_tapers(booklet: Made) -> None:
    """Ensures that each index entry's pages hold the part's card and the taper's tables."""
    pdf = reader(booklet)
    page_of = {label: number for number, label in enumerate(pdf.page_labels)}
    parts = booklet.read.table("Index", "Parts")
    assert [row[0] for row in parts.rows] == [part.id for part in booklet.values.parts]
    for row in parts.rows:
        card, stock = row[-2:]
        assert row[0] in booklet.read.text(page_of[card])
        assert row[0] in booklet.read.text(page_of[stock])
    tapers = booklet.read.table("Index", "Tapers")
    assert len(tapers.rows) == len(booklet.values.lines)
    stock_pages = {
        name: page for table in booklet.read.of("Reading → stock") for name, page in _on_page(table)
    }
    for row in tapers.rows:
        assert page_of[row[-1]] == stock_pages[row[0]]


def _on_page(table: Table) -> Iterator[tuple[str, int]]:
    for name in table.sub.split(" · "):
        yield name, table.pages[0]


def test_the_index_is_in_the_order_a_person_looks_in(both: Made) -> None:
    """Ensures that Morse 2 stands before Morse 10 and capitals do not matter."""
    names = [row[0] for row in both.read.table("Index", "Tapers").rows]
    assert names.index("Brown & Sharpe 9") < names.index("Brown & Sharpe 10") < names.index("Cone 1:3")
    assert names.index("Cone 1:3") < names.index("Cone 1:10") < names.index("Taper pin")


def test_no_part_of_a_table_is_shorter_than_five_rows(booklet: Made) -> None:
    """Ensures that no page holds one or two lost rows, and that pages break where the heavy rule is."""
    for table in booklet.read.tables:
        if table.section in ("Sources",) or "coefficients" in table.title:
            continue  # their lines wrap: rows are not told apart by reading
        *before, last = table.parts
        assert all(rows % 5 == 0 for rows in before), table.name
        assert not before or last >= 5, table.name


def test_heads_are_repeated_on_every_page(booklet: Made) -> None:
    """Ensures that the heads of a table that goes on stand over each of its parts."""
    gone_on = [table for table in booklet.read.tables if len(table.pages) > 1]
    assert len(gone_on) >= 8
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
    table = both.read.of("Reading → stock")[3]
    text = pdf[table.pages[0]].get_textpage()
    places = [
        text.get_charbox(number)[0] / MM
        for number in range(text.count_chars())
        if text.get_text_range(number, 1) == "."
    ]
    columns: dict[int, list[float]] = {}
    for place in places:
        columns.setdefault(round(place), []).append(place)
    full = [column for column in columns.values() if len(column) >= 50]  # two tables of 25 rows on the page
    assert len(full) >= 9
    assert all(max(column) - min(column) < 0.05 for column in full)


@pytest.mark.parametrize(
    ("units", "paper"), [("both", "A4"), ("inch", "letter"), ("metric", "A4"), ("both", "letter")]
)
def test_every_page_is_legible(units: str, paper: str) -> None:
    """Ensures no clipping, overlap, faint, tiny or missing characters, and rows of at least 4 mm."""
    pdf = booklet_pdf(with_record(units=units, paper=paper, **FEW), TemplateFiles.read(TOP / "templates"))
    assert complaints(pdf) == []  # faint ones among them


def test_long_names_are_wrapped_not_clipped() -> None:
    """Ensures that a long title, shop, machine or part costs lines, not letters."""
    long = (
        "Prüftafeln und Einstellwerte für die Werkzeugmacherei der Abteilung Rundschleifen, zweite Fassung "
    )
    values = with_record(units="inch", paper="letter", title=2 * long, **FEW)
    (machine,) = values.machines
    long_named = replace(values, shop=long, machines=(replace(machine, name=long),))
    pdf = booklet_pdf(long_named, TemplateFiles.read(TOP / "templates"))
    assert complaints(pdf) == []
    read = read_back(pdf)
    assert "zweite Fassung" in read.text(0)
    assert any(long.split()[-2] in table.title for table in read.of("Swivel settings"))


def test_a_taper_next_to_none_has_its_correction_table() -> None:
    """Ensures that errors larger than the taper itself are dashes, not a booklet that fails."""
    values = with_record(units="metric", tapers=("1:100000",), parts=(), machines=())
    (table,) = read_back(booklet_pdf(values, TemplateFiles.read(TOP / "templates"))).of(
        "Correction", "Error of taper → turn of the swivel, mm"
    )
    assert "–" in {cell for row in table.rows for cell in row}


def test_cells_of_tables_are_at_least_eight_points(both: Made) -> None:
    """Ensures that figures of tables can be read at the bench, on every page of tables."""
    sizes = {piece for side in sides(both.pdf) for piece in (round(word.size, 1) for word in side.words)}
    assert CELL in sizes
    assert CELL >= 8.0
    assert min(sizes) >= 6.5


def test_the_same_input_gives_the_same_bytes() -> None:
    """Ensures it in one process, and in others whose hashes are seeded otherwise."""
    values = with_record(units="both", **FEW)
    files = TemplateFiles.read(TOP / "templates")
    assert booklet_pdf(values, files) == booklet_pdf(values, files)
    script = (
        "import sys; sys.path.append(sys.path.pop(0));"  # the installed program, whatever lies here
        "import hashlib; from tests.booklet.conftest import *; from tests.booklet.test_pages import FEW;"
        "files = TemplateFiles.read(TOP / 'templates');"
        "print(hashlib.sha256(booklet_pdf(with_record(units='both', **FEW), files)).hexdigest())"
    )
    digests = {
        subprocess.run(
            [sys.executable, "-c", script],
            cwd=TOP,
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
            text=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(digests) == 1


def test_all_fonts_are_embedded(both: Made) -> None:
    """Ensures that it prints alike everywhere."""
    pdf = reader(both)
    fonts = {
        font.get_object()["/FontDescriptor"].get_object().get("/FontFile2") is not None
        for page in pdf.pages
        for font in page["/Resources"]["/Font"].values()
    }
    assert fonts == {True}


def test_how_to_use_works_a_line_of_every_table(both: Made) -> None:
    """Ensures that each section of tables is explained, and that the worked figures stand in its tables."""
    told = {
        words.title: words.text for words in both.read.words if words.section == "How to use these tables"
    }
    sections = {table.section for table in both.read.tables} - {"Parts", "Sources", "Index"}
    assert sections <= set(told)
    for section in sections:
        tables = both.read.of(section)
        cells = {cell for table in tables for row in table.rows for text in row for cell in text.split(" + ")}
        cells |= {word for table in tables for head in table.heads for word in plain(head).split()}
        worked = re.sub(r"^page \d+ ", "", told[section])
        worked = worked.partition("• ")[2]
        figures = re.findall(r"(?<![\d.])\d*\.\d{2,}|\d+°\d\d′\d\d″", worked)
        assert figures, section
        for figure in figures:
            assert any(figure == cell.lstrip("+−") for cell in cells), (section, figure)


def test_each_part_has_its_card(both: Made) -> None:
    """Ensures that every part of the shop has pages, its own title and code on them."""
    pdf = reader(both)
    pages = {title: page for level, title, page in bookmarks(pdf) if level == 1}
    for part in both.values.parts:
        assert part.card is not None
        assert part.card.title.code in both.read.text(pages[f"{part.id} {part.name}"])
    listed, *_ = both.read.of("Parts")  # the planner's pages of the parts follow it
    assert listed.title == ""
    assert [row[0] for row in listed.rows] == [part.id for part in both.values.parts]


def test_every_source_is_told(both: Made) -> None:
    """Ensures that each series, slip set and grade stands among the sources, with how sure it is."""
    text = re.sub(r"\s+", "", plain(" ".join(" ".join(row) for row in both.read.of("Sources")[0].rows)))
    for source in both.values.sources:
        words = source.source.replace("0.", ".")
        assert re.sub(r"\s+", "", words)[:30] in text.replace("0.", ".")


def test_a_conflict_between_sources_is_shown_with_its_reason(both: Made) -> None:
    """Ensures that what another table prints stands below the figures used, and why it is not used."""
    told = next(
        words.text
        for words in both.read.words
        if (words.section, words.title) == ("Standard tapers", "Morse")
    )
    assert "Elsewhere: large .36510 in for 0" in told
    assert "3 1/16 in for 3" in told
    assert told.count("that is the distance to the keyway") <= 2


def test_a_booklet_of_few_tapers_and_nothing_of_the_shop() -> None:
    """Ensures that a booklet can be made of one series alone, without machines and parts."""
    values = with_record(
        units="inch", paper="letter", tapers=("R8", "1:7.3", "Morse 2"), machines=(), parts=()
    )
    read = read_back(booklet_pdf(values, TemplateFiles.read(TOP / "templates")))
    assert [table.sub for table in read.of("Reading → stock")] == ["Morse 2", "1:7.3", "R8"]
    assert {table.section for table in read.tables} >= {"Test bar", "Correction", "Over rolls"}
    assert read.of("Parts") == []


def test_a_part_without_a_card_is_named_with_its_reason() -> None:
    """Ensures that doubt is shown: a part that cannot have a card is not left out in silence."""
    values = with_record(units="metric", **FEW)
    (part,) = values.parts
    spoilt = replace(values, parts=(replace(part, card=None, wrong="the blank is smaller than the finish"),))
    read = read_back(booklet_pdf(spoilt, TemplateFiles.read(TOP / "templates")))
    told = next(words.text for words in read.words if words.section == "Parts")
    assert "SN-204 Spindle nose has no card: the blank is smaller than the finish" in told


def test_the_whole_booklet_is_quick(both: Made) -> None:
    """Ensures that the demo booklet stays a booklet: more than a hundred pages, under two megabytes."""
    assert 100 < len(reader(both).pages) < 160
    assert len(both.pdf) < 2_000_000
