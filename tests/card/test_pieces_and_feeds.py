"""What machine, part and shop say besides: feeds in turns and by a readout, the operations of one piece."""

from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from cardgen.card.at_the_bench import bench_answer
from cardgen.card.rows import feed_text
from cardgen.card.values import Card, Handwheel
from cardgen.compute.infeed import whole_turns
from cardgen.compute.sum_error import SumError
from cardgen.digits import NBSP
from cardgen.paper.record_sheet import record_sheet
from cardgen.paper.words.figures import Figures
from cardgen.shelf.state import survey
from cardgen.shop.folder import Shop
from tests.calling import cardgen
from tests.card.bench_shop import PART, TODAY, Change, changed, gathered, shop

TURNS: Change = ("division: 0.0025 mm}", "division: 0.0025 mm, divisions: 40}")
READOUT: Change = ("division: 0.0025 mm}", "readout: 0.001 mm}")
READOUT_IN: Change = ("division: 0.0025 mm}", "readout: .0001 in}")
NUMBER: Change = ("revision: B", "operation_number: 30\npiece: DBL\nrevision: B")


def words(shop: Shop, card: Card) -> str:
    """What the sides of a card say, as one line."""
    pages = PdfReader(BytesIO(shop.draw_card(card, "A5").pdf())).pages
    return " ".join(" ".join(page.extract_text() for page in pages).replace("\u00a0", " ").split())


# ---- feeds


def test_turns_and_divisions_are_what_a_hand_counts() -> None:
    """Division by division, one turn more each time the dial comes round to nought."""
    turns = over = 0
    for count in range(1, 1000):
        over += 1
        if over == 40:
            turns, over = turns + 1, 0
        assert whole_turns(count, 40) == (turns, over)
    for wrong in ((-1, 40), (3, 0)):
        with pytest.raises(SumError):
            whole_turns(*wrong)


@pytest.mark.parametrize(
    ("count", "turns", "mm", "inches"),
    [
        (0, "0 div", "0.000 mm", ".0000 in"),
        (1, "1 div", "0.001 mm", ".0001 in"),
        (99, "99 div", "0.099 mm", ".0099 in"),
        (100, "1 turn", "0.100 mm", ".0100 in"),
        (431, "4 turns + 31 div", "0.431 mm", ".0431 in"),
        (-3, "−3 div", "−0.003 mm", "−.0003 in"),
    ],
)
def test_a_feed_is_told_as_it_is_counted(count: int, turns: str, mm: str, inches: str) -> None:
    """Below a turn in divisions alone; by a readout in its own unit and to its own step."""
    dial = Handwheel("diameter", 0.001, "0.001 mm", 0.001, 100, None)
    assert feed_text(count, dial) == turns
    assert feed_text(count, Handwheel("diameter", 0.001, "0.001 mm", 0.001, None, "mm")) == mm
    assert feed_text(count, Handwheel("diameter", 0.00254, ".0001 in", 0.00254, None, "in")) == inches


@pytest.mark.parametrize(
    ("counted", "row", "stop"),
    [
        (TURNS, "6.0 0.375 2 + 19", "Feed the stop in 1 div"),
        (READOUT, "6.0 0.375 0.249", "Readout on by 0.002 mm"),
        (READOUT_IN, "6.0 0.375 .0098", "Readout on by .0001 in"),
    ],
)
def test_card_and_bench_tell_a_feed_alike(tmp_path: Path, counted: Change, row: str, stop: str) -> None:
    """1:8, on the diameter: 0.125 mm of stock are 0.12475 mm of cross-feed, 0.375 mm are 0.37427 mm.

    To feed is rounded down; table, the batch's step and `stock` say it alike.
    """
    bench = shop(tmp_path, counted, ("centre_depth_spread: 0.10 mm", "centre_depth_spread: 0 mm"))
    card = bench.card("SN-204").card
    said = words(bench, card)
    assert row in said
    first = next(each for each in card.stock_table if each.reading_text == "4.00 mm")
    told = Figures("metric").fed_alone(first.first_feed_text)
    assert f"4.00 0.125 {told}" in said.replace(NBSP, " ")
    assert stop in said
    answer = bench_answer(bench.card("SN-204").gauged, 6.0).answer
    table = next(row for row in card.stock_table if row.reading_text == "6.0 mm")
    assert (answer.divisions_text, answer.divisions_to_rough_text) == (
        table.divisions_text,
        table.divisions_to_rough_text,
    )
    asked = cardgen("stock", "SN-204", "6 mm", cwd=tmp_path).stdout
    assert f"feed {answer.divisions_text.replace('div', 'divisions')}" in asked


def test_a_readout_never_tells_to_feed_past_or_to_stand_too_near(tmp_path: Path) -> None:
    """Down to the step to feed, up to it to stand at: stock stays on, less than a step of it."""
    card = gathered(tmp_path, READOUT, ("reads: diameter", "reads: radius")).card
    for stage in card.stages:
        feed, stand = (
            float(text.replace("−", "-").removesuffix(" mm"))
            for text in (stage.divisions_text, stage.position_divisions_text)
        )
        assert stand - 0.001 < stage.cross_feed_mm <= stand + 1e-9 or stage.stock_mm < 0
        assert feed - 1e-9 <= stage.cross_feed_mm < feed + 0.001 + 1e-9


def test_a_cross_feed_is_counted_in_one_way(tmp_path: Path) -> None:
    """A readout and divisions beside it, or neither: told at the key, with what would be right."""
    neither = shop(
        tmp_path, ("cross_feed: {reads: diameter, division: 0.0025 mm}", "cross_feed: {reads: radius}")
    )
    assert "nothing says what the cross-feed is set by" in str(neither.complaints[0])
    both = shop(tmp_path, ("division: 0.0025 mm}", "division: 0.0025 mm, divisions: 40, readout: 0.001 mm}"))
    assert [complaint.wrong for complaint in both.complaints] == 2 * [
        "the cross-feed has a readout, and by that alone the paper tells what to feed"
    ]


# ---- the screw, the wheel head, the wheel


@pytest.mark.parametrize(
    ("more", "play", "said"),
    [
        (
            "clockwise",
            "more",
            "Screw clockwise: MORE. Play: end each turn to MORE (clockwise); to LESS go past",
        ),
        (
            "anticlockwise",
            "less",
            "Screw anticlockwise: MORE. Play: end each turn to LESS (clockwise); to MORE go",
        ),
    ],
)
def test_the_screw_is_turned_and_its_play_taken_up_as_the_record_says(
    tmp_path: Path, more: str, play: str, said: str
) -> None:
    """With the correction; and where the swivel is set by a mark and so many divisions on, which way."""
    screw = (
        "divisions: 60, type: tangent}",
        f"divisions: 60, type: tangent, more: {more}, take_up_play: {play}}}",
    )
    bench = shop(tmp_path, screw)
    card = bench.card("SN-204").card
    assert said in words(bench, card)
    assert f"then screw to MORE, {more}" in words(bench, card)  # 3°30′, and on to more


def test_a_swivelled_wheel_head_has_its_own_words(tmp_path: Path) -> None:
    """Which way it is turned, in the swivel, the steps and beneath the plan; the table stays at nought."""
    head: tuple[Change, ...] = (
        ("gauge_line_from_pivot: 85 mm", "gauge_line_from_pivot: 85 mm\n  set_by: wheel head"),
        ("limit: 30 deg}", "limit: 30 deg, more_taper: anticlockwise}"),
        ("width: 40 mm", "width: 80 mm"),
    )
    bench = shop(tmp_path, *head)
    said = words(bench, bench.card("SN-204").card)
    assert "Swivel the wheel head anticlockwise, seen from above" in said
    assert "MORE: wheel head anticlockwise, seen from above. LESS: the other way" in said
    assert "by a dresser on the head" in said
    assert "Correct the wheel head" in said
    assert "unclamp the head" in said
    assert "Set the swivel" not in said


def test_the_dogs_count_from_the_edges_of_a_wheel_of_a_named_width(tmp_path: Path) -> None:
    """The edge at the large end stays clear of the shoulder, the other runs out past the small end."""
    bench = shop(tmp_path)
    said = words(bench, bench.card("SN-204").card)
    assert "A60K5V, at most ⌀400 mm, 40 mm wide" in said
    assert "Set the dogs from the wheel’s edges" in said
    assert "1.5 mm" in said
    assert "travel 33.9 mm" in said


# ---- the part's papers


def test_a_part_without_an_operation_and_with_two_diameters_reads_well(tmp_path: Path) -> None:
    """No line begins with a dot, and a taper that nobody called for by name is told by its ratio."""
    ends = ("  callout: 1:8\n", "  large_diameter: 38.375 mm\n  small_diameter: 30.625 mm\n")
    bench = shop(tmp_path, ends)
    said = words(bench, bench.card("SN-204").card)
    assert "Universal grinder 2 · 1 : 8 · tool steel 60 HRC · 40 pieces" in said
    assert "· ·" not in said


def test_drawing_order_and_holding_stand_where_the_hand_looks(tmp_path: Path) -> None:
    """Title, first steps, record sheet; without an order the record sheet has a line for it."""
    told = (
        "drawing: 7-118\norder: '4417'\n"
        "holding: {driver: carrier 40 mm, centres: dead, steady: two-jaw}\nrevision: B"
    )
    bench = shop(tmp_path, ("revision: B", told))
    card = bench.card("SN-204").card
    said = words(bench, card)
    assert "drawing 7-118 · order 4417" in said
    assert "no shake. Driver: carrier 40 mm. Centres: dead. Steady: two-jaw. 3 Blanks" in said
    sheet = record_sheet(card, "A4", bench.read_templates).pdf()
    assert "drawing 7-118 · order 4417" in PdfReader(BytesIO(sheet)).pages[0].extract_text()
    plain = shop(tmp_path)
    blank = record_sheet(plain.card("SN-204").card, "A4", plain.read_templates).pdf()
    assert "order ____" in PdfReader(BytesIO(blank)).pages[0].extract_text()


# ---- the operations of one piece


def two_operations(folder: Path, *other: Change) -> Shop:
    """SN-204 is operation 30 of piece DBL, and AA-1 operation 40, with these changes."""
    shop(folder, NUMBER)
    as_other = (NUMBER, ("SN-204", "AA-1"), ("operation_number: 30", "operation_number: 40"), *other)
    (folder / "specs" / "other.yaml").write_text(changed(PART, as_other), "utf-8")
    (folder / "specs" / "third.yaml").write_text(changed(PART, (("SN-204", "CC-3"),)), "utf-8")
    return Shop.read(folder, TODAY)


def test_each_operation_of_a_piece_names_the_others(tmp_path: Path) -> None:
    """On its card and its record sheet; and they stand together, in their order, in every list."""
    bench = two_operations(tmp_path)
    card = bench.card("SN-204").card
    assert "op 30 of piece DBL; also op 40: AA-1" in words(bench, card)
    assert "op 40 of piece DBL; also op 30: SN-204" in words(bench, bench.card("AA-1").card)
    assert bench.part_ids == ("CC-3", "SN-204", "AA-1")
    assert [each.part_id for each in survey(bench.wanted(), bench.out)] == ["CC-3", "SN-204", "AA-1"]
    page = bench.draw_index(tuple(reversed(survey(bench.wanted(), bench.out))), ()).decode()
    assert page.index(">CC-3") < page.index(">SN-204") < page.index(">AA-1")


def test_a_sheet_of_a_piece_has_its_operations_side_by_side(tmp_path: Path) -> None:
    """The piece's name stands for all of them; named one by one they are brought together."""
    bench = two_operations(tmp_path)
    assert bench.together(["DBL"]) == ("SN-204", "AA-1")
    assert bench.together(["AA-1", "CC-3", "SN-204"]) == ("SN-204", "AA-1", "CC-3")
    assert bench.together(["CC-3", "CC-3", "NONE"]) == ("CC-3", "CC-3", "NONE")


def test_a_card_bears_another_code_when_the_rest_of_its_piece_changes(tmp_path: Path) -> None:
    """It names the others: renumber one and the card says so; change what it does not tell and it stays."""
    code = two_operations(tmp_path).card("SN-204").card.title.code
    assert two_operations(tmp_path).card("SN-204").card.title.code == code
    assert two_operations(tmp_path, ("blank: 0.35", "blank: 0.36")).card("SN-204").card.title.code == code
    renumbered = two_operations(tmp_path, ("operation_number: 40", "operation_number: 50"))
    assert renumbered.card("SN-204").card.title.code != code


@pytest.mark.parametrize(
    ("change", "level", "code"),
    [
        (("operation_number: 40", "operation_number: 30"), "error", "operation-number-twice"),
        (("operation_number: 40\n", ""), "error", "operation-number-missing"),
        (("name: tool steel", "name: alloy steel"), "warning", "piece-differs"),
        (("pieces: 40", "pieces: 41"), "warning", "piece-differs"),
        (("revision: B", "drawing: 7-118\nrevision: B"), "warning", "piece-differs"),
        (("revision: B", "order: '4417'\nrevision: B"), "warning", "piece-differs"),
    ],
)
def test_operations_whose_order_is_open_or_that_disagree_are_told(
    tmp_path: Path, change: Change, level: str, code: str
) -> None:
    """At the key that is wrong: an order that is open is an error, two tales of one piece a warning."""
    bench = two_operations(tmp_path, change)
    found = [each for each in bench.card("AA-1").findings if each.code == code]
    assert [each.level for each in found] == [level]
    assert bench.complaint(found[0]).path.endswith("other.yaml")
