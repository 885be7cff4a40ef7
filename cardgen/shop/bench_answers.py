"""What answers a reading at the bench, kept of every sound part: `stock` reads these few files and no more.

    out/.cardgen/answers/    of each part its sums and its words
    out/.cardgen/specs       of every spec file its digest when those were true, and how it lay

Believed while the spec files that the part's card is made from, the templates and the program are what they
were, by their digests. Nor may any other spec file lie otherwise than then, for it might name the same
records again. Where anything is amiss the part's specs are read as ever. `specs` is taken away before an
answer is changed and written when all are true, so a killed run leaves none that is wrongly believed.
"""

import os
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from cardgen.bounds import read_file
from cardgen.paper.paper_error import PaperError
from cardgen.paper.words.template_files import TemplateFiles
from cardgen.shelf.digest import fingerprint, text_input
from cardgen.shelf.stamp import Stamp
from cardgen.shelf.trouble import ShelfError
from cardgen.shop.card_inputs import shop_templates
from cardgen.shop.program_files import program_inputs
from cardgen.shop.sealed import FOLDER, digest, packed, sealed, unsealed
from cardgen.shop.spec_files import spec_stamps

if TYPE_CHECKING:  # where nothing is asked and nothing was read, none of it is loaded
    from cardgen.card.at_the_bench import GaugedPart
    from cardgen.paper.words.answer import AnswerWords
    from cardgen.shop.folder import Shop
    from cardgen.shop.specs_read import SpecsRead

ANSWERS, SPECS = "answers", "specs"
HEAD = b"cardgen answer 1 "  # what is kept, and how; another number is of another program


@dataclass(frozen=True)
class PartAnswers:
    """What answers every reading of one part."""

    gauged: "GaugedPart"
    words: "AnswerWords"
    worths: Mapping[str, Fraction]  # of the units of length, in mm, as far as they are known already


def answers_of(shop: "Shop", part_id: str) -> PartAnswers:
    """Of a sound part, from its specs; raises NotDrawnError where its words cannot be made."""
    from cardgen.paper.words.answer import answer_words

    card = shop.card(part_id)
    return PartAnswers(card.gauged, shop.drawn(lambda: answer_words(card.card, shop.templates)), {})


def kept_answers(folder: Path, part_id: str) -> PartAnswers | None:
    """Of one part, as they were kept; None where they may not be what its specs say now."""
    from cardgen.card.at_the_bench import gauged_from_plain

    kept = folder / "out" / FOLDER
    try:
        then = unsealed(HEAD, read_file(kept / SPECS, "index.file"))
        told = unsealed(HEAD, read_file(kept / ANSWERS / _name(part_id), "index.file"))
        true = (
            told["part"] == part_id
            and told["words from"] == words_from(shop_templates(folder))
            and all(then["specs"].get(place) == _digest_of(folder / place) for place in told["places"])
            and then["lay"] == laid(spec_stamps(folder))
        )
    except (OSError, ValueError, ShelfError):
        return None
    worths = {unit: Fraction(*worth) for unit, worth in then["worths"].items()}
    return PartAnswers(gauged_from_plain(told["gauged"]), told["words"], worths) if true else None


def _digest_of(path: Path) -> str:
    return digest(read_file(path, "paper.file"))


def keep_answers(shop: "Shop", reading: "SpecsRead") -> None:
    """Keep those of every part that was read, forget those of parts that get no card; where they cannot be
    kept nothing is lost, and nothing is said."""
    folder, specs = shop.out / FOLDER / ANSWERS, shop.out / FOLDER / SPECS
    lay = laid(shop.spec_stamps)
    with suppress(OSError):
        if not reading.any_read:
            with suppress(ValueError, FileNotFoundError):
                then = unsealed(HEAD, read_file(specs, "index.file"))
                if then["lay"] != lay:  # all specs say what they said, and were written or moved since
                    put(specs, sealed(HEAD, {**then, "lay": lay, "specs": dict(reading.digests)}))
            return
        from cardgen.spec.units import length_worths

        folder.mkdir(parents=True, exist_ok=True)
        specs.unlink(missing_ok=True)
        true = {_name(part_id) for part_id in shop.vouched}
        for name, content in _of_read(shop):
            put(folder / name, content)
            true.add(name)
        for name in set(os.listdir(folder)) - true:
            os.unlink(folder / name)
        worths = {unit: worth.as_integer_ratio() for unit, worth in length_worths().items()}
        put(specs, sealed(HEAD, {"lay": lay, "specs": dict(reading.digests), "worths": worths}))


def _of_read(shop: "Shop") -> Iterator[tuple[str, bytes]]:
    from cardgen.card.at_the_bench import gauged_as_plain
    from cardgen.paper.words.answer import answer_words

    made_of = words_from(shop.templates)
    for part_id in shop.library.parts:
        if shop.complaints_of(part_id):
            continue
        with suppress(PaperError):
            told = shop.card(part_id)
            words = answer_words(told.card, shop.templates)
            plain = {
                "part": part_id,
                "places": _places(shop, part_id),
                "words from": made_of,
                "gauged": gauged_as_plain(told.gauged),
                "words": words,
            }
            yield _name(part_id), sealed(HEAD, plain)


def _places(shop: "Shop", part_id: str) -> list[str]:
    """The spec files that a part's card is made from."""
    part = shop.library.parts[part_id]
    others = (shop.library.source_of["part", other.id].path for other in shop.records(part).other_operations)
    return sorted({*others, *(each.file for each in shop.job(part_id).inputs if each.attach)})


def _name(part_id: str) -> str:
    return digest(part_id.encode("utf-8", "surrogatepass"))


def words_from(templates: TemplateFiles) -> str:
    """A digest of the templates and of the program."""
    texts = (text_input(f"template {name}", text) for name, text in templates.texts)
    return fingerprint((*texts, *program_inputs()))


def laid(stamps: Mapping[str, Stamp | None]) -> str:
    """A digest of how files lie."""
    return digest(packed(sorted(stamps.items())).encode("utf-8", "surrogatepass"))


def put(path: Path, content: bytes) -> None:
    """A file that is there whole; not forced to the disk, for its digest tells whether it came there."""
    beside = path.with_name(f".{path.name}")
    beside.unlink(missing_ok=True)
    beside.write_bytes(content)
    os.replace(beside, path)
