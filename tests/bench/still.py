"""The still bench: no noise, no faults, every figure of the card tried one by one on the true geometry.

What the batches show in the mean this shows to a fraction of a micrometre: each function tries one
panel of the card and returns what it found wrong, in the words of the bench.
"""

import math
from collections.abc import Callable, Iterator
from random import Random
from typing import Any

from cardgen.rehearsal.contact import GaugeCone, Generatrix, GroundSurface, light, rest, rub
from cardgen.rehearsal.errors import Errors, drawn
from cardgen.rehearsal.floor import Bench, FloorJob, WorkPiece
from cardgen.rehearsal.grinder import Machine, angle_engraved

Card = dict[str, Any]
MICRON = 0.001
ARC_SECOND = math.radians(1 / 3600)


def still_bench(job: FloorJob) -> Bench:
    """A bench whose scales, dials and gauges tell the truth."""
    bench = Bench(job, drawn(Errors.none(), Random(0)), Random(0))
    bench.ready = {"mount the wheel", "set the stroke"}
    return bench


def straight(
    job: FloorJob, bearing: float, stock: float, error: float = 0.0, length: float = 1.0
) -> Generatrix:
    """A generatrix with this stock in the plane `bearing`, too shallow by `error` over `length`."""
    slope = -(job.ratio - error / length) / 2
    radius = (job.nominal(bearing) + job.side * stock) / 2
    return Generatrix(radius - slope * bearing, slope)


def work(job: FloorJob, line: Generatrix) -> WorkPiece:
    """A piece ground to this line."""
    return WorkPiece(GroundSurface(job.side, *job.ground(), line), 0.0, 0.0, line)


def right_angle(job: FloorJob, machine: Machine) -> None:
    """Set the swivel to the true angle of the print."""
    half_angle = math.atan(job.ratio / 2)
    machine.table, machine.head = (0.0, half_angle) if job.grinder.head_turns else (half_angle, 0.0)


def try_readings(card: Card, job: FloorJob) -> Iterator[str]:
    """Every row and stage: a piece with this stock on gives this reading."""
    bench = still_bench(job)
    for row in (*card["stages"], *card["stock_table"]):
        bench.mount(work(job, straight(job, job.gauge_line_at, row["stock_mm"])))
        apart = bench.true_reading() - row["reading_mm"]
        if abs(apart) > 0.02 * MICRON / job.ratio:
            stock, told = row["stock_mm"], row["reading_mm"]
            yield f"with {stock:.4f} mm on the gauge reads {apart:.4f} mm from {told:.4f}"


def try_infeeds(card: Card, job: FloorJob) -> Iterator[str]:
    """Every row: feeding its divisions stops short of finish size by less than a division."""
    bench = still_bench(job)
    right_angle(job, bench.machine)
    machine = bench.machine
    for row in (*card["stages"], *card["stock_table"]):
        if row["stock_mm"] < 0:
            if row["divisions"] > 0:
                yield f"{row['divisions']} divisions to feed on a piece under size"
            continue
        piece = work(job, straight(job, job.gauge_line_at, row["stock_mm"]))
        start = machine.slide_at_touch(piece.surface, 0.0)
        left = {}
        ways = {"fed": machine.travel(row["divisions"]), "travel": row["cross_feed_mm"]}
        if "position_divisions" in row:
            ways["place"] = machine.travel(row["position_divisions"])
        for way, travel in ways.items():
            machine.slide = start + travel
            left[way] = job.side * (2 * machine.line(0.0).at(job.gauge_line_at) - job.gauge_line)
        one = 2 * machine.travel(1) * machine.feed_cosine / math.cos(machine.half_angle)
        if abs(left["travel"]) > 0.01 * MICRON:
            yield f"infeed {row['cross_feed_mm']:.5f} mm leaves {left['travel']:.5f} mm on"
        if not -0.001 * MICRON <= left["fed"] < one + 0.001 * MICRON:
            yield f"{row['divisions']} divisions leave {left['fed']:.5f} mm on, not 0 .. {one:.5f}"
        if "place" in left and not -one - 0.001 * MICRON < left["place"] <= 0.001 * MICRON:
            yield f"the place {row['position_divisions']} divisions back has less stock than its stage"


def try_stages(card: Card, job: FloorJob) -> Iterator[str]:
    """The diameters of every stage, and that the rough target is one that the tool can show."""
    division = job.tools[0]
    for stage in card["stages"]:
        for key, z in (("gauge_line_diameter_mm", job.gauge_line_at), ("small_diameter_mm", job.length)):
            true = job.nominal(z) + job.side * stage["stock_mm"]
            if abs(stage[key] - true) > 0.01 * MICRON:
                yield f"{stage['name']}: {key} {stage[key]:.5f}, truly {true:.5f}"
        if stage["name"] == "rough":
            count = stage["reading_mm"] / division
            if abs(count - round(count)) > 1e-6:
                yield f"the rough target {stage['reading_mm']:.4f} mm lies between two divisions"
            if not -1e-9 <= stage["stock_mm"] - job.leave < job.ratio * division:
                yield f"the rough target leaves {stage['stock_mm']:.4f} mm, asked for {job.leave:.4f}"


def try_settings(card: Card, job: FloorJob) -> Iterator[str]:
    """Every way to set the swivel brings it to the true half angle."""
    swivel, want = card["swivel"], math.atan(job.ratio / 2)
    machine = still_bench(job).machine
    found: list[tuple[str, float]] = []
    if swivel["set_by"] == "table":
        for scale in swivel["scales"]:
            at_mark = angle_engraved(scale["shows"], scale["mark"])
            found.append((f"scale {scale['shows']}", at_mark + scale["left_over_arcsec"] * ARC_SECOND))
            found.append((f"exact on {scale['shows']}", angle_engraved(scale["shows"], scale["exact"])))
        for row in swivel["test_bar"]:
            machine.set_test_bar(row["travel_mm"], row["rise_mm"], 0.0, 0.0)
            found.append((f"test bar over {row['travel_mm']} mm", machine.table))
        if job.grinder.slips is not None:
            machine.set_swing(job.grinder.slips, swivel["slip_mm"], 0.0)
            found.append(("slips", machine.table))
        if swivel["indicator_mm"] is not None:
            found.append(("indicator", job.grinder.indicator.angle(swivel["indicator_mm"])))
    else:
        found.append(("wheel head", math.radians(swivel["wheel_head"]["half_angle_deg"])))
        for row in swivel["test_bar"]:
            machine.set_spindle_bar(row["travel_mm"], row["rise_mm"], 0.0, 0.0)
            found.append((f"bar on the spindle over {row['travel_mm']} mm", machine.head))
    for way, angle in found:
        if abs(angle - want) > 0.05 * ARC_SECOND:
            yield f"{way}: off by {(angle - want) / ARC_SECOND:.2f} arc seconds"


def _turned(bench: Bench, row: Card, way: int) -> dict[str, float]:
    """Where each of a row's figures brings the table, from an error back towards the true angle."""
    machine, angles = bench.machine, {}
    table, head = machine.table, machine.head
    if row["screw_divisions"] is not None:
        machine.turn_screw(way * abs(row["screw_divisions"]))
        angles["screw"] = machine.half_angle
    machine.table = table
    if row["indicator_mm"] is not None:
        machine.turn_by_indicator(way * abs(row["indicator_mm"]), 0.0)
        angles["indicator"] = machine.half_angle
    machine.head = head
    angles["arc seconds"] = table + head + way * abs(row["arcsec"]) * ARC_SECOND
    machine.table = table
    return angles


def _off(job: FloorJob, error: float, length: float) -> tuple[Bench, float]:
    """A bench with its table set so that the work comes out too shallow by the error over the length."""
    bench = still_bench(job)
    right_angle(job, bench.machine)
    want = bench.machine.half_angle
    bench.machine.table += math.atan((job.ratio - error / length) / 2) - want
    return bench, want


def try_turns(card: Card, job: FloorJob) -> Iterator[str]:
    """Every row of correction, blue and light: its turn takes the error out, to a hundredth of it."""
    length = card["contact_length_mm"]
    rows = [(row, row["error_mm"], 1 if row["turn"] == "more" else -1) for row in card["correction"]]
    rows += [(row, row["error_mm"], 1) for row in (*card["blue"], *card["light"])]
    for row, error, way in rows:
        bench, want = _off(job, error, length)
        for by, angle in _turned(bench, row, way).items():
            left = (2 * math.tan(want) - 2 * math.tan(angle)) * length
            if abs(left) > 0.01 * abs(error) + 0.02 * MICRON:
                yield f"error {error:+.4f}: the turn by {by} leaves {left:+.5f} mm"


def _read_bearing(
    job: FloorJob, stock: float, error: float, length: float, cone: GaugeCone
) -> tuple[WorkPiece, float]:
    """A piece of this error that the gauge, bearing at one end, tells the stock of; and where it bears."""
    ends = job.ground()
    low, high = ends
    for _ in range(40):
        heavy = high if (error > 0) == (job.side > 0) else low
        piece = work(job, straight(job, heavy, stock, error, length))
        place = rest(piece.surface, cone)
        low, high = max(ends[0], place - cone.behind), min(ends[1], place + cone.length)
    heavy = high if (error > 0) == (job.side > 0) else low
    return work(job, straight(job, heavy, stock, error, length)), heavy


def _after_turn(job: FloorJob, piece: WorkPiece, error: float, length: float) -> Bench:
    """The piece ground where the wheel stands, the swivel put right, the slide unmoved; wheel at the work."""
    bench, want = _off(job, error, length)
    bench.mount(piece)
    bench.machine.slide = bench.machine.slide_at_touch(piece.surface, 0.0)
    bench.machine.table += want - bench.machine.half_angle
    return bench


def try_shifts(card: Card, job: FloorJob) -> Iterator[str]:
    """Every correction row: what the turn does to reading, stock and size, told to 3 % of the error."""
    length, rough = card["contact_length_mm"], _stage(card, "rough")["stock_mm"]
    for row in card["correction"]:
        error = row["error_mm"]
        piece, _ = _read_bearing(job, rough, error, length, job.gauge)
        bench = _after_turn(job, piece, error, length)
        old = bench.true_reading()
        old_size = 2 * _carried(piece, job.gauge_line_at)
        bench.mount(work(job, bench.machine.line(0.0)))
        shift = bench.true_reading() - old
        size = 2 * bench.machine.line(0.0).at(job.gauge_line_at) - old_size
        near = 0.03 * abs(error) + 0.05 * MICRON
        if abs(shift - row["reading_shift_mm"]) > near / job.ratio:
            yield f"error {error:+.4f}: reading shifts {shift:+.4f}, told {row['reading_shift_mm']:+.4f}"
        if abs(card["reading"]["per_mm"] * shift - row["stock_shift_mm"]) > near:
            yield f"error {error:+.4f}: stock shift told {row['stock_shift_mm']:+.4f} is not its reading's"
        if abs(size - row["size_shift_mm"]) > near:
            yield f"error {error:+.4f}: size shifts {size:+.4f}, told {row['size_shift_mm']:+.4f}"


def _carried(piece: WorkPiece, z: float) -> float:
    """The radius at z, the straight surface carried on beyond its ends where need be."""
    assert piece.last is not None
    return piece.last.at(z)


def _stage(card: Card, name: str) -> Card:
    return next(stage for stage in card["stages"] if stage["name"] == name)


def try_least_stock(card: Card, job: FloorJob) -> Iterator[str]:
    """Every correction row: with its least stock on nothing goes under; with 5 % less an end does."""
    length = card["contact_length_mm"]
    for row in card["correction"]:
        error, least = row["error_mm"], row["least_stock_mm"]
        margin = 0.03 * abs(error) + 0.05 * MICRON
        for stock, should_hold in ((least + margin, True), (least - 2 * margin, False)):
            if stock < 0:
                continue
            piece, _ = _read_bearing(job, stock, error, length, job.gauge)
            bench = _after_turn(job, piece, error, length)
            piece.surface.cut(bench.machine.line(0.0))
            over = [job.side * (2 * r - job.nominal(z)) for z, r in piece.surface.points]
            holds = min(over) >= -0.01 * MICRON
            if holds != should_hold:
                left = min(over)
                yield f"error {error:+.4f}: with {stock:.4f} mm on (least {least:.4f}) {left:+.4f} is left"


def try_patterns(card: Card, job: FloorJob) -> Iterator[str]:
    """Every pattern: the end that bears on work too shallow or too steep, and the turn for it."""
    turns = {pattern["heavy_end"]: pattern for pattern in card["patterns"]}
    middle = job.length / 2
    for error, turn, meaning in ((0.03, "more", "too shallow"), (-0.03, "less", "too steep")):
        piece = work(job, straight(job, middle, 0.1, error, job.length))
        marks = rub(piece.surface, job.gauge, job.film)
        _, dark = light(piece.surface, job.gauge)
        pattern = turns[marks.end]
        if pattern["turn"] != turn or pattern["meaning"] != meaning or dark != marks.end:
            yield f"work {meaning} bears at its {marks.end} end: the card says turn {pattern['turn']}"
        if pattern["light_end"] == marks.end:
            yield f"light shows away from the {marks.end} end, where the card looks for it"
    if turns["both"]["turn"] != "none":
        yield "an even bearing wants no turn"


def try_blue_and_light(card: Card, job: FloorJob) -> Iterator[str]:
    """Rows of blue and light: work with the row's error shows the row's marks and gap."""
    length = card["contact_length_mm"]
    square = math.cos(math.atan(job.ratio / 2))
    cone = GaugeCone(job.gauge.diameter, job.ratio, job.light_gauge or job.gauge.length, job.gauge.behind)
    for row in card["blue"]:
        piece, _ = _read_bearing(job, 0.02, row["error_mm"] * 1.0001, length, job.gauge)
        marked = rub(piece.surface, job.gauge, card["blue_film_mm"] * square).fraction
        if abs(marked - row["marked_fraction"]) > 0.04 * row["marked_fraction"]:
            told = row["marked_fraction"]
            yield f"blue: an error of {row['error_mm']:.4f} marks {marked:.3f}, told {told:.3f}"
    for row in card["light"]:
        piece, _ = _read_bearing(job, 0.02, row["error_mm"], length, cone)
        width, _ = light(piece.surface, cone)
        if abs(width - row["gap_mm"]) > 0.03 * row["gap_mm"]:
            yield f"light: an error of {row['error_mm']:.4f} gapes {width:.5f}, told {row['gap_mm']:.5f}"


def try_stroke(card: Card, job: FloorJob) -> Iterator[str]:
    """The wheel covers all that is to be ground, and stays out of the shoulder."""
    stroke = card["stroke"]
    square = math.cos(math.atan(job.ratio / 2))
    if stroke["plunge"]:
        if stroke["wheel_width_mm"] < (job.length - job.relief) / square:
            yield "ground by plunge with a wheel that does not cover it"
        return
    near = stroke["reverse_at_shoulder_mm"]
    far = job.length / square + stroke["reverse_at_open_mm"]
    if abs(far - near - stroke["wheel_width_mm"] - stroke["travel_mm"]) > 0.001:
        yield "the travel is not what lies between the two places of reversal"
    left = max(job.relief, stroke["clearance_mm"] or 0.0)
    if near > left / square + 0.001 or far < job.length / square - 0.001:
        yield "the wheel does not reach both ends of the ground length"
    if job.side > 0 and near < -0.001 and not stroke["open_both_ends"]:
        yield "the wheel runs into the shoulder"
    if job.relief == 0 and near < 0.5 and not stroke["open_both_ends"]:
        yield "the wheel turns back too near the shoulder or the bottom"
    if max(stroke["reverse_at_open_mm"], -near) >= stroke["wheel_width_mm"]:
        yield "the wheel leaves the work"


def try_warmth(card: Card, job: FloorJob) -> Iterator[str]:
    """Warm work reads as the card says."""
    bench = still_bench(job)
    for row in card["warmth"]:
        line = straight(job, job.gauge_line_at, 0.0)
        bench.mount(work(job, line))
        cold = bench.true_reading()
        swollen = 2 * line.at(job.gauge_line_at) + row["diameter_mm"]
        bench.mount(work(job, straight(job, job.gauge_line_at, job.side * (swollen - job.gauge_line))))
        moved = bench.true_reading() - cold
        if abs(moved - row["reading_mm"]) > 0.02 * MICRON / job.ratio:
            yield f"{row['warmer_k']} K warmer reads {moved:+.4f} mm, told {row['reading_mm']:+.4f}"


def try_batch(card: Card, job: FloorJob) -> Iterator[str]:
    """The spread of the centre depth on a stop, as it shows on the size; the limits as readings."""
    bench, batch = still_bench(job), card["batch"]
    right_angle(job, bench.machine)
    sizes = [2 * bench.machine.line(shift).at(job.gauge_line_at) for shift in (0.0, job.spread)]
    if abs(abs(sizes[1] - sizes[0]) - batch["spread_on_diameter_mm"]) > 0.01 * MICRON:
        yield f"the spread of the centre depth is {abs(sizes[1] - sizes[0]):.5f} mm on the diameter"
    sure, division = card["doubt"]["stock_expanded_mm"] / job.ratio, job.tools[1]
    limits = []
    for stock in (-job.metal_off, job.metal_on):
        bench.mount(work(job, straight(job, job.gauge_line_at, stock)))
        limits.append(bench.true_reading())
    told = (card["reading"]["finish_low_mm"], card["reading"]["finish_high_mm"])
    if any(abs(a - b) > 0.02 * MICRON / job.ratio for a, b in zip(sorted(limits), told, strict=True)):
        yield f"the limits of size read {min(limits):.4f} .. {max(limits):.4f} mm, told {told}"
    accepted = batch["reading_low_mm"] - min(limits), max(limits) - batch["reading_high_mm"]
    if not all(sure - 1e-6 <= inside < sure + division + 1e-6 for inside in accepted):
        yield f"accepted {accepted} mm within the limits; the doubt is {sure:.4f}, a division {division}"


TRIALS: tuple[Callable[[Card, FloorJob], Iterator[str]], ...] = (
    try_readings,
    try_infeeds,
    try_stages,
    try_settings,
    try_turns,
    try_shifts,
    try_least_stock,
    try_patterns,
    try_blue_and_light,
    try_stroke,
    try_warmth,
    try_batch,
)
