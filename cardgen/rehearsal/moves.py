"""The moves of a card made in their order, and nothing else: which of the hand's doings stands for each."""

from collections.abc import Callable

from cardgen.rehearsal import righting
from cardgen.rehearsal.floor import WorkPiece
from cardgen.rehearsal.hand import Hand
from cardgen.rehearsal.rows_looked_up import Card

MOVES: dict[str, Callable[[Hand, Card], None]] = {
    "mount the wheel": Hand.ready,
    "accept blanks": Hand.accept,
    "set the swivel": righting.set_swivel,
    "set the stroke": Hand.ready,
    "clean up": Hand.clean_the_first,
    "rub": righting.true_by_blue,
    "prove the angle": righting.prove,
    "rough the first": Hand.size_rough,
    "rough the batch": Hand.rough_batch,
    "semi-finish": Hand.semi_finish,
    "dress": Hand.dress,
    "finish the first": Hand.finish_first,
    "finish on the stop": Hand.finish_on_stop,
    "finish each": Hand.finish_each,
    "clean up with the least": Hand.clean_up_worn,
}


def follow(hand: Hand) -> list[WorkPiece]:
    """Make the moves of the hand's card; the finished pieces."""
    moves = hand.card["procedure"]
    hand.mind = {move["id"]: move for move in moves if move["phase"] == "mind"}
    for move in moves:
        if move["phase"] != "mind":
            MOVES[move["id"]](hand, move)
    return hand.done
