"""Every check: what brings it about, its level, and that it says what to do."""

import ast
from dataclasses import replace
from datetime import date
from io import BytesIO
from pathlib import Path
from typing import get_args

import pytest
from pypdf import PdfReader

from cardgen.card import finding
from cardgen.spec.models import KINDS
from cardgen.spec.told import words
from cardgen.terms import Level
from tests.card.bench_shop import Change, codes, gathered, shop

BORE: tuple[Change, ...] = (
    ("side: external", "side: internal"),
    ("reading: shoulder_gap", "reading: plug_standoff"),
    ("  relief: 3 mm\n", ""),
    ("type: ring", "type: plug"),
    ("finish: 3.0 mm ± 0.08 mm", "finish: 0.0 mm ± 0.08 mm"),
)
SMALL_STOCK: tuple[Change, ...] = (
    ("clean_up: 0.10 mm", "clean_up: 0.002 mm"),
    ("leave_for_finishing: 0.08 mm", "leave_for_finishing: 0.004 mm"),
)


def worn(at_most: str) -> Change:
    """Worn pieces may be ground so far past their basic size."""
    return "setup:\n", f"salvage: {{at_most: {at_most}}}\nsetup:\n"


ONE_WAY = ("angle_tolerance: AT6", "angle_tolerance: +0 / -20 arcsec")
FINER_BLUE = ("setup:\n", "shop: {blue_film: 0.001 mm}\nsetup:\n")
BAR = (
    "blue_film: 0.001 mm",
    "blue_film: 0.001 mm, proving: {indicator: 0.001 mm, test_bar: {length: 300 mm, straightness: 0.002 mm}}",
)
PROVES = ("setup:\n", "shop: {proving: {sine_bar: 0.001 mm}}\nsetup:\n")
ANGLE_30: tuple[Change, ...] = (
    ("callout: 1:8\n  side", "callout: included angle 30 deg\n  side"),
    ("taper: {callout: 1:8}", "taper: {callout: included angle 30 deg}"),
    ("length: 62 mm", "length: 24 mm"),
    ("length: 50 mm", "length: 20 mm"),
    ("finish: 3.0 mm ± 0.08 mm", "finish: 3.0 mm"),
)

COARSE_FEED = ("finish: 0.005 mm}", "finish: 0.01 mm}")
BORE_WHEEL = ("new: 400 mm, worn: 320 mm", "new: 25 mm, worn: 20 mm")
KEPT = ("setup:\n", "setup:\n  clearance: 3.1 mm\n")
SCREW = "  screw: {radius: 520 mm, lead: 1.5 mm, divisions: 60, type: tangent}\n  indicator_radius: 450 mm\n"
WITH_LIGHT: tuple[Change, ...] = (
    ("  reading: shoulder_gap\n", "  light_gauge: L-204\n  reading: shoulder_gap\n"),
    (
        "kind: gauge\n",
        "kind: gauge\nid: L-204\ntype: light\ntaper: {callout: 1:8}\nlength: 50 mm\n"
        "gauge_line: {diameter: 38.000 mm, uncertainty: 0.0015 mm}\n---\nkind: gauge\n",
    ),
)
BARE_SCALE: tuple[Change, ...] = (
    (SCREW, ""),
    ("    - {shows: half_angle, division: 10 arcmin}\n", ""),
    ("shows: taper_per_foot, division: 1/8 in/ft", "shows: half_angle, division: 1 deg"),
)

NO_INDICATOR = ("  indicator_radius: 450 mm\n", "")
SLIPS = ("  indicator_radius", "  slips: {radius: 250 mm, type: sine}\n  indicator_radius")

MATE: tuple[Change, ...] = (
    ("type: ring", "type: mate"),
    ("gauge_line: {diameter: 38.000 mm, uncertainty: 0.0015 mm}\n", ""),
    ("calibration_due: 2027-03-31\n", ""),
)


def marked(least: str, most: str) -> Change:
    """The ring with two marks."""
    return "type: ring", f"type: ring\nmarks: {{least: {least}, most: {most}}}"


# code, level, changes that bring it about
BROUGHT_ABOUT: list[tuple[str, str, tuple[Change, ...]]] = [
    ("marks-beyond-size", "warning", (marked("2.90 mm", "3.10 mm"),)),
    ("marks-within-size", "note", (marked("2.95 mm", "3.05 mm"),)),
    ("sized-to-mate", "warning", MATE),
    ("reading-out-of-reach", "warning", (*BORE, ("finish: 0.0 mm ± 0.08 mm", "finish: -0.1 mm ± 0.08 mm"))),
    (
        "reading-out-of-reach",
        "warning",
        (
            *BORE,
            ("reading: plug_standoff", "reading: plug_depth"),
            ("finish: 0.0 mm ± 0.08 mm", "finish: 50.0 mm ± 0.08 mm"),
        ),
    ),
    ("gauge-lapsed", "warning", (("2027-03-31", "2026-05-31"),)),
    ("gauge-short", "warning", (("length: 50 mm", "length: 30 mm"),)),
    ("size-not-proved", "warning", (("finish: slip gauges 0.01 mm", "finish: steel rule 0.5 mm"),)),
    ("tool-too-coarse", "warning", (("finish: slip gauges 0.01 mm", "finish: caliper 0.05 mm"),)),
    ("handwheel-too-coarse", "warning", (("division: 0.0025 mm", "division: 0.006 mm"), COARSE_FEED)),
    ("size-not-proved", "warning", (("uncertainty: 0.0015 mm", "uncertainty: 0.006 mm"),)),
    ("allowance-not-seen", "warning", (("rough: steel rule 0.5 mm", "rough: steel rule 5 mm"),)),
    ("stages-out-of-order", "error", (("clean_up: 0.10 mm", "clean_up: 0.40 mm"),)),
    ("stages-out-of-order", "error", (("0.35 .. 0.50 mm", "0.11 .. 0.12 mm"),)),
    (
        "gauge-meets-shoulder",
        "error",
        (
            ("tolerance: ± 0.010 mm}", "tolerance: ± 0.5 mm, from_shoulder: 3 mm}"),
            ("  finish: 3.0 mm ± 0.08 mm\n", ""),
        ),
    ),
    ("blank-limits-not-told-apart", "warning", (("0.35 .. 0.50 mm", "0.35 .. 0.40 mm"),)),
    ("blank-too-small", "warning", (("0.35 .. 0.50 mm", "0.20 .. 0.50 mm"),)),
    ("swivel-beyond-limit", "error", (*ANGLE_30, ("swivels: true, limit: 30 deg", "swivels: false"))),
    ("swivel-beyond-limit", "error", (*ANGLE_30, ("limit: 30 deg", "limit: 12 deg"))),
    ("wheel-head-set", "note", ANGLE_30),
    ("plunge", "note", ANGLE_30),
    ("plunge", "note", (("width: 40 mm", "width: 100 mm"),)),
    ("wheel-too-narrow", "error", (*ANGLE_30, ("width: 40 mm", "width: 20 mm"))),
    ("wheel-overspeed", "error", (("wheel_speeds: [1670, 1910] rpm", "wheel_speeds: [1910] rpm"),)),
    (
        "wheel-overspeed",
        "error",
        (("gauge_line_from_pivot: 85 mm", "gauge_line_from_pivot: 85 mm\n  wheel_speed: 1910 rpm"),),
    ),
    ("wheel-speed-barred", "warning", ()),
    ("wheel-too-large-for-bore", "error", BORE),
    (
        "wheel-too-large-for-bore",
        "warning",
        (*BORE, ("new: 400 mm, worn: 320 mm", "new: 28 mm, worn: 20 mm")),
    ),
    ("no-relief", "note", (("relief: 3 mm", "relief: 0 mm"),)),
    ("no-relief", "note", (("relief: 3 mm", "relief: 0 mm"), ("width: 40 mm", "width: 100 mm"))),
    ("no-relief", "note", (*BORE, BORE_WHEEL)),
    ("reading-off-piece", "error", (("0.35 .. 0.50 mm", "0.35 .. 0.50 in"),)),
    ("reading-off-piece", "error", (*BORE, BORE_WHEEL, ("0.35 .. 0.50 mm", "0.35 .. 7 mm"))),
    ("gauge-on-unground", "warning", (("relief: 3 mm", "relief: 0 mm"), KEPT)),
    ("gauge-on-unground", "warning", (*BORE, BORE_WHEEL, ("length: 50 mm", "length: 61.5 mm"))),
    ("relief-over-gauge-line", "warning", (("relief: 3 mm", "relief: 30 mm"),)),
    ("wheel-slow", "warning", (("new: 400 mm, worn: 320 mm", "new: 11 mm, worn: 8 mm"),)),
    ("wheel-out-of-shape", "warning", (*BORE, BORE_WHEEL, ("width: 40 mm", "width: 52 mm"))),
    ("radii-disagree", "warning", (("radius: 520 mm", "radius: 520 in"),)),
    ("radii-disagree", "warning", (("indicator_radius: 450 mm", "indicator_radius: 45 mm"),)),
    ("radius-unlikely", "warning", (NO_INDICATOR, ("radius: 520 mm", "radius: 520 in"))),
    ("start-beyond-stock", "warning", BARE_SCALE),
    ("start-far-off", "note", ()),
    ("wheel-wears-fast", "warning", (("g_ratio: 20", "g_ratio: 0.1"),)),
    ("wheel-wear-unknown", "note", (("g_ratio: 20\n", ""),)),
    ("relief-narrow", "warning", (("relief: 3 mm", "relief: 0.3 mm"),)),
    ("salvage-within-size", "error", (worn("0.005 mm"),)),
    ("salvage-off-gauge", "error", (worn("0.60 mm"),)),
    ("salvage-not-needed", "error", (worn("0.02 mm"), ("clean_up: 0.10 mm", "clean_up: 0.42 mm"))),
    ("no-angle-tolerance", "note", (("  angle_tolerance: AT6\n", ""),)),
    ("angle-lopsided", "note", (ONE_WAY,)),
    ("angle-not-proved", "warning", ()),
    ("centre-depth-spread", "warning", ()),
]


@pytest.mark.parametrize(("code", "level", "changes"), BROUGHT_ABOUT)
def test_a_check_is_brought_about_and_says_what_to_do(
    tmp_path: Path, code: str, level: str, changes: tuple[Change, ...]
) -> None:
    """Codes and levels are stable: other programs lean on them."""
    found = gathered(tmp_path, *changes)
    assert codes(found).get(code) == level
    text = next(check.text for check in found.card.checks if check.code == code)
    wrong, _, right = text.partition("; ")
    assert wrong
    assert right


@pytest.mark.parametrize(
    ("change", "right"),
    [
        (("finish: slip gauges 0.01 mm", "finish: steel rule 0.5 mm"), "a tool of 0.02 mm would do"),
        (("uncertainty: 0.0015 mm", "uncertainty: 0.006 mm"), "gauge has to be calibrated more closely"),
        (("setup:\n", "shop: {temperature_difference: 12 K}\nsetup:\n"), "nearer to the gauge's own warmth"),
    ],
)
def test_where_no_reading_proves_the_size_it_is_told_what_would(
    tmp_path: Path, change: Change, right: str
) -> None:
    """A finer division where that helps; else what has to be known better. The card then has no limits."""
    found = gathered(tmp_path, change)
    (text,) = [check.text for check in found.card.checks if check.code == "size-not-proved"]
    assert right in text
    assert found.card.batch.reading_low_text == ""


def test_a_division_in_a_check_is_written_as_on_side_one(tmp_path: Path) -> None:
    """The handwheel's division as its record writes it, and what it takes off to the digits it needs."""
    changes = (("tolerance: ± 0.010 mm", "tolerance: ± 0.006 mm"), ("± 0.08 mm", "± 0.048 mm"))
    found = gathered(tmp_path, *changes, ("finish: 0.005 mm}", "finish: 0.0025 mm}"))
    text = next(check.text for check in found.card.checks if check.code == "handwheel-too-coarse")
    assert found.card.handwheel.division_text == "0.0025 mm"
    assert text.startswith(
        "a division of the handwheel, 0.0025 mm, takes off 0.0025 mm on the diameter, "
        "the finishing infeed is 0.0025 mm, the limits to accept are 0.0056 mm apart;"
    )


@pytest.mark.parametrize(
    ("changes", "code", "key", "told"),
    [
        ((("radius: 520 mm", "radius: 520 in"),), "radii-disagree", "swivel.screw.radius", "13208.000 mm"),
        (
            (("indicator_radius: 450 mm", "indicator_radius: 45 mm"),),
            "radii-disagree",
            "swivel.indicator_radius",
            "45.000 mm",
        ),
        ((SLIPS, ("radius: 250 mm", "radius: 25 mm")), "radii-disagree", "swivel.slips.radius", "25.000 mm"),
        (
            (NO_INDICATOR, ("radius: 520 mm", "radius: 520 in")),
            "radius-unlikely",
            "swivel.screw.radius",
            "13208.000 mm",
        ),
        (
            (NO_INDICATOR, ("radius: 520 mm", "radius: 0.52 in")),
            "radius-unlikely",
            "swivel.screw.radius",
            "13.208",
        ),
    ],
)
def test_the_radius_that_is_wrong_is_the_one_blamed(
    tmp_path: Path, changes: tuple[Change, ...], code: str, key: str, told: str
) -> None:
    """Of two radii the one that tables do not have, never the sound one; the message gives them all."""
    (finding,) = (each for each in gathered(tmp_path, *changes).findings if each.code == code)
    assert finding.place.key == key
    assert told in finding.wrong
    assert key in finding.wrong


@pytest.mark.parametrize(
    ("changes", "wrong"),
    [
        ((*BORE, ("0.35 .. 0.50 mm", "0.35 .. 31 mm")), "more than the small end of the hole"),
        (
            (("finish: 3.0 mm ± 0.08 mm", "finish: 70.0 mm ± 0.08 mm"),),
            "do not meet at a finish reading of 70.000 mm",
        ),
        (
            ((("diameter: {new: 400 mm, worn: 320 mm}"), "diameter: {new: 400 mm, worn: 1 mm}"),),
            "ground away",
        ),
    ],
)
def test_figures_that_make_no_card_are_refused_in_words(
    tmp_path: Path, changes: tuple[Change, ...], wrong: str
) -> None:
    """Nonsense that only the sums can see is a complaint like any other, never a traceback."""
    found = shop(tmp_path, *changes).complaints_of("SN-204")
    assert any(wrong in str(complaint) for complaint in found), [str(complaint) for complaint in found]


@pytest.mark.parametrize(
    ("changes", "by"),
    [
        ((), None),
        (WITH_LIGHT, None),
        ((FINER_BLUE,), "blue"),
        ((PROVES,), "sine bar"),
        ((FINER_BLUE, ONE_WAY), None),  # blue shows the gauge's own taper, which is the limit
        ((FINER_BLUE, (ONE_WAY[0], "angle_tolerance: +60 / -30 arcsec")), None),  # or not what is aimed at
        ((PROVES, ONE_WAY), "sine bar"),
    ],
)
def test_the_coarsest_means_that_can_decide_the_angle_is_named(
    tmp_path: Path, changes: tuple[Change, ...], by: str | None
) -> None:
    """AT6 leaves ± 5 µm over the contact: blue hides 10 µm, light 4; half of five is what has to be seen."""
    found = gathered(tmp_path, *changes)
    assert found.card.proof.decided_by == by
    assert ("angle-not-proved" in codes(found)) is (by is None)


def test_an_angle_that_nothing_proves_is_told_with_what_would(tmp_path: Path) -> None:
    """Half of 5.0 µm over the contact of 50 mm, by rolls raised by 30 mm: each to 1.06 µm, told as 1.0."""
    (text,) = [check.text for check in gathered(tmp_path).card.checks if check.code == "angle-not-proved"]
    assert "the finest proof of the angle is the blue, which shows no less than 10.0 µm" in text
    assert "two diameters over rolls, or a sine bar and indicator, sure to 1.0 µm would do" in text


def test_a_part_in_order_has_nothing_to_mind(tmp_path: Path) -> None:
    """With a slower machine, finer blue, trued centres and a bar to set it by the part passes every check."""
    found = gathered(
        tmp_path,
        FINER_BLUE,
        BAR,
        ("wheel_speeds: [1670, 1910] rpm", "wheel_speeds: [1670] rpm"),
        ("centre_depth_spread: 0.10 mm", "centre_depth_spread: 0.02 mm"),
    )
    assert codes(found) == {}


def test_a_bore_in_order_has_nothing_to_mind(tmp_path: Path) -> None:
    """A hole open at both ends, a wheel that goes into it: none of a bore's checks fires."""
    found = gathered(
        tmp_path,
        *BORE,
        FINER_BLUE,
        BAR,
        ("length: 62 mm", "length: 62 mm\n  open_both_ends: true"),
        BORE_WHEEL,
        ("wheel_speeds: [1670, 1910] rpm", "wheel_speeds: [20000] rpm"),
        ("centre_depth_spread: 0.10 mm", "centre_depth_spread: 0.02 mm"),
        ("0.35 .. 0.50 mm", "0.60 .. 0.75 mm"),
        ("g_ratio: 20\n", "g_ratio: 5000\n"),
    )
    assert codes(found) == {}


def test_every_check_is_told_in_the_list_and_asked_for() -> None:
    """The list of checks is the whole truth: what the card's room can find, and nothing else."""
    listed = words("cardgen.card", "checks.toml")
    sources = [ast.parse(path.read_text("utf-8")) for path in Path(finding.__file__).parent.glob("*.py")]
    nodes = [node for source in sources for node in ast.walk(source)]
    texts = {node.value for node in nodes if isinstance(node, ast.Constant)}
    assert set(listed) - texts == set()
    asked = [node.args[0] for node in nodes if isinstance(node, ast.Call) and named(node.func) == "found"]
    names = {each.value for first in asked for each in ast.walk(first) if isinstance(each, ast.Constant)}
    assert {name for name in names if isinstance(name, str)} - set(listed) == set()
    assert len(names) > 50


def named(function: ast.expr) -> str:
    return ast.unparse(function).rpartition(".")[2]


def test_every_check_says_how_grave_it_is_and_what_to_do() -> None:
    """What is told of a check is whole, and names nothing that is no level, no record, no reader."""
    for name, told in words("cardgen.card", "checks.toml").items():
        assert set(told) <= {"level", "for", "of", "at", "wrong", "right", "card"}, name
        assert told["level"] in get_args(Level), name
        assert told.get("of", "part") in KINDS, name
        assert told.get("for", "planner") == "planner", name
        assert not {"for", "card"} <= set(told), name
        assert told["wrong"], name
        assert told["right"], name


def test_what_is_for_the_planner_does_not_take_the_hands_eye(tmp_path: Path) -> None:
    """A check says for whom it is: the card prints those for the hand alone."""
    read = shop(tmp_path, *ANGLE_30)
    card = read.card("SN-204").card
    assert {check.code: bool(check.on_card) for check in card.checks if check.level == "note"} == {
        "start-far-off": False,
        "wheel-head-set": False,
        "plunge": False,
    }
    text = "".join(page.extract_text() for page in PdfReader(BytesIO(read.draw_card(card, "A5").pdf())).pages)
    assert "beyond the new wheel's marking" in " ".join(text.split())
    assert "leave the table straight" not in " ".join(text.split())


def test_an_error_keeps_the_card_from_being_made_and_names_the_place(tmp_path: Path) -> None:
    """A wheel above its marking: no card, and the complaint points at the part's wheel."""
    read = shop(tmp_path, ("wheel_speeds: [1670, 1910] rpm", "wheel_speeds: [1910] rpm"))
    (complaint,) = read.complaints_of("SN-204")
    assert str(complaint).startswith("specs/part.yaml:27:8: at 1910 rpm the new wheel W-A60 runs at 40.0 m/s")
    assert read.wanted().jobs == ()


def test_a_gauge_lapses_the_day_after_it_was_due(tmp_path: Path) -> None:
    """On the day itself it still holds."""
    read = shop(tmp_path)
    for day, lapsed in ((date(2027, 3, 31), False), (date(2027, 4, 1), True)):
        then = replace(read, today=day, _gathered={})
        assert ("gauge-lapsed" in codes(then.card("SN-204"))) is lapsed


def test_only_the_lapse_itself_makes_a_card_out_of_date_not_the_passing_of_days(tmp_path: Path) -> None:
    """The code of a card changes once, when the gauge lapses."""
    read = shop(tmp_path)
    days = [date(2026, 6, 1), date(2027, 3, 31), date(2027, 4, 1), date(2030, 1, 1)]
    made = [replace(read, today=day, _gathered={}).card("SN-204").card.title.code for day in days]
    assert made[0] == made[1] != made[2] == made[3]


def test_the_sketch_of_the_spec_format_gets_its_card(tmp_path: Path) -> None:
    """Its two tolerances disagree, which is told; everything else is in order."""
    found = gathered(tmp_path, ("3.0 mm ± 0.08 mm", "3.0 mm ± 0.2 mm"))
    assert found.sound
    assert codes(found)["tolerances-disagree"] == "warning"


def test_with_the_wheel_head_swivelled_the_travel_is_half_the_stock(tmp_path: Path) -> None:
    """The slide below the head stays square to the ways: a / cos θ = (S/2) cos θ / cos θ."""
    card = gathered(tmp_path, *ANGLE_30).card
    assert card.swivel.set_by == "wheel head"
    for row in card.stock_table:
        assert row.cross_feed_mm == pytest.approx(max(0.0, row.stock_mm) / 2, abs=1e-12)


def test_a_head_fed_by_the_slide_above_its_swivel_cuts_square_to_the_surface(tmp_path: Path) -> None:
    """Then the travel is the cut itself: (S/2) cos 15°."""
    above = ("swivels: true, limit: 30 deg", "swivels: true, limit: 30 deg, slide_fed: above")
    card = gathered(tmp_path, *ANGLE_30, above).card
    row = card.stock_table[0]
    assert row.cross_feed_mm == pytest.approx(row.stock_mm / 2 * 0.9659258262890683)


def test_a_stepless_wheel_speed_is_rounded_below_the_marking(tmp_path: Path) -> None:
    """35 m/s on 400 mm is 1671.1 rpm: 1671 is set, never 1672."""
    card = gathered(tmp_path, ("wheel_speeds: [1670, 1910] rpm", "wheel_speeds: 900 .. 3000 rpm")).card
    assert card.speeds.wheel_rpm == 1671
    assert card.speeds.wheel_m_s.new <= 35


def test_a_slow_short_taper_still_gets_its_card(tmp_path: Path) -> None:
    """Rubs and errors that would leave no taper at all are left out, not the card."""
    slow = ("callout: 1:8\n  side", "callout: 1:500\n  side")
    ring = ("taper: {callout: 1:8}", "taper: {callout: 1:500}")
    gap = ("  finish: 3.0 mm ± 0.08 mm", "  finish: 8 mm ± 5 mm")
    thin = ("0.35 .. 0.50 mm", "0.010 .. 0.015 mm"), ("rough: 0.02 mm", "rough: 0.005 mm")
    card = gathered(tmp_path, slow, ring, gap, *thin, *SMALL_STOCK).card
    assert card.blue
    assert all(row.error_mm < 0.1 for row in card.blue)


def test_the_nearest_mark_never_lies_beyond_the_tables_limit(tmp_path: Path) -> None:
    """3.58° of limit, 3.576° wanted, whole degrees: 3° is set, not 4°."""
    marks = ("shows: half_angle, division: 10 arcmin", "shows: half_angle, division: 1 deg")
    card = gathered(tmp_path, ("limit: 10 deg", "limit: 3.58 deg"), marks).card
    assert card.swivel.scales[0].mark == pytest.approx(3.0)


@pytest.mark.parametrize(
    ("table", "head", "table_moves", "head_turns"),
    [
        ("", "", "tailstock end towards wheel", "clockwise"),
        ("tailstock end away from wheel", "", "tailstock end away from wheel", "anticlockwise"),
        ("tailstock end away from wheel", "clockwise", "tailstock end towards wheel", "clockwise"),
        ("", "anticlockwise", "tailstock end away from wheel", "anticlockwise"),
    ],
)
def test_a_swivelled_head_and_the_table_that_trims_it_turn_for_the_same_work(
    tmp_path: Path, table: str, head: str, table_moves: str, head_turns: str
) -> None:
    """The head lays the wheel on the work as it is held; the table's arrow goes with that, not against it."""
    limit, swivels = "limit: 10 deg", "swivels: true"
    changes = (
        (limit, f"{limit}\n  more_taper: {table}" if table else limit),
        (swivels, f"{swivels}, more_taper: {head}" if head else swivels),
    )
    swivel = gathered(tmp_path, *ANGLE_30, *changes).card.swivel
    assert swivel.wheel_head is not None
    assert (swivel.more_taper_moves, swivel.wheel_head.more_taper_turns) == (table_moves, head_turns)


def test_more_taper_in_any_other_words_is_refused_with_the_choices(tmp_path: Path) -> None:
    """'clockwise' says nothing of a table: the picture could show the other way."""
    read = shop(tmp_path, ("limit: 10 deg", "limit: 10 deg\n  more_taper: clockwise"))
    (complaint,) = read.complaints
    assert "'clockwise' is not a choice for 'more_taper'" in str(complaint)
    for choice in ("tailstock end towards wheel", "tailstock end away from wheel"):
        assert choice in complaint.right


@pytest.mark.parametrize(
    ("notes", "wrong"),
    [
        (f"notes: ['{'x' * 201}']", "201 letters; the card has room for 200"),
        ("notes: [a, b, c, d]", "there are 4 notes; the card has room for 3"),
    ],
)
def test_notes_that_the_card_cannot_hold_are_refused(tmp_path: Path, notes: str, wrong: str) -> None:
    """A note is printed whole or refused, never cut."""
    (complaint,) = shop(tmp_path, ("notes: []", notes)).complaints
    assert wrong in str(complaint)
