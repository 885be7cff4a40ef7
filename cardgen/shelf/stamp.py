"""A file's stamp: what tells, without a look into it, that it is no longer the file that was read."""

import os
from pathlib import Path

Stamp = tuple[int, int, int, int]  # size, when it was written and renamed, its number on the disk


def stamp(told: os.stat_result) -> Stamp:
    return told.st_size, told.st_mtime_ns, told.st_ctime_ns, told.st_ino


def stamp_of(path: Path | str) -> Stamp | None:
    """The stamp of one file; None where there is none."""
    try:
        return stamp(os.stat(path))
    except OSError:
        return None


def stamps(folder: Path) -> dict[str, Stamp]:
    """The stamp of every file that lies in a folder."""
    try:
        with os.scandir(folder) as found:
            return {each.name: stamp(each.stat()) for each in found if each.is_file()}
    except OSError:
        return {}
