"""The floor of the bench in plain numbers: what the specs of specs/ describe, written down a second time.

The two are written apart on purpose: a unit, a sign or a plane misread between the words of a spec and
the card shows as pieces under size. Lengths in mm, angles in radians, size on the diameter.
"""

import math
from dataclasses import replace

from cardgen.rehearsal.contact import GaugeCone
from cardgen.rehearsal.floor import FloorJob, Proving
from cardgen.rehearsal.grinder import Grinder, Rod

INCH = 25.4
MORSE_3 = 0.60235 / 12  # ASME B5.10, in/ft; from memory
ANGLE_9_30 = 2 * math.tan(math.radians(4.75))
ANGLE_30 = 2 * math.tan(math.radians(15))
ANGLE_45 = 2 * math.tan(math.radians(22.5))
ANGLE_60 = 2 * math.tan(math.radians(30))
INSIDE_WHEEL, SEAT_WHEEL, WIDE_WHEEL = (14.0, 15.0, 300.0), (7.0, 24.0, 300.0), (380.0, 63.0, 20.0)

BG1 = Grinder(
    screw=Rod("tangent", 520),
    lead=1.5,
    screw_divisions=60,
    indicator=Rod("tangent", 450),
    slips=None,
    feed_per_division=0.00125,
)
BG2 = Grinder(
    screw=Rod("sine", 22 * INCH),
    lead=0.1 * INCH,
    screw_divisions=50,
    indicator=Rod("sine", 20 * INCH),
    slips=None,
    feed_per_division=0.00005 * INCH,
)
BG3 = Grinder(
    screw=Rod("chord", 480),
    lead=1.0,
    screw_divisions=100,
    indicator=Rod("chord", 450),
    slips=None,
    feed_per_division=0.001,
)
BG4 = Grinder(
    screw=Rod("tangent", 500),
    lead=1.25,
    screw_divisions=50,
    indicator=Rod("chord", 450),
    slips=None,
    feed_per_division=0.001,
    head_turns="below",
)
BG5 = Grinder(
    screw=Rod("sine", 350),
    lead=1.0,
    screw_divisions=50,
    indicator=Rod("sine", 300),
    slips=None,
    feed_per_division=0.001,
)
BG6 = Grinder(
    screw=None,
    lead=0.0,
    screw_divisions=0,
    indicator=Rod("sine", 400),
    slips=Rod("sine", 300),
    feed_per_division=0.0025,
)
BG7 = Grinder(
    screw=Rod("tangent", 600),
    lead=2.0,
    screw_divisions=100,
    indicator=Rod("chord", 500),
    slips=None,
    feed_per_division=0.001,
    head_turns="above",
)


def _outside_metric_and_morse() -> list[FloorJob]:
    return [
        FloorJob(
            part="SPINDLE", side=1, ratio=1 / 8, gauge_line=38.0, gauge_line_at=3.0, metal_off=0.010,
            metal_on=0.010, leave=0.08, angle=0.005, length=62.0, relief=3.0, reading="shoulder_gap",
            gauge=GaugeCone(37.997, 1 / 8, 50.0), gauge_doubt=0.0010, blank=(0.35, 0.50), tools=(0.5, 0.01),
            grinder=BG1, pivot=85.0, light_gauge=50.0, film=0.003, spread=0.04,
        ),
        FloorJob(
            part="SHANK", side=1, ratio=MORSE_3, gauge_line=0.938 * INCH, gauge_line_at=0.25 * INCH,
            metal_off=0.0004 * INCH, metal_on=0.0004 * INCH, leave=0.003 * INCH,
            angle=0.0005 * INCH, length=3.1875 * INCH, reading="small_end_standout",
            gauge=GaugeCone(0.93815 * INCH, MORSE_3, 2.5 * INCH),
            gauge_doubt=0.00004 * INCH, blank=(0.012 * INCH, 0.020 * INCH),
            tools=(INCH / 64, 0.001 * INCH), grinder=BG2, pivot=2.5 * INCH, film=0.003,
            spread=0.004 * INCH,
        ),
        FloorJob(
            part="IMPELLER", side=1, ratio=0.3, gauge_line=46.0, gauge_line_at=2.5, metal_off=0.012,
            metal_on=0.012, leave=0.08, angle=0.012, length=66.0, reading="shoulder_gap",
            gauge=GaugeCone(46.003, 0.3, 58.0), gauge_doubt=0.0010, blank=(0.40, 0.60), tools=(0.02, 0.01),
            grinder=BG1, pivot=-60.0, film=0.003, spread=0.02,
        ),
        FloorJob(
            part="PIN", side=1, ratio=1 / 50, gauge_line=20.0, gauge_line_at=5.0, metal_off=0.008,
            metal_on=0.008, leave=0.06, angle=0.014, length=100.0, relief=2.0, reading="small_end_standout",
            gauge=GaugeCone(19.996, 1 / 50, 70.0), gauge_doubt=0.0008, blank=(0.25, 0.35), tools=(0.5, 0.02),
            grinder=BG3, pivot=20.0, film=0.003, spread=0.10,
        ),
        FloorJob(
            part="ADAPTER", side=1, ratio=1 / 5, gauge_line=60.0, gauge_line_at=4.0, metal_off=0.012,
            metal_on=0.012, leave=0.08, angle=0.005, length=48.0, relief=4.0, reading="shoulder_gap",
            gauge=GaugeCone(60.004, 1 / 5, 40.0), gauge_doubt=0.0015, blank=(0.40, 0.60),
            tools=(0.05, 0.01),
            grinder=BG3, pivot=120.0, light_gauge=40.0, film=0.003, spread=0.03,
        ),
    ]  # fmt: skip


def _outside_steep_and_others() -> list[FloorJob]:
    return [
        FloorJob(
            part="VALVE", side=1, ratio=ANGLE_30, gauge_line=40.0, gauge_line_at=2.0, metal_off=0.020,
            metal_on=0.020, leave=0.12, angle=0.015, length=40.0, relief=2.0, reading="shoulder_gap",
            gauge=GaugeCone(40.006, ANGLE_30, 30.0), gauge_doubt=0.0015, blank=(0.60, 0.90),
            tools=(0.05, 0.01),
            grinder=BG4, pivot=40.0, film=0.003, spread=0.01, wheel=WIDE_WHEEL,
        ),
        FloorJob(
            part="POINT", side=1, ratio=ANGLE_60, gauge_line=36.0, gauge_line_at=1.0, metal_off=0.030,
            metal_on=0.030, leave=0.15, angle=0.020, length=24.0, reading="small_end_standout",
            gauge=GaugeCone(36.010, ANGLE_60, 18.0), gauge_doubt=0.0020, blank=(0.70, 1.00),
            tools=(0.02, 0.002),
            grinder=BG4, pivot=60.0, film=0.003, spread=0.01, wheel=WIDE_WHEEL,
        ),
        FloorJob(
            part="ARBOR", side=1, ratio=1 / 20, gauge_line=32.0, gauge_line_at=6.0, metal_off=0.010,
            metal_on=0.010, leave=0.08, angle=0.005, length=80.0, relief=4.0, reading="shoulder_gap",
            gauge=GaugeCone(31.998, 1 / 20, 60.0), gauge_doubt=0.0010, blank=(0.30, 0.45), tools=(0.5, 0.02),
            grinder=BG6, pivot=-110.0, light_gauge=60.0, film=0.003, spread=0.10,
        ),
        FloorJob(
            part="DRILL", side=1, ratio=0.6 / 12, gauge_line=1.0 * INCH, gauge_line_at=0.1875 * INCH,
            metal_off=0.0005 * INCH, metal_on=0.0005 * INCH, leave=0.003 * INCH,
            angle=0.0004 * INCH, length=2.75 * INCH, relief=0.09375 * INCH, reading="shoulder_gap",
            gauge=GaugeCone(1.00008 * INCH, 0.6 / 12, 2.25 * INCH), gauge_doubt=0.00004 * INCH,
            blank=(0.012 * INCH, 0.018 * INCH),
            tools=(INCH / 64, 0.001 * INCH), grinder=BG2, pivot=0.0, film=0.003,
            spread=0.004 * INCH,
        ),
        FloorJob(
            part="NOZZLE", side=1, ratio=ANGLE_45, gauge_line=50.0, gauge_line_at=3.0, metal_off=0.020,
            metal_on=0.020, leave=0.12, angle=0.015, length=36.0, relief=3.0, reading="shoulder_gap",
            gauge=GaugeCone(50.005, ANGLE_45, 28.0), gauge_doubt=0.0020, blank=(0.60, 0.90),
            tools=(0.05, 0.005),
            grinder=BG7, pivot=70.0, film=0.003, spread=0.01, wheel=WIDE_WHEEL,
        ),
        FloorJob(
            part="BEARING", side=1, ratio=1 / 12, gauge_line=50.0, gauge_line_at=5.0, metal_off=0.010,
            metal_on=0.010, leave=0.08, angle=0.010, length=56.0, relief=3.0, reading="shoulder_gap",
            gauge=GaugeCone(50.002, 1 / 12, 45.0), gauge_doubt=0.0010, blank=(0.30, 0.45),
            tools=(0.05, 0.01),
            grinder=BG6, pivot=30.0, film=0.003, spread=0.05,
        ),
        FloorJob(
            # The print's 42 mm +0.020 -0 is 42.010 mm +- 0.010: what is aimed at is the middle.
            part="HUB", side=1, ratio=ANGLE_9_30, gauge_line=42.010, gauge_line_at=2.0, metal_off=0.010,
            metal_on=0.010, leave=0.08, angle=0.010, length=52.0, reading="small_end_standout",
            gauge=GaugeCone(42.0, ANGLE_9_30, 44.0), gauge_doubt=0.0015, blank=(0.40, 0.60),
            tools=(0.05, 0.01),
            grinder=BG1, pivot=45.0, film=0.003, spread=0.03,
        ),
    ]  # fmt: skip


def _inside() -> list[FloorJob]:
    return [
        FloorJob(
            part="SOCKET", side=-1, ratio=MORSE_3, gauge_line=0.938 * INCH, gauge_line_at=0.0,
            metal_off=0.0004 * INCH, metal_on=0.0004 * INCH, leave=0.003 * INCH,
            angle=0.0005 * INCH, length=3.0 * INCH, reading="plug_standoff",
            gauge=GaugeCone(0.93780 * INCH, MORSE_3, 2.5 * INCH, behind=20.0), gauge_doubt=0.00004 * INCH,
            blank=(0.012 * INCH, 0.020 * INCH),
            tools=(INCH / 64, 0.001 * INCH), grinder=BG5, pivot=4.0 * INCH, film=0.003,
            spread=0.002 * INCH, wheel=INSIDE_WHEEL,
        ),
        FloorJob(
            part="COLLET", side=-1, ratio=1 / 10, gauge_line=30.0, gauge_line_at=0.0, metal_off=0.010,
            metal_on=0.010, leave=0.08, angle=0.012, length=55.0, reading="plug_depth", plane=20.0,
            gauge=GaugeCone(30.003, 1 / 10, 45.0, behind=20.0), gauge_doubt=0.0010, blank=(0.30, 0.45),
            tools=(0.1, 0.01), grinder=BG5, pivot=90.0, film=0.003, spread=0.03,
            wheel=INSIDE_WHEEL,
        ),
        FloorJob(
            part="SEAT", side=-1, ratio=ANGLE_60, gauge_line=30.0, gauge_line_at=0.0, metal_off=0.030,
            metal_on=0.030, leave=0.15, angle=0.020, length=17.0, reading="plug_standoff",
            gauge=GaugeCone(30.012, ANGLE_60, 15.0, behind=20.0), gauge_doubt=0.0020, blank=(0.70, 1.00),
            tools=(0.02, 0.002), grinder=BG4, pivot=-30.0, film=0.003, spread=0.01,
            wheel=SEAT_WHEEL,
        ),
        FloorJob(
            part="CUP", side=-1, ratio=1 / 3, gauge_line=45.0, gauge_line_at=2.0, metal_off=0.015,
            metal_on=0.015, leave=0.10, angle=0.015, length=48.0, reading="plug_depth", plane=0.0,
            gauge=GaugeCone(45.664, 1 / 3, 40.0, behind=20.0), gauge_doubt=0.0015, blank=(0.40, 0.60),
            tools=(0.05, 0.01), grinder=BG5, pivot=60.0, film=0.003, spread=0.01,
            wheel=INSIDE_WHEEL,
        ),
    ]  # fmt: skip


PROVING = Proving(
    sure=(("rolls", 0.001), ("balls", 0.001), ("sine bar", 0.0006)),
    bar_length=300.0,
    spindle_bar_length=150.0,
)
INCH_PARTS = ("SHANK", "DRILL", "SOCKET")


def _proving(job: FloorJob) -> Proving:
    """Rolls are raised by 30 mm, or by an inch, where that leaves them on the taper."""
    return replace(PROVING, rolls_apart=min(INCH if job.part in INCH_PARTS else 30.0, job.length / 2))


JOBS = {
    job.part: replace(job, proving=_proving(job))
    for job in (*_outside_metric_and_morse(), *_outside_steep_and_others(), *_inside())
}
