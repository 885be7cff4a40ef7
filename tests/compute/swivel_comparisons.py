"""Setting and correcting the swivel: the package's sums held against the bare grinder.

Each comparison fails where the two part. The formulas are reached through their modules, so that the test
of mistakes can put a wrong one in their place and see the comparison fail.
"""

import math

from cardgen.compute import correction, reading, seat, swivel, taper
from cardgen.terms import ScaleShows, SwingType
from tests.brute_force import work
from tests.brute_force.grinder import Grinder
from tests.brute_force.plane import Line, through, turned
from tests.compute.parts import NEAR, Wrong, near, wrong_line_with


def turned_right(wrong: Wrong, line: Line) -> Grinder:
    """The table turned from the wrong angle to the right one, the cross-feed unmoved."""
    return wrong.case.grinder(line).table_swung(wrong.case.half_angle)


def heavy_end_bears(wrong: Wrong) -> None:
    """The end named heavy is where gauge and work meet; at the light end they stand apart."""
    case, line = wrong.case, wrong_line_with(wrong, 0.0)
    piece = case.profile(line)
    gauge = work.shifted(case.gauge, work.slid_on(case.gauge, piece, case.side))
    small, large = max(gauge[0][0], piece[0][0]), min(gauge[-1][0], piece[-1][0])
    gaps = {
        end: abs(work.diameter(gauge, at) - work.diameter(piece, at))
        for end, at in (("small", small), ("large", large))
    }
    heavy = correction.heavy_end(case.side, wrong.error)
    near(gaps.pop(heavy), 0.0)
    light = next(iter(gaps))
    assert gaps[light] > 1e-6
    seen = correction.pattern(case.side, heavy)
    assert seen.light_end == light
    assert seen.turn == correction.turn_towards(wrong.error)
    # Turning the table that way, and as far as said, gives the right taper.
    angle = math.atan2(line.along[1], line.along[0])
    change = correction.angle_change(case.ratio, wrong.error, seat.contact_length(wrong.seat))
    assert (change > 0) == (seen.turn == "more")
    turned = case.ground(case.grinder(line).table_swung(angle + change))
    drop = work.diameter(turned, turned[-1][0]) - work.diameter(turned, turned[0][0])
    near(drop, work.diameter(case.finished, turned[-1][0]) - work.diameter(case.finished, turned[0][0]))


def gauge_rests_on_another_taper(wrong: Wrong, stock: float) -> None:
    """A gauge of one taper slid on a piece of another stops where its line is said to lie."""
    case, line = wrong.case, wrong_line_with(wrong, stock)
    at = case.face - work.slid_on(case.gauge, case.profile(line), case.side)
    said = seat.gauge_line_at_rest(
        case.side,
        case.ratio,
        case.gauge_diameter,
        case.gauge_length,
        wrong.actual,
        2 * line.height_at(case.face),
        case.relief,
        case.length,
    )
    near(case.ratio * said, case.ratio * at)


def size_shift_is_what_the_table_does(wrong: Wrong, stock: float, place: float) -> None:
    line = wrong_line_with(wrong, stock)
    before, after = line.height_at(place), turned_right(wrong, line).wheel_on_work().height_at(place)
    near(correction.diameter_while_bearing(wrong.seat, wrong.actual, stock, place), 2 * before)
    wrong_angle = taper.half_angle_from_ratio(wrong.actual)
    right_angle = taper.half_angle_from_ratio(wrong.case.ratio)
    shift = correction.size_shift(2 * before, place, wrong_angle, right_angle)
    near(shift, 2 * (after - before))


def reading_shift_is_what_the_gauge_does(wrong: Wrong, stock: float) -> None:
    case, line = wrong.case, wrong_line_with(wrong, stock)
    old, new = case.read(case.profile(line)), case.read(case.ground(turned_right(wrong, line)))
    per_reading = reading.stock_per_reading(case.kind, case.ratio)
    shift = correction.reading_shift(wrong.seat, wrong.actual, stock, per_reading)
    near(case.ratio * shift, case.ratio * (new - old))
    near(
        stock + correction.stock_shift(wrong.seat, wrong.actual, stock),
        case.stock_on(case.ground(turned_right(wrong, line))),
    )


def shortfall_is_at_the_light_end(wrong: Wrong, stock: float) -> None:
    piece = wrong.case.profile(wrong_line_with(wrong, stock))
    least = work.least_metal(piece, wrong.case.finished, wrong.case.side)
    near(stock - correction.shortfall(wrong.seat, wrong.actual, stock), least)


def least_stock_is_just_enough(wrong: Wrong) -> None:
    """With it nothing goes under size when the taper is put right; with a little less the named end does."""
    case = wrong.case
    least = correction.least_stock(wrong.seat, wrong.actual)

    def after_turning(stock: float) -> work.Profile:
        line = wrong_line_with(wrong, stock)
        return turned_right(wrong, line).ground(case.profile(line))

    assert work.least_metal(after_turning(least.stock), case.finished, case.side) >= -NEAR
    piece = after_turning(least.stock - 1e-6)
    under = work.least_metal(piece, case.finished, case.side)
    assert under < -1e-7
    end = {"large": case.face - case.relief, "small": case.face - case.length}[least.under_end]
    near(work.metal(piece, case.finished, case.side, end), under)


def light_gap_tells_the_error(wrong: Wrong) -> None:
    """Light measured square to the gauge at the far end of the contact gives the error back."""
    case, piece = wrong.case, wrong.case.profile(wrong_line_with(wrong, 0.0))
    gauge = work.shifted(case.gauge, work.slid_on(case.gauge, piece, case.side))
    small, large = max(gauge[0][0], piece[0][0]), min(gauge[-1][0], piece[-1][0])
    heavy = correction.heavy_end(case.side, wrong.error)
    far = large if heavy == "small" else small
    assert heavy != "both"
    gap = through(*gauge).distance_to((far, work.radius(piece, far)))
    size = correction.error_from_light_gap(gap, taper.half_angle_from_ratio(case.ratio))
    per_length = correction.signed_error(case.side, heavy, size) / (large - small)
    near(per_length * case.length, wrong.error / seat.contact_length(wrong.seat) * case.length)


def blue_marks_as_said(wrong: Wrong) -> None:
    """A film so thick that it marks part of the contact tells the error by the part it marks."""
    case, piece = wrong.case, wrong.case.profile(wrong_line_with(wrong, 0.0))
    gauge = work.shifted(case.gauge, work.slid_on(case.gauge, piece, case.side))
    ends = sorted(
        (max(gauge[0][0], piece[0][0]), min(gauge[-1][0], piece[-1][0])),
        key=lambda at: abs(work.radius(gauge, at) - work.radius(piece, at)),
    )
    heavy, light = ends

    def gap(part: float) -> float:
        at = (1 - part) * heavy + part * light
        return abs(work.radius(gauge, at) - work.radius(piece, at))

    film = 0.37 * gap(1.0)
    marked, clear = 0.0, 1.0
    for _ in range(60):
        middle = (marked + clear) / 2
        marked, clear = (middle, clear) if gap(middle) < film else (marked, middle)
    per_length = correction.error_from_blue(film, marked) / abs(light - heavy)
    near(per_length * case.length, abs(wrong.error) / seat.contact_length(wrong.seat) * case.length)


def swing_measures_as_said(kind: SwingType, radius: float, angle: float) -> None:
    """A button on the table, an edge of the table, two buttons: turned about the pivot and measured."""
    button = turned((radius, 0.0), angle)
    match kind:
        case "sine":
            measured = button[1]
        case "tangent":
            measured = through((0.0, 0.0), button).height_at(radius)
        case "chord":
            measured = math.dist(button, (radius, 0.0))
    near(swivel.slip_height(kind, radius, angle), measured)
    near(swivel.half_angle_from_slips(kind, radius, measured) * radius, angle * radius)


def bar_rises_as_said(travel: float, angle: float, bar_radius: float) -> None:
    """A bar between the centres of the swung table, seen by an indicator that stays where it is."""
    side_of_bar = Line((0.0, bar_radius), (1.0, 0.0)).turned(angle)
    moved = side_of_bar.moved((travel, 0.0))
    near(swivel.test_bar_rise(travel, angle), side_of_bar.height_at(10.0) - moved.height_at(10.0))


def screw_turns_as_said(
    kind: SwingType, radius: float, lead: float, divisions: int, angle: float, change: float
) -> None:
    """A nut that the screw drives is a division further for every division turned."""

    def swing(at: float) -> float:
        button = turned((radius, 0.0), at)
        match kind:
            case "sine":
                return button[1]
            case "tangent":
                return through((0.0, 0.0), button).height_at(radius)
            case "chord":
                return math.dist(button, (radius, 0.0))

    turned_by = swivel.screw_divisions_between(angle, angle + change, kind, radius, lead, divisions)
    near(turned_by * lead / divisions, swing(angle + change) - swing(angle))
    near(swivel.indicator_travel(kind, radius, angle, angle + change), swing(angle + change) - swing(angle))
    back = swivel.half_angle_after_screw(angle, turned_by, kind, radius, lead, divisions)
    near(back * radius, (angle + change) * radius)
    one = swivel.screw_division_angle(kind, radius, lead, divisions, angle)
    step = 1e-5
    near(one * (swing(angle + step) - swing(angle - step)) / (2 * step), lead / divisions)


def scale_shows_what_is_ground(shows: ScaleShows, angle: float) -> None:
    """A piece ground at the setting has the taper its scale is engraved in, measured on the piece."""
    surface = Line((0.0, 0.0), (1.0, 0.0)).turned(angle)
    over_a_foot = 2 * surface.height_at(304.8) / 25.4
    over_a_metre = 2 * surface.height_at(1000.0)
    found = {
        "half_angle": angle * 180 / math.pi,
        "included_angle": angle * 360 / math.pi,
        "taper_per_foot": over_a_foot,
        "mm_per_m": over_a_metre,
        "per_cent": over_a_metre / 10,
    }[shows]
    near(swivel.scale_value(shows, angle), found)
    near(swivel.half_angle_at_mark(shows, found), angle)


def mark_leaves_over_as_said(wanted: float, at_mark: float, length: float) -> None:
    """Two pieces, ground at the angle wanted and at the mark, differ by so much at the far end."""
    right, set_at = (Line((0.0, 0.0), (1.0, 0.0)).turned(angle) for angle in (wanted, at_mark))
    near(
        swivel.left_over_diameter(wanted, at_mark, length),
        2 * (right.height_at(length) - set_at.height_at(length)),
    )
    over = swivel.left_over_angle(wanted, at_mark)
    near(set_at.turned(over).height_at(length), right.height_at(length))
