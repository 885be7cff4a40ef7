"""Work on many things spread over the machine's cores, handed back in order, as if it had been done here.

The workers are forks: they have what this process has, and give back what can be pickled. What a worker fails
at, or cannot give back, is done here instead, so that errors are raised and told as they always are. Where
there are few things, one core, or no forks, everything is done here.
"""

import os
import pickle
import signal
from collections.abc import Callable, Sequence
from contextlib import suppress
from types import TracebackType
from typing import BinaryIO, Generic, TypeVar

from cardgen.bounds import most

Thing = TypeVar("Thing")
Result = TypeVar("Result")
HEAD = 8  # bytes that say how long a result is; a length of nothing: none is given back
ROOM = 1 << 20  # bytes that a worker may be ahead, where the system allows it


class OnAllCores(Generic[Thing, Result]):
    """The work on some things, to be taken one by one in their order."""

    def __init__(self, work: Callable[[Thing], Result], things: Sequence[Thing]) -> None:
        self._work, self._things, self._taken = work, things, 0
        self._pipes: list[BinaryIO] = []
        self._workers: list[int] = []

    def __enter__(self) -> "OnAllCores[Thing, Result]":
        count = cores() if len(self._things) >= most("cores.few") else 1
        if count > 1:
            for first in range(count):
                self._start(first, count)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, trace: TracebackType | None
    ) -> None:
        for pipe in self._pipes:
            pipe.close()
        for worker in self._workers:
            with suppress(ProcessLookupError):
                os.kill(worker, signal.SIGKILL)
            with suppress(ChildProcessError):
                os.waitpid(worker, 0)

    def next(self) -> Result:
        """The result for the next of the things; raises what the work on it raises."""
        thing, place = self._things[self._taken], self._taken
        self._taken += 1
        given = _received(self._pipes[place % len(self._pipes)]) if self._pipes else b""
        return pickle.loads(given) if given else self._work(thing)

    def _start(self, first: int, step: int) -> None:
        """A worker on every so-manyth thing; where none can be had the work is done here."""
        here, there = os.pipe()
        _widen(there)
        worker = os.fork()
        if worker:
            os.close(there)
            self._workers.append(worker)
            self._pipes.append(os.fdopen(here, "rb"))
            return
        try:
            signal.signal(signal.SIGINT, signal.SIG_IGN)  # whoever started us is told, and ends us
            signal.signal(signal.SIGTERM, signal.SIG_DFL)
            os.closerange(3, there)  # the lock among them: it must go with whoever took it
            os.closerange(there + 1, there + most("cores.files"))
            with open(there, "wb") as pipe:
                for thing in self._things[first::step]:
                    _send(pipe, self._given(thing))
        finally:
            os._exit(0)  # whatever happened: what is not given back is done where it was asked for

    def _given(self, thing: Thing) -> bytes:
        try:
            return pickle.dumps(self._work(thing), pickle.HIGHEST_PROTOCOL)
        except Exception:
            return b""


def cores() -> int:
    """How many of the machine's cores this process may use; 1 where it cannot fork."""
    if not hasattr(os, "fork"):
        return 1
    found = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return min(found, most("cores.used"))


def _send(pipe: BinaryIO, given: bytes) -> None:
    pipe.write(len(given).to_bytes(HEAD, "big") + given)
    pipe.flush()


def _received(pipe: BinaryIO) -> bytes:
    """What a worker gave back; nothing where it failed, or is no more."""
    length = int.from_bytes(pipe.read(HEAD), "big")
    given = pipe.read(length)
    return given if len(given) == length else b""


def _widen(pipe: int) -> None:
    if hasattr(os, "fork"):
        import fcntl

        with suppress(AttributeError, OSError):
            fcntl.fcntl(pipe, fcntl.F_SETPIPE_SZ, ROOM)
