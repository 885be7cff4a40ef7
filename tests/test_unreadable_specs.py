"""A spec that cannot be read is told, stops no other, and no card is called its orphan meanwhile."""

import os
import sys
from pathlib import Path

import pytest

from cardgen.shop.folder import Shop
from tests.calling import cardgen
from tests.card.bench_shop import PART, REST

MEANWHILE = "; what it says is not known till then"


@pytest.fixture
def specs(tmp_path: Path) -> Path:
    """The specs of a shop with one part."""
    folder = tmp_path / "specs"
    folder.mkdir()
    (folder / "first.yaml").write_text(PART, "utf-8")
    (folder / "rest.yaml").write_text(REST, "utf-8")
    return folder


def told(specs: Path) -> list[str]:
    """Every complaint about the specs; the sound part stays sound."""
    shop = Shop.read(specs.parent)
    assert shop.complaints_of("SN-204") == ()
    return [str(complaint) for complaint in shop.complaints_about(shop.part_ids)]


def test_a_link_that_leads_nowhere_is_told(specs: Path) -> None:
    """It may be the spec of a card that hangs; an editor's own lock is no spec."""
    (specs / "gone.yaml").symlink_to(specs / "nowhere.yaml")
    (specs / ".#first.yaml").symlink_to("user@machine.1234:5678")
    (line,) = told(specs)
    assert line.startswith("specs/gone.yaml:1:1: the file is a link that leads nowhere; ")
    assert line.endswith(MEANWHILE)


def test_a_pipe_is_told_and_not_waited_for(specs: Path) -> None:
    """Reading it would hang every command."""
    os.mkfifo(specs / "pipe.yml")
    (line,) = told(specs)
    assert line.startswith("specs/pipe.yml:1:1: the name ends as a spec's does, and it is no file; ")


def test_a_file_or_a_folder_without_permission_stops_no_other(
    specs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever made it can put it right; the other specs are read."""
    (specs / "locked").mkdir()
    (specs / "shut.yaml").write_text(PART.replace("SN-204", "SN-205"), "utf-8")
    listed, opened = os.scandir, os.open

    def refuse(path: str) -> None:
        raise PermissionError(13, "Permission denied", path)

    def scandir(path: str | Path) -> object:
        return refuse(str(path)) if str(path).endswith("locked") else listed(path)

    def open_file(path: object, *how: int, **more: int) -> int | None:
        return refuse(str(path)) if str(path).endswith("shut.yaml") else opened(path, *how, **more)

    monkeypatch.setattr(os, "scandir", scandir)
    monkeypatch.setattr(os, "open", open_file)
    right = f"; allow it to be read{MEANWHILE}"
    assert told(specs) == [
        f"specs/locked:1:1: the folder cannot be read (Permission denied){right}",
        f"specs/shut.yaml:1:1: the file cannot be read (Permission denied){right}",
    ]


NAMED_BY_BYTES = pytest.mark.skipif(
    sys.platform in ("darwin", "win32"), reason="no file can have such a name there"
)


def all_told(shop: Path, worst: int) -> str:
    """What the commands tell that read the whole shop, none with a worse status; everything was kept."""
    asked = ("make",), ("status",), ("status", "--json"), ("check",), ("make",)
    calls = [cardgen(*words, "--shop", str(shop)) for words in asked]
    assert max(call.returncode for call in calls) == worst
    assert "SN-205" in (shop / "out" / "index.html").read_text("utf-8")
    assert (shop / "out" / ".cardgen" / "index").is_file()
    return "".join(call.stdout + call.stderr for call in calls)


@NAMED_BY_BYTES
@pytest.mark.parametrize("name", [b"spindle-nos\xe9.yaml", b"nos\xe9/spindle.yaml"])
def test_a_spec_whose_name_is_no_text_is_to_be_renamed(specs: Path, name: bytes) -> None:
    """Its name, or its folder's: told as any mistake, written out; what it says is not used under it."""
    spec = specs / os.fsdecode(name)
    spec.parent.mkdir(exist_ok=True)
    (specs / "first.yaml").rename(spec)
    (specs / "second.yaml").write_text(PART.replace("SN-204", "SN-205"), "utf-8")
    told = all_told(specs.parent, 2)
    place = name.decode("utf-8", "backslashreplace")
    wrong = "the name of the file, or of its folder, is not UTF-8 text; rename it" + MEANWHILE
    assert f"specs/{place}:1:1: {wrong}\n" in told
    assert not (specs.parent / "out" / "SN-204.pdf").exists()


@NAMED_BY_BYTES
def test_a_paper_or_a_shop_whose_name_is_no_text_is_no_matter(specs: Path, made: bytes) -> None:
    """What lies in the out folder is told and left; a shop is made wherever it lies."""
    shop = specs.parent / os.fsdecode(b"shop-\xe9")
    (shop / "out").mkdir(parents=True)
    specs.rename(shop / "specs")
    (shop / "specs" / "first.yaml").write_text(PART.replace("SN-204", "SN-205"), "utf-8")
    (shop / "out" / os.fsdecode(b"nos\xe9.pdf")).write_bytes(made)
    assert "left  nos\\udce9.pdf: SN-204-B-" in all_told(shop, 1)


@NAMED_BY_BYTES
def test_a_template_whose_name_is_no_text_is_to_be_renamed(specs: Path) -> None:
    """A card's code is of the names of its templates too."""
    template = specs.parent / "templates" / os.fsdecode(b"side\xe9.j2")
    template.parent.mkdir()
    template.write_text("words", "utf-8")
    told = cardgen("make", "--shop", str(specs.parent))
    assert (told.returncode, told.stdout) == (2, "")
    assert told.stderr.endswith("side\\udce9.j2: its name is not UTF-8 text; rename it\n")


@NAMED_BY_BYTES
def test_an_entry_of_what_hangs_whose_name_is_no_text_is_none(specs: Path) -> None:
    """Entries refer to one another by their names: one that was named by hand is told, and no fault."""
    shop = str(specs.parent)
    cardgen("make", "--shop", shop)
    cardgen("posted", "SN-204", "Bay", "--shop", shop)
    (entry,) = (specs / "hanging").glob("*.json")
    entry.with_name(os.fsdecode(b"copy\xe9.json")).write_bytes(entry.read_bytes())
    told = cardgen("withdraw", "SN-204", "Bay", "--shop", shop)
    assert "Bay: SN-204-B-" in told.stdout
    told = cardgen("status", "--shop", shop)
    assert "specs/hanging/copy\\udce9.json:1:1: this is no entry of what hangs" in told.stdout + told.stderr


@pytest.mark.parametrize(
    ("broken", "said"),
    [
        (PART.replace("kind: part", "kind: prat"), "spec has errors"),
        (PART.replace("kind: part\n", ""), "spec has errors"),
        (PART.replace("taper:", "\ttaper:"), "spec has errors"),
        ("", "a spec that cannot be read may ask for it; correct that first"),
        ("x" * 1_000_001, "a spec that cannot be read may ask for it; correct that first"),
    ],
    ids=["kind mistyped", "no kind", "a tab", "nothing in it", "too large"],
)
def test_a_card_whose_spec_is_broken_is_not_called_current_nor_an_orphan(
    specs: Path, made: bytes, broken: str, said: str
) -> None:
    """Status ends with 2, for a spec is wrong, and nobody is told to take the card away."""
    (specs.parent / "out").mkdir()
    (specs.parent / "out" / "SN-204.pdf").write_bytes(made)
    (specs / "first.yaml").write_text(broken, "utf-8")
    status = cardgen("status", "--shop", str(specs.parent))
    assert status.returncode == 2
    assert said in status.stdout
    assert "take it away" not in status.stdout
    assert "specs/first.yaml:" in status.stderr


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The card of the part."""
    shop = tmp_path_factory.mktemp("shop")
    (shop / "specs").mkdir()
    (shop / "specs" / "all.yaml").write_text(f"{PART}---\n{REST}", "utf-8")
    assert cardgen("make", "--shop", str(shop)).returncode == 0
    return (shop / "out" / "SN-204.pdf").read_bytes()
