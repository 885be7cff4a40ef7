"""The bench before it judges anybody: its geometry against a search by halves, its machine by measuring."""

import math
from dataclasses import replace
from random import Random

import pytest

from cardgen.rehearsal.contact import GaugeCone, Generatrix, GroundSurface, clearance, light, rest, rub
from cardgen.rehearsal.grinder import Rod
from tests.bench.jobs import JOBS
from tests.bench.still import right_angle, still_bench


def slid_home(surface: GroundSurface, cone: GaugeCone) -> float:
    """Where the gauge stops, by halving between far off and too far on."""
    off, on = (200.0, -12.0) if surface.side > 0 else (-60.0, 12.0)
    for _ in range(80):
        middle = (off + on) / 2
        gaps = [
            surface.side * (cone.radius(z, middle) - surface.at(z)) for z in _planes(surface, cone, middle)
        ]
        off, on = (middle, on) if min(gaps, default=1.0) >= 0 else (off, middle)
    return off


def _planes(surface: GroundSurface, cone: GaugeCone, place: float) -> list[float]:
    low = max(surface.points[0][0], place - cone.behind)
    high = min(surface.points[-1][0], place + cone.length)
    corners = [z for z, _ in surface.points if low <= z <= high]
    return [low, high, *corners] if high >= low else []


def bent_work(side: int, rng: Random) -> tuple[GroundSurface, GaugeCone]:
    """Work cut by several lines that are not quite right, and its gauge."""
    ratio = math.exp(rng.uniform(math.log(0.02), math.log(1.2)))
    on, bend = 4 * ratio, 0.004 * ratio  # so that a slow taper does not send the gauge off its end
    line = Generatrix(20.0 + side * on / 2, -ratio / 2)
    surface = GroundSurface(side, rng.uniform(0, 3), rng.uniform(40, 60) if ratio < 0.5 else 25.0, line)
    for _ in range(rng.randrange(4)):
        tilt, deep = rng.uniform(-bend, bend), rng.uniform(0, on / 4)
        surface.cut(Generatrix(20.0 + side * (on / 2 - deep) - 20 * tilt, -ratio / 2 + tilt))
    return surface, GaugeCone(
        40.0 + rng.uniform(-4, 4) * ratio, ratio, rng.uniform(25, 70), 30.0 * (side < 0)
    )


@pytest.mark.parametrize("side", [1, -1])
def test_a_gauge_stops_where_a_search_by_halves_finds_it(side: int) -> None:
    """The closed-form contact is the true one, on straight and on bent work, in a ring and on a plug."""
    rng = Random(7)
    for _ in range(300):
        surface, cone = bent_work(side, rng)
        assert rest(surface, cone) == pytest.approx(slid_home(surface, cone), abs=1e-7)


@pytest.mark.parametrize("side", [1, -1])
def test_a_cut_leaves_the_inner_of_two_lines_on_a_shaft_and_the_outer_in_a_hole(side: int) -> None:
    """Every point of the work after a cut is what the point before or the wheel's line was."""
    rng = Random(8)
    for _ in range(200):
        surface, _ = bent_work(side, rng)
        low, high = surface.points[0][0], surface.points[-1][0]
        planes = [low + (high - low) * i / 37 for i in range(38)]
        before = [surface.at(z) for z in planes]
        line = Generatrix(20.0 + rng.uniform(-0.2, 0.3), surface_slope(surface) + rng.uniform(-0.005, 0.005))
        surface.cut(line)
        inner = min if side > 0 else max
        after = [inner(r, line.at(z)) for z, r in zip(planes, before, strict=True)]
        assert [surface.at(z) for z in planes] == pytest.approx(after, abs=1e-12)


def surface_slope(surface: GroundSurface) -> float:
    """Slope from end to end."""
    (z0, r0), (z1, r1) = surface.points[0], surface.points[-1]
    return (r1 - r0) / (z1 - z0)


@pytest.mark.parametrize("side", [1, -1])
def test_blue_and_light_are_those_of_the_gap_looked_at_point_by_point(side: int) -> None:
    """The marked part counted in a thousand places, and the widest gap there, agree with the closed form."""
    rng = Random(9)
    for _ in range(60):
        surface, cone = bent_work(side, rng)
        tilt = rng.choice((-1, 1)) * rng.uniform(1e-4, 1e-3)
        surface.cut(Generatrix(20.0 - side * 0.1, -cone.ratio / 2 + tilt))
        place = rest(surface, cone)
        gaps = clearance(surface, cone, place)
        low, high = gaps[0][0], gaps[-1][0]
        square = math.cos(math.atan(cone.ratio / 2))
        planes = [low + (high - low) * (i + 0.5) / 1000 for i in range(1000)]
        seen = [side * (cone.radius(z, place) - surface.at(z)) * square for z in planes]
        marks, (width, dark) = rub(surface, cone, 0.004), light(surface, cone)
        marked = sum(gap < 0.004 for gap in seen) / 1000
        assert marks.fraction == pytest.approx(1.0 if marked > 0.97 else marked, abs=0.002)
        assert width == pytest.approx(max(seen), rel=0.01)
        assert dark == ("large" if seen[-1] > seen[0] else "small")


@pytest.mark.parametrize("part", list(JOBS))
def test_the_machine_grinds_what_it_is_set_to(part: str) -> None:
    """The wheel's line has the print's taper at the true angle, and one division takes off what it should."""
    job = JOBS[part]
    machine = still_bench(job).machine
    right_angle(job, machine)
    line = machine.line(0.0)
    assert -2 * line.slope == pytest.approx(job.ratio, rel=1e-12)
    machine.slide += machine.travel(1)
    square = abs(machine.line(0.0).radius - line.radius) * math.cos(machine.half_angle)
    feed = {None: 1.0, "above": 1.0, "below": math.cos(machine.half_angle)}[job.grinder.head_turns]
    assert square == pytest.approx(job.grinder.feed_per_division * feed, rel=1e-9)


def test_the_pivot_keeps_its_distance_from_the_wheel_when_the_table_turns() -> None:
    """Whatever the swivel does, the wheel's line stays as far from the pivot, on the centres or off."""
    for job in JOBS.values():
        bench = still_bench(job)
        machine = bench.machine
        machine.day = replace(machine.day, pivot_across=2.5)
        right_angle(job, machine)
        distances = []
        for turn in (0.0, 0.01, -0.02):
            machine.table += turn
            line = machine.line(0.0)
            off = line.at(machine.pivot) - machine.day.pivot_across
            distances.append(off * math.cos(machine.half_angle))
        assert distances == pytest.approx([distances[0]] * 3, abs=1e-9)


@pytest.mark.parametrize("kind", ["sine", "tangent", "chord"])
def test_a_length_at_a_radius_and_its_angle_belong_together(kind: str) -> None:
    """Sine, tangent and chord as drawn: the triangle's own sides."""
    rod, angle = Rod(kind, 300.0), math.radians(9)
    end = (300 * math.cos(angle), 300 * math.sin(angle))
    drawn = {
        "sine": end[1],
        "tangent": 300 * end[1] / end[0],
        "chord": math.dist(end, (300.0, 0.0)),
    }[kind]
    assert rod.length(angle) == pytest.approx(drawn, abs=1e-9)
    assert rod.angle(drawn) == pytest.approx(angle, abs=1e-12)
