"""Calling the command `cardgen`, the whole of its `main`, without a new Python for each call."""

import contextlib
import io
import sys
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess
from unittest.mock import patch

from cardgen.commands import program as cli


def captured(call: Callable[[], int | None], cwd: Path | None = None) -> CompletedProcess[str]:
    """What a call prints on each channel and its exit status, as of a process in the folder `cwd`.

    An exception that a process would end with as a traceback goes on to the test.
    """
    out, err = (io.TextIOWrapper(io.BytesIO(), "utf-8", write_through=True) for _ in range(2))
    with (
        contextlib.chdir(cwd or Path.cwd()),
        patch.object(sys, "stdout", out),
        patch.object(sys, "stderr", err),
    ):
        try:
            status = call() or 0
        except SystemExit as end:
            status = end.code if isinstance(end.code, int) else bool(end.code)
    told, wrong = (stream.buffer.getvalue().decode("utf-8") for stream in (out, err))  # type: ignore[attr-defined]
    return CompletedProcess("cardgen", int(status), told, wrong)


def cardgen(*arguments: str, cwd: Path | None = None) -> CompletedProcess[str]:
    """What `cardgen` with these arguments prints, and how it ends."""
    with patch.object(sys, "argv", ["cardgen", *arguments]):
        return captured(cli.main, cwd)
