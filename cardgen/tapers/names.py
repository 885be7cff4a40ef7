"""What taper do these words name? A size, a series, a standard by its number, a use."""

import re
from dataclasses import dataclass
from functools import cache
from typing import Literal

from cardgen.tapers.datafile import Entry, read
from cardgen.tapers.lookup import (
    Words,
    all_series,
    all_tapers,
    asking,
    find,
    index,
    otherwise_written,
    series_named,
    words_of,
)
from cardgen.tapers.printed import exact
from cardgen.tapers.series import StandardTaper


@dataclass(frozen=True)
class Named:
    """What words name: these standard tapers, and what is to be said of the name itself."""

    kind: Literal["size", "series", "standard", "use", "astray"]
    tapers: tuple[StandardTaper, ...]
    told: str = ""


@dataclass(frozen=True)
class Standard:
    """A standard: its numbers with the bodies that give it, what it is about, the series of the library."""

    numbers: tuple[str, ...]
    about: str
    series: tuple[str, ...]


@cache
def standards() -> tuple[Standard, ...]:
    """Every standard that the library knows by number."""
    found = []
    for entry in Entry(read("standards.yaml"), "standards.yaml").entries("standards"):
        found.append(Standard(entry.texts("numbers"), entry.text("about"), entry.texts("series")))
        entry.end()
    return tuple(found)


@cache
def _catches() -> dict[Words, tuple[str, str]]:
    """Names that lead astray: what they mean ('' for no taper), and why."""
    found = {}
    for entry in Entry(read("standards.yaml"), "standards.yaml").entries("catches"):
        meant = entry.optional_text("means") or "", entry.text("because")
        for name in entry.texts("names"):
            words = words_of(name)
            found[words] = meant
            if words[0] == "hsk":
                found[(words[0], words[2], words[1])] = meant  # HSK 63 F
        entry.end()
    return found


def named(text: str) -> Named | None:
    """What the words name; None where they name nothing."""
    text = _DOTTED.sub(r"\1", _POINTED.sub(" ", text)).replace("7/24", "7:24")
    text = re.sub(r"\band an? half\b", "1/2", text.casefold())
    words, beside = words_of(text), asking("beside")
    if not words:
        return None
    for name in (words, tuple(word for word in words if word.isalpha())):  # of 'NPTF 1/4' the name alone
        if name in _catches():
            meant, because = _catches()[name]
            size = find(" ".join((meant, *(word for word in words if word not in name))))
            return Named("astray", (size,) if size else _named_tapers(meant), because)
    for tried in (text, " ".join(word for word in words if word not in beside)):
        size = find(tried)
        if size is not None:
            return Named("size", (size,))
        found = _by_standard(tried) or _by_series(tried)
        if found is not None:
            return found
    told_apart = _in_its_unit(words) or _by_its_ratio(words)
    if told_apart is not None:
        return Named("size", (told_apart,))
    within = _within(words)
    if len(within) == 2 and _RANGE.search(text.casefold()):
        within = _between(*within)
    if within:
        return Named("size" if len(within) == 1 else "series", within)
    missing = size_missing(text)
    if missing is not None and missing.size[:1].isdigit():
        whole = missing.nearest[0]
        # 'OZ 25' is of a series that has one cone for all; 'Morse 8' is no use of a special cone of 8 deg
        return Named("size", (whole,)) if not whole.size and " " not in missing.size else None
    by_words = _by_words(frozenset(words)) or _by_words(frozenset(words) - frozenset(beside))
    return by_words or _series_within(words)


_POINTED = re.compile(r"(?<=[^\W\d_])\. *(?=\d)")  # 'MT.3' is no .3
_DOTTED = re.compile(r"\b([^\W\d_])\.(?=[^\W\d_]\b)")  # 'M.T. 3'
_RANGE = re.compile(r"\d ?(?:-|–|…|\.\.+|to) ?[^\W\d_]* ?\d")  # MT1-MT6, Morse 1 to 4
LONGEST = 5  # words of one name


def _in_its_unit(words: Words) -> StandardTaper | None:
    """'6 mm taper pin', 'shaft end 25 mm', '1 in NPT': a size with the unit of its series behind it."""
    for unit, said in (("mm", ("mm",)), ("in", ("in", "inch", "inches"))):
        rest = sorted((word for word in words if word not in said), key=lambda word: word[0].isdigit())
        for name in (" ".join(rest), f"metric {' '.join(rest)}") if len(rest) < len(words) else ():
            size = find(name)
            if size is not None and any(end.unit == unit for end in (size.large, size.small) if end):
                return size
    return None


def _by_its_ratio(words: Words) -> StandardTaper | None:
    """'pin 8 1:50': of two series of one name, the size that has the ratio told beside it."""
    for ratio in (word for word in words if word.startswith("1:")):
        rest = " ".join(word for word in words if word != ratio)
        for size in filter(None, map(find, (rest, f"metric {rest}"))):
            if ratio == f"1:{1 / size.ratio:g}":
                return size
    return None


def _within(words: Words) -> tuple[StandardTaper, ...]:
    """The sizes named among other words: 'swivel for MT3', 'BT40 or CAT40', 'Morse 2 to 3', 'MK2 DIN 228'.

    None where a number is left over that is no size of the series named before it: it may be what was
    meant. A number behind an x is a length ('pin 5 x 30'), one with a point or a colon a figure.
    """
    numbers = {words_of(number) for each in standards() for number in each.numbers}
    found: list[StandardTaper] = []
    at = 0
    while at < len(words):
        runs = [words[at:end] for end in range(min(at + LONGEST, len(words)), at, -1)]
        named_here = next((run for run in runs if run in numbers or find(" ".join(run))), None)
        size = find(" ".join(named_here)) if named_here else None
        a_number = (
            any(map(str.isdigit, words[at])) and not set(words[at]) & set(".:") and words[at - 1] != "x"
        )
        if named_here is None and a_number:
            part_of_a_size = "/" in words[at] and at > 0 and words[at - 1].isdigit()
            size = find(f"{found[-1].series} {words[at]}") if found and not part_of_a_size else None
            if size is None:
                return ()
        found += [size] if size is not None and size not in found else []
        at += len(named_here) if named_here else 1
    return tuple(found)


def _between(first: StandardTaper, last: StandardTaper) -> tuple[StandardTaper, ...]:
    """All the sizes from one to another; the two alone where they are of two series."""
    of_series = _of_series((first.series,))
    if last not in of_series:
        return first, last
    low, high = sorted((of_series.index(first), of_series.index(last)))
    return of_series[low : high + 1]


def _series_within(words: Words) -> Named | None:
    """The series named among other words, where they hold no number: 'the angle of Jarno'."""
    if any(letter.isdigit() for word in words for letter in word):
        return None
    runs = (
        words[at:end] for at in range(len(words)) for end in range(at + 1, min(at + LONGEST, len(words)) + 1)
    )
    idle = {*asking("fillers"), *"abcdefghijklmnopqrstuvwxyz"}  # 'show me' is no metric taper
    names = {name: None for run in runs if run[0] not in idle for name in series_named(" ".join(run))}
    return Named("series", _of_series(tuple(names))) if names else None


def _named_tapers(name: str) -> tuple[StandardTaper, ...]:
    size = find(name)
    return (size,) if size is not None else _of_series(series_named(name))


def _of_series(names: tuple[str, ...]) -> tuple[StandardTaper, ...]:
    return tuple(taper for taper in all_tapers() if taper.series in names)


def _by_series(text: str) -> Named | None:
    names = series_named(text)
    return Named("series", _of_series(names)) if names else None


def _by_standard(text: str) -> Named | None:
    """A standard's number, with a size of it or a part's number; a body alone means all that it gives."""
    bodies, former = asking("bodies"), asking("former_asme")
    words = tuple("asme" if word in former else word for word in words_of(text))
    while len(words) > 2 and words[0] in asking("before_another") and words[1] in bodies:
        words = words[1:]
    if len(words) == 1 and words[0] in bodies:
        return _of_body(words[0])
    while words:
        for each in standards():
            for number in each.numbers:
                own = words_of(number)
                if words[: len(own)] == own:
                    part = own[0] != "asme" and re.search(rf"{own[-1]} ?-\d", text) is not None
                    return _of_standard(each, number, words[len(own) + part :])
        words = words[1:] if words[0].isalpha() else ()  # 'what is DIN 228'
    return None


def _of_body(body: str) -> Named:
    """All that a body's standards are about."""
    told: list[str] = []
    series: list[str] = []
    for each in standards():
        numbers = [number for number in each.numbers if words_of(number)[0] == body]
        if numbers:
            told.append(f"{', '.join(numbers)}: {each.about}")
            series += each.series
    return Named("standard", _of_series(tuple(series)), "; ".join(told))


def _of_standard(standard: Standard, number: str, rest: Words) -> Named:
    """The sizes of a standard that the rest of the words names; all of them where it names none."""
    told, all_sizes = f"{number}: {standard.about}", _of_series(standard.series)
    by_itself = find(" ".join(rest))
    if by_itself is not None and by_itself in all_sizes:
        return Named("standard", (by_itself,), told)
    numbers = tuple(word for word in rest if not word.isalpha())
    wanted = (rest, numbers, numbers[:1])  # of 'AD 40' the number alone, of '6 x 40' the first one
    sizes = tuple(
        each
        for each in all_sizes
        if any(words_of(written) in wanted for written in (each.size, *each.spellings) if written)
    )
    return Named("standard", sizes or all_sizes, told)


def _by_words(wanted: frozenset[str]) -> Named | None:
    """The standard tapers that have all the words in name, size or callout, or in notes and uses."""
    if not any(len(word) > 2 and word.isalpha() for word in wanted):
        return None
    found = tuple(taper for taper, words in _described() if wanted <= words)
    return Named("use", found) if found else None


@cache
def _described() -> tuple[tuple[StandardTaper, frozenset[str]], ...]:
    """Every standard taper with the words of its names and of its uses."""
    spelled = {line.series: line.spelled for line in index()}
    found = []
    for series in all_series():
        of_series = _words(series.name, *spelled[series.name], series.title)
        for taper in series.sizes:
            own = _words(taper.name, *taper.spellings, taper.callout_text, taper.note or "")
            found.append((taper, of_series | own))
    return tuple(found)


def _words(*texts: str) -> frozenset[str]:
    """The words of texts, each as one and as several: 'collets' is 'collet' too."""
    words = {word for text in texts for word in words_of(text)}
    return frozenset(words | {word.removesuffix("s") for word in words} | {f"{word}s" for word in words})


def sized(size: str) -> tuple[StandardTaper, ...]:
    """The standard tapers of this size, whatever the series."""
    wanted = otherwise_written(words_of(size))
    return tuple(
        taper
        for taper in all_tapers()
        if any(words_of(each) == wanted for each in (taper.size, *taper.spellings))
    )


@dataclass(frozen=True)
class Missing:
    """A size that a known series has not, and the sizes nearest to it by number."""

    series: str
    size: str
    nearest: tuple[StandardTaper, ...]


def size_missing(text: str) -> Missing | None:
    """The series that words point at, where it has no such size; None where they point at none."""
    words = otherwise_written(tuple(word for word in words_of(text) if word not in asking("beside")))
    strength, line = max(((line.points_from(words), line) for line in index()), key=lambda pair: pair[0])
    if not strength or strength == len(words):
        return None
    at_head = words[:strength] in map(words_of, line.spelled)
    beside = words[strength:] if at_head else words[:-strength]
    rest = " ".join([word for word in beside if not word.isalpha()] or beside)
    nearest = sorted(_of_series((line.series,)), key=lambda taper: abs(_worth(taper.size) - _worth(rest)))
    return Missing(line.series, rest, tuple(nearest[:3]))


def _worth(size: str) -> float:
    """A size as a number, for nearness alone."""
    found = re.search(r"\d+ \d+/[1-9]\d*|\d+(?:\.\d+)?", size)
    return float(exact(found[0])) if found else 0.0
