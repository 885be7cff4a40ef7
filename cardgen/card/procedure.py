"""The moves of a batch in order, from a card's figures: what the paper words and a hand follows."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace

from cardgen.card import values
from cardgen.card.angle_proof import turned_above
from cardgen.card.facts import Facts
from cardgen.card.rows import feed_text
from cardgen.compute import batch
from cardgen.terms import MoveId, MoveIfNot, MoveMeans, MovePhase, MoveUntil, StageName

FIRST_SHORT = 1 / 3  # of what is left for finishing: the first piece stops short by it; common practice

# When each move is made, and until what.
WHEN: Mapping[MoveId, tuple[MovePhase, MoveUntil]] = {
    "mount the wheel": ("set up", "set"),
    "accept blanks": ("set up", "within the limits"),
    "set the swivel": ("set up", "set"),
    "set the stroke": ("set up", "set"),
    "clean up": ("prove", "ground all over"),
    "rub": ("prove", "bears all over"),
    "prove the angle": ("prove", "no error is seen"),
    "rough the first": ("rough", "at the reading"),
    "rough the batch": ("rough", "all are ground"),
    "semi-finish": ("rough", "all are ground"),
    "dress": ("finish", "set"),
    "finish the first": ("finish", "at the reading"),
    "finish on the stop": ("finish", "all are ground"),
    "finish each": ("finish", "at the reading"),
    "clean up with the least": ("finish", "ground all over"),
    "move the stop": ("mind", "at the reading"),
    "grind again": ("mind", "within the limits"),
    "set aside": ("mind", "within the limits"),
    "salvage or scrap": ("mind", "within the limits"),
}


def moves(facts: Facts, card: values.Card) -> tuple[values.Move, ...]:
    """Everything the hand does, in order; then what it minds at every finished piece."""
    found = (
        *_set_up(card),
        *_prove(card),
        *_rough(card),
        *_semi_finish(card),
        *_finish(facts, card),
        *_mind(card),
    )
    return tuple(
        move
        if move.divisions is None
        else replace(move, divisions_text=feed_text(move.divisions, card.handwheel))
        for move in found
    )


def first_short(card: values.Card) -> int:
    """Divisions of the cross-feed that the first piece is stopped short of finish size by."""
    first = card.move("finish the first")
    assert first is not None
    assert first.divisions is not None
    return first.divisions


def _move(
    move: MoveId,
    means: MoveMeans | None = None,
    readings: tuple[float | None, float | None] = (None, None),
    *,
    if_not: MoveIfNot = "nothing",
    divisions: int | None = None,
    pieces: int | None = None,
    sees: float | None = None,
) -> values.Move:
    phase, until = WHEN[move]
    return values.Move(move, phase, means, *readings, divisions, "", pieces, sees, until, if_not)


def _reading(card: values.Card, name: StageName) -> float:
    stage = card.stage(name)
    assert stage is not None, name
    return stage.reading_mm


def _set_up(card: values.Card) -> Iterator[values.Move]:
    least, most = sorted((_reading(card, "blank low"), _reading(card, "blank high")))
    blank = card.stage("blank low")
    tool: MoveMeans = "finish tool" if blank is not None and blank.tool == "finish" else "rough tool"
    too_little: MoveIfNot = "lay aside" if card.salvage is not None else "send back"
    yield _move("mount the wheel")
    yield _move("accept blanks", tool, (least, most), if_not=too_little)
    best = card.swivel.starts[0] if card.swivel.starts else None
    unborne = any(check.code == "start-beyond-stock" for check in card.checks)
    yield _move(
        "set the swivel",
        best.way if best is not None else None,
        sees=best.leaves_mm if best is not None else None,
        if_not="prove before the first cut" if unborne else "nothing",
    )
    yield _move("set the stroke")


def _prove(card: values.Card) -> Iterator[values.Move]:
    yield _move("clean up", "eye", (_reading(card, "rough"), None))
    unproved = card.proof.decided_by is None and card.proof.tolerance_mm is not None
    last: MoveIfNot = "turn, clean up and inspect elsewhere" if unproved else "turn and clean up"
    again: MoveIfNot = last if card.proof.decided_by in (None, "blue") else "turn and clean up"
    yield _move("rub", "blue", sees=card.proof.means[0].sees_mm, if_not=again)
    by, turned = turned_above(card.proof)
    if by != "blue":
        yield _move("prove the angle", by, sees=turned, if_not=last)


def _rough(card: values.Card) -> Iterator[values.Move]:
    low, high = sorted((card.batch.rough_from_mm, card.batch.rough_to_mm))
    target, every = _reading(card, "rough"), card.batch.check_every
    yield _move("rough the first", "rough tool", (target, target), if_not="leave the batch more")
    yield _move("rough the batch", "rough tool", (low, high), if_not="leave the batch more", pieces=every)


def _semi_finish(card: values.Card) -> Iterator[values.Move]:
    """The whole batch once more on a stop further in: to the reading, or a division of its tool above it."""
    stage, between = card.stage("semi-finish"), card.semi_finish
    if stage is None or between is None:
        return
    more = math.copysign(card.reading.tool(stage.tool).division_mm, card.reading.per_mm)
    low, high = sorted((stage.reading_mm, stage.reading_mm + more))
    yield _move(
        "semi-finish",
        "rough tool" if stage.tool == "rough" else "finish tool",
        (low, high),
        if_not="leave the batch more",
        divisions=between.feed_divisions,
        pieces=card.batch.check_every,
    )


def _finish(facts: Facts, card: values.Card) -> Iterator[values.Move]:
    begins = card.stage("semi-finish") or card.stage("rough")
    assert begins is not None
    per_division, plan, worn = card.handwheel.stock_per_division_mm, card.batch, card.salvage
    aim = _reading(card, "finish")
    at_aim, accepted = (aim, aim), (plan.reading_low_mm, plan.reading_high_mm)
    first = batch.stop_short(FIRST_SHORT * begins.stock_mm, per_division)
    if plan.move_at_mm is None:  # each is then stopped short of size, and the table has one column for that
        unknown = (plan.spread_on_diameter_mm or 0.0) + (card.speeds.drift_per_piece_mm or 0.0)
        first = max(first, batch.stop_short(unknown + facts.allowances.doubt, per_division))
    table: MoveIfNot = "feed by the table"
    yield _move("dress")
    yield _move("finish the first", "finish tool", at_aim, if_not=table, divisions=first)
    if plan.move_at_mm is not None:
        yield _move("finish on the stop", "finish tool", accepted, pieces=plan.check_every)
    else:
        yield _move("finish each", "finish tool", at_aim, if_not=table, divisions=first, pieces=1)
    if worn is not None:
        ends, each = (worn.start_mm, worn.limit_mm), worn.divisions_per_pass
        yield _move("clean up with the least", "finish tool", ends, if_not="scrap", divisions=each)


def _mind(card: values.Card) -> Iterator[values.Move]:
    plan = card.batch
    table: MoveIfNot = "feed by the table"  # the stop too, where the reading has gone further than one move
    if plan.move_at_mm is not None:
        at, feed = (plan.move_at_mm, None), plan.stop_divisions
        yield _move("move the stop", "finish tool", at, if_not=table, divisions=feed)
    if plan.reading_low_mm is None or plan.reading_high_mm is None:
        return
    most, least = plan.reading_high_mm, plan.reading_low_mm
    if card.reading.per_mm < 0:
        most, least = least, most
    yield _move("grind again", "finish tool", (most, None), if_not=table)
    if plan.set_aside_mm is not None:
        yield _move("set aside", "finish tool", (least, plan.set_aside_mm))
    last = plan.set_aside_mm if plan.set_aside_mm is not None else least
    yield _move("salvage or scrap", "finish tool", (last, None))
