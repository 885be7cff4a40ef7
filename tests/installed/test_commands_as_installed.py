"""Every command of the README's table, as somebody has it who installed the program and has no source.

CARDGEN_TO_TRY names the program (CI tries the wheel in venvs of its own); else it is the one beside
this Python, run by one that has nothing which only the tests need.
"""

import json
import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PageObject, PdfReader

from tests.bare import bare_python
from tests.conftest import TOP, MadeOnce

WITHOUT_SOURCE = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}


def readme_commands() -> list[str]:
    """The commands of the README's table, in its order."""
    rows = re.findall(r"^\| (`cardgen .*?) \|", (TOP / "README.md").read_text("utf-8"), re.MULTILINE)
    return [command for row in rows for command in re.findall(r"`cardgen ([a-z]+)", row)]


def typed(*words: str) -> list[str]:
    """A command as the system is given it."""
    if named := os.environ.get("CARDGEN_TO_TRY"):
        return [named, *words]
    installed = shutil.which("cardgen", path=str(Path(sys.executable).parent))
    assert installed, "cardgen is not installed beside this Python: pip install '.[test]'"
    return [bare_python(), installed, *words]


def cardgen(shop: Path, *words: str, status: int = 0) -> str:
    """What a command prints; it ends with this status, and tells of nothing wrong but warnings of a part."""
    ended = subprocess.run(
        typed(*words), cwd=shop, env=WITHOUT_SOURCE, capture_output=True, encoding="utf-8", timeout=120
    )
    wrong = [line for line in ended.stderr.splitlines() if not line.startswith("warning  ")]
    assert (ended.returncode, wrong) == (status, []), ended.stdout + ended.stderr
    return ended.stdout


def pages(paper: Path) -> list[str]:
    return [page.extract_text() for page in pages_of(paper)]


def pages_of(paper: Path) -> list[PageObject]:
    return list(PdfReader(BytesIO(paper.read_bytes())).pages)


@pytest.fixture(scope="module")
def new_shop(made_once: MadeOnce, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop that the installed program laid down, far from any checkout; nothing is done in it."""

    def make() -> Path:
        away = tmp_path_factory.mktemp("away")
        assert "specs, templates and out are there" in cardgen(away, "new", "shop", "shop")
        return away / "shop"

    found: Path = made_once("a new shop", make)
    return found


@pytest.fixture(scope="module")
def shop(new_shop: Path, made_once: MadeOnce, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same shop with its cards made, for these tests to work in."""

    def make() -> Path:
        made = tmp_path_factory.mktemp("made") / "shop"
        shutil.copytree(new_shop, made)
        cardgen(made, "make")
        return made

    return Path(
        shutil.copytree(made_once("a new shop with cards", make), tmp_path_factory.mktemp("own") / "shop")
    )


def test_every_command_of_the_readme_is_tried_here() -> None:
    """A new row of the table needs a test here; a command of the program needs a row."""
    tried = {name.removeprefix("test_cardgen_") for name in globals() if name.startswith("test_cardgen_")}
    assert len(readme_commands()) >= 12
    assert set(readme_commands()) == tried
    listed = cardgen(Path.cwd(), "--help").partition("Commands:\n")[2].partition("\n\n")[0]
    assert set(re.findall(r"^  ([a-z]+) ", listed, re.MULTILINE)) == tried


def test_the_readme_leads_to_a_card_of_ones_own(tmp_path: Path) -> None:
    """Its section on the first card, followed to the letter: each command, and the part as printed there."""
    section = (
        (TOP / "README.md").read_text("utf-8").partition("## Your own first card")[2].partition("\n##")[0]
    )
    here = tmp_path
    for language, block in re.findall(r"```(\w+)\n(.*?)```", section, re.DOTALL):
        if language == "yaml":
            assert (here / "specs" / "SN-301.yaml").exists()
            (here / "specs" / "SN-301.yaml").write_text(block, "utf-8")
            continue
        for line in block.splitlines():
            program, *words = shlex.split(line)
            if program == "cd":
                here = here / words[0]
            else:
                told = cardgen(here, *words, status=1 if words[0] == "check" else 0)
    assert (here / "out" / "SN-301.pdf").exists()
    assert "stock left" in told


def test_cardgen_new(new_shop: Path) -> None:
    """All specs and templates of the demo shop, byte for byte, and a place for the cards."""
    for name in ("specs", "templates"):
        ours = {path.name: path.read_bytes() for path in (TOP / name).iterdir()}
        assert {path.name: path.read_bytes() for path in (new_shop / name).iterdir()} == ours
    assert (new_shop / "out").is_dir()


def test_cardgen_make(shop: Path) -> None:
    """Every part of the new shop gets its card of two sides; the second time all are current."""
    parts = {card.stem for card in (shop / "out").glob("*.pdf")}
    told = [line.split()[:2] for line in cardgen(shop, "make", "--all").splitlines()]
    assert {"SN-204", "NV-30"} <= parts
    assert sorted(["current", f"{part}.pdf:"] for part in parts) == sorted(told)
    one, _two = pages(shop / "out" / "SN-204.pdf")
    assert "Spindle nose" in one
    assert "SN-204" in (shop / "out" / "index.html").read_text("utf-8")


def wait_for(paper: Path, other_than: bytes = b"", seconds: float = 60) -> bytes:
    """The paper once it is there and no longer what it was."""
    end = time.monotonic() + seconds
    while not paper.exists() or paper.read_bytes() == other_than:
        assert time.monotonic() < end, f"{paper.name} was not made"
        time.sleep(0.05)
    return paper.read_bytes()


@pytest.fixture
def watching(tmp_path: Path, new_shop: Path) -> Iterator[tuple[Path, subprocess.Popen[str]]]:
    """`make SN-204 --watch` at work in a new shop without cards."""
    shop = tmp_path / "shop"
    shutil.copytree(new_shop, shop)
    command = typed("make", "SN-204", "--watch")
    with subprocess.Popen(
        command, cwd=shop, env=WITHOUT_SOURCE, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    ) as running:
        yield shop, running
        running.kill()


def test_make_watches_until_ctrl_c(watching: tuple[Path, subprocess.Popen[str]]) -> None:
    """The card is made, made again when its spec is saved, and Ctrl-C ends it without a traceback."""
    shop, running = watching
    card, spec = shop / "out" / "SN-204.pdf", shop / "specs" / "spindle-nose.yaml"
    first = wait_for(card)
    wait_for(shop / "out" / "index.html")
    spec.write_text(spec.read_text("utf-8").replace("name: Spindle nose", "name: Long nose"), "utf-8")
    wait_for(card, other_than=first)
    running.send_signal(signal.SIGINT)
    told = running.communicate(timeout=30)[0]
    assert told.startswith("watching; Ctrl-C ends it")
    assert "Traceback" not in told
    assert "Long nose" in pages(card)[0]


def test_cardgen_status(shop: Path) -> None:
    """Where every card was just made, every card is current and nothing needs doing."""
    told = [line for line in cardgen(shop, "status", "--all").splitlines() if ".pdf: " in line]
    assert len(told) >= 9
    assert all(line.startswith("current") for line in told)
    assert {one["state"] for one in json.loads(cardgen(shop, "status", "--json"))["papers"]} == {"current"}


def test_cardgen_posted(shop: Path) -> None:
    """A card that was put up is right where it hangs, and the list of the place says so."""
    assert "Grinder 2: SN-204-B-" in cardgen(shop, "posted", "SN-204", "Grinder 2", "--by", "Planner")
    told = cardgen(shop, "status", "--at", "grinder 2", status=1).splitlines()
    assert any(line.startswith("right  Grinder 2: SN-204-B-") and "(Planner)" in line for line in told)
    assert any(line.startswith("to be hung  Grinder 2: ") for line in told)


def test_cardgen_withdraw(shop: Path) -> None:
    """What is taken down hangs no more, and is to be hung again while the part asks for it."""
    cardgen(shop, "posted", "SN-204", "Toolroom binder")
    told = cardgen(shop, "withdraw", "SN-204", "Toolroom binder")
    assert told.startswith("Toolroom binder: SN-204-B-")
    told = cardgen(shop, "status", "--at", "Toolroom binder", status=1)
    assert "to be hung  Toolroom binder: SN-204-B-" in told


def test_cardgen_stock(shop: Path) -> None:
    """4.5 mm read where about 3 mm is finish, on 1:8: some 0.19 mm are left, told in divisions."""
    told = cardgen(shop, "stock", "SN-204", "4.5 mm")
    assert re.search(r"stock left +0\.1[89]\d mm on the diameter", told)
    assert re.search(r"\d+ divisions", told)


def test_cardgen_values(shop: Path) -> None:
    """The card as JSON: the taper's ratio, exactly."""
    assert json.loads(cardgen(shop, "values", "SN-204"))["taper"]["ratio"] == 1 / 8


def test_cardgen_strip(shop: Path) -> None:
    """A paper that names the part."""
    assert "SN-204-strip.pdf: made" in cardgen(shop, "strip", "SN-204")
    assert "SN-204" in pages(shop / "out" / "SN-204-strip.pdf")[0]


def test_cardgen_record(shop: Path) -> None:
    """A paper that names the part and has a place to sign."""
    assert "SN-204-record.pdf: made" in cardgen(shop, "record", "SN-204")
    assert "SN-204" in pages(shop / "out" / "SN-204-record.pdf")[0]


def test_cardgen_rehearse(shop: Path) -> None:
    """What is lost to what in words, and a page of pictures."""
    told = cardgen(shop, "rehearse", "TM-50", "--batches", "5", "--pdf")
    assert told.startswith("TM-50: 5 batches, 60 pieces\n")
    assert "what limits it" in told
    assert "5 batches, 60 pieces" in pages(shop / "out" / "TM-50-rehearsal.pdf")[0]


def test_cardgen_sheet(shop: Path) -> None:
    """Two cards on one sheet, fronts and backs."""
    told = cardgen(shop, "sheet", "SN-204", "NV-30", "--paper", "letter")
    made = shop / told.partition(": made")[0]
    text = " ".join(pages(made))
    assert "SN-204" in text
    assert "NV-30" in text


def test_cardgen_booklet(shop: Path) -> None:
    """The toolroom's booklet of some seventy pages, contents in front."""
    assert "toolroom-booklet.pdf: made, toolroom-" in cardgen(shop, "booklet", "toolroom")
    paper = pages_of(shop / "out" / "toolroom-booklet.pdf")
    assert 50 < len(paper) < 90
    assert "Contents" in " ".join(page.extract_text() for page in paper[:3])


def test_cardgen_tapers(tmp_path: Path) -> None:
    """By name, with its source; by ratio; the whole library where nothing is asked."""
    assert "Source: " in cardgen(tmp_path, "tapers", "Morse", "3")
    assert "Morse 3" in cardgen(tmp_path, "tapers", "0.602", "in/ft")
    assert len(cardgen(tmp_path, "tapers").splitlines()) > 150


def test_cardgen_read(shop: Path, tmp_path: Path) -> None:
    """A copy of a card, wherever it lies, tells its code and what it was made from."""
    copy = tmp_path / "from the wall.pdf"
    copy.write_bytes((shop / "out" / "SN-204.pdf").read_bytes())
    told = cardgen(tmp_path, "read", str(copy), "--shop", str(shop))
    assert "SN-204-B-" in told
    assert told.endswith("the shop's specs still say so\n")


def test_cardgen_check(shop: Path) -> None:
    """The demo shop has doubts to tell of, and no mistake."""
    assert cardgen(shop, "check", status=1).splitlines()[-1].startswith("no errors, ")


def test_cardgen_keys(tmp_path: Path) -> None:
    """Every key; all about one; in a folder that is no shop."""
    assert len(cardgen(tmp_path, "keys").splitlines()) > 100
    assert "such as   relief: 3 mm" in cardgen(tmp_path, "keys", "part.taper.relief")


def test_cardgen_schema(tmp_path: Path) -> None:
    """JSON Schema that an editor can take."""
    assert "$defs" in json.loads(cardgen(tmp_path, "schema"))


@pytest.mark.parametrize("words", [["make"], ["stock", "XX-1", "4 mm"], ["booklet"], ["read", "nothing.pdf"]])
def test_a_command_that_cannot_be_done_says_why_and_ends_with_2(tmp_path: Path, words: list[str]) -> None:
    """In words on the error channel, in a folder that is no shop."""
    ended = subprocess.run(
        typed(*words), cwd=tmp_path, env=WITHOUT_SOURCE, capture_output=True, encoding="utf-8"
    )
    assert ended.returncode == 2
    assert ended.stderr
    assert "Traceback" not in ended.stderr
