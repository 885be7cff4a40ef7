"""From a name as the trade writes it to the standard taper; only the series it points at is read."""

import difflib
import re
from dataclasses import dataclass
from functools import cache

from cardgen.tapers.datafile import Entry, read
from cardgen.tapers.series import Series, StandardTaper, load_series

_WORD = re.compile(r"[^\W\d_]+|\d*\.?\d+(?:[.:/]\d+)*|%")
_VULGAR = str.maketrans(
    {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "&": " and ", "№": " no "}
)
_NO_POINT = re.compile(r"\bnos?\. *")  # 'no.5' is no half
# Said or left out at will: 'Morse taper No. 3' is 'Morse 3'.
_FILLERS = frozenset({"no", "nos", "number", "size", "taper", "tapers"})

Words = tuple[str, ...]


@cache
def words_of(text: str) -> Words:
    """The words and numbers of a name, in lower case, no fillers: 'Morse taper No. 3' → ('morse', '3')."""
    found = _WORD.findall(_NO_POINT.sub("no ", text.casefold().translate(_VULGAR)))
    return tuple(word for word in found if word not in _FILLERS)


_RUN_ON = re.compile(r"(mt|mk|cm)([ivx]+)")
_RUN_IN = re.compile(r"(\d+)([1357]/(?:2|4|8|16))")  # 11/2 is 1 1/2: no size is eleven halves


def otherwise_written(words: Words) -> Words:
    """The words with a Roman or a spelt number as figures, a size in decimals as a common fraction."""
    fractions, numbers = asking("fractions"), {**asking("numbers"), **asking("roman")}
    written: list[str] = []
    for word in words:
        run_on = _RUN_ON.fullmatch(word) or _RUN_IN.fullmatch(word)
        parted = run_on is not None and (run_on[2] in numbers or "/" in word)
        for each in run_on.groups() if run_on and parted else (word,):
            whole, point, part = each.partition(".")
            if point and f".{part}" in fractions:
                written += [whole] if whole.strip("0") else []
                written.append(fractions[f".{part}"])
            elif point and not part.strip("0"):
                written.append(whole or "0")  # MT 3.0
            elif each in numbers:
                written.append(numbers[each])
            elif len(each) > 1 and not each.strip("0"):
                written.append(f"{len(each)}/0")  # a pin of size 000
            else:
                written.append(each.lstrip("0") if each.isdigit() and each.strip("0") else each)
    return tuple(written)


def asking(name: str) -> dict[str, str]:
    """Words of those who ask, by name, each with what it stands for (itself, where nothing else is said)."""
    words = read("asking.yaml")[name]
    return words if isinstance(words, dict) else {word: word for word in words.split()}


@dataclass(frozen=True)
class IndexLine:
    """Where a series is kept and by which words a name points at it."""

    series: str
    file: str
    spelled: tuple[str, ...]
    met: str = ""  # often, seldom: in a toolroom, so that the booklet has its readings ready, or no settings

    def points_from(self, words: Words) -> int:
        """How many words of the name are the series' own, at its head or its tail; 0 where none."""
        longest = 0
        for spelling in self.spelled:
            own = words_of(spelling)
            if own and own in (words[: len(own)], words[-len(own) :]):
                longest = max(longest, len(own))
        return longest


@cache
def index() -> tuple[IndexLine, ...]:
    """Every series of the library, in the order of the booklet."""
    lines = []
    for item in Entry(read("index.yaml"), "index.yaml").entries("series"):
        met = item.optional_text("met") or ""
        lines.append(IndexLine(item.text("series"), item.text("file"), item.texts("spelled"), met))
        item.end()
    return tuple(lines)


@cache
def all_series() -> tuple[Series, ...]:
    """Every series with all its sizes."""
    return tuple(load_series(line.file) for line in index())


@cache
def all_tapers() -> tuple[StandardTaper, ...]:
    """Every standard taper, series by series."""
    return tuple(taper for series in all_series() for taper in series.sizes)


def series_named(name: str) -> tuple[str, ...]:
    """The series that a name stands for as a whole: its own name, or a trade's word for it (BT, HSK, MK)."""
    words = words_of(name)
    return tuple(
        line.series for line in index() if words in [words_of(each) for each in (line.series, *line.spelled)]
    )


@cache
def spelled(line: IndexLine) -> dict[Words, StandardTaper]:
    """Every way of naming a size of one series: series' word and size, in either order."""
    names: dict[Words, StandardTaper] = {}
    for taper in load_series(line.file).sizes:
        names[words_of(taper.name)] = taper
        for series_words in map(words_of, line.spelled):
            for size_words in map(words_of, (taper.size, *taper.spellings)):
                names[series_words + size_words] = taper
                names[size_words + series_words] = taper
                if len(series_words) == 2 and len(series_words[1]) == 1 and series_words[1].isalpha():
                    names[(series_words[0], *size_words, series_words[1])] = taper  # HSK 63 A
                if line.points_from(size_words):
                    names[size_words] = taper
    return names


def find(name: str) -> StandardTaper | None:
    """The standard taper of this name, in any spelling of the trade; None where there is none."""
    words = words_of(name)
    return _find(words) or _find(otherwise_written(words))


def _find(words: Words) -> StandardTaper | None:
    pointed = [(line.points_from(words), line) for line in index()]
    for strength, line in sorted(pointed, key=lambda pair: -pair[0]):
        if not strength:
            return None
        taper = spelled(line).get(words)
        if taper is not None:
            return taper
    return None


def suggestions(name: str, count: int = 3) -> list[str]:
    """Names of standard tapers that look most like this one, the nearest first; empty where none does."""
    names = {" ".join(words): taper for line in index() for words, taper in spelled(line).items()}
    wanted = " ".join(words_of(name))
    close = difflib.get_close_matches(wanted, names, n=4 * count, cutoff=0.6)
    return list(dict.fromkeys(names[text].name for text in close))[:count]
