"""The answer to one reading at the bench, as lines of text for a screen."""

from cardgen.card.values import Card, ReadingKind, StockAnswer
from cardgen.paper.figures import Figures

WHAT_IS_READ: dict[ReadingKind, str] = {
    "shoulder_gap": "gap, ring to shoulder",
    "small_end_standout": "small end out of the ring",
    "plug_standoff": "plug's line off the mouth",
    "plug_depth": "plug's end past the plane",
}


def answer_lines(card: Card, answer: StockAnswer) -> tuple[str, ...]:
    """What the reading means: the stock left, what to feed, where the piece stands."""
    figures = Figures(card.title.units)
    wheel = card.handwheel
    left = answer.stock_mm - answer.divisions * wheel.stock_per_division_mm
    tool = card.reading.finish_tool
    lines = [
        f"{card.title.part} {card.title.name}, revision {card.title.revision}, machine {card.swivel.machine}",
        f"reading    {figures.reading_value(answer.reading_mm, tool)}  ({WHAT_IS_READ[card.reading.kind]})",
    ]
    if answer.stock_mm >= 0:
        sure = figures.stock(card.doubt.stock_expanded_mm)
        lines += [
            f"stock left {figures.stock(answer.stock_mm)} on the diameter, ± {sure} with the {tool.name}",
            f"feed       {answer.divisions} divisions of {wheel.division_text} on the {wheel.reads}; "
            f"that leaves {figures.stock(left)} on",
        ]
    else:
        lines.append(f"stock left none: {figures.stock(-answer.stock_mm)} below finish size; do not feed")
    lines.append(f"stands at  {answer.stage}")
    lines.append("While only one end bears, the other has less on than this. Read cool work, wheel stopped.")
    return tuple(line.replace("\u00a0", " ") for line in lines)
