"""The answer to one reading at the bench, as lines of text for a screen."""

from cardgen.card.values import Card, StockAnswer
from cardgen.digits import NBSP
from cardgen.paper.words.figures import Figures
from cardgen.paper.words.wording import TemplateFiles, Words, environment

TEMPLATE = "stock_answer"


def answer_lines(card: Card, answer: StockAnswer, part_way: str, templates: TemplateFiles) -> tuple[str, ...]:
    """What the reading means: the stock left, what to feed, where the piece stands.

    part_way: the first of two feeds to size, as the card has it; empty where one goes there.

    Raises TemplateError where the template breaks.
    """
    given = {"card": card, "answer": answer, "part_way": part_way, "f": Figures(card.title.units)}
    words = Words(environment(templates), given)
    lines = ("".join(text for text, _ in line.fields[0]) for line in words.lines(TEMPLATE))
    return tuple(line.replace(NBSP, " ") for line in lines)
