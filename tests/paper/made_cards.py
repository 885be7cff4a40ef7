"""Cards made for looking at panels: any kind of reading, ratio and size, without a spec file."""

import math
from dataclasses import replace
from typing import Any, Literal

from cardgen import terms
from cardgen.card import values
from cardgen.card.values import Card, CorrectionRow, ReadingTool, Stage, StockRow
from cardgen.terms import READING_KINDS, ReadingKind, Rotation, Side, TableMoves, Units
from tests.paper.sample import SPINDLE, sample_card

KINDS = READING_KINDS
COLLAR = 12.0  # mm, from a plug's line out to its collar
SIXTY_FOURTH = ReadingTool("steel rule", 25.4 / 64, "in", 64, "1/64 in", 0.0)
HALF_MM = ReadingTool("steel rule", 0.5, "mm", None, "0.5 mm", 0.0)
HEAD_WITH: dict[TableMoves, Rotation] = {
    "tailstock end towards wheel": "clockwise",
    "tailstock end away from wheel": "anticlockwise",
}
THOU_DEPTH = ReadingTool("depth micrometer", 0.0254, "in", None, "0.001 in", 0.0)
CALIPER = ReadingTool("caliper", 0.02, "mm", None, "0.02 mm", 0.0)


def made_card(
    kind: ReadingKind = "shoulder_gap",
    ratio: float = 1 / 8,
    large: float = 38.375,
    length: float = 62.0,
    gauge_length: float = 50.0,
    finish: float = 3.0,
    relief: float = 3.0,
    units: Units = "metric",
    tolerance: float = 0.01,
    blank: tuple[float, float] = (0.35, 0.50),
    leave: float = 0.08,
    plane: float = 0.0,
    tools: tuple[ReadingTool, ReadingTool] = (HALF_MM, CALIPER),
    set_by: Literal["table", "wheel head"] = "table",
    screw: bool = True,
    more_taper_moves: TableMoves = "tailstock end towards wheel",
) -> Card:
    """A card whose values agree with one another; mm throughout, `finish` is the finish reading."""
    facts = terms.reading(kind)
    side: Side = facts.side
    per_mm = ratio if facts.grows_with_stock else -ratio
    theta = math.atan(ratio / 2)
    gauge_line = {
        "shoulder_gap": finish,
        "small_end_standout": length - gauge_length - finish,
        "plug_standoff": -finish,
        "collar_gap": COLLAR - finish,
        "plug_depth": finish - gauge_length + plane,
    }[kind]
    rough_tool, finish_tool = (_worth(tool, ratio) for tool in tools)
    reading = values.Reading(
        kind,
        per_mm,
        finish,
        finish - tolerance / ratio,
        finish + tolerance / ratio,
        -tolerance,
        tolerance,
        rough_tool,
        finish_tool,
        plane if kind == "plug_depth" else None,
    )
    diameter = large - ratio * gauge_line
    taper = values.Taper(
        callout=f"1:{1 / ratio:.4g}",
        standard=None,
        side=side,
        ratio=ratio,
        per_foot_in=12 * ratio,
        per_cent=100 * ratio,
        ratio_1_to=1 / ratio,
        included_angle_deg=math.degrees(2 * theta),
        half_angle_deg=math.degrees(theta),
        gauge_line_diameter_mm=diameter,
        gauge_line_from_face_mm=gauge_line,
        gauge_line_low_mm=diameter - tolerance,
        gauge_line_high_mm=diameter + tolerance,
        large_diameter_mm=large,
        small_diameter_mm=large - ratio * length,
        length_mm=length,
        relief_mm=relief,
        angle_tolerance_arcsec=8.0,
        angle_tolerance_mm=0.003,
        angle_tolerance_text="± 8 arcsec",
    )
    gauge = values.Gauge(
        id="R-204" if side == "external" else "P-118",
        type="ring" if side == "external" else "plug",
        gauge_line_diameter_mm=diameter,
        length_mm=gauge_length,
        stands_from_face_mm=gauge_line,
        uncertainty_mm=0.0015,
        calibration_due="2027-03-31",
        light_gauge="L-8",
        master=None,
        name="",
        face_from_line_mm=COLLAR if facts.to_collar else None,
    )
    stages = _stages(taper, reading, blank, leave, tolerance)
    corrections = tuple(_correction(e, taper, screw) for e in (-0.02, -0.01, 0.01, 0.02))
    blue = tuple(_blue(q, taper, screw) for q in (0.25, 0.5, 0.75, 1.0))
    light = tuple(_light(w, taper, screw) for w in (0.005, 0.01, 0.02))
    plain = sample_card(SPINDLE)  # what no picture shows
    return replace(
        plain,
        title=replace(plain.title, units=units),
        taper=taper,
        gauge=gauge,
        reading=reading,
        stages=stages,
        rough_step=1,
        finish_step=1,
        stock_table=_rows(reading, stages, blank[1]),
        handwheel=values.Handwheel("diameter", 0.0025, "0.0025 mm", 0.0025, None, None),
        swivel=_swivel(math.degrees(theta), set_by, more_taper_moves),
        contact_length_mm=gauge_length,
        correction=corrections,
        blue_film_mm=0.005,
        blue=blue,
        light=light,
        patterns=_patterns(side),
        batch=_batch(plain.batch, reading, stages),
        past_size="under size" if side == "external" else "over size",
    )


def _batch(plain: values.Batch, reading: values.Reading, stages: tuple[Stage, ...]) -> values.Batch:
    ends = sorted((s for s in stages if s.name in ("finish low", "finish high")), key=lambda s: s.reading_mm)
    aim, tool = next(s.reading_mm for s in stages if s.name == "finish"), reading.finish_tool
    move_at = aim + math.copysign(tool.division_mm, reading.per_mm)
    return replace(
        plain,
        reading_low_mm=ends[0].reading_mm if ends else None,
        reading_high_mm=ends[1].reading_mm if ends else None,
        reading_low_text=ends[0].reading_text if ends else "",
        reading_high_text=ends[1].reading_text if ends else "",
        set_aside_mm=None,
        set_aside_text="",
        wear_moves_reading="up" if reading.per_mm > 0 else "down",
        move_at_mm=move_at,
        move_at_text=reading_text(move_at, tool),
    )


def _worth(tool: ReadingTool, ratio: float) -> ReadingTool:
    return ReadingTool(
        tool.name, tool.division_mm, tool.unit, tool.denominator, tool.division_text, ratio * tool.division_mm
    )


def reading_text(value_mm: float, tool: ReadingTool) -> str:
    """A reading as its tool shows it, with the unit."""
    if tool.denominator:
        parts = round(value_mm / 25.4 * tool.denominator)
        whole, rest = divmod(abs(parts), tool.denominator)
        shared = math.gcd(rest, tool.denominator)
        fraction = f"{rest // shared}/{tool.denominator // shared}" if rest else ""
        text = " ".join(filter(None, [str(whole) if whole or not rest else "", fraction]))
        return f"{'-' if parts < 0 else ''}{text} in"
    if tool.unit == "in":
        return f"{value_mm / 25.4:.3f} in".replace("0.", ".", 1)
    digits = 1 if tool.division_mm >= 0.1 else 2
    return f"{value_mm:.{digits}f} mm"


def _stages(
    taper: values.Taper, reading: values.Reading, blank: tuple[float, float], leave: float, tolerance: float
) -> tuple[Stage, ...]:
    step = reading.rough_tool.stock_per_division_mm
    rough = math.ceil(leave / step - 1e-9) * step
    planned: tuple[tuple[Any, float], ...] = (
        ("blank low", blank[0]),
        ("blank high", blank[1]),
        ("clean-up", (blank[0] + leave) / 2),
        ("rough", rough),
        ("finish low", -tolerance),
        ("finish", 0.0),
        ("finish high", tolerance),
    )
    metal = 1 if taper.side == "external" else -1
    made = []
    for name, stock in planned:
        value = reading.finish_mm + stock / reading.per_mm
        tool = reading.finish_tool if name.startswith("finish") else reading.rough_tool
        up = (reading.per_mm > 0) != (name in ("blank high", "finish high"))
        count = value / tool.division_mm
        whole = math.ceil(count - 1e-7) if up else math.floor(count + 1e-7)
        readable = whole * tool.division_mm
        left = reading.per_mm * (readable - reading.finish_mm)
        feed, position = max(0, math.floor(left / 0.0025 + 1e-9)), math.ceil(left / 0.0025 - 1e-9)
        made.append(
            Stage(
                name,
                "finish" if tool is reading.finish_tool else "rough",
                readable,
                reading_text(readable, tool),
                left,
                taper.gauge_line_diameter_mm + metal * left,
                taper.small_diameter_mm + metal * left,
                max(0.0, left / 2),
                feed,
                f"{feed} div",
                position,
                f"{position} div",
            )
        )
    stock = {stage.name: stage.stock_mm for stage in made}
    if stock["finish low"] > stock["finish high"] + 1e-9:  # no division lies within the limits
        made = [stage for stage in made if stage.name not in ("finish low", "finish high")]
    return tuple(made)


def _rows(reading: values.Reading, stages: tuple[Stage, ...], most: float) -> tuple[StockRow, ...]:
    rough = next(stage.stock_mm for stage in stages if stage.name == "rough")
    rows = []
    spans: tuple[tuple[Literal["rough", "finish"], ReadingTool, float, float], ...] = (
        ("rough", reading.rough_tool, rough, most),
        ("finish", reading.finish_tool, reading.stock_low_mm, rough),
    )
    for name, tool, low, high in spans:
        ends = sorted((reading.finish_mm + low / reading.per_mm, reading.finish_mm + high / reading.per_mm))
        first = math.ceil(ends[0] / tool.division_mm - 1e-9)
        last = math.floor(ends[1] / tool.division_mm + 1e-9)
        every = max(1, (last - first) // 40 + 1)
        for number in range(first, last + 1, every):
            value = number * tool.division_mm
            stock = reading.per_mm * (value - reading.finish_mm)
            at = next((s.name for s in stages if s.tool == name and abs(s.reading_mm - value) < 1e-7), None)
            to_finish, to_rough = (max(0, int(left / 0.0025)) for left in (stock, stock - rough))
            feed = max(0, to_finish - 8) if name == "finish" else 0
            rows.append(
                StockRow(
                    value,
                    reading_text(value, tool),
                    stock,
                    max(0.0, stock / 2),
                    to_finish,
                    f"{to_finish} div",
                    to_rough,
                    f"{to_rough} div",
                    feed,
                    f"{feed} div",
                    "",
                    stock < reading.stock_low_mm - 1e-9,
                    name,
                    at,
                )
            )
    return tuple(sorted(rows, key=lambda row: -row.stock_mm))


def _amounts(error: float, taper: values.Taper, screw: bool) -> tuple[float, float | None, float | None]:
    angle = error / taper.length_mm / 2
    return (
        math.degrees(angle) * 3600,
        angle * 520 / 1.5 * 60 if screw else None,
        angle * 450 if screw else None,
    )


def _correction(error: float, taper: values.Taper, screw: bool) -> CorrectionRow:
    arcsec, divisions, indicator = _amounts(error, taper, screw)
    more = error > 0
    heavy: values.End = "small" if (taper.side == "external") == more else "large"
    return CorrectionRow(
        error_mm=error,
        turn="more" if more else "less",
        heavy_end=heavy,
        arcsec=abs(arcsec),
        screw_divisions=None if divisions is None else abs(divisions),
        indicator_mm=None if indicator is None else abs(indicator),
        per_foot_in=abs(error) / taper.length_mm * 12,
        mm_per_m=abs(error) / taper.length_mm * 1000,
        size_shift_mm=error / 2,
        stock_shift_mm=error / 2,
        reading_shift_mm=error / 2 / taper.ratio,
        least_stock_mm=abs(error),
        least_reading_text="4.0 mm",
        measured_off_mm=0.6 * error,
        under_end="small",
    )


def _blue(marked: float, taper: values.Taper, screw: bool) -> values.BlueRow:
    error = 2 * 0.005 / marked
    return values.BlueRow(marked, error, *_amounts(error, taper, screw))


def _light(gap: float, taper: values.Taper, screw: bool) -> values.LightRow:
    error = 2 * gap / math.cos(math.radians(taper.half_angle_deg))
    return values.LightRow(gap, error, *_amounts(error, taper, screw))


def _patterns(side: Side) -> tuple[values.PatternShown, ...]:
    shallow: tuple[values.End, values.End] = ("small", "large") if side == "external" else ("large", "small")
    return (
        values.PatternShown(*shallow, "too shallow", "more", False),
        values.PatternShown("both", "none", "right", "none", True),
        values.PatternShown(shallow[1], shallow[0], "too steep", "less", False),
    )


def _swivel(
    half_angle: float, set_by: Literal["table", "wheel head"], more_taper_moves: TableMoves
) -> values.Swivel:
    return replace(
        sample_card(SPINDLE).swivel,
        set_by=set_by,
        half_angle_deg=half_angle,
        beyond_limit=half_angle > 10,
        more_taper_moves=more_taper_moves,
        wheel_head=values.WheelHead(half_angle, True, HEAD_WITH[more_taper_moves]),
    )
