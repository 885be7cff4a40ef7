"""The answer to one reading at the bench, as lines of text for a screen.

The words of a part are made of its card once, with places for what hangs on the reading: so they can be kept,
and a reading is answered without a card and without templates.
"""

import html
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from cardgen.digits import NBSP
from cardgen.paper.paper_error import TemplateError
from cardgen.paper.words.figures import Figures
from cardgen.paper.words.template_files import ANSWER

if TYPE_CHECKING:
    from cardgen.card.values import BenchAnswer, Card
    from cardgen.paper.words.template_files import TemplateFiles
    from cardgen.terms import Units

LINE = re.compile(r"(\w+):\s*(.*)")
PLACE = re.compile(r"\{(\w+)\}")
COMPARE = "its lines have names now: compare it with the one that 'cardgen new shop' lays down"

# Of each line by its name: text, the name of a place, text …, so that every second is a place's.
AnswerWords = Mapping[str, Sequence[str]]


def answer_words(card: "Card", templates: "TemplateFiles") -> AnswerWords:
    """What templates/stock_answer.j2 says of a card; raises TemplateError where it breaks."""
    from cardgen.paper.words.wording import environment, rendered

    given = {"card": card, "f": Figures(card.title.units), "in_full": in_full}
    try:
        text = rendered(environment(templates), f"{ANSWER}.j2", given)
    except TemplateError as wrong:
        its_own = f"{ANSWER}.j2:" in str(wrong)  # and not of one that it takes words from
        raise TemplateError(f"{wrong}; {COMPARE}" if its_own else str(wrong)) from None
    lines = (LINE.match(line.strip()) for line in text.split("\n"))  # a value has none
    return {
        line[1]: [html.unescape(piece).replace(NBSP, " ") for piece in PLACE.split(line[2])]
        for line in lines
        if line
    }


def answer_lines(words: AnswerWords, units: "Units", told: "BenchAnswer") -> Iterator[str]:
    """What a reading means: the stock left, what to feed, where the piece stands.

    Raises TemplateError for words that are wanted, and are not there.
    """
    answer, figures = told.answer, Figures(units)
    one, more = (_filled(words, name, {}) for name in ("division", "divisions"))
    feeds = {
        "to_rough": answer.divisions_to_rough_text,
        "part_way": told.first_feed_text,
        "to_finish": answer.divisions_text,
    }
    shown = {
        "reading": figures.reading(answer.reading_text),
        "stock": figures.stock(answer.stock_mm),
        "past": figures.stock(-answer.stock_mm),
        "left_on": figures.stock(answer.left_on_mm),
        "stage": answer.stage,
        **{name: in_full(text, one, more) for name, text in feeds.items()},
    }
    return (_filled(words, name, shown).replace(NBSP, " ") for name in _said(told))


def _said(told: "BenchAnswer") -> Iterator[str]:
    """The names of the lines that hold for a reading."""
    answer = told.answer
    yield "part"
    yield "flush" if answer.reading_mm == 0 else "minus" if answer.reading_mm < 0 else "plus"
    if answer.stock_mm >= 0:
        yield "left"
        if answer.divisions_to_rough:
            yield "rough"
        if told.first_feed_text:
            yield "part_way"
        yield "finish"
    else:
        yield "past"
    yield "stands"
    if told.worth_starting is not None:
        yield "worth" if told.worth_starting else "not_worth"
    if told.between_marks is not None:
        yield "between" if told.between_marks else "not_between"
    yield "last"


def in_full(fed: str, one: str, more: str) -> str:
    """'7 div' → '7 divisions', in these words for one and for more."""
    return f"1 {one}" if fed == "1 div" else fed.replace(" div", f" {more}")


def _filled(words: AnswerWords, name: str, shown: Mapping[str, str]) -> str:
    if name not in words:
        raise TemplateError(f"{ANSWER}.j2: no line '{name}: …' in it; {COMPARE}")
    pieces = list(words[name])
    for at in range(1, len(pieces), 2):
        if pieces[at] not in shown:
            raise TemplateError(
                f"{ANSWER}.j2: '{name}' names {{{pieces[at]}}}; there is {', '.join(sorted(shown))}"
            )
        pieces[at] = shown[pieces[at]]
    return "".join(pieces)
