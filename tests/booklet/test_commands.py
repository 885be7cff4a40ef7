"""The commands `tapers` and `booklet`."""

import re
import shutil
from io import BytesIO
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from pypdf import PdfReader

from cardgen.booklet.looking_up import look_up
from cardgen.booklet.tables import TaperMatch
from tests.booklet.conftest import TOP
from tests.calling import cardgen


def asked(*words: str) -> CompletedProcess[str]:
    return cardgen("tapers", *words)


def matches(words: str) -> list[TaperMatch]:
    """Everything that answers, sense after sense, the likeliest first."""
    return [match for sense in look_up(words).senses for match in (*sense.matches, *sense.equal, *sense.near)]


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A shop with the demo's specs; its wording is the program's."""
    shutil.copytree(TOP / "specs", tmp_path / "specs")
    record = tmp_path / "specs" / "toolroom-booklet.yaml"
    record.write_text(
        record.read_text("utf-8").replace("tapers: [all]", "tapers: [Morse 3]\nparts: [SN-204]"), "utf-8"
    )
    return tmp_path


def made(shop: Path, *words: str) -> CompletedProcess[str]:
    return cardgen("booklet", *words, "--shop", str(shop))


@pytest.mark.parametrize(
    ("words", "first"),
    [
        ("Morse 3", "Morse 3"),
        ("morse taper no. 3", "Morse 3"),
        ("MT 4 1/2", "Morse 4 1/2"),
        ("0.60235 in/ft", "Morse 3"),
        ("what is this: 0.624 in/ft", "Morse 4 1/2"),
        ("half angle 10 deg", "5C"),
        (".938 in .778 in 3 3/16 in", "Morse 3"),
        ("63.348 mm 53.7 mm 184 mm", "ISO Morse 6"),
        ("large 0.938 in, small 0.778 in, length 3 3/16 in", "Morse 3"),
        ("23.825 19.7 81 mm", "ISO Morse 3"),
    ],
)
def test_a_taper_is_found_however_it_is_asked_for(words: str, first: str) -> None:
    """Ensures that names, callouts and three lengths all lead to the standard taper."""
    found = [match.name for match in matches(words)]
    assert any(first in name.split(", ") for name in found[:3]), found


def test_nothing_asked_lists_everything() -> None:
    """Ensures that the whole library is listed: at least 150 sizes."""
    result = asked()
    assert result.returncode == 0
    assert len(result.stdout.splitlines()) > 150
    assert "Brown & Sharpe 10" in result.stdout


def test_a_size_by_name_is_told_with_its_source_and_conflicts() -> None:
    """Ensures that a figure is never told without where it comes from, nor a conflict hidden."""
    output = asked("Morse", "3").stdout
    assert ".938 in" in output
    assert "Source: " in output
    assert "3: elsewhere length 3 1/16 in" in output
    assert "1 15/16 in" not in output  # of another size


def test_a_taper_asked_for_is_told_with_its_differences() -> None:
    """Ensures that what the rounding explains is said to agree, and the rest differs by so much."""
    output = asked("0.602", "in/ft").stdout
    lines = output.splitlines()
    morse = next(line for line in lines if line.startswith("Morse 3 "))
    assert "within the rounding" in morse
    jarno = next(line for line in lines if line.startswith("Jarno"))
    assert "+0.0167 mm" in jarno
    assert "+.00066" in jarno
    assert "rounding" not in jarno
    assert "positive: steeper than the standard taper" in output


def test_two_diameters_and_a_length_tell_the_difference_over_that_length() -> None:
    """Ensures the sign and the size of the difference, and how far the piece reaches past the gauge line."""
    match = next(match for match in matches("24.125 mm 20.059 mm 81 mm") if match.name == "ISO Morse 3")
    assert match.difference_mm == pytest.approx(4.066 - 81 / 19.922, abs=1e-12)
    assert match.beyond_gauge_line_mm == pytest.approx(0.3 * 19.922, abs=1e-9)


def test_a_name_that_is_none_gets_the_nearest_names() -> None:
    """Ensures that a slip of the pen is met with help, on the error channel, exit status 2."""
    result = asked("Mrse", "3")
    assert result.returncode == 2
    assert result.stdout == ""
    told, what_to_type = result.stderr.splitlines()
    assert told == "no standard taper 'Mrse 3'; did you mean Morse 3 or Morse 7 or Morse 6?"
    assert "1:20" in what_to_type


def test_three_lengths_that_are_no_taper_are_refused() -> None:
    """Ensures that equal ends are not answered."""
    assert asked("20 mm 20 mm 50 mm").returncode == 2


def test_the_booklet_is_written_into_the_out_folder(shop: Path) -> None:
    """Ensures that the PDF stands where the shop's papers stand, and is left alone when it is current."""
    first = made(shop, "toolroom")
    assert first.returncode == 0, first.stderr
    path = shop / "out" / "toolroom-booklet.pdf"
    before = path.read_bytes()
    assert PdfReader(BytesIO(before)).metadata.title == "Taper tables for the toolroom"
    assert "made" in first.stdout
    again = made(shop)
    assert "is current" in again.stdout
    assert path.read_bytes() == before


def test_the_code_changes_with_a_machine(shop: Path) -> None:
    """Ensures that a booklet made before a machine's record changed can be told from one made after."""
    before = made(shop).stdout.split()[-1]
    machines = shop / "specs" / "machines.yaml"
    machines.write_text(machines.read_text("utf-8").replace("radius: 22 in", "radius: 23 in"), "utf-8")
    after = made(shop).stdout.split()[-1]
    assert before.startswith("toolroom-")
    assert before != after


def test_a_booklet_that_is_not_there_is_told(shop: Path) -> None:
    """Ensures that the ids there are stand in the message."""
    result = made(shop, "tolroom")
    assert result.returncode == 2
    assert "no booklet 'tolroom'" in result.stderr
    assert "toolroom" in result.stderr


def test_a_part_with_a_mistake_is_left_out_with_its_reason(shop: Path) -> None:
    """Ensures that the rest of the booklet is made, and that the part is named on screen and on paper."""
    wheels = shop / "specs" / "wheels.yaml"
    slow = re.sub(r"maximum_operating_speed: .*", "maximum_operating_speed: 5 m/s", wheels.read_text("utf-8"))
    wheels.write_text(slow, "utf-8")
    result = made(shop)
    assert result.returncode == 2
    assert "part SN-204 is left out" in result.stderr
    text = " ".join(page.extract_text() for page in PdfReader(shop / "out" / "toolroom-booklet.pdf").pages)
    assert "has no card" in text


def test_a_record_that_cannot_be_read_is_told_with_its_place(shop: Path) -> None:
    """Ensures that a mistake in the booklet's own record is told with file and line."""
    record = shop / "specs" / "toolroom-booklet.yaml"
    record.write_text(record.read_text("utf-8").replace("[Morse 3]", "[Mrse 3]"), "utf-8")
    result = made(shop)
    assert result.returncode == 2
    assert "toolroom-booklet.yaml:" in result.stderr
    assert "Mrse 3" in result.stderr
