"""Bytes → a file that is there whole or not at all.

The new file is written beside the old one, forced to the disk, then renamed over it; the folder is
forced to the disk last. Killed anywhere in between, the old file stands as it was.
"""

import contextlib
import errno
import hashlib
import os
import stat
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from cardgen.bounds import read_file
from cardgen.shelf.trouble import ShelfError

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

SET_ASIDE = "set-aside"
OUR_PDF = b"/Creator (cardgen)"
LOCK_NAME = ".cardgen-lock"
HALF_ENDING = ".half-written"
NEVER_THROUGH = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)  # a link, nor wait for a pipe

REASONS = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk quota is used up",
    errno.EFBIG: "the file is larger than this account may write",
    errno.EACCES: "no permission to write there",
    errno.EPERM: "no permission to write there",
    errno.EROFS: "the disk can only be read",
    errno.ENOTDIR: "a file stands where a folder is needed",
    errno.EEXIST: "a file, or a link that leads nowhere, stands in its place; take it away",
    errno.ELOOP: "a link or something else that is no file stands in its place; take it away",
    errno.EISDIR: "a folder stands in its place",
    errno.ENAMETOOLONG: "the name is too long",
}


def write_whole(path: Path, content: bytes) -> None:
    """Put `content` at `path`; raises ShelfError, with whatever was there before untouched."""
    _put(path, content, _forced)
    try:
        _sync_folder(path.parent)
    except OSError as trouble:
        raise ShelfError(f"{path}: written, but the disk did not confirm it: {_reason(trouble)}") from trouble


def put(path: Path, content: bytes) -> None:
    """As `write_whole`, not forced to the disk: for what is one of many and tells by its own digest whether
    it came there."""
    _put(path, content, _not_forced)


def _forced(handle: int) -> None:
    os.fsync(handle)


def _not_forced(handle: int) -> None:
    """The disk writes it in its own time."""


def _put(path: Path, content: bytes, force: Callable[[int], None]) -> None:
    beside = path.with_name(f".{path.name}{HALF_ENDING}")
    try:
        try:
            _write(beside, content, force)
            os.replace(beside, path)
        except BaseException:
            with contextlib.suppress(OSError):
                beside.unlink()
            raise
    except OSError as trouble:
        raise ShelfError(
            f"{path}: not written: {_reason(trouble)}. What stood there before still does; "
            "put that right and run the same command again"
        ) from trouble


def write_if_different(path: Path, content: bytes) -> bool:
    """Write only when the file does not hold `content` already; says whether it wrote."""
    with contextlib.suppress(OSError):
        if read_file(path, "paper.file") == content:
            return False
    write_whole(path, content)
    return True


def set_aside(path: Path, content: bytes) -> str:
    """Keep what stands at a paper's place and is not as the program made it; says where."""
    name = f"{SET_ASIDE}/{path.stem}-{hashlib.sha256(content).hexdigest()[:8]}{path.suffix}"
    make_folder(path.parent / SET_ASIDE)
    write_if_different(path.parent / name, content)
    return name


def replace_own(path: Path, content: bytes, mark: bytes) -> bool:
    """As `write_if_different`; a file there without the mark of the program's own is set aside first."""
    with contextlib.suppress(FileNotFoundError):
        try:
            there = read_file(path, "paper.file")
        except FileNotFoundError:
            raise
        except OSError as trouble:
            raise ShelfError(f"{path}: not written: {trouble.strerror}; take it away") from trouble
        if mark not in there:
            set_aside(path, there)
    return write_if_different(path, content)


def move(path: Path, to: Path) -> None:
    """Give a file another place on the same disk; one that stands there is replaced."""
    try:
        os.replace(path, to)
    except OSError as trouble:
        raise ShelfError(f"{path}: not moved to {to}: {_reason(trouble)}") from trouble


def make_folder(folder: Path) -> None:
    try:
        if not folder.is_dir():
            folder.mkdir(parents=True, exist_ok=True)
            _sync_folder(folder.parent)
    except OSError as trouble:
        raise ShelfError(f"{folder}: the folder could not be made: {_reason(trouble)}") from trouble


def clear_half_written(folder: Path) -> None:
    """Take away what a killed run left half-written. Only for the one who holds the lock."""
    for left in (*folder.glob(f".*{HALF_ENDING}"), *folder.glob(f"*/.*{HALF_ENDING}")):
        with contextlib.suppress(OSError):
            left.unlink()


@contextlib.contextmanager
def alone(folder: Path, patience_s: float = 30.0) -> Iterator[None]:
    """Hold `folder` for this run only; waits `patience_s` for another run, then raises ShelfError.

    The lock is the operating system's: it goes with the process that held it, however that ended,
    so none is ever left over, and no clock is asked. Its file is taken away at the end; one that a killed
    run left is taken over.
    """
    make_folder(folder)
    path = folder / LOCK_NAME
    deadline = time.monotonic() + patience_s
    while (handle := _held(path)) is None:
        if time.monotonic() >= deadline:
            raise ShelfError(
                f"{folder}: another run (process {_holder(path)}) is writing here. "
                "Nothing was changed; wait until it is done and run the same command again"
            )
        time.sleep(0.05)
    try:
        # The number only helps whoever waits; a full disk must not stop us for it.
        with contextlib.suppress(OSError):
            os.lseek(handle, 0, os.SEEK_SET)
            os.write(handle, f"{os.getpid():<20}".encode("ascii"))
        clear_half_written(folder)
        yield
    finally:
        with contextlib.suppress(OSError):  # another account's, or a system that holds open files
            path.unlink()
        os.close(handle)


def _held(path: Path) -> int | None:
    """The lock's file, held; None while another run holds it. Raises ShelfError where none can be."""
    try:
        handle = _open_lock(path)
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            os.close(handle)
            raise OSError(errno.ELOOP, "")
    except OSError as trouble:
        raise ShelfError(f"{path}: not written: {_reason(trouble)}. Nothing was changed") from trouble
    # Whoever held it before may have taken it away since we opened it: then it keeps nobody out any more.
    if _take_lock(handle) and _lies_at(path, handle):
        return handle
    os.close(handle)
    return None


def _lies_at(path: Path, handle: int) -> bool:
    try:
        return os.path.samestat(os.fstat(handle), os.stat(path, follow_symlinks=False))
    except OSError:
        return False


def _write(path: Path, content: bytes, force: Callable[[int], None]) -> None:
    # A leftover of a killed run, or a link put there, is never written through.
    with contextlib.suppress(FileNotFoundError):
        path.unlink()
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    try:
        rest = memoryview(content)
        while rest:
            rest = rest[os.write(handle, rest) :]
        force(handle)
    finally:
        os.close(handle)


def _sync_folder(folder: Path) -> None:
    if sys.platform == "win32":
        return  # a folder cannot be opened there, and needs no forcing
    try:
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    except PermissionError:
        return  # a folder that may be written but not listed: the disk will do it in its own time
    try:
        os.fsync(handle)
    except OSError as trouble:
        if trouble.errno not in (errno.EINVAL, errno.ENOTSUP):  # some network disks know no such thing
            raise
    finally:
        os.close(handle)


def _open_lock(path: Path) -> int:
    try:
        return os.open(path, os.O_RDWR | os.O_CREAT | NEVER_THROUGH, 0o666)
    except PermissionError:
        # Another account made it: it can still be locked, if this one may write here at all. If not,
        # that is told now, and not when all the cards have been drawn.
        if not (path.exists() and os.access(path.parent, os.W_OK)):
            raise
        return os.open(path, os.O_RDONLY | NEVER_THROUGH)


def _take_lock(handle: int) -> bool:
    try:
        if sys.platform == "win32":
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):  # held by another run, in the two systems' words
        return False
    return True


def _holder(path: Path) -> str:
    try:
        return path.read_bytes()[:20].decode("ascii", "replace").strip() or "unknown"
    except OSError:
        return "unknown"


def _reason(trouble: OSError) -> str:
    return REASONS.get(trouble.errno or 0) or os.strerror(trouble.errno or 0).lower()
