"""One mutant tried in this process: what became of it, and what of that must never be."""

import json
import resource
import signal
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property, lru_cache
from pathlib import Path
from random import Random
from typing import Any

from cardgen.bounds import table
from cardgen.card.at_the_bench import bench_answer
from cardgen.card.gather import Gathered
from cardgen.card.values import as_plain
from cardgen.paper.bench_card import Templates, bench_card, templates_of
from cardgen.paper.press.page import paper_format
from cardgen.paper.press.typeface import PaperError
from cardgen.paper.words.answer import answer_lines, answer_words
from cardgen.paper.words.layout import layout_from
from cardgen.paper.words.wording import TemplateFiles
from cardgen.shelf.contents import MANIFEST, VALUES, bind, card_pdf, read_card, unbind
from cardgen.shelf.notice import notice_for
from cardgen.shelf.telling import read_json, read_lines
from cardgen.shelf.trouble import NotACardError, NotDrawnError
from cardgen.shelf.truth import truth_of
from cardgen.shelf.wanted import Drawn
from cardgen.shop.folder import Shop
from cardgen.spec import load
from cardgen.spec.complaint import Refusal
from cardgen.spec.quantity import read_length
from tests.fuzz import agreement, mutants
from tests.made.shops import made_shop

SECONDS, MEGABYTES = 2.0, 300
TODAY = date(2027, 1, 1)
PLACE = Path("shop")
TOP = Path(__file__).parents[2]


class HangsError(BaseException):
    """A mutant took longer than it may; no `except Exception` of the program hides it."""


@contextmanager
def within(seconds: float) -> Iterator[None]:
    """Ends what takes more seconds of this process's own computing."""

    def ring(*_: Any) -> None:
        raise HangsError(f"took more than {seconds} s")

    before = signal.signal(signal.SIGPROF, ring)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


@dataclass
class Bench:
    """What all mutants are tried against, made once; what became of them is counted."""

    seed: str
    became: Counter[str] = field(default_factory=Counter)
    found: list[str] = field(default_factory=list)

    @cached_property
    def templates(self) -> Templates:
        return templates_of(TemplateFiles.read(TOP / "templates"))

    @cached_property
    def sound(self) -> Shop:
        """A shop with nothing wrong in it."""
        shop = made_shop(Random("sound"), 12)
        files = {PLACE / "specs" / name: text.encode() for name, text in shop.texts.items()}
        return loaded(files)

    @cached_property
    def parts(self) -> list[str]:
        return [part for part in self.sound.part_ids if not self.sound.complaints_of(part)]

    @cached_property
    def drawn(self) -> Drawn:
        """A card's paper, without what it carries."""
        job = self.sound.job(self.parts[0])
        return job.draw(job.code)

    @cached_property
    def pdf(self) -> bytes:
        """A sealed card."""
        job = self.sound.job(self.parts[0])
        return card_pdf(job, self.drawn)

    def run(self, number: int) -> None:
        """Try the mutant of this number; what must never be is kept with it."""
        rng = Random(f"{self.seed}/{number}")
        kind = rng.choices(list(KINDS), [weight for weight, _ in KINDS.values()])[0]
        before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        try:
            with within(SECONDS):
                became = KINDS[kind][1](self, rng)
        except (Exception, HangsError) as fault:
            became = f"FAULT {type(fault).__name__}: {fault}"[:300]
        grown = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024
        if grown > MEGABYTES:
            became = f"FAULT: {grown:.0f} MB"
        if became.startswith("FAULT"):
            self.found.append(f"{number} ({kind}): {became}")
            became = "FAULT"
        self.became[f"{kind}: {became}"] += 1


# The records that a mutant leaves as they were are parsed once, not with each mutant.
load.read_documents = lru_cache(maxsize=64)(load.read_documents)


def loaded(files: dict[Path, bytes]) -> Shop:
    library, complaints = load.load_documents(files, PLACE)
    return Shop(PLACE, library, tuple(complaints), files, TODAY)


def spec_mutant(bench: Bench, rng: Random) -> str:
    """A card, or complaints with a place; and what a card says, a real piece bears out."""
    texts = mutants.spec(rng)
    text = "\n---\n".join(texts.values())
    shop = loaded(
        {PLACE / "specs" / name: held.encode("utf-8", "surrogatepass") for name, held in texts.items()}
    )
    made = "refused"
    for part_id in shop.part_ids:
        complaints = shop.complaints_of(part_id)
        for each in complaints:
            assert all((each.line >= 1, each.column >= 1, each.wrong, each.right, "\n" not in str(each)))
        if shop.faults:
            return f"FAULT {shop.faults[0]}"
        if complaints:
            continue
        made = _card(bench, shop, shop.card(part_id), text, rng)
        if made.startswith("FAULT"):
            return made
    return made


def _card(bench: Bench, shop: Shop, gathered: Gathered, text: str, rng: Random) -> str:
    assert gathered.sound
    json.dumps(as_plain(gathered.card), allow_nan=False)
    limit = table()["shop.table_rows"].most + 30
    assert len(gathered.card.stock_table) <= 2 * limit, "a table without end"
    if rng.random() < 0.02:
        bench_card(gathered.card, "A5", bench.templates)
    true = agreement.truth(text, gathered.card)
    if true is None:
        return "card, not recomputed"
    wrong = agreement.disagreements(gathered.card, true)
    return f"FAULT {wrong}" if wrong else "card, recomputed"


def reading_mutant(bench: Bench, rng: Random) -> str:
    """An answer, or a refusal; the answer is the stock that the reading means."""
    part_id = rng.choice(bench.parts)
    try:
        value = read_length(mutants.reading(rng)).value
        told = bench_answer(bench.sound.card(part_id).gauged, value)
    except Refusal:
        return "refused"
    card = bench.sound.card(part_id).card
    assert abs(told.answer.stock_mm - card.reading.per_mm * (value - card.reading.finish_mm)) < 1e-9
    list(answer_lines(answer_words(card, bench.templates.files), card.title.units, told))
    return "answered"


def template_mutant(bench: Bench, rng: Random) -> str:
    """A panel's lines, or the file and line where it is broken."""
    texts = dict(bench.templates.files.texts)
    name = rng.choice(
        [each for each in texts if each.endswith(".j2") and not each.startswith(("booklet", "index"))]
    )
    texts[name] = mutants.template(texts[name], rng)
    files = TemplateFiles(PLACE / "templates", tuple(sorted(texts.items())))
    card = bench.sound.card(rng.choice(bench.parts)).card
    words = Templates(files, bench.templates.layout).words(card, paper_format("A5"))
    try:
        words.lines(name.removesuffix(".j2"))
    except PaperError as told:
        return "refused" if str(PLACE) in str(told) else f"FAULT no place: {told}"
    return "written"


def layout_mutant(bench: Bench, rng: Random) -> str:
    """A card that is laid out, or what is wrong with the layout."""
    text = mutants.template(dict(bench.templates.files.texts)["layout.yaml"], rng, layout=True)
    try:
        layout = layout_from(text, PLACE / "layout.yaml")
        if "A5" in layout and rng.random() < 0.1:
            bench_card(bench.sound.card(bench.parts[0]).card, "A5", Templates(bench.templates.files, layout))
    except PaperError:
        return "refused"
    return "laid out"


def pdf_mutant(bench: Bench, rng: Random) -> str:
    """No card of ours, or a card of which everything can be told."""
    if rng.random() < 0.5:
        content = mutants.bytes_of(bench.pdf, rng)
    else:
        bound = unbind(bench.pdf)
        manifest, values = dict(bound.manifest), json.loads(bound.attachments[VALUES])
        kept = {name: held for name, held in bound.attachments.items() if name not in (MANIFEST, VALUES)}
        if rng.random() < 0.5:
            changed = mutants.tree(manifest, rng)
            manifest = {**manifest, **changed} if isinstance(changed, dict) else manifest
            content = bind(bench.drawn, manifest, {**kept, VALUES: json.dumps(values).encode()})
        else:
            content = bind(bench.drawn, manifest, {**kept, VALUES: mutants.json_of(values, rng)})
    try:
        made = read_card(content)
    except NotACardError:
        return "no card"
    job = bench.sound.job(bench.parts[0])
    try:
        truth = truth_of(made, content, job)
    except (NotACardError, NotDrawnError) as told:
        return f"FAULT {told}"
    "\n".join(read_lines(made, job, truth)).encode("utf-8")
    read_json(made, job, truth).encode("utf-8")
    notice_for(made, job)
    return "read"


KINDS: dict[str, tuple[int, Callable[[Bench, Random], str]]] = {
    "spec": (30, spec_mutant),
    "reading": (50, reading_mutant),
    "template": (8, template_mutant),
    "layout": (6, layout_mutant),
    "pdf": (6, pdf_mutant),
}
