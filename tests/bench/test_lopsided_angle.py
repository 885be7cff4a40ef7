"""A taper that may be off more one way than the other: aimed at the middle, gauged at what is called for."""

import math
from dataclasses import replace
from pathlib import Path

import pytest

from cardgen.rehearsal.errors import Errors
from cardgen.rehearsal.floor import FloorJob
from cardgen.rehearsal.outcome import rehearse
from cardgen.rehearsal.rows_looked_up import Card
from tests.bench.cards import changed_card
from tests.bench.jobs import JOBS
from tests.bench.still import still_bench, straight, try_infeeds, try_settings, try_stages, work

# Part, its file, what is written there, what instead, least and most of the difference of diameters.
LOPSIDED = [
    ("PIN", "parts_outside", "± 0.014 mm over the length", "+0 / -0.028 mm over the length", -0.028, 0.0),
    ("PIN", "parts_outside", "± 0.014 mm over the length", "+0.026 / -0 mm over the length", 0.0, 0.026),
    ("COLLET", "parts_inside", "± 0.012 mm over the length", "+0.024 / -0.004 mm over 55 mm", -0.004, 0.024),
    ("COLLET", "parts_inside", "± 0.012 mm over the length", "+0 / -0.020 mm over 55 mm", -0.020, 0.0),
]
EACH = [pytest.param(each, id=f"{each[0]} {each[3]}") for each in LOPSIDED]
Called = tuple[str, str, str, str, float, float]


def card_and_job(folder: Path, called: Called) -> tuple[Card, FloorJob]:
    """The card of the part so called out, and its job, the taper in the middle of what it may be."""
    part, file, written, instead, less, more = called
    card = changed_card(folder, part, file, (written, instead))
    job = JOBS[part]
    steepest, shallowest = (math.atan((job.ratio + off / job.length) / 2) for off in (more, less))
    aimed = 2 * math.tan((steepest + shallowest) / 2)
    return card, replace(job, ratio=aimed, angle=(more - less) / 2)


@pytest.mark.parametrize("called", EACH)
def test_settings_feeds_and_sizes_are_those_of_the_taper_aimed_at(tmp_path: Path, called: Called) -> None:
    """Every way to set the swivel, every row to feed by, every diameter of a stage."""
    card, job = card_and_job(tmp_path, called)
    for trial in (try_settings, try_infeeds, try_stages):
        assert list(trial(card, job)) == [], trial.__name__


@pytest.mark.parametrize("called", EACH)
def test_the_gauge_of_the_taper_called_for_reads_a_right_piece_as_the_card_says(
    tmp_path: Path, called: Called
) -> None:
    """At finish size to the last figure; above it the two tapers differ by a share of the stock."""
    card, job = card_and_job(tmp_path, called)
    bench, share = still_bench(job), abs(job.ratio - job.gauge.ratio) / job.gauge.ratio
    finish = {"stock_mm": 0.0, "reading_mm": card["reading"]["finish_mm"]}
    for row in (finish, *card["stages"], *card["stock_table"]):
        bench.mount(work(job, straight(job, job.gauge_line_at, row["stock_mm"])))
        apart = abs(bench.true_reading() - row["reading_mm"]) * job.gauge.ratio
        assert apart <= 1e-6 + 1.02 * share * abs(row["stock_mm"])


@pytest.mark.parametrize("called", EACH)
def test_in_a_shop_where_nothing_is_out_every_piece_is_within_both_limits(
    tmp_path: Path, called: Called
) -> None:
    """Blue first brings it to the gauge's taper, which is a limit; what measures brings it to the middle."""
    card, job = card_and_job(tmp_path, called)
    assert card["proof"]["decided_by"] not in (None, "blue", "light gauge")
    assert rehearse(card, job, Errors.none(), 2, 1).lost() == 0
