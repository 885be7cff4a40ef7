"""Whether the operations of one piece, each a part of its own, follow on one another and agree."""

from collections.abc import Iterator

from cardgen.card.facts import Facts
from cardgen.card.finding import Finding


def check_piece(facts: Facts) -> Iterator[Finding]:
    """Numbers that leave the order of the operations open, and a piece that two of them tell otherwise."""
    part, others = facts.records.part, facts.records.other_operations
    if others and part.operation_number is None:
        yield Finding(
            "error",
            "operation-number-missing",
            facts.place("piece"),
            f"piece {part.piece} has other operations ({', '.join(other.id for other in others)}), and "
            "nothing says which comes first",
            "write 'operation_number: 30' as the operation sheet has it",
        )
        return
    for other in others:
        if other.operation_number == part.operation_number:
            yield Finding(
                "error",
                "operation-number-twice",
                facts.place("operation_number"),
                f"operation {part.operation_number} of piece {part.piece} is {other.id} too",
                "give each its own number, in the order in which they are ground",
            )
        ours, theirs = (
            {
                "drawing": each.drawing,
                "order": each.order,
                "material.name": each.material.name,
                "batch.pieces": each.batch.pieces,
            }
            for each in (part, other)
        )
        for key in ours:
            if ours[key] != theirs[key]:
                yield Finding(
                    "warning",
                    "piece-differs",
                    facts.place(key),
                    f"the {key.rpartition('.')[2]} of {part.piece} is {ours[key] or 'not stated'} here, and "
                    f"{theirs[key] or 'not stated'} at {other.id}",
                    "it is one piece: make them agree",
                )
