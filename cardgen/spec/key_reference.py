"""The reference of the keys: what the models say of them, and which papers show them, as was measured."""

import json
from functools import cache
from importlib.resources import files

SHOWN_ON = "shown_on.json"


@cache
def shown_on() -> dict[str, tuple[str, ...]]:
    """Key, as 'part.taper.length' → the papers that another value of it changes."""
    held = json.loads((files("cardgen.spec") / SHOWN_ON).read_text("utf-8"))
    return {key: tuple(filter(None, papers.split(", "))) for key, papers in held.items()}
