"""What every command shares: reading the shop, what is said and where, the exit status, keeping a paper."""

import os
import sys
import unicodedata
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import date, datetime
from pathlib import Path
from threading import Event, Thread
from typing import TYPE_CHECKING, Any, NoReturn

import click

if TYPE_CHECKING:
    from cardgen.shelf.wanted import Drawn, Job
    from cardgen.shop.folder import Shop
    from cardgen.shop.quiet import SaidBefore
    from cardgen.spec.complaint import Complaint

WRONG = 2
FAULT = 3  # of the program itself
STOPPED = 130  # by Ctrl-C, as shells count it
UNSEEN = ("Cc", "Cf", "Cs", "Zl", "Zp")  # categories of characters that move a terminal's text or its cursor

PATIENCE_S = 1.0  # before a command that prints nothing yet shows that it is at work


@contextmanager
def sign_of_life(doing: str) -> Iterator[Callable[[], None]]:
    """On a terminal, after a second without a word, something that moves; nothing where nobody looks.

    Nothing else may be printed meanwhile, unless what it gives was called first, which ends it.
    """
    done = Event()

    def over() -> None:
        done.set()
        if showing.ident is not None:
            showing.join()

    def show() -> None:
        if done.wait(PATIENCE_S):
            return
        from rich.console import Console
        from rich.live import Live
        from rich.spinner import Spinner

        with Live(Spinner("line", doing), console=Console(stderr=True), transient=True):
            done.wait()

    showing = Thread(target=show)
    if sys.stderr.isatty():
        showing.start()
    try:
        yield over
    finally:
        over()


def read_shop(folder: Path) -> "Shop":
    """The shop of this folder, every spec of it."""
    from cardgen.shop.folder import Shop

    with sign_of_life("reading the specs"):
        return Shop.read(folder)


def read_changed(folder: Path, *only: str, first: Callable[[], list[str]] = list) -> "Shop":
    """The shop, of which what the index vouches for is not read; of some parts no more than they need.

    Where many records are to be read, the lines that `first` gives are said before.
    """
    from cardgen.shop.folder import Shop

    with sign_of_life("reading the specs") as over:

        def many() -> None:
            if lines := first():
                over()
                say_all(lines)

        shop = Shop.read_changed(folder, only=only, many=many)
    if shop.index_trouble:
        say(shop.index_trouble, err=True)
    return shop


def told_before(folder: Path, command: str) -> "tuple[SaidBefore | None, str]":
    """What a command said of the very same shop, and how the shop lies."""
    from cardgen.shop.quiet import how_it_lies, said_before

    lies = how_it_lies(folder)
    return said_before(folder, command, lies, date.today()), lies


def say_again(said: "SaidBefore") -> int:
    """Say it once more; the exit status."""
    for line, err in said.lines:
        say(line, err=err)
    return said.status


def require_known(shop: "Shop", part_ids: Iterable[str]) -> None:
    """Out, where a part is not one of the shop's."""
    from cardgen.spec.complaint import did_you_mean

    known = set(shop.part_ids)
    unknown = [part_id for part_id in part_ids if part_id not in known]
    if unknown:
        give_up(
            f"no part '{part_id}' in {shop.folder}; {did_you_mean(part_id, shop.part_ids)}"
            for part_id in unknown
        )


def sound_part(shop: "Shop", part_id: str) -> str:
    """The part's id if it can get a card; else everything that keeps it from one, and out."""
    require_known(shop, [part_id])
    complaints = shop.complaints_of(part_id)
    if complaints:
        tell(complaints)
        sys.exit(FAULT if shop.faults else WRONG)
    return part_id


def say(line: str, err: bool = False) -> None:
    """A line for a person: what a spec or a foreign file may have hidden in it is written out (\\x1b)."""
    click.echo(_shown(line), err=err)


def say_all(lines: Iterable[str]) -> None:
    """Many lines at once."""
    if shown := "\n".join(map(_shown, lines)):
        click.echo(shown)


def say_json(plain: Any) -> None:
    """For other programs."""
    import json

    text = json.dumps(plain, ensure_ascii=False, indent=2, allow_nan=False)
    click.echo(text.encode("utf-8", "backslashreplace"))  # a file's name that is no text, as JSON has it


def said(line: str) -> bool:
    """Say a line; False where it cannot be (`| head -1`, a full disk): the work goes on all the same."""
    try:
        say(line)
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # nor is there a complaint at the end
        return False
    return True


def _shown(line: str) -> str:
    return line if line.isprintable() else "".join(map(_seen, line))


def _seen(letter: str) -> str:
    hidden = unicodedata.category(letter) in UNSEEN
    return letter.encode("unicode_escape").decode("ascii") if hidden else letter


def tell(complaints: Iterable["Complaint"], err: bool = True) -> None:
    """Complaints about specs, each with the line of the file that it is about."""
    for complaint in complaints:
        for line in complaint.lines:
            say(line, err=err)


def give_up(lines: Iterable[str], status: int = WRONG) -> NoReturn:
    """Say what is wrong, and out."""
    for line in lines:
        say(line, err=True)
    sys.exit(status)


def now() -> str:
    """What a print-out of a moment bears: '2026-11-28 14:05'."""
    return datetime.now().strftime("%Y-%m-%d %H:%M")


def keep_paper(shop: "Shop", job: "Job", drawn: "Drawn | None" = None) -> str:
    """Make a paper, from what is drawn of it already or now, and `keep` it in the out folder."""
    from cardgen.shelf.contents import card_pdf

    return keep(shop, job.part_id, job.kind, card_pdf(job, drawn or job.draw(job.code)))


def keep(shop: "Shop", name: str, kind: str, drawn: bytes) -> str:
    """Put a paper into the out folder, whole or not at all; what became of it, in words."""
    from cardgen.shelf.wanted import file_name
    from cardgen.shelf.writing import OUR_PDF, alone, replace_own

    path = shop.out / file_name(name, kind)
    if path.name in {file_name(part_id) for part_id in shop.part_ids}:
        give_up([f"{path} is the card of another part; give that part an id that does not end in '-{kind}'"])
    with alone(shop.out):
        made = replace_own(path, drawn, OUR_PDF)
    return f"{path}: {'made' if made else 'is current'}"
