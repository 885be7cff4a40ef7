"""What a card is made from, by name: its records, its gauges' state, its piece, what all cards share."""

from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from cardgen.paper.paper_error import PaperError
from cardgen.paper.words.template_files import ANSWER, TemplateFiles
from cardgen.shelf.digest import Input, fingerprint, text_input
from cardgen.shelf.trouble import ShelfError
from cardgen.shop.program_files import program_inputs
from cardgen.shop.starting import starting_files
from cardgen.spec.library import Library

if TYPE_CHECKING:
    from cardgen.spec.models import GaugeRecord, PartRecord

INDEX_TEMPLATE = "index.html.j2"
# Templates that no card is drawn from: a change in them makes no card out of date.
OF_OTHER_PAPERS = (
    INDEX_TEMPLATE,
    "booklet_",
    "change_notice.",
    "notice_words.",
    "gap_strip.",
    "record_sheet.",
    f"{ANSWER}.",
    "walk_round.",
)


def inputs_of(
    part: "PartRecord", library: Library, other_operations: "Sequence[PartRecord]", today: date
) -> Iterator[Input]:
    """What is this part's own among them."""
    gauges = _gauges(part, library)
    keys = [("part", part.id), *gauges, ("machine", part.machine), ("wheel", part.wheel)]
    if ("shop", library.shop.id) in library.source_of:
        keys.append(("shop", library.shop.id))
    for kind, record_id in keys:
        source = library.source_of[kind, record_id]
        yield text_input(f"{kind} {record_id}", source.text, source.path, source.line, attach=True)
    for _, gauge_id in gauges:
        # The one thing on a card that changes with no file changing.
        if _lapsed(library.gauges.get(gauge_id), today):
            yield text_input(f"lapsed calibration of gauge {gauge_id}", "lapsed")
    for other in other_operations:
        yield _of_operation(other)


def _gauges(part: "PartRecord", library: Library) -> list[tuple[str, str]]:
    named = [part.gauging.gauge, part.gauging.light_gauge]
    known = [library.gauges[gauge] for gauge in named if gauge and gauge in library.gauges]
    masters = [gauge.master for gauge in known]
    return [("gauge", gauge) for gauge in dict.fromkeys([*named, *masters]) if gauge]


def _of_operation(other: "PartRecord") -> Input:
    """What a card takes from another operation on its piece, and no more of its spec than that."""
    told = (
        other.operation_number,
        other.operation,
        other.drawing,
        other.order,
        other.material.name,
        other.batch.pieces,
    )
    return text_input(f"operation {other.id} of piece {other.piece}", repr(told))


def common_inputs(templates: TemplateFiles) -> tuple[Input, ...]:
    """Layout, wording, the tables of tapers, and the program: alike for every card."""
    given = [
        text_input(f"template {name}", text, f"templates/{name}")
        for name, text in templates.texts
        if not name.startswith(OF_OTHER_PAPERS)
    ]
    return (*given, *program_inputs())


def common_digest(templates: TemplateFiles) -> str:
    """Of all that what is kept of a part hangs on besides its specs: its card's, and the words of `stock`."""
    return fingerprint((*common_inputs(templates), text_input(ANSWER, templates.text(f"{ANSWER}.j2") or "")))


def common_digest_of(folder: Path) -> str:
    """The same of a shop's folder; '' where its templates cannot be read."""
    try:
        return common_digest(shop_templates(folder))
    except ShelfError:
        return ""


def shop_templates(folder: Path) -> TemplateFiles:
    """The shop's own templates; for each that it has not, the program's."""
    own, brought = folder / "templates", starting_files("templates")
    try:
        if not own.is_dir():
            return TemplateFiles.read(brought)
        return TemplateFiles.read(own).over(TemplateFiles.read(brought))
    except PaperError as trouble:
        raise ShelfError(str(trouble)) from trouble


def _lapsed(gauge: "GaugeRecord | None", today: date) -> bool:
    return gauge is not None and gauge.calibration_due is not None and gauge.calibration_due < today
