"""A Python that has the program and what it requires, and nothing that only the tests need.

So starts whoever installed the program; Pint, for one, takes in NumPy and more wherever it finds them.
"""

import sys
import tempfile
import venv
from functools import cache
from importlib.metadata import Distribution, distribution
from pathlib import Path

from packaging.requirements import Requirement


@cache
def bare_python() -> str:
    """The Python, made at the first call."""
    return str(Path(_made().name, "bin", "python"))


@cache
def _made() -> tempfile.TemporaryDirectory[str]:
    """Its folder, which goes when this process ends."""
    made = tempfile.TemporaryDirectory(prefix="bare-")
    venv.EnvBuilder(symlinks=True).create(made.name)
    folder = Path(made.name, "lib", "python{}.{}".format(*sys.version_info), "site-packages")
    for each in _with_required("cardgen", {}).values():
        for name in {file.parts[0] for file in each.files or ()} - {"..", "__pycache__"}:
            (folder / name).symlink_to(str(each.locate_file(name)))
    return made


def _with_required(name: str, found: dict[str, Distribution]) -> dict[str, Distribution]:
    """What is installed by this name, what it requires here, and what that does; no extras."""
    installed = distribution(name)
    if installed.name not in found:
        found[installed.name] = installed
        for required in map(Requirement, installed.requires or ()):
            if required.marker is None or required.marker.evaluate({"extra": ""}):
                _with_required(required.name, found)
    return found
