"""What a check advises, followed to the letter: from the text of the check to the records and the floor.

Each case makes a part of the bench poor in one thing, so that its check speaks, reads the figures out of what
the check says, and gives the part just these. Nothing else tells the follower what would do.
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from cardgen.card.facts import Records
from cardgen.card.gather import gather
from cardgen.card.values import Card, as_plain
from cardgen.rehearsal.errors import Errors
from cardgen.rehearsal.floor import FloorJob
from cardgen.rehearsal.outcome import Tally, rehearse
from cardgen.shop.folder import Shop
from cardgen.spec.models.tooling import TestBar
from tests.bench.bars import EQUIPPED
from tests.bench.jobs import INCH, JOBS
from tests.bench.judge import ARC_MINUTE, usual

TODAY = date(2026, 6, 1)
LENGTHS = {"µm": 0.001, "tenths of a thou": 0.0001 * INCH, "mm": 1.0, "in": INCH}
LENGTH = rf"([\d.]+) ({'|'.join(LENGTHS)})"
FAR_OUT = 30 * ARC_MINUTE  # a scale by which no stock is enough
COARSE = 64  # times the division of a tool that proves the size


@dataclass(frozen=True)
class Floor:
    """A part as its records have it, and as it truly stands on the floor."""

    records: Records
    job: FloorJob
    errors: Errors

    def card(self) -> Card:
        return gather(self.records, "", TODAY).card

    def worked(self, batches: int, seed: int = 1) -> Tally:
        """So many batches by the card as it now is."""
        plain: dict[str, Any] = as_plain(self.card())
        return rehearse(plain, self.job, self.errors, batches, seed)

    def proving(self, **has: Any) -> "Floor":
        """With other things to set and prove by in the shop's record."""
        proving = self.records.shop.proving.model_copy(update=has)
        return replace(self, records=replace(self.records, shop=_copy(self.records.shop, proving=proving)))

    def told(self, code: str) -> str:
        """What this check says; nothing where it does not speak."""
        return next((check.text for check in self.card().checks if check.code == code), "")


def _copy(record: Any, **changes: Any) -> Any:
    return record.model_copy(update=changes)


@cache
def _shop() -> Shop:
    return Shop.read(Path(__file__).parent, TODAY)


def floor(part: str) -> Floor:
    """The part in the bench's own shop, which has no bars and no indicator."""
    records = _shop().records(_shop().library.parts[part])
    return Floor(records, JOBS[part], usual(JOBS[part])).proving(test_bar=None, indicator_mm=None)


def equipped(part: str) -> Floor:
    """The same with every bar, roll and ball."""
    bare = floor(part)
    rich = replace(bare, records=replace(bare.records, shop=_copy(bare.records.shop, proving=EQUIPPED)))
    return _with_bars(rich, 300.0, 150.0, 0.002)


def _with_bars(at: Floor, between: float, on_spindle: float, straight: float) -> Floor:
    bar, other = (
        TestBar.model_construct(length_mm=each, straightness_mm=straight) for each in (between, on_spindle)
    )
    head = _copy(at.records.machine.wheel_head, test_bar=other)
    records = replace(at.records, machine=_copy(at.records.machine, wheel_head=head))
    proving = replace(
        at.job.proving,
        bar=straight,
        bar_length=between,
        spindle_bar=straight,
        spindle_bar_length=on_spindle,
    )
    return replace(at, records=records, job=replace(at.job, proving=proving)).proving(test_bar=bar)


# ---- poor in one thing


def with_no_proof(part: str) -> Floor:
    """Nothing but blue to prove the angle with."""
    poor = equipped(part).proving(rolls_mm=None, balls_mm=None, sine_bar_mm=None)
    job = replace(poor.job, light_gauge=None)
    return replace(poor, records=replace(poor.records, light_gauge=None), job=job)


def with_a_coarse_tool(part: str) -> Floor:
    """A finishing tool by which no reading proves the size."""
    rich = equipped(part)
    return _with_division(rich, COARSE * rich.job.tools[1])


def _with_division(at: Floor, division: float) -> Floor:
    gauging = at.records.part.gauging
    tools = _copy(gauging.read_with, finish=replace(gauging.read_with.finish, division_mm=division))
    part = _copy(at.records.part, gauging=_copy(gauging, read_with=tools))
    return replace(
        at,
        records=replace(at.records, part=part),
        job=replace(at.job, tools=(at.job.tools[0], division)),
    )


def with_a_doubtful_gauge(part: str) -> Floor:
    """A gauge calibrated no closer than the whole tolerance."""
    rich = equipped(part)
    return _with_certificate(rich, 2 * rich.job.metal_on)


def _with_certificate(at: Floor, expanded: float) -> Floor:
    line = _copy(at.records.gauge.gauge_line, uncertainty_mm=expanded, coverage_factor=2.0)
    gauge = _copy(at.records.gauge, gauge_line=line)
    doubt = expanded / 2
    job, errors = replace(at.job, gauge_doubt=doubt), replace(at.errors, gauge=doubt)
    return replace(at, records=replace(at.records, gauge=gauge), job=job, errors=errors)


def with_warm_work(part: str) -> Floor:
    """Work of which nobody knows how warm it is."""
    rich = equipped(part)
    return _with_warmth(rich, 20.0)


def _with_warmth(at: Floor, kelvin: float) -> Floor:
    shop = _copy(at.records.shop, temperature_difference_k=kelvin)
    return replace(at, records=replace(at.records, shop=shop), errors=replace(at.errors, temperature=kelvin))


def with_a_scale_far_out(part: str) -> Floor:
    """A scale that leaves more over than a cleaned-up blank has on, and no other way to set the swivel."""
    bare = floor(part)
    shop = bare.records.shop
    table = _copy(bare.records.machine.swivel, slips=None)
    records = replace(
        bare.records,
        shop=_copy(shop, rehearsal=_copy(shop.rehearsal, scale_rad=FAR_OUT)),
        machine=_copy(bare.records.machine, swivel=table),
    )
    return replace(bare, records=records, errors=replace(bare.errors, scale=FAR_OUT))


# ---- what the check says, done


def _lengths(text: str, pattern: str) -> list[float]:
    found = re.search(pattern, text)
    assert found, text
    said = found.groups()
    return [float(said[i]) * LENGTHS[said[i + 1]] for i in range(0, len(said), 2)]


def follow_proof(at: Floor, text: str) -> Floor:
    """Two diameters over rolls, or by two balls, as sure as is said."""
    (sure,) = _lengths(text, f"sure to {LENGTH} would do")
    means = "rolls" if at.job.side > 0 else "balls"
    proving = replace(at.job.proving, sure=((means, sure),))
    return replace(at, job=replace(at.job, proving=proving)).proving(**{f"{means}_mm": sure})


def follow_tool(at: Floor, text: str) -> Floor:
    """A finishing tool of the division that is said."""
    (division,) = _lengths(text, f"a tool of {LENGTH} would do")
    return _with_division(at, division)


def follow_doubt(at: Floor, text: str) -> Floor:
    """A gauge calibrated as closely, work as near to its warmth, as is said; then the tool, if any is."""
    if "no tool would do" not in text:
        return follow_tool(at, text)
    kelvin = re.search(r"within ([\d.]+) K of it", text)
    if kelvin:
        known = _with_warmth(at, float(kelvin[1]))
    else:
        (expanded,) = _lengths(text, rf"to ± {LENGTH} \(k = 2\)")
        known = _with_certificate(at, expanded)
    more = known.told("size-not-proved")
    return follow_tool(known, more) if more else known


def follow_start(at: Floor, text: str) -> Floor:
    """Bars as long and as straight, and an indicator as fine, as is said."""
    on_spindle = f" and one of {LENGTH} on the wheel spindle"
    head = at.card().swivel.set_by == "wheel head"
    figures = _lengths(
        text,
        f"a test bar of {LENGTH} between centres{on_spindle if head else ''}, straight to {LENGTH}, "
        f"and an indicator of {LENGTH} would leave",
    )
    between, spindle = figures[0], figures[1] if head else 0.0
    straight, indicator = figures[-2:]
    with_bars = _with_bars(at, between, spindle, straight).proving(indicator_mm=indicator)
    proving = replace(with_bars.job.proving, indicator=indicator)
    return replace(with_bars, job=replace(with_bars.job, proving=proving))


@dataclass(frozen=True)
class Case:
    """A check, what makes it speak, and how what it says is done."""

    code: str
    poor: Callable[[str], Floor]
    follow: Callable[[Floor, str], Floor]


CASES = {
    "no proof": Case("angle-not-proved", with_no_proof, follow_proof),
    "coarse tool": Case("size-not-proved", with_a_coarse_tool, follow_tool),
    "doubtful gauge": Case("size-not-proved", with_a_doubtful_gauge, follow_doubt),
    "warm work": Case("size-not-proved", with_warm_work, follow_doubt),
    "scale far out": Case("start-beyond-stock", with_a_scale_far_out, follow_start),
    "no bar": Case("start-far-off", floor, follow_start),
}


def spoken() -> Iterator[tuple[str, str]]:
    """Every case, and every taper of the bench at which its check speaks."""
    for name, case in CASES.items():
        for part in JOBS:
            if case.poor(part).told(case.code):
                yield name, part


def followed(name: str, part: str) -> Floor:
    """The part as the check would have it."""
    case = CASES[name]
    at = case.poor(part)
    return case.follow(at, at.told(case.code))
