"""Whether a record's figures make sense together: each rule yields what it finds, and all are asked.

Only what can be told without trigonometry is asked here; that over-determined tapers agree is for
the card, which computes.
"""

from collections.abc import Iterator

from cardgen import terms
from cardgen.spec.complaint import Mistake
from cardgen.spec.models import GaugeRecord, MachineRecord, PartRecord, WheelRecord
from cardgen.spec.models.part import PartTaper, Stock
from cardgen.spec.models.tooling import CrossFeed


def part_findings(part: PartRecord) -> Iterator[Mistake]:
    """What does not fit within a part, its standard taper already filled in."""
    yield from _enough(part.taper)
    yield from _planes(part.taper)
    yield from _reading(part)
    yield from _stock(part)
    yield from _run_out(part)
    yield from _inspection(part)


def _enough(taper: PartTaper) -> Iterator[Mistake]:
    """A taper needs a callout, one diameter and a length; or two diameters and a length."""
    ends = taper.large_diameter is not None and taper.small_diameter is not None
    if taper.callout is None and not (ends and taper.length is not None):
        yield Mistake(
            ("taper",),
            "nothing fixes the taper",
            "give its callout, or large_diameter, small_diameter and length",
        )
    elif taper.length is None:
        yield Mistake(("taper",), "'length' is missing in 'taper'", "write 'length: 62 mm' along the axis")
    if taper.gauge_line.diameter is None and taper.large_diameter is None and taper.small_diameter is None:
        yield Mistake(
            ("taper",),
            "no diameter of the taper is given",
            "write 'gauge_line: {diameter: 38.000 mm, tolerance: ± 0.010 mm}'",
        )
    if taper.large_diameter and taper.small_diameter:
        large, small = taper.large_diameter, taper.small_diameter
        if large.value <= small.value:
            yield Mistake(
                ("taper", "small_diameter"),
                f"the small diameter {small.text} is not below the large diameter {large.text}",
                "put the larger at large_diameter",
            )


def _planes(taper: PartTaper) -> Iterator[Mistake]:
    """The gauge line's plane is told from the face that the side of the taper has, and lies on the taper."""
    line = taper.gauge_line
    if line.from_shoulder is not None and taper.side == "internal":
        yield Mistake(
            ("taper", "gauge_line", "from_shoulder"),
            "an internal taper has no shoulder",
            "write from_end, the distance from the mouth, or from_small_end",
        )
    if line.from_end is not None and taper.side == "external":
        yield Mistake(
            ("taper", "gauge_line", "from_end"),
            "from_end belongs to the mouth of an internal taper",
            "write from_shoulder, the distance from the shoulder, or from_small_end",
        )
    told = {
        "from_shoulder": line.from_shoulder,
        "from_end": line.from_end,
        "from_small_end": line.from_small_end,
    }
    planes = {key: plane for key, plane in told.items() if plane is not None}
    if len(planes) > 1:
        yield Mistake(
            ("taper", "gauge_line", list(planes)[-1]),
            f"the plane of the gauge line is told twice, by {' and '.join(planes)}",
            "leave one of them out",
        )
    for key, plane in planes.items():
        if taper.length is not None and plane.value > taper.length.value:
            yield Mistake(
                ("taper", "gauge_line", key),
                f"the gauge line at {plane.text} lies beyond the length {taper.length.text}",
                f"give the distance from the {'small' if key == 'from_small_end' else 'large'} end along the "
                "axis",
            )
    if taper.relief_mm > 0 and taper.side == "internal":
        yield Mistake(
            ("taper", "relief"), "an internal taper has no relief at a shoulder", "leave relief out"
        )
    if taper.length is not None and taper.relief_mm >= taper.length.value:
        yield Mistake(("taper", "relief"), "the relief is as long as the taper", "give its width alone")


def _run_out(part: PartRecord) -> Iterator[Mistake]:
    """A clearance belongs to a shoulder without relief or a bottom; where nothing stands there is none."""
    taper, clearance = part.taper, part.setup.clearance
    if taper.open_both_ends and taper.relief_mm > 0:
        yield Mistake(
            ("taper", "open_both_ends"),
            "a relief belongs to a shoulder, and at a shoulder the wheel cannot run past",
            "leave one of the two out",
        )
    if clearance is None:
        return
    if taper.open_both_ends or taper.relief_mm > 0:
        why = "runs past both ends" if taper.open_both_ends else "turns back in the middle of the relief"
        yield Mistake(("setup", "clearance"), f"the wheel {why} and keeps no clearance", "leave it out")
    elif taper.length is not None and clearance.value >= taper.length.value:
        yield Mistake(
            ("setup", "clearance"), "the clearance is as long as the taper", "give what is kept clear alone"
        )


def _reading(part: PartRecord) -> Iterator[Mistake]:
    """The reading is one of the side's, and something says how far it may be off."""
    gauging, side = part.gauging, part.taper.side
    facts = {kind: terms.reading(kind) for kind in terms.READING_KINDS}
    if facts[gauging.reading].side != side:
        yield Mistake(
            ("gauging", "reading"),
            f"{gauging.reading} is no reading of an {side} taper",
            f"write {' or '.join(kind for kind in facts if facts[kind].side == side)}",
        )
    if gauging.reading == "shoulder_gap" and part.taper.open_both_ends:
        yield Mistake(
            ("gauging", "reading"),
            "the taper is open at both ends, so that there is no shoulder to read a gap from",
            "write small_end_standout, or leave open_both_ends out",
        )
    finish = gauging.finish
    if finish and facts[gauging.reading].closes and finish.nominal - finish.minus <= 0:
        yield Mistake(
            ("gauging", "finish"),
            f"the gap {finish.text} closes within its tolerance",
            "gauge and work that meet show nothing: give a gap that stays open",
        )
    if gauging.plane_mm > 0 and not facts[gauging.reading].from_plane:
        from_plane = " and ".join(kind for kind in facts if facts[kind].from_plane)
        yield Mistake(("gauging", "plane"), f"only {from_plane} is read from a plane", "leave the plane out")


def _stock(part: PartRecord) -> Iterator[Mistake]:
    stock = part.stock
    if stock.blank.unknown and part.salvage is None:
        yield Mistake(
            ("stock", "blank"),
            "the stock is unknown, and nothing says how far a piece may be ground to clean up",
            "write salvage: {at_most: 0.30 mm} in the part, or the stock from least to most",
        )
    if stock.infeed.finish_mm > stock.infeed.rough_mm:
        yield Mistake(
            ("stock", "infeed", "finish"),
            "the finishing infeed is above the roughing infeed",
            "the finer of the two is for finishing",
        )
    yield from _semi_finish(stock)
    if stock.blank.unknown:
        return
    if stock.infeed.rough_mm >= stock.blank.high:
        yield Mistake(
            ("stock", "infeed", "rough"),
            f"one roughing pass takes off more than the fullest blank has on ({stock.blank.text})",
            "the infeed is of one pass, on the diameter",
        )
    if stock.leave_for_finishing_mm >= stock.blank.high:
        yield Mistake(
            ("stock", "leave_for_finishing"),
            f"more is left for finishing than the fullest blank has ({stock.blank.text})",
            "leave less, or allow more stock on the blank",
        )


def _semi_finish(stock: Stock) -> Iterator[Mistake]:
    """It stands between roughing and finishing: in what it leaves, and in its infeed."""
    semi = stock.semi_finish
    if semi is None:
        return
    if semi.leave_mm >= stock.leave_for_finishing_mm:
        yield Mistake(
            ("stock", "semi_finish", "leave"),
            "semi-finishing leaves no less than roughing does",
            "leave less than leave_for_finishing, which is for semi-finishing and finishing together",
        )
    if not stock.infeed.finish_mm <= semi.infeed_mm <= stock.infeed.rough_mm:
        yield Mistake(
            ("stock", "semi_finish", "infeed"),
            "the infeed of semi-finishing does not lie between those of roughing and finishing",
            "write one between infeed.finish and infeed.rough, on the diameter, a pass",
        )


_BESIDE_A_BORE = "rolls stand beside an external taper, and this one is internal", "write balls"
_IN_A_SHANK = "balls go into a bore, and this is an external taper", "write roll and raise"


def _inspection(part: PartRecord) -> Iterator[Mistake]:
    """Rolls measure what stands between them, balls what they lie in; discs give the angle of either."""
    given, length, outside = part.inspection, part.taper.length, part.taper.side == "external"
    for key, stated, (wrong, instead) in (
        ("roll", given.roll_mm is not None and not outside, _BESIDE_A_BORE),
        ("raise", given.raise_mm is not None and not outside, _BESIDE_A_BORE),
        ("balls", given.balls_mm is not None and outside, _IN_A_SHANK),
    ):
        if stated:
            yield Mistake(("inspection", key), wrong, f"leave it out, or {instead}", on_key=True)
    if outside and given.raise_mm is not None and length is not None and given.raise_mm > length.value / 2:
        yield Mistake(
            ("inspection", "raise"),
            f"the rolls are raised by more than half of the length {length.text}",
            "raise them by less, so that they are sure to touch the taper",
        )


def gauges_fit_part(
    part: PartRecord, gauge: GaugeRecord | None, light: GaugeRecord | None
) -> Iterator[Mistake]:
    """A ring reads external tapers, a plug internal ones; a light gauge only shows light."""
    wanted, finish = "ring" if part.taper.side == "external" else "plug", part.gauging.finish
    on_size = part.taper.gauge_line.tolerance or any(end.tolerance for end in part.taper.ends)
    if not (on_size or (finish and finish.stated) or (gauge and gauge.marks)):
        yield Mistake(
            ("gauging",),
            "nothing says how far the size may be off",
            "give gauge_line: {tolerance: ± 0.010 mm}, an end's diameter or the finish reading with ±, or a "
            "gauge with marks",
        )
    if gauge is not None and gauge.type == "mate" and finish is None:
        yield Mistake(
            ("gauging",),
            f"{gauge.id} is the mating part, not calibrated: only the drawing can say what it reads",
            "write 'finish: 3.0 mm ± 0.2 mm', the reading of a finished piece on it",
        )
    if gauge is not None and gauge.type not in (wanted, "mate"):
        yield Mistake(
            ("gauging", "gauge"),
            f"{gauge.id} is a {gauge.type} gauge, and an {part.taper.side} taper is read with a {wanted}",
            f"name a {wanted} gauge, or the mating part (type: mate)",
        )
    if gauge is not None and terms.reading(part.gauging.reading).to_collar and not gauge.face_from_line_mm:
        yield Mistake(
            ("gauging", "reading"),
            f"{part.gauging.reading} is read to the plug's collar; {gauge.id} does not say where that is",
            f"write 'face_from_line: 12 mm' in {gauge.id}, from its gauge line out, or read plug_standoff",
        )
    if light is not None and light.type != "light":
        yield Mistake(
            ("gauging", "light_gauge"),
            f"{light.id} is a {light.type} gauge and no light gauge",
            "name a gauge of type light",
        )


def machine_fits_part(part: PartRecord, machine: MachineRecord) -> Iterator[Mistake]:
    """A part asks for speeds that the machine has, and for a wheel head only where it swivels."""
    setup = part.setup
    for key, rpm, steps in (
        ("wheel_speed", setup.wheel_speed_rpm, machine.wheel_speeds),
        ("work_speed", setup.work_speed_rpm, machine.work_speeds),
    ):
        if rpm is not None and (
            rpm not in steps.steps if steps.steps else not steps.low <= rpm <= steps.high
        ):
            yield Mistake(("setup", key), f"{machine.id} does not run at {rpm:g} rpm", f"it has {steps.text}")
    if setup.set_by == "wheel head" and not machine.wheel_head.swivels:
        yield Mistake(
            ("setup", "set_by"), f"the wheel head of {machine.id} does not swivel", "set it by the table"
        )


def gauge_findings(gauge: GaugeRecord) -> Iterator[Mistake]:
    """What does not fit within a gauge."""
    if gauge.type == "mate":
        yield from _uncalibrated(gauge)
    elif gauge.gauge_line is None and gauge.type != "light":
        yield Mistake(
            (),
            f"a {gauge.type} gauge must give its gauge line",
            "write 'gauge_line: {diameter: 38.000 mm, uncertainty: 0.0015 mm}'",
        )
    if gauge.marks is not None:
        if gauge.type == "light":
            yield Mistake(
                ("marks",), "a light gauge shows light, and no size", "leave the marks out", on_key=True
            )
        elif gauge.marks.least.value >= gauge.marks.most.value:
            yield Mistake(
                ("marks", "most"),
                f"the mark at {gauge.marks.most.text} does not read more than the one at "
                f"{gauge.marks.least.text}",
                "put the greater reading at most; a reading the other way from the face is negative",
            )
    if gauge.face_from_line_mm is not None and gauge.type not in ("plug", "mate"):
        yield Mistake(
            ("face_from_line",), f"a {gauge.type} gauge has no collar that stays off a mouth", "leave it out"
        )
    if gauge.master == gauge.id:
        yield Mistake(("master",), "a gauge cannot prove itself", "name the master plug")


def _uncalibrated(mate: GaugeRecord) -> Iterator[Mistake]:
    """A mating part is what it is: nobody has calibrated it, and nothing proves it."""
    for key, given in (
        ("gauge_line", mate.gauge_line),
        ("taper_uncertainty", mate.taper_uncertainty),
        ("calibration_due", mate.calibration_due),
        ("master", mate.master),
    ):
        if given is not None:
            yield Mistake(
                (key,),
                "a mating part is not calibrated: only its bearing and a stated gap are known",
                "leave it out; if it has a certificate it is a gauge: write 'type: ring' or 'type: plug'",
                on_key=True,
            )


def machine_findings(machine: MachineRecord) -> Iterator[Mistake]:
    """What does not fit within a machine."""
    yield from _cross_feed(machine.cross_feed)
    if not machine.swivel.scales and machine.swivel.screw is None and machine.swivel.slips is None:
        yield Mistake(
            ("swivel",), "the swivel has nothing to set it by", "give a scale, a screw or a place for slips"
        )
    if machine.wheel_head.swivels and machine.wheel_head.limit_rad is None:
        yield Mistake(
            ("wheel_head",), "a wheel head that swivels must give its limit", "write 'limit: 30 deg'"
        )


def _cross_feed(feed: CrossFeed) -> Iterator[Mistake]:
    """A feed is counted in one way: by the handwheel's divisions, or by the steps of a readout."""
    if feed.readout is None and feed.division is None:
        yield Mistake(
            ("cross_feed",),
            "nothing says what the cross-feed is set by",
            "write 'division: 0.0025 mm' of its handwheel, or 'readout: 0.001 mm'",
        )
    if feed.readout is None:
        return
    for key, given in (("division", feed.division), ("divisions", feed.divisions)):
        if given is not None:
            yield Mistake(
                ("cross_feed", key),
                "the cross-feed has a readout, and by that alone the paper tells what to feed",
                "leave it out, or leave readout out where the hand is to count divisions",
                on_key=True,
            )


def wheel_findings(wheel: WheelRecord) -> Iterator[Mistake]:
    """What does not fit within a wheel."""
    if wheel.diameter.worn_mm >= wheel.diameter.new_mm:
        yield Mistake(("diameter", "worn"), "the worn wheel is not below the new one", "swap the two")
    if wheel.dresser.effective_width_mm >= wheel.width_mm:
        yield Mistake(
            ("dresser", "effective_width"), "the dresser is as wide as the wheel", "give its cutting width"
        )
