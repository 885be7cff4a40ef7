"""A make of one card while this is imported: the fork server does so once, and every fork of it finds the
units, words and fonts read."""

import tempfile
from pathlib import Path

from tests.calling import cardgen
from tests.shelf.strained import FLOOR_SPECS

SHOP = Path(__file__).parents[2] / "specs"

with tempfile.TemporaryDirectory() as place:
    (specs := Path(place) / "specs").mkdir()
    for name in FLOOR_SPECS:
        (specs / name).write_bytes((SHOP / name).read_bytes())
    made = cardgen("make", cwd=Path(place))
    assert made.returncode == 0, made.stderr
