"""The moves of a batch in order, from a card's figures: what the paper words and a hand follows."""

import math
from collections.abc import Iterator
from dataclasses import replace

from cardgen.card import values
from cardgen.card.angle_proof import turned_above
from cardgen.card.facts import Facts
from cardgen.card.rows import feed_text
from cardgen.compute import batch
from cardgen.terms import MoveId, MoveIfNot, MoveMeans, MovePhase, MoveUntil, StageName

FIRST_SHORT = 1 / 3  # of what is left for finishing: the first piece stops short by it; common practice


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
    phase: MovePhase,
    until: MoveUntil,
    if_not: MoveIfNot = "nothing",
    means: MoveMeans | None = None,
    readings: tuple[float | None, float | None] = (None, None),
    divisions: int | None = None,
    pieces: int | None = None,
    sees: float | None = None,
) -> values.Move:
    return values.Move(move, phase, means, *readings, divisions, "", pieces, sees, until, if_not)


def _reading(card: values.Card, name: StageName) -> float:
    stage = card.stage(name)
    assert stage is not None, name
    return stage.reading_mm


def _set_up(card: values.Card) -> Iterator[values.Move]:
    least, most = sorted((_reading(card, "blank low"), _reading(card, "blank high")))
    blank = card.stage("blank low")
    by_finishing = blank is not None and blank.tool == "finish"
    yield _move("mount the wheel", "set up", "set")
    yield _move(
        "accept blanks",
        "set up",
        "within the limits",
        "lay aside" if card.salvage is not None else "send back",
        "finish tool" if by_finishing else "rough tool",
        (least, most),
    )
    best = card.swivel.starts[0] if card.swivel.starts else None
    unborne = any(check.code == "start-beyond-stock" for check in card.checks)
    yield _move(
        "set the swivel",
        "set up",
        "set",
        "prove before the first cut" if unborne else "nothing",
        best.way if best is not None else None,
        sees=best.leaves_mm if best is not None else None,
    )
    yield _move("set the stroke", "set up", "set")


def _prove(card: values.Card) -> Iterator[values.Move]:
    rough = _reading(card, "rough")
    yield _move("clean up", "prove", "ground all over", means="eye", readings=(rough, None))
    unproved = card.proof.decided_by is None and card.proof.tolerance_mm is not None
    last: MoveIfNot = "turn, clean up and inspect elsewhere" if unproved else "turn and clean up"
    again: MoveIfNot = last if card.proof.decided_by in (None, "blue") else "turn and clean up"
    yield _move("rub", "prove", "bears all over", again, "blue", sees=card.proof.means[0].sees_mm)
    by, turned = turned_above(card.proof)
    if by != "blue":
        yield _move("prove the angle", "prove", "no error is seen", last, by, sees=turned)


def _rough(card: values.Card) -> Iterator[values.Move]:
    low, high = sorted((card.batch.rough_from_mm, card.batch.rough_to_mm))
    target = _reading(card, "rough")
    yield _move(
        "rough the first", "rough", "at the reading", "leave the batch more", "rough tool", (target, target)
    )
    yield _move(
        "rough the batch",
        "rough",
        "all are ground",
        "leave the batch more",
        "rough tool",
        (low, high),
        pieces=card.batch.check_every,
    )


def _semi_finish(card: values.Card) -> Iterator[values.Move]:
    """The whole batch once more on a stop further in: to the reading, or a division of its tool above it."""
    stage, between = card.stage("semi-finish"), card.semi_finish
    if stage is None or between is None:
        return
    more = math.copysign(card.reading.tool(stage.tool).division_mm, card.reading.per_mm)
    low, high = sorted((stage.reading_mm, stage.reading_mm + more))
    yield _move(
        "semi-finish",
        "rough",
        "all are ground",
        "leave the batch more",
        "rough tool" if stage.tool == "rough" else "finish tool",
        (low, high),
        between.feed_divisions,
        card.batch.check_every,
    )


def _finish(facts: Facts, card: values.Card) -> Iterator[values.Move]:
    begins = card.stage("semi-finish") or card.stage("rough")
    assert begins is not None
    per_division = card.handwheel.stock_per_division_mm
    aim = _reading(card, "finish")
    first = batch.stop_short(FIRST_SHORT * begins.stock_mm, per_division)
    plan = card.batch
    if plan.move_at_mm is None:  # each is then stopped short of size, and the table has one column for that
        unknown = (plan.spread_on_diameter_mm or 0.0) + (card.speeds.drift_per_piece_mm or 0.0)
        first = max(first, batch.stop_short(unknown + facts.allowances.doubt, per_division))
    yield _move("dress", "finish", "set")
    yield _move(
        "finish the first",
        "finish",
        "at the reading",
        "feed by the table",
        "finish tool",
        (aim, aim),
        first,
    )
    if plan.move_at_mm is not None:
        yield _move(
            "finish on the stop",
            "finish",
            "all are ground",
            means="finish tool",
            readings=(plan.reading_low_mm, plan.reading_high_mm),
            pieces=plan.check_every,
        )
    else:
        yield _finish_each(card, first)
    worn = card.salvage
    if worn is not None:
        yield _move(
            "clean up with the least",
            "finish",
            "ground all over",
            "scrap",
            "finish tool",
            (worn.start_mm, worn.limit_mm),
            worn.divisions_per_pass,
        )


def _finish_each(card: values.Card, short: int) -> values.Move:
    """No stop holds the size: each piece is stopped short of it and read again, as the first."""
    aim = _reading(card, "finish")
    return _move(
        "finish each",
        "finish",
        "at the reading",
        "feed by the table",
        "finish tool",
        (aim, aim),
        short,
        1,
    )


def _mind(card: values.Card) -> Iterator[values.Move]:
    plan = card.batch
    if plan.move_at_mm is not None:
        yield _move(
            "move the stop",
            "mind",
            "at the reading",
            "feed by the table",  # where the reading has gone further: so many divisions would not catch up
            means="finish tool",
            readings=(plan.move_at_mm, None),
            divisions=plan.stop_divisions,
        )
    if plan.reading_low_mm is None or plan.reading_high_mm is None:
        return
    more_reads_more = card.reading.per_mm > 0
    most, least = (
        (plan.reading_high_mm, plan.reading_low_mm)
        if more_reads_more
        else (plan.reading_low_mm, plan.reading_high_mm)
    )
    yield _move("grind again", "mind", "within the limits", "feed by the table", "finish tool", (most, None))
    if plan.set_aside_mm is not None:
        yield _move(
            "set aside", "mind", "within the limits", means="finish tool", readings=(least, plan.set_aside_mm)
        )
    last = plan.set_aside_mm if plan.set_aside_mm is not None else least
    yield _move("salvage or scrap", "mind", "within the limits", means="finish tool", readings=(last, None))
