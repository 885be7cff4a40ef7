"""A shop folder on disk: its specs, its templates, its out folder; everything is loaded once.

    DIR/specs/*.yaml      part, gauge, machine, wheel, booklet and shop records
    DIR/templates/        layout and wording; what is missing there comes with the program
    DIR/out/              the papers

This is where the rooms meet: spec → card → paper, and what of it the shelf keeps.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from cardgen.card.finding import Finding, PartErrors, Place
from cardgen.paper.paper_error import PaperError
from cardgen.paper.words.template_files import TemplateFiles
from cardgen.shelf.changes import ISSUE
from cardgen.shelf.copies import Copy, issued
from cardgen.shelf.digest import Input, card_code, text_input
from cardgen.shelf.ledger import NO_LEDGER, Ledger, read_ledger
from cardgen.shelf.stamp import Stamp
from cardgen.shelf.state import Standing, code_to_bear
from cardgen.shelf.trouble import NotDrawnError, ProgramFaultError, ShelfError
from cardgen.shelf.vouched import Vouched
from cardgen.shelf.wanted import Job, Wanted
from cardgen.shop import fault
from cardgen.shop.card_inputs import common_digest_of, common_inputs, inputs_of, shop_templates
from cardgen.shop.keeping import draw_page, keep_index, papers_beside, shop_told
from cardgen.shop.many_cards import gather_many
from cardgen.shop.shop_index import ShopIndex, read_index
from cardgen.shop.spec_files import out_of, read_spec_files
from cardgen.shop.specs_read import Before, SpecsRead, at_once, read_all, read_changed
from cardgen.spec.complaint import Complaint, RecordKey, Refusal
from cardgen.spec.library import Library

if TYPE_CHECKING:  # what a command needs is imported where it does: most need neither sums nor drawing
    from cardgen.card.facts import Records
    from cardgen.card.gather import Gathered
    from cardgen.card.values import Card, Notice
    from cardgen.paper.bench_card import Templates
    from cardgen.paper.press.document import Drawing
    from cardgen.spec.models import PartRecord

Worked = TypeVar("Worked")


@dataclass(frozen=True)
class Shop:
    """One reading of a shop folder; nothing in it changes after, whatever happens to the files."""

    folder: Path
    library: Library
    complaints: tuple[Complaint, ...]
    spec_files: dict[str, bytes]  # by their place in the shop
    today: date
    faults: list[str] = field(default_factory=list, compare=False)  # of the program, met so far
    _gathered: dict[str, Gathered] = field(default_factory=dict, compare=False, repr=False)
    vouched: Mapping[str, Vouched] = field(default_factory=dict, compare=False, repr=False)  # parts not read
    index: ShopIndex | None = field(default=None, compare=False, repr=False)
    index_trouble: str = ""  # why an index that lies there was not used
    reading: SpecsRead | None = field(default=None, compare=False, repr=False)
    ledger: Ledger = field(default=NO_LEDGER, compare=False, repr=False)  # what hangs where, as entered
    spec_stamps: Mapping[str, Stamp | None] = field(default_factory=dict, compare=False, repr=False)
    _jobs: dict[str, Job] = field(default_factory=dict, compare=False, repr=False)
    _codes: dict[str, str] = field(default_factory=dict, compare=False, repr=False)

    @classmethod
    def read(cls, folder: Path, today: date | None = None) -> Shop:
        """Read every spec of the folder; raises NoSuchShopError where there are none to read."""
        return cls._read(folder, today, (), lambda out: (None, ""), at_once)

    @classmethod
    def read_changed(
        cls, folder: Path, today: date | None = None, only: Sequence[str] = (), many: Before = at_once
    ) -> Shop:
        """As `read`, of which the parts are believed that the index vouches for.

        Of `only` some parts, where any are named, and what they need; `many` is called before many are read.
        """
        return cls._read(folder, today, only, read_index, many)

    @classmethod
    def _read(
        cls,
        folder: Path,
        today: date | None,
        only: Sequence[str],
        look_up: Callable[[Path], tuple[ShopIndex | None, str]],
        many: Before,
    ) -> Shop:
        out, day = out_of(folder), today or date.today()
        specs = read_spec_files(folder)
        index, trouble = look_up(out)
        ledger = read_ledger(folder / "specs")
        if index is None or index.common != common_digest_of(folder):
            index, reading = None, read_all(folder, specs.contents, many)
        else:
            ledger = replace(ledger, known=index.found)
            doubtful = ledger.doubtful(index.cards)
            reading = read_changed(folder, specs.contents, index, day, only, doubtful, many)
        return cls(
            folder,
            reading.library,
            (*specs.complaints, *reading.complaints),
            specs.contents,
            day,
            vouched=reading.vouched,
            index=index,
            index_trouble=trouble,
            reading=reading,
            ledger=ledger,
            spec_stamps=specs.stamps,
        )

    def whole(self) -> Shop:
        """The shop with every part read, as its specs were when this one was."""
        return self._again(read_all(self.folder, self.spec_files), None) if self.index else self

    def with_read(self, part_ids: Sequence[str]) -> Shop:
        """As `whole`, of these parts and what they need; the others may be believed as they were."""
        if (index := self.index) is None:
            return self
        known = (self.folder, self.spec_files, index, self.today)
        return self._again(read_changed(*known, part_ids, self.ledger.doubtful(index.cards)), index)

    def _again(self, reading: SpecsRead, index: ShopIndex | None) -> Shop:
        """Another reading of the very files that this one was read from, its templates too."""
        read = (self.folder, reading.library, reading.complaints, self.spec_files, self.today, self.faults)
        again = Shop(*read, vouched=reading.vouched, index=index, reading=reading, ledger=self.ledger)
        vars(again)["templates"] = self.templates
        return again

    @property
    def out(self) -> Path:
        return out_of(self.folder)

    @cached_property
    def templates(self) -> TemplateFiles:
        """The shop's own templates, read once; for each that it has not, the program's."""
        return shop_templates(self.folder)

    @cached_property
    def part_ids(self) -> tuple[str, ...]:
        """Every part that a spec names, spoilt ones too; the operations of one piece stand together."""
        return tuple(sorted(self.library.ids("part"), key=self._place))

    def _place(self, part_id: str) -> tuple[str, int, str]:
        """What a part is put in order by: the piece it is an operation of, else itself; its number there."""
        part = self.library.parts.get(part_id)
        if part_id in self.vouched:
            return self.vouched[part_id].place
        return (part.piece or part_id, part.operation_number or 0, part_id) if part else (part_id, 0, part_id)

    def together(self, named: Sequence[str]) -> tuple[str, ...]:
        """Parts as they are named, or pieces with all their operations; those of one piece side by side."""
        found: list[str] = []
        for name in named:
            of_piece = [part_id for part_id in self.part_ids if self._place(part_id)[0] == name]
            found += [name] if name in self.part_ids or not of_piece else of_piece
        pieces = [self._place(part_id)[0] for part_id in found]
        return tuple(
            sorted(found, key=lambda part_id: (pieces.index((at := self._place(part_id))[0]), at[1]))
        )

    def _other_operations(self, part: PartRecord) -> tuple[PartRecord, ...]:
        """The other parts that are operations of the same piece, in their order."""
        if part.piece is None:
            return ()
        return tuple(other for other in self._operations[part.piece] if other.id != part.id)

    @cached_property
    def _operations(self) -> dict[str, list[PartRecord]]:
        """The sound parts of each piece, in their order."""
        found: dict[str, list[PartRecord]] = {}
        for part_id in self.part_ids:
            part = self.library.parts.get(part_id)
            if part is not None and part.piece is not None:
                found.setdefault(part.piece, []).append(part)
        return found

    def records(self, part: PartRecord) -> Records:
        """The records that a sound part's card is made from."""
        from cardgen.card.facts import Records

        library = self.library
        return Records(
            part=part,
            gauge=library.gauges[part.gauging.gauge],
            light_gauge=library.gauges.get(part.gauging.light_gauge) if part.gauging.light_gauge else None,
            machine=library.machines[part.machine],
            wheel=library.wheels[part.wheel],
            shop=part.shop,
            other_operations=self._other_operations(part),
        )

    def card(self, part_id: str) -> Gathered:
        """The card of a sound part; raises PartErrors where its figures disagree."""
        from cardgen.card.gather import gather

        if part_id not in self._gathered:
            part = self.library.parts[part_id]
            code = card_code(part.id, part.revision, self.inputs(part))
            self._gathered[part_id] = self._without_fault(
                part_id, lambda: gather(self.records(part), code, self.today)
            )
        return self._gathered[part_id]

    def card_as_made(self, part_id: str) -> Card:
        """The card of a sound part under the code of the one in the out folder, while that one is current.

        Every other paper of the part bears this code: by it a hand tells that the two belong together.
        """
        return self.card_bearing(part_id, self.code_of(part_id))

    def card_bearing(self, part_id: str, code: str) -> Card:
        """The card of a sound part under this code."""
        return _bearing(self.card(part_id).card, code, self.job(part_id).issue)

    def code_of(self, part_id: str) -> str:
        """The code of a part's card as `card_as_made`."""
        there = self.vouched.get(part_id)
        if not there and part_id not in self._codes:
            self._codes[part_id] = code_to_bear(self.job(part_id), self.out)
        return there.code_there if there else self._codes[part_id]

    def _without_fault(self, part_id: str, work: Callable[[], Worked]) -> Worked:
        """What the sums make of one part; where the program fails at it, PartErrors that say so."""
        try:
            return work()
        except (PartErrors, Refusal):
            raise
        except Exception as failure:
            told = fault.fault_text(failure)
            self.faults.append(told)
            found = Finding("error", fault.CODE, Place("part", part_id, ""), told, fault.WHAT_TO_DO)
            raise PartErrors([found]) from failure

    def complaints_of(self, part_id: str) -> tuple[Complaint, ...]:
        """Everything that keeps a part from getting a card; empty for a sound one."""
        if part_id in self.vouched:
            return ()
        spoiling = self.complaints_of_record("part", part_id)
        if spoiling or part_id not in self.library.parts:
            return spoiling
        return tuple(self.complaint(found) for found in self._errors(part_id))

    def complaints_of_record(self, kind: str, record_id: str) -> tuple[Complaint, ...]:
        """Every mistake in the specs that spoils a record: its own, and those of what it refers to."""
        return self._spoiling.get((kind, record_id), ())

    @cached_property
    def _spoiling(self) -> dict[RecordKey, tuple[Complaint, ...]]:
        found: dict[RecordKey, list[Complaint]] = {}
        for complaint in self.complaints:
            for key in complaint.spoils:
                found.setdefault(key, []).append(complaint)
        return {key: tuple(complaints) for key, complaints in found.items()}

    def _errors(self, part_id: str) -> tuple[Finding, ...]:
        """What keeps a part, whose specs are sound, from getting a card."""
        try:
            found = self.card(part_id).findings
        except PartErrors as errors:
            found = errors.findings
        return tuple(each for each in found if each.level == "error")

    def _program_fails_at(self, part_id: str) -> bool:
        found = self._errors(part_id) if part_id in self.library.parts else ()
        return any(each.code == fault.CODE for each in found)

    def warnings_of(self, part_id: str) -> tuple[Complaint, ...]:
        """What the planner should know of a part that gets its card all the same."""
        if part_id in self.vouched:
            return tuple(Complaint(*told) for told in self.vouched[part_id].findings)
        found = (found for found in self.card(part_id).findings if found.level == "warning")
        return tuple(replace(self.complaint(each), spoils=frozenset()) for each in found)

    def complaint(self, found: Finding) -> Complaint:
        """A finding with its place in the files."""
        place = found.place
        return self.library.complain(place.kind, place.id, place.key, found.wrong, found.right)

    def wanted(self) -> Wanted:
        """One job for each part that can get a card, and what is wrong with the others."""
        jobs: list[Job] = []
        spoiled: dict[str, str] = {}
        faults: dict[str, str] = {}
        gather_many(self, self._gathered)
        for part_id in self.part_ids:
            complaints = self.complaints_of(part_id)
            if not complaints:
                jobs.append(self.vouched.get(part_id) or self.job(part_id))
                continue
            failed = faults if self._program_fails_at(part_id) else spoiled
            failed[part_id] = "\n".join(str(complaint) for complaint in complaints)
        unread = any(not each.spoils for each in self.complaints)
        known = (unread, self.ledger, *papers_beside(self))
        return Wanted(tuple(jobs), spoiled, faults, self.files_read, *known)

    def job(self, part_id: str) -> Job:
        """What the card of a sound part is to be; raises PartErrors as `card` does."""
        if part_id not in self._jobs:
            self._jobs[part_id] = issued(self.ledger, lambda issue: self._job_of_issue(part_id, issue))
        return self._jobs[part_id]

    def _job_of_issue(self, part_id: str, issue: int) -> Job:
        from cardgen.card.values import as_plain

        part = self.library.parts[part_id]
        inputs = self.inputs(part, issue)
        card = _bearing(self.card(part_id).card, card_code(part.id, part.revision, inputs), issue)
        return Job(
            part_id=part.id,
            revision=part.revision,
            issue=issue,
            inputs=inputs,
            values=as_plain(card),
            draw=lambda code: self.draw_card(_bearing(card, code, issue), part.shop.paper),
            posted_at=part.posted_at,
            place=self._place(part_id),
        )

    def complaints_about(self, part_ids: Iterable[str]) -> tuple[Complaint, ...]:
        """Every mistake in the specs of these parts, and each that stands in no part's way."""
        mistaken = (part_id for part_id in part_ids if not self._program_fails_at(part_id))
        found = [complaint for part_id in mistaken for complaint in self.complaints_of(part_id)]
        found += [each for each in self.complaints if not any(kind == "part" for kind, _ in each.spoils)]
        return tuple(sorted(dict.fromkeys(found)))

    def draw_notice(self, notice: Notice) -> Drawing:
        """The page that tells which values of a card changed; raises NotDrawnError as `draw_card` does."""
        from cardgen.paper.change_notice import notice_page

        part = self.library.parts.get(notice.part_id)  # none where its cards are to be taken down
        paper = part.shop.paper if part else shop_told(self)[1]
        return self.drawn(lambda: notice_page(notice, paper, self.templates))

    def draw_index(self, standings: tuple[Standing, ...], copies: tuple[Copy, ...]) -> bytes | None:
        """The out folder's own page; None where it stands as it is."""
        return draw_page(self, standings, copies)

    def keep_index(self, standings: Sequence[Standing]) -> None:
        """Keep what the next reading may believe: `standings` are those of every paper, after a run."""
        if self.reading is not None:
            keep_index(self, self.reading, standings)

    def draw_card(self, card: Card, paper: str) -> Drawing:
        """The card's sides; raises NotDrawnError where it cannot be put on paper."""
        from cardgen.paper.bench_card import bench_card

        return self.drawn(lambda: bench_card(card, paper, self.read_templates))

    def drawn(self, draw: Callable[[], Worked]) -> Worked:
        """What `draw` puts on paper; raises NotDrawnError, with the reason, where it cannot."""
        try:
            return draw()
        except PaperError as trouble:
            raise NotDrawnError(str(trouble)) from trouble
        except (ShelfError, PartErrors):
            raise
        except Exception as failure:
            told = fault.fault_line(failure)
            self.faults.append(told)
            raise ProgramFaultError(told) from failure

    @property
    def read_templates(self) -> Templates:
        """Wording and layout; raises PaperError for what is wrong with the layout."""
        from cardgen.paper.bench_card import templates_of

        return templates_of(self.templates)

    @cached_property
    def files_read(self) -> dict[str, bytes]:
        """Every file of the shop that its cards are made from, as it was read."""
        folder = self.templates.folder
        own = [(folder / name, text) for name, text in self.templates.texts if folder.parent == self.folder]
        specs = {f"{self.folder}{os.sep}{place}": content for place, content in self.spec_files.items()}
        return specs | {str(path): text.encode("utf-8") for path, text in own if path.is_file()}

    def inputs(self, part: PartRecord, issue: int = 1) -> tuple[Input, ...]:
        """Everything a part's card is made from, by name."""
        own = inputs_of(part, self.library, self._other_operations(part), self.today)
        later = [text_input(ISSUE + part.id, f"issue {issue}")] if issue > 1 else []
        return (*own, *later, *self._common_inputs)

    @cached_property
    def _common_inputs(self) -> tuple[Input, ...]:
        return common_inputs(self.templates)


def _bearing(card: Card, code: str, issue: int) -> Card:
    """The card with this code and this issue on it."""
    return replace(card, title=replace(card.title, code=code, issue=issue))
