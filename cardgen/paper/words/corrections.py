"""Which corrections of the swivel a card has room for, each to both ways."""

from cardgen.card.values import Card, CorrectionRow

MOST = 5  # rows: the last is the most that is turned at once
NOISE = 1e-5  # mm: arithmetic


def corrections(card: Card) -> tuple[tuple[CorrectionRow, CorrectionRow], ...]:
    """Pairs to MORE and to LESS for the same error, the least first.

    One that the proof would call right comes before them, so that no error lies before the first row.
    """
    less = [row for row in card.correction if row.turn == "less"]
    pairs = [
        (more, other)
        for more in card.correction
        if more.turn == "more"
        for other in less
        if abs(other.error_mm + more.error_mm) < NOISE
    ]
    proof = card.move("prove the angle")
    shown = proof.sees_mm or 0.0 if proof else 0.0
    right = [pair for pair in pairs if pair[0].error_mm <= shown]
    return (*right[-1:], *pairs[len(right) :])[:MOST]
