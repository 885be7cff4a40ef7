"""The commands as a person types them: what they print, what they write, how they end."""

import json
import shlex
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from shutil import copytree
from typing import Any

import click
import pytest
from pypdf import PdfReader

from cardgen.commands.make_command import _Teller
from cardgen.commands.program import commands
from tests.calling import cardgen
from tests.card.bench_shop import PART, REST, changed

TEMPLATES = Path(__file__).parents[1] / "templates"
SOUND = PART
SECOND = changed(PART, (("id: SN-204", "id: SN-205"), ("name: Spindle nose", "name: Short nose")))


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A shop of two parts, without templates of its own."""
    specs = tmp_path / "specs"
    specs.mkdir()
    (specs / "first.yaml").write_text(SOUND, "utf-8")
    (specs / "second.yaml").write_text(SECOND, "utf-8")
    (specs / "rest.yaml").write_text(REST, "utf-8")
    return tmp_path


def test_values_prints_every_name_that_the_spec_format_promises(shop: Path) -> None:
    """Other programs lean on these names."""
    ended = cardgen("values", "SN-204", cwd=shop)
    assert ended.returncode == 0
    told: dict[str, Any] = json.loads(ended.stdout)
    promised = {
        "taper": {
            "ratio",
            "per_foot_in",
            "included_angle_deg",
            "half_angle_deg",
            "gauge_line_diameter_mm",
            "large_diameter_mm",
            "small_diameter_mm",
            "length_mm",
        },
        "reading": {"kind", "per_mm", "finish_mm", "finish_low_mm", "finish_high_mm"},
        "stages": {"name", "reading_mm", "stock_mm", "cross_feed_mm", "divisions"},
        "stock_table": {"reading_mm", "reading_text", "stock_mm", "cross_feed_mm", "divisions"},
        "swivel": {"half_angle_deg", "scales", "test_bar", "slip_mm", "indicator_mm", "beyond_limit"},
        "correction": {
            "error_mm",
            "turn",
            "arcsec",
            "screw_divisions",
            "indicator_mm",
            "size_shift_mm",
            "reading_shift_mm",
        },
        "blue": {"marked_fraction", "error_mm"},
        "stroke": {"slant_mm", "travel_mm", "plunge"},
        "speeds": {"wheel_m_s", "work_rpm", "time_per_piece_s", "time_per_batch_s"},
        "doubt": {"stock_standard_mm", "reading_standard_mm", "parts"},
        "checks": {"level", "code", "text"},
    }
    for section, keys in promised.items():
        held = told[section][0] if isinstance(told[section], list) else told[section]
        assert keys <= set(held), section
    assert {"shows", "exact", "mark", "left_over_arcsec", "left_over_mm"} <= set(told["swivel"]["scales"][0])
    assert {"travel_mm", "rise_mm"} <= set(told["swivel"]["test_bar"][0])
    assert {"new", "worn"} == set(told["speeds"]["wheel_m_s"])
    names = [stage["name"] for stage in told["stages"]]
    assert names == ["blank low", "blank high", "clean-up", "rough", "finish low", "finish", "finish high"]


def test_stock_answers_at_the_bench(shop: Path) -> None:
    """4.5 mm where 3 mm is finish, 1:8: 0.1875 mm on; cos 3.576° of it is 74.85 divisions of 0.0025 mm."""
    ended = cardgen("stock", "SN-204", "4.5 mm", cwd=shop)
    assert ended.returncode == 0
    assert "0.188 mm on the diameter" in ended.stdout
    assert "to finish  feed 74 divisions" in ended.stdout
    assert "to rough   feed 24 divisions" in ended.stdout
    assert "roughing" in ended.stdout


@pytest.mark.parametrize(
    ("reading", "said"),
    [
        ("2.5 mm", "clean up with the least, 2 divisions a pass, never past 1.43 mm"),
        ("2.0 mm", "not worth starting: it would have to read 2.23 mm; never past 1.43 mm"),
    ],
)
def test_stock_tells_what_a_worn_piece_is_worth(shop: Path, reading: str, said: str) -> None:
    """0.2 mm past its size is 1.6 mm less of gap, drawn in by the doubt; 0.1 mm has to come off till then."""
    worn = changed(PART, (("setup:\n", "salvage: {at_most: 0.20 mm}\nsetup:\n"),))
    (shop / "specs" / "first.yaml").write_text(worn, "utf-8")
    lines = cardgen("stock", "SN-204", reading, cwd=shop).stdout.splitlines()
    assert f"worn       {said}" in lines
    assert any("a new piece: do not feed" in line for line in lines)


@pytest.mark.parametrize(
    ("reading", "wrong"),
    [("4.5", "has no unit"), ("4,5 mm", "comma"), ("1:8", "length"), ("x", "lacks a number")],
)
def test_stock_refuses_a_reading_that_is_no_length(shop: Path, reading: str, wrong: str) -> None:
    """In words, with exit status 2."""
    ended = cardgen("stock", "SN-204", reading, cwd=shop)
    assert ended.returncode == 2
    assert wrong in ended.stderr
    assert "Traceback" not in ended.stderr


def test_stock_takes_a_reading_below_zero(shop: Path) -> None:
    """A small end may lie below the ring's face; the minus sign is no option: it is read, and judged."""
    assert "cannot show -0.397 mm" in cardgen("stock", "SN-204", "-1/64 in", cwd=shop).stderr


def test_a_part_that_is_not_there_is_answered_with_the_nearest(shop: Path) -> None:
    """Every command that takes a part says so alike."""
    for command in (["values", "SN-24"], ["stock", "SN-24", "3 mm"], ["make", "SN-24"]):
        ended = cardgen(*command, cwd=shop)
        assert ended.returncode == 2
        assert "no part 'SN-24'" in ended.stderr
        assert "did you mean 'SN-204'" in ended.stderr


def test_make_writes_every_card_and_leaves_them_the_next_time(shop: Path) -> None:
    """A line for each that was made, and why; the rest is counted, unless it is asked for."""
    first = cardgen("make", cwd=shop)
    assert first.returncode == 0, first.stderr
    assert [line.split()[0] for line in first.stdout.splitlines()] == ["made", "made"]
    assert {path.name for path in (shop / "out").glob("*.pdf")} == {"SN-204.pdf", "SN-205.pdf"}
    second = cardgen("make", cwd=shop)
    assert second.stdout == "current  2 papers\n"
    asked = cardgen("make", "--all", cwd=shop).stdout
    assert [line.split()[:2] for line in asked.splitlines()] == [
        ["current", "SN-204.pdf:"],
        ["current", "SN-205.pdf:"],
    ]


def test_make_says_how_many_sides_a_card_takes_that_one_sheet_does_not_hold(shop: Path) -> None:
    """A card hangs as one sheet; what to do is said too. One that fits is told as before."""
    cardgen("make", "SN-204", cwd=shop)
    assert "sides" not in cardgen("make", "SN-204", "--all", cwd=shop).stdout
    copytree(TEMPLATES, shop / "templates")
    layout = shop / "templates" / "layout.yaml"
    layout.write_text(
        layout.read_text("utf-8").replace("A5:\n", "A5:\n  - side: more\n    bands: [title]\n", 1)
    )
    (told,) = cardgen("make", "SN-205", cwd=shop).stdout.splitlines()
    assert len(PdfReader(shop / "out" / "SN-205.pdf").pages) == 3
    assert told.endswith("it takes 3 sides: shorten names and notes, or choose a larger paper")


def test_watching_tells_each_thing_once_until_it_is_otherwise(capsys: pytest.CaptureFixture[str]) -> None:
    """What the run before told already is not told again at each save; what comes back is."""
    teller = _Teller(everything=False)
    for told in (["a: mistake", "current  2 papers"], ["a: mistake", "remade  b.pdf"], [], ["a: mistake"]):
        for line in told:
            teller.say(line)
        teller.turn()
    assert capsys.readouterr().out.splitlines() == [
        "a: mistake",
        "current  2 papers",
        "remade  b.pdf",
        "a: mistake",
    ]


def test_a_mistake_keeps_its_own_part_back_and_no_other(shop: Path) -> None:
    """All messages of the file at once, exit status 2, nothing written for it, the other one made."""
    path = shop / "specs" / "second.yaml"
    spoilt = changed(
        SECOND, (("62 mm", "62"), ("shoulder_gap", "shoulder_gpa"), ("revision: B", "revison: B"))
    )
    path.write_text(spoilt, "utf-8")
    ended = cardgen("make", cwd=shop)
    assert ended.returncode == 2
    assert "not made  SN-205.pdf: mistake at specs/second.yaml:" in ended.stdout
    told = [line for line in ended.stderr.splitlines() if line.startswith("specs/second.yaml:")]
    assert not any(line.partition(": ")[2] in ended.stdout for line in told), "told twice"
    assert len(told) >= 3
    assert all(line.split(":")[1].isdecimal() and line.split(":")[2].isdecimal() for line in told)
    assert {path.name for path in (shop / "out").glob("*.pdf")} == {"SN-204.pdf"}


def test_make_of_one_part_touches_no_other(shop: Path) -> None:
    """A part named is a part made, alone."""
    assert cardgen("make", "SN-205", cwd=shop).returncode == 0
    assert {path.name for path in (shop / "out").glob("*.pdf")} == {"SN-205.pdf"}


def test_a_folder_that_is_no_shop_is_told_how_to_become_one(tmp_path: Path) -> None:
    """A beginner's first mistake."""
    ended = cardgen("make", cwd=tmp_path)
    assert ended.returncode == 2
    assert "cardgen new shop" in ended.stderr


def test_a_new_shop_can_be_made_at_once_and_nothing_is_written_over(tmp_path: Path) -> None:
    """What the program lays down builds without a complaint; a folder with anything in it is refused."""
    folder = tmp_path / "my shop"
    assert cardgen("new", "shop", str(folder), cwd=tmp_path).returncode == 0
    made = cardgen("make", "--shop", str(folder), cwd=tmp_path)
    assert made.returncode == 0, made.stderr
    again = cardgen("new", "shop", str(folder), cwd=tmp_path)
    assert again.returncode == 2
    assert "not empty" in again.stderr


def test_status_ends_with_1_until_everything_is_done(shop: Path) -> None:
    """So that a script can ask."""
    assert cardgen("status", cwd=shop).returncode == 1
    cardgen("make", cwd=shop)
    ended = cardgen("status", cwd=shop)
    assert ended.returncode == 0
    assert json.loads(cardgen("status", "--json", cwd=shop).stdout)["papers"][0]["state"] == "current"


def test_a_card_tells_what_it_was_made_from(shop: Path) -> None:
    """From the PDF alone, and whether the shop's specs still say so."""
    cardgen("make", cwd=shop)
    told = cardgen("read", "out/SN-204.pdf", cwd=shop)
    assert told.returncode == 0
    assert "SN-204-B-" in told.stdout
    assert "gauge R-204" in told.stdout


def test_the_schema_is_printed_for_editors(shop: Path) -> None:
    """JSON Schema of the spec files."""
    assert "$defs" in json.loads(cardgen("schema", cwd=shop).stdout)


@pytest.mark.parametrize("reading", ['5"', "-1 mm"])
def test_a_reading_that_the_gauge_cannot_show_is_refused(shop: Path, reading: str) -> None:
    """127 mm of gap on a taper of 62 mm, or a gap below nothing: read amiss, and no feed is told for it."""
    ended = cardgen("stock", "SN-204", reading, cwd=shop)
    assert ended.returncode == 2
    assert ended.stdout == ""
    assert ended.stderr.startswith("the reading: gauge R-204 cannot show ")
    assert ended.stderr.rstrip().endswith("a finished piece reads 3.000 mm")


def test_what_the_planner_should_know_of_a_card_is_told_when_it_is_made(shop: Path) -> None:
    """With its place in the specs, once, as the card is made; not again while it stays as it is."""
    first = cardgen("make", cwd=shop)
    assert "warning  SN-204: specs/first.yaml:" in first.stderr
    assert "warning" not in cardgen("make", cwd=shop).stderr


def every_command(group: click.Group, above: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """The program itself, every group, and every command with its groups' names before it."""
    yield above
    for name, each in group.commands.items():
        yield from every_command(each, (*above, name)) if isinstance(each, click.Group) else [(*above, name)]


@pytest.mark.parametrize("name", list(every_command(commands)), ids=" ".join)
def test_every_help_shows_examples_that_can_be_typed(name: tuple[str, ...], tmp_path: Path) -> None:
    """Each is this command with arguments and options that it takes."""
    told = cardgen(*name, "--help", cwd=tmp_path).stdout
    examples = told.partition("Examples:\n")[2].strip().splitlines()
    assert examples
    for example in examples:
        program, *words = shlex.split(example.partition(" | ")[0].partition(" > ")[0])
        assert (program, *words[: len(name)]) == ("cardgen", *name)
        each: click.Command = commands
        for step in name:
            assert isinstance(each, click.Group)
            each = each.commands[step]
        try:
            each.make_context(program, words[len(name) :])
        except click.BadParameter as missing:
            if "does not exist" not in missing.message:  # an example may name a card that is not here
                raise


def test_the_list_of_commands_is_not_cut(tmp_path: Path) -> None:
    """Each is told whole, on as many lines as that takes."""
    assert "..." not in cardgen("--help", cwd=tmp_path).stdout.partition("Commands:")[2]


def test_tapers_are_told_to_other_programs(tmp_path: Path) -> None:
    """By name with the size's figures; by a ratio with how far it differs."""
    (sense,) = json.loads(cardgen("tapers", "Morse", "3", "--json", cwd=tmp_path).stdout)["senses"]
    (morse,) = sense["matches"]
    assert morse["name"] == "Morse 3"
    assert morse["size"]["per_foot_in"] == pytest.approx(0.60235, abs=1e-5)
    near = json.loads(cardgen("tapers", "0.602", "in/ft", "--json", cwd=tmp_path).stdout)["senses"][0]
    assert near["taper"]["per_foot_in"] == pytest.approx(0.602)
    assert near["equal"][0]["difference_mm"] == pytest.approx(0, abs=0.01)


@pytest.mark.parametrize("looking", [True, False])
def test_a_command_that_takes_long_shows_that_it_is_at_work(
    looking: bool, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """On a terminal only, where somebody looks; and it leaves nothing behind for another program."""
    from cardgen.commands import common

    monkeypatch.setattr(common, "PATIENCE_S", 0.01)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: looking)
    monkeypatch.setenv("FORCE_COLOR", "1")
    with common.sign_of_life("making the booklet"):
        time.sleep(0.3)
    out, err = capfd.readouterr()
    assert ("making the booklet" in err) == looking
    assert out == ""


HEAVY = {"pint", "pydantic", "yaml", "jinja2", "reportlab", "pypdf", "rich", "PIL", "importlib.metadata"}
LOADED = """
import contextlib, io, sys
from cardgen.commands.program import main
sys.argv[0] = "cardgen"
with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):
    main()
print(*sorted(set(sys.modules) & set(%r)))
"""


@pytest.mark.parametrize(
    ("words", "needed"),
    [
        (["--help"], set()),
        (["check", "--help"], set()),
        (["keys", "relief"], {"pydantic", "importlib.metadata"}),
        (["tapers", "Morse", "3"], {"yaml", "rich"}),
    ],
)
def test_a_command_loads_only_what_it_needs(words: list[str], needed: set[str]) -> None:
    """So that it answers at once: no library of paper or units for a list of words."""
    run = subprocess.run(
        [sys.executable, "-c", LOADED % sorted(HEAVY), *words], capture_output=True, text=True, check=True
    )
    assert set(run.stdout.split()) <= needed
