"""Every cell of every table, read back from the PDF, against the same worked out anew at 50 digits."""

import re
from collections.abc import Iterable
from fractions import Fraction

import mpmath
from mpmath import mpf

from tests.booklet import library
from tests.booklet.conftest import Made
from tests.booklet.library import Family, named
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
    turn_for,
)

NAMED_LENGTH = re.compile(r"(\d*\.?\d+) (mm|in|°C)")
NEAR = {"mm": mpf("0.005"), "in": mpf("0.0005")}
UNIT_OF_SET = {"88 metric": ("mm", Fraction(1, 2000)), "81 inch": ("in", Fraction(1, 20000))}
SET_FOR = {"mm": "88 metric", "in": "81 inch"}
BAR = {"mm": mpf(100), "in": 5 * INCH}


def agree(table: Table, expected: Iterable[list[str]]) -> None:
    """Row by row, cell by cell."""
    rows = list(expected)
    assert len(rows) == len(table.rows), f"{table.name}: {len(table.rows)} rows, not {len(rows)}"
    wrong = [
        f"{table.name}: {read} should be {right}"
        for read, right in zip(table.rows, rows, strict=True)
        if read != right
    ]
    assert not wrong, "\n".join(wrong[:10])


def once_each(found: Iterable[str], wanted: frozenset[Family] | None = None) -> None:
    """Every line of the library stands there, and only once."""
    seen = [named(name) for name in found]
    assert len(seen) == len(set(seen))
    assert set(seen) == (library.families() if wanted is None else wanted)


def head_lengths(table: Table) -> list[mpf]:
    """The lengths that stand over columns, in mm (or °C as they are)."""
    found = [NAMED_LENGTH.fullmatch(plain(head)) for head in table.heads]
    return [exact(each[1]) * MM.get(each[2], mpf(1)) for each in found if each]


def bare_lengths(table: Table, system: str) -> list[mpf]:
    """Figures that stand over columns without their unit."""
    return [
        exact(plain(head)) * MM[system] for head in table.heads if re.fullmatch(r"\d*\.?\d+", plain(head))
    ]


# ---- conversions


def forms(half_angle: mpf) -> dict[str, str]:
    ratio = 2 * mpmath.tan(half_angle)
    return {
        "per_foot": inches(12 * ratio, 5),
        "one_in": fixed(1 / ratio, 4),
        "per_cent": fixed(100 * ratio, 5),
        "half": dms(half_angle),
        "half_degrees": degrees(half_angle, 5),
        "included": dms(2 * half_angle),
        "included_degrees": degrees(2 * half_angle, 5),
    }


def picked(half_angle: mpf, *keys: str) -> list[str]:
    found = forms(half_angle)
    return [found[key] for key in keys]


ANGLES = ("half", "half_degrees", "included", "included_degrees")


def test_conversions_from_taper_per_foot(booklet: Made) -> None:
    """Thirty-seconds to an inch, sixteenths to two, eighths to four, quarters to eight."""
    steps = [Fraction(n, 32) for n in range(1, 33)] + [1 + Fraction(n, 16) for n in range(1, 17)]
    steps += [2 + Fraction(n, 8) for n in range(1, 17)] + [4 + Fraction(n, 4) for n in range(1, 17)]
    agree(
        booklet.read.table("Conversions", "From taper per foot"),
        (
            [mixed(each), *picked(mpmath.atan(exact(each) / 24), "per_foot", "one_in", "per_cent", *ANGLES)]
            for each in steps
        ),
    )


def test_conversions_from_ratio(booklet: Made) -> None:
    """Each 1:x of the table."""
    table = booklet.read.table("Conversions", "From ratio")
    ones = [int(row[0].removeprefix("1:")) for row in table.rows]
    assert ones == sorted(set(ones), reverse=True)
    assert {*range(3, 21), 24, 30, 48, 50, 100} <= set(ones)
    agree(
        table,
        ([f"1:{x}", *picked(mpmath.atan(1 / mpf(2 * x)), "per_cent", "per_foot", *ANGLES)] for x in ones),
    )


def test_conversions_from_per_cent(booklet: Made) -> None:
    """Halves to ten, ones to twenty, fives to fifty."""
    steps = [Fraction(n, 2) for n in range(1, 21)] + [*range(11, 21)] + [*range(25, 51, 5)]
    agree(
        booklet.read.table("Conversions", "From per cent"),
        (
            [fixed(exact(p), 1), *picked(mpmath.atan(exact(p) / 200), "one_in", "per_foot", *ANGLES)]
            for p in steps
        ),
    )


def test_conversions_from_angles(booklet: Made) -> None:
    """Included angles by half degrees, degrees and fives."""
    steps = [Fraction(n, 2) for n in range(1, 41)] + [*range(21, 31)] + [*range(35, 91, 5), 120]
    rows = []
    for step in steps:
        included = exact(step) * mpmath.pi / 180
        ratio = 2 * mpmath.tan(included / 2)
        rows.append(
            [
                dms(included),
                degrees(included, 2),
                dms(included / 2),
                degrees(included / 2, 3),
                fixed(1 / ratio, 5),
                fixed(100 * ratio, 5),
                inches(12 * ratio, 5),
            ]
        )
    agree(booklet.read.table("Conversions", "From angles"), rows)


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


def standard_rows(series: library.Series, systems: tuple[str, ...]) -> Iterable[list[str]]:
    shown = [
        key
        for key in ("large", "small", "length", "projection")
        if any(key in z.lengths for z in series.sizes)
    ]
    for size in series.sizes:
        row = [size.size or size.name]
        if not series.one_taper:
            ratio = size.rate.ratio
            row += [] if series.all_per_foot else [size.rate.callout]
            row += [inches(12 * ratio, 5), fixed(1 / ratio, 4), dms(size.rate.half_angle)]
        for key in shown:
            if key in size.lengths:
                row += [printed(size.lengths[key], series.unit, system) for system in systems]
        yield row


def test_standard_tapers(booklet: Made) -> None:
    """Every size of every series: as printed by its source, and in the other unit."""
    for series in library.all_series():
        found = booklet.read.of("Standard tapers", series.name)
        if found:
            agree(found[0], standard_rows(series, booklet.systems))
        else:
            assert len(series.sizes) == 1
            assert not series.sizes[0].lengths
        if series.one_taper:
            rate = series.sizes[0].rate
            told = next(words.text for words in booklet.read.words if words.title == series.name)
            assert (
                f"All sizes: {rate.callout}, that is 1 : {fixed(1 / rate.ratio, 4)}, "
                f"{inches(12 * rate.ratio, 5)} in/ft, half angle {dms(rate.half_angle)} "
                f"({degrees(rate.half_angle, 5)}°)."
            ) in told


# ---- reading → stock


def stock_rows(ratio: mpf, systems: tuple[str, ...]) -> Iterable[list[str]]:
    for count in range(1, 26):
        row = []
        for system in systems:
            if system == "mm":
                scales = [(fixed(exact(Fraction(count, n)), 1), exact(Fraction(count, n))) for n in (2, 10)]
            else:
                scales = [
                    (mixed(Fraction(count, 64)), exact(Fraction(count, 64)) * INCH),
                    (inches(exact(Fraction(count, 1000)), 3), exact(Fraction(count, 1000)) * INCH),
                ]
            for text, reading in scales:
                row += [text, *(length(ratio * reading, each, 4, 5) for each in systems)]
        yield row


def test_reading_to_stock(booklet: Made) -> None:
    """For every distinct taper, every reading; every line of the library is found under some title."""
    tables = booklet.read.of("Reading → stock")
    names = [name for table in tables for name in table.sub.split(" · ")]
    once_each(names)
    told = {words.sub: words.text for words in booklet.read.words if words.section == "Reading → stock"}
    ratios = []
    for table in tables:
        rates = {named(name).rate for name in table.sub.split(" · ")}
        (ratio,) = {rate.ratio for rate in rates}
        ratios.append(ratio)
        agree(table, stock_rows(ratio, booklet.systems))
        half_angle = next(iter(rates)).half_angle
        facts = f"1 : {fixed(1 / ratio, 4)} · {inches(12 * ratio, 5)} in/ft · half angle {dms(half_angle)}"
        assert told[table.sub].startswith(facts)
    assert ratios == sorted(set(ratios))


# ---- machines


def scale_of(scale: dict[str, str], half_angle: mpf, limit: mpf) -> list[str]:
    """What a scale must show, the nearest mark in reach, what is left over as angle and on the diameter."""
    ratio, shows = 2 * mpmath.tan(half_angle), scale["shows"]
    if shows in ("half_angle", "included_angle"):
        share = 2 if shows == "included_angle" else 1
        division = library.quantity(scale["division"])
        nearest = mpmath.floor(half_angle * share / division + mpf("0.5"))
        count = min(nearest, mpmath.floor(limit * share / division + mpf("1e-12")))
        at_mark, text = count * division / share, dms(half_angle * share)
        minutes = int(mpmath.nint(count * division * 10800 / mpmath.pi))
        mark = f"{minutes // 60}°{minutes % 60:02d}′"
    else:
        number, unit = scale["division"].rsplit(" ", 1)
        per = {"in/ft": 12, "%": 100}[unit]
        nearest = mpmath.floor(ratio * per / exact(number) + mpf("0.5") + mpf("1e-30"))
        count = int(min(nearest, mpmath.floor(2 * mpmath.tan(limit) * per / exact(number) + mpf("1e-12"))))
        value = count * Fraction(number)
        at_mark = mpmath.atan(exact(value) / per / 2)
        text = inches(12 * ratio, 5) if unit == "in/ft" else fixed(100 * ratio, 4)
        mark = mixed(value) if "/" in number else short(exact(value), 6)
    left = half_angle - at_mark
    on_diameter = 1000 * (ratio - 2 * mpmath.tan(at_mark))
    return [text, mark, fixed(left * ARCSEC, 1, sign=True), fixed(on_diameter, 3, sign=True)]


def within(machine: dict, family: Family) -> bool:
    return family.rate.half_angle <= library.quantity(machine["swivel"]["limit"]) + mpf("1e-12")


def reachable(machine: dict) -> frozenset[Family]:
    return frozenset(family for family in library.families() if within(machine, family))


def machines(booklet: Made) -> list[tuple[dict, str]]:
    record = library.records("booklet")["toolroom"]
    found = library.records("machine")
    assert record["machines"] == [each.id for each in booklet.values.machines]
    return [(found[name], f"{name} {found[name]['name']}") for name in record["machines"]]


def test_swivel_scales(booklet: Made) -> None:
    """Each taper within the table's limit: exact setting, mark and left-over on every scale."""
    for machine, title in machines(booklet):
        table = booklet.read.table("Swivel settings", f"{title}: scales")
        limit = library.quantity(machine["swivel"]["limit"])
        once_each((row[0] for row in table.rows), reachable(machine))
        rows = []
        for row in table.rows:
            half_angle = named(row[0]).rate.half_angle
            cells = [scale_of(scale, half_angle, limit) for scale in machine["swivel"]["scales"]]
            rows.append([row[0], dms(half_angle), *(cell for scale in cells for cell in scale)])
        agree(table, rows)


def test_tapers_beyond_the_table(booklet: Made) -> None:
    """Each of them goes to the wheel head, or is said not to be set on the machine."""
    for machine, title in machines(booklet):
        beyond = {family for family in library.families() if not within(machine, family)}
        tables = booklet.read.of("Swivel settings", f"{title}: by the wheel head")
        for table in tables:
            agree(
                table,
                (
                    [row[0], dms(named(row[0]).rate.half_angle), degrees(named(row[0]).rate.half_angle, 5)]
                    for row in table.rows
                ),
            )
        by_head = {named(row[0]) for table in tables for row in table.rows}
        head = machine["wheel_head"]
        if head["swivels"]:
            limit = library.quantity(head["limit"]) + mpf("1e-12")
            assert by_head == {family for family in beyond if family.rate.half_angle <= limit}
        told = " ".join(words.text for words in booklet.read.words if words.title.startswith(title))
        sentence = re.search(rf"Not to be set on {machine['id']}: (.*?)\.(?: |$)", told)
        refused = {named(name) for name in sentence[1].split("; ")} if sentence else set()
        assert by_head | refused == beyond
        assert not by_head & refused


def stack_checked(text: str, wanted: mpf, name: str) -> Fraction | None:
    """The height a stack makes: pieces of the set, none twice, nearest to the height; None for a dash."""
    system, unit = UNIT_OF_SET[name]
    pieces = library.slip_pieces(name)
    best = nearest_sum(REACHED[name], wanted / MM[system], unit)
    if text == "–":
        assert abs(exact(best) - wanted / MM[system]) > NEAR[system]
        return None
    used = [Fraction(piece) for piece in text.split(" + ")]
    assert set(used) <= set(pieces)
    assert len(set(used)) == len(used)
    assert sum(used) == best, f"{text} is {sum(used)}, nearest to {wanted} is {best}"
    return best


REACHED = {name: sums_of(list(library.slip_pieces(name)), unit) for name, (_, unit) in UNIT_OF_SET.items()}


def turns(swung: mpf, screw: dict) -> str:
    divisions = swung / library.quantity(screw["lead"]) * screw["divisions"]
    tenths = int(fixed(divisions, 1).replace(".", ""))
    whole, rest = divmod(tenths, 10 * screw["divisions"])
    return f"{whole} + {rest // 10}.{rest % 10}"


def test_slip_gauges_indicator_and_screw(booklet: Made) -> None:
    """From straight to each taper: slips with their stack, indicator, turns of the screw."""
    for machine, title in machines(booklet):
        table = booklet.read.table("Swivel settings", f"{title}: slip gauges, indicator, screw")
        once_each((row[0] for row in table.rows), reachable(machine))
        record = machine["swivel"]
        slips, screw = record.get("slips"), record["screw"]
        rows = []
        for row in table.rows:
            half_angle, cells = named(row[0]).rate.half_angle, [row[0]]
            if slips:
                height = swing(slips["type"], library.quantity(slips["radius"]), half_angle)
                cells += [length(height, system, 4, 5) for system in booklet.systems]
                stack = row[len(cells)]
                stack_checked(stack, height, SET_FOR[booklet.systems[0]])
                cells.append(stack)
            kind = record.get("indicator_type", screw["type"])
            travel = swing(kind, library.quantity(record["indicator_radius"]), half_angle)
            cells += [length(travel, system, 3, 4) for system in booklet.systems]
            cells.append(turns(swing(screw["type"], library.quantity(screw["radius"]), half_angle), screw))
            rows.append(cells)
        agree(table, rows)


def test_one_division_of_the_screw(booklet: Made) -> None:
    """Turn, change of taper and indicator for one division more, from where the table stands."""
    for machine, title in machines(booklet):
        table = booklet.read.table("Correction", f"{title}: one division of the screw")
        assert table.rows
        screw, radius = machine["swivel"]["screw"], library.quantity(machine["swivel"]["indicator_radius"])
        at, kind = library.quantity(screw["radius"]), screw["type"]
        rows = []
        for row in table.rows:
            half_angle = named(row[0]).rate.half_angle
            height = swing(kind, at, half_angle) + library.quantity(screw["lead"]) / screw["divisions"]
            after = angle_of_swing(kind, at, height)
            travel = swing(kind, radius, after) - swing(kind, radius, half_angle)
            change = 2000 * (mpmath.tan(after) - mpmath.tan(half_angle))
            cells = [row[0], fixed((after - half_angle) * ARCSEC, 2), fixed(change, 4)]
            rows.append([*cells, *(length(travel, system, 4, 5) for system in booklet.systems)])
        agree(table, rows)


# ---- test bar, correction


def test_test_bar(booklet: Made) -> None:
    """Travel × tan θ, for every taper and travel."""
    for system in booklet.systems:
        table = booklet.read.table("Test bar", f"Rise along the test bar, {system}")
        once_each(row[0] for row in table.rows)
        travels = head_lengths(table)
        assert len(travels) == 8
        rows = []
        for row in table.rows:
            half_angle = named(row[0]).rate.half_angle
            rises = [length(travel * mpmath.tan(half_angle), system, 4, 5) for travel in travels]
            rows.append([row[0], dms(half_angle), *rises])
        agree(table, rows)


def test_turn_of_the_swivel(booklet: Made) -> None:
    """Error over length → seconds; and how much the other way differs at most."""
    for system in booklet.systems:
        tables = booklet.read.of("Correction", f"Error of taper → turn of the swivel, {system}")
        assert len(tables) >= 9
        for table in tables:
            name = table.sub if table.sub in NAMES else table.sub.rpartition(", ")[0]
            ratio, lengths, rows, differs = named(name).rate.ratio, head_lengths(table), [], [mpf(0)]
            assert len(lengths) == 11
            for row in table.rows:
                error = exact(row[0]) * MM[system]
                there = [turn_for(ratio, error, over) * ARCSEC for over in lengths]
                back = [turn_for(ratio, -error, over) * ARCSEC for over in lengths]
                rows.append([row[0], *(fixed(turn, 1) for turn in there)])
                differs += [abs(one + other) for one, other in zip(there, back, strict=True)]
            agree(table, rows)
            told = next(
                each.text for each in booklet.read.words if (each.title, each.sub) == (table.title, table.sub)
            )
            within_s = mpf(re.search(r"within ([\d.]+)″", told)[1])
            assert max(differs) <= within_s < max(differs) + mpf("0.01")


NAMES = {size.name for series in library.all_series() for size in series.sizes}
NAMES |= {series.name for series in library.all_series()}


def test_blue(booklet: Made) -> None:
    """2 × film / part marked."""
    for system in booklet.systems:
        table = booklet.read.table("Correction", f"Blue: estimate of the error, {system}")
        marked = [Fraction(plain(head)) for head in table.heads if "⁄" in head] + [Fraction(1)]
        assert len(marked) == 10
        agree(
            table,
            (
                [
                    row[0],
                    *(length(2 * exact(row[0]) * MM[system] / exact(part), system, 4, 6) for part in marked),
                ]
                for row in table.rows
            ),
        )


def test_light(booklet: Made) -> None:
    """2 × gap / cos θ."""
    for system in booklet.systems:
        table = booklet.read.table("Correction", f"Light: error from the gap, {system}")
        gaps = bare_lengths(table, system)
        assert len(gaps) == 10
        rows = []
        for row in table.rows:
            cos = mpmath.cos(named(row[0]).rate.half_angle)
            rows.append([row[0], *(length(2 * gap / cos, system, 5, 6) for gap in gaps)])
        agree(table, rows)


# ---- sine bar, rolls


def rolls_checked(one: str, other: str, bar: mpf, angle: mpf, name: str) -> mpf:
    """The angle a bar stands at: on one stack if that is within 1″, else on two if they are nearer."""
    system, unit = UNIT_OF_SET[name]
    pieces, wanted = library.slip_pieces(name), bar * mpmath.sin(angle) / MM[system]

    def stands_at(height: Fraction) -> mpf:
        return mpmath.asin(exact(height) * MM[system] / bar)

    sides = [[Fraction(piece) for piece in text.split(" + ") if piece != "–"] for text in (one, other)]
    used = [*sides[0], *sides[1]]
    assert set(used) <= set(pieces)
    assert len(set(used)) == len(used), f"{one} and {other} share a piece"
    made, single = sum(sides[0]) - sum(sides[1]), nearest_sum(REACHED[name], wanted, unit)
    if abs(angle - stands_at(single)) * ARCSEC <= 1 or not sides[1]:
        assert (made, sides[1]) == (single, [])
    if abs(angle - stands_at(single)) * ARCSEC > 1:
        step = Fraction(1, 2000) if Fraction("1.0005") in pieces else Fraction(1, 10000)
        assert abs(exact(made) - wanted) <= exact(step) / 2, f"{one} less {other} for {wanted}"
    return stands_at(made)


def test_sine_bar_and_sine_centres(booklet: Made) -> None:
    """Height, stack and what the stack leaves over, for every taper that a bar can lay flat."""
    for system in booklet.systems:
        size = short(BAR[system] / MM[system], 3)
        for kind, share in (("Sine bar", 2), ("Sine centres", 1)):
            table = booklet.read.table(
                "Sine bar and slip gauges", f"{kind} of {size} {system}: heights for tapers"
            )
            flat = frozenset(
                f for f in library.families() if share == 1 or 2 * f.rate.half_angle < mpf("1.5")
            )
            once_each((row[0] for row in table.rows), flat)
            rows = []
            for row in table.rows:
                angle = share * named(row[0]).rate.half_angle
                height = BAR[system] * mpmath.sin(angle)
                made = rolls_checked(row[3], row[4], BAR[system], angle, SET_FOR[system])
                left = fixed((angle - made) * ARCSEC, 2, sign=True)
                rows.append([row[0], dms(angle), length(height, system, 5, 6), row[3], row[4], left])
            agree(table, rows)


def test_sine_bar_by_angles(booklet: Made) -> None:
    """B sin α for each ten minutes."""
    for system in booklet.systems:
        size = short(BAR[system] / MM[system], 3)
        table = booklet.read.table(
            "Sine bar and slip gauges", f"Sine bar of {size} {system}: heights for angles"
        )
        minutes = [int(head.rstrip("′")) for head in table.heads if re.fullmatch(r"\d+′", head)]
        assert minutes == [0, 10, 20, 30, 40, 50]
        agree(
            table,
            (
                [
                    str(degree),
                    *(
                        length(
                            BAR[system] * mpmath.sin((degree + mpf(m) / 60) * mpmath.pi / 180), system, 4, 5
                        )
                        for m in minutes
                    ),
                ]
                for degree in range(60)
            ),
        )


def test_over_rolls(booklet: Made) -> None:
    """What rolls add to the small end, and what raising them adds."""
    for system in booklet.systems:
        table = booklet.read.table("Over rolls", f"Over rolls, {system}")
        once_each(row[0] for row in table.rows)
        sizes = head_lengths(table)
        rolls, raises = sizes[:-4], sizes[-4:]
        assert len(rolls) == 5
        rows = []
        for row in table.rows:
            half_angle = named(row[0]).rate.half_angle
            added = [over_rolls(roll, half_angle) for roll in rolls]
            more = [2 * height * mpmath.tan(half_angle) for height in raises]
            rows.append([row[0], *(length(each, system, 4, 5) for each in (*added, *more))])
        agree(table, rows)


# ---- grades, temperature


def test_angle_grades(booklet: Made) -> None:
    """Microradians as the standard has them; seconds and diameters worked out."""
    data = library.read(library.DATA / "angle_grades.yaml")
    section = "Angle grades and temperature"
    zones = {
        (row["over_mm"], row["to_mm"]): [exact(zone) for zone in row["at_alpha_urad"]] for row in data["rows"]
    }
    ranges = {f"{over} … {upto}": row for (over, upto), row in zones.items()}
    for title, writing in (
        ("microradians", lambda zone: short(zone, 1)),
        ("seconds of arc", lambda zone: fixed(zone / 10**6 * ARCSEC, 1)),
    ):
        table = booklet.read.table(section, f"Angle grades, {title}")
        assert [head for head in table.heads if head.startswith("AT")] == data["grades"]
        agree(table, ([text, *(writing(zone) for zone in row)] for text, row in ranges.items()))
    for system in booklet.systems:
        unit, scale, digits = ("µm", mpf(1000), 2) if system == "mm" else (".0001 in", 10000 / INCH, 3)
        agree(
            booklet.read.table(section, f"Angle grades, on the diameter, {unit}"),
            (
                [upto, *(fixed(zone / 10**6 * exact(upto) * scale, digits) for zone in row)]
                for (_, upto), row in zones.items()
            ),
        )


def test_growth_of_warm_work(booklet: Made) -> None:
    """D a ΔT for every material of the shop's parts; the coefficients as the data file has them."""
    section = "Angle grades and temperature"
    known = library.coefficients()
    listed = booklet.read.table(section, "Growth of warm work: coefficients")
    full = [row for row in listed.rows if len(row) >= 3 and re.fullmatch(r"\d+\.\d", row[2])]
    assert full
    assert all(row[2] == fixed(known[row[1]] * 10**6, 1) for row in full)
    tables = [
        each for each in booklet.read.of(section) if each.title.startswith("Growth of") and "," in each.title
    ]
    assert tables
    for table in tables:
        material, unit = re.fullmatch(r"Growth of (.*), (µm|\.0001 in)", table.title).groups()
        system, scale = ("mm", mpf(1000)) if unit == "µm" else ("in", 10000 / INCH)
        warmer = head_lengths(table)
        assert len(warmer) == 9
        assert len(table.rows) == 15
        agree(
            table,
            (
                [
                    row[0],
                    *(
                        fixed(exact(row[0]) * MM[system] * known[material] * each * scale, 2)
                        for each in warmer
                    ),
                ]
                for row in table.rows
            ),
        )


def test_readings_of_warm_work(booklet: Made) -> None:
    """Growth / C."""
    for system in booklet.systems:
        table = booklet.read.table(
            "Angle grades and temperature", f"Warm work: change of the reading, {system}"
        )
        growths = bare_lengths(table, system)
        assert len(growths) == 10
        agree(
            table,
            (
                [row[0], *(length(each / named(row[0]).rate.ratio, system, 4, 5) for each in growths)]
                for row in table.rows
            ),
        )


def test_no_table_is_left_out_of_this_file(both: Made) -> None:
    """Each section that holds tables of figures is one that is worked out anew above."""
    recomputed = {
        *("Conversions", "Standard tapers", "Reading → stock", "Swivel settings", "Test bar", "Correction"),
        *("Sine bar and slip gauges", "Over rolls", "Angle grades and temperature"),
    }
    assert {table.section for table in both.read.tables} == recomputed | {"Parts", "Sources", "Index"}
    assert sum(len(row) for table in both.read.tables for row in table.rows) > 40000
