"""Every cell of every table, read back from the PDF, against the same worked out anew at 50 digits.

One test a chapter and a system of units; each table has its formula in `FORMULAS`, by its title, and a title
that has none is a failure: nothing is printed that is not worked out here.
"""

import math
import re
from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction
from functools import cache, partial
from itertools import pairwise

import mpmath
import pytest
from mpmath import mpf

from tests.booklet import library
from tests.booklet.conftest import Made
from tests.booklet.library import Rate, named
from tests.booklet.reading_back import Table, plain
from tests.booklet.reckoner import (
    ARCSEC,
    INCH,
    MM,
    angle_of_swing,
    degrees,
    dms,
    exact,
    fixed,
    inches,
    length,
    mixed,
    nearest_sum,
    over_rolls,
    short,
    sums_of,
    swing,
)

Rows = Iterable[list[str]]
Formula = Callable[..., Rows]
NEAR = {"mm": mpf("0.005"), "in": mpf("0.0005")}
SETS = {"mm": ("88 metric", Fraction(1, 2000)), "in": ("81 inch", Fraction(1, 20000))}
BAR = {"mm": mpf(100), "in": 5 * INCH}
ALIKE = mpf("0.1") / ARCSEC  # cones nearer than this have one line
BARS = "Sine bar and slip gauges"
SELDOM = {  # hardly ever set on a grinder
    *("ISO 1119 special", "Luer", "Anaesthetic cone", "Ground joint"),
    *("Tool shank 1:10", "Gas cylinder thread", "Rotary connection"),
}
FORMS = ("half", "half_degrees", "included", "included_degrees")
ANGLES = [Fraction(n, 2) for n in range(1, 41)] + [*range(21, 31), *range(35, 91, 5), 120]
PER_FOOT = [Fraction(n, 32) for n in range(1, 33)] + [1 + Fraction(n, 16) for n in range(1, 17)]
PER_FOOT += [2 + Fraction(n, 8) for n in range(1, 17)] + [4 + Fraction(n, 4) for n in range(1, 17)]

SIXTY_FOURTHS = [Fraction(n, 64) for n in (1, 2, 3, 4, 5, 6, 8, 10, 12, 16)]
MILLIMETRES, PARTS_OF_AN_INCH = (
    [[Fraction(n, parts) for n in range(1, 11)] for parts in of] for of in ((1, 10), (100, 1000))
)


@cache
def cone(label: str) -> Rate:
    """The cone of a row: that of the first of its names, or a round ratio."""
    first = label.split(" · ")[0].removesuffix(" …")
    return Rate("ratio", first) if re.fullmatch(r"1:\d+", first) else named(first).rate


def heads(table: Table, pattern: str = r"\S+") -> list[str]:
    """What stands over the columns, as far as it looks like this."""
    return [plain(head) for head in table.heads if re.fullmatch(pattern, plain(head))]


def lengths_over(table: Table, system: str) -> list[mpf]:
    """The lengths that stand over columns, in mm."""
    return [exact(text.split()[0]) * MM[system] for text in heads(table, rf"\d*\.?\d+ {system}")]


def numbers_over(table: Table) -> list[Fraction]:
    """The plain figures that stand over columns."""
    return [Fraction(text) for text in heads(table, r"\d*\.?\d+(/\d+)?")]


def grid(table: Table, columns: list, figure: Callable[[str, object], str], fixed_cells: int = 1) -> Rows:
    """Each row's first cells as they are, then what follows from the first for each column."""
    assert columns
    return [[*row[:fixed_cells], *(figure(row[0], each) for each in columns)] for row in table.rows]


def with_angle(table: Table, *figures: Callable[[Rate], str]) -> Rows:
    """Cones with their half angle and what follows from it."""
    return [
        [row[0], dms(cone(row[0]).half_angle), *(figure(cone(row[0])) for figure in figures)]
        for row in table.rows
    ]


# ---- conversions, numbers


def forms(half_angle: mpf, *keys: str) -> list[str]:
    ratio = 2 * mpmath.tan(half_angle)
    found = {
        "per_foot": inches(12 * ratio, 5),
        "one_in": fixed(1 / ratio, 4),
        "per_cent": fixed(100 * ratio, 5),
        "half": dms(half_angle),
        "half_degrees": degrees(half_angle, 5),
        "included": dms(2 * half_angle),
        "included_degrees": degrees(2 * half_angle, 5),
    }
    return [found[key] for key in keys]


def from_per_foot(table: Table, _: Made) -> Rows:
    """Thirty-seconds to an inch, sixteenths to two, eighths to four, quarters to eight."""
    for each in PER_FOOT:
        yield [mixed(each), *forms(mpmath.atan(exact(each) / 24), "per_foot", "one_in", "per_cent", *FORMS)]


def from_ratio(table: Table, _: Made) -> Rows:
    ones = [int(row[0].removeprefix("1:")) for row in table.rows]
    assert ones == sorted(set(ones), reverse=True)
    assert {*range(3, 21), 24, 30, 48, 50, 100} <= set(ones)
    for x in ones:
        yield [f"1:{x}", *forms(mpmath.atan(1 / mpf(2 * x)), "per_cent", "per_foot", *FORMS)]


def from_per_cent(table: Table, _: Made) -> Rows:
    """Ones to ten, fives to fifty."""
    for p in [*range(1, 11), *range(15, 51, 5)]:
        yield [fixed(exact(p), 1), *forms(mpmath.atan(exact(p) / 200), "one_in", "per_foot", *FORMS)]


def from_angle(table: Table, _: Made) -> Rows:
    """Included angles by half degrees, degrees and fives."""
    for step in ANGLES:
        half_angle = exact(step) * mpmath.pi / 360
        keys = ("included", "included_degrees", "half", "half_degrees", "one_in", "per_cent", "per_foot")
        yield forms(half_angle, *keys)


def over_a_length(table: Table, _: Made) -> Rows:
    """in/ft × length / 12."""
    per_foot = [sum(map(Fraction, head.split())) for head in heads(table, r"[\d/. ]+")]
    assert len(per_foot) == 12
    assert [row[0] for row in table.rows[::13]] == ["1/32", "13/16", "11", "24"]
    return grid(table, per_foot, lambda long, each: inches(exact(each) / 12 * exact(long), 5))


def sixty_fourths(table: Table, _: Made) -> Rows:
    for n in range(1, 65):
        part = Fraction(n, 64)
        yield [mixed(part), inches(exact(part), 6), fixed(exact(part) * INCH, 4)]


def minutes(table: Table, _: Made) -> Rows:
    for n in range(1, 61):
        yield [str(n), fixed(mpf(n) / 60, 5), fixed(mpf(n) / 3600, 5)]


# ---- standard tapers


def printed(text: str, unit: str, system: str) -> str:
    """As the source prints it, or worked out in the other system."""
    if unit != system and text.startswith("about "):
        figure = text.removeprefix("about ")
        digits = len(figure.replace(".", ""))
        wanted = exact(figure) * MM[unit] / MM[system]
        decimals = next(n for n in range(9) if len(fixed(wanted, n).replace(".", "").lstrip("0")) >= digits)
        return length(exact(figure) * MM[unit], system, decimals, decimals)
    text = text.removeprefix("about ")
    if unit != system:
        return length(exact(text) * MM[unit], system, 3, 4)
    return text[1:] if system == "in" and text.startswith("0.") else text


def standard(table: Table, booklet: Made) -> Rows:
    """Every size of a series: as printed by its source, and in the other unit."""
    (series,) = (each for each in library.all_series() if each.name == table.title)
    told = booklet.read.words[table.section, table.title]
    if series.one_taper:
        rate = series.sizes[0].rate
        assert (
            f"All sizes: {rate.callout}, that is 1 : {fixed(1 / rate.ratio, 4)}, "
            f"{inches(12 * rate.ratio, 5)} in/ft, half angle {dms(rate.half_angle)} "
            f"({degrees(rate.half_angle, 5)}°)."
        ) in told
    rates = {size.rate.callout: size.rate for size in series.sizes}
    for rate in rates.values() if series.tapers_below else ():
        assert (
            f"{rate.callout} is 1 : {fixed(1 / rate.ratio, 4)}, {inches(12 * rate.ratio, 5)} in/ft, "
            f"half angle {dms(rate.half_angle)} ({degrees(rate.half_angle, 5)}°)."
        ) in told
    keys = ("large", "small", "length", "projection", "tang", "flange")
    shown = [key for key in keys if any(key in size.lengths for size in series.sizes)]
    for size in series.sizes:
        row = [size.size or size.name]
        if not series.one_taper:
            row += [] if series.all_per_foot and not series.tapers_below else [size.rate.callout]
            row += [] if series.tapers_below else forms(size.rate.half_angle, "per_foot", "one_in", "half")
        for key in shown:
            row += [printed(size.lengths[key], series.unit, system) if key in size.lengths else ""
                    for system in booklet.systems]  # fmt: skip
        yield row


# ---- reading → stock


def general(table: Table, _: Made) -> Rows:
    for row in table.rows:
        ratio = cone(row[0]).ratio
        yield [row[0], fixed(1 / ratio, 4), *(fixed(n * ratio, 5) for n in range(1, 10))]


def by_sixty_fourths(table: Table, _: Made) -> Rows:
    parts = numbers_over(table)
    assert parts[0] == Fraction(1, 64)
    return grid(table, parts, lambda name, part: inches(cone(name).ratio * exact(part), 5))


def stock_of(table: Table, booklet: Made) -> Rows:
    """Ten readings on every scale: millimetres and their tenths; sixty-fourths, hundredths, thousandths."""
    rates = [named(name).rate for name in table.title.split(" · ")]
    ratio = rates[0].ratio
    assert all(abs(each.half_angle - rates[0].half_angle) <= ALIKE for each in rates)
    facts = (
        f"1 : {fixed(1 / ratio, 4)} · {inches(12 * ratio, 5)} in/ft · half angle {dms(rates[0].half_angle)}"
    )
    assert booklet.read.words[table.section, table.title].startswith(facts)
    for number in range(10):
        row = []
        for system, scales, writing in (
            ("mm", MILLIMETRES, lambda each: fixed(exact(each), 1)),
            ("in", (SIXTY_FOURTHS,), mixed),
            ("in", PARTS_OF_AN_INCH, lambda each: inches(exact(each), 3)),
        ):
            for scale in scales if system in booklet.systems else ():
                reading = exact(scale[number]) * MM[system]
                stock = (length(ratio * reading, each, 4, 5) for each in booklet.systems)
                row += [writing(scale[number]), *stock]
        yield row


def worth(system: str, table: Table, _: Made) -> Rows:
    ratios = [Fraction(*map(Fraction, head.split(":"))) for head in heads(table, r"\d+:\d+")]
    assert len(ratios) == 10
    unit = lambda text: exact(text.split()[0]) * MM[system]  # noqa: E731
    return grid(table, ratios, lambda division, ratio: length(exact(ratio) * unit(division), system, 5, 6))


# ---- machines


def machine_of(table: Table) -> dict:
    return library.records("machine")[table.title.split()[0].rstrip(":")]


def swivel_limit(machine: dict) -> mpf:
    return library.quantity(machine["swivel"]["limit"])


def scale_of(scale: dict[str, str], half_angle: mpf, limit: mpf) -> list[str]:
    """What a scale must show, the nearest mark in reach, what is left over as angle and on the diameter."""
    ratio, shows = 2 * mpmath.tan(half_angle), scale["shows"]
    if shows in ("half_angle", "included_angle"):
        share = 2 if shows == "included_angle" else 1
        division = library.quantity(scale["division"])
        nearest = mpmath.floor(half_angle * share / division + mpf("0.5"))
        count = min(nearest, mpmath.floor(limit * share / division + mpf("1e-12")))
        at_mark, text = count * division / share, dms(half_angle * share)
        whole = int(mpmath.nint(count * division * 10800 / mpmath.pi))
        mark = f"{whole // 60}°{whole % 60:02d}′"
    else:
        number, unit = scale["division"].rsplit(" ", 1)
        per, digits = {"in/ft": (12, 5), "%": (100, 4), "mm/m": (1000, 3)}[unit]
        nearest = mpmath.floor(ratio * per / exact(number) + mpf("0.5") + mpf("1e-30"))
        count = int(min(nearest, mpmath.floor(2 * mpmath.tan(limit) * per / exact(number) + mpf("1e-12"))))
        value = count * Fraction(number)
        at_mark = mpmath.atan(exact(value) / per / 2)
        text = (inches if unit == "in/ft" else fixed)(per * ratio, digits)
        mark = mixed(value) if "/" in number else short(exact(value), 6)
    left = half_angle - at_mark
    on_diameter = 1000 * (ratio - 2 * mpmath.tan(at_mark))
    return [text, mark, fixed(left * ARCSEC, 1, sign=True), fixed(on_diameter, 3, sign=True)]


def scales(table: Table, _: Made) -> Rows:
    machine = machine_of(table)
    limit = swivel_limit(machine)
    for row in table.rows:
        half_angle = cone(row[0]).half_angle
        assert half_angle <= limit + mpf("1e-12")
        cells = [scale_of(scale, half_angle, limit) for scale in machine["swivel"]["scales"]]
        yield [row[0], dms(half_angle), *(cell for scale in cells for cell in scale)]


def wheel_head(table: Table, _: Made) -> Rows:
    machine = machine_of(table)
    low, high = swivel_limit(machine), library.quantity(machine["wheel_head"]["limit"]) + mpf("1e-12")
    assert machine["wheel_head"]["swivels"]
    assert all(low < cone(row[0]).half_angle <= high for row in table.rows)
    return with_angle(table, lambda rate: degrees(rate.half_angle, 5))


REACHED = {system: sums_of(list(library.slip_pieces(name)), unit) for system, (name, unit) in SETS.items()}


def stack_checked(text: str, wanted: mpf, system: str) -> str:
    """A stack as read, proved: pieces of the set, none twice, nearest to the height; or rightly a dash."""
    name, unit = SETS[system]
    best = nearest_sum(REACHED[system], wanted / MM[system], unit)
    if text == "–":
        assert abs(exact(best) - wanted / MM[system]) > NEAR[system]
        return text
    used = [Fraction(piece) for piece in text.split(" + ")]
    assert set(used) <= set(library.slip_pieces(name))
    assert len(set(used)) == len(used)
    assert sum(used) == best, f"{text} is {sum(used)}, nearest to {wanted} is {best}"
    return text


def turns(swung: mpf, screw: dict) -> str:
    divisions = swung / library.quantity(screw["lead"]) * screw["divisions"]
    whole, rest = divmod(int(fixed(divisions, 1).replace(".", "")), 10 * screw["divisions"])
    return f"{whole} + {rest // 10}.{rest % 10}"


def division_turns(screw: dict, half_angle: mpf) -> mpf:
    """What one division more turns the table by."""
    radius, advance = library.quantity(screw["radius"]), library.quantity(screw["lead"]) / screw["divisions"]
    height = swing(screw["type"], radius, half_angle) + advance
    return angle_of_swing(screw["type"], radius, height) - half_angle


def factor(screw: dict, half_angle: mpf) -> mpf:
    """cos²θ, and what a division turns straight over what it turns here."""
    by_type = {"sine": mpmath.cos(half_angle), "chord": mpmath.cos(half_angle / 2)}
    return mpmath.cos(half_angle) ** 2 * by_type[screw["type"]]


def ways(table: Table, booklet: Made) -> Rows:
    """From straight to each taper: slips and their stack, indicator, turns of the screw, one division."""
    record = machine_of(table)["swivel"]
    slips, screw = record.get("slips"), record["screw"]
    for row in table.rows:
        half_angle, cells = cone(row[0]).half_angle, [row[0]]
        if slips:
            height = swing(slips["type"], library.quantity(slips["radius"]), half_angle)
            cells += [length(height, system, 4, 5) for system in booklet.systems]
            cells.append(stack_checked(row[len(cells)], height, booklet.systems[0]))
        kind = record.get("indicator_type", screw["type"])
        travel = swing(kind, library.quantity(record["indicator_radius"]), half_angle)
        cells += [length(travel, system, 3, 4) for system in booklet.systems]
        cells.append(turns(swing(screw["type"], library.quantity(screw["radius"]), half_angle), screw))
        cells.append(fixed(division_turns(screw, half_angle) * ARCSEC, 2))
        yield cells + ([fixed(factor(screw, half_angle), 4)] if screw["type"] != "tangent" else [])


def settings(table: Table, booklet: Made) -> Rows:
    """One scale, then indicator and screw."""
    for by_scale, by_others in zip(scales(table, booklet), ways(table, booklet), strict=True):
        yield [*by_scale, *by_others[1:]]


def screw_divisions(table: Table, booklet: Made) -> Rows:
    """e / 2ℓ over what a division turns the straight table by, p / nR; in each system beside the other."""
    screw = machine_of(table)["swivel"]["screw"]
    a_division = library.quantity(screw["lead"]) / screw["divisions"] / library.quantity(screw["radius"])
    for row in table.rows:
        cells: list[str] = []
        for system in booklet.systems:
            over, error = lengths_over(table, system), row[len(cells)]
            assert len(over) == 6
            off = exact(error) * MM[system] / 2 / a_division
            cells += [error, *(fixed(off / long, 2) for long in over)]
        yield cells


# ---- test bar, correction


def rise_along_a_bar(table: Table, booklet: Made) -> Rows:
    travels = [(each, system) for system in booklet.systems for each in lengths_over(table, system)]
    assert len(travels) == 5 * len(booklet.systems)
    rise = lambda far: lambda rate: length(far[0] * mpmath.tan(rate.half_angle), far[1], 4, 5)  # noqa: E731
    return with_angle(table, *map(rise, travels))


def turn(system: str, table: Table, _: Made) -> Rows:
    """At a taper of next to nothing."""
    over = lengths_over(table, system)
    assert len(over) == 11
    return grid(table, over, lambda e, long: fixed(mpmath.atan(exact(e) * MM[system] / long / 2) * ARCSEC, 1))


def factors(table: Table, _: Made) -> Rows:
    return with_angle(
        table,
        lambda rate: fixed(mpmath.cos(rate.half_angle) ** 2, 5),
        lambda rate: fixed(2 / mpmath.cos(rate.half_angle), 5),
    )


def blue(system: str, table: Table, _: Made) -> Rows:
    """2 × film / part marked."""
    marked = [*numbers_over(table), Fraction(1)]
    assert len(marked) == 10
    return grid(table, marked, lambda f, part: length(2 * exact(f) * MM[system] / exact(part), system, 4, 5))


# ---- sine bar, rolls


def rolls_checked(one: str, other: str, bar: mpf, angle: mpf, system: str) -> mpf:
    """The angle a bar stands at: on one stack if that is within 1″, else on two if they are nearer."""
    name, unit = SETS[system]
    pieces, wanted = library.slip_pieces(name), bar * mpmath.sin(angle) / MM[system]

    def stands_at(height: Fraction) -> mpf:
        return mpmath.asin(exact(height) * MM[system] / bar)

    sides = [[Fraction(piece) for piece in text.split(" + ") if piece != "–"] for text in (one, other)]
    used = [*sides[0], *sides[1]]
    assert set(used) <= set(pieces)
    assert len(set(used)) == len(used), f"{one} and {other} share a piece"
    made, single = sum(sides[0]) - sum(sides[1]), nearest_sum(REACHED[system], wanted, unit)
    if abs(angle - stands_at(single)) * ARCSEC <= 1 or not sides[1]:
        assert (made, sides[1]) == (single, [])
    if abs(angle - stands_at(single)) * ARCSEC > 1:
        step = Fraction(1, 2000) if Fraction("1.0005") in pieces else Fraction(1, 10000)
        assert abs(exact(made) - wanted) <= exact(step) / 2, f"{one} less {other} for {wanted}"
    return stands_at(made)


def sine(system: str, table: Table, _: Made) -> Rows:
    """Height, stacks and what they leave over, lying and between centres; dashes where too steep to lie."""
    for row in table.rows:
        cells = [row[0]]
        for angle, stacks in ((2 * cone(row[0]).half_angle, row[2:4]), (cone(row[0]).half_angle, row[6:8])):
            if angle >= mpf("1.5"):
                cells += ["–"] * 4
                continue
            made = rolls_checked(*stacks, BAR[system], angle, system)
            left = fixed((angle - made) * ARCSEC, 2, sign=True)
            cells += [length(BAR[system] * mpmath.sin(angle), system, 5, 6), *stacks, left]
        yield cells


def sine_minutes(system: str, table: Table, _: Made) -> Rows:
    """B sin α for each minute; for ten seconds the share of what twelve minutes add."""
    height = lambda minute: BAR[system] * mpmath.sin(minute * mpmath.pi / 10800)  # noqa: E731
    for start in range(0, 1800, 12):
        cells = [length(height(start + minute), system, 4, 5) for minute in range(12)]
        more = (height(start + 12) - height(start)) / 72
        yield [f"{start // 60}°{start % 60:02d}′", *cells, length(more, system, 5, 6)]


def roll_factors(table: Table, _: Made) -> Rows:
    return with_angle(
        table,
        lambda rate: fixed(over_rolls(mpf(1), rate.half_angle), 5),
        lambda rate: fixed(2 * mpmath.tan(rate.half_angle), 5),
        lambda rate: fixed(1 / (2 * mpmath.sin(rate.half_angle)), 5),
    )


# ---- grades, temperature


def zones() -> Iterator[tuple[Fraction, Fraction, list[mpf]]]:
    for row in library.read(library.DATA / "angle_grades.yaml")["rows"]:
        yield Fraction(row["over_mm"]), Fraction(row["to_mm"]), [exact(zone) for zone in row["at_alpha_urad"]]


def arc(seconds: mpf) -> str:
    """Seconds to a tenth, from a minute on as minutes and seconds."""
    tenths = int(fixed(seconds, 1).replace(".", ""))
    if seconds < 60:
        return f"{fixed(seconds, 1)}″"
    return f"{tenths // 600}′{tenths % 600 // 10:02d}.{tenths % 10}″"


def span(value: Fraction, system: str) -> str:
    return short(exact(value), 2) if system == "mm" else inches(exact(value) / INCH, 3)


def grades(writing: Callable[[mpf], str], table: Table, booklet: Made) -> Rows:
    for over, upto, row in zones():
        yield [*(span(each, booklet.systems[0]) for each in (over, upto)), *map(writing, row)]


def grades_on_diameter(system: str, table: Table, _: Made) -> Rows:
    scale, digits = (mpf(1000), 2) if system == "mm" else (10000 / INCH, 3)
    for _over, upto, row in zones():
        yield [span(upto, system), *(fixed(zone / 10**6 * exact(upto) * scale, digits) for zone in row)]


def warmth(table: Table, booklet: Made) -> Rows:
    """D a ΔT: 100 mm by 10 °C in µm; 4 in by 10 °F in ten-thousandths."""
    known = library.coefficients()
    for row in table.rows:
        per_k = known[row[1]]
        grown = {"mm": 100 * per_k * 10 * 1000, "in": 4 * per_k * 10 / mpf("1.8") * 10000}
        yield [*row[:2], fixed(per_k * 10**6, 1), *(fixed(grown[system], 1) for system in booklet.systems)]


# ---- at the wheel


def first_length(text: str, system: str) -> mpf:
    return exact(text.removesuffix(f" {system}")) * MM[system]


def work_rpm(system: str, table: Table, _: Made) -> Rows:
    metres = mpf(1) if system == "mm" else mpf("0.3048")
    rpm = lambda across, v: exact(v) * metres * 1000 / mpmath.pi / first_length(across, system)  # noqa: E731
    return grid(table, numbers_over(table), lambda across, v: fixed(rpm(across, v), 0))


def wheel_rpm(system: str, table: Table, _: Made) -> Rows:
    """Rounded down: never above the marking."""
    metres = mpf(1) if system == "mm" else mpf("0.3048") / 60
    rpm = lambda across, v: exact(v) * metres * 60000 / mpmath.pi / first_length(across, system)  # noqa: E731
    return grid(table, numbers_over(table), lambda across, v: str(int(mpmath.floor(rpm(across, v)))))


def dress_traverse(system: str, table: Table, _: Made) -> Rows:
    digits = (0, 1)
    return grid(
        table,
        numbers_over(table),
        lambda rpm, lead: length(exact(rpm) * exact(lead) * MM[system], system, *digits),
    )


def dress_lead(system: str, table: Table, _: Made) -> Rows:
    across = lambda width, overlap: exact(width) * MM[system] / exact(overlap)  # noqa: E731
    return grid(table, numbers_over(table), lambda width, each: length(across(width, each), system, 3, 4))


def centre_holes(table: Table, booklet: Made) -> Rows:
    data = library.read(library.DATA / "centre_holes.yaml")["tables"]
    (known,) = (each for each in data if each["name"] == table.title)
    kinds = [
        kind
        for kind in ("drill", "cone", "depth", "protected")
        if any(kind in size for size in known["sizes"])
    ]
    for size in known["sizes"]:
        sizes = [exact(size[kind]) * MM[known["unit"]] for kind in kinds]
        yield [size["size"], *(length(one, system, 2, 3) for one in sizes for system in booklet.systems)]


# ---- the titles, and what is worked out for each


def both(title: str, of: Callable[..., Rows]) -> dict[str, Formula]:
    return {title.replace("{}", system): partial(of, system) for system in MM}


FORMULAS: dict[str, dict[str, Formula]] = {
    "Conversions": {
        "From taper per foot": from_per_foot,
        "From ratio": from_ratio,
        "From per cent": from_per_cent,
        "From angles": from_angle,
        "Taper over a length": over_a_length,
    },
    "Standard tapers": {".*": standard},
    "Reading → stock": {
        "Stock for any taper and any reading": general,
        "Stock for readings by sixty-fourths of an inch": by_sixty_fourths,
        ".*": stock_of,
    },
    "What a division is worth": both("Worth of a division, {}", worth),
    "Swivel settings": {
        ".*: scales": scales,
        ".*: by the wheel head": wheel_head,
        ".*: slip gauges, indicator, screw": ways,
        ".*: scale, indicator, screw": settings,
        ".*: divisions for an error of taper": screw_divisions,
    },
    "Test bar": {"Rise along the test bar": rise_along_a_bar},
    "Correction": {
        **both("Error of taper → turn of the swivel, {}", turn),
        "cos² and light by taper": factors,
        **both("Blue: estimate of the error, {}", blue),
    },
    BARS: {
        **both("Sine bar and centres of .* {}: heights for tapers", sine),
        **both("Sine bar of .* {}: heights for every minute", sine_minutes),
    },
    "Rolls, discs and balls": {"Factors for rolls, discs and balls": roll_factors},
    "Angle grades": {
        "Angle grades, microradians": partial(grades, lambda zone: short(zone, 1)),
        "Angle grades, minutes and seconds": partial(grades, lambda zone: arc(zone / 10**6 * ARCSEC)),
        "Angle grades, on the diameter, µm": partial(grades_on_diameter, "mm"),
        "Angle grades, on the diameter, .0001 in": partial(grades_on_diameter, "in"),
    },
    "Warm work": {"Growth of warm work": warmth},
    "Surface speeds": {
        **both("Work: revolutions a minute, {}", work_rpm),
        **both("Wheel: most revolutions a minute, {}", wheel_rpm),
    },
    "Dressing": {
        **both("Traverse of the diamond, {}", dress_traverse),
        **both("Lead for a width and an overlap, {}", dress_lead),
    },
    "Centre holes": {".*": centre_holes},
    "Fractions, minutes, seconds": {
        "Sixty-fourths of an inch": sixty_fourths,
        "Minutes and seconds as decimals of a degree": minutes,
    },
}
ELSEWHERE = {"Parts", "Sources"}  # test_planners_page.py; words only


@pytest.mark.parametrize("chapter", FORMULAS)
def test_every_cell(chapter: str, booklet: Made) -> None:
    """Ensures that each figure read back from the paper is the one worked out anew, to its last digit."""
    tables = booklet.read.of(chapter)
    assert tables
    for table in tables:
        formula = next(of for title, of in FORMULAS[chapter].items() if re.fullmatch(title, table.title))
        expected = list(formula(table, booklet))
        assert len(table.rows) == len(expected), table.name
        wrong = [
            f"{table.name}: {read} should be {right}"
            for read, right in zip(table.rows, expected, strict=True)
            if read != right
        ]
        assert not wrong, "\n".join(wrong[:10])


def test_no_table_is_left_out_of_this_file(booklet: Made) -> None:
    """Ensures that each chapter that holds tables of figures is one that is worked out anew above."""
    assert {table.section for table in booklet.read.tables} == {*FORMULAS, *ELSEWHERE}
    cells = sum(len(row) for table in booklet.read.tables for row in table.rows)
    assert cells > (20000 if booklet.units == "both" else 9000)


@pytest.mark.parametrize(
    ("title", "all_of_them"),
    [("Stock for any taper and any reading", True), ("Factors for rolls, discs and balls", False)],
)
def test_every_cone_of_the_library_has_its_line(title: str, all_of_them: bool, both: Made) -> None:
    """Ensures that no taper is left out but those hardly ever set, and that no two lines are one cone."""
    (table,) = (each for each in both.read.tables if each.title == title)
    angles = [cone(row[0]).half_angle for row in table.rows]
    assert all(there - here > ALIKE for here, there in pairwise(angles))
    for family in library.families():
        found = any(abs(family.rate.half_angle - angle) <= ALIKE for angle in angles)
        assert found or (family.series in SELDOM and not all_of_them), family


def test_what_a_machine_cannot_set_is_said(both: Made) -> None:
    """Ensures that each cone goes by a machine's table or its wheel head, or is named as out of reach."""
    everything = {
        row[0] for row in both.read.table("Rolls, discs and balls", "Factors for rolls, discs and balls").rows
    }
    for name in library.records("booklet")["toolroom"]["machines"]:
        tables = [
            each for each in both.read.of("Swivel settings")
            if each.title.startswith((f"{name} ", f"{name}:"))
            and each.title.endswith((": scales", ": scale, indicator, screw", ": by the wheel head"))
        ]  # fmt: skip
        set_somehow = {row[0] for table in tables for row in table.rows}
        told = both.read.words["Swivel settings", tables[0].title]
        sentence = re.search(rf"Not to be set by the table of {name}, nor by its wheel head: (.*?)\.", told)
        refused = set(sentence[1].split("; ")) if sentence else set()
        assert set_somehow | refused == everything
        assert not set_somehow & refused


def test_a_bar_lays_every_cone_that_is_not_too_steep_to_lie(both: Made) -> None:
    """Ensures that no taper is missing from the sine bar but those beyond 1.5 rad."""
    for system in MM:
        size = short(BAR[system] / MM[system], 3)
        rows = both.read.table(BARS, f"Sine bar and centres of {size} {system}: heights for tapers").rows
        lying = {row[0] for row in rows if row[1] != "–"}
        assert {row[0] for row in rows if 2 * cone(row[0]).half_angle < mpf("1.5")} == lying
    assert math.isclose(float(BAR["in"]), 127.0)
