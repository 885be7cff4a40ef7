"""The drawing's section: every face where the reading says, every angle true."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cardgen.card.values import Card
from cardgen.paper.pictures.section import Section, section
from tests.paper.made_cards import COLLAR, KINDS, made_card


def card_of(kind: str, ratio: float, large: float, length: float, reading: float) -> Card:
    """A card whose gauge is a little shorter than the taper, at a reading that can be."""
    gauge = 0.8 * length
    finish = {"plug_depth": gauge - reading, "collar_gap": COLLAR - reading}.get(kind, reading)
    return made_card(kind, ratio, large, length, gauge, finish, relief=0.0)  # type: ignore[arg-type]


tapers = st.tuples(
    st.sampled_from(KINDS),
    st.floats(0.01, 1.2),
    st.floats(5.0, 150.0),
    st.floats(0.1, 0.7),
    st.floats(0.0, 0.15),
).map(
    lambda drawn: card_of(
        drawn[0], drawn[1], drawn[2], length := drawn[3] * drawn[2] / drawn[1], drawn[4] * length
    )
)


@settings(max_examples=80, deadline=None)
@given(tapers)
def test_the_reading_is_the_distance_between_the_two_faces_it_is_taken_between(card: Card) -> None:
    """Whatever the kind of reading, its arrows stand as far apart as the reading says."""
    assert section(card, 1.0).gap == pytest.approx(abs(card.reading.finish_mm), abs=1e-6)


@settings(max_examples=80, deadline=None)
@given(tapers, st.sampled_from((0.1, 1.0, 10.0)))
def test_the_cone_is_drawn_at_its_true_half_angle(card: Card, scale: float) -> None:
    """Slow or steep, at any scale: some visible edge rises by tan θ, and no sloping edge by anything else."""
    slopes = {round(abs(slope), 7) for slope in slopes_of(section(card, scale))}
    assert slopes == {round(math.tan(math.radians(card.taper.half_angle_deg)), 7)}


def slopes_of(cut: Section) -> list[float]:
    found = []
    for outline in cut.edges:
        for (x1, y1), (x2, y2) in pairwise(outline):
            if abs(x2 - x1) > 1e-6 and abs(y2 - y1) > 1e-6 * abs(x2 - x1):
                found.append((y2 - y1) / (x2 - x1))
    return found


def test_a_shoulder_gap_lies_between_the_shoulder_and_the_rings_large_face() -> None:
    """The piece's shoulder is at nought, the ring begins where the gap ends."""
    cut = section(made_card("shoulder_gap", finish=3.0, gauge_length=50.0), 1.0)
    assert [face.x for face in cut.faces] == [0.0, 3.0]
    assert min(x for x, _ in cut.cut[0]) == 3.0
    assert max(x for x, _ in cut.cut[0]) == 53.0


def test_a_standout_lies_between_the_rings_small_face_and_the_pieces_small_end() -> None:
    """Positive: the piece ends beyond the ring. Negative: within it."""
    out = section(made_card("small_end_standout", finish=4.0, length=62.0, gauge_length=50.0), 1.0)
    below = section(made_card("small_end_standout", finish=-1.5, length=62.0, gauge_length=50.0), 1.0)
    assert max(x for x, _ in out.cut[0]) == pytest.approx(58.0)
    assert max(x for x, _ in below.cut[0]) == pytest.approx(63.5)


def test_a_plug_stands_off_outside_the_mouth_and_its_end_is_read_inside() -> None:
    """The hole lies left of the mouth at nought, the plug comes from the right."""
    standoff = section(made_card("plug_standoff", finish=3.0), 1.0)
    depth = section(made_card("plug_depth", finish=47.0), 1.0)
    assert [face.x for face in standoff.faces] == [0.0, 3.0]
    assert [face.x for face in depth.faces] == pytest.approx([0.0, -47.0])


def test_a_plugs_depth_may_be_read_from_a_plane_inside_the_hole() -> None:
    """The plane follows from gauge, standoff and reading; where it is the mouth it is exactly nought."""
    card = made_card("plug_depth", 1 / 10, 30, 50, 50, 5.0, plane=40.0)
    assert section(card, 1.0).plane == pytest.approx(-40.0)
    assert section(card, 1.0).faces[0].x == pytest.approx(-40.0)
    assert section(made_card("plug_depth", finish=47.0), 1.0).plane is None


def test_a_ring_that_reaches_past_the_large_end_leaves_room_for_it() -> None:
    """A shank without a shoulder: what is left of it is slimmer than the ring's bore."""
    card = made_card("small_end_standout", 0.05, 24.0, 81.0, 90.0, -1.5, relief=0.0)
    cut = section(card, 1.0)
    assert abs(cut.breaks[0][0][1]) < 12.0
    assert cut.left < min(x for x, _ in cut.cut[0])


@settings(max_examples=80, deadline=None)
@given(tapers)
def test_the_ring_touches_the_cone_and_the_plug_fills_the_hole(card: Card) -> None:
    """Nothing floats: the gauge line's radius is the cone's radius in its plane."""
    cut = section(card, 1.0)
    large_x, small_x = cut.ends
    share = (cut.gauge_line.x - large_x) / (small_x - large_x)
    radius = cut.end_radii[0] + share * (cut.end_radii[1] - cut.end_radii[0])
    assert cut.gauge_line.radius == pytest.approx(radius, rel=1e-6)


@settings(max_examples=40, deadline=None)
@given(tapers, st.sampled_from((0.02, 1.0, 20.0)))
def test_everything_lies_within_the_bounds_that_the_scale_is_chosen_by(card: Card, scale: float) -> None:
    """What the scale was fitted to is all there is."""
    cut = section(card, scale)
    for outline in (*cut.cut, *cut.edges, *cut.breaks):
        for x, y in outline:
            assert cut.left - 1e-9 <= x <= cut.right + 1e-9
            assert abs(y) <= cut.radius + 1e-9
