"""Slip-gauge sets, angle grades and usual practice: counts, known stacks, known figures."""

from fractions import Fraction
from itertools import pairwise

import pytest

from cardgen import tapers
from cardgen.tapers import datafile, slips

SETS = ["36 inch", "81 inch", "47 metric type 1", "47 metric type 2", "87 metric", "88 metric", "112 metric"]


@pytest.mark.parametrize("name", SETS)
def test_a_slip_set_has_as_many_pieces_as_its_name_says(name):
    """Ensures that the count a set is sold by is the count in the library, no piece twice."""
    found = tapers.slip_set(name)
    assert len(found.sizes) == len(set(found.sizes)) == int(name.split()[0])


def test_all_sets_are_known():
    """Ensures that no set has fallen out of the file."""
    assert [known.name for known in tapers.slip_sets()] == ["81 inch", "36 inch", *SETS[2:]]


@pytest.mark.parametrize(
    ("name", "height", "pieces"),
    [
        # NPL, questions on gauge blocks: 58.345 mm from an M 112 set
        ("112 metric", "58.345", ["1.005", "1.04", "1.3", "5", "50"]),
        # Starrett-Webber, How to Select Gage Blocks for Use in Combinations: 3.9762 in from an 81-piece set
        ("81 inch", "3.9762", ["0.1002", "0.126", "0.75", "3"]),
        # Jo Block Stacks (northerndtool.com): 4.3300 in for 60° on a 5 in sine bar; its pieces are right
        ("81 inch", "4.3301", ["0.1001", "0.13", "0.1", "4"]),
    ],
)
def test_a_published_stack_can_be_wrung_from_the_set(name, height, pieces):
    """Ensures that a stack printed for a set is made of pieces that the library's set has."""
    sizes = tapers.slip_set(name).sizes
    wanted = [Fraction(piece) for piece in pieces]
    assert set(wanted) <= set(sizes)
    assert sum(wanted) == Fraction(height)


@pytest.mark.parametrize("written", ["inch 81", "81-piece inch", "81 piece inch set", "81 INCH"])
def test_a_slip_set_is_known_by_its_usual_names(written):
    """Ensures that the order of the words and 'piece' do not matter."""
    assert tapers.slip_set(written).name == "81 inch"


def test_the_metric_set_of_47_without_a_type_is_type_1():
    """Ensures that the plain name is not left hanging between two sets."""
    assert tapers.slip_set("47 metric").name == "47 metric type 1"


def test_an_unknown_slip_set_is_none():
    """Ensures that no set is guessed."""
    assert tapers.slip_set("83 inch") is None


def test_inch_pieces_are_exact_in_mm():
    """Ensures that 0.1001 in is 2.54254 mm to the last digit."""
    assert Fraction("2.54254") in [size * Fraction("25.4") for size in tapers.slip_set("81 inch").sizes]


def test_a_set_whose_pieces_do_not_add_up_is_refused():
    """Ensures that a wrong run in the data file is told."""
    raw = {
        "name": "3 mm",
        "unit": "mm",
        "pieces": "3",
        "runs": [{"from": "1", "to": "2", "step": "1"}],
        "source": "s",
    }
    with pytest.raises(datafile.DataFileError, match="2 pieces"):
        slips._slip_set(datafile.Entry({**raw, "confidence": "memory"}, "trial"))


def test_a_run_that_does_not_end_on_its_last_piece_is_refused():
    """Ensures that a step which misses the end of its run is told."""
    with pytest.raises(datafile.DataFileError, match="step"):
        slips._run(datafile.Entry({"from": "1", "to": "2", "step": "0.3"}, "trial"))


@pytest.mark.parametrize(
    ("grade", "length", "urad"),
    [
        # From memory (ISO 1947); AT2 at these lengths is borne out by Lyndex-Nikken, see below
        ("AT2", 50.0, 31.5),
        ("AT2", 80.0, 25),
        ("AT6", 62.0, 200),
        ("AT6", 63.0, 200),
        ("AT6", 63.01, 160),
        ("AT12", 630.0, 1000),
        ("AT1", 6.5, 50),
    ],
)
def test_an_angle_grade_is_taken_by_cone_length(grade, length, urad):
    """Ensures the row: over the lower length, up to and with the upper."""
    assert tapers.angle_grade(grade, length).at_alpha_urad == urad


@pytest.mark.parametrize(("length", "printed_deg"), [(50.0, 0.00083), (80.0, 0.00069)])
def test_grade_at2_is_near_what_a_toolholder_maker_prints_as_half_of_it(length, printed_deg):
    """Ensures AT2 against print: ± half the zone, which the standard also prints in whole seconds.

    Source: Lyndex-Nikken (lyndexnikken.com/blog) on 7/24 tapers, sizes 40 and 50 (± 0.00083°, ± 0.00069°).
    """
    seconds = tapers.angle_grade("AT2", length).at_alpha_rad * 206264.806
    assert int(seconds) / 2 / 3600 == pytest.approx(printed_deg, abs=0.000005)


def test_grades_follow_the_preferred_numbers():
    """Ensures steps of 1.6 from grade to grade and 1.25 from row to row (ISO 1947, from memory)."""
    by_place = {(entry.grade, entry.over_mm): entry.at_alpha_urad for entry in tapers.angle_grades()}
    names, rows = tapers.grade_names(), sorted({over for _, over in by_place})
    for finer, coarser in pairwise(names):
        for over in rows:
            assert by_place[coarser, over] / by_place[finer, over] == pytest.approx(1.6, abs=0.05)
    for shorter, longer in pairwise(rows):
        for name in names:
            assert by_place[name, shorter] / by_place[name, longer] == pytest.approx(1.25, abs=0.05)


@pytest.mark.parametrize(
    ("grade", "length"), [("AT0", 50.0), ("AT13", 50.0), ("AT6", 6.0), ("AT6", 631.0), ("IT7", 50.0)]
)
def test_a_grade_or_a_length_beyond_the_standard_is_refused(grade, length):
    """Ensures that nothing is extrapolated."""
    with pytest.raises(LookupError, match="grade"):
        tapers.angle_grade(grade, length)


def test_a_grade_is_known_with_a_blank_and_in_small_letters():
    """Ensures that 'at 6' is AT6."""
    assert tapers.angle_grade("at 6", 50.0).grade == "AT6"


def test_the_general_practice_is_that_of_the_printed_text():
    """Ensures work speed 18 to 30 m/min, wheel 20 to 33 m/s, infeed 0.0003 to 0.003 in.

    Source: M. P. Groover, Fundamentals of Modern Manufacturing, abrasive processes.
    """
    practice = tapers.grinding_practice("cast iron")
    assert (practice.work_speed.low, practice.work_speed.high) == (18.0, 30.0)
    assert practice.wheel_speed.low == pytest.approx(1200 / 60)
    assert practice.wheel_speed.high == pytest.approx(2000 / 60)
    assert practice.rough_infeed.high == pytest.approx(0.0762)


def test_hardened_steel_is_ground_slower_and_with_less_traverse_than_soft():
    """Ensures the order of the groups (Machinery's Handbook, from memory)."""
    hard, soft = tapers.grinding_practice("hardened steel"), tapers.grinding_practice("soft steel")
    assert hard.work_speed_m_min < soft.work_speed_m_min
    assert hard.rough_fraction < soft.rough_fraction


@pytest.mark.parametrize("group", tapers.material_groups())
def test_every_group_has_practice_and_expansion_with_a_source(group):
    """Ensures that no group of material lacks a figure, and that each figure is of the right size."""
    practice, expansion = tapers.grinding_practice(group), tapers.expansion(group)
    assert practice.source
    assert expansion.source
    assert 10 < practice.work_speed_m_min < 60
    assert 15 < practice.wheel_speed.middle < 35
    assert 0 < practice.finish_fraction < practice.rough_fraction < 1
    assert practice.finish_infeed.high <= practice.rough_infeed.high
    assert 4e-6 <= expansion.coefficient_per_k < 25e-6


@pytest.mark.parametrize(
    ("group", "per_k", "per_f"),
    [
        ("soft steel", "11.7", "6.5"),  # 1020
        ("hardened steel", "11.3", "6.3"),  # 1040
        ("hardened alloy steel", "12.3", "6.8"),  # 4140 and 4340
        ("stainless steel", "17.2", "9.6"),  # 304
        ("ferritic stainless steel", "10.8", "6.0"),  # 405
        ("martensitic stainless steel", "10.2", "5.7"),  # 440A
        ("cast iron", "11.4", "6.3"),  # G1800, G3000 and G4000
        ("ductile iron", "10.6", "5.9"),  # 80-55-06
        ("aluminium", "23.6", "13.1"),  # 6061
        ("copper", "17.0", "9.4"),  # C11000
        ("brass", "20.5", "11.4"),  # C36000
        ("bronze", "18.0", "10.0"),  # C93200
    ],
)
def test_expansion_is_that_of_a_named_alloy(group, per_k, per_f):
    """Ensures that the printed coefficient follows, in millionths per kelvin and per degree Fahrenheit.

    Source: Callister and Rethwisch, Fundamentals of Materials Science and Engineering, 3rd edition, table
    B.6, pages 815 and 816 (both columns; the second to half a digit of both).
    """
    found = tapers.expansion(group)
    assert f"{found.coefficient_per_k * 1e6:.1f}" == per_k
    assert found.coefficient_per_k * 1e6 / 1.8 == pytest.approx(float(per_f), abs=0.05 + 0.05 / 1.8)
    assert "Callister" in found.source


@pytest.mark.parametrize(
    ("group", "per_k"),
    [
        ("nitrided steel", "11.7"),  # 6.5 per °F: machine-design table of thermal expansion
        ("hardened tool steel", "10.5"),  # D2, 20 to 100 °C: amesweb.info
        ("high-speed steel", "10.1"),  # M2, 20 to 100 °C: amesweb.info
        ("carbide", "4.3"),  # 6 % cobalt: ASM, Thermal Properties of Metals, ch. 2
    ],
)
def test_other_sources_stand_where_the_handbook_has_no_figure(group, per_k):
    """Ensures those figures too, one per degree Fahrenheit turned into one per kelvin by 9/5."""
    assert f"{tapers.expansion(group).coefficient_per_k * 1e6:.1f}" == per_k


@pytest.mark.parametrize("name", ["copper alloys", "Copper alloy"])
def test_a_name_for_metals_that_expand_unlike_says_what_to_name(name):
    """Ensures that bronze (18.0) and brass (20.5) are not given one figure, and that old specs are told."""
    with pytest.raises(LookupError, match="name bronze, brass or copper"):
        tapers.expansion(name)


def test_a_piece_of_no_named_material_gets_the_general_practice():
    """Ensures that a card without a known group still has figures, those for any material."""
    assert tapers.grinding_practice("any material").practice_for == "any material"
    assert tapers.expansion("any material").value_for == "steel 1020"


def test_an_unknown_group_of_material_names_the_nearest():
    """Ensures that a slip in the group's name is told with what was meant."""
    with pytest.raises(LookupError, match="did you mean hardened steel"):
        tapers.grinding_practice("hardend steel")


# Drill, cone, protecting chamfer, least depth without it, in mm: 'centre-holes' of tests/sources.yaml.
CENTRE_HOLES = """
1 2.12 3.15 1.9
1.6 3.35 5 2.9
2 4.25 6.3 3.7
2.5 5.3 8 4.6
3.15 6.7 10 5.9
4 8.5 12.5 7.4
6.3 13.2 18 11.5
10 21.2 28 18.4
"""


def test_centre_holes_are_those_that_are_printed():
    """Ensures that each metric centre hole has the sizes of a printed table of ISO 6411."""
    metric = next(each for each in tapers.centre_holes() if each.unit == "mm")
    ours = [
        tuple(length.text for length in (each.drill, each.cone, each.protected, each.depth))
        for each in metric.sizes
    ]
    assert ours == [tuple(line.split()) for line in CENTRE_HOLES.split("\n") if line]
