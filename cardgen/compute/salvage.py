"""A worn piece ground again: cleaned up with the least, at most to a size past that of a new one.

A gauge rests on the highest places of a worn surface, so a reading tells the most that is there. What lies
deeper, wear and run-out about its centres together, is what has to come off before the piece is clean:
cleaned up it has S − w. All stock on the diameter, from the size that a new piece is aimed at.
"""

from cardgen.compute.stages import Allowances, PlannedStage, Sizing, readable_stage
from cardgen.terms import Side


def least_stock(at_most: float, aim_above_basic: float, side: Side) -> float:
    """The stock of a piece that is ground as far past its basic size as it may: S = −X ∓ a.

    at_most: X, mm on the diameter past the basic size (external below it, internal above);
    aim_above_basic: a, mm, of the size that stock is counted from. Result: mm, − a outside, + a inside;
    below nothing. Source: definition of the stock.
    """
    return -at_most - (aim_above_basic if side == "external" else -aim_above_basic)


def salvage_limit(sizing: Sizing, allowances: Allowances, least: float) -> PlannedStage:
    """The finishing tool's last division at which a piece is surely not past what it may be ground to: S + U.

    least: S, mm on the diameter; the doubt U of the reading draws it in. Result: a Stage. Raises SumError as
    readable_stage does. Source: ISO 14253-1, see conformity.
    """
    return readable_stage("finish low", least + allowances.doubt, "finish", sizing, more=True)


def worth_starting(sizing: Sizing, limit: PlannedStage, clean_up: float) -> PlannedStage:
    """The least that a worn piece has to read so that it can clean up before the limit: S + w.

    clean_up: w, mm on the diameter, of wear and run-out together. Result: a Stage. Raises SumError as
    readable_stage does. Source: geometry; that the gauge rests on the highest places is common practice.
    """
    return readable_stage("blank low", limit.stock + clean_up, "finish", sizing, more=True)
