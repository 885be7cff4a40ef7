"""When the program itself fails at a part: one line that can be passed on, the other parts made, no trace."""

import os
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from cardgen.card import gather
from cardgen.commands import make_command
from cardgen.commands import program as cli
from cardgen.paper import bench_card
from cardgen.paper.book import make as book
from cardgen.paper.press.document import Drawing, Surface
from cardgen.shop import folder as shop
from cardgen.shop.fault import WHAT_TO_DO
from tests.bare import bare_python
from tests.card.bench_shop import PART, REST, changed

FAULT = 3  # the exit status
SECOND = changed(PART, (("id: SN-204", "id: SN-205"), ("name: Spindle nose", "name: Short nose")))
BOOKLET = "kind: booklet\nid: toolroom\ntitle: Tables\nparts: [all]\nmachines: [all]\n"
Told = tuple[int, list[str], list[str]]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A shop of two parts."""
    (tmp_path / "specs").mkdir()
    for name, text in (("first", PART), ("second", SECOND), ("rest", REST)):
        (tmp_path / "specs" / f"{name}.yaml").write_text(text, "utf-8")
    return tmp_path


@pytest.fixture
def cardgen(folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: Any) -> Callable[..., Told]:
    """Runs a command in the shop: its exit status, and the lines that it printed and complained."""

    def run(command: str, *arguments: str) -> Told:
        monkeypatch.setattr("sys.argv", ["cardgen", command, "--shop", str(folder), *arguments])
        with pytest.raises(SystemExit) as end:
            cli.main()
        told = capsys.readouterr()
        assert "Traceback" not in told.out + told.err
        return int(end.value.code or 0), told.out.splitlines(), told.err.splitlines()

    return run


def failing_for(part_id: str, sound: Callable[..., Any], part_of: Callable[..., str]) -> Callable[..., Any]:
    """A function that divides by nothing for one part, and is sound for the others."""

    def fails(*given: Any) -> Any:
        return 1 / 0 if part_of(*given) == part_id else sound(*given)

    return fails


@pytest.fixture
def sum_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    """A fault in a sum that shows at SN-204 alone."""
    sound = gather.reversals.stroke_values
    broken = failing_for("SN-204", sound, lambda facts: facts.records.part.id)
    monkeypatch.setattr(gather.reversals, "stroke_values", broken)


@pytest.mark.usefixtures("sum_fails")
def test_a_fault_in_a_sum_leaves_one_part_unmade_and_makes_the_others(cardgen):
    """One line names the exception, where in the program, and what to do; no planner is blamed."""
    status, lines, complaints = cardgen("make")
    assert status == FAULT
    assert all(line.startswith("warning  SN-205: ") for line in complaints)
    assert [line.split(":")[0] for line in lines] == [lines[0].split(":")[0], "not made  SN-204.pdf"]
    assert lines[0].startswith("made  SN-205.pdf")
    assert "specs/first.yaml:1:1: program-fault: ZeroDivisionError at cardgen.card.gather:" in lines[1]
    assert lines[1].endswith(f"(division by zero); {WHAT_TO_DO}")


@pytest.mark.usefixtures("sum_fails")
def test_status_tells_a_fault_as_one_and_not_as_a_mistake_in_a_spec(cardgen, folder):
    """Its exit status says so too; a card that is there is left as it is."""
    status, lines, _ = cardgen("status")
    assert status == FAULT
    assert [line.split("  ")[0] for line in lines[:2]] == ["never made", "fault of the program"]


@pytest.mark.usefixtures("sum_fails")
@pytest.mark.parametrize(
    "command",
    [("values",), ("stock", "3.5 mm"), ("strip",), ("record",), ("sheet",)],
    ids=lambda each: each[0],
)
def test_commands_about_the_part_end_in_the_same_line(cardgen, command):
    """Nothing on the screen but that, and the exit status of a fault."""
    name, *more = command
    status, lines, complaints = cardgen(name, "SN-204", *more)
    assert (status, lines) == (FAULT, [])
    assert len(complaints) == 1
    assert "program-fault: ZeroDivisionError" in complaints[0]


def test_a_card_of_a_part_at_which_the_program_fails_can_still_be_read(cardgen, folder, request):
    """It tells what it was made from; whether it is true cannot be told, and why."""
    cardgen("make")
    request.getfixturevalue("sum_fails")
    status, lines, _ = cardgen("read", str(folder / "out" / "SN-204.pdf"))
    assert status == FAULT
    assert lines[0].startswith("card SN-204-B-")
    assert lines[-2] == "whether it is true cannot be told:"
    assert "program-fault" in lines[-1]


@pytest.mark.usefixtures("sum_fails")
def test_a_booklet_leaves_the_part_out_and_says_why(cardgen, folder, monkeypatch):
    """And a fault in drawing the booklet itself is told as one."""
    (folder / "specs" / "booklet.yaml").write_text(BOOKLET, "utf-8")
    monkeypatch.setattr(book, "whole_booklet", lambda *_: Drawing((Surface(100.0, 100.0),), "booklet", ""))
    status, _, complaints = cardgen("booklet")
    assert status == FAULT
    assert complaints[0].startswith("toolroom: part SN-204 is left out: program-fault: ZeroDivisionError")
    monkeypatch.setattr(book, "whole_booklet", lambda *_: {}["no such page"])
    status, _, (complaint,) = cardgen("booklet")
    assert status == FAULT
    assert complaint.startswith("program-fault: KeyError at cardgen.shop.booklet_pdf")


def test_a_fault_in_drawing_leaves_one_card_unmade_and_makes_the_others(cardgen, monkeypatch):
    """As a fault in a sum does."""
    broken = failing_for("SN-204", bench_card.bench_card, lambda card, *_: card.title.part)
    monkeypatch.setattr(bench_card, "bench_card", broken)
    status, lines, _ = cardgen("make")
    assert status == FAULT
    assert lines[0].startswith(
        "not made  SN-204.pdf: program-fault: ZeroDivisionError at cardgen.shop.folder:"
    )
    assert lines[1].startswith("made  SN-205.pdf")


def test_a_fault_before_any_part_is_known_is_one_line_too(cardgen, monkeypatch):
    """Where the whole shop cannot be read for it."""
    monkeypatch.setattr(shop, "read_all", lambda *_: [][3])
    status, lines, (complaint,) = cardgen("status")
    assert (status, lines) == (FAULT, [])
    assert complaint.startswith("program-fault: IndexError at cardgen.shop.folder:")


def test_watching_goes_on_after_a_fault(folder, monkeypatch, capsys):
    """It is told, and the next save is waited for."""
    monkeypatch.setattr(shop, "read_all", lambda *_: [][3])
    make_command._make_and_go_on(folder, (), make_command._Teller(everything=False))
    assert capsys.readouterr().err.startswith("program-fault: IndexError")


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("rough: steel rule 0.5 mm", "rough: steel rule 0.019685039 mm"),
        ("finish: slip gauges 0.01 mm", "finish: slip gauges 5000000000 mm"),
    ],
)
def test_no_odd_tool_of_one_part_takes_the_shop_down(cardgen, folder, old, new):
    """Its card is made or refused; the other part's is made, and it is no fault of the program."""
    path = folder / "specs" / "first.yaml"
    path.write_text(changed(PART, ((old, new),)), "utf-8")
    status, lines, _ = cardgen("make")
    assert status != FAULT
    assert any(line.startswith("made  SN-205.pdf") for line in lines)


def test_what_a_spec_hides_in_an_id_is_written_out_on_the_terminal(cardgen, folder):
    """No control character and no turning of the writing reaches the screen."""
    path = folder / "specs" / "first.yaml"
    path.write_text(changed(PART, (("id: SN-204", 'id: "SN\\u202e-\\e[31m4"'),)), "utf-8")
    _, lines, complaints = cardgen("status")
    shown = "\n".join([*lines, *complaints])
    assert "\u202e" not in shown
    assert "\x1b" not in shown


def test_status_tells_a_spec_that_cannot_be_read_and_its_exit_status_does(cardgen, folder):
    """All cards current, one file that is no spec: a spec is wrong."""
    cardgen("make")
    assert cardgen("status")[0] == 0
    (folder / "specs" / "third.yaml").write_text("kind: prat\nid: X-1\n", "utf-8")
    status, _, complaints = cardgen("status")
    assert status == 2
    assert complaints[0].startswith("specs/third.yaml:1:7: ")


def test_ctrl_c_says_what_was_made(cardgen, monkeypatch):
    """In one line; the rest is made by the next run."""

    def stopped(card: Any, *_: Any) -> bytes:
        raise KeyboardInterrupt

    monkeypatch.setattr(bench_card, "bench_card", failing_second(bench_card.bench_card, stopped))
    status, lines, complaints = cardgen("make")
    assert (status, len(lines)) == (130, 1)
    assert complaints == ["stopped; 1 made (SN-204.pdf); run make again for the rest"]


def failing_second(first: Callable[..., bytes], second: Callable[..., bytes]) -> Callable[..., bytes]:
    """A function that is one thing when it is first called and another after."""
    ways = [first]
    return lambda *given: (ways.pop() if ways else second)(*given)


def test_a_reader_who_goes_away_stops_no_making(folder):
    """`make | head -1`: every card is made, and one line on the other stream says so."""
    reader, writer = os.pipe()
    os.close(reader)
    command = [bare_python(), "-m", "cardgen", "make", "--shop", str(folder)]
    ended = subprocess.run(command, stdout=writer, stderr=subprocess.PIPE, text=True, check=False)
    os.close(writer)
    assert "nobody read on; 2 made (SN-204.pdf, SN-205.pdf) all the same" in ended.stderr.splitlines()[0]
    assert sorted(path.name for path in (folder / "out").glob("*.pdf")) == ["SN-204.pdf", "SN-205.pdf"]
