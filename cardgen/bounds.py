"""Limits of sense and of the program's own strength, read from the one table in bounds.txt.

Every room asks here; no room has such a number of its own.
"""

import errno
import math
import os
import stat
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.resources import files
from pathlib import Path

WORTH = {"deg": math.radians(1.0)}  # of the units in the table, where the program counts otherwise
INCH = 25.4
READING = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


@dataclass(frozen=True)
class Limit:
    """From least to most, both allowed; in the program's own units (mm, rad, s …)."""

    least: float
    most: float
    unit: str  # as the table writes it

    def allows(self, value: float | Fraction) -> bool:
        """Whether a value lies within; what is no number does not."""
        return self.least <= value <= self.most

    def told(self) -> str:
        """'0.5 mm to 3000 mm (.02 in to 118 in)', 'at most 60 letters'."""
        worth = WORTH.get(self.unit, 1.0)
        ends = [self.least / worth, self.most / worth]
        text = self._between(ends, self.unit)
        if self.unit.split()[0] != "mm" or "/" in self.unit:
            return text
        return f"{text} ({self._between([end / INCH for end in ends], 'in')})"

    def _between(self, ends: list[float], unit: str) -> str:
        least, most = (f"{end:.3g}" if unit == "in" else f"{end:.12g}" for end in ends)
        if math.isinf(self.least):
            return f"at most {most} {unit}"
        return f"at least {least} {unit}" if math.isinf(self.most) else f"{least} to {most} {unit}"


@cache
def table() -> dict[str, Limit]:
    """Every limit by its name."""
    found = {}
    for line in (files("cardgen") / "bounds.txt").read_text("utf-8").splitlines():
        if line and not line.startswith("#"):
            name, least, most, unit = line.split(None, 3)
            worth = WORTH.get(unit, 1.0)
            found[name] = Limit(_end(least, -math.inf) * worth, _end(most, math.inf) * worth, unit)
    return found


def _end(text: str, without: float) -> float:
    return without if text == "-" else float(text)


@cache
def most(name: str) -> int:
    """A whole limit: bytes, letters, turns."""
    return int(table()[name].most)


def read_file(path: Path | str, kind: str) -> bytes:
    """What a file holds that is one, and no larger than `kind` may be ('paper.file'); else OSError in words.

    A link is followed; nothing is waited for that a pipe or a device would give, or never end to give.
    """
    return read_told(path, kind)[0]


def read_told(path: Path | str, kind: str) -> tuple[bytes, os.stat_result]:
    """As `read_file`, with what the disk tells of the file, from before it was read."""
    limit = most(kind)
    handle = os.open(path, READING)
    try:
        told = os.fstat(handle)
        if not stat.S_ISREG(told.st_mode):
            raise OSError(errno.EINVAL, "it is no ordinary file", str(path))
        content = piece = os.read(handle, min(told.st_size, limit) + 1)
        while piece and len(content) != told.st_size and len(content) <= limit:
            piece = os.read(handle, min(told.st_size, limit) + 1)
            content += piece
    finally:
        os.close(handle)
    if len(content) > limit:
        raise OSError(errno.EFBIG, f"it is larger than {limit // 1_000_000} megabytes", str(path))
    return content, told
