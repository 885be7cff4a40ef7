"""A small shop as text, to be changed a line at a time by the tests."""

from datetime import date
from pathlib import Path

from cardgen.card.gather import Gathered
from cardgen.shop.folder import Shop

TODAY = date(2026, 6, 1)

# The sketch of the spec format that the project was given, word for word but for the tolerance of the
# reading, which there disagrees with the size tolerance (± 0.2 mm at 1:8 is ± 0.025 mm, not ± 0.010 mm).
PART = """\
kind: part
id: SN-204
name: Spindle nose
revision: B
units: metric
taper:
  callout: 1:8
  side: external
  gauge_line: {diameter: 38.000 mm, tolerance: ± 0.010 mm}
  length: 62 mm
  angle_tolerance: AT6
  relief: 3 mm
gauging:
  gauge: R-204
  reading: shoulder_gap
  finish: 3.0 mm ± 0.08 mm
  read_with: {rough: steel rule 0.5 mm, finish: slip gauges 0.01 mm}
stock:
  blank: 0.35 .. 0.50 mm
  clean_up: 0.10 mm
  leave_for_finishing: 0.08 mm
  infeed: {rough: 0.02 mm, finish: 0.005 mm}
  spark_out_passes: 3
material: {name: tool steel, hardness: 60 HRC, group: hardened steel}
batch: {pieces: 40, centre_depth_spread: 0.10 mm}
machine: CG-2
wheel: W-A60
setup:
  gauge_line_from_pivot: 85 mm
posted_at: [Grinder 2, Toolroom binder]
notes: []
"""
REST = """\
kind: gauge
id: R-204
type: ring
taper: {callout: 1:8}
gauge_line: {diameter: 38.000 mm, uncertainty: 0.0015 mm}
length: 50 mm
calibration_due: 2027-03-31
---
kind: machine
id: CG-2
name: Universal grinder 2
swivel:
  limit: 10 deg
  scales:
    - {shows: half_angle, division: 10 arcmin}
    - {shows: taper_per_foot, division: 1/8 in/ft}
  screw: {radius: 520 mm, lead: 1.5 mm, divisions: 60, type: tangent}
  indicator_radius: 450 mm
cross_feed: {reads: diameter, division: 0.0025 mm}
work_speeds: [60, 90, 140, 210] rpm
traverse: 50 .. 4000 mm/min
wheel_speeds: [1670, 1910] rpm
wheel_head: {swivels: true, limit: 30 deg}
---
kind: wheel
id: W-A60
marking: A60K5V
diameter: {new: 400 mm, worn: 320 mm}
width: 40 mm
maximum_operating_speed: 35 m/s
dresser: {type: single point diamond, effective_width: 0.7 mm}
g_ratio: 20
"""

Change = tuple[str, str]


def changed(text: str, changes: tuple[Change, ...]) -> str:
    """The text with each `(old, new)` put in; an old that is not there is a mistake of the test."""
    for old, new in changes:
        assert old in text, f"{old!r} is not in the spec"
        text = text.replace(old, new, 1)
    return text


def shop(folder: Path, *changes: Change) -> Shop:
    """The shop with these changes, part and other records alike."""
    specs = folder / "specs"
    specs.mkdir(exist_ok=True)
    whole = changed(f"{PART}---\n{REST}", changes)
    part, _, rest = whole.partition("---\n")
    (specs / "part.yaml").write_text(part, "utf-8")
    (specs / "rest.yaml").write_text(rest, "utf-8")
    return Shop.read(folder, TODAY)


def gathered(folder: Path, *changes: Change) -> Gathered:
    """The card of the part with these changes; the specs themselves must be sound."""
    read = shop(folder, *changes)
    assert not read.complaints, [str(complaint) for complaint in read.complaints]
    return read.card("SN-204")


def codes(found: Gathered) -> dict[str, str]:
    """The checks of a card: code → level."""
    return {check.code: check.level for check in found.card.checks}
