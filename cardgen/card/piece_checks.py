"""Whether the operations of one piece, each a part of its own, follow on one another and agree."""

from collections.abc import Iterator

from cardgen.card.facts import Facts
from cardgen.card.finding import Finding
from cardgen.spec.models import PartRecord


def check_piece(facts: Facts) -> Iterator[Finding]:
    """Numbers that leave the order of the operations open, and a piece that two of them tell otherwise."""
    part, others = facts.records.part, facts.records.other_operations
    if others and part.operation_number is None:
        told = ", ".join(other.id for other in others)
        yield facts.found("operation-number-missing", piece=part.piece, others=told)
        return
    for other in others:
        if other.operation_number == part.operation_number:
            number = part.operation_number
            yield facts.found("operation-number-twice", number=number, piece=part.piece, other=other.id)
        theirs = _of_the_piece(other)
        for key, ours in _of_the_piece(part).items():
            if ours != theirs[key]:
                yield facts.found(
                    "piece-differs",
                    at=key,
                    what=key.rpartition(".")[2],
                    piece=part.piece,
                    ours=ours or "not stated",
                    theirs=theirs[key] or "not stated",
                    other=other.id,
                )


def _of_the_piece(part: PartRecord) -> dict[str, object]:
    """What is of the piece and not of the operation, by its key."""
    return {
        "drawing": part.drawing,
        "order": part.order,
        "material.name": part.material.name,
        "batch.pieces": part.batch.pieces,
    }
