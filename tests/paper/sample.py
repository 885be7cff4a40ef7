"""Cards made by hand for the tests of paper: plausible, whole, and free of the package's own sums.

Three: a 1:8 spindle nose read as a shoulder gap in metric, a 1:3 roll neck read by its standout in
inches, and an internal 1:20 socket on a plug in both systems. The arithmetic here is the schoolbook's and
only as good as drawing needs.
"""

import math
from dataclasses import dataclass, replace

from cardgen.card import values as v
from cardgen.terms import ReadingKind, Side, Units

INCH = 25.4


@dataclass(frozen=True)
class Job:
    """What differs from sample to sample."""

    part: str
    name: str
    units: Units
    ratio: float
    callout: str
    kind: ReadingKind
    line: float  # gauge-line diameter
    large: float
    length: float
    gauge_length: float
    finish: float
    tolerance: float  # ± on the gauge-line diameter
    rough_tool: v.ReadingTool
    finish_tool: v.ReadingTool
    blank: tuple[float, float]
    rough: float
    division: float
    reads: str = "diameter"
    light: str | None = None
    plunge: bool = False


def tool(name: str, division: float, unit: str, text: str, denominator: int | None = None) -> v.ReadingTool:
    return v.ReadingTool(name, division, unit, denominator, text, 0.0)  # type: ignore[arg-type]


SPINDLE = Job(
    part="SN-204",
    name="Spindle nose",
    units="metric",
    ratio=1 / 8,
    callout="1:8",
    kind="shoulder_gap",
    line=38.0,
    large=38.375,
    length=62.0,
    gauge_length=50.0,
    finish=3.0,
    tolerance=0.010,
    rough_tool=tool("steel rule", 0.5, "mm", "0.5 mm"),
    finish_tool=tool("slip gauges", 0.01, "mm", "0.01 mm"),
    blank=(0.35, 0.50),
    rough=0.0625,
    division=0.0025,
)
NECK = Job(
    part="RN-6",
    name="Roll neck",
    units="inch",
    ratio=1 / 3,
    callout="1:3",
    kind="small_end_standout",
    line=2.25 * INCH,
    large=(2.25 + 0.375 / 3) * INCH,
    length=3.0 * INCH,
    gauge_length=2.25 * INCH,
    finish=0.375 * INCH,
    tolerance=0.001 * INCH,
    rough_tool=tool("rule", INCH / 32, "in", "1/32 in", 32),
    finish_tool=tool("depth micrometer", 0.001 * INCH, "in", "0.001 in"),
    blank=(0.036 * INCH, 0.050 * INCH),
    rough=0.0104 * INCH,
    division=0.0001 * INCH,
    light="L-RN6",
)
SOCKET = Job(
    part="HB-12",
    name="Hub bore",
    units="both",
    ratio=1 / 20,
    callout="1:20",
    kind="plug_standoff",
    line=30.1,
    large=30.0,
    length=40.0,
    gauge_length=48.0,
    finish=2.0,
    tolerance=0.012,
    rough_tool=tool("steel rule", 0.5, "mm", "0.5 mm"),
    finish_tool=tool("caliper", 0.02, "mm", "0.02 mm"),
    blank=(0.20, 0.30),
    rough=0.05,
    division=0.005,
    reads="radius",
    plunge=True,
)


def sample_card(job: Job) -> v.Card:
    """The whole card of a job."""
    half = math.atan(job.ratio / 2)
    kind_sign = 1 if job.kind in ("shoulder_gap", "plug_standoff") else -1
    per_mm = kind_sign * job.ratio
    side: Side = "external" if job.kind in ("shoulder_gap", "small_end_standout") else "internal"
    job = replace(
        job,
        rough_tool=replace(job.rough_tool, stock_per_division_mm=job.ratio * job.rough_tool.division_mm),
        finish_tool=replace(job.finish_tool, stock_per_division_mm=job.ratio * job.finish_tool.division_mm),
    )
    spread = job.tolerance / job.ratio
    reading = v.Reading(
        job.kind,
        per_mm,
        job.finish,
        job.finish - spread,
        job.finish + spread,
        -job.tolerance,
        job.tolerance,
        job.rough_tool,
        job.finish_tool,
        None,
    )
    maker = Maker(job, half, per_mm, side)
    return v.Card(
        title=v.Title(
            "Demo toolroom",
            job.part,
            job.name,
            "Grind taper between centres",
            30,
            "",
            (),
            "7-118",
            "4417",
            "B",
            f"{job.part}/B/7f3a91c2",
            1,
            job.units,
            "tool steel",
            "60 HRC",
            40,
            ("Grinder 2", "Toolroom binder"),
            ("Keep the centres clean and oiled.",),
        ),
        holding=v.Holding("carrier 40 mm", "dead", "", "4 % emulsion"),
        taper=maker.taper(),
        gauge=v.Gauge(
            "R-204" if side == "external" else "P-12",
            "ring" if side == "external" else "plug",
            job.line,
            job.gauge_length,
            {
                "shoulder_gap": job.finish,
                "small_end_standout": job.length - job.gauge_length - job.finish,
                "plug_standoff": -job.finish,
            }[job.kind],
            0.0015,
            "2027-03-31",
            job.light,
            "P-204" if job.light else None,
            "",
        ),
        reading=reading,
        stages=maker.stages(),
        rough_step=1,
        finish_step=maker.finish_step(),
        stock_table=maker.stock_table(),
        handwheel=v.Handwheel(
            job.reads,  # type: ignore[arg-type]
            job.division,
            maker.length_text(job.division),
            job.division / maker.shown * 2 / math.cos(half),
            None,
            None,
        ),
        swivel=maker.swivel(),
        contact_length_mm=job.gauge_length,
        correction=maker.correction(),
        blue_film_mm=0.005,
        blue=maker.blue(),
        light=maker.light() if job.light else (),
        proof=v.Proof(
            0.005,
            (v.MeansOfProof("blue", 0.010, False), v.MeansOfProof("rolls", 0.0014, True)),
            "rolls",
            0.0006,
        ),
        patterns=patterns(side),
        stroke=v.Stroke(
            job.length / math.cos(half),
            13.0,
            0.0,
            40.0,
            -3.0 if job.plunge else 35.1,
            job.plunge,
            False,
            None,
            None if job.plunge else 0.5,
            None if job.plunge else 13.0,
            1.0 if job.plunge else None,
        ),
        speeds=maker.speeds(),
        doubt=v.Doubt(
            0.0021,
            0.0021 / job.ratio,
            0.0042,
            0.011,
            {"reading": 0.0012, "gauge": 0.0015, "warmth": 0.0005},
        ),
        warmth=tuple(
            v.WarmthRow(dt, job.line * 11.5e-6 * dt, job.line * 11.5e-6 * dt / per_mm)
            for dt in (2.0, 5.0, 10.0)
        ),
        inspection=maker.inspection(),
        batch=maker.batch(spread, per_mm),
        out_by=v.OutBy(4.0, 3.0, 1.4, 0.5, 0.0008, 1.4),
        procedure=tuple(
            v.Move(*move, None, None, short, f"{short} div" if short else "", None, sees, "set", "nothing")
            for move, short, sees in (
                (("set the swivel", "set up", "test bar"), None, 0.0011),
                (("prove the angle", "prove", "rolls"), None, 0.0014),
                (("finish the first", "finish", "finish tool"), 12, None),
                (("finish each", "finish", "finish tool"), 4, None),
            )
        ),
        sources=(
            "Taper 1:8 as called out; angles by tan θ = C/2 (ISO 3040).",
            "Angle grade AT6: ISO 1947:1973, table.",
            "Work speed and traverse: common practice, no source.",
            "Blue film 0.005 mm: from memory, common practice.",
        ),
        checks=(
            v.Check(
                "warning",
                "rough-tool-coarse",
                *2
                * (
                    f"One division of the {job.rough_tool.name} is worth more than the size tolerance: "
                    "use it for roughing only.",
                ),
            ),
            v.Check(
                "note",
                "doubt",
                *2 * ("The allowance for finishing is more than two standard uncertainties.",),
            ),
        ),
        past_size="under size" if side == "external" else "over size",
    )


@dataclass(frozen=True)
class Maker:
    job: Job
    half: float
    per_mm: float
    side: Side

    @property
    def shown(self) -> float:
        return 2.0 if self.job.reads == "diameter" else 1.0

    @property
    def outward(self) -> int:
        return 1 if self.side == "external" else -1

    def length_text(self, mm: float) -> str:
        if self.job.units == "inch":
            return f"{mm / INCH:.4f}".removeprefix("0") + " in"
        return f"{mm:g} mm"

    def taper(self) -> v.Taper:
        job, deg = self.job, math.degrees(self.half)
        return v.Taper(
            job.callout,
            None,
            self.side,
            job.ratio,
            job.ratio * 12,
            job.ratio * 100,
            1 / job.ratio,
            2 * deg,
            deg,
            job.line,
            abs(job.large - job.line) / job.ratio,
            job.line - job.tolerance,
            job.line + job.tolerance,
            job.large,
            job.large - job.ratio * job.length,
            job.length,
            3.0 if self.side == "external" else 0.0,
            10.0,
            0.003,
            "AT6",
        )

    def infeed(self, stock: float) -> tuple[float, int, int]:
        travel = stock / 2 * math.cos(self.half)
        divisions = travel * self.shown / self.job.division
        return travel, math.floor(divisions + 1e-9), math.ceil(divisions - 1e-9)

    def reading_text(self, reading: float, t: v.ReadingTool) -> str:
        if t.denominator:
            parts = round(reading / INCH * t.denominator)
            whole, top = divmod(parts, t.denominator)
            g = math.gcd(top, t.denominator)
            fraction = f"{top // g}/{t.denominator // g}" if top else ""
            return " ".join(filter(None, (str(whole) if whole or not top else "", fraction, "in")))
        if t.unit == "in":
            return f"{reading / INCH:.3f}".removeprefix("0") + " in"
        return f"{reading:.{1 if t.division_mm >= 0.1 else 2}f} mm"

    def stages(self) -> tuple[v.Stage, ...]:
        job = self.job
        clean = 0.3 * job.blank[0]
        made = (
            ("blank low", job.blank[0], job.rough_tool),
            ("blank high", job.blank[1], job.rough_tool),
            ("clean-up", clean, job.rough_tool),
            ("rough", job.rough, job.rough_tool),
            ("finish low", -job.tolerance * self.outward, job.finish_tool),
            ("finish", 0.0, job.finish_tool),
            ("finish high", job.tolerance * self.outward, job.finish_tool),
        )
        return tuple(self.stage(name, stock, t) for name, stock, t in made)

    def stage(self, name: str, asked: float, t: v.ReadingTool) -> v.Stage:
        job = self.job
        up = (self.per_mm > 0) != (name in ("blank high", "finish high"))
        count = (job.finish + asked / self.per_mm) / t.division_mm
        reading = (math.ceil(count - 1e-7) if up else math.floor(count + 1e-7)) * t.division_mm
        stock = self.per_mm * (reading - job.finish)
        travel, divisions, position = self.infeed(stock)
        grown = stock * self.outward
        return v.Stage(
            name,  # type: ignore[arg-type]
            "rough" if t is job.rough_tool else "finish",
            reading,
            self.reading_text(reading, t),
            stock,
            job.line + grown,
            job.large - job.ratio * job.length + grown,
            max(0.0, travel),
            max(0, divisions),
            f"{max(0, divisions)} div",
            position,
            f"{position} div",
        )

    def batch(self, spread: float, per_mm: float) -> v.Batch:
        job, tool = self.job, self.job.finish_tool
        stages = {stage.name: stage for stage in self.stages()}
        low, high = sorted((stages["finish low"], stages["finish high"]), key=lambda stage: stage.reading_mm)
        move_at = stages["finish"].reading_mm + math.copysign(2 * tool.division_mm, per_mm)
        return v.Batch(
            40,
            low.reading_mm,
            high.reading_mm,
            low.reading_text,
            high.reading_text,
            None,
            "",
            job.finish + 1.0,
            job.finish + 1.5,
            "4.0 mm",
            "4.5 mm",
            3,
            5,
            (1, 2, 3, 8, 13, 18, 23, 28, 33, 38, 40),
            2 * tool.division_mm,
            self.reading_text(2 * tool.division_mm, tool),
            "up" if per_mm > 0 else "down",
            move_at,
            self.reading_text(move_at, tool),
            1,
            "1 div",
            12,
            0.10,
            0.10 * job.ratio,
            0.625,
        )

    def finish_step(self) -> int:
        return {True: 5}.get(self.job.finish_tool.division_mm < 0.015, 2)

    def stock_table(self) -> tuple[v.StockRow, ...]:
        job = self.job
        rows = []
        sign = 1 if self.per_mm > 0 else -1
        d = job.rough_tool.division_mm
        last = round((job.finish + job.rough / self.per_mm) / d)
        first = round((job.finish + job.blank[1] / self.per_mm) / d)
        for n in range(first, last - sign, -sign):
            rows.append(self.row(n * d, job.rough_tool, "rough"))
        d = job.finish_tool.division_mm * self.finish_step() * 2
        for n in range(8, -1, -1):
            rows.append(self.row(job.finish + sign * n * d, job.finish_tool, "finish"))
        return tuple(rows)

    def row(self, reading: float, t: v.ReadingTool, phase: str) -> v.StockRow:
        stock = self.per_mm * (reading - self.job.finish)
        travel, divisions, _ = self.infeed(stock)
        stage = "blank" if stock > self.job.blank[0] else "rough" if stock > self.job.rough else "finish"
        to_finish, to_rough = max(0, divisions), max(0, self.infeed(stock - self.job.rough)[1])
        return v.StockRow(
            reading,
            self.reading_text(reading, t),
            stock,
            max(0.0, travel),
            to_finish,
            f"{to_finish} div",
            to_rough,
            f"{to_rough} div",
            max(0, to_finish - 8) if phase == "finish" else 0,
            f"{max(0, to_finish - 8)} div",
            stage,
            stock < -self.job.tolerance - 1e-9,
            phase,  # type: ignore[arg-type]
            next(
                (
                    each.name
                    for each in self.stages()
                    if each.tool == phase and abs(each.reading_mm - reading) < 1e-7
                ),
                None,
            ),
        )

    def swivel(self) -> v.Swivel:
        deg = math.degrees(self.half)
        over = deg > 8
        step = 1 / 6
        mark = round(deg / step) * step
        per_foot = self.job.ratio * 12
        foot_mark = round(per_foot * 8) / 8
        return v.Swivel(
            "CG-2",
            "Universal grinder 2",
            "wheel head" if over else "table",
            deg,
            8.0,
            over,
            "tailstock end away from wheel",
            (v.Start("test bar", None, 0.0011, 0.002), v.Start("scale", "half_angle", 0.15, 0.3)),
            (
                v.ScaleSetting(
                    "half_angle",
                    "deg",
                    deg,
                    step,
                    "10′",
                    mark,
                    f"{int(mark)}°{round(mark % 1 * 60):02d}′",
                    (deg - mark) * 3600,
                    0.012,
                    1.5,
                    not over,
                ),
                v.ScaleSetting(
                    "taper_per_foot",
                    "in/ft",
                    per_foot,
                    0.125,
                    "1/8 in/ft",
                    foot_mark,
                    "1 1/2 in/ft",
                    0.0,
                    0.0,
                    0.0,
                    not over,
                ),
            ),
            tuple(v.TestBarRise(t, t * math.tan(self.half)) for t in (50.0, 100.0, 200.0)),
            v.TestBarRise(200.0, 200 * math.tan(self.half)),
            "sine",
            250.0,
            250 * math.sin(self.half),
            self.stack(250 * math.sin(self.half)),
            450.0,
            450 * math.tan(self.half),
            9.87,
            "clockwise",
            "more",
            v.WheelHead(deg, True, "anticlockwise") if over else None,
        )

    def stack(self, height: float) -> v.SlipStack:
        rest = round(height, 3)
        thousandths = 1 + round(rest % 0.01, 3)
        pieces = (thousandths, 1.1, round(rest - thousandths - 1.1, 2))
        return v.SlipStack(
            "metric 47",
            "mm",
            rest,
            pieces,
            tuple(f"{piece:g}" for piece in pieces),
            0.0004,
            "common practice, no source",
        )

    def sine_stack(self, height: float) -> v.SineStack:
        made = self.stack(height)
        return v.SineStack(
            made.set_name,
            made.unit,
            made.pieces_mm,
            made.pieces_text,
            (),
            (),
            made.height_mm,
            0.8,
            made.source,
        )

    def correction(self) -> tuple[v.CorrectionRow, ...]:
        rows = []
        base = 0.0001 * INCH if self.job.units == "inch" else 0.002
        for sign, turn in ((1, "more"), (-1, "less")):
            for n in (1, 2, 5, 10, 20):
                e = sign * n * base
                angle = e * math.cos(self.half) ** 2 / 2 / self.job.gauge_length
                end = "small" if sign * self.outward > 0 else "large"
                rows.append(
                    v.CorrectionRow(
                        e,
                        turn,  # type: ignore[arg-type]
                        end,  # type: ignore[arg-type]
                        angle * 206265,
                        angle * 206265 / 9.87,
                        450 * angle,
                        24 * angle,
                        2000 * angle,
                        -170 * angle,
                        -170 * angle,
                        -1360 * angle,
                        max(0.0, 170 * angle),
                        "4.0 mm",
                        0.6 * e,
                        "small" if sign > 0 else "large",
                    )
                )
        return tuple(rows)

    def blue(self) -> tuple[v.BlueRow, ...]:
        rows = []
        for q in (0.25, 0.5, 0.75, 1.0):
            e = 0.010 / q
            angle = e / 2 / self.job.gauge_length
            rows.append(v.BlueRow(q, e, angle * 206265, angle * 206265 / 9.87, 450 * angle))
        return tuple(rows)

    def light(self) -> tuple[v.LightRow, ...]:
        rows = []
        for gap in (0.001, 0.002, 0.003, 0.005):
            e = 2 * gap / math.cos(self.half)
            angle = e / 2 / self.job.gauge_length
            rows.append(v.LightRow(gap, e, angle * 206265, angle * 206265 / 9.87, 450 * angle))
        return tuple(rows)

    def speeds(self) -> v.Speeds:
        rough = v.Phase(
            "rough", 0.02, 8, "8 div", 140.0, 16.7, 13.3, 0.5, 2800.0, 16, 0, 95.0, 480.0, 2.4, 0.025
        )
        finish = v.Phase(
            "finish", 0.005, 2, "2 div", 140.0, 16.7, 13.3, 0.17, 950.0, 13, 3, 140.0, 240.0, 4.8, 0.013
        )
        return v.Speeds(
            "W-A60",
            "A60K5V",
            "",
            "single point diamond",
            400.0,
            1670.0,
            v.NewWorn(35.0, 28.0),
            35.0,
            (1910.0,),
            140.0,
            rough,
            finish,
            160.0,
            45.0,
            480.0,
            19200.0,
            1450.0,
            0.002,
            0.001,
        )

    def inspection(self) -> v.Inspection:
        sine = 100 * math.sin(2 * self.half)
        return v.Inspection(
            100.0,
            sine,
            self.sine_stack(sine),
            100 * math.sin(self.half),
            None,
            10.0,
            20.0,
            v.Measured(51.234, 51.224, 51.244),
            v.Measured(53.734, 53.724, 53.744),
            2.5,
            None,
            None,
            None,
            None,
            None,
        )


def patterns(side: Side) -> tuple[v.PatternShown, ...]:
    shallow, steep = ("small", "large") if side == "external" else ("large", "small")
    return (
        v.PatternShown(shallow, steep, "too shallow", "more", False),  # type: ignore[arg-type]
        v.PatternShown(steep, shallow, "too steep", "less", False),  # type: ignore[arg-type]
        v.PatternShown("both", "none", "right", "none", True),
    )


def samples() -> tuple[v.Card, ...]:
    """The three cards."""
    return tuple(sample_card(job) for job in (SPINDLE, NECK, SOCKET))
