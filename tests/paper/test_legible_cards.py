"""Cards are legible on every size of paper, in every system of units, with any name the font can set."""

import re
import unicodedata
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cardgen.card.values import Card
from cardgen.paper.bench_card import Templates, bench_card, read_templates
from cardgen.paper.press.page import FORMATS
from cardgen.paper.words.figures import Figures
from cardgen.terms import Units
from tests.paper.conftest import ROOT
from tests.paper.legibility import complaints, largest_size_of, sides, table_words, text_of
from tests.paper.sample import NECK, SOCKET, SPINDLE, sample_card

DemoPdf = Callable[[str, str], bytes]
FOOT = 26.0  # mm: code, release line, the square code
UNITS: tuple[Units, ...] = ("metric", "inch", "both")
# Every letter, figure, mark and sign of Latin-1.
LATIN = [letter for letter in map(chr, range(256)) if unicodedata.category(letter)[0] in "LNPS"]
# One name a script, about 200 characters long, in words and in one piece.
LONG_NAMES = (
    "Spindle nose with long taper and driving keys for the second operation on the older machine " * 2,
    "W" * 200,
    "Κωνικός άξονας με μακρύ κώνο για τη δεύτερη κατεργασία στην παλαιά μηχανή " * 2,
    "Конус шпинделя с длинной посадкой для второй операции на старом станке " * 2,
    "Կոնաձև լիսեռ երկար կոնով երկրորդ գործողության համար " * 3,
    "კონუსური ლილვი გრძელი კონუსით მეორე ოპერაციისთვის " * 3,
)


@pytest.mark.parametrize("paper", FORMATS)
def test_every_card_of_the_demo_shop_is_legible(
    paper: str, demo_cards: tuple[Card, ...], demo_pdf: DemoPdf
) -> None:
    """Ensures nothing is too small, covered, struck through, faint or in the pouch's edge."""
    for card in demo_cards:
        assert complaints(demo_pdf(card.title.part, paper)) == [], card.title.part


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("paper", FORMATS)
def test_every_system_of_units_is_legible(paper: str, units: Units, templates: Templates) -> None:
    """Ensures a change of units alone never makes a card illegible."""
    for job in (SPINDLE, NECK, SOCKET):
        card = sample_card(job)
        card = replace(card, title=replace(card.title, units=units))
        assert complaints(bench_card(card, paper, templates).pdf()) == [], job.part


@pytest.mark.parametrize("name", LONG_NAMES)
@pytest.mark.parametrize("paper", ["A6", "A5", "A4"])
def test_long_names_wrap_in_five_scripts(paper: str, name: str, templates: Templates) -> None:
    """Ensures a name of 200 characters is set whole, and nothing is pushed over anything."""
    card = sample_card(SPINDLE)
    card = replace(card, title=replace(card.title, name=name.strip()))
    made = bench_card(card, paper, templates).pdf()
    assert complaints(made) == []
    assert name.replace(" ", "") in text_of(made).replace(" ", "")


@settings(max_examples=12, deadline=None)
@given(
    st.text(alphabet=LATIN, min_size=1, max_size=200),
    st.integers(1, 60),
)
def test_any_latin_name_and_id_is_legible(name: str, length: int) -> None:
    """Ensures whatever is typed as a name or an id is set as it is and fits."""
    card = sample_card(SPINDLE)
    title = replace(
        card.title, name=name, part=(name * 60)[:length], code=f"{(name * 60)[:length]}-B-7f3a91c2"
    )
    made = bench_card(replace(card, title=title), "A5", read_templates(ROOT / "templates")).pdf()
    assert complaints(made) == []


def hand_values(card: Card) -> list[str]:
    """What the hand sets, feeds or stops at, as the card writes it."""
    figures, lead = Figures(card.title.units), Figures("inch" if card.title.units == "inch" else "metric")
    rough, aim = card.stage("rough"), card.stage("finish")
    assert rough is not None
    assert aim is not None
    wanted = [
        figures.reading(rough.reading_text),
        figures.reading_alone(aim.reading_text),
        *(
            figures.reading_alone(each)
            for each in (card.batch.reading_low_text, card.batch.reading_high_text)
        ),
        f"{figures.count(card.speeds.wheel_rpm)}\u00a0rpm",
        f"{figures.count(card.speeds.rough.work_rpm)}\u00a0rpm",
        *(
            figures.reading(phase.divisions_per_pass_text)
            for phase in (card.speeds.rough, card.speeds.finish)
        ),
        *(lead.stock(phase.dress_infeed_mm) for phase in (card.speeds.rough, card.speeds.finish)),
    ]
    if card.handwheel.readout:
        wanted.append(figures.reading(rough.position_divisions_text))
    if card.swivel.set_by == "wheel head" and card.swivel.wheel_head:
        by_bar = card.swivel.bar_rise
        angle = figures.angle_set(card.swivel.wheel_head.half_angle_deg)
        wanted.append(lead.slip(by_bar.rise_mm) if by_bar else angle)
    elif card.swivel.starts[0].way == "test bar" and card.swivel.bar_rise is not None:
        wanted.append(figures.slip(card.swivel.bar_rise.rise_mm))
    if not card.stroke.plunge:
        wanted.append(f"travel {lead.length_down(card.stroke.travel_mm)}")
    if card.batch.move_at_text and card.batch.pieces != 1:
        wanted += [figures.reading(card.batch.move_at_text), figures.reading(card.batch.stop_divisions_text)]
    return wanted


@pytest.mark.parametrize("paper", [paper for paper in FORMATS if paper != "A6"])
def test_what_the_hand_acts_on_is_set_large(
    paper: str, demo_cards: tuple[Card, ...], demo_pdf: DemoPdf
) -> None:
    """Ensures the best start, limits and aim, stop, speeds, infeeds and stroke are at least 14 pt."""
    for card in demo_cards:
        made = demo_pdf(card.title.part, paper)
        for text in hand_values(card):
            assert largest_size_of(made, text) >= 14.0, (card.title.part, text)


# The least size of what the hand reads, pt, on the side to set up and on the side to grind to size; the foot
# and the parts of a fraction are smaller. 5 × 8 in is too small for what A5 holds, A6 is a pocket card.
LEAST = {
    "A5": (8.0, 9.0),
    "half letter": (8.0, 9.0),
    "A4": (10.0, 10.0),
    "letter": (10.0, 10.0),
    "5x8 in": (7.0, 7.6),
    "A6": (6.5, 6.5),
}


@pytest.mark.parametrize("paper", LEAST)
def test_nothing_but_the_foot_is_smaller_than_its_side_allows(
    paper: str, demo_cards: tuple[Card, ...], demo_pdf: DemoPdf
) -> None:
    """Ensures what is read at arm's length can be: only code and release line are in small print."""
    for card in demo_cards:
        for side, least in zip(sides(demo_pdf(card.title.part, paper)), LEAST[paper], strict=True):
            foot = side.height - FOOT if side.number > 1 else side.height
            small = [
                word
                for word in side.words
                if word.size < least - 0.01 and word.top < foot and not word.text.isdigit()
            ]
            assert small == [], (card.title.part, small)


def test_tables_on_a5_are_set_in_eight_points_or_more(
    demo_cards: tuple[Card, ...], demo_pdf: DemoPdf
) -> None:
    """Ensures figures in rows are at least 8 pt, their fractions' parts at least 6.5."""
    for card in demo_cards:
        for side in sides(demo_pdf(card.title.part, "A5")):
            for word in table_words(side):
                part_of_fraction = word.text.isdigit() and word.size < 8.0
                assert word.size >= (6.5 if part_of_fraction else 8.0) - 0.01, (card.title.part, word)


def test_a_card_of_one_system_shows_only_that(demo_cards: tuple[Card, ...], demo_pdf: DemoPdf) -> None:
    """Ensures an inch card has no millimetres and a metric card no inches but the taper per foot."""
    for card in demo_cards:
        # A figure and its unit are held together by a no-break space; words are not.
        text = text_of(demo_pdf(card.title.part, "A5"))
        if card.title.units == "metric":
            assert not re.search(r"\d\u00a0in\b(?!/ft)", text), card.title.part
        if card.title.units == "inch":
            assert not re.search(r"\d\u00a0mm\b", text), card.title.part


def test_speeds_and_dressing_are_all_printed(demo_cards: tuple[Card, ...], demo_pdf: DemoPdf) -> None:
    """Ensures traverse, passes and dressing of both phases stand on the card, in its leading system."""
    for card in demo_cards:
        figures = Figures("inch" if card.title.units == "inch" else "metric")
        text = text_of(demo_pdf(card.title.part, "A5"))
        for phase in (card.speeds.rough, card.speeds.finish):
            wanted = [
                figures.feed(phase.dress_traverse_mm_min),
                figures.stock(phase.dress_infeed_mm),
                figures.reading(phase.divisions_per_pass_text),
            ]
            if not card.stroke.plunge:
                wanted.append(figures.feed(phase.traverse_mm_min))
            assert [each for each in wanted if each not in text] == [], card.title.part


def test_the_first_row_is_never_left_out(demo_cards: tuple[Card, ...], demo_pdf: DemoPdf) -> None:
    """Ensures the most that a blank may have has its row, however coarse the table."""
    for card in demo_cards:
        figures = Figures(card.title.units)
        shown = figures.bare(card.stock_table[0].stock_mm, "stock", figures.leading)
        assert shown in text_of(demo_pdf(card.title.part, "A5")), (card.title.part, shown)


@pytest.mark.parametrize("paper", FORMATS)
def test_cards_of_the_demo_shop_are_one_leaf(
    paper: str, demo_cards: tuple[Card, ...], demo_pdf: DemoPdf
) -> None:
    """Ensures a bench card has two sides: what the pouch holds."""
    for card in demo_cards:
        assert len(sides(demo_pdf(card.title.part, paper))) == 2, card.title.part


@pytest.mark.parametrize("paper", ["A5", "half letter", "5x8 in"])
def test_a_part_of_fourteen_signs_has_one_leaf_too(
    paper: str, demo_cards: tuple[Card, ...], templates: Templates
) -> None:
    """Ensures a long id is set smaller before it takes a second line, and a row of the fullest cards."""
    for card in demo_cards:
        if card.title.part in ("FS-8-FAN", "TM-50", "VP-32-WORN"):
            longer = replace(card, title=replace(card.title, part=f"{card.title.part:-<14}"))
            assert len(bench_card(longer, paper, templates).surfaces) == 2, card.title.part
