"""Whether a record's figures make sense together: each rule yields what it finds, and all are asked.

Only what can be told without trigonometry is asked here; that over-determined tapers agree is for
the card, which computes. The words are in sense.toml.
"""

from collections.abc import Iterator
from typing import Any

from cardgen import terms
from cardgen.spec.complaint import Mistake
from cardgen.spec.models import GaugeRecord, MachineRecord, PartRecord, WheelRecord
from cardgen.spec.models.part import PartTaper, Stock
from cardgen.spec.models.tooling import CrossFeed
from cardgen.spec.told import CaseWords, words


def _mistake(name: str, /, at: str = "", **case: Any) -> Mistake:
    """What sense.toml tells under this name; `at`: the key, where there are several."""
    told, in_words = words("cardgen.spec", "sense.toml")[name], CaseWords({})
    path = tuple(filter(None, (at or told.get("at", "")).split(".")))
    wrong, right = (in_words.format(told[side], **case) for side in ("wrong", "right"))
    return Mistake(path, wrong, right, on_key=bool(told.get("on_key")))


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
    large, small = taper.large_diameter, taper.small_diameter
    if taper.callout is None and (large is None or small is None or taper.length is None):
        yield _mistake("taper-not-fixed")
    elif taper.length is None:
        yield _mistake("length-missing")
    if taper.gauge_line.diameter is None and large is None and small is None:
        yield _mistake("no-diameter")
    if large and small and large.value <= small.value:
        yield _mistake("ends-swapped", large=large, small=small)


def _planes(taper: PartTaper) -> Iterator[Mistake]:
    """The gauge line's plane is told from the face that the side of the taper has, and lies on the taper."""
    line, length = taper.gauge_line, taper.length
    if line.from_shoulder is not None and taper.side == "internal":
        yield _mistake("no-shoulder")
    if line.from_end is not None and taper.side == "external":
        yield _mistake("no-mouth")
    told = {key: getattr(line, key) for key in ("from_shoulder", "from_end", "from_small_end")}
    planes = {key: plane for key, plane in told.items() if plane is not None}
    if len(planes) > 1:
        yield _mistake(
            "plane-told-twice", at=f"taper.gauge_line.{list(planes)[-1]}", keys=" and ".join(planes)
        )
    for key, plane in planes.items():
        if length is not None and plane.value > length.value:
            end = "small" if key == "from_small_end" else "large"
            yield _mistake(
                "plane-beyond-length", at=f"taper.gauge_line.{key}", plane=plane, length=length, end=end
            )
    if taper.relief_mm > 0 and taper.side == "internal":
        yield _mistake("relief-inside")
    if length is not None and taper.relief_mm >= length.value:
        yield _mistake("relief-too-long")


def _run_out(part: PartRecord) -> Iterator[Mistake]:
    """A clearance belongs to a shoulder without relief or a bottom; where nothing stands there is none."""
    taper, clearance = part.taper, part.setup.clearance
    if taper.open_both_ends and taper.relief_mm > 0:
        yield _mistake("relief-run-past")
    if clearance is None:
        return
    if taper.open_both_ends or taper.relief_mm > 0:
        yield _mistake("no-clearance-kept", open=taper.open_both_ends)
    elif taper.length is not None and clearance.value >= taper.length.value:
        yield _mistake("clearance-too-long")


def _reading(part: PartRecord) -> Iterator[Mistake]:
    """The reading is one of the side's, and something says how far it may be off."""
    gauging, side = part.gauging, part.taper.side
    facts = {kind: terms.reading(kind) for kind in terms.READING_KINDS}
    if facts[gauging.reading].side != side:
        others = " or ".join(kind for kind in facts if facts[kind].side == side)
        yield _mistake("reading-of-the-other-side", kind=gauging.reading, side=side, others=others)
    if gauging.reading == "shoulder_gap" and part.taper.open_both_ends:
        yield _mistake("gap-without-shoulder")
    finish = gauging.finish
    if finish and facts[gauging.reading].closes and finish.nominal - finish.minus <= 0:
        yield _mistake("gap-closes", finish=finish)
    if gauging.plane_mm > 0 and not facts[gauging.reading].from_plane:
        from_plane = " and ".join(kind for kind in facts if facts[kind].from_plane)
        yield _mistake("read-from-no-plane", from_plane=from_plane)


def _stock(part: PartRecord) -> Iterator[Mistake]:
    stock = part.stock
    if stock.blank.unknown and part.salvage is None:
        yield _mistake("stock-unknown")
    if stock.infeed.finish_mm > stock.infeed.rough_mm:
        yield _mistake("finish-infeed-above-rough")
    yield from _semi_finish(stock)
    if stock.blank.unknown:
        return
    if stock.infeed.rough_mm >= stock.blank.high:
        yield _mistake("infeed-above-stock", blank=stock.blank)
    if stock.leave_for_finishing_mm >= stock.blank.high:
        yield _mistake("left-above-stock", blank=stock.blank)


def _semi_finish(stock: Stock) -> Iterator[Mistake]:
    """It stands between roughing and finishing: in what it leaves, and in its infeed."""
    semi = stock.semi_finish
    if semi is None:
        return
    if semi.leave_mm >= stock.leave_for_finishing_mm:
        yield _mistake("semi-finish-leaves-as-much")
    if not stock.infeed.finish_mm <= semi.infeed_mm <= stock.infeed.rough_mm:
        yield _mistake("semi-finish-infeed")


def _inspection(part: PartRecord) -> Iterator[Mistake]:
    """Rolls measure what stands between them, balls what they lie in; discs give the angle of either."""
    given, length, outside = part.inspection, part.taper.length, part.taper.side == "external"
    for key, stated in (("roll", given.roll_mm), ("raise", given.raise_mm)):
        if stated is not None and not outside:
            yield _mistake("rolls-beside-a-bore", at=f"inspection.{key}")
    if given.balls_mm is not None and outside:
        yield _mistake("balls-in-a-shank")
    if outside and given.raise_mm is not None and length is not None and given.raise_mm > length.value / 2:
        yield _mistake("raised-too-far", length=length)


def gauges_fit_part(
    part: PartRecord, gauge: GaugeRecord | None, light: GaugeRecord | None
) -> Iterator[Mistake]:
    """A ring reads external tapers, a plug internal ones; a light gauge only shows light."""
    side, kind, finish = part.taper.side, part.gauging.reading, part.gauging.finish
    wanted = "ring" if side == "external" else "plug"
    on_size = part.taper.gauge_line.tolerance or any(end.tolerance for end in part.taper.ends)
    if not (on_size or (finish and finish.stated) or (gauge and gauge.marks)):
        yield _mistake("size-not-limited")
    if gauge is not None and gauge.type == "mate" and finish is None:
        yield _mistake("mate-not-read", gauge=gauge)
    if gauge is not None and gauge.type not in (wanted, "mate"):
        yield _mistake("gauge-of-the-other-side", gauge=gauge, side=side, wanted=wanted)
    if gauge is not None and terms.reading(kind).to_collar and not gauge.face_from_line_mm:
        yield _mistake("no-collar", kind=kind, gauge=gauge)
    if light is not None and light.type != "light":
        yield _mistake("no-light-gauge", light=light)


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
            yield _mistake("speed-not-had", at=f"setup.{key}", machine=machine, rpm=rpm, steps=steps)
    if setup.set_by == "wheel head" and not machine.wheel_head.swivels:
        yield _mistake("head-does-not-swivel", machine=machine)


def gauge_findings(gauge: GaugeRecord) -> Iterator[Mistake]:
    """What does not fit within a gauge; a mating part is what it is: nobody has calibrated or proves it."""
    if gauge.type == "mate":
        for key in ("gauge_line", "taper_uncertainty", "calibration_due", "master"):
            if getattr(gauge, key) is not None:
                yield _mistake("mate-calibrated", at=key)
    elif gauge.gauge_line is None and gauge.type != "light":
        yield _mistake("no-gauge-line", gauge=gauge)
    if gauge.marks is not None and gauge.type == "light":
        yield _mistake("marks-on-a-light-gauge")
    elif gauge.marks is not None and gauge.marks.least.value >= gauge.marks.most.value:
        yield _mistake("marks-swapped", marks=gauge.marks)
    if gauge.face_from_line_mm is not None and gauge.type not in ("plug", "mate"):
        yield _mistake("no-collar-to-read", gauge=gauge)
    if gauge.master == gauge.id:
        yield _mistake("own-master")


def machine_findings(machine: MachineRecord) -> Iterator[Mistake]:
    """What does not fit within a machine."""
    yield from _cross_feed(machine.cross_feed)
    if not machine.swivel.scales and machine.swivel.screw is None and machine.swivel.slips is None:
        yield _mistake("nothing-to-set-by")
    if machine.wheel_head.swivels and machine.wheel_head.limit_rad is None:
        yield _mistake("head-without-limit")


def _cross_feed(feed: CrossFeed) -> Iterator[Mistake]:
    """A feed is counted in one way: by the handwheel's divisions, or by the steps of a readout."""
    if feed.readout is None and feed.division is None:
        yield _mistake("nothing-to-feed-by")
    for key, given in (("division", feed.division), ("divisions", feed.divisions)):
        if feed.readout is not None and given is not None:
            yield _mistake("divisions-beside-readout", at=f"cross_feed.{key}")


def wheel_findings(wheel: WheelRecord) -> Iterator[Mistake]:
    """What does not fit within a wheel."""
    if wheel.diameter.worn_mm >= wheel.diameter.new_mm:
        yield _mistake("wheel-worn-above-new")
    if wheel.dresser.effective_width_mm >= wheel.width_mm:
        yield _mistake("dresser-as-wide")
