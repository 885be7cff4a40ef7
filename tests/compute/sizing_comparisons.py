"""From the reading to the handwheel: the package's sums held against the bare grinder.

Each comparison fails where the two part. The formulas are reached through their modules, so that the test
of mistakes can put a wrong one in their place and see the comparison fail.
"""

from cardgen import terms
from cardgen.compute import infeed, reading, stages, taper
from cardgen.terms import HandwheelReads
from tests.brute_force import work
from tests.compute.parts import NEAR, Case, line_reading, near


def finish_reading(case: Case) -> float:
    """The package's finish reading for the case."""
    line = taper.distance_between(case.face_diameter, case.gauge_diameter, case.ratio)
    return reading.reading_from_gauge_line(case.kind, line, *case.read_between)


def stock_read(case: Case, piece: work.Profile) -> float:
    """The stock the package makes of the reading on a piece."""
    per_reading = reading.stock_per_reading(case.kind, case.ratio)
    return reading.stock_from_reading(case.read(piece), finish_reading(case), per_reading)


def travel_for(case: Case, stock: float) -> float:
    """The package's cross-feed travel for a stock."""
    half_angle = taper.half_angle_from_ratio(case.ratio)
    depth = infeed.depth_square_to_surface(stock, half_angle)
    return infeed.cross_feed_travel(depth, infeed.feed_angle(case.swung, case.slide_fed, half_angle))


def finish_reading_is_where_the_gauge_stops(case: Case) -> None:
    near(case.ratio * finish_reading(case), case.ratio * case.read(case.finished))
    line = reading.gauge_line_from_face(case.kind, case.read(case.finished), *case.read_between)
    near(case.ratio * line, case.ratio * (case.face - case.gauge_line))


def reading_tells_the_stock(case: Case, stock: float) -> None:
    near(stock_read(case, case.profile(case.with_stock(stock))), stock)


def feeding_the_stock_brings_the_reading_to_its_finish(case: Case, stock: float) -> None:
    grinder = case.grinder(case.with_stock(stock))
    travel = travel_for(case, stock_read(case, case.ground(grinder)))
    piece = case.ground(grinder.fed(travel))
    near(case.ratio * case.read(piece), case.ratio * case.read(case.finished))


def a_cut_takes_off_as_said(case: Case, stock: float) -> None:
    """The gauge moves by what the cut took off over the taper."""
    depth = infeed.depth_square_to_surface(stock, taper.half_angle_from_ratio(case.ratio))
    before, after = case.read(case.profile(case.with_stock(stock))), case.read(case.finished)
    took_off = infeed.stock_removed(depth, taper.half_angle_from_ratio(case.ratio))
    near(took_off, case.ratio * abs(before - after))


def handwheel_moves(reads: str, division: float, divisions: float) -> float:
    """What the slide of a real machine does: a handwheel on the diameter moves half of what it shows."""
    return divisions * division * (0.5 if reads == "diameter" else 1.0)


def whole_divisions_never_overshoot(case: Case, stock: float, reads: HandwheelReads, division: float) -> None:
    grinder = case.grinder(case.with_stock(stock))
    divisions = infeed.handwheel_divisions(travel_for(case, stock), reads, division)
    feed = infeed.divisions_to_feed(divisions)
    left = case.stock_on(case.ground(grinder.fed(handwheel_moves(reads, division, feed))))
    assert left >= -NEAR
    one_more = case.stock_on(case.ground(grinder.fed(handwheel_moves(reads, division, feed + 1))))
    assert one_more < NEAR, "a whole division more could have been fed"


def position_back_leaves_the_stock(case: Case, stock: float, reads: HandwheelReads, division: float) -> None:
    at_finish = case.grinder(case.surface)
    divisions = infeed.handwheel_divisions(travel_for(case, stock), reads, division)
    back = infeed.position_back(divisions)
    left = case.stock_on(case.ground(at_finish.fed(-handwheel_moves(reads, division, back))))
    assert left >= stock - NEAR
    nearer = case.stock_on(case.ground(at_finish.fed(-handwheel_moves(reads, division, back - 1))))
    assert nearer < stock + NEAR, "it could have stopped a division nearer"


def next_readable_leaves_the_stock(case: Case, stock: float, division: float) -> None:
    per_reading = reading.stock_per_reading(case.kind, case.ratio)
    asked = case.read(case.profile(case.with_stock(stock)))
    target = reading.next_readable(asked, division, per_reading)
    near(target / division, round(target / division))
    # Grind until the gauge itself stands at the target, and see what is on.
    line = line_reading(case, target, case.with_stock(stock))
    assert case.stock_on(case.profile(line)) >= stock - 1e-7 * case.ratio * division - NEAR
    assert case.stock_on(case.profile(line)) < stock + case.ratio * division + NEAR
    # The other way round has less on.
    other = reading.last_readable(asked, division, per_reading)
    assert case.stock_on(case.profile(line_reading(case, other, line))) <= stock + NEAR


def stages_are_true(case: Case, stock: float, reads: HandwheelReads, division: float) -> None:
    """A piece ground to a stage measures and reads as the stage says."""
    piece = case.profile(case.with_stock(stock))
    half_angle = taper.half_angle_from_ratio(case.ratio)
    sizing = stages.Sizing(
        case.kind,
        case.ratio,
        finish_reading(case),
        case.face_diameter - case.ratio * case.relief,
        case.face_diameter - case.ratio * case.length,
        infeed.feed_angle(case.swung, case.slide_fed, half_angle),
        reads,
        division,
        0.5,
        0.02,
    )
    step = stages.stage_at("rough", case.read(piece), "rough", sizing)
    near(step.stock, stock)
    near(step.line, work.diameter(piece, case.face - case.relief))
    near(step.small, work.diameter(piece, case.face - case.length))
    near(case.ratio * step.reading, case.ratio * case.read(piece))
    ground = case.ground(case.grinder(case.with_stock(stock)).fed(step.travel))
    near(case.stock_on(ground), 0.0)


def limits_of_size_read_as_said(case: Case, minus: float, plus: float) -> None:
    """Pieces ground to their limits of size read the limits of reading, and have the limits of stock on."""
    small, large = (case.read(case.profile(case.surface.moved((0.0, by / 2)))) for by in (-minus, plus))
    low, high = reading.size_limits_as_readings(case.kind, case.ratio, finish_reading(case), minus, plus)
    near(case.ratio * low, case.ratio * min(small, large))
    near(case.ratio * high, case.ratio * max(small, large))
    least, most = reading.stock_limits(terms.reading(case.kind).side, minus, plus)
    true = [case.stock_on(case.profile(case.surface.moved((0.0, by / 2)))) for by in (-minus, plus)]
    near(least, min(true))
    near(most, max(true))


def limits_of_reading_measure_as_said(case: Case, minus: float, plus: float) -> None:
    """Pieces ground until the gauge reads its limits have the sizes said."""
    finish = case.read(case.finished)
    sizes = [
        2 * line_reading(case, finish + by, case.surface).height_at(case.gauge_line) - case.gauge_diameter
        for by in (-minus, plus)
    ]
    size_minus, size_plus = reading.reading_tolerance_as_size(case.kind, case.ratio, minus, plus)
    near(-size_minus, min(sizes))
    near(size_plus, max(sizes))
