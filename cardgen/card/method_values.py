"""What a card says of the method: ways to set the swivel, means of proof, the moves of a batch."""

from dataclasses import dataclass

from cardgen.terms import (
    MoveId,
    MoveIfNot,
    MoveMeans,
    MovePhase,
    MoveUntil,
    ProofMeans,
    ScaleShows,
    StartWay,
)


@dataclass(frozen=True)
class Start:
    """A way to set the swivel and what it may leave over."""

    way: StartWay
    scale: ScaleShows | None  # which scale, where it is one
    leaves_mm: float  # as a difference of diameters over the taper's length
    needs_mm: float | None  # stock to have on when that is put right; None where no stock is enough


@dataclass(frozen=True)
class MeansOfProof:
    """What can be seen of an error of taper, and whether that decides."""

    means: ProofMeans
    sees_mm: float  # the least error that it shows, difference of diameters over the contact
    decides: bool


@dataclass(frozen=True)
class Proof:
    """How the angle is proved, while there is stock left to turn in."""

    tolerance_mm: float | None  # to one side, difference of diameters over the contact
    means: tuple[MeansOfProof, ...]  # what the shop and the part have, the coarsest first
    decided_by: ProofMeans | None  # the coarsest that can decide
    measured_within_mm: float | None  # of two rolls or balls: what their difference may be out by


@dataclass(frozen=True)
class Move:
    """One move: what is done, by what means and with which figures, until what, and what if not.

    The paper words it; a hand that has only the moves and the tables works a batch from them.
    """

    id: MoveId
    phase: MovePhase
    means: MoveMeans | None
    from_mm: float | None  # readings that it starts, ends or is held at, as the means shows them
    to_mm: float | None
    divisions: int | None  # of the cross-feed: to stop short by, or to feed the stop in
    divisions_text: str  # as the hand counts them; empty where there are none
    pieces: int | None  # every so-manyth is gauged
    sees_mm: float | None  # an error of taper that is no larger, as the means shows it, is let be
    until: MoveUntil
    if_not: MoveIfNot


@dataclass(frozen=True)
class OutBy:
    """How far shop and machine may be out: what a rehearsed batch is ground with."""

    scale_arcmin: float  # of the swivel, as a half angle, each way
    pivot_mm: float  # along the axis and across it, each way
    film_factor: float  # of the blue's film, up or down
    temperature_k: float  # standard deviation, work against gauge
    repeatability_mm: float  # standard deviation of the size on an unmoved stop, on the diameter
    wear_factor: float  # of the wheel's wear, up or down
