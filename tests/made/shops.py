"""Whole shops made up at random: the text of their specs, and beside it what is true of each part.

The specs go the whole way from text; what is true of a part is kept in plain figures, reckoned here from the
same draw and from nothing of the package: millimetres, and the taper as change of diameter per length.

    shop = made_shop(Random("any seed"), 50)
    write(shop, folder)        # folder/specs/*.yaml, to be read as any shop is
    shop.parts["P-7"].ratio
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Literal, get_args

INCH = 25.4
Kind = Literal["shoulder_gap", "small_end_standout", "plug_standoff", "plug_depth", "collar_gap"]
KINDS: tuple[Kind, ...] = get_args(Kind)
COLLAR = 9.5  # mm from the line of a plug out to its collar

# As a spec writes it, and what it is worth: divisions in mm, tapers as a ratio.
ROUGH_TOOLS = {
    "steel rule 0.5 mm": 0.5,
    "steel rule 1 mm": 1.0,
    "rule 1/64 in": INCH / 64,
    "rule 1/32 in": INCH / 32,
    "caliper 0.02 mm": 0.02,
    "caliper 0.05 mm": 0.05,
    "scale 0.02 in": 0.02 * INCH,
}
FINISH_TOOLS = {
    "slip gauges 0.01 mm": 0.01,
    "slip gauges 0.005 mm": 0.005,
    "caliper 0.02 mm": 0.02,
    "vernier 0.05 mm": 0.05,
    "depth micrometer 0.001 in": 0.001 * INCH,
    "depth micrometer 0.0005 in": 0.0005 * INCH,
    "rule 1/64 in": INCH / 64,
    "rule 1/128 in": INCH / 128,
    "steel rule 0.5 mm": 0.5,
}
CALLOUTS = {
    "1:50": 1 / 50,
    "1:20": 1 / 20,
    "1:12": 1 / 12,
    "1:8": 1 / 8,
    "1:5": 1 / 5,
    "7:24": 7 / 24,
    "0.602 in/ft": 0.602 / 12,
    "3.5 in/ft": 3.5 / 12,
    "5 %": 0.05,
    "half angle 4 deg": 2 * math.tan(math.radians(4)),
    "included angle 14 deg 15 min": 2 * math.tan(math.radians(14.25 / 2)),
    "included angle 30 deg": 2 * math.tan(math.radians(15)),
    "included angle 60 deg": 2 * math.tan(math.radians(30)),
}
HANDWHEELS = {
    "0.0025 mm": 0.0025,
    "0.002 mm": 0.002,
    "0.001 mm": 0.001,
    "0.01 mm": 0.01,
    "0.0001 in": 0.0001 * INCH,
    "0.0005 in": 0.0005 * INCH,
}
TABLE_LIMIT = 10.0  # degrees of the half angle


@dataclass(frozen=True)
class Machine:
    """A grinder as it truly feeds."""

    id: str
    reads: Literal["diameter", "radius"]
    division: str
    slide_fed: Literal["above", "below"]

    @property
    def slide_per_division(self) -> float:
        """How far the cross-slide goes for one division, mm."""
        return HANDWHEELS[self.division] / (2 if self.reads == "diameter" else 1)


@dataclass(frozen=True)
class Part:
    """What is true of a part: lengths in mm, diameters and stock on the diameter."""

    id: str
    units: Literal["metric", "inch", "both"]
    kind: Kind
    callout: str
    line: float  # basic diameter at the gauge line
    line_from_face: float
    minus: float  # what the gauge-line diameter may be below and above
    plus: float
    length: float
    gauge_line: float  # the gauge's, as calibrated
    gauge_length: float
    plane: float
    rough_tool: str
    finish_tool: str
    blank: tuple[float, float]
    clean_up: float
    leave: float
    pieces: int | None
    spread: float | None
    check_every: int | None
    by_head: bool
    machine: Machine
    wheel: str

    @property
    def ratio(self) -> float:
        return CALLOUTS[self.callout]

    @property
    def external(self) -> bool:
        return self.kind in KINDS[:2]

    @property
    def aim(self) -> float:
        """The diameter aimed at: the middle of the limits of size."""
        return self.line + (self.plus - self.minus) / 2


@dataclass
class Shop:
    """A shop: the texts of its specs, and its parts as they truly are."""

    texts: dict[str, str] = field(default_factory=dict)
    parts: dict[str, Part] = field(default_factory=dict)


def write(shop: Shop, folder: Path) -> Path:
    """Lay the specs down in a folder; returns the folder."""
    (folder / "specs").mkdir(parents=True, exist_ok=True)
    for name, text in shop.texts.items():
        (folder / "specs" / name).write_text(text, "utf-8")
    return folder


def made_shop(rng: Random, count: int, change: Callable[[Part, Random], Part] | None = None) -> Shop:
    """A shop of so many parts; `change` may make of each part what a test is after."""
    machines = [
        Machine(f"M-{number}", reads, division, slide)
        for number, (reads, division, slide) in enumerate(
            (reads, division, slide)
            for reads in ("diameter", "radius")
            for division in HANDWHEELS
            for slide in ("above", "below")
        )
    ]
    shop = Shop()
    for number in range(count):
        part = _part(rng, f"P-{number}", rng.choice(machines))
        shop.parts[part.id] = change(part, rng) if change else part
    shop.texts["machines.yaml"] = "---\n".join(map(_machine_text, machines))
    shop.texts["wheels.yaml"] = WHEELS
    shop.texts["gauges.yaml"] = "---\n".join(map(_gauge_text, shop.parts.values()))
    shop.texts["parts.yaml"] = "---\n".join(map(_part_text, shop.parts.values()))
    return shop


def _part(rng: Random, part_id: str, machine: Machine) -> Part:
    kind = rng.choice(KINDS)
    callout = rng.choice(list(CALLOUTS))
    ratio, external = CALLOUTS[callout], kind in KINDS[:2]
    half_angle = math.degrees(math.atan(ratio / 2))
    line = round(rng.uniform(20, 90), 1)
    length = round(min(rng.uniform(0.5, 1.0) * line * 0.6 / ratio, 120.0) * rng.uniform(0.6, 1), 1)
    total = round(rng.choice((0.006, 0.01, 0.016, 0.02, 0.03, 0.05)) * rng.uniform(0.5, 1.5), 4)
    share = rng.choice((0.0, 0.0, 0.5, 0.5, 0.5, 1.0, rng.random()))
    minus = round(total * share, 4)
    plus = round(total - minus, 4)
    # Far enough from the face that the ring does not meet the shoulder within the tolerance.
    clear = 2 * total / ratio + 0.06 / ratio
    from_face = round(clear + rng.uniform(0.0, 0.1) * length, 2) if external else round(rng.uniform(0, 4), 2)
    gauge_length = round(length * rng.uniform(0.75, 1.05), 1)
    if kind == "small_end_standout" and rng.random() < 0.5:
        gauge_length = round(length - from_face + rng.uniform(-3, 3), 1)  # readings about nought
    leave = round(rng.uniform(0.03, 0.12) + total, 3)
    clean_up = round(rng.uniform(0.04, 0.15), 3)
    least = round(clean_up + leave + rng.uniform(0.02, 0.25), 3)
    return Part(
        id=part_id,
        units=rng.choice(("metric", "inch", "both")),
        kind=kind,
        callout=callout,
        line=line,
        line_from_face=from_face,
        minus=minus,
        plus=plus,
        length=length,
        gauge_line=round(line + rng.choice((0.0, rng.uniform(-0.006, 0.006))), 4),
        gauge_length=max(5.0, gauge_length),
        plane=rng.choice((0.0, 0.25, 4.0)) if kind == "plug_depth" else 0.0,
        rough_tool=rng.choice(list(ROUGH_TOOLS)),
        finish_tool=rng.choice(list(FINISH_TOOLS)),
        blank=(least, round(least + rng.uniform(0.01, 0.3), 3)),
        clean_up=clean_up,
        leave=leave,
        pieces=rng.choice((None, 1, 2, 17, 120)),
        spread=rng.choice((None, 0.0, round(rng.uniform(0, 0.1), 3))),
        check_every=rng.choice((None, None, 1, 7, 40)),
        by_head=half_angle > TABLE_LIMIT or rng.random() < 0.15,
        machine=machine,
        wheel="W-OUT" if external else "W-IN",
    )


def _length(value_mm: float, part: Part) -> str:
    """A length in the system that the part's print is in; an inch figure is exact enough to be read back."""
    if part.units == "inch":
        return f"{value_mm / INCH:.12f} in"
    return f"{value_mm:g} mm"


def _part_text(part: Part) -> str:
    def mm(value: float) -> str:
        return _length(value, part)

    face = "from_shoulder" if part.external else "from_end"
    batch = {
        "pieces": part.pieces,
        "centre_depth_spread": None if part.spread is None else mm(part.spread),
        "check_every": part.check_every,
    }
    plane = f"  plane: {mm(part.plane)}\n" if part.plane else ""
    return f"""\
kind: part
id: {part.id}
name: Made-up taper
revision: A
units: {part.units}
taper:
  callout: {part.callout}
  side: {"external" if part.external else "internal"}
  gauge_line:
    diameter: {mm(part.line)}
    tolerance: {_tolerance(part)}
    {face}: {mm(part.line_from_face)}
  length: {mm(part.length)}
gauging:
  gauge: G-{part.id}
  reading: {part.kind}
{plane}  read_with: {{rough: {part.rough_tool}, finish: {part.finish_tool}}}
stock:
  blank: {" .. ".join(mm(stock).split()[0] for stock in part.blank)} {mm(1).split()[1]}
  clean_up: {mm(part.clean_up)}
  leave_for_finishing: {mm(part.leave)}
  infeed: {{rough: 0.02 mm, finish: 0.005 mm}}
  spark_out_passes: 1
material: {{name: tool steel, group: hardened tool steel}}
batch: {{{", ".join(f"{key}: {value}" for key, value in batch.items() if value is not None)}}}
machine: {part.machine.id}
wheel: {part.wheel}
setup: {{gauge_line_from_pivot: 80 mm{", set_by: wheel head" if part.by_head else ""}}}
"""


def _tolerance(part: Part) -> str:
    unit = "in" if part.units == "inch" else "mm"
    minus, plus = (_length(each, part).split()[0] for each in (part.minus, part.plus))
    return f"± {plus} {unit}" if minus == plus else f"+{plus} -{minus} {unit}"


def _gauge_text(part: Part) -> str:
    return f"""\
kind: gauge
id: G-{part.id}
type: {"ring" if part.external else "plug"}
taper: {{callout: {part.callout}}}
gauge_line: {{diameter: {_length(part.gauge_line, part)}, uncertainty: 0.0008 mm}}
length: {_length(part.gauge_length, part)}
calibration_due: 2031-03-31
{f"face_from_line: {_length(COLLAR, part)}" if part.kind == "collar_gap" else ""}
"""


def _machine_text(machine: Machine) -> str:
    return f"""\
kind: machine
id: {machine.id}
name: Grinder {machine.id}
swivel:
  limit: {TABLE_LIMIT:g} deg
  scales:
    - {{shows: half_angle, division: 10 arcmin}}
  screw: {{radius: 520 mm, lead: 1.5 mm, divisions: 60, type: tangent}}
cross_feed: {{reads: {machine.reads}, division: {machine.division}}}
work_speeds: 40 .. 400 rpm
traverse: 50 .. 4000 mm/min
wheel_speeds: 900 .. 30000 rpm
wheel_head: {{swivels: true, limit: 45 deg, slide_fed: {machine.slide_fed}}}
"""


WHEELS = """\
kind: wheel
id: W-OUT
marking: A60K5V
diameter: {new: 400 mm, worn: 320 mm}
width: 150 mm
maximum_operating_speed: 35 m/s
dresser: {type: single point diamond, effective_width: 0.7 mm}
g_ratio: 20
---
kind: wheel
id: W-IN
marking: A80J7V
diameter: {new: 6 mm, worn: 5 mm}
width: 150 mm
maximum_operating_speed: 35 m/s
dresser: {type: single point diamond, effective_width: 0.5 mm}
"""
