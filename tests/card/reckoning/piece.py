"""One made part with its gauge, its machine, its wheel and its shop: the taper, the gauge, the reading."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any

import mpmath
from mpmath import mpf

from tests.booklet import library
from tests.booklet.reckoner import ARCSEC, INCH, exact, fixed, inches
from tests.card.reckoning import raw
from tests.card.reckoning.raw import Tree, quantity

DEFAULTS = {"blue_film": "0.005 mm", "table_rows": "40", "temperature_difference": "1 K"}
NOISE = mpf("1e-7")  # of a division: nearer to a whole one than this is on it
Formula = Callable[["Piece"], Any]


@dataclass(frozen=True)
class Piece:
    """Everything is worked out from the text of the records when it is asked for."""

    id: str

    # ---- records

    @cached_property
    def part(self) -> Tree:
        return raw.records()["part", self.id]

    @cached_property
    def gauge(self) -> Tree:
        return raw.records()["gauge", self.part["gauging"]["gauge"]]

    @cached_property
    def machine(self) -> Tree:
        return raw.records()["machine", self.part["machine"]]

    @cached_property
    def wheel(self) -> Tree:
        return raw.records()["wheel", self.part["wheel"]]

    @cached_property
    def shop(self) -> Tree:
        bar = {"sine_bar": "5 in" if self.inch else "100 mm"}
        return {**DEFAULTS, **bar, **raw.records()["shop", "made"], **self.part.get("shop", {})}

    @property
    def inch(self) -> bool:
        """Whether round figures are round in inches."""
        return self.part["units"] == "inch"

    # ---- the taper (theory 1)

    @property
    def outside(self) -> bool:
        return self.part["taper"]["side"] == "external"

    @cached_property
    def ratio(self) -> mpf:
        taper = self.part["taper"]
        if "callout" in taper:
            return raw.slope_of(taper["callout"])
        return (quantity(taper["large_diameter"]) - quantity(taper["small_diameter"])) / self.length

    @cached_property
    def half_angle(self) -> mpf:
        return mpmath.atan(self.ratio / 2)

    @cached_property
    def length(self) -> mpf:
        return quantity(self.part["taper"]["length"])

    @cached_property
    def relief(self) -> mpf:
        return quantity(self.part["taper"].get("relief", "0 mm"))

    @cached_property
    def line(self) -> tuple[mpf, mpf]:
        """The basic diameter and its plane from the face.

        By an end that is given; else the plane is that of the gauge's own line at the finish reading given.
        """
        taper = self.part["taper"]
        given = taper.get("gauge_line", {})
        if "large_diameter" in taper:
            face = quantity(taper["large_diameter"])
        elif "small_diameter" in taper:
            small, tolerated = raw.with_allowances(taper["small_diameter"])
            face = small + self.ratio * self.length
            if tolerated and "diameter" not in given:
                return small, self.length
        else:
            face = None
        if "diameter" not in given:
            assert face is not None
            return face, mpf(0)
        if "from_small_end" in given:
            return quantity(given["diameter"]), self.length - quantity(given["from_small_end"])
        plane = given.get("from_shoulder", given.get("from_end"))
        if plane is not None:
            return quantity(given["diameter"]), quantity(plane)
        if face is not None:
            return quantity(given["diameter"]), (face - quantity(given["diameter"])) / self.ratio
        reading, _ = raw.with_allowances(self.part["gauging"]["finish"])
        return quantity(given["diameter"]), self.gauge_line_at(reading)

    @cached_property
    def size(self) -> tuple[mpf, mpf]:
        """Limits of the gauge-line diameter below and above basic: the tighter where two are given."""
        found = []
        on_size = self.part["taper"].get("gauge_line", {}).get("tolerance")
        if on_size is not None:
            found.append(raw.allowances(on_size))
        _, on_end = raw.with_allowances(self.part["taper"].get("small_diameter", "0 mm"))
        found += [on_end] if on_end is not None else []
        if "finish" in self.part["gauging"]:
            reading, off = raw.with_allowances(self.part["gauging"]["finish"])
            if off is not None:
                lower, higher = (self.diameter_of(reading + d) for d in (-off[0], off[1]))
                middle = self.diameter_of(reading)
                found.append((middle - min(lower, higher), max(lower, higher) - middle))
        if "marks" in self.gauge:
            at = sorted(self.diameter_of(mark) - self.basic_at(mpf(0)) for mark in self.marks.values())
            found.append((-at[0], at[1]))
        return min(minus for minus, _ in found), min(plus for _, plus in found)

    @property
    def marks(self) -> dict[str, mpf]:
        """Readings at the gauge's marks."""
        return {name: quantity(mark) for name, mark in self.gauge.get("marks", {}).items()}

    @cached_property
    def aim(self) -> mpf:
        """Finish size aimed at, the middle of the limits, above the basic size."""
        return (self.size[1] - self.size[0]) / 2

    @cached_property
    def half_zone(self) -> mpf:
        return (self.size[1] + self.size[0]) / 2

    def basic_at(self, from_face: mpf) -> mpf:
        """Basic diameter in a plane counted from the face towards the small end."""
        diameter, plane = self.line
        return diameter + self.ratio * (plane - from_face)

    def finish_at(self, from_face: mpf) -> mpf:
        """The same of a piece at the size aimed at."""
        return self.basic_at(from_face) + self.aim

    # ---- the angle's tolerance

    @cached_property
    def grade(self) -> mpf | None:
        """Width of the zone of the included angle by the grade of ISO 1947 that the part names, rad."""
        named = self.part["taper"].get("angle_tolerance", "")
        if not named.startswith("AT"):
            return None
        data = library.read(library.DATA / "angle_grades.yaml")
        (row,) = [r for r in data["rows"] if exact(r["over_mm"]) < self.length <= exact(r["to_mm"])]
        return exact(row["at_alpha_urad"][data["grades"].index(named)]) / 10**6

    @cached_property
    def angle_limits(self) -> tuple[mpf, mpf] | None:
        """How far the half angle may lie below and above: half of what the included angle may."""
        text = self.part["taper"].get("angle_tolerance")
        if text is None:
            return None
        if self.grade is not None:
            return self.grade / 2 / 2, self.grade / 2 / 2
        size, over, length = text.partition(" over ")
        words = size.removesuffix(" half angle")
        less, more = raw.allowances(words.replace(" / ", " "))
        if over or "/ft" in size:
            along = mpf(1) if not over else self.length if length == "the length" else quantity(length)
            steepest = mpmath.atan(self.ratio / 2 + more / along / 2) - self.half_angle
            shallowest = mpmath.atan(self.ratio / 2 - less / along / 2) - self.half_angle
            return (steepest if text.startswith("±") else -shallowest), steepest
        share = 1 if words != size else 2
        return less / share, more / share

    @cached_property
    def angle_off(self) -> mpf | None:
        """How far the half angle may lie off the middle of its limits."""
        return None if self.angle_limits is None else mpmath.fsum(self.angle_limits) / 2

    @cached_property
    def aimed(self) -> mpf:
        """The half angle in the middle of its limits."""
        less, more = self.angle_limits or (mpf(0), mpf(0))
        return self.half_angle + (more - less) / 2

    @property
    def aimed_ratio(self) -> mpf:
        return 2 * mpmath.tan(self.aimed)

    def aimed_at(self, from_face: mpf) -> mpf:
        """Basic size at the gauge line, the taper aimed at, in a plane from the face."""
        diameter, plane = self.line
        return diameter + self.aimed_ratio * (plane - from_face)

    def on_diameter(self, half_angle_change: mpf) -> mpf:
        """What a steeper half angle than the one aimed at does to the difference of the end diameters."""
        return 2 * self.length * (mpmath.tan(self.aimed + half_angle_change) - mpmath.tan(self.aimed))

    # ---- the gauge and the reading (theory 2)

    @property
    def kind(self) -> str:
        return self.part["gauging"]["reading"]

    @cached_property
    def gauge_diameter(self) -> mpf:
        if "gauge_line" not in self.gauge:  # the mating part: what the work has there
            reading, _ = raw.with_allowances(self.part["gauging"]["finish"])
            return self.line[0] - self.ratio * (self.gauge_line_at(reading) - self.line[1])
        return quantity(self.gauge["gauge_line"]["diameter"])

    @cached_property
    def gauge_length(self) -> mpf:
        return quantity(self.gauge["length"])

    @cached_property
    def per_reading(self) -> mpf:
        """Gaps and standoffs shrink while metal comes off, standouts and depths grow."""
        return self.ratio * (1 if self.kind in ("shoulder_gap", "plug_standoff", "collar_gap") else -1)

    def gauge_line_at(self, reading: mpf) -> mpf:
        """Where the gauge's own line lies, from the face towards the small end, while this is read."""
        match self.kind:
            case "shoulder_gap":
                return reading
            case "small_end_standout":  # small end, then the ring's small face, then its large face
                return self.length - reading - self.gauge_length
            case "plug_standoff":
                return -reading
            case "collar_gap":  # mouth, then the plug's line that much nearer to it than its collar
                return quantity(self.gauge["face_from_line"]) - reading
        return quantity(self.part["gauging"].get("plane", "0 mm")) + reading - self.gauge_length

    def diameter_of(self, reading: mpf) -> mpf:
        """In the plane of the face, of a piece with this reading: the gauge's own diameter, carried there."""
        return self.gauge_diameter + self.ratio * self.gauge_line_at(reading)

    def reading_of(self, above_basic: mpf) -> mpf:
        """What is read on a piece so far above its basic size: the gauge lies by so much of its taper off."""
        line_at = self.finish_line_at + (above_basic - self.aim) / self.ratio
        at_nought, at_one = self.gauge_line_at(mpf(0)), self.gauge_line_at(mpf(1))
        return (line_at - at_nought) / (at_one - at_nought)

    @cached_property
    def finish_line_at(self) -> mpf:
        """Where the gauge's own line lies on a piece as aimed at: it bears where one of the two ends."""

        def bearing(plane: mpf) -> mpf:
            return plane + (self.aimed_at(plane) + self.aim - self.gauge_diameter) / self.ratio

        def end_of_gauge(along: mpf) -> mpf:  # that end has its own diameter, wherever it comes to lie
            own = self.gauge_diameter - self.ratio * along
            return self.line[1] + (self.line[0] + self.aim - own) / self.aimed_ratio - along

        if self.aimed == self.half_angle:
            return bearing(mpf(0))
        by_small_end = (bearing(self.length), end_of_gauge(self.gauge_length))
        if self.aimed_ratio < self.ratio:
            return min(by_small_end) if self.outside else bearing(self.relief)
        return min(bearing(self.relief), end_of_gauge(mpf(0))) if self.outside else max(by_small_end)

    @cached_property
    def finish_reading(self) -> mpf:
        return self.reading_of(self.aim)

    def tool(self, which: str) -> mpf:
        """One division of the tool for roughing or for finishing."""
        return raw.division_of(self.part["gauging"]["read_with"][which])

    # ---- the infeed (theory 3)

    @property
    def by_head(self) -> bool:
        """The wheel head is swivelled: where the part says so, or the table does not reach the angle."""
        wanted = self.part["setup"].get("set_by")
        head = self.machine.get("wheel_head", {"swivels": "false"})
        beyond = self.aimed > quantity(self.machine["swivel"]["limit"])
        return wanted == "wheel head" or (wanted is None and beyond and head["swivels"] == "true")

    @cached_property
    def feed_angle(self) -> mpf:
        """Between the slide that is fed and the square to the ground surface."""
        below = self.by_head and self.machine["wheel_head"].get("slide_fed", "below") == "below"
        return self.half_angle if below else mpf(0)

    @property
    def counted_in(self) -> str:
        """A division of the handwheel, or a step of the readout."""
        feed = self.machine["cross_feed"]
        return feed.get("readout") or feed["division"]

    def fed(self, count: int) -> str:
        """So many divisions as the hand counts them: turn by turn, or as the readout shows them."""
        feed, sign = self.machine["cross_feed"], "−" if count < 0 else ""
        if "readout" in feed:
            step, unit = feed["readout"].split()
            write = fixed if unit == "mm" else inches
            return f"{write(count * exact(step), len(step.partition('.')[2]))} {unit}"
        turns, rest = 0, abs(count)
        while "divisions" in feed and rest >= int(feed["divisions"]):
            turns, rest = turns + 1, rest - int(feed["divisions"])
        if not turns:
            return f"{sign}{rest} div"
        over = f" + {rest} div" if rest else ""
        return f"{sign}{turns} {'turn' if turns == 1 else 'turns'}{over}"

    @cached_property
    def others(self) -> list[Tree]:
        """The other operations on its piece, in the order of their numbers."""
        parts = [record for (kind, _), record in raw.records().items() if kind == "part"]
        same = [each for each in parts if self.part.get("piece", "") == each.get("piece", self.id)]
        return sorted(
            (each for each in same if each["id"] != self.id), key=lambda each: int(each["operation_number"])
        )

    @cached_property
    def division_travel(self) -> mpf:
        """How far one division of the handwheel moves the slide."""
        feed = self.machine["cross_feed"]
        return quantity(self.counted_in) / (2 if feed["reads"] == "diameter" else 1)

    def travel_for(self, stock: mpf) -> mpf:
        """Travel of the slide that takes this stock off the diameter."""
        return stock / 2 * mpmath.cos(self.half_angle) / mpmath.cos(self.feed_angle)

    @cached_property
    def division_stock(self) -> mpf:
        """Stock on the diameter that one division takes off."""
        return self.division_travel / self.travel_for(mpf(1))

    # ---- what roughing leaves (theory 6)

    @cached_property
    def rough_reading(self) -> mpf:
        """The reading to rough to: the tool's next division on the side that leaves stock on."""
        asked = quantity(self.part["stock"]["leave_for_finishing"])
        count = (self.finish_reading + asked / self.per_reading) / self.tool("rough")
        whole = mpmath.ceil(count - NOISE) if self.per_reading > 0 else mpmath.floor(count + NOISE)
        return whole * self.tool("rough")

    @cached_property
    def rough_stock(self) -> mpf:
        """What roughing really leaves."""
        return self.per_reading * (self.rough_reading - self.finish_reading)


def round_figures(piece: Piece, both: tuple[str, str]) -> list[mpf]:
    """Those of the part's units, in mm."""
    return [exact(each) * (INCH if piece.inch else 1) for each in both[piece.inch].split()]


def rows(table: str, of: Callable[[Piece], list[Any]], **columns: Callable[[Any], Any]) -> dict[str, Formula]:
    """The columns of a table, each worked out row by row; what a column has worked out serves the next."""
    once = cache(of)
    return {
        f"{table}[*].{name}": lambda piece, cell=cell: [cell(row) for row in once(piece)]
        for name, cell in columns.items()
    }


def blank(piece: Piece) -> tuple[mpf, mpf]:
    """Least and most; where unknown, what cleaning up, finishing and two marks of the rule need."""
    stock, marks = piece.part["stock"], 2 * piece.ratio * piece.tool("rough")
    if stock["blank"] != "unknown":
        return raw.span(stock["blank"])
    least = quantity(stock["clean_up"]) + quantity(stock["leave_for_finishing"]) + marks
    return least, least + max(quantity(piece.part["salvage"]["at_most"]), marks)


def _count(text: str | None) -> int | None:
    return None if text is None else int(text)


def _pieces(piece: Piece) -> int | None:
    return _count(piece.part.get("batch", {}).get("pieces"))


def _angle_off_arcsec(piece: Piece) -> mpf | None:
    return None if piece.angle_off is None else piece.angle_off * ARCSEC


def _collar(piece: Piece) -> mpf | None:
    return quantity(piece.gauge["face_from_line"]) if "face_from_line" in piece.gauge else None


def _certified(piece: Piece) -> mpf | None:
    line = piece.gauge.get("gauge_line")
    return None if line is None else quantity(line["uncertainty"])


def _within_size(piece: Piece) -> bool | None:
    """Whether the sizes at both marks lie in the limits that the drawing gives."""
    if not piece.marks:
        return None
    minus, plus = raw.allowances(piece.part["taper"]["gauge_line"]["tolerance"])
    off = [piece.diameter_of(mark) - piece.basic_at(mpf(0)) for mark in piece.marks.values()]
    return min(off) >= -minus - mpf("1e-9") and max(off) <= plus + mpf("1e-9")


def _denominator(which: str) -> Formula:
    """64 for a rule in 64ths."""

    def found(piece: Piece) -> int | None:
        division = piece.part["gauging"]["read_with"][which].split()[-2]
        return int(division.split("/")[1]) if "/" in division else None

    return found


FORMULAS: dict[str, Formula] = {
    "title.pieces": _pieces,
    "title.issue": lambda p: 1,  # of a card that never hung otherwise
    "title.operation_number": lambda p: _count(p.part.get("operation_number")),
    "title.other_operations[*].operation_number": lambda p: [
        _count(other["operation_number"]) for other in p.others
    ],
    "taper.ratio": lambda p: p.ratio,
    "taper.per_foot_in": lambda p: 12 * p.ratio,
    "taper.per_cent": lambda p: 100 * p.ratio,
    "taper.ratio_1_to": lambda p: 1 / p.ratio,
    "taper.included_angle_deg": lambda p: 2 * mpmath.degrees(p.half_angle),
    "taper.half_angle_deg": lambda p: mpmath.degrees(p.half_angle),
    "taper.gauge_line_diameter_mm": lambda p: p.line[0],
    "taper.gauge_line_from_face_mm": lambda p: p.line[1],
    "taper.gauge_line_low_mm": lambda p: p.line[0] - p.size[0],
    "taper.gauge_line_high_mm": lambda p: p.line[0] + p.size[1],
    "taper.large_diameter_mm": lambda p: p.basic_at(mpf(0)),
    "taper.small_diameter_mm": lambda p: p.basic_at(p.length),
    "taper.length_mm": lambda p: p.length,
    "taper.relief_mm": lambda p: p.relief,
    "taper.angle_tolerance_arcsec": _angle_off_arcsec,
    "taper.angle_aim_arcsec": lambda p: (p.aimed - p.half_angle) * ARCSEC,
    "taper.angle_aim_mm": lambda p: (p.aimed_ratio - p.ratio) * p.length,
    "taper.angle_tolerance_mm": lambda p: None if p.angle_off is None else p.on_diameter(p.angle_off),
    "gauge.gauge_line_diameter_mm": lambda p: p.gauge_diameter,
    "gauge.length_mm": lambda p: p.gauge_length,
    "gauge.stands_from_face_mm": lambda p: p.gauge_line_at(p.finish_reading),
    "gauge.face_from_line_mm": _collar,
    "gauge.uncertainty_mm": _certified,
    "reading.marks.least_mm": lambda p: p.marks.get("least"),
    "reading.marks.most_mm": lambda p: p.marks.get("most"),
    "reading.per_mm": lambda p: p.per_reading,
    "reading.finish_mm": lambda p: p.finish_reading,
    "reading.rough_tool.division_mm": lambda p: p.tool("rough"),
    "reading.rough_tool.denominator": _denominator("rough"),
    "reading.rough_tool.stock_per_division_mm": lambda p: p.tool("rough") * p.ratio,
    "reading.finish_tool.division_mm": lambda p: p.tool("finish"),
    "reading.finish_tool.denominator": _denominator("finish"),
    "reading.finish_tool.stock_per_division_mm": lambda p: p.tool("finish") * p.ratio,
    "handwheel.division_mm": lambda p: quantity(p.counted_in),
    "handwheel.turn_divisions": lambda p: _count(p.machine["cross_feed"].get("divisions")),
    "handwheel.stock_per_division_mm": lambda p: p.division_stock,
}


def _word(*keys: str) -> Formula:
    """What the part itself says."""

    def found(piece: Piece) -> str:
        held = piece.part
        for key in keys[:-1]:
            held = held[key]
        return str(held[keys[-1]])

    return found


def _tool_unit(which: str) -> Formula:
    return lambda piece: piece.part["gauging"]["read_with"][which].split()[-1]


CHOICES: dict[str, Formula] = {
    "title.units": _word("units"),
    "taper.side": _word("taper", "side"),
    "gauge.type": lambda p: p.gauge["type"],
    "reading.marks.within_size": _within_size,
    "reading.kind": _word("gauging", "reading"),
    "reading.rough_tool.unit": _tool_unit("rough"),
    "reading.finish_tool.unit": _tool_unit("finish"),
    "handwheel.reads": lambda p: p.machine["cross_feed"]["reads"],
    "handwheel.readout": lambda p: p.counted_in.split()[-1] if "readout" in p.machine["cross_feed"] else None,
}

TEXTS: dict[str, Formula] = {  # as they stand in the records; nothing where they are left out
    "title.shop": lambda p: p.shop["name"],
    **{
        f"title.{key}": lambda p, key=key: p.part.get(key, "")
        for key in ("name", "operation", "piece", "drawing", "order", "revision")
    },
    "title.other_operations[*].part": lambda p: [other["id"] for other in p.others],
    "title.other_operations[*].operation": lambda p: [other.get("operation", "") for other in p.others],
    **{
        f"holding.{key}": lambda p, key=key: p.part.get("holding", {}).get(key, "")
        for key in ("driver", "centres", "steady", "coolant")
    },
    "handwheel.division_text": lambda p: p.counted_in,
    "title.part": lambda p: p.part["id"],
    "title.material": lambda p: p.part["material"]["name"],
    "title.hardness": lambda p: p.part["material"].get("hardness", ""),
    "gauge.id": lambda p: p.gauge["id"],
    "gauge.name": lambda p: p.gauge.get("name", ""),
    "swivel.machine": lambda p: p.machine["id"],
    "swivel.machine_name": lambda p: p.machine["name"],
    "speeds.wheel": lambda p: p.wheel["id"],
    "speeds.wheel_name": lambda p: p.wheel.get("name", ""),
    "speeds.wheel_marking": lambda p: p.wheel["marking"],
}
