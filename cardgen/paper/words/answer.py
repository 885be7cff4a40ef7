"""The answer to one reading at the bench, as lines of text for a screen."""

from cardgen.card.values import Card, StockAnswer
from cardgen.digits import NBSP
from cardgen.paper.words.figures import Figures
from cardgen.paper.words.wording import TemplateFiles, Words, environment

TEMPLATE = "stock_answer"


def answer_lines(card: Card, answer: StockAnswer, templates: TemplateFiles) -> tuple[str, ...]:
    """What the reading means: the stock left, what to feed, where the piece stands.

    Raises TemplateError where the template breaks.
    """
    words = Words(environment(templates), {"card": card, "answer": answer, "f": Figures(card.title.units)})
    lines = ("".join(text for text, _ in line.fields[0]) for line in words.lines(TEMPLATE))
    return tuple(line.replace(NBSP, " ") for line in lines)
