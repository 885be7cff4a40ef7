"""Flip a sign, drop a cosine, swap a direction: the bare grinder must catch every one.

Each mistake is put in the place of the right formula, and the same comparisons that the right one passes
must then fail. That they pass without it is shown first, so a failure is the mistake's own.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from types import ModuleType
from typing import Any

import pytest

from cardgen.compute import correction, infeed, reading, seat, swivel, taper
from cardgen.terms import HandwheelReads
from tests.compute import sizing_comparisons as sizing
from tests.compute import swivel_comparisons as setting
from tests.compute.cases import KINDS
from tests.compute.parts import Case, Wrong

RING = Case("shoulder_gap", 7 / 24, 70.0, 100.0, 90.0, 80.0, 3.0, relief=3.0)
PARTS = (
    RING,
    replace(RING, kind="small_end_standout", ratio=1 / 20, face=-40.0),
    replace(RING, kind="plug_standoff", ratio=1 / 8, relief=0.0, face=-130.0),
    replace(RING, kind="collar_gap", ratio=1 / 12, relief=0.0, face=130.0, collar=11.0),
    replace(RING, kind="plug_depth", ratio=1 / 10, relief=0.0, face=130.0, plane=2.0),
)
HEADS = tuple(
    replace(part, swung="wheel head", slide_fed=slide, ratio=0.4)
    for part in PARTS
    for slide in ("above", "below")
)


def each(parts: tuple[Case, ...]) -> Iterator[tuple[Case, float, HandwheelReads]]:
    """Every part with a stock, on a handwheel of either kind."""
    for part in parts:
        for stock in (0.083, 0.4):
            for reads in ("diameter", "radius"):
                yield part, stock, reads


def compare_sizing() -> None:
    """All comparisons from the reading to the handwheel."""
    for part, stock, reads in each(PARTS + HEADS):
        sizing.finish_reading_is_where_the_gauge_stops(part)
        sizing.reading_tells_the_stock(part, stock)
        sizing.feeding_the_stock_brings_the_reading_to_its_finish(part, stock)
        sizing.a_cut_takes_off_as_said(part, stock)
        for division in (0.0025, 0.01):
            sizing.whole_divisions_never_overshoot(part, stock, reads, division)
            sizing.position_back_leaves_the_stock(part, stock, reads, division)
        for tool in (0.5, 0.02):
            sizing.next_readable_leaves_the_stock(part, stock, tool)
        sizing.stages_are_true(part, stock, reads, 0.0025)
        sizing.limits_of_size_read_as_said(part, 0.004, 0.01)
        sizing.limits_of_reading_measure_as_said(part, 0.05, 0.2)


def compare_swivel() -> None:
    """All comparisons of setting and correcting the swivel, the pivot on either side and in between."""
    for part in PARTS:
        for face in (part.face, 45.0):
            for error in (0.02, -0.03):
                wrong = Wrong(replace(part, face=face), error)
                setting.heavy_end_bears(wrong)
                setting.size_shift_is_what_the_table_does(wrong, 0.1, face - 20.0)
                setting.reading_shift_is_what_the_gauge_does(wrong, 0.1)
                setting.shortfall_is_at_the_light_end(wrong, 0.1)
                setting.least_stock_is_just_enough(wrong)
                setting.light_gap_tells_the_error(wrong)
                setting.blue_marks_as_said(wrong)
    for kind in ("sine", "tangent", "chord"):
        setting.swing_measures_as_said(kind, 520.0, 0.15)
        setting.screw_turns_as_said(kind, 520.0, 1.5, 60, 0.15, 0.002)
    setting.bar_rises_as_said(100.0, 0.15, 12.0)
    for shows in ("half_angle", "included_angle", "taper_per_foot", "mm_per_m", "per_cent"):
        setting.scale_shows_what_is_ground(shows, 0.15)
    setting.mark_leaves_over_as_said(0.15, 0.149, 60.0)


@dataclass(frozen=True)
class Mistake:
    """A wrong formula and the room and name it takes the place of; `wrong` is given the right one."""

    what: str
    room: ModuleType
    name: str
    wrong: Callable[[Callable[..., Any]], Callable[..., Any]]


def negated(right: Callable[..., Any]) -> Callable[..., Any]:
    return lambda *given: -right(*given)


def of_kind(
    kind: str, wrong: Callable[[Callable[..., Any]], Callable[..., Any]]
) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """The mistake made in one kind of reading alone, the others right."""

    def put_in(right: Callable[..., Any]) -> Callable[..., Any]:
        def of_this_kind(*given: Any) -> Any:
            return right(kind, *given)

        return lambda asked, *given: (wrong(of_this_kind) if asked == kind else partial(right, asked))(*given)

    return put_in


def turned_about(words: dict[str, str]) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """The right answer with one word put for the other."""
    return lambda right: lambda *given: words[right(*given)]


def standing_still(right: Callable[..., Any]) -> Callable[..., Any]:
    """The gauge taken to stand as on a finished piece whatever the stock."""
    return lambda seat_, stock=0.0: right(seat_)


def other_way(right: Callable[..., Any]) -> Callable[..., Any]:
    """The gauge taken to move the other way with stock on."""
    return lambda seat_, stock=0.0: right(seat_, -stock)


SIZING_MISTAKES = (
    Mistake("k of the other sign", reading, "stock_per_reading", negated),
    Mistake("k without its sign", reading, "stock_per_reading", lambda right: lambda kind, ratio: ratio),
    Mistake("k for 1:x of the radius", reading, "stock_per_reading", lambda r: lambda *a: r(*a) / 2),
    Mistake(
        "cosine of the cut dropped",
        infeed,
        "depth_square_to_surface",
        lambda r: lambda stock, angle: stock / 2,
    ),
    Mistake(
        "cosine of the cut in the wrong place",
        infeed,
        "depth_square_to_surface",
        lambda r: lambda stock, angle: stock / 2 / math.cos(angle),
    ),
    Mistake("stock on the radius", infeed, "depth_square_to_surface", lambda r: lambda s, a: s * math.cos(a)),
    Mistake("feed angle forgotten", infeed, "feed_angle", lambda r: lambda *a: 0.0),
    Mistake("feed angle for every slide", infeed, "feed_angle", lambda r: lambda swung, slide, angle: angle),
    Mistake(
        "feed angle for the slide above",
        infeed,
        "feed_angle",
        lambda r: lambda swung, slide, angle: r(swung, "above" if slide == "below" else "below", angle),
    ),
    Mistake(
        "travel times the cosine", infeed, "cross_feed_travel", lambda r: lambda depth, a: depth * math.cos(a)
    ),
    Mistake(
        "diameter and radius swapped on the handwheel",
        infeed,
        "handwheel_divisions",
        lambda r: lambda t, reads, d: r(t, "radius" if reads == "diameter" else "diameter", d),
    ),
    Mistake("divisions to feed rounded to the nearest", infeed, "divisions_to_feed", lambda r: round),
    Mistake("divisions to feed rounded up", infeed, "divisions_to_feed", lambda r: math.ceil),
    Mistake("position rounded to the nearest", infeed, "position_back", lambda r: round),
    Mistake("position rounded down", infeed, "position_back", lambda r: math.floor),
    Mistake(
        "reading rounded to the nearest division",
        reading,
        "next_readable",
        lambda r: lambda g, division, k: round(g / division) * division,
    ),
    Mistake(
        "reading rounded to the side with less stock",
        reading,
        "next_readable",
        lambda r: lambda g, division, k: r(g, division, -k),
    ),
    *(
        Mistake(
            f"{kind} with the line on the other side of the face",
            reading,
            "reading_from_gauge_line",
            of_kind(kind, lambda r: lambda line, *rest: r(-line, *rest)),
        )
        for kind in KINDS
    ),
    *(
        Mistake(
            f"{kind} with the gauge's length on the other side",
            reading,
            "reading_from_gauge_line",
            of_kind(kind, lambda r: lambda line, length, gauge, *rest: r(line, length, -gauge, *rest)),
        )
        for kind in ("small_end_standout", "plug_depth")
    ),
    Mistake(
        "collar counted into the hole",
        reading,
        "reading_from_gauge_line",
        of_kind("collar_gap", lambda r: lambda *places: r(*places[:-1], -places[-1])),
    ),
    Mistake("line counted the other way from the reading", reading, "gauge_line_from_face", negated),
    Mistake(
        "depth with the plane added",
        reading,
        "reading_from_gauge_line",
        of_kind("plug_depth", lambda r: lambda *places: r(*places[:-2], -places[-2], places[-1])),
    ),
    Mistake(
        "limits of stock not turned round inside",
        reading,
        "stock_limits",
        lambda r: lambda side, minus, plus: (-minus, plus),
    ),
    Mistake(
        "limits of reading not turned round",
        reading,
        "reading_tolerance_as_size",
        lambda r: lambda kind, ratio, minus, plus: (ratio * minus, ratio * plus),
    ),
    Mistake(
        "included angle for the half",
        taper,
        "half_angle_from_ratio",
        lambda r: lambda ratio: math.atan(ratio),
    ),
)
SWIVEL_MISTAKES = (
    Mistake(
        "heavy end swapped",
        correction,
        "heavy_end",
        turned_about({"large": "small", "small": "large", "both": "both"}),
    ),
    Mistake(
        "inside taken for outside",
        correction,
        "heavy_end",
        lambda r: lambda side, error: r("external", error),
    ),
    Mistake(
        "more and less taper swapped",
        correction,
        "turn_towards",
        turned_about({"more": "less", "less": "more", "none": "none"}),
    ),
    Mistake("turn of the other sign", correction, "angle_change", negated),
    Mistake("turn by the whole angle", correction, "angle_change", lambda r: lambda *a: 2 * r(*a)),
    Mistake(
        "error of the other sign",
        correction,
        "actual_ratio",
        lambda r: lambda c, error, length: r(c, -error, length),
    ),
    Mistake(
        "light on one side only", correction, "error_from_light_gap", lambda r: lambda w, a: w / math.cos(a)
    ),
    Mistake("light without its cosine", correction, "error_from_light_gap", lambda r: lambda w, a: 2 * w),
    Mistake("blue on one side only", correction, "error_from_blue", lambda r: lambda f, q: f / q),
    Mistake("blue times the part marked", correction, "error_from_blue", lambda r: lambda f, q: 2 * f * q),
    Mistake(
        "pivot on the other side",
        correction,
        "diameter_after_turn",
        lambda r: lambda d, u, before, after: r(d, -u, before, after),
    ),
    Mistake(
        "before and after swapped",
        correction,
        "diameter_after_turn",
        lambda r: lambda d, u, before, after: r(d, u, after, before),
    ),
    Mistake(
        "cosines of the turn dropped",
        correction,
        "diameter_after_turn",
        lambda r: lambda d, u, before, after: d + 2 * u * (math.tan(after) - math.tan(before)),
    ),
    Mistake("shift of stock of the other sign", correction, "stock_shift", negated),
    Mistake("gauge taken to stand still", correction, "contact_ends", standing_still),
    Mistake("gauge taken to move the other way", correction, "contact_ends", other_way),
    Mistake("no less stock at the light end", correction, "shortfall", lambda r: lambda *a: 0.0),
    Mistake("size shift without the turning back", correction, "size_shift", negated),
    Mistake(
        "sine for the tangent of the bar", swivel, "test_bar_rise", lambda r: lambda t, a: t * math.sin(a)
    ),
    Mistake(
        "sine and tangent swapped",
        swivel,
        "slip_height",
        lambda r: (
            lambda kind, radius, a: r({"sine": "tangent", "tangent": "sine"}.get(kind, kind), radius, a)
        ),
    ),
    Mistake("scale on the radius", swivel, "scale_value", lambda r: lambda *a: r(*a) / 2),
    Mistake(
        "included angle taken for the half",
        swivel,
        "half_angle_at_mark",
        lambda r: lambda shows, mark: r("half_angle" if shows == "included_angle" else shows, mark),
    ),
    Mistake("left over of the other sign", swivel, "left_over_diameter", negated),
    Mistake(
        "relief on the wrong side of the shoulder",
        seat,
        "seated",
        lambda r: lambda side, c, d, length, relief, *rest: r(side, c, d, length, -relief, *rest),
    ),
)


def test_the_right_formulas_pass_every_comparison() -> None:
    """So that a failure below is the mistake's own."""
    compare_sizing()
    compare_swivel()


@pytest.mark.parametrize("mistake", SIZING_MISTAKES, ids=lambda mistake: mistake.what)
def test_a_mistake_in_sizing_is_caught(mistake: Mistake, monkeypatch: pytest.MonkeyPatch) -> None:
    """The comparison from the reading to the handwheel fails with the mistake in place."""
    right = getattr(mistake.room, mistake.name)
    monkeypatch.setattr(mistake.room, mistake.name, mistake.wrong(right))
    with pytest.raises(AssertionError):
        compare_sizing()


@pytest.mark.parametrize("mistake", SWIVEL_MISTAKES, ids=lambda mistake: mistake.what)
def test_a_mistake_at_the_swivel_is_caught(mistake: Mistake, monkeypatch: pytest.MonkeyPatch) -> None:
    """The comparison of setting and correcting the swivel fails with the mistake in place."""
    right = getattr(mistake.room, mistake.name)
    monkeypatch.setattr(mistake.room, mistake.name, mistake.wrong(right))
    with pytest.raises(AssertionError):
        compare_swivel()
