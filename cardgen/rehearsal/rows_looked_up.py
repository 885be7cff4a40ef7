"""The card as it hangs beside the machine: rows to look things up in, and nothing else."""

from bisect import bisect_right
from typing import Any

Card = dict[str, Any]
ROUGH, FINISH = 0, 1


class CardInHand:
    """The card as it hangs there, with its rows laid out for finding."""

    def __init__(self, card: Card) -> None:
        """card: the JSON of `cardgen values`."""
        self.card = card
        self.rows: list[list[Card]] = [
            sorted(
                (row for row in card["stock_table"] if row["tool"] == tool), key=lambda row: row["reading_mm"]
            )
            for tool in ("rough", "finish")
        ]
        self.readings = [[row["reading_mm"] for row in rows] for rows in self.rows]
        self.stages = {stage["name"]: stage for stage in card["stages"]}
        self.per_division = card["handwheel"]["stock_per_division_mm"]
        self.turns = {pattern["heavy_end"]: pattern["turn"] for pattern in card["patterns"]}

    def row(self, reading: float, tool: int) -> Card:
        """The row of this reading, or where the table has none the next one with less stock."""
        rows, readings = self.rows[tool], self.readings[tool]
        grows = rows[-1]["stock_mm"] > rows[0]["stock_mm"]
        if grows:
            return rows[max(0, bisect_right(readings, reading + 1e-6) - 1)]
        return rows[min(len(rows) - 1, bisect_right(readings, reading - 1e-6))]

    def blue_row(self, fraction: float) -> Card:
        """The row of blue nearest to the part that is marked."""
        return min(self.card["blue"], key=lambda row: abs(row["marked_fraction"] - fraction))

    def light_row(self, gap: float) -> Card:
        """The row of light nearest to the gap seen."""
        return min(self.card["light"], key=lambda row: abs(row["gap_mm"] - gap))

    def correction_row(self, error: float, turn: str) -> Card:
        """The row of the correction table for this error or the next larger one, turned this way."""
        rows = sorted((r for r in self.card["correction"] if r["turn"] == turn), key=_size_of_error)
        return next((r for r in rows if _size_of_error(r) >= error - 1e-9), rows[-1])


def _size_of_error(row: Card) -> float:
    return abs(float(row["error_mm"]))
