"""The cards of a shop tried, and nothing kept: all that is wrong and all that is doubtful."""

from collections.abc import Iterable
from dataclasses import replace

from cardgen.paper.words.template_files import ANSWER
from cardgen.shelf.trouble import NotDrawnError, ProgramFaultError
from cardgen.shop.bench_answers import answers_of
from cardgen.shop.folder import Shop
from cardgen.spec.complaint import Complaint


def trial(shop: Shop, part_ids: Iterable[str]) -> tuple[tuple[Complaint, ...], tuple[Complaint, ...]]:
    """What is wrong with these parts or stands in no part's way, and what is doubtful; nothing is kept.

    Their cards are drawn too, since only then it shows whether they have room on their paper. What is
    doubtful names the parts: often it stands in a record that many share, and is some of theirs only.
    """
    wrong = set(shop.complaints_about(part_ids))
    doubtful: dict[Complaint, list[str]] = {}
    for part_id in part_ids:
        if shop.complaints_of(part_id):
            continue
        for warning in dict.fromkeys(shop.warnings_of(part_id)):
            doubtful.setdefault(warning, []).append(part_id)
        try:
            shop.draw_card(shop.card(part_id).card, shop.library.parts[part_id].shop.paper)
        except NotDrawnError as trouble:
            told, _, advice = str(trouble).partition("; ")
            wrong.add(shop.library.complain("part", part_id, "", told, advice or "choose another paper"))
            continue
        except ProgramFaultError:
            continue  # it is among the faults
        if mute := _mute(shop, part_id):
            doubtful.setdefault(mute, []).append(part_id)
    named = (replace(each, wrong=f"{', '.join(ids)}: {each.wrong}") for each, ids in doubtful.items())
    return tuple(sorted(wrong)), tuple(sorted(named))


def _mute(shop: Shop, part_id: str) -> Complaint | None:
    """What keeps `stock` from answering of a part that gets its card."""
    try:
        answers_of(shop, part_id)
    except NotDrawnError as trouble:
        told, _, advice = str(trouble).partition("; ")
        right = advice or "put that right"
        return Complaint(f"templates/{ANSWER}.j2", 1, 1, f"'stock' does not answer: {told}", right)
    except ProgramFaultError:
        return None  # it is among the faults
    return None
