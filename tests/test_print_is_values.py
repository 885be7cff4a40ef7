"""What is printed is what was computed: the demo's PDFs read back with pypdf, against what `values` prints.

The numbers are read from the text by this file's own small reader, not by the code that wrote them.
"""

import math
import re
from fractions import Fraction
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from cardgen.card.values import as_plain
from cardgen.paper.words.figures import Figures
from cardgen.shop.folder import Shop

TOP = Path(__file__).parent.parent
INCH = 25.4
NUMBER = re.compile(r"−?(?:\d+ )?\d+⁄\d+|−?\d*\.?\d+")
ONE_SYSTEM = ["AG-16", "DS-3", "HB-40", "SN-204", "TM-50", "VP-32", "WA-50"]


@cache
def demo() -> Shop:
    return Shop.read(TOP)


@cache
def printed(part: str) -> tuple[str, ...]:
    """The lines of a card's sides."""
    shop = demo()
    pdf = shop.draw_card(shop.card(part).card, shop.library.parts[part].shop.paper).pdf()
    text = "\n".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)
    return tuple(text.replace("\u00a0", " ").splitlines())


def values(part: str) -> dict[str, Any]:
    return as_plain(demo().card(part).card)


def mm(part: str) -> float:
    """Millimetres in the unit that the part's card is printed in."""
    return INCH if values(part)["title"]["units"] == "inch" else 1.0


def number(text: str) -> tuple[float, float]:
    """A printed number, and half a unit of its last digit (nothing for a common fraction)."""
    plain = text.replace("−", "-")
    if "⁄" in plain:
        sign = -1 if plain.startswith("-") else 1
        whole, _, rest = plain.lstrip("-").rpartition(" ")
        above, below = rest.split("⁄")
        return sign * float((int(whole) if whole else 0) + Fraction(int(above), int(below))), 0.0
    decimals = len(plain.partition(".")[2])
    return float(plain), 0.5 * 10.0**-decimals


def close(text: str, value: float) -> bool:
    told, half = number(text)
    return abs(told - value) <= half + 1e-9


def numbers(line: str) -> list[str]:
    return NUMBER.findall(line)


ROW = re.compile(
    r"(?P<reading>(?:minus )?[\d ⁄.]+?) (?P<stock>−?\d*\.\d+)(?: (?P<first>\d+))?(?: (?P<second>\d+))?"
)
BLOCKS = ("Rough: ", "Finish 1, part of the way: ", "Finish 2, to size: ", "Good: ")


def feed_rows(part: str) -> dict[str, list[tuple[str, str, list[int]]]]:
    """Block → its rows as printed: reading, stock, feeds."""
    found: dict[str, list[tuple[str, str, list[int]]]] = {}
    block = ""
    for line in printed(part):
        begun = next((name for name in BLOCKS if line.startswith(name)), None)
        block = begun or block
        if begun == "Good: ":
            break
        row = ROW.fullmatch(line.removesuffix(" stop here"))
        if block and row and not begun:
            feeds = [int(each) for each in (row["first"], row["second"]) if each]
            found.setdefault(block, []).append((row["reading"].replace("minus ", "−"), row["stock"], feeds))
    return found


@pytest.mark.parametrize("part", ONE_SYSTEM)
def test_each_row_of_the_table_of_feeds_is_right(part: str) -> None:
    """reading → stock by S = k (g − g_f), stock → divisions rounded down: as printed, row for row."""
    told, unit = values(part), mm(part)
    half_angle = math.radians(told["taper"]["half_angle_deg"])
    wheel = told["handwheel"]
    rough = next(stage["stock_mm"] for stage in told["stages"] if stage["name"] == "rough")
    short = next(move["divisions"] for move in told["procedure"] if move["id"] == "finish the first")

    def divisions(stock: float) -> int:
        travel = max(0.0, stock) / 2 * math.cos(half_angle)
        shown = 2 * travel if wheel["reads"] == "diameter" else travel
        return math.floor(shown / wheel["division_mm"] + 1e-7)

    rows = feed_rows(part)
    assert set(BLOCKS[:2]) <= set(rows)  # the last feed has rows where the table's step is finer than it
    assert sum(map(len, rows.values())) >= 8
    for block, each in rows.items():
        for reading, stock, feeds in each:
            exact = min(
                (row["reading_mm"] for row in told["stock_table"]),
                key=lambda g, reading=reading: abs(g / unit - number(reading)[0]),
            )
            assert close(reading, exact / unit), reading
            left = told["reading"]["per_mm"] * (exact - told["reading"]["finish_mm"])
            assert close(stock, left / unit), (reading, stock)
            to_rough, to_size = divisions(left - rough), divisions(left)
            wanted = {
                "Rough: ": [to_rough] if to_rough else [],
                "Finish 1, part of the way: ": [to_size - short],
                "Finish 2, to size: ": [to_size],
            }[block]
            assert feeds == wanted, (reading, feeds)


@pytest.mark.parametrize("part", ONE_SYSTEM)
def test_limits_and_aim_are_printed_as_computed(part: str) -> None:
    """From good, over the aim, to good; beyond it what is set aside."""
    plan, text = values(part)["batch"], " ".join(printed(part))
    aim = next(stage for stage in values(part)["stages"] if stage["name"] == "finish")

    def beside(words: str) -> str:
        found = re.search(rf"({NUMBER.pattern}) {words}", text)
        assert found is not None, words
        return found[1]

    for words, reading in (("AIM", aim["reading_mm"]), ("to here: set aside", plan["set_aside_mm"])):
        assert close(beside(words), reading / mm(part)), words
    told = sorted(number(beside(f"good {way} here"))[0] for way in ("from", "to"))
    wanted = sorted(plan[f"reading_{end}_mm"] / mm(part) for end in ("low", "high"))
    assert told == pytest.approx(wanted)


@pytest.mark.parametrize("part", ONE_SYSTEM)
def test_each_row_of_the_correction_table_is_printed_as_computed(part: str) -> None:
    """Error, screw divisions, indicator, and the least reading for a turn to more and to less."""
    told, unit, lines = values(part), mm(part), printed(part)
    start = next(i for i, line in enumerate(lines) if line.startswith("Correct the swivel"))
    rows = [
        line
        for line in lines[start : start + 30]
        if re.fullmatch(r"(minus|[\d.⁄ ])+", line) and len(line.split()) >= 3
    ]
    assert 3 <= len(rows) <= 5
    own = told["proof"]["measured_within_mm"] is not None
    for line in rows:
        error, screw, dial = numbers(line)[:3]
        key = "measured_off_mm" if own else "error_mm"
        row = next(
            each
            for each in told["correction"]
            if each["turn"] == "more" and close(error, abs(each[key]) / unit)
        )
        other = next(each for each in told["correction"] if each["error_mm"] == -row["error_mm"])
        assert abs(float(screw) - row["screw_divisions"]) <= 0.125 + 1e-9
        assert close(dial, row["indicator_mm"] / unit)
        for each in (row, other):
            text = Figures(told["title"]["units"]).reading_alone(each["least_reading_text"])
            assert text.replace("\u00a0", " ") in line


@pytest.mark.parametrize("part", [*ONE_SYSTEM, "NV-30", "SS-2"])
def test_the_speeds_of_the_card_are_those_of_values(part: str) -> None:
    """Wheel and work speed, in the line where the hand sets them."""
    run = values(part)["speeds"]
    wheel, work = (
        next(line for line in printed(part) if re.match(rf"{word} [\d ]+rpm", line))
        for word in ("Wheel", "Work")
    )
    told = [float(numbers(line)[0].replace(" ", "")) for line in (wheel, work)]
    assert told == [run["wheel_rpm"], run["work_rpm"]]


@pytest.mark.parametrize("part", [*ONE_SYSTEM, "NV-30", "SS-2"])
def test_the_code_in_print_is_the_code_of_values(part: str) -> None:
    """A card can be traced from its foot."""
    assert any(values(part)["title"]["code"] in line for line in printed(part))


def test_a_parts_note_stands_above_its_steps() -> None:
    """Ensures what the planner noted for the hand reaches the paper."""
    (note,) = demo().card("AG-16").card.title.notes
    assert note in " ".join(printed("AG-16"))
