"""A question about a taper in one plain writing: case, signs, spelt numbers and idle words out of the way."""

import re

from cardgen import tapers
from cardgen.spec.number import tidy

LONGEST = 200  # characters of a question that are looked at
NUM = r"(?:\d+(?: +|-)\d+/\d+|\d+/\d+|\d+\.?\d*|\.\d+)"
_WORDED = (
    (re.compile(r"\b(?:tpf|taper per f(?:oo)?t)\b"), " per foot "),
    (re.compile(r"\b(?:tpi|taper per inch)\b"), " per in "),
    (re.compile(r"\bwhat['′]s\b"), " "),
    (re.compile(r"\b(half|semi)-"), r"\1 "),
    (re.compile(r"\b(?:half|semi) (?:included|cone)\b"), " half "),
    (re.compile(r"\bipf\b"), " in per foot "),
    (re.compile(r"/ ?(?:foot|ft\b\.?|′|')"), " per foot "),
    (re.compile(r"\bto the f(?:oo)?t\b|\ba foot\b|\bfoot taper\b"), " per foot "),
    (re.compile(r"\b(?:a |one )?quarter\b"), " 1/4 "),
    (re.compile(r"\b(?:a |one )?half (?:an? )?(?=in\b|inch|deg|thou|mm)"), " 1/2 "),
    (re.compile(r"\band an? 1/2"), " 1/2"),
    (re.compile(r"\bdegrees?\b"), " deg "),
)  # fmt: skip
_PARTS = {"quarter": 4, "eighth": 8, "tenth": 10, "sixteenth": 16, "hundredth": 100}  # five sixteenths
OF_AN_END = re.compile(r"^d(?:[12]? ?[=:] ?| )(?=[\d.])")  # D=44.399; but D1-6 is a spindle nose
_OF_THE_TAPER = re.compile(r"^c ?[=:] ?(?=\d)")


def plain(text: str) -> str:
    """The question in lower case, the ways of writing one thing made one, words without weight left out."""
    text = (
        tidy(text[:LONGEST].replace("÷", "/")).casefold().partition("±")[0]
    )  # a tolerance is not asked about
    text = _OF_THE_TAPER.sub("", OF_AN_END.sub("", text))
    text = re.sub(r"[‘’´`]", "′", re.sub(r"[“”]", "″", text)).replace("''", "″")
    if not re.search(r"\d\.\d|,\d+,", text):
        text = re.sub(r"(?<=\d),(?=\d)", ".", text)  # a decimal comma
    for pattern, written in _WORDED:
        text = pattern.sub(written, text)
    numbers = tapers.asking("numbers")
    text = re.sub(rf"\b({'|'.join(numbers)})\b", lambda word: numbers[word[1]], text)
    text = re.sub(rf"\b(\d+) ({'|'.join(_PARTS)})s?\b", lambda part: f"{part[1]}/{_PARTS[part[2]]}", text)
    if text.strip().startswith("per "):  # 'taper per foot 0.623'
        text = re.sub(rf"^\s*per (foot|in)\s*:?\s*({NUM}) *(\D*?)\s*$", r"\2 \3 per \1", text)
    text = re.sub(rf"\b(?:{'|'.join(tapers.asking('fillers'))})\b|[?!=⌀ø]", " ", text)
    return " ".join(text.split()).lstrip(" ,;:").rstrip(" ,;:.")
