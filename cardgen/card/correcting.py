"""When the taper is not right yet: a row for each error, each rub of blue, each width of light."""

from cardgen.card import values
from cardgen.card.facts import Facts
from cardgen.card.proving import rolls_raise
from cardgen.card.rows import reading_text
from cardgen.card.setting import indicator_travel, screw_divisions, table_angle
from cardgen.compute import correction, inspection, reading, taper
from cardgen.terms import ARCSEC, INCH

# Round errors of taper over the contact length, and round widths of light: a row for each.
ERRORS_MM = (0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2)
ERRORS_IN = (0.0001, 0.0002, 0.0005, 0.001, 0.002, 0.005, 0.01)
GAPS_MM = (0.001, 0.002, 0.005, 0.01)
GAPS_IN = (0.00005, 0.0001, 0.0002, 0.0005)
MARKED = (1 / 16, 1 / 8, 1 / 4, 1 / 3, 1 / 2, 2 / 3, 3 / 4, 1.0)


def correction_rows(facts: Facts) -> tuple[values.CorrectionRow, ...]:
    """Towards more taper for each error, then towards less; the stock on is what roughing leaves."""
    errors = ERRORS_MM if facts.metric else tuple(error * INCH for error in ERRORS_IN)
    possible = [error for error in errors if leaves_a_taper(facts, error)]
    return tuple(_correction_row(facts, sign * error) for sign in (1, -1) for error in possible)


def leaves_a_taper(facts: Facts, error: float) -> bool:
    """Whether work so far out is a taper still: half of what the right one changes over the contact."""
    return error < facts.geometry.ratio * facts.contact / 2


def _correction_row(facts: Facts, error: float) -> values.CorrectionRow:
    pivot, left = facts.records.part.setup.gauge_line_from_pivot_mm, facts.stage("rough").stock
    found = correction.correct(facts.kind, facts.seat, error, facts.contact, pivot, left)
    divisions, indicator = _turned(facts, found.angle_change)
    return values.CorrectionRow(
        error_mm=error,
        turn="more" if error > 0 else "less",
        heavy_end=found.heavy_end,
        arcsec=found.angle_change * ARCSEC,
        screw_divisions=divisions,
        indicator_mm=indicator,
        per_foot_in=taper.per_foot_from_ratio(found.ratio_change),
        mm_per_m=taper.mm_per_m_from_ratio(found.ratio_change),
        size_shift_mm=found.size_shift,
        stock_shift_mm=found.stock_shift,
        reading_shift_mm=found.reading_shift,
        least_stock_mm=found.least_stock,
        least_reading_text=_least_reading(facts, found.least_stock) if found.least_stock > left else "",
        measured_off_mm=measured_off(facts, error),
        under_end=found.under_end,
    )


def measured_off(facts: Facts, error: float) -> float | None:
    """By how much two measurements over rolls, or of balls, are then more apart than they should be, mm.

    error: mm of diameter over the contact, positive where the work is too shallow. None without balls.
    """
    length, part = facts.contact, facts.records.part
    if part.taper.side == "external":
        return inspection.rolls_differ(rolls_raise(facts), -error / length)
    if part.inspection.balls_mm is None:
        return None
    balls = sorted(part.inspection.balls_mm, reverse=True)
    right = facts.geometry.aim_ratio
    shown, wanted = (
        inspection.balls_differ(balls[0], balls[1], taper.half_angle_from_ratio(ratio))
        for ratio in (correction.actual_ratio(right, error, length), right)
    )
    return shown - wanted


def _least_reading(facts: Facts, stock: float) -> str:
    """The reading of the roughing tool with this stock or the next more: 'only at … or more'."""
    tool = facts.read.rough_tool
    exact = reading.reading_from_stock(stock, facts.sizing.finish_reading, facts.per_reading)
    return reading_text(reading.next_readable(exact, tool.division_mm, facts.per_reading), tool)


def _turned(facts: Facts, change: float) -> tuple[float | None, float | None]:
    """Divisions of the screw and travel of the indicator that turn the table to right by this angle."""
    right = table_angle(facts)
    return screw_divisions(facts, right - change, right), indicator_travel(facts, right - change, right)


def _turn_for(facts: Facts, error: float) -> tuple[float, float | None, float | None]:
    """Arc seconds, screw divisions and indicator travel for an error too shallow by so much."""
    change = correction.angle_change(facts.geometry.ratio, error, facts.contact)
    return (change * ARCSEC, *_turned(facts, change))


def blue_rows(facts: Facts) -> tuple[values.BlueRow, ...]:
    """How far to turn for each fraction of the length that the blue has marked: estimates, all of them."""
    film = facts.records.shop.blue_film_mm
    rows = [(marked, correction.error_from_blue(film, marked)) for marked in MARKED]
    return tuple(
        values.BlueRow(marked, error, *_turn_for(facts, error))
        for marked, error in rows
        if leaves_a_taper(facts, error)
    )


def light_rows(facts: Facts) -> tuple[values.LightRow, ...]:
    """How far to turn for each width of light seen at the far end of the contact."""
    gaps = GAPS_MM if facts.metric else tuple(gap * INCH for gap in GAPS_IN)
    rows = [(gap, correction.error_from_light_gap(gap, facts.geometry.half_angle)) for gap in gaps]
    return tuple(
        values.LightRow(gap, error, *_turn_for(facts, error))
        for gap, error in rows
        if leaves_a_taper(facts, error)
    )


def patterns(facts: Facts) -> tuple[values.PatternShown, ...]:
    """What each pattern of blue or light means for this side of work."""
    side, limit = facts.records.part.taper.side, facts.geometry.angle_limit
    aim = limit.aim if limit else 0.0  # above the gauge's taper
    right = {"both", *((correction.heavy_end(side, -aim),) if aim else ())}
    found = [correction.pattern(side, heavy) for heavy in ("small", "large", "both")]
    return tuple(
        values.PatternShown(each.heavy_end, each.light_end, each.meaning, each.turn, each.heavy_end in right)
        for each in found
    )


def least_stock(facts: Facts, error: float) -> float:
    """The stock that a reading must show so that no end goes under when this error is put right."""
    actual = correction.actual_ratio(facts.geometry.ratio, error, facts.contact)
    return correction.least_stock(facts.seat, actual).stock
