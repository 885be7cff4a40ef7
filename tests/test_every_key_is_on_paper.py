"""Every key that a person can write in a spec changes what is drawn on some paper, or is refused.

For each key of the models another value is written into a small shop, and the drawn marks are compared:
the card, record sheet and gap strip of its part, the part's page and the titles of the booklet, the index
page. The card's code and its QR square are the same throughout, so they change nothing here.
"""

import ast
import copy
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
import yaml

from cardgen.booklet.gather_booklet import gather_booklet
from cardgen.booklet.tables import Booklet, Chapter
from cardgen.card.gather import gather
from cardgen.card.values import Card, as_plain
from cardgen.paper.bench_card import card_sides
from cardgen.paper.book.make import drawn_booklet
from cardgen.paper.gap_strip import gap_strip
from cardgen.paper.record_sheet import record_sheet
from cardgen.shelf.changes import value_changes
from cardgen.shop.folder import Shop
from cardgen.spec.complaint import Complaint
from cardgen.spec.key_reference import shown_on
from cardgen.spec.models import KINDS
from cardgen.spec.models.keys import said_below
from cardgen.spec.models.toolroom import ShopRecord

Dumper = getattr(yaml, "CSafeDumper", yaml.SafeDumper)  # quicker, where PyYAML was built with libyaml
CODE = "the-code"
TODAY = date(2026, 6, 1)

BASE = """\
part:
  id: NOSE
  name: Spindle nose
  operation: Grind
  revision: B
  units: metric
  taper: {callout: '1:8', side: external, length: 62 mm, angle_tolerance: AT6, relief: 3 mm,
    gauge_line: {diameter: 38.000 mm, tolerance: ± 0.010 mm, from_shoulder: 3 mm}}
  gauging: {gauge: RING, light_gauge: LIGHT, reading: shoulder_gap,
    read_with: {rough: steel rule 0.5 mm, finish: slip gauges 0.01 mm}}
  stock: {blank: 0.35 .. 0.50 mm, clean_up: 0.10 mm, leave_for_finishing: 0.08 mm,
    infeed: {rough: 0.02 mm, finish: 0.005 mm}, spark_out_passes: 3}
  material: {name: tool steel, hardness: 60 HRC, group: hardened tool steel}
  batch: {pieces: 40, centre_depth_spread: 0.04 mm, check_every: 5, check_first: 3, gauging_time: 40 s}
  machine: CG-2
  wheel: W-A60
  setup: {gauge_line_from_pivot: 85 mm, set_by: table, overrun: 10 mm, wheel_speed: 1500 rpm,
    work_speed: 90 rpm}
  inspection: {roll: 10 mm, raise: 30 mm, discs: [20 mm, 26 mm]}
  posted_at: [Grinder 2]
  notes: [Mind the key]
gauge:
  id: RING
  name: Ring
  type: ring
  taper: {callout: '1:8'}
  taper_uncertainty: 0.00002 mm/mm
  gauge_line: {diameter: 38.000 mm, uncertainty: 0.0015 mm, coverage_factor: 2}
  length: 50 mm
  calibration_due: 2027-03-31
  master: MASTER
machine:
  id: CG-2
  name: Universal grinder
  swivel:
    limit: 10 deg
    more_taper: tailstock end towards wheel
    scales: [{shows: half_angle, division: 10 arcmin}]
    screw: {radius: 520 mm, lead: 1.5 mm, divisions: 60, type: tangent}
    slips: {radius: 250 mm, type: sine}
    indicator_radius: 450 mm
    indicator_type: tangent
  cross_feed: {reads: diameter, division: 0.0025 mm}
  work_speeds: '60, 90, 140 rpm'
  traverse: 50 .. 4000 mm/min
  wheel_speeds: '1500, 1600 rpm'
  wheel_head: {swivels: true, limit: 45 deg, slide_fed: below, more_taper: clockwise}
  dwell: 0.5 s
wheel:
  id: W-A60
  name: Grey wheel
  marking: A60K5V
  diameter: {new: 400 mm, worn: 320 mm}
  width: 40 mm
  maximum_operating_speed: 35 m/s
  dresser: {type: single point diamond, effective_width: 0.7 mm}
  overlap: {rough: 2, finish: 4}
  g_ratio: 20
booklet:
  id: tables
  title: Taper tables
  units: metric
  paper: A4
  machines: [CG-2]
  parts: [NOSE]
  tapers: ['1:8']
  tables: [stock, divisions, swivel, test_bar, correction, sine_bar, rolls, speeds, warmth, parts]
shop:
  id: shop
  name: Toolroom
  units: metric
  paper: A5
  turn: long_edge
  table_rows: 40
  date_format: '%Y-%m-%d'
  blue_film: 0.005 mm
  sine_bar: 100 mm
  slip_sets: [metric 88]
  rolls: [10 mm]
  temperature_difference: 1 K
  proving: {indicator: 0.001 mm, light_gauge: 0.002 mm, test_bar: {length: 300 mm, straightness: 0.002 mm},
    sine_bar: 0.001 mm, rolls: 0.001 mm}
"""


EVERY_KEY = sorted(
    each.dotted
    for kind, model in KINDS.items()
    for each in said_below(model, (kind,))
    if each.below in (None, ShopRecord)
)


@dataclass(frozen=True)
class Try:
    """Another value for a key; `given` is written on both sides, `also` beside the other value."""

    other: Any
    given: dict[str, Any] = field(default_factory=dict)
    also: dict[str, Any] = field(default_factory=dict)


SEMI_FINISHED: dict[str, Any] = {"part.stock.semi_finish": {"leave": "0.03 mm", "infeed": "0.010 mm"}}
INSIDE: dict[str, Any] = {
    "part.taper.side": "internal",
    "part.taper.relief": None,
    "part.taper.gauge_line": {"diameter": "38.000 mm", "tolerance": "± 0.010 mm", "from_end": "3 mm"},
    "part.gauging.reading": "plug_depth",
    "part.gauging.light_gauge": None,
    "part.inspection": None,
    "gauge.type": "plug",
    "wheel.diameter": {"new": "25 mm", "worn": "20 mm"},
}
TO_COLLAR: dict[str, Any] = {
    **INSIDE,
    "part.gauging.reading": "collar_gap",
    "gauge.face_from_line": "12 mm",
}
MARKED: dict[str, Any] = {"gauge.marks": {"least": "2.95 mm", "most": "3.06 mm"}}
BY_HEAD: dict[str, Any] = {"part.setup.set_by": "wheel head", "wheel.width": "100 mm"}
NO_RELIEF: dict[str, Any] = {"part.taper.relief": None}
LINE = "part.taper.gauge_line"
NO_LINE: dict[str, Any] = {LINE: {"tolerance": "± 0.010 mm"}}

BY_HEAD = {"part.setup.set_by": "wheel head", "wheel.width": "80 mm"}
ON_SPINDLE = {"machine.wheel_head.test_bar": {"length": "150 mm", "straightness": "0.003 mm"}}

TRIES: dict[str, Try] = {
    "booklet.machines": Try(["CG-9"], also={"machine2": {"id": "CG-9"}}),
    "booklet.paper": Try("letter"),
    "booklet.parts": Try(["P-2"], also={"part2": {"id": "P-2"}}),
    "booklet.tables": Try(["rolls"]),
    "booklet.tapers": Try(["1:10"]),
    "booklet.title": Try("Other tables"),
    "booklet.units": Try("inch"),
    "gauge.calibration_due": Try("2027-04-30"),
    "gauge.face_from_line": Try("11 mm", given=TO_COLLAR),
    "gauge.gauge_line.coverage_factor": Try("1"),
    "gauge.gauge_line.diameter": Try("37.990 mm"),
    "gauge.gauge_line.uncertainty": Try("0.004 mm"),
    "gauge.id": Try("RING-2", also={"part.gauging.gauge": "RING-2"}),
    "gauge.length": Try("45 mm"),
    "gauge.marks.least": Try("2.94 mm", given=MARKED),
    "gauge.marks.most": Try("3.05 mm", given=MARKED),
    "gauge.master": Try("MASTER-2", given={"part.gauging.light_gauge": None}),
    "gauge.name": Try("Old ring"),
    "gauge.taper.callout": Try("1:8.001"),
    "gauge.taper_uncertainty": Try("0.005 mm/mm"),
    "gauge.type": Try("plug"),
    "machine.cross_feed.division": Try("0.005 mm"),
    "machine.cross_feed.divisions": Try("50"),
    "machine.cross_feed.readout": Try(
        "0.002 mm", given={"machine.cross_feed.division": None, "machine.cross_feed.readout": "0.001 mm"}
    ),
    "machine.cross_feed.reads": Try("radius"),
    "machine.dwell": Try("5 s"),
    "machine.id": Try("CG-8", also={"part.machine": "CG-8", "booklet.machines": ["CG-8"]}),
    "machine.wheel_head.indicator_radius": Try(
        "250 mm", given={"part.setup.set_by": "wheel head", "wheel.width": "80 mm"}
    ),
    "machine.name": Try("Old grinder"),
    "machine.swivel.indicator_radius": Try("400 mm"),
    "machine.swivel.indicator_type": Try("sine"),
    "machine.swivel.limit": Try("3 deg"),
    "machine.swivel.more_taper": Try("tailstock end away from wheel"),
    "machine.swivel.scales.division": Try("20 arcmin"),
    "machine.swivel.scales.shows": Try("included_angle"),
    "machine.swivel.screw.divisions": Try("100"),
    "machine.swivel.screw.lead": Try("2 mm"),
    "machine.swivel.screw.more": Try("clockwise"),
    "machine.swivel.screw.radius": Try("600 mm"),
    "machine.swivel.screw.take_up_play": Try("less"),
    "machine.swivel.screw.type": Try("sine", given={"machine.swivel.indicator_type": None}),
    "machine.swivel.slips.radius": Try("300 mm"),
    "machine.swivel.slips.type": Try("tangent"),
    "machine.traverse": Try("50 .. 100 mm/min"),
    "machine.wheel_head.limit": Try("1 deg", given=BY_HEAD),
    "machine.wheel_head.more_taper": Try("anticlockwise", given=BY_HEAD),
    "machine.wheel_head.slide_fed": Try("above", given=BY_HEAD),
    "machine.wheel_head.swivels": Try("false", given=BY_HEAD),
    "machine.wheel_head.test_bar.length": Try("60 mm", given=BY_HEAD | ON_SPINDLE),
    "machine.wheel_head.test_bar.straightness": Try("0.2 mm", given=BY_HEAD | ON_SPINDLE),
    "machine.wheel_speeds": Try("1450 rpm", given={"part.setup.wheel_speed": None}),
    "machine.work_speeds": Try("60, 75 rpm", given={"part.setup.work_speed": None}),
    "part.batch.centre_depth_spread": Try("0.08 mm"),
    "part.batch.check_every": Try("7"),
    "part.batch.check_first": Try("4", given={"part.batch.centre_depth_spread": "0.01 mm"}),
    "part.batch.gauging_time": Try("90 s"),
    "part.batch.pieces": Try("50"),
    "part.drawing": Try("7-118"),
    "part.gauging.finish": Try("3.0 mm ± 0.04 mm"),
    "part.gauging.gauge": Try("RING-3"),
    "part.gauging.light_gauge": Try(None),
    "part.gauging.plane": Try("2 mm", given=INSIDE),
    "part.gauging.read_with.finish": Try("caliper 0.02 mm"),
    "part.gauging.read_with.rough": Try("steel rule 1 mm"),
    "part.gauging.reading": Try("small_end_standout"),
    "part.holding.centres": Try("dead"),
    "part.holding.coolant": Try("4 % emulsion"),
    "part.holding.driver": Try("carrier 40 mm"),
    "part.holding.steady": Try("two-jaw"),
    "part.id": Try("NOSE-2", also={"booklet.parts": ["NOSE-2"]}),
    "part.inspection.balls": Try(
        ["33 mm", "35 mm"], given={**INSIDE, "part.inspection.balls": ["33 mm", "36 mm"]}
    ),
    "part.inspection.discs": Try(["20 mm", "25 mm"]),
    "part.inspection.raise": Try("25 mm"),
    "part.inspection.roll": Try("12 mm"),
    "part.machine": Try("CG-9", also={"machine2": {"id": "CG-9"}}),
    "part.material.group": Try("soft carbon steel"),
    "part.material.hardness": Try("58 HRC"),
    "part.material.name": Try("D2"),
    "part.name": Try("Spindle"),
    "part.notes": Try(["Mind the thread"]),
    "part.operation": Try("Finish"),
    "part.operation_number": Try("30"),
    "part.order": Try("26-118"),
    "part.piece": Try("TWIN", given={"part.operation_number": "30"}),
    "part.posted_at": Try(["Grinder 3"]),
    "part.revision": Try("C"),
    "part.setup.clearance": Try("2 mm", given=NO_RELIEF),
    "part.setup.gauge_line_from_pivot": Try("-85 mm"),
    "part.setup.overrun": Try("12 mm"),
    "part.setup.set_by": Try("wheel head", given={"wheel.width": "100 mm"}),
    "part.setup.wheel_speed": Try("1600 rpm"),
    "part.setup.work_speed": Try("60 rpm"),
    "part.salvage.at_most": Try("0.25 mm", given={"part.salvage": {"at_most": "0.20 mm"}}),
    "part.shop": Try({"blue_film": "0.002 mm"}),
    "part.stock.blank": Try("0.40 .. 0.50 mm"),
    "part.stock.clean_up": Try("0.22 mm"),
    "part.stock.infeed.finish": Try("0.010 mm"),
    "part.stock.infeed.rough": Try("0.03 mm"),
    "part.stock.leave_for_finishing": Try("0.15 mm"),
    "part.stock.semi_finish.infeed": Try("0.012 mm", given=SEMI_FINISHED),
    "part.stock.semi_finish.leave": Try("0.04 mm", given=SEMI_FINISHED),
    "part.stock.semi_finish.read_with": Try("rough", given=SEMI_FINISHED),
    "part.stock.spark_out_passes": Try("5"),
    "part.taper.angle_tolerance": Try("AT8"),
    "part.taper.callout": Try("12.5 %"),
    "part.taper.gauge_line.diameter": Try("38.010 mm"),
    "part.taper.gauge_line.from_end": Try("4 mm", given=INSIDE),
    "part.taper.gauge_line.from_shoulder": Try("4 mm"),
    "part.taper.gauge_line.from_small_end": Try(
        "30 mm",
        given={LINE: {"diameter": "34.375 mm", "tolerance": "± 0.010 mm", "from_small_end": "30.1 mm"}},
    ),
    "part.taper.gauge_line.tolerance": Try("± 0.008 mm"),
    "part.taper.large_diameter": Try("38.4 mm", given={**NO_LINE, "part.taper.large_diameter": "38.375 mm"}),
    "part.taper.length": Try("60 mm"),
    "part.taper.open_both_ends": Try(
        "true", given={**NO_RELIEF, "part.gauging.reading": "small_end_standout"}
    ),
    "part.taper.relief": Try("2 mm"),
    "part.taper.side": Try("internal"),
    "part.taper.small_diameter": Try("30.7 mm", given={**NO_LINE, "part.taper.small_diameter": "30.625 mm"}),
    "part.units": Try("both"),
    "part.wheel": Try("W-9", also={"wheel2": {"id": "W-9"}}),
    "shop.blue_film": Try("0.003 mm"),
    "shop.date_format": Try("%d.%m.%Y"),
    "shop.name": Try("Toolroom 2"),
    "shop.paper": Try("A4"),
    "shop.proving.balls": Try(
        "0.002 mm",
        given={**INSIDE, "shop.proving.balls": "0.001 mm", "part.inspection.balls": ["33 mm", "36 mm"]},
    ),
    "shop.proving.indicator": Try("0.01 mm"),
    "shop.proving.light_gauge": Try("0.001 mm"),
    "shop.proving.rolls": Try("0.002 mm"),
    "shop.proving.sine_bar": Try("0.002 mm"),
    "shop.proving.test_bar.length": Try("150 mm"),
    "shop.proving.test_bar.straightness": Try("0.01 mm"),
    "shop.rehearsal.film": Try("2"),
    "shop.rehearsal.pivot": Try("2 mm"),
    "shop.rehearsal.repeatability": Try("0.001 mm"),
    "shop.rehearsal.scale": Try("1 arcmin"),
    "shop.rehearsal.temperature": Try("1 K"),
    "shop.rehearsal.wear": Try("2"),
    "shop.rolls": Try(["12 mm"], given={"part.inspection.roll": None}),
    "shop.sine_bar": Try("200 mm"),
    "shop.slip_sets": Try(["inch 81"]),
    "shop.table_rows": Try("8"),
    "shop.temperature_difference": Try("8 K"),
    "shop.turn": Try("short_edge"),
    "shop.units": Try("inch", given={"part.units": None}),
    "wheel.diameter.new": Try("390 mm"),
    "wheel.diameter.worn": Try("300 mm"),
    "wheel.dresser.effective_width": Try("0.4 mm"),
    "wheel.dresser.type": Try("dressing roll"),
    "wheel.g_ratio": Try("10"),
    "wheel.id": Try("W-9", also={"part.wheel": "W-9"}),
    "wheel.marking": Try("A80K5V"),
    "wheel.maximum_operating_speed": Try("40 m/s"),
    "wheel.name": Try("White wheel"),
    "wheel.overlap.finish": Try("8"),
    "wheel.overlap.rough": Try("4"),
    "wheel.width": Try("38 mm"),
}
# Values that are told to be wrong: no card is made.
REFUSED = {
    "gauge.type",
    "machine.swivel.limit",
    "machine.wheel_head.limit",
    "machine.wheel_head.swivels",
    "part.taper.side",
}
# What no mark can show, and why it is there all the same.
NAMES_A_FILE = {
    "booklet.id": "names the booklet's file and is in its code",
    "shop.id": "names the record in messages, and which of two is kept",
}


def test_every_key_is_tried() -> None:
    """A new key needs a line above, and its papers kept: `python -m tests.kept_keys`."""
    assert sorted([*TRIES, *NAMES_A_FILE]) == EVERY_KEY == sorted(shown_on())


@pytest.mark.parametrize("key", TRIES)
def test_a_key_changes_a_paper_or_is_refused(key: str) -> None:
    """Another value leaves other marks on paper; one that cannot be meant is told, and there is no card."""
    before, after = map(marks, written_both_ways(key))
    assert before
    assert before != after
    assert (not after) == (key in REFUSED)
    assert measured(key) == shown_on()[key], "what the reference says: python -m tests.kept_keys"


@cache
def written_both_ways(key: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The shop before the key has its other value, and with it."""
    tried = TRIES[key]
    return records(tried.given), records({**tried.given, **tried.also, key: tried.other})


@cache
def base() -> dict[str, Any]:
    """The base shop's records, not to be changed in place."""
    found: dict[str, Any] = yaml.load(BASE, yaml.BaseLoader)
    return found


def records(changes: dict[str, Any]) -> tuple[str, ...]:
    """The base shop with these keys written otherwise, as YAML, a document a record."""
    found = copy.deepcopy(base())
    for key, value in copy.deepcopy(changes).items():
        kind, *path = key.split(".")
        if not path:  # a second record of a kind: the first but for what is given
            found[kind] = {**copy.deepcopy(found[kind.rstrip("2")]), **value}
            continue
        at = found[kind]
        for step in path[:-1]:
            at = at.setdefault(step, {})
            at = at[0] if isinstance(at, list) else at
        if value is None:
            at.pop(path[-1], None)
        else:
            at[path[-1]] = value
    gauge = found["gauge"]
    for other in ("LIGHT", "MASTER", "MASTER-2", "RING-3"):
        kind = "light" if other == "LIGHT" else gauge["type"]
        found[f"gauge {other}"] = {**gauge, "id": other, "type": kind, "master": None}
        if other == "LIGHT":
            found["gauge LIGHT"] = {
                key: value
                for key, value in found["gauge LIGHT"].items()
                if key not in ("face_from_line", "marks")
            }
    return tuple(
        _written(repr({"kind": name.split()[0].rstrip("2"), **_kept(record)}))
        for name, record in found.items()
    )


@cache
def _written(record: str) -> str:
    """A record as YAML; most of a shop's are those of the one before."""
    written: str = yaml.dump(ast.literal_eval(record), Dumper=Dumper, allow_unicode=True)
    return written


def _kept(record: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in record.items() if value is not None}


BESIDE, WITHIN = "external", "internal"
INSPECTED_WITH = {
    "part.inspection.roll": ("12 mm", {BESIDE}),
    "part.inspection.raise": ("25 mm", {BESIDE}),
    "part.inspection.balls": (["33 mm", "35 mm"], {WITHIN}),
    "part.inspection.discs": (["20 mm", "26 mm"], {BESIDE, WITHIN}),
}


def test_every_means_of_inspection_is_tried_on_both_sides() -> None:
    """A new one needs a line above: which sides it measures."""
    assert sorted(INSPECTED_WITH) == [key for key in EVERY_KEY if key.startswith("part.inspection.")]


@pytest.mark.parametrize("side", [BESIDE, WITHIN])
@pytest.mark.parametrize("key", INSPECTED_WITH)
def test_a_means_of_inspection_is_on_paper_or_refused_at_its_key(key: str, side: str) -> None:
    """Rolls do not measure a bore nor balls a shank: what a side has no use for is not passed in silence."""
    value, sides = INSPECTED_WITH[key]
    given = {**(INSIDE if side == WITHIN else {}), "part.inspection": None}
    stated = records({**given, key: value})
    assert marks(records(given)) != marks(stated)
    told = complaints(stated)
    if side in sides:
        assert not told
    else:
        (complaint,) = told
        assert complaint.line == _line_of(stated, key.rpartition(".")[2])
        assert "leave it out" in complaint.right


def test_rolls_raised_beyond_half_of_the_taper_are_refused() -> None:
    """They are not set lower in silence: the size on paper is the one over the slips that were asked for."""
    assert not complaints(records({"part.inspection.raise": "31 mm"}))
    (complaint,) = complaints(records({"part.inspection.raise": "31.5 mm"}))
    assert "more than half of the length 62 mm" in complaint.wrong


def _line_of(documents: tuple[str, ...], key: str) -> int:
    """The line of the file that has the key."""
    return next(
        number
        for document in documents
        for number, line in enumerate(document.splitlines(), 1)
        if line.strip().startswith(f"{key}:")
    )


def complaints(documents: tuple[str, ...]) -> tuple[Complaint, ...]:
    """What is told of this shop's specs."""
    with TemporaryDirectory() as name:
        return tuple(_shop(Path(name), documents).complaints)


def _shop(folder: Path, documents: tuple[str, ...]) -> Shop:
    (folder / "specs").mkdir()
    for number, document in enumerate(documents):  # a file each: what is as it was stands where it stood
        (folder / "specs" / f"{number:02}.yaml").write_text(document, "utf-8")
    return Shop.read(folder, TODAY)


def marks(documents: tuple[str, ...]) -> tuple[Any, ...]:
    """What the papers of this shop show; nothing where it is refused."""
    return tuple(papers(documents).values())


@cache
def papers(documents: tuple[str, ...]) -> dict[str, Any]:
    """What each paper of this shop shows, and its card's values; nothing where it is refused."""
    with TemporaryDirectory() as name:
        shop = _shop(Path(name), documents)
    if shop.complaints:
        return {}
    part = next(part for part in shop.library.parts.values() if part.id != "P-2")
    made = gather(shop.records(part), CODE, TODAY)
    if not made.sound:
        return {}
    return {
        "card": _drawn(card_sides(made.card, part.shop.paper, shop.read_templates)),
        "strip": gap_strip(made.card, shop.read_templates).pdf(),
        "record sheet": record_sheet(made.card, "A4", shop.read_templates).pdf(),
        "sheet": shop.library.shop.turn,
        "booklet": _booklet(shop, made.card),
        "values": as_plain(made.card),
    }


def measured(key: str) -> tuple[str, ...]:
    """The papers that another value of the key changes, as far as it is not refused beside the others."""
    if key in NAMES_A_FILE or key in REFUSED:
        return ("refused where it does not fit the rest",) if key in REFUSED else ()
    before, after = map(papers, written_both_ways(key))
    changed = [name for name in before if before[name] != after[name]]
    return (*changed, *(["notice"] if value_changes(before["values"], after["values"]) else []))


def _booklet(shop: Shop, card: Card) -> tuple[str, ...]:
    """The booklet's title, its tables, which few keys change, and by itself what it says of the part."""
    record = shop.library.booklets["tables"]
    cards = dict.fromkeys(shop.library.parts, card)
    made = gather_booklet(record, shop.library, cards, {}, CODE)
    of_parts = tuple(chapter for chapter in made.chapters if chapter.name == "parts")
    others = tuple(chapter for chapter in made.chapters if chapter.name != "parts")
    if not of_parts or not others:
        return _pages(made, shop)
    return _pages(replace(_with(made, others), parts=()), shop) + _pages(_with(made, of_parts), shop)


def _with(booklet: Booklet, chapters: tuple[Chapter, ...]) -> Booklet:
    """The booklet of these chapters alone."""
    tables = {id(table) for chapter in chapters for table in chapter.tables}
    return replace(
        booklet, chapters=chapters, names=tuple(name for name in booklet.names if id(name.table) in tables)
    )


DRAWN: dict[str, tuple[str, ...]] = {}  # what was drawn of a booklet, by all that it says


def _pages(booklet: Booklet, shop: Shop) -> tuple[str, ...]:
    said = repr(booklet)
    if said not in DRAWN:
        DRAWN[said] = _drawn(drawn_booklet(booklet, shop.templates)[0])
    return DRAWN[said]


def _drawn(sides: Any) -> tuple[str, ...]:
    return tuple("\n".join((f"{side.width} {side.height}", *side.operators)) for side in sides)


def test_a_key_that_serves_nothing_any_more_is_refused_with_what_to_do() -> None:
    """Specs of old are not taken in silence."""
    (record,) = (text for text in records({"shop.rounding": {"metric": "0.001 mm"}}) if "kind: shop" in text)
    with TemporaryDirectory() as name:
        (Path(name) / "specs").mkdir()
        (Path(name) / "specs" / "shop.yaml").write_text(record, "utf-8")
        (complaint,) = Shop.read(Path(name), TODAY).complaints
    assert "the key 'rounding' serves nothing any more; leave it out" in str(complaint)
