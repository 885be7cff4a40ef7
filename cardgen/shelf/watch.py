"""Make again whenever a file that cards are made from is saved."""

import threading
from collections.abc import Callable, Iterable
from pathlib import Path

import watchfiles

QUIET_MS = 300  # an editor saves in several steps; wait until it has been quiet this long


def watch(
    places: Iterable[Path], out: Path, make_once: Callable[[], None], stop: threading.Event | None = None
) -> None:
    """Call `make_once` now and after every change under `places`, until `stop` is set or Ctrl-C.

    What is written to `out` is no change. The watching starts before the first making, so that a
    file saved meanwhile is seen afterwards. What `make_once` raises ends the watching: it says its
    own troubles that a further save can mend.
    """
    off_the_watch = out.resolve()

    def counts(_change: watchfiles.Change, path: str) -> bool:
        saved = Path(path)
        return not (saved.name.startswith(".") or saved.name.endswith("~") or _inside(saved, off_the_watch))

    first = True
    for saved in watchfiles.watch(
        *places,
        watch_filter=counts,
        stop_event=stop,
        step=QUIET_MS,
        rust_timeout=QUIET_MS,
        yield_on_timeout=True,
        raise_interrupt=False,
    ):
        if first or saved:
            make_once()
        first = False


def _inside(path: Path, folder: Path) -> bool:
    return path == folder or folder in path.parents
