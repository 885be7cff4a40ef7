"""The records of the design's sketch as they stand there, and the means to load a text of YAML."""

from pathlib import Path

from cardgen.spec.complaint import Complaint
from cardgen.spec.library import Library
from cardgen.spec.load import load_documents

SKETCH = (Path(__file__).parent / "sketch.yaml").read_text(encoding="utf-8")


def load(folder: Path, *texts: str) -> tuple[Library, list[Complaint]]:
    """Load these texts as the files a.yaml, b.yaml, … of a folder."""
    paths = []
    for name, text in zip("abcdef", texts, strict=False):
        path = folder / f"{name}.yaml"
        path.write_text(text, encoding="utf-8")
        paths.append(path)
    return load_documents({path: path.read_bytes() for path in paths}, root=folder)


def messages(folder: Path, *texts: str) -> list[str]:
    """What is said about these texts."""
    return [str(complaint) for complaint in load(folder, *texts)[1]]


def altered(old: str, new: str) -> str:
    """The sketch with one place of it written otherwise."""
    assert SKETCH.count(old) >= 1, old
    return SKETCH.replace(old, new, 1)
