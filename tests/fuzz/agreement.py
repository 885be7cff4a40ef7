"""A mutant's card held against the text of its own spec, worked out anew at the made-up bench (tests/made).

The spec is read here by PyYAML's plainest loader and the reckoning's own reader of quantities, nothing of the
package. What those cannot read, though the program can, is counted as not recomputed.
"""

import math
from types import SimpleNamespace
from typing import Any

import yaml

from cardgen.card.values import Card
from tests.card.reckoning import raw
from tests.made import bench
from tests.made.shops import COLLAR

FINE = 2e-9  # mm on the diameter for each 100 mm: arithmetic
FAR = 300.0  # mm: the bench slides its gauges no further


def truth(text: str, card: Card) -> Any | None:
    """What is true of the part that a spec's text describes; None where it says it in a way not read here."""
    try:
        trees = [tree for tree in yaml.load_all(text, yaml.BaseLoader) if tree]
        part, gauge = (next(tree for tree in trees if tree["kind"] == kind) for kind in ("part", "gauge"))
        machine = next(tree for tree in trees if tree["kind"] == "machine")
        line, gauging = part["taper"]["gauge_line"], part["gauging"]
        if "finish" in gauging or {"large_diameter", "small_diameter"} & part["taper"].keys():
            return None
        minus, plus = map(float, raw.allowances(line["tolerance"]))
        basic = _mm(line["diameter"])
        feed = machine["cross_feed"]
        return SimpleNamespace(
            kind=gauging["reading"],
            external=part["taper"]["side"] == "external",
            ratio=float(raw.slope_of(part["taper"]["callout"])),
            aim=basic + (plus - minus) / 2,
            line=basic,
            line_from_face=_mm(line.get("from_shoulder", line.get("from_end"))),
            length=_mm(part["taper"]["length"]),
            gauge_line=_mm(gauge["gauge_line"]["diameter"]),
            gauge_length=_mm(gauge["length"]),
            plane=_mm(gauging.get("plane", "0 mm")),
            collar=_mm(gauge.get("face_from_line", "0 mm")),
            by_head=card.swivel.set_by == "wheel head",
            machine=SimpleNamespace(slide_fed=machine.get("wheel_head", {}).get("slide_fed", "below")),
            slide=_mm(feed["division"]) / (2 if feed["reads"] == "diameter" else 1),
        )
    except Exception:
        return None


def _mm(text: str) -> float:
    return float(raw.quantity(text))


def disagreements(card: Card, true: Any) -> list[str]:
    """Every stage, and the table's ends, whose reading, stock or feed a real piece would belie."""
    found = []
    rows = [*card.stages, *card.stock_table[:1], *card.stock_table[-1:]]
    for row in rows:
        if abs(row.reading_mm) > FAR or true.length > FAR or true.gauge_length > FAR:
            continue
        size = bench.size_with(true, row.stock_mm)
        fine = FINE * max(1.0, true.line / 100, 10 / true.length)
        # The bench's plugs all have their collar at one place.
        moved = true.collar - COLLAR if true.kind == "collar_gap" else 0.0
        apart = (bench.reading(true, size) + moved - row.reading_mm) * true.ratio
        if not abs(apart) < fine:
            found.append(f"reading {row.reading_mm} with stock {row.stock_mm}: {apart} apart")
        fed = bench.stock_of(true, bench.ground(true, size, row.divisions * true.slide))
        more = bench.stock_of(true, bench.ground(true, size, (row.divisions + 1) * true.slide))
        if row.stock_mm > 0 and not (fed >= -1e-6 and more < 1e-6):
            found.append(f"{row.divisions} divisions at {row.reading_mm} leave {fed}, one more {more}")
        if not math.isfinite(row.stock_mm + row.reading_mm):
            found.append(f"no number at {row.reading_mm}")
    return found
