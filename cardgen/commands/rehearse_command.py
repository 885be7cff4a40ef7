"""The command that rehearses a batch: parse, call, print."""

import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from statistics import pstdev
from typing import TYPE_CHECKING, Any

import click

from cardgen.commands.common import keep, now, read_shop, say, say_json, sound_part
from cardgen.commands.typed import command, part_argument, shop_option
from cardgen.terms import INCH

if TYPE_CHECKING:
    from cardgen.paper.press.document import Drawing
    from cardgen.rehearsal.outcome import Tally
    from cardgen.shop.rehearsing import Rehearsal, Tick

BEST = 5  # causes and helps that are told on a screen
WORDS = {
    "under": "too much metal off",
    "over": "above size",
    "off_angle": "out of angle",
    "unclean": "not cleaned up",
    "set_aside": "set aside, not proved",
    "reground": "ground again",
}
CAUSES = {
    "scale": "the swivel's scale",
    "pivot": "where the pivot stands",
    "film": "the blue's film",
    "wear": "how fast the wheel wears",
    "gauge": "the gauge's calibration",
    "temperature": "warmth of the work",
    "repeatability": "the size from piece to piece",
    "reading": "the tools' divisions",
    "proof": "the proof of the angle",
    "start": "test bar, slips and indicator",
    "radius": "radii of the table",
    "feed": "the cross-feed's travel",
    "screw": "the feel of the screw",
    "sight": "judging blue and light",
    "touch": "the first sparks",
    "blank": "the blanks' taper",
    "centres": "the centres' depth",
}


@contextmanager
def _progress(steps: int) -> Iterator["Tick"]:
    """A bar on a terminal; nothing where nobody looks."""
    if not sys.stderr.isatty():
        yield lambda: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("rehearsing", total=steps)
        yield lambda: bar.advance(task)


@command("rehearse", "cardgen rehearse SN-204", "cardgen rehearse SN-204 --batches 500 --seed 7 --pdf")
@part_argument
@shop_option
@click.option("--batches", type=click.IntRange(1, 100_000), default=200, show_default=True)
@click.option("--seed", type=int, default=1, show_default=True, help="The same seed, the same numbers.")
@click.option("--json", "as_json", is_flag=True, help="For other programs.")
@click.option("--pdf", "as_pdf", is_flag=True, help="A page of pictures besides, in the out folder.")
def rehearse(part: str, folder: Path, batches: int, seed: int, as_json: bool, as_pdf: bool) -> None:
    """Grind batches of PART in the computer, by its card alone, on a machine that is not as it thinks.

    Tells how many pieces are lost to what, what limits that, what would help, and the least that may be
    left on. How far out the shop is stands in its record, under `rehearsal`; the rest is assumed.
    """
    from cardgen.shelf.contents import PrintOut, print_out_pdf
    from cardgen.shop.rehearsing import rehearse_part, steps_of

    shop = read_shop(folder)
    records = shop.records(shop.library.parts[sound_part(shop, part)])
    inches = records.part.units == "inch"
    with _progress(steps_of(batches)) as tick:
        found = rehearse_part(records, shop.today, batches, seed, tick)
    if as_json:
        say_json(_plain(part, seed, found))
    else:
        for line in _lines(part, found, inches):
            say(line)
    if as_pdf:
        code, moment = shop.code_of(part), now()
        page = _page(part, f"by card {code}, {moment}; seed {seed}", found, inches)
        made = print_out_pdf(page, PrintOut("rehearsal", part, code, moment))
        say(keep(shop, part, "rehearsal", made), err=as_json)


def _page(part: str, by: str, found: "Rehearsal", inches: bool) -> "Drawing":
    """The page of pictures; sizes in tenths of a thou or in micrometres."""
    from cardgen.paper.rehearsal_page import Comparison, Spread, Worked, rehearsal_page

    unit, per_mm = ("tenths", 1e4 / INCH) if inches else ("µm", 1e3)
    job, outcome, measured = found.job, found.outcome, found.outcome.measured
    told = outcome.as_plain()

    def worked(name: str, tally: "Tally") -> Worked:
        sizes = [stock * per_mm for stock, _ in tally.measured]
        spread = 2 * pstdev(sizes) if sizes else 0.0
        return Worked(name, spread, tally.lost(), tally.share("reground")[0])

    def spread(name: str, which: int, low: float, high: float, less: str, more: str) -> Spread:
        figures = [each[which] * per_mm for each in measured]
        return Spread(name, unit, figures, (low * per_mm, high * per_mm), less, more)

    shares = [
        (words, f"{share:.2f} %", f"surely {low:.2f} to {high:.2f} %")
        for (share, low, high), words in ((outcome.share(name), words) for name, words in WORDS.items())
    ]
    turned = told["corrections"]
    return rehearsal_page(
        f"{part}: a batch before it is ground",
        f"{outcome.batches} batches, {outcome.pieces} pieces, by the card alone, on a machine that is not as "
        f"it thinks; {by}",
        (
            *shares,
            (
                "corrections of the swivel",
                f"{turned['median']:g}",
                f"19 of 20: at most {turned['percent_95']}",
            ),
            ("passes a piece", f"{told['cuts_per_piece']:.0f}", f"{told['seconds_per_piece']:.0f} s a piece"),
        ),
        (
            spread("Size at the gauge line", 0, -job.metal_off, job.metal_on, "under", "above size"),
            spread("Taper over its length", 1, -job.angle, job.angle, "too steep", "too shallow"),
        ),
        worked("as it is", found.some),
        (
            Comparison(
                "What limits it: each switched off",
                [worked(CAUSES[cause], tally) for cause, tally in _widest(found.limits)[: 2 * BEST - 2]],
            ),
            Comparison("What would help", [worked(words, tally) for words, tally in found.helps[:BEST]]),
        ),
        (
            f"Bars: two standard deviations of the size, in the {found.some.batches} batches that are worked "
            "again with one thing otherwise; dashed, as it is. Again: ground again."
            + (" Tenths: of a thousandth of an inch." if inches else ""),
            f"As good with a least blank of {_length(found.least_blank_mm, inches)}, and with "
            f"{_length(found.least_finishing_mm, inches)} left for finishing. How far out the shop is "
            "stands in its record under rehearsal; the rest is assumed. Rounding leaves stock on, so sizes "
            "lie on that side of the aim.",
        ),
    )


def _widest(limits: "Sequence[tuple[str, Tally]]") -> "list[tuple[str, Tally]]":
    """The causes without which least is lost or ground again, then those without which sizes spread least."""
    return sorted(
        limits,
        key=lambda each: (
            each[1].lost() + each[1].share("reground")[0],
            pstdev([stock for stock, _ in each[1].measured] or [0.0]),
        ),
    )


def _plain(part: str, seed: int, found: "Rehearsal") -> dict[str, Any]:
    return {
        "part": part,
        "seed": seed,
        "outcome": found.outcome.as_plain(),
        "compared_with": found.some.as_plain(),
        "without": {cause: tally.as_plain() for cause, tally in found.limits},
        "with": {words: tally.as_plain() for words, tally in found.helps},
        "least_blank_mm": found.least_blank_mm,
        "least_leave_for_finishing_mm": found.least_finishing_mm,
    }


def _lines(part: str, found: "Rehearsal", inches: bool) -> Iterator[str]:
    outcome, told = found.outcome, found.outcome.as_plain()
    yield f"{part}: {outcome.batches} batches, {outcome.pieces} pieces"
    for name, words in WORDS.items():
        share, low, high = outcome.share(name)
        yield f"  {words:<24}{share:8.3f} %   ({low:.3f} to {high:.3f})"
    corrections = told["corrections"]
    yield (
        f"  corrections of the swivel {corrections['median']:g} "
        f"(19 of 20 batches: {corrections['percent_95']} or fewer)"
    )
    yield f"  a piece: {told['cuts_per_piece']:.0f} passes, {told['seconds_per_piece']:.0f} s"
    if outcome.given_up:
        yield f"  given up: {outcome.given_up} batches"
    yield from _ranked(
        "what limits it, each switched off", [(CAUSES[n], t) for n, t in found.limits], found.some
    )
    yield from _ranked("what would help", list(found.helps), found.some)
    yield f"  as good with a least blank of {_length(found.least_blank_mm, inches)}"
    yield f"  as good with {_length(found.least_finishing_mm, inches)} left for finishing"


def _length(figure_mm: float | None, inches: bool) -> str:
    if figure_mm is None:
        return "no less"
    from cardgen.paper.words.figures import Figures

    return Figures("inch" if inches else "metric").stock_up(figure_mm).replace("\u00a0", " ")


def _ranked(head: str, named: "list[tuple[str, Tally]]", as_it_is: "Tally") -> Iterator[str]:
    """Each with what the very same batches come to without it, so that no chance stands between the two."""
    again, of = as_it_is.share("reground")[0], f"of {as_it_is.batches} of these batches"
    yield f"{head}, {of}: lost and ground again, {as_it_is.lost():.2f} % and {again:.1f} % as it is"
    for words, tally in named[:BEST]:
        yield f"  {words:<48}{tally.lost():6.2f} %  {tally.share('reground')[0]:5.1f} %"
