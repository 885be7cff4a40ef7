"""What answers a reading at the bench, kept of every sound part: `stock` reads these few files and no more.

    out/.cardgen/answers/    of each part its sums and its words, and the fingerprint of what they are from
    out/.cardgen/specs       the specs as one reading found them: how every file lay, its digest, and of each
                             part that gets a card the fingerprint of its records, templates and program

An answer is believed while its fingerprint is the one that its part has in `specs`, while the files that its
card is made from say what they said then, and while no other spec file lies otherwise, for it might name the
same records again. So neither file need be put before the other, nor with the index: an answer that could
not be put, or was put by a run that was killed, is of another fingerprint, and the part's specs are read as
ever. As they are where anything else is amiss.
"""

import os
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cardgen.bounds import read_file
from cardgen.paper.paper_error import PaperError
from cardgen.shelf.stamp import Stamp
from cardgen.shelf.trouble import ShelfError
from cardgen.shelf.writing import make_folder, put
from cardgen.shop.card_inputs import common_digest, common_digest_of
from cardgen.shop.program_files import DIGITS
from cardgen.shop.sealed import FOLDER, digest, lay_down, packed, sealed, unsealed
from cardgen.shop.spec_files import spec_stamps

if TYPE_CHECKING:  # where nothing is asked and nothing was read, none of it is loaded
    from cardgen.card.at_the_bench import GaugedPart
    from cardgen.paper.words.answer import AnswerWords
    from cardgen.shop.folder import Shop
    from cardgen.shop.specs_read import SpecsRead

ANSWERS, SPECS = "answers", "specs"
HEAD = b"cardgen answer 3 "  # what is kept, and how; another number is of another program
AMISS = (OSError, ValueError, ShelfError, LookupError, TypeError, AttributeError)  # of what cannot be read


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


def kept_answers(folder: Path, part_id: str, today: date | None = None) -> PartAnswers | None:
    """Of one part, as they were kept; None where they may not be what its specs say now."""
    from cardgen.card.at_the_bench import gauged_from_plain

    kept = folder / "out" / FOLDER
    try:
        then = unsealed(HEAD, read_file(kept / SPECS, "index.file"))
        told = unsealed(HEAD, read_file(kept / ANSWERS / _name(part_id), "index.file"))
        first, last = map(date.fromisoformat, told["days"])
        true = (
            told["part"] == part_id
            and first <= (today or date.today()) <= last
            and told["made from"] == then["parts"][part_id]
            and told["common"] == then["common"] == common_digest_of(folder)
            and all(then["specs"][place] == _digest_of(folder / place) for place in told["places"])
            and then["lay"] == laid(spec_stamps(folder))
        )
        return PartAnswers(gauged_from_plain(told["gauged"]), told["words"], _worths(then)) if true else None
    except AMISS:
        return None


def _worths(then: Mapping[str, Any]) -> dict[str, Fraction]:
    return {unit: Fraction(*worth) for unit, worth in then["worths"].items()}


def _digest_of(path: Path) -> str:
    return digest(read_file(path, "paper.file"))


def keep_answers(shop: "Shop", reading: "SpecsRead") -> None:
    """Keep those of every part that was read, forget those of parts that get no card; where they cannot be
    kept nothing is lost, and nothing is said."""
    folder, specs = shop.out / FOLDER / ANSWERS, shop.out / FOLDER / SPECS
    with suppress(OSError, ShelfError):
        now = _specs_now(shop, reading)
        then = _specs_then(specs, now["common"])
        if not reading.any_read and now == {**then, "worths": {}}:
            return
        lay_down(shop.out)
        make_folder(folder)
        for name, content in _of_read(shop, now):
            put(folder / name, content)
        for name in set(os.listdir(folder)).difference(map(_name, now["parts"])):
            os.unlink(folder / name)
        put(specs, sealed(HEAD, {**now, "worths": then.get("worths") or _worths_now()}))


def _specs_now(shop: "Shop", reading: "SpecsRead") -> dict[str, Any]:
    """The specs as this reading found them; of a part that was not read, as the index vouches for it."""
    sound = (part_id for part_id in shop.library.parts if not shop.complaints_of(part_id))
    return {
        "lay": laid(shop.spec_stamps),
        "specs": dict(reading.digests),
        "common": common_digest(shop.templates),
        "parts": {part_id: card.now[0][:DIGITS] for part_id, card in shop.vouched.items()}
        | {part_id: shop.job(part_id).fingerprint[:DIGITS] for part_id in sound},
        "worths": {},
    }


def _specs_then(specs: Path, common: str) -> dict[str, Any]:
    """What lies there, where it is of the same program and templates."""
    with suppress(*AMISS):
        then: dict[str, Any] = unsealed(HEAD, read_file(specs, "index.file"))
        if then["common"] == common:
            return then
    return {}


def _worths_now() -> dict[str, tuple[int, int]]:
    from cardgen.spec.units import length_worths

    return {unit: worth.as_integer_ratio() for unit, worth in length_worths().items()}


def _of_read(shop: "Shop", now: Mapping[str, Any]) -> Iterator[tuple[str, bytes]]:
    from cardgen.card.at_the_bench import gauged_as_plain
    from cardgen.paper.words.answer import answer_words

    for part_id in shop.library.parts:
        if shop.complaints_of(part_id):
            continue
        with suppress(PaperError):
            told = shop.card(part_id)
            words = answer_words(told.card, shop.templates)
            plain = {
                "part": part_id,
                "made from": now["parts"][part_id],
                "common": now["common"],
                "days": _days(shop, part_id),
                "places": _places(shop, part_id),
                "gauged": gauged_as_plain(told.gauged),
                "words": words,
            }
            yield _name(part_id), sealed(HEAD, plain)


def _days(shop: "Shop", part_id: str) -> tuple[str, str]:
    """From when and until when the words hold: today, to the last before a calibration lapses."""
    records = shop.records(shop.library.parts[part_id])
    dues = (gauge.calibration_due for gauge in (records.gauge, records.light_gauge) if gauge is not None)
    ends = [due for due in dues if due is not None and due >= shop.today]
    return shop.today.isoformat(), min(ends, default=date.max).isoformat()


def _places(shop: "Shop", part_id: str) -> list[str]:
    """The spec files that a part's card is made from."""
    part = shop.library.parts[part_id]
    others = (shop.library.source_of["part", other.id].path for other in shop.records(part).other_operations)
    return sorted({*others, *(each.file for each in shop.job(part_id).inputs if each.attach)})


def _name(part_id: str) -> str:
    return digest(part_id.encode("utf-8", "surrogatepass"))


def laid(stamps: Mapping[str, Stamp | None]) -> str:
    """A digest of how files lie."""
    return digest(packed(sorted(stamps.items())).encode("utf-8", "surrogatepass"))
