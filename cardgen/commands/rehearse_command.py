"""The command that rehearses a batch: parse, call, print."""

import sys
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from itertools import islice
from pathlib import Path
from statistics import pstdev
from typing import TYPE_CHECKING, Any

import click

from cardgen.commands.common import keep, now, read_shop, say, say_json, sound_part
from cardgen.commands.typed import command, part_argument, shop_option
from cardgen.spec.told import CaseWords, words
from cardgen.terms import INCH

if TYPE_CHECKING:
    from cardgen.paper.press.document import Drawing
    from cardgen.rehearsal.outcome import Tally
    from cardgen.shop.rehearsing import Rehearsal, Tick

BEST = 5  # causes and helps that are told on a screen
IN_WORDS = CaseWords({})


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
        for line in _screen(_told(part, found, inches), found).splitlines():
            say(line)
    if as_pdf:
        code, moment = shop.code_of(part), now()
        page = _page(part, f"by card {code}, {moment}; seed {seed}", found, inches)
        made = print_out_pdf(page, PrintOut("rehearsal", part, code, moment))
        say(keep(shop, part, "rehearsal", made), err=as_json)


def _words(group: str) -> Any:
    return words("cardgen.commands", "rehearsal.toml")[group]


def _told(part: str, found: "Rehearsal", inches: bool) -> dict[str, Any]:
    """The figures that the words of screen and page name."""
    return {
        **found.outcome.as_plain(),
        "part": part,
        "some": found.some.batches,
        "inches": inches,
        "least_blank": _length(found.least_blank_mm, inches),
        "least_finishing": _length(found.least_finishing_mm, inches),
    }


def _shares(outcome: "Tally") -> Iterator[dict[str, Any]]:
    """What share of the pieces each thing takes that is counted, and between which two it surely lies."""
    for name, counted in _words("counted").items():
        share, low, high = outcome.share(name)
        yield {"words": counted, "share": share, "low": low, "high": high}


def _page(part: str, by: str, found: "Rehearsal", inches: bool) -> "Drawing":
    """The page of pictures; sizes in tenths of a thou or in micrometres."""
    from cardgen.paper.rehearsal_page import Comparison, Spread, Worked, rehearsal_page

    unit, per_mm = ("tenths", 1e4 / INCH) if inches else ("µm", 1e3)
    job, page, causes, told = found.job, _words("page"), _words("causes"), _told(part, found, inches)

    def worked(name: str, tally: "Tally") -> Worked:
        sizes = [stock * per_mm for stock, _ in tally.measured]
        spread = 2 * pstdev(sizes) if sizes else 0.0
        return Worked(name, spread, tally.lost(), tally.share("reground")[0])

    def spread(words: list[str], which: int, low: float, high: float) -> Spread:
        figures = [each[which] * per_mm for each in found.outcome.measured]
        return Spread(words[0], unit, figures, (low * per_mm, high * per_mm), *words[1:])

    def row(name: str, case: dict[str, Any]) -> tuple[str, str, str]:
        first, second, third = (IN_WORDS.format(cell, **case) for cell in page[name])
        return first, second, third

    return rehearsal_page(
        IN_WORDS.format(page["title"], **told),
        IN_WORDS.format(page["about"], **told, by=by),
        (
            *(row("share", share) for share in _shares(found.outcome)),
            row("corrections", told),
            row("passes", told),
        ),
        (
            spread(page["size"], 0, -job.metal_off, job.metal_on),
            spread(page["angle"], 1, -job.angle, job.angle),
        ),
        worked(page["as_it_is"], found.some),
        (
            Comparison(
                page["limits"],
                [worked(causes[cause], tally) for cause, tally in _widest(found.limits)[: 2 * BEST - 2]],
            ),
            Comparison(page["helps"], [worked(words, tally) for words, tally in found.helps[:BEST]]),
        ),
        (IN_WORDS.format(page["bars"], **told), IN_WORDS.format(page["least"], **told)),
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


def _screen(told: dict[str, Any], found: "Rehearsal") -> str:
    """All that is told on a screen; each thing otherwise with what the very same batches come to with it."""
    screen, causes = _words("screen"), _words("causes")

    def of(tally: "Tally") -> dict[str, float]:
        return {"lost": tally.lost(), "again": tally.share("reground")[0]}

    def ranked(named: "Iterable[tuple[str, Tally]]") -> str:
        lines = (screen["ranked"].format(words=words, **of(tally)) for words, tally in named)
        return "\n".join(islice(lines, BEST))

    return IN_WORDS.format(
        screen["whole"],
        **told,
        shares="\n".join(screen["share"].format(**share) for share in _shares(found.outcome)),
        as_it_is=screen["as_it_is"].format(**told, **of(found.some)),
        limits=ranked((causes[name], tally) for name, tally in found.limits),
        helps=ranked(found.helps),
    )


def _length(figure_mm: float | None, inches: bool) -> str:
    if figure_mm is None:
        return "no less"
    from cardgen.paper.words.figures import Figures

    return Figures("inch" if inches else "metric").stock_up(figure_mm).replace("\u00a0", " ")
