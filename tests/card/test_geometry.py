"""One taper from whatever the print gives: planes, the gauge's calibration, figures that must agree."""

from pathlib import Path

import pytest

from tests.card.bench_shop import Change, codes, gathered, shop

PLACED = ("tolerance: ± 0.010 mm}", "tolerance: ± 0.010 mm, from_shoulder: 3.000 mm}")
SMALL_RING = ("diameter: 38.000 mm, uncertainty", "diameter: 37.998 mm, uncertainty")
NO_FINISH = ("  finish: 3.0 mm ± 0.08 mm\n", "")


def refusal(folder: Path, *changes: Change) -> str:
    found = shop(folder, *changes).complaints_of("SN-204")
    assert len(found) == 1, [str(complaint) for complaint in found]
    return str(found[0])


def test_the_plane_left_out_is_that_of_the_finish_reading(tmp_path: Path) -> None:
    """Spec format: the plane in which the gauge's own line lies on a finished piece."""
    card = gathered(tmp_path).card
    assert card.taper.gauge_line_from_face_mm == 3.0
    assert card.reading.finish_mm == pytest.approx(3.0, abs=1e-12)
    assert card.taper.large_diameter_mm == pytest.approx(38.375, abs=1e-12)
    assert card.taper.small_diameter_mm == pytest.approx(30.625, abs=1e-12)


@pytest.mark.parametrize("changes", [(SMALL_RING,), (SMALL_RING, PLACED), (SMALL_RING, PLACED, NO_FINISH)])
def test_a_ring_calibrated_small_reads_long(tmp_path: Path, changes: tuple[Change, ...]) -> None:
    """0.002 mm small is 0.002/C long: 0.016 mm at 1:8 (theory of the stand-off, common practice)."""
    assert gathered(tmp_path, *changes).card.reading.finish_mm == pytest.approx(3.016, abs=1e-9)


def test_a_finish_reading_that_the_calibration_contradicts_is_refused(tmp_path: Path) -> None:
    """Both figures are shown, with the place of the one in the part's file."""
    text = refusal(tmp_path, ("diameter: 38.000 mm, uncertainty", "diameter: 37.980 mm, uncertainty"))
    assert text.startswith("specs/part.yaml:16:")
    assert "3.0 mm ± 0.08 mm" in text
    assert "3.160 mm" in text


def test_two_tolerances_that_disagree_are_shown_and_the_tighter_is_used(tmp_path: Path) -> None:
    """± 0.2 mm of reading at 1:8 is ± 0.025 mm: wider than ± 0.010 mm, so the latter holds."""
    found = gathered(tmp_path, ("3.0 mm ± 0.08 mm", "3.0 mm ± 0.2 mm"))
    assert codes(found)["tolerances-disagree"] == "warning"
    assert found.card.reading.finish_low_mm == pytest.approx(2.92)
    assert found.card.reading.finish_high_mm == pytest.approx(3.08)


def test_the_reading_tolerance_stands_in_for_a_missing_size_tolerance(tmp_path: Path) -> None:
    """± 0.08 mm of reading is ± 0.010 mm on the diameter at 1:8."""
    card = gathered(tmp_path, (", tolerance: ± 0.010 mm", "")).card
    assert card.taper.gauge_line_low_mm == pytest.approx(37.990)
    assert card.taper.gauge_line_high_mm == pytest.approx(38.010)


def test_a_diameter_without_a_plane_is_refused(tmp_path: Path) -> None:
    """The message says which three ways there are to place it."""
    text = refusal(tmp_path, NO_FINISH)
    assert text.startswith("specs/part.yaml:9:")
    assert "from_shoulder" in text


def test_ends_alone_fix_the_taper(tmp_path: Path) -> None:
    """Two diameters and a length are a callout of their own."""
    ends = ("  callout: 1:8\n", "  large_diameter: 38.375 mm\n  small_diameter: 30.625 mm\n")
    card = gathered(tmp_path, ends).card
    assert card.taper.ratio == pytest.approx(0.125, abs=1e-12)
    assert card.taper.gauge_line_from_face_mm == pytest.approx(3.0)


@pytest.mark.parametrize(
    ("small", "level"),
    [
        ("30.625 mm", None),  # agrees
        ("30.630 mm", "note"),  # 5 µm: within the angle and size tolerance
        ("30.660 mm", "warning"),  # 35 µm: beyond the tolerance; that 62 mm is a round figure explains it
    ],
)
def test_a_small_end_given_beside_the_callout_is_compared(
    tmp_path: Path, small: str, level: str | None
) -> None:
    """Any disagreement is told; what the tolerance or the rounding of the figures explains is not refused."""
    extra = ("  length: 62 mm\n", f"  length: 62 mm\n  small_diameter: {small}\n")
    assert codes(gathered(tmp_path, PLACED, extra)).get("figures-disagree") == level


def test_a_small_end_that_contradicts_the_callout_is_refused_in_micrometres(tmp_path: Path) -> None:
    """30.700 mm where 1:8 gives 30.625 mm: 75 µm at the far end."""
    extra = ("  length: 62 mm\n", "  length: 62.000 mm\n  small_diameter: 30.700 mm\n")
    text = refusal(tmp_path, PLACED, extra)
    assert "75.0 µm" in text
    assert "small diameter" in text


def test_inch_parts_are_told_their_disagreement_in_tenths(tmp_path: Path) -> None:
    """A tenth of a thousandth of an inch is the inch shop's micrometre."""
    extra = ("  length: 62 mm\n", "  length: 62.000 mm\n  small_diameter: 30.7000 mm\n")
    assert "29.5 tenths of a thou" in refusal(tmp_path, ("units: metric", "units: inch"), PLACED, extra)


def test_a_gauge_of_another_taper_is_refused(tmp_path: Path) -> None:
    """1:10 on a 1:8 part: the reading would mean nothing."""
    text = refusal(tmp_path, ("taper: {callout: 1:8}", "taper: {callout: 1:10}"))
    assert "another taper" in text


def test_a_gauge_called_out_with_fewer_digits_is_the_same_taper(tmp_path: Path) -> None:
    """7.15° included is 1:8 as far as its last digit tells."""
    found = gathered(tmp_path, ("taper: {callout: 1:8}", "taper: {callout: included angle 7.15 deg}"))
    assert "gauge-taper-differs" not in codes(found)


def test_a_taper_longer_than_its_point_is_refused(tmp_path: Path) -> None:
    """At 1:8 a diameter of 38.375 mm is gone after 307 mm."""
    assert "runs out to a point" in refusal(tmp_path, ("length: 62 mm", "length: 320 mm"))


def bored(read_by: str) -> tuple[Change, ...]:
    """A hole whose gauge line lies 2 mm in, and a plug 0.008 mm large."""
    return (
        ("side: external", "side: internal"),
        ("tolerance: ± 0.010 mm}", "tolerance: ± 0.010 mm, from_end: 2 mm}"),
        ("reading: shoulder_gap", f"reading: {read_by}"),
        NO_FINISH,
        ("  relief: 3 mm\n", ""),
        ("type: ring", "type: plug"),
        ("diameter: 38.000 mm, uncertainty", "diameter: 38.008 mm, uncertainty"),
        ("new: 400 mm, worn: 320 mm", "new: 20 mm, worn: 15 mm"),
    )


def test_internal_planes_count_from_the_mouth(tmp_path: Path) -> None:
    """A plug 0.008 mm large in a hole whose line lies 2 mm in: it stands 2 mm further in less 0.064 mm."""
    card = gathered(tmp_path, *bored(read_by="plug_standoff")).card
    assert card.taper.large_diameter_mm == pytest.approx(38.25)
    assert card.reading.finish_mm == pytest.approx(-2 + 0.008 * 8)
    assert card.reading.per_mm == pytest.approx(0.125)


def test_plug_depth_is_read_from_its_plane(tmp_path: Path) -> None:
    """The same plug, 50 mm long: its end lies 51.936 mm in, 46.936 mm past a plane 5 mm in."""
    card = gathered(tmp_path, *bored(read_by="plug_depth\n  plane: 5 mm")).card
    assert card.reading.finish_mm == pytest.approx(50 + 2 - 0.064 - 5)
    assert card.reading.per_mm == pytest.approx(-0.125)


@pytest.mark.parametrize(
    "callout",
    [
        "1:8",
        "2:16",
        "12.5 %",
        "0.125 mm/mm",
        ".125 in/in",
        "125 mm/m",
        "1.5 in/ft",
        "1 1/2 in/ft",
        "included angle 7.15266874999 deg",
        "half angle 3.576334375 deg",
        "{included_angle: 7° 9' 9.6075\"}",
        "half angle 3 deg 34 min 34.80375 s",
    ],
)
def test_every_form_of_callout_of_one_taper_gives_one_taper(tmp_path: Path, callout: str) -> None:
    """1:8 in every form that a print may use (angle of 1:8: ISO 1119)."""
    card = gathered(tmp_path, ("callout: 1:8\n  side", f"callout: {callout}\n  side")).card
    assert card.taper.ratio == pytest.approx(0.125, abs=2e-10)


def test_a_lopsided_tolerance_is_aimed_at_in_its_middle(tmp_path: Path) -> None:
    """38.000 +0.020 −0 is worked as 38.010 ± 0.010: aimed at the least-metal limit, half would go under."""
    lopsided = ("tolerance: ± 0.010 mm}", "tolerance: +0.020 -0 mm, from_shoulder: 3 mm}")
    card = gathered(tmp_path, lopsided, NO_FINISH).card
    assert card.reading.finish_mm == pytest.approx(3.08)
    assert (card.reading.finish_low_mm, card.reading.finish_high_mm) == pytest.approx((3.0, 3.16))
    assert (card.reading.stock_low_mm, card.reading.stock_high_mm) == pytest.approx((-0.010, 0.010))
    assert card.taper.gauge_line_diameter_mm == 38.0
    finish = next(stage for stage in card.stages if stage.name == "finish")
    assert finish.gauge_line_diameter_mm == pytest.approx(38.010)


def test_inside_a_lopsided_tolerance_moves_the_aim_into_the_hole(tmp_path: Path) -> None:
    """40 +0.020 −0 is worked as a hole of + 0.010: the plug goes 0.080 mm further in at 1:8."""
    changes: tuple[Change, ...] = (
        ("side: external", "side: internal"),
        ("tolerance: ± 0.010 mm}", "tolerance: +0.020 -0 mm, from_end: 0 mm}"),
        ("reading: shoulder_gap", "reading: plug_standoff"),
        NO_FINISH,
        ("  relief: 3 mm\n", ""),
        ("type: ring", "type: plug"),
        ("new: 400 mm, worn: 320 mm", "new: 20 mm, worn: 15 mm"),
    )
    card = gathered(tmp_path, *changes).card
    assert card.reading.finish_mm == pytest.approx(-0.08)
    assert (card.reading.finish_low_mm, card.reading.finish_high_mm) == pytest.approx((-0.16, 0.0))


def test_a_gauge_line_that_would_lie_off_the_taper_is_refused(tmp_path: Path) -> None:
    """⌀38 on a taper whose large end is 37.99 mm lies 0.08 mm beyond the shoulder."""
    extra = ("  length: 62 mm\n", "  length: 62 mm\n  large_diameter: 37.990 mm\n")
    assert "off the taper" in refusal(tmp_path, NO_FINISH, extra)


def test_a_plane_without_its_diameter_is_where_the_end_that_is_given_puts_it(tmp_path: Path) -> None:
    """Large end 38.375 mm, plane 3 mm from the shoulder: the gauge line is 38.000 mm at 1:8."""
    whole = "gauge_line: {diameter: 38.000 mm, tolerance: ± 0.010 mm}"
    placed = "gauge_line: {tolerance: ± 0.010 mm, from_shoulder: 3 mm}\n  large_diameter: 38.375 mm"
    taper = gathered(tmp_path, (whole, placed)).card.taper
    assert taper.gauge_line_from_face_mm == 3.0
    assert taper.gauge_line_diameter_mm == pytest.approx(38.000, abs=1e-12)
