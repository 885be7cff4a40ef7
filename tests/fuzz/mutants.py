"""What is spoilt and how: each kind of input has its scraps, and a mutant is a few of them in place."""

import json
import re
from random import Random

from tests.made.shops import made_shop

FIGURES = (
    *(
        "0",
        "-1",
        "1e9",
        "1e-9",
        "0.0000001",
        "99999999",
        "999999999999999",
        "1/0",
        "1/64",
        "7 15/16",
        "NaN",
        "∞",
    ),
    *("½", "0x10", "1,5", "1.5.2", "--3", "+", ".", "٣"),
)
UNITS = (
    "mm",
    "in",
    "µm",
    "thou",
    "m",
    "ft",
    "deg",
    "arcmin",
    "rad",
    "rpm",
    "s",
    "%",
    "in/ft",
    "",
    "m/s",
    "K",
    "furlong",
)
SCRAPS = (
    *(
        "{",
        "}",
        "[",
        "]",
        "&a",
        "*a",
        "!x",
        "|",
        ">",
        "\t",
        "---\n",
        "...\n",
        ": ",
        "- ",
        "#",
        "'",
        '"',
        "\\",
        "%",
    ),
    *(
        "\u2028",
        "\x85",
        "\u202e",
        "\x1b[31m",
        "\x00",
        "\ud800",
        "💠",
        "é",
        "<b>",
        "{{ 7 }}",
        "| x |",
        "../../x",
        "CON",
    ),
    *(
        "~",
        "null",
        "yes",
        "12:30",
        "010",
        "9" * 400,
        "w" * 5000,
        "[" * 60,
        "{a: " * 60,
        "..",
        "all",
        "\r",
        "\r\n",
    ),
)
NUMBER = re.compile(r"\d+ \d+/\d+|\d+/\d+|\d*\.?\d+")
TEMPLATE_SCRAPS = (
    *(
        "{% for x in range(9999) %}",
        "{% endfor %}",
        "{{ 'a' * 10**9 }}",
        "{{ x }}",
        "{{ card }}",
        "{{ card.__class__ }}",
    ),
    *(
        "{{ f.__init__.__globals__ }}",
        "{{ ''|center(10**9) }}",
        "{% macro m() %}{{ m() }}{% endmacro %}{{ m() }}",
    ),
    *(
        "{% include 'step_rough.j2' %}",
        "{% import 'terms.j2' as t with context %}",
        "{% set x = [x, x] %}",
        "{{ [1] * 9**9 }}",
    ),
    *(
        "{{ card.stages | join }}",
        "{{ card.stages | list | sort }}",
        "{{ 10 ** 10 ** 10 }}",
        "{{ lipsum(9999) }}",
        "|= a | b",
    ),
    *(
        "| a | b",
        "<b>",
        "</b>",
        "<i>",
        "{#",
        "#}",
        "{%",
        "%}",
        "{{",
        "}}",
        "- step",
        "x" * 9999,
        "|" * 500,
        "\n" * 50,
    ),
    *(
        "{% if %}",
        "{% endif %}",
        "{% set card = 1 %}",
        "{{ loop }}",
        "{{ namespace(a=1) }}",
        "{{ self }}",
        "\x00",
    ),
)
LAYOUT_SCRAPS = (
    *("columns: 1000", "columns: 0.5", "share: 1e-300", "share: nan", "share: inf", "[]", "{}", "[" * 400),
    *("&a", "*a", "\x00", "title", "A5: A5", "bands: []", "panels: []", "flow: {}", "- - -", "step_rough"),
    *("- side: x", "  ", "\n", "foot: 9"),
)
VALUES = (
    None,
    True,
    -1,
    0,
    10**17,
    1e308,
    -0.0,
    "",
    "\u202e\x1b[2J",
    "x" * 999,
    [],
    {},
    [[]],
    {"a": {"b": [1, "c"]}},
)
RAW = (
    b"NaN",
    b"Infinity",
    b"1e999",
    b"9" * 5000,
    b"[" * 300 + b"]" * 300,
    b'"\\ud800"',
    b"{",
    b"",
    b"\xff\xfe",
    b"null",
)


def spec(rng: Random) -> dict[str, str]:
    """A shop of one part, a file a record, one of them spoilt in up to three places."""
    shop = made_shop(rng, 1)
    part = next(iter(shop.parts.values()))
    machine, wheel = (
        next(text for text in shop.texts[file].split("---\n") if f"id: {name}\n" in text)
        for file, name in (("machines.yaml", part.machine.id), ("wheels.yaml", part.wheel))
    )
    files = {
        "part.yaml": shop.texts["parts.yaml"],
        "gauge.yaml": shop.texts["gauges.yaml"],
        f"{part.machine.id}.yaml": machine,
        f"{part.wheel}.yaml": wheel,
    }
    (name,) = rng.choices(list(files), (70, 15, 10, 5))
    for _ in range(rng.choice((0, 1, 1, 1, 1, 2, 3))):
        files[name] = rng.choice((_figure, _figure, _scaled, _scaled, _unit, _line, _scrap))(files[name], rng)
    return files


def _place(text: str, pattern: re.Pattern[str], rng: Random) -> tuple[int, int]:
    found = [match.span() for match in pattern.finditer(text)]
    return rng.choice(found) if found else (0, 0)


def _figure(text: str, rng: Random) -> str:
    start, end = _place(text, NUMBER, rng)
    return text[:start] + rng.choice(FIGURES) + text[end:]


def _scaled(text: str, rng: Random) -> str:
    start, end = _place(text, re.compile(r"(?<![\w/])\d+\.?\d*(?![\d/:])"), rng)
    value = float(text[start:end] or 1) * 10 ** rng.choice((-3, -1, -0.3, -0.05, 0.02, 0.05, 0.3, 1, 3))
    return text[:start] + f"{value:.{rng.randint(0, 6)}f}" + text[end:]


def _unit(text: str, rng: Random) -> str:
    start, end = _place(text, re.compile(r"(?<=\d )(?:mm|in|deg|arcmin|rpm|s|in/ft|m/s|mm/min|K)\b"), rng)
    return text[:start] + rng.choice(UNITS) + text[end:]


def _line(text: str, rng: Random) -> str:
    """A line goes, stands twice, or changes its place with another."""
    lines = text.splitlines(keepends=True)
    one, other = rng.randrange(len(lines)), rng.randrange(len(lines))
    match rng.randrange(4):
        case 0:
            del lines[one]
        case 1:
            lines.insert(other, lines[one])
        case 2:
            lines[one], lines[other] = lines[other], lines[one]
        case _:
            (key, colon, _), value = lines[one].partition(": "), lines[other].partition(": ")[2]
            lines[one] = f"{key}{colon}{value}" if value else lines[one]
    return "".join(lines)


def _scrap(text: str, rng: Random) -> str:
    return spoilt(text, SCRAPS, rng)


def spoilt(text: str, scraps: tuple[str, ...], rng: Random) -> str:
    """A few letters out, a scrap in."""
    place = rng.randrange(len(text) + 1)
    return text[:place] + rng.choice(scraps) + text[place + rng.choice((0, 0, 1, 5, 40)) :]


def reading(rng: Random) -> str:
    """A reading at the bench, right or wrong."""
    number = rng.choice(
        (f"{rng.uniform(-9, 90):.{rng.randint(0, 4)}f}", f"{rng.randint(0, 9)} {rng.randint(0, 63)}/64")
    )
    unit = rng.choice(("mm", "mm", "in", rng.choice(UNITS)))
    text = f"{rng.choice((number, number, number, rng.choice(FIGURES)))} {unit}"
    return spoilt(text, SCRAPS, rng) if rng.random() < 0.2 else text


def template(text: str, rng: Random, layout: bool = False) -> str:
    """A shop's template with a few scraps in it, or some of its lines elsewhere."""
    for _ in range(rng.randint(1, 3)):
        scraps = LAYOUT_SCRAPS if layout else TEMPLATE_SCRAPS
        text = _line(text, rng) if text.strip() and rng.random() < 0.3 else spoilt(text, scraps, rng)
    return text


def bytes_of(content: bytes, rng: Random) -> bytes:
    """A file with bytes turned, cut out, doubled, or cut short."""
    made = bytearray(content)
    for _ in range(rng.choice((1, 1, 3, 30))):
        place, length = rng.randrange(len(made) + 1), rng.choice((1, 4, 100, 5000))
        match rng.randrange(4):
            case 0:
                made[place : place + 1] = bytes([rng.randrange(256)])
            case 1:
                del made[place : place + length]
            case 2:
                made[place:place] = made[max(0, place - length) : place]
            case _:
                del made[place if rng.random() < 0.1 else len(made) :]
    return bytes(made)


def tree(held: object, rng: Random) -> object:
    """A tree of JSON with one thing in it that should not be there, or gone."""
    if isinstance(held, dict) and held:
        key = rng.choice(list(held))
        return _changed({**held}, key, rng)
    if isinstance(held, list) and held:
        return _changed([*held], rng.randrange(len(held)), rng)
    return rng.choice(VALUES)


def _changed(held: dict | list, key: object, rng: Random) -> object:  # type: ignore[type-arg]
    if rng.random() < 0.1:
        del held[key]  # type: ignore[index,arg-type]
    elif rng.random() < 0.3:
        held[key] = rng.choice(VALUES)  # type: ignore[index,call-overload]
    else:
        held[key] = tree(held[key], rng)  # type: ignore[index,call-overload]
    return held


def json_of(held: object, rng: Random) -> bytes:
    """That tree as a foreign program might write it."""
    text = json.dumps(tree(held, rng)).encode()
    if rng.random() < 0.3:
        places = [match.span() for match in re.finditer(rb"\d+(\.\d+)?", text)] or [(0, 0)]
        start, end = rng.choice(places)
        text = text[:start] + rng.choice(RAW) + text[end:]
    return text
