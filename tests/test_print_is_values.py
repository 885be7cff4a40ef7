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


@pytest.mark.parametrize("part", ONE_SYSTEM)
def test_each_row_of_the_stock_table_is_right(part: str) -> None:
    """reading → stock by S = k (g − g_f), stock → divisions rounded down: as printed, row for row."""
    told, unit = values(part), mm(part)
    lines = printed(part)
    start = next(i for i, line in enumerate(lines) if "→ stock → handwheel" in line)
    rows = []
    for line in lines[start + 1 :]:
        if line.startswith("Swivel"):
            break
        found = numbers(line)
        if re.fullmatch(r"[−–\d.⁄ ]+", line) and len(found) in (2, 3, 4):
            rows.append((found[0], found[1], found[2:]))
    assert len(rows) >= 8
    half_angle = math.radians(told["taper"]["half_angle_deg"])
    wheel = told["handwheel"]
    rough = next(stage["stock_mm"] for stage in told["stages"] if stage["name"] == "rough")
    for reading, stock, divisions in rows:
        exact = min(
            (row["reading_mm"] for row in told["stock_table"]),
            key=lambda g: abs(g / unit - number(reading)[0]),
        )
        assert close(reading, exact / unit), reading
        left = told["reading"]["per_mm"] * (exact - told["reading"]["finish_mm"])
        assert close(stock, left / unit), (reading, stock)
        counts = []
        for more in (left - rough, left):
            travel = max(0.0, more) / 2 * math.cos(half_angle)
            shown = 2 * travel if wheel["reads"] == "diameter" else travel
            counts.append(math.floor(shown / wheel["division_mm"] + 1e-7))
        to_rough, to_finish = counts
        past = left < told["reading"]["stock_low_mm"] - 1e-9
        wanted = [] if past else [to_finish] if to_rough == 0 else [to_rough, to_finish]
        assert [int(count) for count in divisions] == wanted, (reading, divisions)


@pytest.mark.parametrize("part", ONE_SYSTEM)
def test_each_stage_is_printed_as_computed(part: str) -> None:
    """Reading, stock, large and small diameter, divisions to feed: all of the reading in the row."""
    told, unit, lines = values(part), mm(part), printed(part)
    outside = told["taper"]["side"] == "external"
    names = {
        "blank high": "Blank, most",
        "blank low": "Blank, least",
        "clean-up": "Clean-up",
        "rough": "Rough to",
        "finish high": "Finish, large" if outside else "Finish, small",
        "finish": "Finish",
        "finish low": "Finish, small" if outside else "Finish, large",
    }
    for stage in told["stages"]:
        name = re.escape(names[stage["name"]])
        row = next(line for line in lines if re.match(rf"{name} [−\d.]", line) and len(numbers(line)) >= 4)
        found = numbers(re.sub(r" (mm|in)\b", "", row.removeprefix(names[stage["name"]])))
        assert close(found[0], stage["reading_mm"] / unit), (stage["name"], found[0])
        for text, key in zip(
            found[1:4], ("stock_mm", "gauge_line_diameter_mm", "small_diameter_mm"), strict=True
        ):
            assert close(text, stage[key] / unit), (stage["name"], key, text)
        assert int(found[4]) == stage["divisions"], stage["name"]


@pytest.mark.parametrize("part", ONE_SYSTEM)
def test_each_row_of_the_correction_table_is_printed_as_computed(part: str) -> None:
    """Error, screw divisions, indicator, stock to have before turning to more and to less, change of size."""
    told, unit, lines = values(part), mm(part), printed(part)
    by_error = {round(row["error_mm"], 6): row for row in told["correction"]}
    start = next(i for i, line in enumerate(lines) if line.startswith("Correct the swivel"))
    rows = [
        line
        for line in lines[start : start + 30]
        if re.fullmatch(r"[−+\d.⁄ ]+", line) and len(numbers(line)) == 6
    ]
    assert len(rows) == sum(error > 0 for error in by_error)
    for line in rows:
        error, screw, dial, more, less, size = numbers(line)
        row = next(by_error[e] for e in by_error if e > 0 and close(error, e / unit))
        other = by_error[-round(row["error_mm"], 6)]
        assert abs(float(screw) - row["screw_divisions"]) <= 0.125 + 1e-9
        assert close(dial, row["indicator_mm"] / unit)
        for text, least in ((more, row["least_stock_mm"]), (less, other["least_stock_mm"])):
            assert 0 <= number(text)[0] - least / unit + 1e-8 < 2 * number(text)[1], "not told too small"
        assert close(size, row["size_shift_mm"] / unit)


@pytest.mark.parametrize("part", [*ONE_SYSTEM, "NV-30", "SS-2"])
def test_the_speeds_of_the_card_are_those_of_values(part: str) -> None:
    """Wheel and work speed, in the line where the hand sets them."""
    run = values(part)["speeds"]
    line = next(line for line in printed(part) if line.startswith("Wheel rpm"))
    assert [float(found) for found in numbers(line)] == [run["wheel_rpm"], run["work_rpm"]]


@pytest.mark.parametrize("part", [*ONE_SYSTEM, "NV-30", "SS-2"])
def test_the_code_in_print_is_the_code_of_values(part: str) -> None:
    """A card can be traced from its foot."""
    assert any(values(part)["title"]["code"] in line for line in printed(part))


def test_a_parts_note_stands_above_its_steps() -> None:
    """Ensures what the planner noted for the hand reaches the paper."""
    (note,) = demo().card("AG-16").card.title.notes
    assert note in " ".join(printed("AG-16"))
