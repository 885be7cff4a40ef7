"""Files that the program keeps for itself: a line of what they are, with a digest of the rest, then JSON."""

import hashlib
import json
from pathlib import Path
from typing import Any

from cardgen.shelf.writing import make_folder, write_if_different

FOLDER = ".cardgen"  # in the out folder; without it only time is lost


def lay_down(out: Path) -> None:
    """The folder for them, which git passes by; raises ShelfError."""
    make_folder(out / FOLDER)
    write_if_different(out / FOLDER / ".gitignore", b"*\n")


def sealed(head: bytes, plain: Any) -> bytes:
    """A file of this head."""
    body = packed(plain).encode("utf-8", "surrogatepass")  # of a file's name that is no text
    return head + digest(body).encode("ascii") + b"\n" + body


def unsealed(head: bytes, content: bytes) -> Any:
    """What such a file holds; raises ValueError, in words, for one that is not as it was written."""
    line, _, body = content.partition(b"\n")
    if not line.startswith(head):
        raise ValueError("of another version")
    if line != head + digest(body).encode("ascii"):
        raise ValueError("damaged")
    return json.loads(body)


def packed(plain: Any) -> str:
    return json.dumps(plain, ensure_ascii=False, separators=(",", ":"))


def digest(content: bytes) -> str:
    return hashlib.blake2b(content, digest_size=16).hexdigest()
