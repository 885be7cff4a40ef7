"""Nothing is ever half-written: each mishap is brought about for real."""

import fcntl
import json
import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

import cardgen
from cardgen.shelf.contents import is_sealed, read_card
from cardgen.shelf.trouble import ShelfError
from cardgen.shelf.writing import LOCK_NAME, alone, write_whole
from tests.shelf.conftest import Trial, environment, lay_out

as_root = pytest.mark.skipif(os.geteuid() != 0, reason="only root can mount a small disk or become nobody")

# The account without rights has to read the program's own files to be told anything by it.
PROGRAM_LIES = (Path(__file__).resolve(), Path(cardgen.__file__).resolve())
others_may_read = pytest.mark.skipif(
    not all(folder.stat().st_mode & 0o001 for place in PROGRAM_LIES for folder in place.parents),
    reason="the program lies in a folder that no other account may enter",
)


def with_work_to_do(shop: Trial) -> Trial:
    """One card current, one out of date, one changed by hand, and one whose revision was raised too."""
    shop.edit("spindle-nose.yaml", "0.35 .. 0.50 mm", "0.35 .. 0.60 mm")
    shop.edit("spindle-nose.yaml", "revision: B", "revision: C")
    card = shop.out / "NV-30.pdf"
    card.write_bytes(card.read_bytes() + b"\n% a note in the margin\n")
    return shop


def whole(path: Path) -> bool:
    return is_sealed(path.read_bytes())


def test_a_run_killed_at_any_moment_leaves_each_card_old_or_new(shop):
    """SIGKILL at every single call that the writer makes to the system, writes torn in the middle:
    no file is half there, and the next run ends with the very files of a run never killed."""
    step = 1 if shop.program == "stub" else 7  # the writer is the same; the whole program only takes longer
    with_work_to_do(shop)
    before = shop.files()
    done = shop.start(strain={"every_moment": str(shop.folder), "step": step}).ended(seconds=300)
    assert done.returncode == 0, done.stderr
    *moments, unhurt = [json.loads(line) for line in done.stdout.splitlines()]
    after = unhurt["files"]
    assert unhurt["status"] == 0
    assert unhurt["moments"] >= 25
    for moment in moments:
        for name, digest in moment["killed"].items():
            if not name.endswith(".half-written"):
                assert digest in (before.get(name), after.get(name)), (moment["moment"], name)
        assert set(before) <= set(moment["killed"]), "a file was lost"
        assert moment["again"] == 0
        assert moment["files"] == after, moment["moment"]


@pytest.mark.parametrize("delay", [0.12, 0.27, 0.4])
def test_a_run_killed_from_outside_can_be_run_again(shop, delay):
    """SIGKILL from another process, whatever the run is doing then."""
    with_work_to_do(shop)
    names = set(shop.files())
    running = shop.start("make", "--shop", str(shop.folder))
    time.sleep(delay)
    running.process.kill()
    running.ended()
    assert names <= set(shop.files())
    shop.make()
    assert all(whole(path) for path in shop.out.glob("*.pdf"))
    assert not list(shop.out.rglob("*.half-written"))


@as_root
@pytest.mark.parametrize("free_pages", [0, 2, 5])
def test_a_full_disk_loses_no_card(trial, with_cards, free_pages):
    """A real small disk, filled up: the old cards stay as they were, the message says why, and once
    there is room again the run ends as it should."""
    trial.out.mkdir()
    room = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", trial.out], check=False, capture_output=True
    )
    if room.returncode:
        pytest.skip("this machine lets no disk be mounted")
    try:
        with_work_to_do(with_cards(trial))
        before = trial.files()
        disk = os.statvfs(trial.out)
        filler = trial.out / "filler.bin"
        filler.write_bytes(b"x" * (disk.f_bavail - free_pages) * disk.f_frsize)
        full = trial.run("make")
        after = trial.files()
        assert full.returncode not in (0, None)
        assert "the disk is full" in full.stderr
        assert full.stderr.count("\n") == 1
        assert not list(trial.out.rglob("*.half-written"))
        told = full.stdout
        for name in before:
            if name not in ("filler.bin", "index.html") and f"remade  {name}" not in told:
                assert after[name] == before[name], name
        filler.unlink()
        trial.make()
        assert all(whole(path) for path in trial.out.glob("*.pdf"))
    finally:
        subprocess.run(["umount", trial.out], check=True)


def test_a_limit_on_file_size_is_told_and_loses_nothing(shop):
    """The operating system's own limit ends a write in the middle."""
    with_work_to_do(shop)
    before = shop.files()
    done = shop.run("make", strain={"longest_file": 4096})
    assert done.returncode not in (0, None)
    assert "larger than this account may write" in done.stderr
    assert shop.files().items() >= before.items()


@as_root
@others_may_read
def test_an_account_without_rights_is_told_so(trial, with_cards):
    """Nobody may look, and may not write: nothing is changed, and the message names the place."""
    # Not in pytest's own folder, which every other run of pytest that begins shuts to other accounts.
    with TemporaryDirectory() as place:
        Path(place).chmod(0o755)
        nobody_looks_and_makes(with_cards(lay_out(trial.program, Path(place) / "shop")))


def nobody_looks_and_makes(trial: Trial) -> None:
    with_work_to_do(trial)
    before = trial.files()
    done = trial.run("make", strain={"nobody": True})
    assert done.returncode not in (0, None)
    assert "no permission to write there" in done.stderr
    assert "Traceback" not in done.stderr
    assert trial.files() == before
    looked = trial.run("status", strain={"nobody": True})
    assert "out of date" in looked.stdout


def test_several_runs_at_once_make_each_card_once(new_trial):
    """Five runs started together: every card is made by one of them, and the files are whole."""
    trial, single = new_trial("several"), new_trial("single")
    single.make()
    running = [trial.start("make", "--shop", str(trial.folder)) for _ in range(5)]
    ended = [one.ended() for one in running]
    assert [one.returncode for one in ended] == [0] * 5
    lines = [line for one in ended for line in one.stdout.splitlines()]
    made = [line.split()[1] for line in lines if line.startswith("made")]
    assert sorted(made) == sorted(path.name for path in trial.out.glob("*.pdf"))
    assert trial.files() == single.files()


def test_a_run_that_waits_too_long_says_who_is_writing(tmp_path):
    """The lock is held by someone else: told after the patience is over, nothing touched."""
    with (tmp_path / LOCK_NAME).open("w") as held:
        held.write("4711")
        held.flush()
        fcntl.flock(held, fcntl.LOCK_EX)
        message = r"another run \(process 4711\) is writing here"
        with pytest.raises(ShelfError, match=message), alone(tmp_path, patience_s=0.1):
            pass


def test_a_killed_run_leaves_no_lock_behind(tmp_path):
    """The lock goes with the process that held it: no waiting, no clock."""
    holder = subprocess.Popen(
        [
            sys.executable,
            "-c",
            "import sys, time; from pathlib import Path; from cardgen.shelf.writing import alone\n"
            "with alone(Path(sys.argv[1])):\n print('held', flush=True); time.sleep(60)",
            str(tmp_path),
        ],
        env=environment(),
        stdout=subprocess.PIPE,
    )
    assert holder.stdout.readline() == b"held\n"
    with pytest.raises(ShelfError), alone(tmp_path, patience_s=0):
        pass
    holder.send_signal(signal.SIGKILL)
    holder.wait()
    with alone(tmp_path, patience_s=0):
        assert (tmp_path / LOCK_NAME).exists()


def test_a_clock_that_jumps_makes_nothing_out_of_date(trial):
    """Years back, years on, running backwards; files dated in the future: content alone counts.

    (Both clocks stand before any gauge's calibration lapses, which would be a change of content.)
    """
    trial.make(strain={"clock": 1.7e9})
    before = trial.files()
    for number, path in enumerate(sorted(trial.folder.rglob("*"))):
        os.utime(path, (number * 1e8, 4e9 - number * 1e8))
    lines = trial.make(strain={"clock": 8e8})
    assert lines == ["current  3 papers"]
    assert trial.files() == before


@pytest.mark.parametrize("keep", [0, 100, -4000, -7])
def test_a_card_cut_short_is_told_kept_and_made_anew(shop, keep):
    """What is left of it goes to set-aside; the whole card stands in its place again."""
    before = shop.files()
    card = shop.out / "SN-204.pdf"
    stump = card.read_bytes()[:keep]
    card.write_bytes(stump)
    assert shop.status()["SN-204"]["state"] == "changed by hand"
    line = next(line for line in shop.make() if "SN-204.pdf" in line)
    assert line.startswith("remade  SN-204.pdf")
    assert "set-aside/SN-204-" in line
    assert [path.read_bytes() for path in (shop.out / "set-aside").iterdir()] == [stump]
    assert shop.files()["SN-204.pdf"] == before["SN-204.pdf"]


def test_another_parts_card_put_in_a_cards_place_is_found(shop):
    """A whole card, but not this part's."""
    (shop.out / "SN-204.pdf").write_bytes((shop.out / "NV-30.pdf").read_bytes())
    found = shop.status()["SN-204"]
    assert (found["state"], found["why"]) == ("changed by hand", "it is the card of NV-30")


def test_a_card_read_while_it_is_replaced_is_always_whole(tmp_path):
    """A reader that never stops looking sees the old bytes or the new, nothing between."""
    path = tmp_path / "card.pdf"
    versions = [bytes([letter]) * 300_000 for letter in b"ab"]
    write_whole(path, versions[0])
    stop = threading.Event()

    def write() -> None:
        for turn in range(60):
            write_whole(path, versions[turn % 2])
        stop.set()

    writer = threading.Thread(target=write)
    writer.start()
    while not stop.is_set():
        assert path.read_bytes() in versions
    writer.join()


def test_specs_saved_over_and_over_during_the_run_give_whole_cards(trial):
    """An editor that empties a file and fills it again, all the time: each card still carries one of
    the two specs, whole."""
    path = trial.folder / "specs" / "spindle-nose.yaml"
    versions = [path.read_bytes(), path.read_bytes().replace(b"0.50 mm", b"0.60 mm")]
    stop = threading.Event()

    def save() -> None:
        turn = 0
        while not stop.is_set():
            turn += 1
            path.write_bytes(versions[turn % 2])
            time.sleep(0.05)

    editor = threading.Thread(target=save)
    editor.start()
    try:
        for _ in range(3):
            trial.run("make")
            card = trial.out / "SN-204.pdf"
            if card.exists():
                made = read_card(card.read_bytes())
                text = next(one.text for one in made.ingredients if one.name == "part SN-204")
                assert made.sealed
                assert text.encode() in versions
    finally:
        stop.set()
        editor.join()
    trial.make()
    assert trial.status()["SN-204"]["state"] == "current"


@as_root
def test_a_folder_shared_by_two_accounts_serves_both(tmp_path):
    """The lock that one account left can be held by the other, where both may write."""
    out = tmp_path / "out"
    with alone(out):
        write_whole(out / "card.pdf", b"old")
    for folder in (tmp_path, *tmp_path.parents):
        if folder.stat().st_uid == 0 and folder != Path("/"):
            folder.chmod(folder.stat().st_mode | 0o055)
    out.chmod(0o777)
    other = (
        "import os, sys; from pathlib import Path; from cardgen.shelf.writing import alone, write_whole\n"
        "os.setuid(65534)\n"
        "out = Path(sys.argv[1])\n"
        "with alone(out): write_whole(out / 'card.pdf', b'new')"
    )
    subprocess.run([sys.executable, "-c", other, str(out)], env=environment(), check=True)
    assert (out / "card.pdf").read_bytes() == b"new"
