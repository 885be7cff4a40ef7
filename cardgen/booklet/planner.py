"""For each part what planner and inspector need and its card no longer carries."""

from collections.abc import Iterator

from cardgen.booklet.basis import Basis, length, own_length
from cardgen.booklet.tables import Amount, BookColumn, BookTable, Cell, PartPage, Way, Worded
from cardgen.card.values import Card, Measured, SineStack
from cardgen.terms import System

PLANNED = Way("plain", 0)


def part_tables(basis: Basis) -> Iterator[BookTable]:
    """The list of parts, then each part's own pages; a part without a card is told with its reason."""
    made = [(part, part.card) for part in basis.parts if part.card is not None]
    wrong = tuple(
        Worded("no_card", {"part": part.id, "part_name": part.name, "wrong": part.wrong})
        for part in basis.parts
        if part.card is None
    )
    keys = ("part", "part_name", "revision", "callout", "gauge", "machine", "code")
    rows = tuple(
        (
            *(
                part.id,
                part.name,
                card.title.revision,
                f"{card.taper.callout} {card.taper.side}",
                card.gauge.id,
            ),
            *(card.swivel.machine, card.title.code),
        )
        for part, card in made
    )
    if rows or wrong:
        yield BookTable("parts", tuple(BookColumn(key) for key in keys), rows, notes=wrong)
    for part, card in made:
        yield from _pages(part, card)


def _pages(part: PartPage, card: Card) -> Iterator[BookTable]:
    """Sine bar and centres, sizes over rolls and balls, what is planned; checks and sources below."""
    system: System = "in" if card.title.units == "inch" else "mm"
    told: dict[str, str | Amount] = {"part": part.id, "part_name": part.name}
    told["bar"] = own_length(card.inspection.sine_bar_length_mm)
    stacks = BookColumn("one_roll"), BookColumn("other_roll")
    height, left_over = length(4, system), Way("number", 2, signed=True)
    laid = BookColumn("laid"), BookColumn("height", height), *stacks, BookColumn("left_over", left_over)
    yield BookTable("part_laid", laid, tuple(_laid(card, system)), system, told)
    if measured := tuple(_measured(card, system)):
        sizes = (BookColumn(key, length(4, system)) for key in ("aim", "least", "most"))
        yield BookTable("part_measured", (BookColumn("measured"), *sizes), measured, system, told)
    checks = (Worded("check", {"check": f"{each.text[:1].upper()}{each.text[1:]}."}) for each in card.checks)
    notes = (*checks, Worded("sources", {"sources": "; ".join(card.sources)}))
    rows = tuple((Worded(key, about), value) for key, about, value in _planned(card, system))
    figures = BookColumn("planned"), BookColumn("value")
    yield BookTable("part_planned", figures, rows, system, told, notes=notes)


def _measured(card: Card, system: System) -> Iterator[tuple[Cell, ...]]:
    """Over rolls, over the same raised, each ball's depth, discs' centres: at the aim and at the limits."""
    found = card.inspection

    def row(key: str, told: dict[str, float | None], what: Measured | None) -> Iterator[tuple[Cell, ...]]:
        if what is not None:
            sizes = {name: Amount(size or 0.0, length(3, system)) for name, size in told.items()}
            yield (Worded(key, sizes), what.aim_mm, what.least_mm, what.most_mm)

    yield from row("over_rolls", {"roll": found.roll_diameter_mm}, found.over_rolls)
    yield from row("over_raised", {"raised": found.roll_raise_mm}, found.over_raised_rolls)
    for ball, depth in zip(found.balls_mm or (), found.ball_depths or (), strict=False):
        yield from row("ball_depth", {"ball": ball}, depth)
    if found.disc_centres_mm is not None and found.discs_mm is not None:
        sizes = {
            name: Amount(size, length(3, system))
            for name, size in zip(("one", "other"), found.discs_mm, strict=True)
        }
        yield (Worded("disc_centres", sizes), found.disc_centres_mm, "", "")


def _laid(card: Card, system: System) -> Iterator[tuple[Cell, ...]]:
    """On the sine bar and between sine centres, at an angle: the height, what each roll stands on."""
    found, taper = card.inspection, card.taper
    if found.sine_bar_mm is not None:
        yield _stood("on_the_bar", taper.included_angle_deg, found.sine_bar_mm, found.sine_bar_stack, system)
    yield _stood(
        "between_centres", taper.half_angle_deg, found.sine_centres_mm, found.sine_centres_stack, system
    )


def _stood(
    key: str, angle: float, height: float, stack: SineStack | None, system: System
) -> tuple[Cell, ...]:
    way = Worded(key, {"angle": Amount(angle, Way("dms"))})
    if stack is None:
        return (way, height, None, None, None)
    unit = f"\u00a0{stack.unit}" if stack.unit != system else ""
    here, there = (
        " + ".join(pieces) + unit if pieces else None
        for pieces in (stack.pieces_text, stack.other_pieces_text)
    )
    return (way, height, here, there, stack.left_over_arcsec)


def _planned(card: Card, system: System) -> Iterator[tuple[str, dict[str, str | Amount], Cell]]:
    """What the planner reckons with: a key for the words, what is told in them, the figure."""
    speeds, fine = card.speeds, length(4, system)
    gauge = {"gauge": f"{card.gauge.id} {card.gauge.name}".strip()}
    if card.gauge.master:
        yield "gauge", dict(gauge), Worded("proved_by", {"master": card.gauge.master})
    else:
        yield "gauge", dict(gauge), Worded("no_master")
    wheel = {"wheel": f"{speeds.wheel} {speeds.wheel_name}".strip()}
    yield "wheel", dict(wheel), Worded("dressed_with", {"dresser": speeds.dresser})
    yield "a_piece", {}, Amount(speeds.time_per_piece_s, PLANNED, "s")
    yield "gauging", {}, Amount(speeds.gauging_time_s, PLANNED, "s")
    yield "removed", {}, Amount(speeds.removed_per_piece_mm3, PLANNED, "mm³")
    if speeds.wheel_wear_per_piece_mm is not None:
        yield "wear", {}, Amount(speeds.wheel_wear_per_piece_mm, fine, system)
    yield "worn_speed", {}, Amount(speeds.wheel_m_s.worn, Way("number", 1), "m/s")
    if card.taper.angle_tolerance_mm is not None:
        tolerance = {"tolerance": card.taper.angle_tolerance_text}
        either_way = {"figure": Amount(card.taper.angle_tolerance_mm, fine, system)}
        words = "either_way"
        if card.taper.angle_aim_mm:
            words, either_way["aim"] = "about_the_aim", Amount(card.taper.angle_aim_mm, fine, system)
        yield "angle_tolerance", dict(tolerance), Worded(words, dict(either_way))
    yield "doubt", {}, Amount(card.doubt.stock_standard_mm, fine, system)
    yield "rough_doubt", {}, Amount(card.doubt.rough_stock_standard_mm, fine, system)
