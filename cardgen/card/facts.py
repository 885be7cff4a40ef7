"""What every section of a card is worked out from: the records, the geometry, how the angle is set."""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

from cardgen import tapers, terms
from cardgen.card import values
from cardgen.card.at_the_bench import StockSums
from cardgen.card.finding import Finding, PartErrors, found
from cardgen.card.geometry import Geometry, resolve
from cardgen.compute import doubt, infeed, inspection, reading, seat, stages, swivel
from cardgen.compute.conformity import COVERAGE
from cardgen.compute.doubt import StockDoubt
from cardgen.digits import length_text
from cardgen.spec.callout import TaperUncertainty, ToolCallout
from cardgen.spec.models import GaugeRecord, MachineRecord, PartRecord, ShopRecord, WheelRecord
from cardgen.spec.quantity import Span
from cardgen.terms import ReadingKind, StageName, Swivelled, ToolUse


@dataclass(frozen=True)
class Records:
    """The records one card is made from."""

    part: PartRecord
    gauge: GaugeRecord
    light_gauge: GaugeRecord | None
    machine: MachineRecord
    wheel: WheelRecord
    shop: ShopRecord
    other_operations: tuple[PartRecord, ...] = ()  # on the same piece, in their order


@dataclass(frozen=True)
class Facts:
    """The records, and what follows from them for more than one section of the card."""

    records: Records
    geometry: Geometry
    kind: ReadingKind
    per_reading: float  # stock on the diameter for 1 mm of reading, signed
    set_by: Swivelled
    feed_angle: float  # rad
    seat: seat.Seat
    sizing: stages.Sizing
    allowances: stages.Allowances
    practice: tapers.Practice
    expansion: tapers.Expansion
    doubt: StockDoubt  # of the stock at finish size, read with the finishing tool
    findings: tuple[Finding, ...]

    @property
    def metric(self) -> bool:
        """Whether round figures are round in millimetres; else they are round in inches."""
        return self.records.part.units != "inch"

    @property
    def zone(self) -> float:
        """Width of the limits to accept, mm on the diameter; nothing or less where no size can be proved."""
        return self.allowances.accept_high - self.allowances.accept_low

    @cached_property
    def planned(self) -> tuple[stages.PlannedStage, ...]:
        """The sizes of the part on the way."""
        return stages.stages(self.sizing, self.allowances)

    def stage(self, name: StageName) -> stages.PlannedStage:
        """The one of this name, which every part has."""
        return self._by_name[name]

    @cached_property
    def _by_name(self) -> dict[StageName, stages.PlannedStage]:
        return {stage.name: stage for stage in self.planned}

    @cached_property
    def read(self) -> values.Reading:
        """What the gauge shows on a finished piece, between which limits, read with which tools."""
        return _reading_values(self)

    @cached_property
    def handwheel(self) -> values.Handwheel:
        """The cross-feed's handwheel, or its readout: what one division, or one step, is worth."""
        wheel = self.records.machine.cross_feed
        travel = infeed.travel_per_division(wheel.reads, wheel.step.value)
        depth = travel / infeed.cross_feed_travel(1.0, self.feed_angle)
        return values.Handwheel(
            reads=wheel.reads,
            division_mm=wheel.step.value,
            division_text=wheel.step.text,
            stock_per_division_mm=infeed.stock_removed(depth, self.geometry.half_angle),
            turn_divisions=wheel.divisions,
            readout=wheel.readout.system if wheel.readout is not None else None,
        )

    @cached_property
    def sums(self) -> StockSums:
        """What turns a reading into stock, feed and stage."""
        read = self.read
        return StockSums(
            self.sizing, self.allowances, self.planned, read.rough_tool, read.finish_tool, self.handwheel
        )

    @cached_property
    def contact(self) -> float:
        """Length along the axis over which gauge and finished work touch, mm."""
        return seat.contact_length(self.seat)

    def doubt_at(self, stock: float, use: ToolUse) -> StockDoubt:
        """How sure the stock is that a piece with so much on reads, by the roughing or the finishing tool."""
        return stock_doubt(self.records, self.geometry, self.expansion, stock / self.per_reading, use)

    def found(self, name: str, /, **case: Any) -> Finding:
        """A check of the part and what goes with it, with the figures of the case."""
        own = {kind: getattr(self.records, kind).id for kind in ("gauge", "machine", "wheel")}
        return found(name, self.records.part, **{**own, **case})

    def told(self, length_mm: float) -> str:
        """A length in the words of a finding."""
        return length_text(length_mm, self.records.part.units)


def facts_of(records: Records) -> Facts:
    """Work out the facts; raises PartErrors where the part's own figures disagree."""
    part, machine = records.part, records.machine
    geometry = resolve(part, records.gauge)
    set_by = _set_by(part, machine, geometry.aim_half_angle)
    feed_angle = infeed.feed_angle(set_by, machine.wheel_head.slide_fed, geometry.half_angle)
    kind = part.gauging.reading
    expansion = tapers.expansion(part.material.group)
    at_finish = stock_doubt(records, geometry, expansion, 0.0, "finish")
    blank = _blank(part, geometry)
    _require_hole(part, geometry, blank.high)
    return Facts(
        records=records,
        geometry=geometry,
        kind=kind,
        per_reading=reading.stock_per_reading(kind, geometry.ratio),
        set_by=set_by,
        feed_angle=feed_angle,
        seat=seat.seated(
            part.taper.side,
            geometry.ratio,
            geometry.face_diameter + geometry.aim_above_basic,
            geometry.length,
            part.taper.relief_mm,
            geometry.gauge_from_face,
            geometry.gauge_length,
            part.setup.gauge_line_from_pivot_mm + geometry.line_from_face,
        ),
        sizing=stages.Sizing(
            kind=kind,
            ratio=geometry.ratio,
            finish_reading=geometry.finish_reading,
            line_diameter=geometry.line_diameter + geometry.aim_above_basic,
            small_diameter=geometry.aimed_diameter(geometry.length) + geometry.aim_above_basic,
            feed_angle=feed_angle,
            handwheel_reads=machine.cross_feed.reads,
            handwheel_division=machine.cross_feed.step.value,
            rough_division=part.gauging.read_with.rough.division_mm,
            finish_division=part.gauging.read_with.finish.division_mm,
        ),
        allowances=stages.Allowances(
            blank_low=blank.low,
            blank_high=blank.high,
            clean_up=part.stock.clean_up_mm,
            leave_for_finishing=part.stock.leave_for_finishing_mm,
            finish_low=-geometry.size_half_band,
            finish_high=geometry.size_half_band,
            doubt=at_finish.expanded(COVERAGE),
            semi_finish=_semi_finish(part),
        ),
        practice=tapers.grinding_practice(part.material.group),
        expansion=expansion,
        doubt=at_finish,
        findings=geometry.findings,
    )


def stock_doubt(
    records: Records,
    geometry: Geometry,
    expansion: tapers.Expansion,
    reading_from_finish: float,
    use: ToolUse,
) -> StockDoubt:
    """How sure the stock is at a reading so far from the finish, by the records of gauge, tool and shop."""
    line, tools = records.gauge.gauge_line, records.part.gauging.read_with
    return doubt.stock_doubt(
        ratio=geometry.ratio,
        reading_from_finish=reading_from_finish,
        diameter=geometry.line_diameter,
        expansion=expansion.coefficient_per_k,
        reading=doubt.reading_uncertainty((tools.rough if use == "rough" else tools.finish).division_mm),
        gauge_ratio=_ratio_uncertainty(records.gauge.taper_uncertainty, geometry.half_angle),
        gauge_diameter=(
            doubt.standard_from_expanded(line.uncertainty_mm, line.coverage_factor) if line else 0.0
        ),
        temperature=records.shop.temperature_difference_k,
    )


def _ratio_uncertainty(given: TaperUncertainty | None, half_angle: float) -> float:
    """The standard uncertainty of the gauge's taper as a ratio; 0 where its record gives none."""
    if given is None:
        return 0.0
    if given.ratio is not None:
        return given.ratio
    on_half_angle = given.half_angle_rad or (given.included_angle_rad or 0.0) / 2
    return inspection.angle_change_on_diameter(2 * on_half_angle, half_angle, 1.0)


def _semi_finish(part: PartRecord) -> tuple[float, ToolUse] | None:
    semi = part.stock.semi_finish
    return None if semi is None else (semi.leave_mm, semi.read_with)


def _blank(part: PartRecord, geometry: Geometry) -> Span:
    """The stock of a blank; where it is unknown, of a piece that has enough on to be ground like a new one.

    That is two marks of the roughing tool more than cleaning up and finishing need, and up to as much again
    as a worn piece may be ground below size; common practice, no source.
    """
    stock, worn = part.stock, part.salvage
    if not stock.blank.unknown or worn is None:
        return stock.blank
    marks = 2 * geometry.ratio * part.gauging.read_with.rough.division_mm
    low = stock.clean_up_mm + stock.leave_for_finishing_mm + marks
    return Span(low, low + max(worn.at_most_mm, marks), stock.blank.text)


def _require_hole(part: PartRecord, geometry: Geometry, most: float) -> None:
    """A blank with more stock on than its hole is wide has no hole to grind."""
    if part.taper.side == "internal" and most >= geometry.small_diameter:
        raise PartErrors([found("no-hole", part)])


def _set_by(part: PartRecord, machine: MachineRecord, half_angle: float) -> Swivelled:
    """What carries the angle: as the part says, else the table, else a wheel head that can be swivelled."""
    if part.setup.set_by is not None:
        return part.setup.set_by
    if swivel.within_limit(half_angle, machine.swivel.limit_rad) or not machine.wheel_head.swivels:
        return "table"
    return "wheel head"


def _reading_values(facts: Facts) -> values.Reading:
    geometry, gauging = facts.geometry, facts.records.part.gauging
    half, marks = geometry.size_half_band, facts.records.gauge.marks
    low, high = reading.size_limits_as_readings(
        facts.kind, geometry.ratio, geometry.finish_reading, half, half
    )
    return values.Reading(
        kind=facts.kind,
        per_mm=facts.per_reading,
        finish_mm=geometry.finish_reading,
        finish_low_mm=low,
        finish_high_mm=high,
        stock_low_mm=facts.allowances.finish_low,
        stock_high_mm=facts.allowances.finish_high,
        rough_tool=_read_tool(gauging.read_with.rough, geometry.ratio),
        finish_tool=_read_tool(gauging.read_with.finish, geometry.ratio),
        plane_mm=gauging.plane_mm if terms.reading(facts.kind).from_plane else None,
        marks=(
            values.GaugeMarks(marks.least.value, marks.most.value, geometry.marks_bound) if marks else None
        ),
    )


def _read_tool(tool: ToolCallout, ratio: float) -> values.ReadingTool:
    """A tool of the spec, and what one division of it is worth on this taper."""
    return values.ReadingTool(
        name=tool.name,
        division_mm=tool.division_mm,
        unit=tool.unit,
        denominator=tool.denominator,
        division_text=tool.division_text,
        stock_per_division_mm=ratio * tool.division_mm,
    )
