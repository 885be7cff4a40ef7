"""What a foreman types after `cardgen tapers`, and what must stand in the answer."""

import json
from pathlib import Path

import pytest
import yaml

from cardgen.booklet.looking_up import look_up
from cardgen.paper.words.taper_list import TaperTable, not_found, told
from tests.calling import cardgen

QUESTIONS = yaml.safe_load((Path(__file__).parent / "questions.yaml").read_text("utf-8"))["questions"]


def answered(question: str) -> tuple[bool, str]:
    """Whether the library has an answer, and all that is printed for it."""
    answer = look_up(question)
    if not answer.senses:
        return False, "\n".join(not_found(answer))
    lines = []
    for line in told(answer):
        if isinstance(line, TaperTable):
            lines += [" | ".join(head.text for head in line.heads), *(" | ".join(row) for row in line.rows)]
        else:
            lines.append(line)
    return True, "\n".join(lines)


def test_enough_is_asked() -> None:
    """Ensures that at least 150 questions are tried, none twice."""
    asked = [question["asked"] for question in QUESTIONS]
    assert len(set(asked)) == len(asked) >= 150


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question["asked"])
def test_a_question_gets_its_answer(question: dict) -> None:
    """Ensures that what was meant is found, nothing else is taken for it, and nonsense is told so."""
    found, text = answered(question["asked"])
    assert found != question.get("not_found", False), text
    missing = [part for part in question["has"] if part not in text]
    assert not missing, text
    assert not [part for part in question.get("lacks", ()) if part in text], text


def test_an_answer_for_a_program_has_every_sense() -> None:
    """Ensures that --json tells how each sense was read, what equals it, and the sizes by name."""
    result = cardgen("tapers", "1°26'16\"", "--json")
    answer = json.loads(result.stdout)
    assert [sense["reading"] for sense in answer["senses"]] == ["half", "included"]
    equal = answer["senses"][0]["equal"]
    assert [match["sizes"] for match in equal] == [["Morse 3"], ["ISO Morse 3"], ["B22", "B24"]]
    assert equal[0]["size"]["large"] == {"mm": 23.8252, "text": "0.938", "unit": "in", "about": False}


def test_an_answer_for_a_program_is_given_where_nothing_is_found() -> None:
    """Ensures that --json has no senses and names the nearest, with exit status 2."""
    result = cardgen("tapers", "Morse 8", "--json")
    answer = json.loads(result.stdout)
    assert result.returncode == 2
    assert answer["senses"] == []
    assert "Morse 7" in answer["suggestions"]
